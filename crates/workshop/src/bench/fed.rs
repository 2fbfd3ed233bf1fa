//! What runs take from the spools on their printers.

use partpledge_records::{KeptPlate, RunningPlate, StepKind, StockChange};
use partpledge_stock::{Run, Use, uses_of};
use partpledge_units::cast::int_f64;
use partpledge_units::time::{EventMs, Minutes};

use super::draft::Draft;
use crate::programs::counts;
use crate::spools::taken_mg;

impl Draft<'_> {
    /// What a run that ends now took: its worked-out filament, or of one that failed the share of
    /// its time that it ran, from the spools that were on its printer meanwhile.
    pub(super) fn taken(&self, kept: &KeptPlate, whole: bool) -> StockChange {
        let ledger = &self.session.spools.ledger;
        StockChange {
            seen: ledger.entry,
            uses: self.uses(kept, whole).unwrap_or_default(),
            ..StockChange::default()
        }
    }

    fn uses(&self, kept: &KeptPlate, whole: bool) -> Option<Vec<Use>> {
        let (session, floor) = (self.session, &self.books.floor);
        let ledger = &session.spools.ledger;
        let plate = self.books.whole(kept)?;
        let started = self.books.step(plate.seq.0, StepKind::Started)?;
        let printer = session.terrain.printer_of(&started.printer)?;
        let making = plate
            .makings
            .iter()
            .find(|making| making.printer == printer)?;
        let likely_ms = making.likely.max(Minutes(1)).0 * 60_000;
        let ended = self.deed.occurred_at.0;
        let until = EventMs(ended.min(started.at.0 + likely_ms));
        let ran = int_f64(until.0 - started.at.0) / int_f64(likely_ms);
        let share = if whole { 1.0 } else { ran.clamp(0.0, 1.0) };
        let program = floor.program_of(plate.seq.0);
        let program = program.filter(|_| counts(&session.terrain, floor, plate.seq.0, printer));
        let grams = program.map_or(int_f64(plate.grams), |program| program.mass_g);
        let run = Run {
            plate: plate.seq.0,
            material: &plate.material,
            printer: &started.printer,
            from: started.at,
            until,
        };
        let used_mg = taken_mg(grams * share, &session.costs.rates);
        Some(uses_of(ledger, &run, used_mg))
    }

    /// The plate as it runs from now on.
    pub(super) fn runs_now(&self, kept: &KeptPlate, printer: &str) -> Option<RunningPlate> {
        let plate = self.books.whole(kept)?;
        Some(RunningPlate {
            grams: plate.grams,
            program: self.books.floor.program_of(plate.seq.0).cloned(),
            plate: plate.clone(),
            printer: printer.to_owned(),
            started_at: self.deed.occurred_at,
        })
    }
}
