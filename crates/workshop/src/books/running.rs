//! Plates that run at present, with what is known of each run.

use partpledge_planning_model::{Making, Plate, PlateSeq, PrinterIx};
use partpledge_records::{KeptPlate, StepKind};
use partpledge_units::time::{EventMs, Minute};

use super::Books;
use crate::terrain::Terrain;

/// A run of which nobody has told how it ended.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Run<'a> {
    /// The whole plate.
    pub(crate) plate: &'a Plate,
    /// How it is made there.
    pub(crate) making: &'a Making,
    /// On which printer.
    pub(crate) printer: PrinterIx,
    /// Since when.
    pub(crate) start: Minute,
}

impl Run<'_> {
    /// When all the time that is kept for it is over.
    pub(crate) fn end(&self) -> Minute {
        self.start + self.making.reserved
    }
}

impl Books {
    /// Plates that run, with the minute of their start.
    #[must_use]
    pub fn running(&self) -> Vec<(PlateSeq, Minute, String)> {
        let with = self.floor.plates.iter().filter_map(|plate| {
            let step = self.step(plate.seq.0, StepKind::Started)?;
            Some((plate.seq, began(plate, step.at), step.printer.clone()))
        });
        with.collect()
    }

    /// The run of a plate, or of the one that it joined; `None` where nothing runs, and for a printer that is
    /// no more in the region or that it was not laid out for.
    pub(crate) fn run_of<'a>(&'a self, terrain: &Terrain, kept: &KeptPlate) -> Option<Run<'a>> {
        self.run(terrain, self.whole(kept)?)
    }

    /// All runs, in order of plate.
    pub(crate) fn runs_now<'a>(&'a self, terrain: &Terrain) -> impl Iterator<Item = Run<'a>> {
        let plates = self.floor.plates.iter();
        plates.filter_map(|plate| self.run(terrain, plate))
    }

    fn run<'a>(&'a self, terrain: &Terrain, plate: &'a Plate) -> Option<Run<'a>> {
        let step = self.step(plate.seq.0, StepKind::Started)?;
        let printer = terrain.printer_of(&step.printer)?;
        let making = plate.makings.iter().find(|m| m.printer == printer)?;
        Some(Run {
            plate,
            making,
            printer,
            start: began(plate, step.at),
        })
    }
}

/// The minute that a run counts from: the one in which it was started. Rounded up, a start nine seconds into
/// the planned minute would be late. Nothing runs before it was asked for.
pub(crate) fn began(plate: &Plate, at: EventMs) -> Minute {
    Minute::at_or_before(at).max(plate.release.min(Minute::at_or_after(at)))
}
