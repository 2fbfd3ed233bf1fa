//! `layout`: copies on a bed, and the plates as 3MF, as pictures and as a parts list.

mod list;
mod plan;

use std::path::{Path, PathBuf};

use anyhow::{anyhow, bail};
use partpledge_plates::{Bed, Effort, Layout, LayoutError, Room};
use partpledge_printability::UnitSource;
use partpledge_workshop::WorkshopError;
use partpledge_workshop::estimating::LaidPart;
use partpledge_workshop::intake::JudgedFile;
use partpledge_workshop::laying_out::{lay_out, plate_3mf};
use serde_json::{Value, json};

use crate::args::{Args, LayoutFiles, PartArgs};
use crate::{output, wire};

use super::walk::Walked;
use super::{doubts, look, walk};

pub(crate) async fn run(
    args: &Args,
    files: &[String],
    bed: &str,
    [clearance_mm, edge_mm]: [f64; 2],
    to: &LayoutFiles,
    part: &PartArgs,
) -> anyhow::Result<u8> {
    let session = look(args).await?;
    let bed_mm = parse_bed(bed)?;
    let room = Room {
        bed: Bed {
            size_mm: bed_mm,
            clearance_mm,
            edge_mm,
        },
        plates: None,
        tall: None,
    };
    if let Err(error) = room.check() {
        return Ok(failed(None, &error.into(), part.json));
    }
    let mut laid: Vec<(String, LaidPart, usize)> = Vec::new();
    let mut told = Told::default();
    for text in files {
        let (path, copies) = parse_file(text, part.copies)?;
        let file = path.display().to_string();
        let walked = walk::judge(&session, &path, part);
        let parts = walked.and_then(|walked| {
            small_enough(&walked, bed_mm)?;
            let parts = walk::lay_all(&walked)?;
            told.of(&file, &walked.judged);
            Ok(parts)
        });
        match parts {
            Ok(parts) => laid.extend(parts.into_iter().map(|p| (file.clone(), p, copies))),
            Err(error) => return Ok(failed(Some(&file), &error, part.json)),
        }
    }
    let parts: Vec<(&LaidPart, usize)> = laid
        .iter()
        .map(|(_, part, copies)| (part, *copies))
        .collect();
    let plates = match lay_out(&parts, &room, Effort::strong()) {
        Ok(plates) => plates,
        Err(error) => return Ok(failed(None, &error, part.json)),
    };
    let written = write_all(to, &laid, bed_mm, &plates)?;
    let code = told.code;
    if part.json {
        let mut answer = answer(&laid, &room.bed, &plates, &written);
        told.insert(&mut answer);
        output::say_json(vec![answer]);
    } else {
        told.say();
        say_plates(&laid, &plates, &written);
    }
    Ok(code)
}

/// What lies where, and which files were written.
fn say_plates(laid: &[(String, LaidPart, usize)], plates: &[Layout], written: &[String]) {
    for (i, plate) in plates.iter().enumerate() {
        let [x, y] = plate.used_mm;
        output::say(&format!(
            "plate {}: {} parts, {x:.0} x {y:.0} mm used",
            i + 1,
            plate.placements.len()
        ));
        for p in &plate.placements {
            output::say(&format!(
                "  {} at {:.1}, {:.1} turned {:.0} degrees",
                laid[p.item].1.name, p.x_mm, p.y_mm, p.rotation_deg
            ));
        }
    }
    for path in written {
        output::say(&format!("written: {path}"));
    }
}

/// What is to be told of the files beside where their parts lie.
#[derive(Default)]
struct Told {
    /// The worst exit code.
    code: u8,
    /// A file each, for people.
    texts: Vec<String>,
    /// Unit and findings of each part.
    parts: Vec<[Value; 2]>,
    /// What could not be read.
    left_out: Vec<Value>,
}

impl Told {
    fn of(&mut self, file: &str, judged: &JudgedFile) {
        self.code = self.code.max(doubts::code_of_left_out(judged));
        let mut text = String::new();
        for part in &judged.parts {
            let found = doubts::on_a_bed(part);
            self.code = self.code.max(doubts::code(&found));
            if !found.is_empty() {
                text.push_str(&format!("\n  {}", part.name));
                text.push_str(&doubts::findings_text(&found));
            }
            self.parts
                .push([wire::unit(&judged.unit), wire::findings(&found)]);
        }
        text.push_str(&doubts::left_out_text(judged));
        if !text.is_empty() || judged.unit.source == UnitSource::Guess {
            let unit = doubts::unit_text(judged);
            self.texts.push(format!("{file} {unit}{text}"));
        }
        if let Some(Value::Array(left)) = wire::left_out(judged) {
            self.left_out.extend(left.into_iter().map(|mut member| {
                member["file"] = json!(file);
                member
            }));
        }
    }

    fn say(&self) {
        for text in &self.texts {
            output::say(text);
        }
    }

    fn insert(self, answer: &mut Value) {
        for (i, [unit, findings]) in self.parts.into_iter().enumerate() {
            answer["parts"][i]["unit"] = unit;
            answer["parts"][i]["findings"] = findings;
        }
        if !self.left_out.is_empty() {
            answer["left_out"] = Value::Array(self.left_out);
        }
    }
}

/// Refuses what is longer than the bed's diagonal before lines are laid for it, which takes minutes.
fn small_enough(walked: &Walked, bed_mm: [f64; 2]) -> Result<(), WorkshopError> {
    let reach_mm = bed_mm[0].hypot(bed_mm[1]);
    for (item, part) in walked.judged.parts.iter().enumerate() {
        let [x, y, _] = part.standing_size_mm();
        if x.max(y) > reach_mm {
            let name = part.name.clone();
            return Err(WorkshopError::Layout(LayoutError::TooLarge {
                item,
                name,
                size_mm: [x, y],
                bed_mm,
            }));
        }
    }
    Ok(())
}

fn failed(file: Option<&str>, error: &WorkshopError, json: bool) -> u8 {
    if json {
        output::say_json(vec![output::error_json(file, error)]);
    } else {
        output::say(&output::error_text(file, error));
    }
    output::code_of(error)
}

fn parse_bed(text: &str) -> anyhow::Result<[f64; 2]> {
    let sides: Vec<f64> = text
        .split('x')
        .filter_map(|side| side.trim().parse().ok())
        .collect();
    match sides.as_slice() {
        &[width, depth] if width > 0.0 && depth > 0.0 => Ok([width, depth]),
        _ => bail!("'{text}' is not a bed; write its width and depth in mm like 220x210"),
    }
}

/// `FILE:N`, where a file whose name ends in a colon and digits is taken first if it exists.
fn parse_file(text: &str, copies: u32) -> anyhow::Result<(PathBuf, usize)> {
    if let Some((path, count)) = text.rsplit_once(':').filter(|_| !Path::new(text).exists())
        && let Ok(count) = count.parse::<usize>()
    {
        if !(1..=2000).contains(&count) {
            bail!("'{text}': between 1 and 2000 copies can be laid out");
        }
        if copies > 1 {
            bail!(
                "'{text}' says how many copies, and so does --copies {copies}; say it in one place"
            );
        }
        return Ok((path.into(), count));
    }
    Ok((text.into(), copies as usize))
}

/// Writes what was asked for; gives the names of the files.
fn write_all(
    to: &LayoutFiles,
    laid: &[(String, LaidPart, usize)],
    bed_mm: [f64; 2],
    plates: &[Layout],
) -> anyhow::Result<Vec<String>> {
    let parts: Vec<&LaidPart> = laid.iter().map(|(_, part, _)| part).collect();
    let copies: Vec<usize> = laid.iter().map(|(.., copies)| *copies).collect();
    let mut written = Vec::new();
    for (i, plate) in plates.iter().enumerate() {
        let number = (plates.len() > 1).then_some(i + 1);
        if let Some(out) = &to.out {
            write(out, number, &plate_3mf(&parts, plate), &mut written)?;
        }
        if let Some(out) = &to.svg {
            let placed = plate.placements.iter();
            let marks: Vec<String> = placed.map(|p| list::mark(&copies, p)).collect();
            let [width, depth] = bed_mm;
            let title = format!("Plate {} of {}, {width} x {depth} mm", i + 1, plates.len());
            let picture = plan::svg(&parts, plate, &marks, bed_mm, &title);
            write(out, number, picture.as_bytes(), &mut written)?;
        }
        if let Some(out) = &to.png
            && let Some(picture) = plan::png(&parts, plate, bed_mm)
        {
            write(out, number, &picture, &mut written)?;
        }
    }
    if let Some(out) = &to.list {
        write(out, None, list::csv(laid, plates).as_bytes(), &mut written)?;
    }
    Ok(written)
}

/// `plates-2.3mf` of `plates.3mf`; a name without an ending gets none.
fn numbered(out: &Path, n: usize) -> PathBuf {
    let stem = out.file_stem().unwrap_or_default().to_string_lossy();
    let name = match out.extension() {
        Some(ending) => format!("{stem}-{n}.{}", ending.to_string_lossy()),
        None => format!("{stem}-{n}"),
    };
    out.with_file_name(name)
}

/// Writes one file: `plates.3mf`, or `plates-1.3mf` and so on when there are several plates.
fn write(
    out: &Path,
    number: Option<usize>,
    bytes: &[u8],
    written: &mut Vec<String>,
) -> anyhow::Result<()> {
    let path = number.map_or_else(|| out.to_owned(), |n| numbered(out, n));
    whole(&path, bytes).map_err(|error| {
        anyhow!(
            "{} can't be written: {}",
            path.display(),
            output::plainly(&error)
        )
    })?;
    written.push(path.display().to_string());
    Ok(())
}

/// Writes all of a file or nothing: beside its place first. What is there and is no file, as a pipe
/// or a device, is written to where it is.
fn whole(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let path = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    if path.exists() && !path.is_file() {
        return std::fs::write(&path, bytes);
    }
    let mut beside = path.clone();
    beside
        .as_mut_os_string()
        .push(format!(".{}.part", std::process::id()));
    let moved = std::fs::write(&beside, bytes).and_then(|()| std::fs::rename(&beside, &path));
    if moved.is_err() {
        let _ = std::fs::remove_file(&beside);
    }
    moved
}

fn answer(
    laid: &[(String, LaidPart, usize)],
    bed: &Bed,
    plates: &[Layout],
    written: &[String],
) -> Value {
    let copies: Vec<usize> = laid.iter().map(|(.., copies)| *copies).collect();
    let parts: Vec<Value> = laid
        .iter()
        .enumerate()
        .map(|(i, (file, part, copies))| {
            let on = |plate: &Layout| plate.placements.iter().filter(|p| p.item == i).count();
            json!({
                "file": file, "part": part.name, "copies": copies, "size_mm": part.size_mm,
                "on_plates": plates.iter().map(on).collect::<Vec<_>>(),
            })
        })
        .collect();
    let plates: Vec<Value> = plates
        .iter()
        .map(|plate| {
            let placements: Vec<Value> = plate
                .placements
                .iter()
                .map(|p| {
                    json!({
                        "file": laid[p.item].0, "part": laid[p.item].1.name, "copy": p.copy + 1,
                        "mark": list::mark(&copies, p),
                        "x_mm": p.x_mm, "y_mm": p.y_mm, "rotation_deg": p.rotation_deg,
                    })
                })
                .collect();
            json!({ "used_mm": plate.used_mm, "placements": placements })
        })
        .collect();
    json!({
        "schema": 1, "bed_mm": bed.size_mm, "clearance_mm": bed.clearance_mm, "edge_mm": bed.edge_mm,
        "parts": parts,
        "plates": plates,
        "written": written,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plates_are_numbered_before_the_ending_if_there_is_one() {
        let name = |out: &str| numbered(Path::new(out), 2).display().to_string();
        assert_eq!(name("out/plates.3mf"), "out/plates-2.3mf");
        assert_eq!(name("plates"), "plates-2");
    }
}
