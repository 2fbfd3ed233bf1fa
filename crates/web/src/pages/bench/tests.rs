//! Run sheets, trouble and the list of hosts, rendered.

use super::*;
use crate::pages::samples::{AWKWARD, head, sound};

fn job(state: &'static str, kind: &'static str, act: &'static str) -> JobLine {
    JobLine {
        kind,
        state,
        time: "13:10".to_owned(),
        at_ms: 1_804_588_920_000,
        ahead: false,
        glyph: kind,
        title: AWKWARD.to_owned(),
        plate: 214,
        act,
        does: format!("{kind}:214"),
        after: String::new(),
        printer: AWKWARD.to_owned(),
        held: usize::from(kind == "box"),
        recalled: false,
        wrong: None,
        undo: if state == "done" { "started" } else { "" },
        tick: "Started".to_owned(),
        steps: if kind == "load" {
            vec![AWKWARD.to_owned(); 6]
        } else {
            Vec::new()
        },
        brief: if kind == "load" {
            AWKWARD.to_owned()
        } else {
            String::new()
        },
        spools: if act == "start" {
            vec![("17".to_owned(), AWKWARD.to_owned())]
        } else {
            Vec::new()
        },
        why: AWKWARD.to_owned(),
        text: AWKWARD.to_owned(),
        counts: match kind {
            "clear" => vec![counted(214, 6)],
            _ => Vec::new(),
        },
        trouble: !act.is_empty(),
        leaves: 30_000_000,
        misses: if kind == "hand" && state == "ready" {
            crate::pages::boxes::hitches(partpledge_planning_model::LegKind::Courier)
        } else {
            Vec::new()
        },
        code: "brindlemoor".to_owned(),
        day_iso: "2027-03-09".to_owned(),
        from: "",
        ask: String::new(),
        on_paper: String::new(),
        may_pass: true,
        key: "k".to_owned(),
    }
}

#[test]
fn what_is_still_to_come_is_next_and_not_to_do_now() {
    let job = JobLine {
        ahead: true,
        ..job("now", "load", "start")
    };
    let page = sheet(vec![job]).render().unwrap();
    sound(&page);
    assert!(page.contains(">Next, at 13:10<") && !page.contains(">Do this now<"));
}

#[test]
fn a_run_to_be_stopped_has_no_tick_of_its_own_but_says_where_to_tell_it() {
    let stop = JobLine {
        trouble: true,
        ..job("now", "stop", "")
    };
    let page = sheet(vec![stop]).render().unwrap();
    sound(&page);
    assert!(page.contains("/trouble?plate=214&amp;day=2027-03-09&amp;running=1\">Say how it went"));
    assert!(!page.contains("name=\"act\""), "nothing can be ticked");
}

fn counted(share: u64, of: usize) -> Counted {
    Counted {
        share,
        what: AWKWARD.to_owned(),
        of,
        measure: share == 220,
    }
}

#[test]
fn what_is_to_be_measured_is_not_counted() {
    let job = JobLine {
        counts: vec![counted(214, 2), counted(220, 2)],
        ..job("now", "clear", "off")
    };
    let page = sheet(vec![job]).render().unwrap();
    sound(&page);
    assert!(!page.contains("name=\"good-214\"") && !page.contains("value=\"off\""));
    assert!(page.contains("class=\"tick\" href=\"/run-sheets/"));
}

#[test]
fn copies_of_each_request_on_a_plate_are_counted_by_themselves() {
    let clear = |counts| {
        let job = JobLine {
            counts,
            ..job("now", "clear", "off")
        };
        let page = sheet(vec![job]).render().unwrap();
        sound(&page);
        page
    };
    let page = clear(vec![counted(214, 1), counted(219, 2)]);
    assert!(page.contains("name=\"good-214\"") && page.contains("name=\"good-219\""));
    assert!(page.contains("of 2</label>"));
    let one = clear(vec![counted(214, 1)]);
    assert!(one.contains("type=\"hidden\" name=\"good-214\" value=\"1\""));
    assert!(one.contains(">Not good<") && !one.contains(">One by one<"));
}

fn sheet(jobs: Vec<JobLine>) -> RunPage {
    RunPage {
        head: head(),
        self_url: "/run-sheets/brindlemoor?day=2027-03-09".to_owned(),
        code: "brindlemoor".to_owned(),
        day_iso: "2027-03-09".to_owned(),
        title: "Tuesday 9 March".to_owned(),
        host: AWKWARD.to_owned(),
        machines: vec![crate::pages::machines::sample(); 2],
        out: vec![AWKWARD.to_owned()],
        uses: super::uses::samples(),
        staffed: AWKWARD.to_owned(),
        jobs,
        night: Some((AWKWARD.to_owned(), AWKWARD.to_owned())),
        plastic: vec![("PETG".to_owned(), "212 g".to_owned())],
        cautions: vec![AWKWARD.to_owned()],
        before: Some("/run-sheets/brindlemoor?day=2027-03-08".to_owned()),
        after: None,
        number: "BS-0309".to_owned(),
        today: false,
        now_ms: 1_804_588_920_000,
        zone: "Europe/Stockholm".to_owned(),
        first_layer: true,
        wrong: None,
        hub: None,
    }
}

#[test]
fn the_run_sheet_renders_idle_and_with_every_job() {
    let idle = RunPage {
        night: None,
        plastic: Vec::new(),
        cautions: Vec::new(),
        ..sheet(Vec::new())
    };
    let idle = idle.render().unwrap();
    sound(&idle);
    assert!(idle.contains("Nothing to do here on this day."));
    let busy = sheet(vec![
        job("done", "load", ""),
        job("now", "load", "start"),
        job("ready", "load", "start"),
        job("waits", "look", ""),
        job("ready", "clear", "off"),
        job("waits", "box", ""),
        job("ready", "hand", "leave"),
    ]);
    let busy = busy.render().unwrap();
    sound(&busy);
    assert_eq!(busy.matches(">Do this now<").count(), 1);
    assert_eq!(
        busy.matches("name=\"act\"").count(),
        5,
        "only what can be done can be ticked, and what did not go can be said"
    );
    assert_eq!(busy.matches("value=\"missed\"").count(), 1);
    assert!(
        busy.contains("name=\"good-214\""),
        "several copies are counted"
    );
    assert_eq!(
        busy.matches("name=\"spool\"").count(),
        2,
        "every load asks for its spool"
    );
    let (jobs, printers) = busy.split_once("id=\"printers\"").unwrap();
    let back = |part: &str| part.matches(">Take it back<").count();
    assert_eq!((back(jobs), back(printers)), (1, 2), "what was just done");
}

#[test]
fn what_waits_has_its_form_folded_in_the_page_for_a_tablet_without_network() {
    let waits = JobLine {
        after: "start:214".to_owned(),
        ..job("waits", "look", "look")
    };
    let page = sheet(vec![waits]).render().unwrap();
    sound(&page);
    let (_, folded) = page
        .split_once("<template data-after=\"start:214\">")
        .unwrap();
    let (folded, _) = folded.split_once("</template>").unwrap();
    assert!(folded.contains("name=\"act\" value=\"look\"") && folded.contains("&amp;running=1"));
    assert_eq!(page.matches("name=\"act\"").count(), 1);
}

#[test]
fn trouble_asks_only_what_can_be_answered() {
    let form = |started, wrong: Option<&'static str>| TroubleForm {
        head: head(),
        code: "brindlemoor".to_owned(),
        day_iso: "2027-03-09".to_owned(),
        plate: 214,
        printer: AWKWARD.to_owned(),
        label: AWKWARD.to_owned(),
        started,
        counts: vec![counted(214, 6), counted(219, 2)],
        reasons: partpledge_workshop::bench::REASONS.to_vec(),
        reason: String::new(),
        out: String::new(),
        until_day: "2027-03-10".to_owned(),
        until_clock: "12:00".to_owned(),
        wrong: wrong.map(|id| (id, AWKWARD.to_owned())),
        key: "k".to_owned(),
    };
    let running = form(true, None).render().unwrap();
    sound(&running);
    assert!(running.contains("name=\"good-214\"") && running.contains("name=\"good-219\""));
    assert!(!running.contains("There is a problem"));
    assert!(
        !running.contains(" checked"),
        "nothing is answered beforehand"
    );
    assert_eq!(
        running.matches(" required").count(),
        partpledge_workshop::bench::REASONS.len() + 1,
        "but everything must be"
    );
    let again = TroubleForm {
        reason: "The power went".to_owned(),
        out: "no".to_owned(),
        ..form(true, Some("until_day"))
    };
    let again = again.render().unwrap();
    assert_eq!(
        again.matches(" checked").count(),
        2,
        "what was chosen stays"
    );
    let waiting = form(false, Some("reason")).render().unwrap();
    sound(&waiting);
    assert!(!waiting.contains("name=\"good-") && waiting.contains("There is a problem"));
    assert!(waiting.contains("href=\"#reason\"") && waiting.contains("id=\"reason\""));
    assert!(!waiting.contains("Yes, once it is clean"), "nothing runs");
}

#[test]
fn the_list_of_sheets_renders() {
    let line = |text: &str| (text.to_owned(), text.to_owned(), text.to_owned());
    let page = SheetsPage {
        head: head(),
        hosts: vec![line(AWKWARD), line("b")],
    };
    sound(&page.render().unwrap());
    assert_eq!(and(&["Heron", "Plover", "Teal"]), "Heron, Plover and Teal");
    assert_eq!(
        (and(&["Heron"]), and(&[])),
        ("Heron".to_owned(), String::new())
    );
}

#[test]
fn a_box_over_the_counter_asks_for_its_code_or_why_there_is_none() {
    let page = |act| sheet(vec![job("ready", "hand", act)]).render().unwrap();
    let counter = page("hand");
    sound(&counter);
    assert!(counter.contains("name=\"code\"") && counter.contains("value=\"without-code\""));
    let round = page("leave");
    sound(&round);
    assert!(!round.contains("name=\"code\""));
}

#[test]
fn what_is_missing_in_a_hand_over_is_said_with_a_link_to_the_choice() {
    let mut page = sheet(vec![
        job("ready", "hand", "hand"),
        job("ready", "load", "start"),
    ]);
    page.ask_again(214, "Choose why there is no code.");
    let page = page.render().unwrap();
    sound(&page);
    assert!(page.contains("<a href=\"#without-214\">Choose why there is no code.</a>"));
    assert_eq!(page.matches("id=\"without-214\"").count(), 1);
    assert!(page.contains("aria-invalid=\"true\""));
}

#[test]
fn recalled_copies_are_told_apart_from_those_that_are_reworked() {
    let recalled = JobLine {
        held: 2,
        recalled: true,
        ..job("waits", "hand", "")
    };
    let page = sheet(vec![recalled]).render().unwrap();
    sound(&page);
    assert!(page.contains("2 to be checked again: they were recalled."));
    assert!(page.contains("/inspect?plate=214") && !page.contains("name=\"act\""));
}
