//! Judging a part as a server would, and holding the findings against what was done to it.

use anyhow::{Context as _, Result};
use partpledge_catalogue::{Catalogue, Material, ProcessSheet};
use partpledge_formats::{Limits, read_model, write};
use partpledge_mesh::{Mesh, weld};
use partpledge_printability::{Bed, Finding, guess_unit};
use partpledge_units::length::LengthUnit;
use partpledge_workshop::intake::{IntakeOptions, JudgedFile, Orient, Stands, judge_file};

use crate::defect::{Defect, Spoilt};

/// Parts of the usual size: longest side, mm.
const USUAL_MM: [f64; 2] = [15.0, 250.0];
/// More triangles than this take too long a thousand times over.
const MOST_TRIANGLES: usize = 60_000;
/// A place may be outside of what was done by this much, mm.
const NEAR_MM: f64 = 1.0;
/// What no clean part may be said to have: these are yes or no by the triangles alone.
const NEVER_CLEAN: [&str; 8] = [
    "open-edges",
    "crowded-edges",
    "mixed-facing",
    "inside-out",
    "small-hole-filled",
    "doubled-triangles",
    "self-crossing",
    "overlapping-shells",
];

/// Judges for a plain sheet and the built-in printer classes.
pub(crate) struct Judge {
    sheet: ProcessSheet,
    material: Material,
    beds: Vec<Bed>,
}

/// A part that others call clean, in mm.
pub(crate) struct Clean {
    pub(crate) file: String,
    pub(crate) mesh: Mesh,
    /// What is said of it before anything is done to it, standing as sent.
    codes: Vec<&'static str>,
}

impl Clean {
    /// Whether a defect would show: a part that hangs over already can't tell one more overhang.
    pub(crate) fn fit_for(&self, defect: Defect) -> bool {
        let over_air = [
            "overhang",
            "starts-in-air",
            "long-bridge",
            "trapped-support",
        ];
        let own: &[&str] = match defect {
            Defect::Overhang | Defect::GoodSlope => &over_air,
            other => other.codes(),
        };
        !self.codes.iter().any(|code| own.contains(code))
    }
}

/// What came of a case.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Verdict {
    Found,
    /// With what was said instead.
    Missed(String),
}

impl Verdict {
    pub(crate) fn told(&self) -> (&'static str, &str) {
        match self {
            Self::Found => ("yes", ""),
            Self::Missed(why) => ("no", why),
        }
    }
}

impl Judge {
    pub(crate) fn new() -> Result<Self> {
        let catalogue = Catalogue::built_in();
        let sheet = catalogue
            .plain_sheet("PLA")
            .context("a plain sheet for PLA")?;
        let material = catalogue.material("PLA").context("PLA")?;
        let beds = catalogue.classes.iter().map(|class| Bed {
            name: class.name.clone(),
            size_mm: class.bed_mm,
        });
        Ok(Self {
            sheet: sheet.clone(),
            material: material.clone(),
            beds: beds.collect(),
        })
    }

    fn judged(&self, bytes: &[u8], unit: Option<LengthUnit>) -> Option<JudgedFile> {
        let options = IntakeOptions {
            unit,
            stands: &Stands::decide(Orient::AsSent),
            sheet: &self.sheet,
            material: &self.material,
            beds: &self.beds,
            limits: Limits::command_line(),
        };
        judge_file(bytes, "part.stl", &options).ok()
    }

    /// Reads a file of the list; `None` for one that is not a single part of usual size.
    pub(crate) fn clean(&self, file: &str) -> Option<Clean> {
        let bytes = std::fs::read(file).ok()?;
        let model = read_model(&bytes, file, &Limits::command_line()).ok()?;
        let [part] = model.parts.as_slice() else {
            return None;
        };
        let as_read = weld(&part.mesh, 1.0).mesh;
        let (low, high) = as_read.bounds()?;
        let size: [f64; 3] = std::array::from_fn(|k| high[k] - low[k]);
        let unit = guess_unit(size, model.declared_unit, 250.0).used;
        // By way of an STL: single precision, as a student's file has it.
        let in_mm = weld(&part.mesh, unit.mm()).mesh;
        let raw = partpledge_formats::RawMesh {
            vertices: in_mm.vertices,
            triangles: in_mm.triangles,
        };
        let bytes = write::stl_binary(&raw);
        let again = read_model(&bytes, "part.stl", &Limits::command_line()).ok()?;
        let mesh = weld(&again.parts.first()?.mesh, 1.0).mesh;
        let (low, high) = mesh.bounds()?;
        let longest = (0..3).map(|k| high[k] - low[k]).fold(0.0, f64::max);
        let usual = (USUAL_MM[0]..=USUAL_MM[1]).contains(&longest);
        if !usual || mesh.triangles.len() > MOST_TRIANGLES || mesh.triangles.len() < 20 {
            return None;
        }
        let judged = self.judged(&bytes, Some(LengthUnit::Millimetre))?;
        let codes = judged.parts[0].findings.iter().map(|f| f.code).collect();
        Some(Clean {
            file: file.to_owned(),
            mesh,
            codes,
        })
    }

    /// What a clean part in mm is wrongly said to have, if anything.
    pub(crate) fn false_alarm(&self, part: &Clean) -> Option<String> {
        let raw = partpledge_formats::RawMesh {
            vertices: part.mesh.vertices.clone(),
            triangles: part.mesh.triangles.clone(),
        };
        let judged = self.judged(&write::stl_binary(&raw), None)?;
        let units = ["unit-guessed", "unit-doubtful"];
        let codes = judged.parts.iter().flat_map(|part| &part.findings);
        let wrong = codes.map(|finding| finding.code);
        let wrong: Vec<&str> = wrong
            .filter(|code| NEVER_CLEAN.contains(code) || units.contains(code))
            .collect();
        (!wrong.is_empty()).then(|| wrong.join(" "))
    }

    pub(crate) fn verdict(&self, defect: Defect, spoilt: &Spoilt) -> Verdict {
        let unit = (defect != Defect::InchScale).then_some(LengthUnit::Millimetre);
        let Some(judged) = self.judged(&write::stl_binary(&spoilt.mesh), unit) else {
            return Verdict::Missed("not read".to_owned());
        };
        let found: Vec<&Finding> = judged.parts.iter().flat_map(|p| &p.findings).collect();
        if Defect::GOOD.contains(&defect) {
            let told = found.iter().find(|f| defect.codes().contains(&f.code));
            return told.map_or(Verdict::Found, |f| {
                Verdict::Missed(f.why.to_string().replace('"', "'"))
            });
        }
        if defect == Defect::InchScale {
            let asked = found.iter().any(|f| f.code == "unit-doubtful");
            if asked || judged.unit.used == LengthUnit::Inch {
                return Verdict::Found;
            }
        } else if found
            .iter()
            .any(|f| defect.codes().contains(&f.code) && here(f, spoilt))
        {
            return Verdict::Found;
        }
        let said = found.iter().map(|f| {
            let place = f.place_mm.map(|p| p.map(|x| (x * 10.0).round() / 10.0));
            format!("{} {:?} at {place:?}", f.code, f.measured)
        });
        Verdict::Missed(format!(
            "wanted in {:?} {:?}; said {}",
            spoilt.place,
            spoilt.measured,
            said.collect::<Vec<_>>().join("; ")
        ))
    }
}

/// Whether a finding points where the defect is and has its size.
fn here(finding: &Finding, spoilt: &Spoilt) -> bool {
    let placed = spoilt.place.is_none_or(|(low, high)| {
        finding
            .place_mm
            .is_some_and(|p| (0..3).all(|k| p[k] >= low[k] - NEAR_MM && p[k] <= high[k] + NEAR_MM))
    });
    let sized = spoilt.measured.is_none_or(|(size, by)| {
        finding
            .measured
            .is_some_and(|found| (found - size).abs() <= by)
    });
    placed && sized
}
