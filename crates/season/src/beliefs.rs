//! What people believe of the region as the season goes: from finished runs and visits made.

use std::collections::BTreeMap;

use partpledge_planning_model::{Making, Plate, Printer, Region, Window};
use partpledge_quality::attendance::{Attendance, Visit};
use partpledge_quality::{Learned, PrinterPrior, Run, learn, losses};
use partpledge_units::cast::{ceil_i64, round_i64};
use partpledge_units::time::{Minute, Minutes};

use crate::floor::Ended;
use crate::scenario::Setting;

/// Standard normal value that one run in ten exceeds.
const ONE_IN_TEN: f64 = 1.281_551_6;
/// A run on the floor ends with a whole minute: on average so long after the printer really stops, which in
/// the workshop is noted to the millisecond. Learned as it is, it would be rounded up once more in the plan.
const ROUNDED_UP_BY_MIN: f64 = 0.5;
/// Length of a run where none is known, h. Common practice, no source.
const USUAL_RUN_H: f64 = 4.0;

/// The region as believed now, and how long things are likely to take.
#[derive(Clone, Debug)]
pub(crate) struct Beliefs {
    /// With the rates believed now.
    pub(crate) region: Region,
    learned: Learned,
    /// Factors by printer and sheet, as far as asked.
    bands: Vec<BTreeMap<String, [f64; 2]>>,
}

impl Beliefs {
    /// After these runs and visits, as the workshop learns before each session.
    #[must_use]
    pub(crate) fn after(
        setting: &Setting,
        runs: &[Run],
        visits: &[Vec<(Window, bool)>],
        now: Minute,
    ) -> Self {
        let printers = setting.region.printers.iter().zip(&setting.classes);
        let priors: Vec<PrinterPrior> = printers
            .map(|(printer, class)| PrinterPrior {
                name: printer.name.clone(),
                class: class.clone(),
                noise: printer.time_sigma,
                yield_mean: 1.0 - losses::lost(rates(printer), hours(runs, &printer.name)),
            })
            .collect();
        let learned = learn(&priors, runs);
        let mut region = setting.region.clone();
        for printer in &mut region.printers {
            let Some(known) = learned.printer(&printer.name) else {
                continue;
            };
            let usual = known.usual().map(|next| next.sigma());
            printer.time_sigma = usual.unwrap_or(printer.time_sigma);
            if !runs.is_empty() {
                let usual_h = hours(runs, &printer.name);
                let lost = 1.0 - known.first_pass.mean();
                (printer.start_failure, printer.failures_per_hour) =
                    losses::scaled(rates(printer), usual_h, lost);
            }
        }
        attend(&mut region, visits, now);
        let bands = vec![BTreeMap::new(); region.printers.len()];
        Self {
            region,
            learned,
            bands,
        }
    }

    /// A plate's makings as they are expected now; `reserved` too, for one that is made up anew.
    pub(crate) fn expect(&mut self, plate: &mut Plate, anew: bool) {
        for making in &mut plate.makings {
            let factors = self.band(making.printer.0, &plate.material);
            let [middle, high] = factors.map(|factor| times(making.worked_out, factor));
            if anew {
                *making = Making {
                    nominal: middle,
                    reserved: high.max(middle),
                    ..*making
                };
            }
            // To the nearest, as in the workshop: quotes round each run that they throw up themselves.
            let likely = round_i64(making.worked_out.0 as f64 * factors[0]);
            making.likely = likely.map_or(middle, |minutes| Minutes(minutes.max(1)));
        }
    }

    /// Factors on worked-out times that half of the runs, and nine in ten, stay below.
    fn band(&mut self, p: usize, sheet: &str) -> [f64; 2] {
        if let Some(known) = self.bands[p].get(sheet) {
            return *known;
        }
        let printer = &self.region.printers[p];
        let factors = match self.learned.next(&printer.name, sheet) {
            Some(next) => [next.median(), next.quantile(0.9)],
            None => [1.0, (ONE_IN_TEN * printer.time_sigma).exp()],
        };
        self.bands[p].insert(sheet.to_owned(), factors);
        factors
    }
}

/// Minutes that a factor makes of what was worked out.
fn times(worked_out: Minutes, factor: f64) -> Minutes {
    let minutes = worked_out.0 as f64 * factor;
    // A whole number times exactly one must not be rounded up by a last digit.
    Minutes(ceil_i64(minutes - 1e-9).unwrap_or(worked_out.0).max(1))
}

fn rates(printer: &Printer) -> losses::Rates {
    losses::Rates {
        start: printer.start_failure,
        an_hour: printer.failures_per_hour,
    }
}

/// Mean length of a printer's runs as worked out, h.
fn hours(runs: &[Run], printer: &str) -> f64 {
    let own = runs.iter().filter(|run| run.printer == printer);
    let (sum, many) = own.fold((0.0, 0.0), |(sum, many), run| {
        (sum + run.worked_out_min, many + 1.0)
    });
    if many > 0.0 {
        sum / many / 60.0
    } else {
        USUAL_RUN_H
    }
}

/// Chances that nobody comes, from the visits until now.
fn attend(region: &mut Region, visits: &[Vec<(Window, bool)>], now: Minute) {
    let mut seen = Vec::new();
    for (site, windows) in visits.iter().enumerate() {
        let past = windows.iter().filter(|(window, _)| window.until <= now);
        seen.extend(past.map(|(window, came)| Visit {
            site,
            days_ago: (now - window.until).0 as f64 / 1_440.0,
            came: *came,
        }));
    }
    let attendance = Attendance::after(&seen);
    for (site, words) in region.sites.iter_mut().enumerate() {
        words.no_show = attendance.no_show(site, words.no_show);
    }
}

/// A run on the floor as it is learned from; nothing of one that was cut off as people left, which
/// the quotes foresee by the calendar.
pub(crate) fn learned_from(setting: &Setting, ended: &Ended, plate: &Plate) -> Option<Run> {
    let printer = &setting.region.printers[ended.printer.0];
    (!ended.cut_off).then(|| Run {
        printer: printer.name.clone(),
        sheet: plate.material.clone(),
        worked_out_min: ended.worked_out.0 as f64,
        took_min: (ended.cleared - ended.start).0 as f64 - ROUNDED_UP_BY_MIN,
        witnessed: ended.seen,
        // Simulated people tick as a run ends, if they are there: their ticks are exact.
        ticked: false,
        whole: ended.good,
        by_program: false,
        copies: 1,
        good: u32::from(ended.good),
    })
}

#[cfg(test)]
mod tests {
    use partpledge_planning::Ground;
    use partpledge_planning::luck::{Luck, run};
    use partpledge_planning_model::{
        Footprint, PlaceIx, PlateSeq, PrinterIx, Site, SiteIx, Windows, Wish,
    };

    use super::*;
    use crate::floor::Floor;

    /// A printer that never loses a run, where somebody always is.
    fn setting() -> Setting {
        let always = Window {
            from: Minute(0),
            until: Minute(1_000_000),
        };
        let site = Site {
            staffed: Windows::joined(vec![always]),
            ..Site::default()
        };
        let printer = Printer {
            name: "A".to_owned(),
            site: SiteIx(0),
            materials: vec!["PLA".to_owned()],
            time_sigma: 0.06,
            ..Printer::default()
        };
        Setting {
            region: Region {
                sites: vec![site],
                printers: vec![printer],
                ..Region::default()
            },
            classes: vec!["standard".to_owned()],
            kinds: Vec::new(),
            teams: Vec::new(),
            a_day: 0.0,
            by_hour: [1.0; 24],
            levels: Vec::new(),
            from: Minute(0),
            days: 1,
            shared: None,
        }
    }

    fn plate(number: u64, worked_out: Minutes) -> Plate {
        let printer = PrinterIx(0);
        let size = Footprint([50.0, 50.0, 50.0]);
        Plate {
            seq: PlateSeq(number),
            label: String::new(),
            material: "PLA".to_owned(),
            makings: vec![Making::new(printer, size, worked_out, worked_out)],
            release: Minute(0),
            to: PlaceIx(0),
            copies: 1,
            promise: None,
            grams: 1,
            wish: Wish::default(),
            riders: Vec::new(),
        }
    }

    /// A minute too much is one in sixty here, and a promise in thirty near the minute a round leaves.
    #[test]
    fn runs_of_whole_minutes_teach_the_factor_that_the_printer_has() {
        const FACTOR: f64 = 1.037;
        let setting = setting();
        let ground = Ground::new(&setting.region);
        let factors = [FACTOR];
        let floor = Floor::real(&ground, &ground, &factors, 5);
        let ran = |number: u64| {
            let worked_out = Minutes(50 + i64::try_from(number % 23).ok()?);
            let plate = plate(number, worked_out);
            let really = floor.really(&plate.makings[0]);
            let start = Minute(10);
            let end = run(&ground, &really, start, Luck::of(5, 0, plate.seq, 0))?;
            let ended = Ended {
                plate: plate.seq,
                printer: PrinterIx(0),
                worked_out,
                start,
                cleared: end.cleared,
                seen: end.stopped == end.cleared,
                good: end.good,
                cut_off: false,
            };
            learned_from(&setting, &ended, &plate)
        };
        let runs: Vec<Run> = (0..6_000).filter_map(ran).collect();
        assert_eq!(runs.len(), 6_000);
        let logs = runs
            .iter()
            .map(|run| (run.took_min / run.worked_out_min).ln());
        let off = logs.sum::<f64>() / 6_000.0 - FACTOR.ln();
        // Standard error 0.0008; each minute rounded up is half a one too much, 0.008 of these runs.
        assert!(off.abs() < 0.003, "{off}");
    }
}
