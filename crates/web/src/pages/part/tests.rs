//! The page of a request from its samples, awkward ones included.

use partpledge_records::stored::StoredFinding;

use super::*;
use crate::figures::part::{CallOut, Kind};
use crate::figures::tally;
use crate::pages::boxes::TeamBox;
use crate::pages::judgement::since;
use crate::pages::judgement::{Drawn, Found};
use crate::pages::samples::{AWKWARD, head, sound};
use crate::pages::sizes::{Named, Sizes};
use crate::pages::takes::tests::sample;
use crate::pages::takes::{Takes, Took};
use crate::pages::ticket::Stop;
use crate::pages::unit_ask::UnitChoice;
use crate::pages::ways::{Way, Ways};

fn found(n: usize, kind: Kind) -> Found {
    Found {
        n,
        kind,
        heading: AWKWARD.to_owned(),
        measured: Some("0.7 mm".to_owned()),
        limit: None,
        why: AWKWARD.to_owned(),
        what_to_do: AWKWARD.to_owned(),
        source: AWKWARD.to_owned(),
        lesson: Some("Plastic sags.".to_owned()),
        picture: (n < 4).then(|| format!("/parts/7/finding-{n}.svg")),
        caption: "One layer of your part.".to_owned(),
        alt: AWKWARD.to_owned(),
    }
}

fn standings() -> Ways {
    let way = |n: usize, printed: bool| Way {
        name: AWKWARD.to_owned(),
        picture: format!("/parts/7/part-1-way-{n}.png"),
        alt: AWKWARD.to_owned(),
        printed,
        recommended: n == 1,
        measures: vec![AWKWARD.to_owned(), "12.0 mm high".to_owned()],
        changes: (!printed).then(|| AWKWARD.to_owned()),
    };
    Ways {
        part: AWKWARD.to_owned(),
        lead: AWKWARD.to_owned(),
        list: vec![way(1, true), way(2, false)],
    }
}

fn judged() -> Judgement {
    let kinds = [Kind::Must, Kind::Worth, Kind::Know, Kind::Fixed];
    let numbered = || (1..).zip(kinds);
    let call = |(n, kind): (usize, Kind)| CallOut {
        n,
        kind,
        label: AWKWARD.to_owned(),
        x: 44.0,
        y: 44.0 + 66.0 * n as f64,
        to_x: 300.0,
        to_y: 300.0,
    };
    let drawn = Drawn {
        name: AWKWARD.to_owned(),
        picture: "/parts/7/part-1.png".to_owned(),
        alt: AWKWARD.to_owned(),
        size: "70.0 × 44.0 × 30.0 mm".to_owned(),
        standing: AWKWARD.to_owned(),
        calls: numbered().map(call).collect(),
        turn: Some("/parts/7/turn?part=1".to_owned()),
    };
    Judgement {
        found: numbered().map(|(n, kind)| found(n, kind)).collect(),
        drawn: vec![drawn.clone(), drawn],
        more_parts: 3,
        unit_choices: vec![UnitChoice {
            symbol: "in",
            text: AWKWARD.to_owned(),
            ours: true,
        }],
        made: false,
        ways: vec![standings(), standings()],
    }
}

fn tag(state: &'static str) -> Ticket {
    let stop = |kind, end| Stop {
        kind,
        end,
        name: "Printing".to_owned(),
        time: AWKWARD.to_owned(),
    };
    Ticket {
        why: vec![AWKWARD.to_owned()],
        state,
        says: "Pledge given".to_owned(),
        number: "AV-0007".to_owned(),
        given: AWKWARD.to_owned(),
        day: "Thursday 11 March".to_owned(),
        clock: "15:40".to_owned(),
        place: AWKWARD.to_owned(),
        picture: "/parts/7/picture.png".to_owned(),
        in_ten: 9,
        odds: AWKWARD.to_owned(),
        strokes: tally(9),
        journey: vec![
            stop("done", false),
            stop("here", false),
            stop("night", false),
            stop("next", true),
        ],
    }
}

fn one_box() -> TeamBox {
    TeamBox {
        plate: 214,
        copies: "2 copies".to_owned(),
        code: Some("KMTR7".to_owned()),
        may_doubt: "It is lost".to_owned(),
        says: vec![AWKWARD.to_owned(); 2],
    }
}

fn one_size() -> Sizes {
    Sizes {
        named: vec![Named {
            what: AWKWARD.to_owned(),
            size: "8 ± 0.05 mm".to_owned(),
            limits: "from 7.95 to 8.05 mm".to_owned(),
            hint: Some(AWKWARD.to_owned()),
        }],
        rows: vec![("Copy 1".to_owned(), vec![AWKWARD.to_owned()])],
    }
}

fn page(ticket: Option<Ticket>) -> PartPage {
    let line = |here: bool| Version {
        number: 7,
        n: 2,
        sent: AWKWARD.to_owned(),
        what: AWKWARD.to_owned(),
        fixed: here.then(|| "fixed two of three".to_owned()),
        here,
    };
    PartPage {
        boxes: vec![one_box(); 2],
        head: head(),
        self_url: "/parts/7".to_owned(),
        number: 7,
        title: AWKWARD.to_owned(),
        name: AWKWARD.to_owned(),
        version: 2,
        detail: AWKWARD.to_owned(),
        lead: AWKWARD.to_owned(),
        ticket,
        offer: Some(AWKWARD.to_owned()),
        may_change: true,
        may_withdraw: true,
        may_choose: true,
        may_spare: true,
        may_say_it_came: true,
        may_appeal: true,
        may_ask_again: true,
        again_says: AWKWARD.to_owned(),
        hidden: false,
        coordinates: true,
        told: vec![AWKWARD.to_owned()],
        stated: AWKWARD.to_owned(),
        judgement: judged(),
        takes: vec![
            sample(),
            Takes {
                weak: None,
                ..sample()
            },
        ],
        took: None,
        sizes: Some(one_size()),
        since: Some(AWKWARD.to_owned()),
        plates: vec![PlateRow {
            plate: 214,
            copies: 2,
            printer: AWKWARD.to_owned(),
            host: AWKWARD.to_owned(),
            from: "13:10".to_owned(),
            until: "17:15".to_owned(),
            state: "running".to_owned(),
        }],
        legs: vec![AWKWARD.to_owned()],
        reasons: vec![AWKWARD.to_owned()],
        others_note: "That is how it stands.".to_owned(),
        others: vec![Other {
            what: AWKWARD.to_owned(),
            when: AWKWARD.to_owned(),
            in_ten: 8,
        }],
        history: vec![line(false), line(true)],
        cautions: vec![AWKWARD.to_owned()],
        recalled: vec![AWKWARD.to_owned(); 3],
        recall_about: "printer-drifted",
        may_check: true,
        resize: vec![("in", AWKWARD.to_owned()), ("cm", AWKWARD.to_owned())],
        resize_pays: "The region pays.".to_owned(),
        resized: Some((9, AWKWARD.to_owned())),
        key: "k".to_owned(),
    }
}

#[test]
fn each_way_to_stand_has_its_picture_its_numbers_and_what_it_would_change() {
    let made = page(None).render().unwrap();
    sound(&made);
    assert_eq!(made.matches("Ways it could stand").count(), 2);
    assert_eq!(made.matches("It is printed like this").count(), 2);
    assert_eq!(made.matches("What it would change.").count(), 2);
    assert_eq!(made.matches("src=\"/parts/7/part-1-way-2.png\"").count(), 2);
}

#[test]
fn the_verdict_renders_with_every_kind_of_finding_and_ticket() {
    for state in ["given", "risk", "kept", "broken", "withdrawn"] {
        let made = page(Some(tag(state))).render().unwrap();
        sound(&made);
        assert!(
            made.contains("class=\"state state--stamp\"><svg"),
            "{state}: glyph and word"
        );
        assert_eq!(made.contains("ticket--broken"), state == "broken");
        assert_eq!(made.matches("Learn why").count(), 4, "a lesson each");
        assert_eq!(
            made.matches("class=\"finding__pic\"").count(),
            3,
            "a picture each"
        );
        assert!(made.contains("fixed two of three"));
        for n in 1..=4 {
            assert!(
                made.contains(&format!("href=\"#f{n}\"")),
                "number {n} on the drawing"
            );
            assert!(
                made.contains(&format!("id=\"f{n}\"")),
                "number {n} in the list"
            );
        }
    }
}

#[test]
fn the_verdict_renders_with_next_to_nothing() {
    let bare = PartPage {
        offer: None,
        may_change: false,
        may_withdraw: false,
        may_choose: false,
        may_spare: false,
        may_say_it_came: false,
        may_appeal: false,
        may_ask_again: false,
        again_says: String::new(),
        told: Vec::new(),
        judgement: Judgement::default(),
        takes: Vec::new(),
        since: None,
        plates: Vec::new(),
        legs: Vec::new(),
        reasons: Vec::new(),
        others: Vec::new(),
        history: Vec::new(),
        cautions: Vec::new(),
        recalled: Vec::new(),
        recall_about: "",
        may_check: false,
        resize: Vec::new(),
        resized: None,
        ..page(None)
    };
    let bare = bare.render().unwrap();
    sound(&bare);
    let above = bare.split("<footer").next();
    assert!(
        above.is_some_and(|main| !main.contains("<button")),
        "nothing to press that is not possible"
    );
    assert!(bare.contains("We can’t draw this part just now."));
}

#[test]
fn what_it_took_stands_where_it_said_what_it_will_take() {
    let before = page(None);
    let lead = before.takes[0].lead.clone();
    let before = before.render().unwrap();
    assert!(before.contains("What it will take") && !before.contains("really took"));
    let after = PartPage {
        took: Some(Took {
            says: AWKWARD.to_owned(),
            notes: vec!["One failed print is counted in, of 2.".to_owned()],
        }),
        ..page(None)
    };
    let after = after.render().unwrap();
    sound(&after);
    assert!(after.contains("What it really took") && !after.contains("will take"));
    assert!(!after.contains("was printed like this"));
    let mut made = page(None);
    made.judgement.made = true;
    let made = made.render().unwrap();
    assert_eq!(made.matches("It was printed like this").count(), 2);
    assert!(!made.contains("It is printed like this"));
    assert!(after.contains("One failed print is counted in") && !lead.is_empty());
    assert!(after.contains("Where it is weakest"), "that is still so");
}

#[test]
fn what_is_mended_and_what_is_new_is_said() {
    let finding = |code: &&str| StoredFinding {
        code: (*code).to_owned(),
        severity: "warning".to_owned(),
        place_mm: None,
        measured: None,
        limit: None,
        unit: String::new(),
        why: partpledge_words::say("findings-other-heading"),
        what_to_do: partpledge_words::say("findings-other-heading"),
        source: String::new(),
    };
    let with = |codes: &[&str]| vec![codes.iter().map(finding).collect::<Vec<_>>()];
    let says = |old: &[&str], new: &[&str]| since(&with(old), &with(new));
    let says = |old: &[&str], new: &[&str]| {
        // What is named after the first sentence has its own tests.
        let said = says(old, new)?;
        let first = said.split_inclusive('.').next()?;
        Some(first.to_owned())
    };
    let lead = "Since the version before: ";
    assert_eq!(says(&[], &[]), None);
    assert_eq!(
        says(&["a"], &[]),
        Some(format!("{lead}the one finding is mended."))
    );
    let three = ["a", "b", "c"];
    assert_eq!(
        says(&three, &["b"]),
        Some(format!("{lead}two of three findings are mended."))
    );
    assert_eq!(
        says(&three, &["a", "b", "d"]),
        Some(format!(
            "{lead}one of three findings is mended, one is new."
        ))
    );
    assert_eq!(
        says(&three, &[]),
        Some(format!("{lead}all three findings are mended."))
    );
    assert_eq!(
        says(&["a"], &["a"]),
        Some(format!("{lead}nothing that we found is mended."))
    );
    assert_eq!(says(&[], &["a", "b"]), Some(format!("{lead}two are new.")));
}

#[test]
fn recalled_copies_and_a_wrong_size_are_said_where_they_can_be_answered() {
    let made = page(None).render().unwrap();
    sound(&made);
    assert_eq!(made.matches("action=\"/parts/7/recall\"").count(), 2);
    assert_eq!(made.matches("action=\"/parts/7/wrong-unit\"").count(), 1);
    assert!(made.contains("href=\"/parts/9\"") && made.contains("The region pays."));
    let seen = PartPage {
        may_check: false,
        ..page(None)
    };
    let seen = seen.render().unwrap();
    assert!(seen.contains("We recall this part") && !seen.contains("/parts/7/recall"));
}
