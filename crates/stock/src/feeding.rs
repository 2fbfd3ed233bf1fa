//! Which spools fed a run: those that were on its printer meanwhile.

use partpledge_units::time::EventMs;

use crate::words::{Deed, Ledger, Step, Use};

/// A stretch of a run that was fed by one spool.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fed {
    /// Number of the spool.
    pub spool: i64,
    /// Since then...
    pub from: EventMs,
    /// ... until then.
    pub until: EventMs,
    /// Its share of what the run took, in parts of a million.
    pub share_ppm: i64,
}

/// The spools on a printer from `from` until `until`, in order of time. Of a stretch in which
/// nothing was on it as far as anybody said, what was before or after it takes its share. Nothing
/// when no spool was on it at all.
///
/// # Source
/// Derived here: a run is taken to feed evenly.
#[must_use]
pub fn fed(steps: &[Step], printer: &str, from: EventMs, until: EventMs) -> Vec<Fed> {
    let mut spools: Vec<i64> = steps.iter().map(|step| step.spool).collect();
    spools.sort_unstable();
    spools.dedup();
    let mut out: Vec<Fed> = Vec::new();
    for spool in spools {
        let stays = stays(steps, spool, printer);
        let within = stays
            .iter()
            .map(|(on, off)| (*on.max(&from), *off.min(&until)));
        out.extend(
            within
                .filter(|(on, off)| on < off)
                .map(|(from, until)| Fed {
                    spool,
                    from,
                    until,
                    share_ppm: 0,
                }),
        );
    }
    out.sort_by_key(|fed| (fed.from, fed.spool));
    share_out(&mut out);
    out
}

/// A run, as far as spools care.
#[derive(Clone, Copy, Debug)]
pub struct Run<'a> {
    /// Number of the plate.
    pub plate: u64,
    /// Material code.
    pub material: &'a str,
    /// Name of its printer.
    pub printer: &'a str,
    /// It ran since then...
    pub from: EventMs,
    /// ... until then.
    pub until: EventMs,
}

/// What a run takes of so many milligrams from each spool that feeds it. Nothing from a spool of
/// another material: what was told of it is wrong, and the next reading says so. A run that began and
/// ended in one moment, by a clock that stands, took its filament all the same.
#[must_use]
pub fn uses_of(ledger: &Ledger, run: &Run<'_>, used_mg: i64) -> Vec<Use> {
    let until = run.until.max(EventMs(run.from.0.saturating_add(1)));
    let fed = fed(&ledger.steps, run.printer, run.from, until);
    let same = |one: &&Fed| {
        let spool = ledger.spool(one.spool);
        spool.is_some_and(|spool| spool.roll.material == run.material)
    };
    let one = |fed: &Fed| Use {
        spool: fed.spool,
        plate: run.plate,
        used_mg: i64::try_from(i128::from(used_mg) * i128::from(fed.share_ppm) / 1_000_000)
            .unwrap_or(0),
        from: fed.from,
        until: fed.until,
    };
    fed.iter().filter(same).map(one).collect()
}

/// When a spool was on the printer: from each loading to whatever was done with it next that takes
/// it off.
fn stays(steps: &[Step], spool: i64, printer: &str) -> Vec<(EventMs, EventMs)> {
    let mut own: Vec<&Step> = steps.iter().filter(|step| step.spool == spool).collect();
    own.sort_by(|a, b| (a.at, &a.deed).cmp(&(b.at, &b.deed)));
    let mut out = Vec::new();
    let mut since = None;
    for step in own {
        match &step.deed {
            Deed::Loaded(name) if name == printer => since = since.or(Some(step.at)),
            Deed::Opened | Deed::Dried => {}
            _ => out.extend(since.take().map(|on| (on, step.at))),
        }
    }
    out.extend(since.map(|on| (on, EventMs(i64::MAX))));
    out
}

/// Shares by time, adding up to a million.
fn share_out(fed: &mut [Fed]) {
    const WHOLE: i128 = 1_000_000;
    let long = |one: &Fed| i128::from(one.until.0) - i128::from(one.from.0);
    let all: i128 = fed.iter().map(long).sum();
    let mut before = 0_i128;
    for one in fed.iter_mut().filter(|_| all > 0) {
        let by = |at: i128| i64::try_from(at * WHOLE / all).unwrap_or(0);
        let own = long(one);
        one.share_ppm = by(before + own) - by(before);
        before += own;
    }
}

#[cfg(test)]
mod tests {
    use partpledge_units::ids::{IdSource, SpoolId};

    use super::*;
    use crate::words::{Roll, Spool};

    fn step(spool: i64, at: i64, deed: Deed) -> Step {
        Step {
            spool,
            at: EventMs(at),
            deed,
        }
    }

    fn teal() -> Deed {
        Deed::Loaded("Teal".to_owned())
    }

    fn shares(steps: &[Step]) -> Vec<(i64, i64)> {
        let fed = fed(steps, "Teal", EventMs(100), EventMs(200));
        fed.iter().map(|one| (one.spool, one.share_ppm)).collect()
    }

    #[test]
    fn the_spool_on_the_printer_feeds_all_of_it() {
        let other = step(2, 40, Deed::Loaded("Heron".to_owned()));
        assert_eq!(shares(&[step(1, 50, teal()), other]), [(1, 1_000_000)]);
        assert_eq!(
            shares(&[step(1, 50, teal()), step(1, 90, Deed::TakenOff)]),
            []
        );
        assert_eq!(shares(&[]), []);
    }

    #[test]
    fn a_spool_changed_on_the_way_shares_the_run_by_time() {
        let changed = [
            step(1, 50, teal()),
            step(1, 175, Deed::Emptied),
            step(2, 175, teal()),
        ];
        assert_eq!(shares(&changed), [(1, 750_000), (2, 250_000)]);
    }

    #[test]
    fn a_spool_that_was_named_late_feeds_all_of_it() {
        assert_eq!(shares(&[step(1, 130, teal())]), [(1, 1_000_000)]);
    }

    #[test]
    fn a_run_of_one_moment_takes_its_filament_and_of_its_own_material_only() {
        let spool = |number, material: &str| Spool {
            id: SpoolId::fresh(&mut IdSource::seeded(1), EventMs(0)),
            number,
            roll: Roll {
                host: "brindlemoor".to_owned(),
                material: material.to_owned(),
                colour: String::new(),
                net_g: 1_000,
                tare_g: None,
                donor: String::new(),
                received_at: EventMs(0),
            },
        };
        let ledger = Ledger {
            spools: vec![spool(1, "PETG"), spool(2, "PLA")],
            steps: vec![
                step(1, 50, teal()),
                step(1, 150, Deed::TakenOff),
                step(2, 150, teal()),
            ],
            ..Ledger::default()
        };
        let of = |from, until| {
            let run = Run {
                plate: 7,
                material: "PETG",
                printer: "Teal",
                from: EventMs(from),
                until: EventMs(until),
            };
            let uses = uses_of(&ledger, &run, 40_000);
            uses.iter()
                .map(|one| (one.spool, one.used_mg))
                .collect::<Vec<_>>()
        };
        assert_eq!(of(100, 100), [(1, 40_000)], "the clock stood");
        assert_eq!(of(100, 200), [(1, 20_000)], "the other is of another kind");
    }
}
