//! A whole region file held against the region as it is: what would be added, changed or taken out.

use std::borrow::Cow;
use std::collections::BTreeMap;

use toml::{Table as Toml, Value};

use super::written::{At, Places};
use super::{CellChange, Change, Line, RegionFile, Review, Wrong, written};
use crate::Catalogue;

/// By the first of these that it has, a thing in a list is known.
const KNOWN_BY: [&str; 7] = [
    "code", "date", "name", "school", "material", "class", "from",
];

/// Something in a region file: `schools: reed-school`, `limits`.
struct Thing {
    list: String,
    n: Option<usize>,
    cells: BTreeMap<String, String>,
}

/// Holds a region file that somebody wrote against the region: it would take its place.
///
/// # Errors
/// As [`written`].
///
/// ```
/// use partpledge_catalogue::{Catalogue, region};
/// let (catalogue, text) = (Catalogue::built_in(), region::sample("2027-03-09"));
/// let old = region::written(&text, &catalogue).unwrap();
/// let text = text.replace("open_requests = 40", "open_requests = 12");
/// let review = region::review_whole(&old, &text, &catalogue).unwrap();
/// assert_eq!((review.lines.len(), review.lines[0].key.as_str()), (1, "limits"));
/// ```
pub fn review_whole(
    old: &RegionFile,
    text: &str,
    catalogue: &Catalogue,
) -> Result<Review, Vec<Wrong>> {
    let next = written(text, catalogue)?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let places = Places::of(text);
    let line = |thing: &Thing, field: &str| {
        let at = At {
            list: &thing.list,
            n: thing.n,
            field,
        };
        let line = places.as_ref()?.line(at);
        u64::try_from(line).ok()
    };
    let (before, after) = (things(old), things(&next));
    let mut lines = Vec::new();
    for (key, thing) in &after {
        let Some(was) = before.get(key) else {
            // A field at the top is a thing of its own, and stands in a line of its own.
            let field = if thing.list.is_empty() { key } else { "" };
            lines.push(Line {
                number: line(thing, field),
                key: key.clone(),
                change: Change::Added(changed(&BTreeMap::new(), &thing.cells)),
            });
            continue;
        };
        let cells = changed(&was.cells, &thing.cells);
        let Some(first) = cells.first() else {
            continue;
        };
        lines.push(Line {
            number: line(thing, &first.column),
            key: key.clone(),
            change: Change::Changed(cells),
        });
    }
    // As they stand in the file.
    lines.sort_by_key(|line| line.number);
    let gone = before.keys().filter(|key| !after.contains_key(*key));
    lines.extend(gone.map(|key| Line {
        number: None,
        key: key.clone(),
        change: Change::Removed,
    }));
    Ok(Review {
        lines,
        whole: Vec::new(),
        file: Some(next),
    })
}

fn changed(was: &BTreeMap<String, String>, is: &BTreeMap<String, String>) -> Vec<CellChange> {
    let fields = was
        .keys()
        .chain(is.keys().filter(|field| !was.contains_key(*field)));
    let text = |cells: &BTreeMap<String, String>, field: &String| {
        cells.get(field).cloned().unwrap_or_default()
    };
    let cells = fields.map(|field| CellChange {
        column: Cow::Owned(field.clone()),
        was: text(was, field),
        is: text(is, field),
    });
    cells.filter(|cell| cell.was != cell.is).collect()
}

/// Everything in a region file, by what it is called.
fn things(file: &RegionFile) -> BTreeMap<String, Thing> {
    let mut out = BTreeMap::new();
    // What was read from a file can be written into one.
    if let Ok(all) = Toml::try_from(file) {
        of_table("", None, &all, &mut out);
    }
    out
}

fn of_table(list: &str, n: Option<usize>, table: &Toml, out: &mut BTreeMap<String, Thing>) {
    let inner = |field: &str| match list {
        "" => field.to_owned(),
        list => format!("{list}.{field}"),
    };
    let mut cells = BTreeMap::new();
    for (field, value) in table {
        match value {
            Value::Table(one) if n.is_none() => of_table(&inner(field), None, one, out),
            Value::Array(all) if n.is_none() && all.iter().all(Value::is_table) => {
                let tables = all.iter().filter_map(Value::as_table).enumerate();
                for (n, one) in tables {
                    of_table(&inner(field), Some(n), one, out);
                }
            }
            // Each field at the top is a thing of its own.
            other if list.is_empty() => {
                let cells = BTreeMap::from([(field.clone(), text(other))]);
                let (list, n) = (String::new(), None);
                out.insert(field.clone(), Thing { list, n, cells });
            }
            other => {
                cells.insert(field.clone(), text(other));
            }
        }
    }
    if list.is_empty() {
        return;
    }
    let known = KNOWN_BY.iter().find_map(|field| table.get(*field));
    let mut key = match known.filter(|_| n.is_some()) {
        Some(name) => format!("{list}: {}", text(name)),
        None => list.to_owned(),
    };
    // Two closures may begin on one day.
    while out.contains_key(&key) {
        key.push_str(", again");
    }
    let list = list.to_owned();
    out.insert(key, Thing { list, n, cells });
}

fn text(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}
