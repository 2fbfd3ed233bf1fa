//! Jobs of the day: held against every way there is to give them.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use std::collections::{BTreeMap, BTreeSet};

use partpledge_hubs::jobs::stand_in;
use partpledge_hubs::{Day, Job, Jobs, rotate};
use partpledge_units::ids::{CrewId, IdSource};
use partpledge_units::time::EventMs;
use proptest::prelude::*;

fn crew(many: usize) -> Vec<CrewId> {
    let mut ids = IdSource::seeded(7);
    (0..many)
        .map(|_| CrewId::fresh(&mut ids, EventMs(0)))
        .collect()
}

fn set(bits: u8) -> BTreeSet<Job> {
    let with = Job::ALL.into_iter().enumerate();
    with.filter(|(i, _)| bits >> i & 1 == 1)
        .map(|(_, job)| job)
        .collect()
}

/// Some days of a crew whose sign-offs change now and then.
fn days() -> impl Strategy<Value = Vec<Day>> {
    (1..=5_usize, 1..=9_usize).prop_flat_map(|(many, days)| {
        let able = prop::collection::vec(prop::collection::vec(0..16_u8, many), days);
        able.prop_map(move |able| {
            let ids = crew(many);
            let day = |(number, bits): (i64, Vec<u8>)| Day {
                number: 20_000 + number,
                able: ids.iter().copied().zip(bits.into_iter().map(set)).collect(),
            };
            (0..).zip(able).map(day).collect()
        })
    })
}

/// Jobs left open, jobs had again at the next turn, and second jobs of a day.
fn faults(jobs: &Jobs, last: &BTreeMap<CrewId, BTreeSet<Job>>) -> (usize, usize, usize) {
    let open = jobs.iter().filter(|who| who.is_none()).count();
    let had = Job::ALL
        .iter()
        .zip(jobs)
        .filter_map(|(job, who)| Some(((*who)?, *job)));
    let again = had.filter(|(who, job)| last.get(who).is_some_and(|last| last.contains(job)));
    let taken: BTreeSet<CrewId> = jobs.iter().flatten().copied().collect();
    (open, again.count(), 4 - open - taken.len())
}

/// The least faults of every way to give the jobs: all of them are tried.
fn least(day: &Day, last: &BTreeMap<CrewId, BTreeSet<Job>>) -> (usize, usize, usize) {
    let choices = Job::ALL.map(|job| {
        let able = day.able.iter().filter(|(_, able)| able.contains(&job));
        let mut all: Vec<Option<CrewId>> = able.map(|(who, _)| Some(*who)).collect();
        all.push(None);
        all
    });
    let mut found = Vec::new();
    for a in &choices[0] {
        for b in &choices[1] {
            for c in &choices[2] {
                for d in &choices[3] {
                    found.push(faults(&[*a, *b, *c, *d], last));
                }
            }
        }
    }
    found.into_iter().min().unwrap()
}

proptest! {
    #[test]
    fn no_way_to_give_the_jobs_has_fewer_faults(days in days()) {
        let mut last: BTreeMap<CrewId, BTreeSet<Job>> = BTreeMap::new();
        for (day, jobs) in days.iter().zip(rotate(&days)) {
            for (job, who) in Job::ALL.iter().zip(&jobs) {
                if let Some(who) = who {
                    prop_assert!(day.able[who].contains(job), "nobody has what they may not do");
                }
            }
            prop_assert_eq!(faults(&jobs, &last), least(day, &last));
            for who in jobs.iter().flatten() {
                last.remove(who);
            }
            for (job, who) in Job::ALL.iter().zip(&jobs) {
                if let Some(who) = who {
                    last.entry(*who).or_default().insert(*job);
                }
            }
        }
    }

    #[test]
    fn what_comes_later_changes_nothing_before(days in days()) {
        let all = rotate(&days);
        for upto in 0..days.len() {
            prop_assert_eq!(&rotate(&days[..upto])[..], &all[..upto]);
        }
    }

    #[test]
    fn turns_are_even_among_those_who_may_do_everything(many in 4..=12_usize, weeks in 1..=8_i64) {
        let ids = crew(many);
        let able: BTreeMap<_, _> = ids.iter().map(|id| (*id, set(15))).collect();
        let day = |number| Day { number, able: able.clone() };
        let jobs = rotate(&(0..weeks * 5).map(day).collect::<Vec<_>>());
        let count = |of: &dyn Fn(&Jobs) -> usize| jobs.iter().map(of).sum::<usize>();
        let turns = ids.iter().map(|id| count(&|day| usize::from(day.contains(&Some(*id)))));
        let turns: Vec<usize> = turns.collect();
        let (few, most) = (turns.iter().min().unwrap(), turns.iter().max().unwrap());
        prop_assert!(most - few <= 1, "{turns:?}");
        for (at, job) in Job::ALL.iter().enumerate() {
            let each = ids.iter().map(|id| count(&|day| usize::from(day[at] == Some(*id))));
            let each: Vec<usize> = each.collect();
            let spread = each.iter().max().unwrap() - each.iter().min().unwrap();
            prop_assert!(spread <= 3, "{job:?}: {each:?}");
        }
    }
}

#[test]
fn who_is_new_does_not_have_to_catch_up() {
    let ids = crew(6);
    let of = |ids: &[CrewId]| {
        ids.iter()
            .map(|id| (*id, set(15)))
            .collect::<BTreeMap<_, _>>()
    };
    let day = |number| Day {
        number,
        able: if number < 40 { of(&ids[..5]) } else { of(&ids) },
    };
    let jobs = rotate(&(0..60).map(day).collect::<Vec<_>>());
    let turns = |who: CrewId| {
        jobs[40..]
            .iter()
            .filter(|day| day.contains(&Some(who)))
            .count()
    };
    // 20 days of 4 jobs among 6: 13 or 14 each.
    let each: Vec<usize> = ids.iter().map(|id| turns(*id)).collect();
    assert!(
        each.iter().all(|turns| (12..=15).contains(turns)),
        "{each:?}"
    );
}

#[test]
fn one_alone_has_all_jobs_and_nobody_none() {
    let one = crew(1)[0];
    let able = BTreeMap::from([(one, set(15))]);
    let day = |number| Day {
        number,
        able: able.clone(),
    };
    assert_eq!(rotate(&[day(1), day(2)]), [[Some(one); 4]; 2]);
    let nobody = Day {
        number: 1,
        able: BTreeMap::new(),
    };
    assert_eq!(rotate(&[nobody]), [[None; 4]]);
}

#[test]
fn who_stands_in_is_there_may_do_it_and_has_no_job_if_that_can_be() {
    let ids = crew(6);
    let mut able: BTreeMap<_, _> = ids.iter().map(|id| (*id, set(15))).collect();
    able.insert(ids[5], set(0));
    let day = Day { number: 3, able };
    let jobs = rotate(std::slice::from_ref(&day))[0];
    let free: BTreeSet<CrewId> = ids[..5]
        .iter()
        .copied()
        .filter(|id| !jobs.contains(&Some(*id)))
        .collect();
    let all: BTreeSet<CrewId> = ids.iter().copied().collect();
    for job in Job::ALL {
        let found = stand_in(&day, &jobs, job, &all).unwrap();
        assert!(free.contains(&found), "{job:?}");
        assert_eq!(stand_in(&day, &jobs, job, &BTreeSet::from([ids[5]])), None);
    }
}
