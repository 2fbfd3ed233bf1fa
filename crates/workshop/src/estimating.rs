//! A judged part becomes paths, time and mass.

use partpledge_catalogue::{Catalogue, Material, PrinterClass, ProcessSheet};
use partpledge_mesh::{Mesh, fits_any_way_up};
use partpledge_records::StoredRequest;
use partpledge_records::stored::{StoredProcess, StoredStanding};
use partpledge_sections::{Outlines, Section, cut_layers, outlines, silhouette};
use partpledge_toolpath::{Estimate, Paths, paths, time};

use crate::error::WorkshopError;
use crate::intake::{JudgedPart, Orient, Stands};

/// Material and sheet chosen, with what was overruled.
#[derive(Clone, Debug)]
pub struct Process {
    /// The material.
    pub material: Material,
    /// The sheet, overrides applied.
    pub sheet: ProcessSheet,
}

impl Process {
    /// The sheet asked for, or the plain one of the material asked for (PLA unless said). Capital
    /// letters of codes don't matter.
    ///
    /// # Errors
    /// [`WorkshopError::Unknown`], [`WorkshopError::OutOfRange`].
    pub fn choose(
        catalogue: &Catalogue,
        material: Option<&str>,
        sheet: Option<&str>,
        infill_percent: Option<f64>,
    ) -> Result<Self, WorkshopError> {
        let unknown = |what, name: &str, known: Vec<&str>| WorkshopError::Unknown {
            what,
            name: name.to_owned(),
            known: known.join(", "),
        };
        let codes = || {
            catalogue
                .materials
                .iter()
                .map(|m| m.code.as_str())
                .collect()
        };
        let material = material.map(|code| {
            let mut known = catalogue.materials.iter().map(|m| m.code.as_str());
            known
                .find(|known| known.eq_ignore_ascii_case(code))
                .unwrap_or(code)
        });
        let sheet = sheet.map(|code| {
            let mut known = catalogue.sheets.iter().map(|s| s.code.as_str());
            known
                .find(|known| known.eq_ignore_ascii_case(code))
                .unwrap_or(code)
        });
        let mut chosen = match sheet {
            Some(code) => catalogue.sheet(code).ok_or_else(|| {
                unknown(
                    "process sheet",
                    code,
                    catalogue.sheets.iter().map(|s| s.code.as_str()).collect(),
                )
            })?,
            None => {
                let code = material.unwrap_or("PLA");
                catalogue
                    .plain_sheet(code)
                    .ok_or_else(|| unknown("material", code, codes()))?
            }
        }
        .clone();
        if let Some(code) = material.filter(|code| *code != chosen.material) {
            return Err(unknown(
                "sheet for material",
                code,
                vec![chosen.code.as_str()],
            ));
        }
        if let Some(percent) = infill_percent {
            if !(0.0..=100.0).contains(&percent) {
                return Err(WorkshopError::OutOfRange {
                    what: "infill",
                    range: "from 0 to 100 percent",
                });
            }
            chosen.infill_percent = percent;
        }
        let material = catalogue
            .material(&chosen.material)
            .ok_or_else(|| unknown("material", &chosen.material, codes()))?;
        Ok(Self {
            material: material.clone(),
            sheet: chosen,
        })
    }

    /// As a request keeps it, with how its parts stand.
    #[must_use]
    pub fn stored(&self, orient: Orient, standing: Vec<StoredStanding>) -> StoredProcess {
        StoredProcess {
            schema: 1,
            sheet: self.sheet.code.clone(),
            infill_percent: self.sheet.infill_percent,
            orient: orient.word().to_owned(),
            standing,
            fetch_at: None,
        }
    }

    /// The process of a request and how its parts stand; the plain sheet of its material when none was kept.
    ///
    /// # Errors
    /// As [`Process::choose`]; [`WorkshopError::Store`] for a document that can't be read.
    pub fn of_request(
        catalogue: &Catalogue,
        request: &StoredRequest,
    ) -> Result<(Self, Stands), WorkshopError> {
        let Some(text) = &request.process else {
            let plain = Self::choose(catalogue, Some(&request.material), None, None)?;
            return Ok((plain, Stands::decide(Orient::Best)));
        };
        let kept = StoredProcess::from_text(text)?;
        let (sheet, infill) = (Some(kept.sheet.as_str()), Some(kept.infill_percent));
        let chosen = Self::choose(catalogue, Some(&request.material), sheet, infill)?;
        let stands = Stands {
            decided: kept.standing,
            ..Stands::decide(Orient::parse(&kept.orient))
        };
        Ok((chosen, stands))
    }

    /// The sheet's code with what was overruled, as estimates are kept under.
    #[must_use]
    pub fn key(&self) -> String {
        format!("{} at {} %", self.sheet.code, self.sheet.infill_percent)
    }
}

/// A part laid down line by line, ready to be timed on any class.
#[derive(Clone, Debug)]
pub struct LaidPart {
    /// For people.
    pub name: String,
    /// The way it stands.
    pub standing: StoredStanding,
    /// Standing as chosen.
    pub mesh: Mesh,
    /// Its lines.
    pub paths: Paths,
    /// Its shadow on the bed, with that of its support and brim.
    pub shadow: Outlines,
    /// Size in mm, standing.
    pub size_mm: [f64; 3],
}

/// Cuts a part and lays its lines.
///
/// # Errors
/// [`WorkshopError::Slice`].
pub fn lay(part: &JudgedPart, sheet: &ProcessSheet) -> Result<LaidPart, WorkshopError> {
    let mesh = part.standing_mesh();
    let again;
    let cut: &[Section] = match &part.sections {
        // Cut when it was judged, for this very sheet.
        Some(sections) => sections,
        None => {
            again = cut_layers(&mesh, sheet.first_layer_height_mm, sheet.layer_height_mm)?;
            &again
        }
    };
    let laid = paths(cut, sheet);
    let bounds = mesh.bounds().unwrap_or_default();
    // The shadow is drawn a hair too large; a part as large as a bed fits it.
    let mut shadow = outlines::common(&silhouette(&mesh)?, &boxed(bounds));
    if !laid.aside.is_empty() {
        shadow.extend(laid.aside.iter().cloned());
        shadow = outlines::clean(&shadow);
    }
    let (low, high) = bounds;
    let size_mm = std::array::from_fn(|k| high[k] - low[k]);
    Ok(LaidPart {
        name: part.name.clone(),
        standing: part.decided(),
        paths: laid,
        mesh,
        shadow,
        size_mm,
    })
}

/// The box round a part, seen from above.
fn boxed((low, high): ([f64; 3], [f64; 3])) -> Outlines {
    let corners = [
        [low[0], low[1]],
        [high[0], low[1]],
        [high[0], high[1]],
        [low[0], high[1]],
    ];
    vec![corners.map(|[x, y]| outlines::to_point(x, y)).to_vec()]
}

/// Times a laid part on a class.
///
/// # Errors
/// [`WorkshopError::Estimate`].
pub fn timed(
    part: &LaidPart,
    process: &Process,
    class: &PrinterClass,
) -> Result<Estimate, WorkshopError> {
    Ok(time(&part.paths, &process.sheet, class, &process.material)?)
}

/// The class that a bare estimate is for: the one asked for, else the first, smallest bed first
/// among the common ones, that takes the material and has room for every part as it stands. Where
/// none has, the first that could take each of them some other way up.
///
/// Asked before any line is laid: the lines of a part far larger than every bed take minutes.
///
/// # Errors
/// [`WorkshopError::Unknown`] for a class that is not there or takes not the material;
/// [`WorkshopError::NoRoom`] for a part too large for it whichever side is down.
pub fn class_for<'a>(
    catalogue: &'a Catalogue,
    asked: Option<&str>,
    process: &Process,
    sizes_mm: &[[f64; 3]],
) -> Result<&'a PrinterClass, WorkshopError> {
    if let Some(code) = asked {
        let class = catalogue
            .class(code)
            .ok_or_else(|| WorkshopError::Unknown {
                what: "printer class",
                name: code.to_owned(),
                known: catalogue
                    .classes
                    .iter()
                    .map(|c| c.code.as_str())
                    .collect::<Vec<_>>()
                    .join(", "),
            })?;
        return roomy(class, sizes_mm);
    }
    let able = || {
        catalogue
            .classes
            .iter()
            .filter(|class| class.takes(&process.material.code))
    };
    let holds = |class: &&PrinterClass| sizes_mm.iter().all(|&size| class.holds(size));
    let usual = able().find(|class| class.code == "standard" && holds(class));
    if let Some(class) = usual.or_else(|| able().find(holds)) {
        return Ok(class);
    }
    if let Some(class) = able().find_map(|class| roomy(class, sizes_mm).ok()) {
        return Ok(class);
    }
    let volume = |class: &PrinterClass| class.bed_mm.iter().product::<f64>();
    let largest = able().max_by(|a, b| volume(a).total_cmp(&volume(b)));
    let largest = largest.ok_or_else(|| WorkshopError::Unknown {
        what: "printer class for",
        name: process.material.code.clone(),
        known: String::new(),
    })?;
    roomy(largest, sizes_mm)
}

/// The class, if each part fits into its room some way up.
fn roomy<'a>(
    class: &'a PrinterClass,
    sizes_mm: &[[f64; 3]],
) -> Result<&'a PrinterClass, WorkshopError> {
    let mut sizes = sizes_mm.iter();
    match sizes.find(|&&size_mm| !fits_any_way_up(size_mm, class.bed_mm)) {
        None => Ok(class),
        Some(&size_mm) => Err(WorkshopError::NoRoom {
            size_mm,
            class: class.name.clone(),
            room_mm: class.bed_mm,
        }),
    }
}
