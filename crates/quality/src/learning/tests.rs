//! What runs teach, by small cases.

use super::*;
use crate::drift::Side;

fn printer(name: &str, class: &str) -> PrinterPrior {
    PrinterPrior {
        name: name.to_owned(),
        class: class.to_owned(),
        noise: USUAL_NOISE,
        yield_mean: 0.85,
    }
}

fn run(printer: &str, sheet: &str, factor: f64) -> Run {
    Run {
        printer: printer.to_owned(),
        sheet: sheet.to_owned(),
        worked_out_min: 100.0,
        took_min: 100.0 * factor,
        witnessed: true,
        ticked: false,
        whole: true,
        by_program: false,
        copies: 2,
        good: 2,
    }
}

#[test]
fn nothing_is_claimed_where_nothing_has_run() {
    let printers = [printer("a", "small"), printer("b", "large")];
    let learned = learn(&printers, &[run("a", "s", 1.1)]);
    assert!(learned.next("b", "s").is_none());
    assert!(learned.next("nowhere", "s").is_none());
    assert!(learned.printer("b").unwrap().factor().is_none());
}

#[test]
fn a_new_sheet_is_expected_where_the_printers_other_sheets_are_but_less_surely() {
    let runs = vec![run("a", "plain", 1.2); 10];
    let learned = learn(&[printer("a", "c")], &runs);
    let (known, new) = (
        learned.next("a", "plain").unwrap(),
        learned.next("a", "fine").unwrap(),
    );
    assert!((known.median() - 1.2).abs() < 0.01, "{}", known.median());
    assert!((new.median() - 1.2).abs() < 0.01, "{}", new.median());
    assert!(new.sigma() > 1.05 * known.sigma());
}

#[test]
fn a_new_printer_is_expected_between_its_class_and_the_estimate_and_least_surely() {
    let printers = [printer("a", "c"), printer("b", "c"), printer("new", "c")];
    let mut runs = vec![run("a", "plain", 1.2); 10];
    runs.extend(vec![run("b", "plain", 1.2); 10]);
    let learned = learn(&printers, &runs);
    let new = learned.next("new", "plain").unwrap();
    assert!(
        1.05 < new.median() && new.median() < 1.15,
        "{}",
        new.median()
    );
    assert!(new.sigma() > 1.5 * learned.next("a", "plain").unwrap().sigma());
    assert!(learned.printer("new").unwrap().factor().is_none());
}

#[test]
fn runs_that_nobody_saw_end_teach_nothing_of_times_but_count_for_the_yield() {
    let seen = vec![run("a", "s", 1.0); 5];
    let mut all = seen.clone();
    all.extend((0..5).map(|_| Run {
        witnessed: false,
        took_min: 190.0,
        ..run("a", "s", 1.0)
    }));
    let (without, with) = (
        learn(&[printer("a", "c")], &seen),
        learn(&[printer("a", "c")], &all),
    );
    assert_eq!(without.next("a", "s"), with.next("a", "s"));
    let known = with.printer("a").unwrap();
    assert_eq!((known.counted, known.unwitnessed, known.plates), (5, 5, 10));
    assert!(known.first_pass.mean() > without.printer("a").unwrap().first_pass.mean());
}

#[test]
fn runs_timed_by_a_program_teach_nothing_of_our_estimate_but_count_for_the_yield() {
    let ours = vec![run("a", "s", 1.0); 5];
    let mut all = ours.clone();
    all.extend((0..5).map(|_| Run {
        by_program: true,
        ..run("a", "s", 1.3)
    }));
    let [without, with] = [&ours, &all].map(|runs| learn(&[printer("a", "c")], runs));
    assert_eq!(without.next("a", "s"), with.next("a", "s"));
    let known = with.printer("a").unwrap();
    assert_eq!((known.counted, known.by_program, known.plates), (5, 5, 10));
    assert!(known.first_pass.mean() > without.printer("a").unwrap().first_pass.mean());
}

#[test]
fn one_wild_run_moves_the_factor_little_and_is_told() {
    let mut runs: Vec<Run> = (0..10)
        .map(|i| run("a", "s", if i % 2 == 0 { 0.97 } else { 1.03 }))
        .collect();
    runs.push(run("a", "s", 1.9));
    let known = learn(&[printer("a", "c")], &runs);
    let known = known.printer("a").unwrap();
    assert_eq!((known.pulled_in, known.drift), (1, None));
    assert!(known.factor().unwrap().median() < 1.03);
}

#[test]
fn after_a_drift_the_old_runs_are_no_longer_used_and_it_is_told_for_a_while() {
    let near = |i: usize, factor: f64| {
        run(
            "a",
            "s",
            if i.is_multiple_of(2) { 0.95 } else { 1.05 } * factor,
        )
    };
    let mut runs: Vec<Run> = (0..20).map(|i| near(i, 1.0)).collect();
    runs.extend((0..10).map(|i| near(i, 1.2)));
    let learned = learn(&[printer("a", "c")], &runs);
    let known = learned.printer("a").unwrap();
    let drift = known.drift.unwrap();
    assert_eq!(drift.side, Side::Slower);
    assert_eq!(known.before_drift + known.counted, 30);
    assert!((18..=22).contains(&known.before_drift), "{known:?}");
    let factor = known.factor().unwrap().median();
    assert!((1.16..1.24).contains(&factor), "{factor}");
    runs.extend((0..10).map(|i| near(i, 1.2)));
    let later = learn(&[printer("a", "c")], &runs);
    assert_eq!(later.printer("a").unwrap().drift, None);
}

/// A plate of 41 minutes, ticked so much later.
fn ticked(printer: &str, late_min: f64) -> Run {
    Run {
        worked_out_min: 41.0,
        took_min: 41.0 + late_min,
        ticked: true,
        ..run(printer, "s", 1.0)
    }
}

#[test]
fn one_tick_half_an_hour_late_teaches_nobody_anything() {
    let printers = [printer("teal", "c"), printer("grebe", "c")];
    let learned = learn(&printers, &[ticked("teal", 34.0)]);
    for name in ["teal", "grebe"] {
        assert!(learned.next(name, "s").is_none(), "{name}");
    }
    let known = learned.printer("teal").unwrap();
    assert_eq!((known.counted, known.noted_late, known.plates), (0, 1, 1));
    // Beside runs that were seen it changes nothing either.
    let seen = vec![run("teal", "s", 1.02); 5];
    let late = [seen.clone(), vec![ticked("teal", 34.0)]].concat();
    let [without, with] = [&seen, &late].map(|runs| learn(&printers, runs));
    for name in ["teal", "grebe"] {
        assert_eq!(without.next(name, "s"), with.next(name, "s"), "{name}");
    }
}

/// What the machine itself says is exact, however long it took.
#[test]
fn the_same_time_told_by_the_printer_itself_counts_whole() {
    let itself = Run {
        ticked: false,
        ..ticked("teal", 20.0)
    };
    let [by_hand, itself] =
        [ticked("teal", 20.0), itself].map(|run| learn(&[printer("teal", "c")], &[run]));
    let factor = |learned: &Learned| learned.printer("teal").unwrap().factor();
    let moved = |learned: &Learned| factor(learned).map_or(1.0, |next| next.median());
    assert!(moved(&itself) > 1.2, "{}", moved(&itself));
    assert!(moved(&by_hand) < 1.0 + (moved(&itself) - 1.0) / 3.0);
}

/// However late one tick comes, a printer of the class that has not run is expected to take at most a
/// twentieth longer for it. What the printer itself says moves them as much as its weight allows.
#[test]
fn one_tick_moves_the_others_of_its_class_by_a_twentieth_at_most() {
    let printers = [printer("teal", "c"), printer("grebe", "c")];
    for worked_out in [20.0, 41.0, 123.0, 300.0] {
        for share in [1.02, 1.05, 1.1, 1.2, 1.3, 1.5, 1.8, 2.0] {
            let late = Run {
                worked_out_min: worked_out,
                took_min: worked_out * share,
                ..ticked("teal", 0.0)
            };
            let learned = learn(&printers, &[late]);
            let other = learned.next("grebe", "s").map_or(1.0, |next| next.median());
            assert!(other <= 1.05, "{worked_out} x {share}: {other}");
        }
    }
}

#[test]
fn a_slow_printer_whose_runs_are_ticked_as_they_end_is_found_out() {
    for (worked_out, factor) in [(41.0, 1.2), (123.0, 1.25), (300.0, 1.15), (300.0, 0.9)] {
        let slow = Run {
            worked_out_min: worked_out,
            took_min: worked_out * factor,
            ..ticked("teal", 0.0)
        };
        let learned = learn(&[printer("teal", "c")], &vec![slow; 12]);
        let found = learned.next("teal", "s").unwrap().median();
        assert!((found / factor - 1.0).abs() < 0.03, "{factor}: {found}");
    }
}

/// Runs of a plate, each ticked as it ends: the factor, and a little more or less.
fn scattered(worked_out: f64, factor: f64, many: usize) -> Vec<Run> {
    let near = [0.96, 1.01, 1.04, 0.99];
    let runs = (0..many).map(|i| Run {
        worked_out_min: worked_out,
        took_min: worked_out * factor * near[i % 4],
        ..ticked("teal", 0.0)
    });
    runs.collect()
}

/// Each tick by itself is taken for a late one; those that agree are not all late by the same share.
#[test]
fn a_printer_that_takes_half_as_long_again_or_more_is_found_out_by_ticks_that_agree() {
    let printers = [printer("teal", "c"), printer("grebe", "c")];
    for (worked_out, factor) in [(41.0, 1.6), (123.0, 1.6), (300.0, 1.7), (41.0, 1.8)] {
        let learned = learn(&printers, &scattered(worked_out, factor, 12));
        let found = learned.next("teal", "s").unwrap().median();
        assert!((found / factor - 1.0).abs() < 0.05, "{factor}: {found}");
        let known = learned.printer("teal").unwrap();
        assert_eq!(known.counted + known.noted_late, 12, "{factor}");
        assert!(known.counted >= 10, "{factor}: {known:?}");
        let other = learned.next("grebe", "s").unwrap().median();
        assert!(other > 1.02 && other < found, "{factor}: {other}");
        let few = learn(&printers, &scattered(worked_out, factor, 4));
        assert_eq!(few.printer("teal").unwrap().noted_late, 4, "{factor}");
        assert!(
            few.next("teal", "s").is_none(),
            "{factor}: four are too few"
        );
    }
    // Half a run each: as many that were seen are believed twice as much.
    let seen = vec![run("teal", "s", 1.0); 12];
    let both = [seen.clone(), scattered(41.0, 1.6, 12)].concat();
    let learned = learn(&printers, &both);
    let found = learned.printer("teal").unwrap().factor().unwrap().centre;
    assert!((found / (1.6_f64.ln() / 3.0) - 1.0).abs() < 0.05, "{found}");
}

/// People come whenever they come: that is no printer's time.
#[test]
fn late_ticks_that_scatter_or_are_few_beside_others_teach_nothing() {
    let printers = [printer("teal", "c"), printer("grebe", "c")];
    let late = [22.5, 25.0, 27.5, 30.0, 32.5, 35.0, 37.5, 40.0].map(|late| ticked("teal", late));
    let learned = learn(&printers, &late);
    assert!(learned.next("teal", "s").is_none());
    let known = learned.printer("teal").unwrap();
    assert_eq!((known.counted, known.noted_late), (0, 8));
    // Five that agree, beside six that people were there for: these five were late.
    let seen = vec![run("teal", "s", 1.02); 6];
    let alike = vec![ticked("teal", 24.0); 5];
    let [without, with] =
        [seen.clone(), [seen, alike].concat()].map(|runs| learn(&printers, &runs));
    for name in ["teal", "grebe"] {
        assert_eq!(without.next(name, "s"), with.next(name, "s"), "{name}");
    }
    assert_eq!(with.printer("teal").unwrap().noted_late, 5);
}

#[test]
fn a_sheet_that_fails_has_a_lower_yield_than_the_printers_others() {
    let mut runs = vec![run("a", "plain", 1.0); 20];
    runs.extend((0..6).map(|_| Run {
        good: 0,
        whole: false,
        ..run("a", "tall", 0.3)
    }));
    let learned = learn(&[printer("a", "c")], &runs);
    let yields = |sheet| learned.first_pass("a", sheet).unwrap().mean();
    assert!(yields("tall") < 0.65 && yields("plain") > 0.8);
    assert!((yields("new") - learned.printer("a").unwrap().first_pass.mean()).abs() < 1e-9);
    assert_eq!(learned.printer("a").unwrap().stopped, 6);
}
