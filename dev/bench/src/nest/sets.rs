//! Published nesting sets: strips as JSON, bins as text; and footprints of listed parts as JSON.

use partpledge_plates::{Item, Outline, Turns, UNITS_PER_MM};
use partpledge_sections::{area_mm2, silhouette};
use partpledge_units::cast::round_i64;
use serde_json::{Value, json};

use crate::outside::parts;

/// Sets come in all units: a strip or a bin is scaled to this depth, mm.
pub(super) const DEPTH_MM: f64 = 1_000.0;

/// Parts to lay out, and on what.
pub(super) struct Set {
    pub(super) items: Vec<Item>,
    /// Depth of the strip, or size of a bin, in mm as scaled.
    pub(super) width_mm: Option<f64>,
    pub(super) depth_mm: f64,
    /// Millimetres per unit of the file.
    pub(super) scale: f64,
    /// Bins of the known solution.
    pub(super) known_bins: Option<usize>,
}

/// Reads a set; what it is, its name says.
pub(super) fn read(file: &str) -> Result<Set, String> {
    let text = std::fs::read_to_string(file).map_err(|error| format!("{file}: {error}"))?;
    let bad = || format!("{file} is no set of parts to lay out");
    if std::path::Path::new(file)
        .extension()
        .is_some_and(|end| end == "json")
    {
        let value: Value =
            serde_json::from_str(&text).map_err(|error| format!("{file}: {error}"))?;
        strip(&value).ok_or_else(bad)
    } else {
        bins(&text).ok_or_else(bad)
    }
}

/// `footprints LIST`: the shadow of each part of a list that is one piece, a JSON line each.
pub(crate) fn footprints(list: &str) -> Result<(), String> {
    for part in parts(list)? {
        let shadow = silhouette(&part.mesh).map_err(|e| format!("{}: {e}", part.file))?;
        let (low, high) = part.mesh.bounds().ok_or("a part without corners")?;
        let outer: Vec<_> = shadow
            .iter()
            .filter(|path| area_mm2(&vec![(*path).clone()]) > 0.0)
            .collect();
        let [outer] = outer.as_slice() else { continue };
        let corners: Vec<[f64; 2]> = outer
            .iter()
            .map(|p| [p.x as f64 / UNITS_PER_MM, p.y as f64 / UNITS_PER_MM])
            .collect();
        println!(
            "{}",
            json!({ "file": part.file, "height": high[2] - low[2], "data": corners })
        );
    }
    Ok(())
}

/// A strip set. Footprints come in mm (`"unit": "mm"`) and are not scaled.
fn strip(value: &Value) -> Option<Set> {
    let depth = value["strip_height"].as_f64()?;
    let scale = if value["unit"] == "mm" {
        1.0
    } else {
        DEPTH_MM / depth
    };
    let items = value["items"].as_array()?.iter().map(|item| {
        let corners = item["shape"]["data"].as_array()?.iter();
        let points = corners.map(|p| Some([p[0].as_f64()? * scale, p[1].as_f64()? * scale]));
        let turns = match item["allowed_orientations"].as_array() {
            Some(list) => Turns::Only(list.iter().filter_map(Value::as_f64).collect()),
            None => Turns::Any,
        };
        Some(Item {
            name: item["id"].to_string(),
            outlines: vec![outline(points.collect::<Option<Vec<_>>>()?)?],
            copies: usize::try_from(item["demand"].as_u64()?).ok()?,
            turns,
            height_mm: 0.0,
        })
    });
    Some(Set {
        items: items.collect::<Option<_>>()?,
        width_mm: None,
        depth_mm: depth * scale,
        scale,
        known_bins: None,
    })
}

/// Number of bins, pieces in each of the known solution, width and depth of a bin, then every
/// piece as its number of corners and their x and y. Nothing is said of turns: quarter turns here.
fn bins(text: &str) -> Option<Set> {
    let mut words = text.split_whitespace().map(|word| word.parse::<f64>().ok());
    let mut next = || words.next().flatten();
    let whole = |v: f64| partpledge_units::cast::round_usize(v);
    let known = whole(next()?)?;
    let mut pieces = 0;
    for _ in 0..known {
        pieces += whole(next()?)?;
    }
    let (width, depth) = (next()?, next()?);
    let scale = DEPTH_MM / depth;
    let mut items = Vec::with_capacity(pieces);
    for i in 0..pieces {
        let corners = whole(next()?)?;
        let points = (0..corners).map(|_| Some([next()? * scale, next()? * scale]));
        items.push(Item {
            name: i.to_string(),
            outlines: vec![outline(points.collect::<Option<Vec<_>>>()?)?],
            copies: 1,
            turns: Turns::Only(vec![0.0, 90.0, 180.0, 270.0]),
            height_mm: 0.0,
        });
    }
    Some(Set {
        items,
        width_mm: Some(width * scale),
        depth_mm: depth * scale,
        scale,
        known_bins: Some(known),
    })
}

/// On the grid, counter-clockwise, without a doubled last corner.
fn outline(points: Vec<[f64; 2]>) -> Option<Outline> {
    let on_grid = |p: [f64; 2]| {
        Some([
            round_i64(p[0] * UNITS_PER_MM)?,
            round_i64(p[1] * UNITS_PER_MM)?,
        ])
    };
    let mut outline: Outline = points.into_iter().map(on_grid).collect::<Option<_>>()?;
    if outline.first() == outline.last() {
        outline.pop();
    }
    if twice_area(&outline) < 0.0 {
        outline.reverse();
    }
    Some(outline)
}

fn twice_area(outline: &Outline) -> f64 {
    let cross = |i: usize| {
        let (a, b) = (outline[i], outline[(i + 1) % outline.len()]);
        a[0] as f64 * b[1] as f64 - b[0] as f64 * a[1] as f64
    };
    (0..outline.len()).map(cross).sum()
}

/// Bare area of all copies, mm².
pub(super) fn bare_mm2(items: &[Item]) -> f64 {
    let of = |item: &Item| twice_area(&item.outlines[0]) / 2.0 * item.copies as f64;
    items.iter().map(of).sum::<f64>() / (UNITS_PER_MM * UNITS_PER_MM)
}
