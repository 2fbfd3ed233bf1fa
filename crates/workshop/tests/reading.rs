//! What students read about their parts is easy to read, and every finding is taught.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use std::collections::BTreeMap;

use partpledge_formats::write;
use partpledge_printability::{Finding, lesson};
use partpledge_testbed::reading::{count, grade};
use partpledge_units::local::parse_rfc3339;
use partpledge_workshop::Session;
use partpledge_workshop::estimating::Process;
use partpledge_workshop::intake::{Orient, Stands};
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
        assert!(lesson(code).is_some_and(|lesson| !lesson.text.is_empty()));
        all.push_str(&text);
        all.push(' ');
    }
    assert!(hard.is_empty(), "{}", hard.join("\n"));
    let over_all = grade(count(&all));
    assert!(over_all <= OVER_ALL, "{over_all:.2} over all");
}
