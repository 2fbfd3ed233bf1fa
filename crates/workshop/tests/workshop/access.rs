//! The table of rights and the page that is made from it.

use std::path::Path;

use partpledge_records::RoleKind::{Coordinator, Mentor, Operator, Student};
use partpledge_workshop::rights::{Answer, Asker, LINES, as_markdown, line};

#[test]
fn the_page_about_access_says_what_the_table_says() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/access.md");
    if std::env::var_os("PARTPLEDGE_WRITE_DOCS").is_some() {
        std::fs::write(&path, as_markdown()).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap();
    assert!(
        kept == as_markdown(),
        "docs/access.md is out of date: PARTPLEDGE_WRITE_DOCS=1 writes it anew"
    );
}

#[test]
fn no_address_has_two_lines() {
    for (i, one) in LINES.iter().enumerate() {
        let mut after = LINES[i + 1..].iter();
        let again = after.find(|other| (one.method, one.path) == (other.method, other.path));
        assert_eq!(again, None, "{} {}", one.method, one.path);
    }
    assert_eq!(line("PUT", "/parts"), None);
    assert_eq!(line("HEAD", "/parts"), line("GET", "/parts"));
}

#[test]
fn what_is_somebody_elses_is_not_there_and_a_mentor_may_all_that_a_student_may() {
    let of = |method, path| line(method, path).unwrap();
    let part = of("GET", "/parts/{number}");
    assert_eq!(part.answer(Asker::Other(Student)), Answer::NotThere);
    assert_eq!(part.answer(Asker::Own(Student)), Answer::Yes);
    assert_eq!(part.answer(Asker::Other(Operator)), Answer::Yes);
    let people = of("GET", "/teams/{team}");
    assert_eq!(people.answer(Asker::Other(Mentor)), Answer::NotThere);
    assert_eq!(people.answer(Asker::Own(Student)), Answer::No);
    let bench = of("POST", "/run-sheets/{code}/do");
    assert_eq!(bench.answer(Asker::Other(Operator)), Answer::No);
    assert_eq!(bench.answer(Asker::Nobody), Answer::SignIn);
    assert_eq!(bench.answer(Asker::Own(Coordinator)), Answer::Yes);
    for line in LINES {
        if line.answer(Asker::Own(Student)) == Answer::Yes {
            assert_eq!(
                line.answer(Asker::Own(Mentor)),
                Answer::Yes,
                "{}",
                line.path
            );
        }
    }
}
