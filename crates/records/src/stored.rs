//! Stored forms of planning's words. Printers and places are stored by name, so that a region
//! file may list them in another order later.

mod judged;

use partpledge_planning_model::{
    Assignment, Footprint, Making, PlaceIx, Plan, Plate, PlateSeq, PrinterIx, Promise, Wish,
};
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::Said;
use serde::{Deserialize, Serialize};

use crate::error::StoreError;
use crate::floor::Names;

pub(crate) use judged::sheet_of;
pub use judged::{
    StoredFacts, StoredFinding, StoredProcess, StoredRepairs, StoredStanding, facts_from_text,
    facts_to_text, findings_from_text, findings_to_text, repairs_to_text,
};

/// A plate as stored.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StoredPlate {
    /// Form of this document.
    pub schema: u32,
    /// What it carries.
    pub label: String,
    /// Material code.
    pub material: String,
    /// Ways to make it.
    pub makings: Vec<StoredMaking>,
    /// Minutes of UTC.
    pub release: i64,
    /// Name of the place it goes to.
    pub to: String,
    /// Copies on it.
    pub copies: u32,
    /// Arrival (minutes of UTC) and chance promised.
    pub promise: Option<(i64, f64)>,
    /// Filament it takes; unknown, and taken for none, in documents from before it was counted.
    #[serde(default)]
    pub grams: i64,
    /// When its team needs it, in minutes of UTC.
    #[serde(default)]
    pub need_by: Option<i64>,
    /// Requests that its team was given before it in the season.
    #[serde(default)]
    pub turn: u32,
}

/// A way to make a plate, as stored.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StoredMaking {
    /// Printer's name.
    pub printer: String,
    /// Footprint in mm.
    pub footprint_mm: [f64; 3],
    /// Minutes.
    pub nominal: i64,
    /// Minutes.
    pub reserved: i64,
    /// Minutes, never corrected; the same as `nominal` in documents from before there was learning.
    #[serde(default)]
    pub worked_out: Option<i64>,
}

/// A place in the plan, as stored.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct StoredAssignment {
    /// Plate number.
    pub plate: u64,
    /// Printer's name.
    pub printer: String,
    /// Minutes of UTC.
    pub start: i64,
    /// Minutes of UTC.
    pub end: i64,
    /// Minutes of UTC.
    pub cleared: i64,
    /// Minutes of UTC.
    pub ready: i64,
    /// Minutes of UTC.
    pub arrives: i64,
    /// Whether it must not move.
    pub frozen: bool,
}

/// Where a name stands, if it does; a name that stands twice could mean either.
fn position(names: &[String], name: &str) -> Result<Option<usize>, StoreError> {
    let mut found = (0..names.len()).filter(|&i| names[i] == name);
    match (found.next(), found.next()) {
        (_, Some(_)) => Err(damaged(format!("two in the region are called '{name}'"))),
        (first, None) => Ok(first),
    }
}

fn lookup(names: &[String], name: &str) -> Result<usize, StoreError> {
    position(names, name)?.ok_or_else(|| damaged(format!("'{name}' is no longer in the region")))
}

/// The name that will lead back to `i`.
fn name_of(names: &[String], i: usize) -> Result<String, StoreError> {
    let missing = || damaged(format!("there is no printer or place number {i}"));
    let name = names.get(i).ok_or_else(missing)?;
    position(names, name)?;
    Ok(name.clone())
}

fn damaged(why: String) -> StoreError {
    StoreError::Damaged { what: "plan", why }
}

impl StoredPlate {
    /// As stored.
    ///
    /// # Errors
    /// [`StoreError::Damaged`] for a printer or place that is not in the region.
    pub fn from_plate(plate: &Plate, names: &Names) -> Result<Self, StoreError> {
        let making = |making: &Making| {
            Ok(StoredMaking {
                printer: name_of(&names.printers, making.printer.0)?,
                footprint_mm: making.footprint.0,
                nominal: making.nominal.0,
                reserved: making.reserved.0,
                worked_out: Some(making.worked_out.0),
            })
        };
        Ok(Self {
            schema: 1,
            label: plate.label.clone(),
            material: plate.material.clone(),
            makings: plate
                .makings
                .iter()
                .map(making)
                .collect::<Result<_, StoreError>>()?,
            release: plate.release.0,
            to: name_of(&names.places, plate.to.0)?,
            copies: plate.copies,
            promise: plate
                .promise
                .map(|promise| (promise.arrival.0, promise.probability)),
            grams: plate.grams,
            need_by: plate.wish.need_by.map(|by| by.0),
            turn: plate.wish.turn,
        })
    }

    /// As planning knows it. Ways on printers that have left the region are dropped.
    ///
    /// # Errors
    /// [`StoreError::Damaged`] for a place that is not in the region.
    pub fn to_plate(&self, seq: u64, names: &Names) -> Result<Plate, StoreError> {
        let mut makings = Vec::with_capacity(self.makings.len());
        for making in &self.makings {
            let Some(printer) = position(&names.printers, &making.printer)? else {
                continue;
            };
            makings.push(Making {
                printer: PrinterIx(printer),
                footprint: Footprint(making.footprint_mm),
                worked_out: Minutes(making.worked_out.unwrap_or(making.nominal)),
                nominal: Minutes(making.nominal),
                reserved: Minutes(making.reserved),
                likely: Minutes(making.nominal),
            });
        }
        makings.sort_by_key(|making| making.printer);
        Ok(Plate {
            seq: PlateSeq(seq),
            label: self.label.clone(),
            material: self.material.clone(),
            makings,
            release: Minute(self.release),
            to: PlaceIx(lookup(&names.places, &self.to)?),
            copies: self.copies,
            promise: self.promise.map(|(arrival, probability)| Promise {
                arrival: Minute(arrival),
                probability,
            }),
            grams: self.grams,
            wish: Wish {
                need_by: self.need_by.map(Minute),
                turn: self.turn,
                ..Wish::default()
            },
            // Whoever joined has a document of their own.
            riders: Vec::new(),
        })
    }
}

/// A plan as stored.
///
/// # Errors
/// [`StoreError::Damaged`] for a printer that is not in the region.
pub fn from_plan(plan: &Plan, names: &Names) -> Result<Vec<StoredAssignment>, StoreError> {
    let one = |a: &Assignment| {
        Ok(StoredAssignment {
            plate: a.plate.0,
            printer: name_of(&names.printers, a.printer.0)?,
            start: a.start.0,
            end: a.end.0,
            cleared: a.cleared.0,
            ready: a.ready.0,
            arrives: a.arrives.0,
            frozen: a.frozen,
        })
    };
    plan.assignments.iter().map(one).collect()
}

/// A stored plan as planning knows it, without what is on printers that would leave the region.
///
/// # Errors
/// [`StoreError::Damaged`] for any other printer that is not in the region.
pub fn to_plan(stored: &[StoredAssignment], names: &Names) -> Result<Plan, StoreError> {
    let one = |a: &StoredAssignment| {
        Ok(Assignment {
            plate: PlateSeq(a.plate),
            printer: PrinterIx(lookup(&names.printers, &a.printer)?),
            start: Minute(a.start),
            end: Minute(a.end),
            cleared: Minute(a.cleared),
            ready: Minute(a.ready),
            arrives: Minute(a.arrives),
            frozen: a.frozen,
        })
    };
    let stays = |a: &&StoredAssignment| !names.leaving.contains(&a.printer);
    let mut assignments = stored
        .iter()
        .filter(stays)
        .map(one)
        .collect::<Result<Vec<_>, StoreError>>()?;
    assignments.sort_by_key(|a| a.plate);
    Ok(Plan { assignments })
}

/// A pledge as it was answered, kept to be shown again word for word, in the tongue of whoever reads.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PledgeDocument {
    /// Form of this document.
    pub schema: u32,
    /// The team.
    pub team: String,
    /// What the part is called.
    pub part: String,
    /// Copies.
    pub copies: u32,
    /// Material code.
    pub material: String,
    /// Hand-over pledged, minutes of UTC.
    pub arrival_min: i64,
    /// Chance of that very hand-over.
    pub probability: f64,
    /// Hand-over if nothing goes wrong, minutes of UTC.
    pub nominal_min: i64,
    /// Where.
    pub place: String,
    /// The plates, in order of number.
    pub plates: Vec<PledgedPlate>,
    /// How the boxes travel.
    pub legs: Vec<PledgedLeg>,
    /// Why not earlier.
    pub reasons: Vec<Said>,
    /// Other answers.
    pub alternatives: Vec<PledgedAlternative>,
    /// When it was asked, minutes of UTC.
    pub asked_min: i64,
    /// Until when the first plate could still start as quoted, if nobody is faster, minutes of UTC.
    pub expires_min: i64,
    /// Plan revision it was made on, or made by once given.
    pub plan_revision: i64,
}

/// What one copy takes on one class of printer, as stored.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StoredEstimate {
    /// Form of this document.
    pub schema: u32,
    /// Layers.
    pub layers: usize,
    /// Printing, s, warming up not included.
    pub print_time_s: f64,
    /// Warming up, s.
    pub warmup_s: f64,
    /// Filament, mm.
    pub filament_mm: f64,
    /// Mass, g.
    pub mass_g: f64,
    /// Walls, mm.
    pub walls_mm: f64,
    /// Solid skins, mm.
    pub skins_mm: f64,
    /// Infill, mm.
    pub infill_mm: f64,
    /// Support and brim, mm.
    pub support_mm: f64,
    /// Support and brim, g, part of the mass; older estimates knew of none.
    #[serde(default)]
    pub support_g: f64,
    /// One run in ten is faster, s.
    pub p10_s: f64,
    /// Nine in ten are faster, s.
    pub p90_s: f64,
}

impl StoredEstimate {
    /// As text.
    ///
    /// # Errors
    /// [`StoreError::Damaged`] when a number is not one.
    pub fn to_text(&self) -> Result<String, StoreError> {
        write(self)
    }

    /// From text.
    ///
    /// # Errors
    /// [`StoreError::Damaged`].
    pub fn from_text(text: &str) -> Result<Self, StoreError> {
        read("estimate", text)
    }
}

/// A plate of a pledge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PledgedPlate {
    /// Number.
    pub plate: u64,
    /// Host's name.
    pub host: String,
    /// Printer's name.
    pub printer: String,
    /// Copies on it.
    pub copies: u32,
    /// Minutes of UTC.
    pub start_min: i64,
    /// Minutes of UTC.
    pub end_min: i64,
    /// Minutes of UTC.
    pub arrives_min: i64,
    /// Minutes that half of such runs take longer than, and that nine in ten stay under; not in
    /// pledges from before there was learning.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub takes_min: Option<(i64, i64)>,
}

/// A leg of a pledge.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PledgedLeg {
    /// `counter`, `courier` or `meeting`.
    pub kind: String,
    /// Host's name.
    pub from: String,
    /// Place.
    pub to: String,
    /// Minutes of UTC.
    pub leaves_min: i64,
    /// Minutes of UTC.
    pub arrives_min: i64,
}

/// Another answer that was offered.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PledgedAlternative {
    /// `way`, `material`, `fewer-first` or `fetch`; older documents only have ways.
    #[serde(default = "other_way")]
    pub kind: String,
    /// What would be different.
    pub what: Said,
    /// Minutes of UTC.
    pub arrival_min: i64,
    /// Its chance.
    pub probability: f64,
    /// What the team would change, if that is its to choose.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub change: Option<Change>,
}

/// What a team changes about a request to have it sooner.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Change {
    /// Another plastic, by its code.
    Material(String),
    /// Some copies first, the rest as a request of their own.
    FewerFirst {
        /// So many.
        first: u32,
        /// By then, in minutes of UTC.
        by_min: i64,
    },
    /// Fetched at another school, by its code.
    Fetch(String),
}

fn other_way() -> String {
    "way".to_owned()
}

impl PledgeDocument {
    /// As text.
    ///
    /// # Errors
    /// [`StoreError::Damaged`] when a number is not one.
    pub fn to_text(&self) -> Result<String, StoreError> {
        write(self)
    }

    /// From text.
    ///
    /// # Errors
    /// [`StoreError::Damaged`].
    pub fn from_text(text: &str) -> Result<Self, StoreError> {
        read("pledge", text)
    }
}

/// A document as text.
pub(crate) fn write<T: Serialize>(document: &T) -> Result<String, StoreError> {
    serde_json::to_string(document).map_err(|e| StoreError::Damaged {
        what: "document",
        why: e.to_string(),
    })
}

/// Text as a document.
/// A sentence in a column of its own; earlier releases kept the English text there.
pub(crate) fn said(kept: &str) -> Said {
    serde_json::from_str(kept).unwrap_or_else(|_| Said::written(kept))
}

pub(crate) fn read<T: for<'de> Deserialize<'de>>(
    what: &'static str,
    text: &str,
) -> Result<T, StoreError> {
    serde_json::from_str(text).map_err(|e| StoreError::Damaged {
        what,
        why: e.to_string(),
    })
}
