//! What students read about their parts is easy to read, and every finding is taught.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use std::collections::BTreeMap;

use partpledge_formats::write;
use partpledge_printability::{Finding, lesson};
use partpledge_testbed::reading::{count, grade};
use partpledge_units::local::{Zone, parse_rfc3339};
use partpledge_units::time::Minute;
use partpledge_words::{Said, said};
use partpledge_workshop::Session;
use partpledge_workshop::boxes::Hitch;
use partpledge_workshop::doubts::Doubt;
use partpledge_workshop::estimating::Process;
use partpledge_workshop::intake::{Orient, Stands};
use partpledge_workshop::notices::{AccountChange, Says};
use partpledge_workshop::sending::judged;

/// Hardest that what is said of one finding may be: grade 8 where a number and its unit stand in
/// most sentences, grade 7 over all of them.
const HARDEST: f64 = 8.5;
const OVER_ALL: f64 = 7.0;
/// Most words in one sentence.
const LONGEST: usize = 32;

/// One finding of every code that the sample parts have.
async fn samples() -> BTreeMap<&'static str, Finding> {
    let now = parse_rfc3339("2027-03-09T16:52:00+01:00").unwrap();
    let dir = tempfile::tempdir().unwrap();
    let region = partpledge_testbed::ambrel_valley();
    let session = Session::open(&dir.path().join("data"), region, now)
        .await
        .unwrap();
    let process = Process::choose(&session.catalogue, Some("PLA"), None, None).unwrap();
    let mut files: Vec<(String, Vec<u8>)> = partpledge_testbed::files()
        .into_iter()
        .map(|file| (file.name.to_owned(), file.bytes))
        .collect();
    let plate = partpledge_testbed::parts::teaching_plate();
    files.push(("teaching-plate.stl".to_owned(), write::stl_binary(&plate)));
    let mut found = BTreeMap::new();
    for orient in [Orient::AsSent, Orient::Best] {
        for (name, bytes) in &files {
            let how = (&process, &Stands::decide(orient));
            let judged = judged(&session, (bytes, name), None, how).unwrap();
            for finding in judged.parts.into_iter().flat_map(|part| part.findings) {
                found.entry(finding.code).or_insert(finding);
            }
        }
    }
    found
}

#[tokio::test]
async fn what_is_said_of_a_finding_is_easy_to_read_and_teaches() {
    let samples = samples().await;
    assert!(samples.len() >= 8, "{:?}", samples.keys());
    let (mut hard, mut all) = (Vec::new(), String::new());
    for (code, finding) in &samples {
        let text = format!("{} {}", finding.why, finding.what_to_do);
        let counted = count(&text);
        let grade = grade(counted);
        if grade > HARDEST || counted.longest > LONGEST {
            hard.push(format!("{code}: grade {grade:.1}, {counted:?}: {text}"));
        }
        assert!(lesson(code).is_some_and(|lesson| !lesson.text().to_string().is_empty()));
        all.push_str(&text);
        all.push(' ');
    }
    assert!(hard.is_empty(), "{}", hard.join("\n"));
    let over_all = grade(count(&all));
    assert!(over_all <= OVER_ALL, "{over_all:.2} over all");
}

const PROMISED: Minute = Minute(30_000_000);
const LIKELY: Option<Minute> = Some(Minute(30_001_000));

fn part() -> String {
    "gripper bracket".to_owned()
}

fn team() -> String {
    "Newt Works".to_owned()
}

fn place() -> String {
    "Newt Hill School, front desk".to_owned()
}

fn host() -> String {
    "Brindlemoor School".to_owned()
}

fn why() -> Said {
    let text = "plate 7 failed on Plover on Tuesday 9 March at 10:00 (it came loose)";
    said!("common-as-written", text = text)
}

fn ready(copies: usize, of: usize, all: bool) -> Says {
    Says::Ready {
        part: part(),
        copies,
        of,
        all,
        host: host(),
        place: place(),
        arrival: (copies != 1).then_some(PROMISED),
    }
}

/// What is told of boxes that go another way than planned.
fn of_boxes() -> Vec<Says> {
    let mut out = Vec::new();
    for &why in Hitch::ALL {
        for arrives in [LIKELY, None] {
            out.push(Says::NotGone {
                part: part(),
                why,
                arrives,
                place: place(),
            });
        }
    }
    for &why in Doubt::ALL {
        let (share, team) = (7, team());
        out.push(Says::BoxDoubted {
            share,
            part: part(),
            team,
            why,
        });
        out.push(Says::MadeAgain { part: part(), why });
        out.push(Says::BoxRight { part: part(), why });
    }
    out
}

fn spare_not_made(all: bool) -> Says {
    Says::SpareNotMade {
        part: part(),
        at: host(),
        all,
    }
}

fn waits_long(again: bool) -> Says {
    Says::WaitsLong {
        part: part(),
        closes: PROMISED,
        again,
    }
}

fn may_be_late(likely: Option<Minute>, why: Option<Said>) -> Says {
    Says::MayBeLate {
        part: part(),
        promised: PROMISED,
        likely,
        place: place(),
        why,
    }
}

/// Everything that a team can be told.
fn to_a_team() -> Vec<Says> {
    let late = |late| Says::HandedOver { part: part(), late };
    let recalled = |have, held| {
        let part = part();
        Says::Recalled { part, have, held }
    };
    let not_decided = |again| {
        let part = part();
        Says::NotDecided { part, again }
    };
    vec![
        Says::Promised {
            part: part(),
            arrival: PROMISED,
            place: place(),
        },
        Says::NeedsChange { part: part() },
        Says::Waits { part: part() },
        not_decided(true),
        waits_long(true),
        not_decided(false),
        waits_long(false),
        Says::Passed { part: part() },
        Says::Refused { part: part() },
        Says::TakenDown { part: part() },
        Says::CalledBack { part: part() },
        spare_not_made(true),
        spare_not_made(false),
        Says::Printing {
            part: part(),
            host: host(),
            printer: "Plover".to_owned(),
        },
        ready(1, 1, true),
        ready(1, 4, false),
        ready(2, 4, false),
        ready(2, 4, true),
        ready(4, 4, true),
        Says::Left {
            part: part(),
            place: place(),
        },
        late(false),
        late(true),
        Says::SomeHandedOver { part: part() },
        Says::NotHandedOver { part: part() },
        recalled(1, 0),
        recalled(4, 1),
        recalled(0, 2),
        Says::RecallLifted { part: part() },
        Says::RecallChecked {
            part: part(),
            good: true,
        },
        Says::RecallChecked {
            part: part(),
            good: false,
        },
        may_be_late(LIKELY, Some(why())),
        may_be_late(None, Some(why())),
        may_be_late(LIKELY, None),
        Says::InTimeAgain {
            part: part(),
            promised: PROMISED,
            place: place(),
        },
    ]
}

/// Everything that somebody can be told of their own account.
fn to_an_account() -> Vec<Says> {
    let told = |student| {
        AccountChange::ALL.map(|what| Says::Account {
            what,
            at: PROMISED,
            student,
        })
    };
    [told(false), told(true)].concat()
}

/// Everything that a bench can be told.
fn to_a_bench() -> Vec<Says> {
    let short = |most_g| Says::SpoolShort {
        plate: 7,
        start: PROMISED,
        material: "PETG".to_owned(),
        needed_g: 120.4,
        most_g,
    };
    let look_at = |deeds| Says::LookAt {
        host: place(),
        deeds,
    };
    let new = |plate, printer: &str| (plate, printer.to_owned(), PROMISED);
    vec![
        Says::Bench {
            on: vec![new(7, "Plover"), new(8, "Ruff")],
            off: vec![(9, LIKELY), (10, None)],
        },
        Says::ProgramsWanted {
            plates: vec![(7, PROMISED), (8, PROMISED), (9, PROMISED)],
        },
        short(Some(80.0)),
        Says::Closed {
            school: host(),
            from: PROMISED,
            until: PROMISED,
            reason: "snow".to_owned(),
        },
        Says::StopNow {
            plate: 7,
            printer: "Plover".to_owned(),
        },
        Says::StopBy {
            plate: 7,
            printer: "Plover".to_owned(),
            at: PROMISED,
        },
        short(None),
        look_at(1),
        look_at(3),
        Says::CheckRecalled {
            part: part(),
            copies: 1,
            boxes: vec![7],
        },
        Says::CheckRecalled {
            part: part(),
            copies: 4,
            boxes: vec![7, 8],
        },
    ]
}

/// Everything that a coordinator can be told.
fn to_a_coordinator() -> Vec<Says> {
    let (number, part, team) = (12, part(), team());
    let at_risk = |likely, why| Says::AtRisk {
        number,
        part: part.clone(),
        team: team.clone(),
        promised: PROMISED,
        likely,
        why,
    };
    let (soon, never) = (at_risk(LIKELY, Some(why())), at_risk(None, Some(why())));
    let (p, t) = (|| part.clone(), || team.clone());
    vec![
        Says::Decide {
            number,
            part: p(),
            team: t(),
        },
        Says::Appealed {
            number,
            part: p(),
            team: t(),
        },
        Says::Reported {
            number,
            part: p(),
            team: t(),
        },
        Says::Undecided {
            number,
            part: p(),
            team: t(),
            closes: PROMISED,
        },
        Says::StandsIn {
            until: PROMISED,
            you: true,
        },
        Says::StandsIn {
            until: PROMISED,
            you: false,
        },
        soon,
        never,
        at_risk(LIKELY, None),
        Says::Checked {
            number,
            part: p(),
            team: t(),
            good: true,
        },
        Says::Checked {
            number,
            part: p(),
            team: t(),
            good: false,
        },
    ]
}

#[test]
fn what_a_notice_says_is_easy_to_read() {
    let zone = Zone::named("Europe/Stockholm").unwrap();
    let (mut hard, mut all) = (Vec::new(), String::new());
    let everything = [
        to_a_team(),
        of_boxes(),
        to_an_account(),
        to_a_bench(),
        to_a_coordinator(),
    ];
    for says in everything.concat() {
        let text = says.text(&zone);
        assert!(text.ends_with('.'), "{says:?}: {text}");
        let counted = count(&text);
        let grade = grade(counted);
        if grade > HARDEST || counted.longest > LONGEST {
            hard.push(format!(
                "{}: grade {grade:.1}, {counted:?}: {text}",
                says.kind()
            ));
        }
        all.push_str(&text);
        all.push(' ');
    }
    assert!(hard.is_empty(), "{}", hard.join("\n"));
    let over_all = grade(count(&all));
    assert!(over_all <= OVER_ALL, "{over_all:.2} over all");
}
