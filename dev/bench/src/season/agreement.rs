//! The fast quote against the worlds, on the same requests.

use partpledge_planning::quote::promise;
use partpledge_planning::{Ask, Foresight, Ground, Way, quote, quote_fast};
use partpledge_planning_model::{Plan, Plate, PlateSeq};
use partpledge_units::dice::Dice;
use partpledge_units::time::{Minute, Minutes};

pub(crate) fn run() -> Result<(), String> {
    let mut setting = super::setting::demo(30.0)?;
    super::setting::larger(&mut setting, 60);
    let ground = Ground::new(&setting.region);
    let mut dice = Dice::seeded(5);
    let mut same = 0;
    let mut n = 0;
    let mut off = Vec::new();
    let mut cross = Vec::new();
    let (mut tf, mut te, mut tb) = (0.0, 0.0, 0.0);
    let mut open = 0;
    let mut later = 0;
    let mut earlier = 0;
    for block in 0..10_i64 {
        // A plan with about 300 open plates, all asked in the last days.
        let now = setting.midnight(4 + block) + Minutes(13 * 60);
        let mut plates: Vec<Plate> = Vec::new();
        let mut plan = Plan::default();
        let mut seq = 1_u64;
        let mut foresight = Foresight::new(&ground, &plates, &plan, now, 1);
        for i in 0..640 {
            let at = now - Minutes(2 * 1440 - i * 9 / 2);
            let ask = draw(&setting, &mut dice, at, seq);
            if let Ok(q) = quote_fast(&ground, &plates, &plan, &ask, &mut foresight) {
                let given = promise(&q);
                for (p, a) in ask.ways[q.way].plates.iter().zip(&q.assignments) {
                    plates.push(Plate {
                        promise: Some(given),
                        ..p.clone()
                    });
                    let mut a = *a;
                    a.frozen = a.start <= now;
                    plan.put(a);
                    seq += 1;
                }
            }
        }
        plan.assignments.retain(|a| a.cleared > now);
        open += plan.assignments.len();
        let (mut foresight, t) =
            crate::cpu_timed(|| Foresight::new(&ground, &plates, &plan, now, 7));
        tb += t;
        for _ in 0..16 {
            let mut ask = draw(&setting, &mut dice, now, seq);
            ask.worlds = 400;
            let (f, t) =
                crate::cpu_timed(|| quote_fast(&ground, &plates, &plan, &ask, &mut foresight));
            tf += t;
            let (e, t) = crate::cpu_timed(|| quote(&ground, &plates, &plan, &ask));
            te += t;
            let (Ok(f), Ok(e)) = (f, e) else { continue };
            n += 1;
            if f.arrival == e.arrival {
                same += 1;
                off.push(f.probability - e.probability);
            } else if f.arrival > e.arrival {
                later += 1
            } else {
                earlier += 1
            }
            if f.assignments == e.assignments && std::env::var("DBG").is_ok() {
                let d = f.chance_by(e.nominal) - e.chance_by(e.nominal);
                let a = f.assignments.iter().max_by_key(|a| a.arrives).unwrap();
                let pr = ground.printer(a.printer);
                let site = ground.site_at(a.printer, a.start);
                let w = site
                    .staffed
                    .as_slice()
                    .iter()
                    .find(|w| w.until > a.start)
                    .unwrap();
                let prev = plan
                    .on(a.printer)
                    .iter()
                    .rev()
                    .find(|b| b.start < a.start)
                    .map(|b| {
                        (
                            (a.start - b.cleared).0,
                            (b.cleared - b.start).0,
                            (now - b.start).0,
                        )
                    });
                println!(
                    "{d:+.3} fast {:.3} exact {:.3} plates {} unatt {} start-now {} len {} till close {} clear-end {} ready {} prev {:?} sigma {} sf {}",
                    f.chance_by(e.nominal),
                    e.chance_by(e.nominal),
                    f.assignments.len(),
                    pr.unattended,
                    (a.start - now).0,
                    (a.end - a.start).0,
                    (w.until - a.start).0,
                    (a.cleared - a.end).0,
                    (a.arrives - a.ready).0,
                    prev,
                    pr.time_sigma,
                    pr.start_failure
                );
            }
            if f.assignments == e.assignments {
                for &(at, p) in &e.outlook {
                    if at >= e.nominal {
                        cross.push(f.chance_by(at) - p);
                    }
                }
            }
        }
    }
    let mean = |x: &[f64]| x.iter().sum::<f64>() / x.len() as f64;
    let sd = |x: &[f64]| (x.iter().map(|v| v * v).sum::<f64>() / x.len() as f64).sqrt();
    let max = |x: &[f64]| x.iter().map(|v| v.abs()).fold(0.0, f64::max);
    println!(
        "{n} requests, {} open plates, same hand-over {same} later {later} earlier {earlier}; chance mean {:+.4} rms {:.4} max {:.4}; outlook same slots n {} mean {:+.4} rms {:.4} max {:.4}; fast {:.2} ms exact {:.1} ms foresight {:.2} ms",
        open / 10,
        mean(&off),
        sd(&off),
        max(&off),
        cross.len(),
        mean(&cross),
        sd(&cross),
        max(&cross),
        tf * 1e3 / n as f64,
        te * 1e3 / n as f64,
        tb * 50.0
    );
    Ok(())
}

fn draw(setting: &partpledge_season::Setting, dice: &mut Dice, at: Minute, seq: u64) -> Ask {
    let kind = &setting.kinds[dice.below(setting.kinds.len())];
    let to = setting.teams[dice.below(setting.teams.len())];
    let ways = kind
        .iter()
        .map(|way| Way {
            label: way.label.clone(),
            plates: way
                .plates
                .iter()
                .zip(seq..)
                .map(|(p, s)| {
                    let mut p = Plate {
                        seq: PlateSeq(s),
                        to,
                        release: at,
                        ..p.clone()
                    };
                    for m in &mut p.makings {
                        let sigma = setting.region.printers[m.printer.0].time_sigma;
                        m.reserved =
                            Minutes((m.worked_out.0 as f64 * (1.2816 * sigma).exp()).ceil() as i64);
                    }
                    p
                })
                .collect(),
        })
        .collect();
    Ask {
        ways,
        level: setting.levels[dice.below(3)],
        now: at,
        seed: seq,
        worlds: 400,
    }
}
