//! A file becomes parts with facts, findings and a way to stand.

use partpledge_catalogue::{Material, ProcessSheet};
use partpledge_formats::{LeftOut, Limits as ReadLimits, ModelFile, read_model};
use partpledge_mesh::{Facts, Mesh, Repaired, facts, repair, weld};
use partpledge_orientation::{Choice, Question, as_decided, choices_for, shown};
use partpledge_printability::{
    Bed, Cut, Finding, Limits, Plastic, Severity, Subject, UnitJudgement, UnitSource, guess_unit,
    judge,
};
use partpledge_records::stored::StoredStanding;
use partpledge_sections::{Section, cut_layers, united_volume_mm3};
use partpledge_units::length::LengthUnit;

use crate::error::WorkshopError;

/// How the part is to stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Orient {
    /// As the file has it.
    AsSent,
    /// The recommended choice.
    Best,
}

impl Orient {
    /// As it is kept.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::AsSent => "as-sent",
            Self::Best => "best",
        }
    }

    /// What [`Orient::word`] wrote; anything else is the recommended way.
    #[must_use]
    pub fn parse(word: &str) -> Self {
        if word == Self::AsSent.word() {
            Self::AsSent
        } else {
            Self::Best
        }
    }
}

/// How the parts of a file stand: to be decided, or as it was decided before.
#[derive(Clone, Debug, PartialEq)]
pub struct Stands {
    /// What was asked for.
    pub orient: Orient,
    /// How each part stands, in order; where there is none, it is decided now.
    pub decided: Vec<StoredStanding>,
    /// Which way the part is pulled in use, in its own axes, if that was said.
    pub load: Option<[f64; 3]>,
}

impl Stands {
    /// Nothing was decided yet.
    #[must_use]
    pub fn decide(orient: Orient) -> Self {
        Self {
            orient,
            decided: Vec::new(),
            load: None,
        }
    }
}

/// What is asked about a file.
#[derive(Clone, Debug)]
pub struct IntakeOptions<'a> {
    /// Unit asked for, if any.
    pub unit: Option<LengthUnit>,
    /// How parts are to stand.
    pub stands: &'a Stands,
    /// The sheet that findings are judged against.
    pub sheet: &'a ProcessSheet,
    /// The plastic that it is to be made of.
    pub material: &'a Material,
    /// Rooms of the printers at hand.
    pub beds: &'a [Bed],
    /// What a reader may take in.
    pub limits: ReadLimits,
}

/// A part of a file, judged.
#[derive(Clone, Debug)]
pub struct JudgedPart {
    /// For people.
    pub name: String,
    /// The mended mesh, or as read when nothing was mended; in mm, as sent.
    pub mesh: Mesh,
    /// Facts as read.
    pub facts: Facts,
    /// What was mended.
    pub repaired: Option<Repaired>,
    /// Volume with what overlaps counted once, mm³, for a closed part of several bodies.
    pub united_mm3: Option<f64>,
    /// Findings, worst first.
    pub findings: Vec<Finding>,
    /// How it is to stand.
    pub standing: Choice,
    /// The ways worth showing, the recommended one first; the chosen one is among them.
    pub ways: Vec<Choice>,
    /// Its layers, standing so, by the sheet it was judged for; `None` for a part that is not
    /// closed or can't be cut, and once they have been let go.
    pub sections: Option<Vec<Section>>,
}

/// A file, judged.
#[derive(Clone, Debug)]
pub struct JudgedFile {
    /// The unit used.
    pub unit: UnitJudgement,
    /// At least one part.
    pub parts: Vec<JudgedPart>,
    /// Members of a zip that should have been parts and could not be read.
    pub left_out: Vec<LeftOut>,
}

impl JudgedPart {
    /// The first blocking finding as an error.
    ///
    /// # Errors
    /// [`WorkshopError::NeedsChange`].
    pub fn printable(&self) -> Result<(), WorkshopError> {
        match self
            .findings
            .iter()
            .find(|finding| finding.severity == Severity::Blocking)
        {
            None => Ok(()),
            Some(finding) => Err(WorkshopError::NeedsChange {
                part: self.name.clone(),
                code: finding.code,
                why: Box::new(finding.why.clone()),
                what_to_do: Box::new(finding.what_to_do.clone()),
            }),
        }
    }

    /// How it stands, as a request keeps it.
    #[must_use]
    pub fn decided(&self) -> StoredStanding {
        StoredStanding {
            name: self.standing.name.clone(),
            rotation: self.standing.rotation,
        }
    }

    /// Its box as it stands, mm.
    #[must_use]
    pub fn standing_size_mm(&self) -> [f64; 3] {
        let bounds = self.standing_mesh().bounds();
        bounds.map_or([0.0; 3], |(low, high)| {
            std::array::from_fn(|k| high[k] - low[k])
        })
    }

    /// The mesh standing on z = 0 as chosen.
    #[must_use]
    pub fn standing_mesh(&self) -> Mesh {
        self.mesh.turned(&self.standing.rotation)
    }
}

/// Reads and judges a file.
///
/// # Errors
/// [`WorkshopError::Read`]; [`WorkshopError::UnitConflict`] when a 3MF declares another unit than
/// the one asked for.
pub fn judge_file(
    bytes: &[u8],
    file_name: &str,
    options: &IntakeOptions<'_>,
) -> Result<JudgedFile, WorkshopError> {
    let model = read_model(bytes, file_name, &options.limits)?;
    if let (Some(declared), Some(asked)) = (model.declared_unit, options.unit)
        && declared != asked
    {
        return Err(WorkshopError::UnitConflict { declared, asked });
    }
    let unit = judged_unit(&model, options);
    let left_out = model.left_out;
    let parts = model
        .parts
        .into_iter()
        .enumerate()
        .map(|(i, part)| {
            let welded = weld(&part.mesh, unit.used.mm());
            let triangles_read = part.mesh.triangles.len();
            drop(part.mesh);
            let facts = facts(&welded.mesh, triangles_read);
            let repaired = repair(&welded.mesh, &facts);
            let mesh = match &repaired {
                Some(repaired) => repaired.mesh.clone(),
                None => welded.mesh,
            };
            let beds: Vec<[f64; 3]> = options.beds.iter().map(|bed| bed.size_mm).collect();
            let (standing, ways) = standing(&mesh, &beds, (options.stands, i));
            let sections = layers(&mesh, &facts, repaired.as_ref(), &standing, options.sheet);
            let cut = sections.as_deref().map(|sections| Cut {
                sections,
                rotation: standing.rotation,
                drop_mm: lowest_mm(&mesh, &standing),
            });
            let united_mm3 = united_mm3(&mesh, repaired.as_ref().map_or(&facts, |r| &r.facts));
            let findings = judge(&Subject {
                mesh: &mesh,
                facts: &facts,
                repaired: repaired.as_ref(),
                degenerate_dropped: welded.degenerate_dropped,
                duplicates_dropped: welded.duplicates_dropped,
                duplicate_place_mm: welded.duplicate_place_mm,
                unit,
                limits: Limits::usual(options.sheet.line_width_mm, options.sheet.layer_height_mm),
                united_mm3,
                plastic: Some(plastic(options.material, options.sheet)),
                beds: options.beds,
                beds_as_it_stands: Some(standing.bed_fit.any_turn),
                up: [
                    standing.rotation[6],
                    standing.rotation[7],
                    standing.rotation[8],
                ],
                cut,
            });
            JudgedPart {
                name: part.name,
                mesh,
                facts,
                repaired,
                united_mm3,
                findings,
                standing,
                ways,
                sections,
            }
        })
        .collect();
    Ok(JudgedFile {
        unit,
        parts,
        left_out,
    })
}

/// What printability wants to know of the plastic.
fn plastic(material: &Material, sheet: &ProcessSheet) -> Plastic {
    let line_mm2 = sheet.line_width_mm * sheet.layer_height_mm;
    Plastic {
        warping: material.warping,
        density_g_mm3: material.density_g_mm3(),
        infill_share: sheet.infill_percent / 100.0,
        infill_mm3_s: (sheet.infill_speed_mm_s * line_mm2).min(sheet.max_flow_mm3_s),
        walls_mm: f64::from(sheet.walls) * sheet.line_width_mm,
    }
}

/// Sections from which the volume of several bodies is taken.
const VOLUME_CUTS: usize = 256;

fn united_mm3(mesh: &Mesh, facts: &Facts) -> Option<f64> {
    let several = facts.watertight && facts.shells.len() > 1;
    several.then(|| united_volume_mm3(mesh, VOLUME_CUTS).ok())?
}

/// A closed part's layers.
fn layers(
    mesh: &Mesh,
    facts: &Facts,
    repaired: Option<&Repaired>,
    standing: &Choice,
    sheet: &ProcessSheet,
) -> Option<Vec<Section>> {
    if !repaired
        .map_or(facts, |repaired| &repaired.facts)
        .watertight
    {
        return None;
    }
    let standing = mesh.turned(&standing.rotation);
    cut_layers(
        &standing,
        sheet.first_layer_height_mm,
        sheet.layer_height_mm,
    )
    .ok()
}

/// Height of the lowest corner once turned: by so much it is lowered to the bed, mm.
fn lowest_mm(mesh: &Mesh, standing: &Choice) -> f64 {
    let [x, y, z] = [
        standing.rotation[6],
        standing.rotation[7],
        standing.rotation[8],
    ];
    let corners = mesh.triangles.iter().flatten();
    let heights = corners.map(|&i| {
        let p = mesh.vertices[i as usize];
        x * p[0] + y * p[1] + z * p[2]
    });
    let lowest = heights.fold(f64::MAX, f64::min);
    if lowest < f64::MAX { lowest } else { 0.0 }
}

/// The way that the `i`-th part stands, and those worth showing.
fn standing(
    mesh: &Mesh,
    beds: &[[f64; 3]],
    (stands, i): (&Stands, usize),
) -> (Choice, Vec<Choice>) {
    let question = Question {
        beds,
        load: stands.load,
        ..Question::default()
    };
    let list = choices_for(mesh, &question);
    let mut ways: Vec<Choice> = shown(&list).into_iter().cloned().collect();
    if let Some(decided) = stands.decided.get(i) {
        let same = |way: &&Choice| {
            let turns = way.rotation.iter().zip(&decided.rotation);
            turns.into_iter().all(|(a, b)| (a - b).abs() < SAME_TURN)
        };
        if let Some(way) = ways.iter().find(same) {
            return (way.clone(), ways);
        }
        let kept = as_decided(mesh, &question, (&decided.name, decided.rotation));
        ways.push(kept.clone());
        return (kept, ways);
    }
    let sent = ways
        .iter()
        .position(|choice| choice.name == "as sent")
        .expect("as sent is always among the choices");
    let chosen = if stands.orient == Orient::Best {
        0
    } else {
        sent
    };
    (ways[chosen].clone(), ways)
}

/// Rotations whose numbers differ by no more are the same.
const SAME_TURN: f64 = 1e-9;

/// Corners that are looked at to guess the unit.
const UNIT_CORNERS: usize = 3_000;

/// Corners of all parts, evenly chosen.
fn some_corners(model: &ModelFile) -> Vec<[f64; 3]> {
    let all = || model.parts.iter().flat_map(|part| &part.mesh.vertices);
    let step = all().count().div_ceil(UNIT_CORNERS).max(1);
    all().step_by(step).copied().collect()
}

/// The unit: the file's own, else the one asked for, else a guess over all parts.
fn judged_unit(model: &ModelFile, options: &IntakeOptions<'_>) -> UnitJudgement {
    let mut raw_size = [0.0_f64; 3];
    for part in &model.parts {
        for (k, size) in raw_size.iter_mut().enumerate() {
            let along = || part.mesh.vertices.iter().map(|p| p[k]);
            let extent = along().fold(f64::MIN, f64::max) - along().fold(f64::MAX, f64::min);
            *size = size.max(extent);
        }
    }
    let largest_bed_mm = options
        .beds
        .iter()
        .flat_map(|bed| bed.size_mm)
        .fold(0.0, f64::max);
    let guess = guess_unit(raw_size, model.declared_unit, largest_bed_mm);
    let guess = guess.looking_at(&some_corners(model), largest_bed_mm);
    match options.unit {
        Some(unit) if guess.source != UnitSource::File => guess.overruled(unit),
        _ => guess,
    }
}
