//! Critical dimensions as the form to send a part has them: read, and typed again when something is wrong.

use partpledge_units::micrometre::Micrometres;
use partpledge_words::say;
use partpledge_workshop::measuring::{CriticalDimension, MOST_DIMENSIONS, NotADimension, in_mm};

use crate::pages::send::{SizeTyped, Wrong};
use crate::upload::Form;
use crate::words;

/// Names of the fields of one row.
struct Row {
    what: &'static str,
    size: &'static str,
    about: &'static str,
    lower: &'static str,
    upper: &'static str,
}

macro_rules! rows {
    ($($n:literal),+) => {
        [$(Row {
            what: concat!("what-", $n),
            size: concat!("size-", $n),
            about: concat!("about-", $n),
            lower: concat!("lower-", $n),
            upper: concat!("upper-", $n),
        }),+]
    };
}

const ROWS: [Row; MOST_DIMENSIONS] = rows![1, 2, 3, 4, 5];

/// What was typed, row by row.
pub(crate) fn typed(form: &Form) -> Vec<SizeTyped> {
    let field = |name| form.get(name).trim().to_owned();
    let one = |row: &Row| SizeTyped {
        what: field(row.what),
        size: field(row.size),
        about: field(row.about),
        lower: field(row.lower),
        upper: field(row.upper),
    };
    ROWS.iter().map(one).collect()
}

/// Rows with what a request has, and empty ones.
pub(crate) fn as_typed(dimensions: &[CriticalDimension]) -> Vec<SizeTyped> {
    let one = |one: &CriticalDimension| {
        let even = one.lower == -one.upper;
        let text = |told: bool, size: Micrometres| {
            if told {
                size.to_string()
            } else {
                String::new()
            }
        };
        SizeTyped {
            what: one.what.clone(),
            size: one.nominal.to_string(),
            about: text(even, one.upper),
            lower: if one.lower > Micrometres(0) {
                format!("+{}", one.lower)
            } else {
                text(!even, one.lower)
            },
            upper: text(!even, one.upper),
        }
    };
    let empty = std::iter::repeat_with(SizeTyped::default);
    dimensions
        .iter()
        .map(one)
        .chain(empty)
        .take(ROWS.len())
        .collect()
}

/// The critical dimensions of a form; what is wrong with one is told by its field.
pub(crate) fn read(form: &Form, all: &mut Vec<Wrong>) -> Vec<CriticalDimension> {
    let typed = typed(form);
    let rows = ROWS
        .iter()
        .zip(&typed)
        .filter(|(_, typed)| !typed.is_empty());
    let mut out = Vec::new();
    for (row, typed) in rows {
        match one(row, typed) {
            Ok(one) => out.push(one),
            Err(wrong) => all.push(wrong),
        }
    }
    out
}

fn one(row: &Row, typed: &SizeTyped) -> Result<CriticalDimension, Wrong> {
    let wrong = |field, text: String| Wrong { field, text };
    let size = |field: &'static str, text: &str| {
        let read = Micrometres::parse_mm(text);
        let says = match text {
            "" => say!("send-size-none"),
            text => say!("send-size-unread", text = text),
        };
        read.ok_or_else(|| wrong(field, says))
    };
    let nominal = size(row.size, &typed.size)?;
    let own = !typed.lower.is_empty() || !typed.upper.is_empty();
    let (lower, upper) = match (typed.about.as_str(), own) {
        ("", false) => {
            return Err(wrong(row.about, say!("send-size-no-about")));
        }
        (about, false) => {
            let bare = about.strip_prefix('±').unwrap_or(about);
            let about = size(row.about, bare)?;
            if about < Micrometres(0) {
                return Err(wrong(row.about, say!("send-size-minus")));
            }
            (-about, about)
        }
        ("", true) => (
            smaller(row, nominal, (&typed.lower, size(row.lower, &typed.lower)?))?,
            size(row.upper, &typed.upper)?,
        ),
        (_, true) => {
            return Err(wrong(row.about, say!("send-size-both")));
        }
    };
    let one = CriticalDimension {
        what: typed.what.clone(),
        nominal,
        lower,
        upper,
    };
    // How long the part is, is known once its file is read.
    one.check(f64::INFINITY).map_err(|why| {
        let field = match why {
            NotADimension::NoWords | NotADimension::LongWords => row.what,
            NotADimension::Swapped | NotADimension::NoWidth | NotADimension::TooFar if own => {
                row.lower
            }
            NotADimension::Swapped | NotADimension::NoWidth | NotADimension::TooFar => row.about,
            _ => row.size,
        };
        wrong(field, format!("{}.", words::capital(&why.to_string())))
    })?;
    Ok(one)
}

/// The lower deviation, as it was typed and read. How much *smaller* is still good is asked for: a number
/// without a sign may mean either.
fn smaller(
    row: &Row,
    nominal: Micrometres,
    (typed, lower): (&str, Micrometres),
) -> Result<Micrometres, Wrong> {
    // From half of the size on it is no deviation at all, and refused as such.
    let near = lower > Micrometres(0) && lower < nominal - lower;
    if !near || typed.starts_with('+') {
        return Ok(lower);
    }
    let text = say!(
        "send-size-sign",
        lower = in_mm(lower),
        least = in_mm(nominal - lower),
        most = in_mm(nominal + lower)
    );
    let field = row.lower;
    Err(Wrong { field, text })
}

/// The field of the size that is wrong, by its number among those that were filled in.
pub(crate) fn size_field(form_typed: &[SizeTyped], n: usize) -> &'static str {
    let rows = ROWS.iter().zip(form_typed);
    let mut filled = rows.filter(|(_, typed)| !typed.is_empty());
    let found = n.checked_sub(1).and_then(|n| filled.nth(n));
    found.map_or("critical", |(row, _)| row.size)
}
