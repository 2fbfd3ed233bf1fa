//! The lessons are complete, short, and easy to read.

use std::collections::BTreeSet;

use partpledge_testbed::reading::{count, grade};
use partpledge_words::Tongue;

use super::*;

/// Hardest that a text may be: reading age 12 is grade 6 to 7.
const GRADE: f64 = 7.0;
/// Most words in one sentence of a lesson.
const LONGEST: usize = 24;

#[test]
fn every_code_is_taught_once_and_has_a_name_for_the_middle_of_a_sentence() {
    let codes: BTreeSet<&str> = LESSONS.iter().map(|lesson| lesson.code).collect();
    assert_eq!(codes.len(), LESSONS.len(), "no code twice");
    for lesson in &LESSONS {
        let name = lesson.name().in_tongue(Tongue::English);
        let first = name.chars().next().unwrap();
        assert!(first.is_lowercase(), "{name}");
        for tongue in Tongue::ALL {
            let name = lesson.name().in_tongue(tongue);
            assert!(!name.ends_with('.'), "{name}");
        }
    }
}

/// Every code that stands in the sources of this crate, where findings are made.
fn codes_in_the_sources() -> BTreeSet<String> {
    let sources = concat!(env!("CARGO_MANIFEST_DIR"), "/src");
    let mut folders = vec![std::path::PathBuf::from(sources)];
    let mut codes = BTreeSet::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if !path.ends_with("tests.rs") && !path.ends_with("lessons.rs") {
                let text = std::fs::read_to_string(&path).unwrap();
                let quoted = text.split("code: \"").skip(1);
                let quoted = quoted.filter_map(|rest| rest.split('"').next());
                codes.extend(quoted.map(str::to_owned));
            }
        }
    }
    codes
}

#[test]
fn every_code_written_in_the_sources_has_a_lesson() {
    let codes = codes_in_the_sources();
    assert!(codes.len() >= 10, "the sources were read: {codes:?}");
    for code in codes {
        assert!(lesson(&code).is_some(), "{code} has no lesson");
    }
}

#[test]
fn a_twelve_year_old_can_read_every_lesson() {
    let mut hard = Vec::new();
    for lesson in &LESSONS {
        let counted = count(&lesson.text().in_tongue(Tongue::English));
        let fits = (2..=4).contains(&counted.sentences)
            && counted.longest <= LONGEST
            && counted.words <= 70
            && grade(counted) <= GRADE;
        if !fits {
            hard.push(format!(
                "{}: {counted:?}, grade {:.1}",
                lesson.code,
                grade(counted)
            ));
        }
    }
    assert!(hard.is_empty(), "{}", hard.join("\n"));
    let all: String = LESSONS
        .iter()
        .map(|lesson| lesson.text().in_tongue(Tongue::English))
        .collect::<Vec<_>>()
        .join(" ");
    assert!(
        grade(count(&all)) <= 5.5,
        "{:.2} over all",
        grade(count(&all))
    );
}

/// The grade is made for English; German is held by its lengths.
#[test]
fn german_lessons_are_as_short() {
    let counted = LESSONS.map(|lesson| count(&lesson.text().in_tongue(Tongue::German)));
    let long = LESSONS.iter().zip(counted).filter(|(_, counted)| {
        !(2..=4).contains(&counted.sentences) || counted.longest > LONGEST || counted.words > 70
    });
    let long: Vec<_> = long
        .map(|(lesson, counted)| (lesson.code, counted))
        .collect();
    assert!(long.is_empty(), "{long:?}");
}

#[test]
fn no_lesson_promises_what_nobody_can_or_names_a_product() {
    for lesson in &LESSONS {
        for (tongue, never) in [
            (
                Tongue::English,
                ["safe", "approved", "certified", "slicer", "slice"],
            ),
            (
                Tongue::German,
                ["sicher", "zugelassen", "zertifi", "freigegeben", "slice"],
            ),
        ] {
            let (name, text) = (lesson.name(), lesson.text());
            let text = format!("{} {}", name.in_tongue(tongue), text.in_tongue(tongue));
            for word in never {
                assert!(
                    !text.to_lowercase().contains(word),
                    "{}: {word}",
                    lesson.code
                );
            }
        }
    }
}
