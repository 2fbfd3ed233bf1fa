//! Answers of agents, hostile ones too, and what a watch makes of them.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use partpledge_machines::{
    Answer, Device, Execution, Group, Header, How, Kind, LookAgain, MOST_BYTES, Moment,
    Observation, ReadError, Says, Watch, WatchError, read,
};
use partpledge_units::time::EventMs;
use proptest::prelude::*;

fn document(header: &str, events: &str) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<m:MTConnectStreams \
         xmlns:m=\"urn:mtconnect.org:MTConnectStreams:1.4\"><m:Header {header}/><m:Streams>\
         <m:DeviceStream name=\"p1\" uuid=\"u-1\"><m:ComponentStream component=\"Path\"><m:Events>\
         {events}</m:Events></m:ComponentStream></m:DeviceStream></m:Streams></m:MTConnectStreams>"
    )
}

const HEADER: &str = "instanceId=\"9\" firstSequence=\"1\" nextSequence=\"40\" lastSequence=\"39\" \
                      creationTime=\"2027-03-09T12:00:00Z\" bufferSize=\"131072\"";

fn execution(sequence: i64, at: &str, says: &str) -> String {
    format!(
        "<m:Execution dataItemId=\"x\" sequence=\"{sequence}\" timestamp=\"{at}\">{says}</m:Execution>"
    )
}

fn events(events: &str) -> Result<Answer, ReadError> {
    read(document(HEADER, events).as_bytes())
}

/// An answer with these states, a minute apart, numbered from `first` on.
fn answer(instance: i64, (first, next, last): (i64, i64, i64), states: &[(i64, Says)]) -> Answer {
    let one = |(sequence, says): &(i64, Says)| Observation {
        item: "x".to_owned(),
        sequence: *sequence,
        at: EventMs(sequence * 60_000),
        says: says.clone(),
    };
    Answer {
        header: Header {
            instance,
            first,
            next,
            last,
            made_at: EventMs(0),
        },
        devices: vec![Device {
            name: "p1".to_owned(),
            uuid: "u-1".to_owned(),
            observations: states.iter().map(one).collect(),
        }],
    }
}

fn does(execution: Execution) -> Says {
    Says::Execution(Some(execution))
}

fn watch(execution: Execution) -> Watch {
    let now = answer(9, (1, 1, 0), &[(0, does(execution))]);
    Watch::begin(&now, "p1").unwrap()
}

fn kinds(moments: &[Moment]) -> Vec<(i64, Kind)> {
    moments.iter().map(|one| (one.sequence, one.kind)).collect()
}

#[test]
fn a_document_of_the_standard_is_read_with_its_prefixes_and_fractions() {
    let made = events(&format!(
        "<m:Availability dataItemId=\"a\" sequence=\"1\" timestamp=\"2027-03-09T11:00:00Z\">AVAILABLE\
         </m:Availability><m:Program dataItemId=\"p\" sequence=\"2\" \
         timestamp=\"2027-03-09T11:00:00Z\">plate&#45;17 &amp; more</m:Program>{}{}",
        execution(3, "2027-03-09T11:00:01.123456Z", "ACTIVE"),
        execution(4, "2027-03-09T12:00:01+01:00", "WAIT"),
    ));
    let made = made.unwrap();
    assert_eq!((made.header.instance, made.header.next), (9, 40));
    let heard = &made.device("u-1").unwrap().observations;
    assert_eq!(heard.len(), 4);
    assert_eq!(heard[0].says, Says::Available(true));
    let program = Says::Program(Some("plate-17 & more".to_owned()));
    assert_eq!(heard[1].says, program);
    assert_eq!(heard[2].says, does(Execution::Active));
    assert_eq!(heard[2].at.0 % 1_000, 123);
    assert_eq!(heard[3].says, Says::Execution(None), "a later version's");
    assert_eq!(heard[3].at.0 - heard[2].at.0, -123, "with its offset");
    assert!(made.device("p2").is_none());
}

#[test]
fn what_breaks_a_rule_is_refused_by_name() {
    let fine = execution(3, "2027-03-09T11:00:01Z", "ACTIVE");
    for (text, error) in [
        (String::new(), ReadError::Broken),
        ("<html></html>".to_owned(), ReadError::NotStreams),
        ("<MTConnectStreams>".to_owned(), ReadError::Broken),
        (
            "<MTConnectStreams/>".to_owned(),
            ReadError::Missing("Header"),
        ),
        (
            "<!DOCTYPE x [<!ENTITY a \"b\">]><MTConnectStreams/>".to_owned(),
            ReadError::DocType,
        ),
        (document(HEADER, &format!("{fine}&a;")), ReadError::Broken),
        (
            document(&HEADER.replace("instanceId", "id"), &fine),
            ReadError::Missing("instanceId"),
        ),
        (
            document(&HEADER.replace("\"40\"", "\"99999999999999999999\""), &fine),
            ReadError::Bad("nextSequence"),
        ),
        (
            document(&HEADER.replace("\"40\"", "\"-1\""), &fine),
            ReadError::Bad("nextSequence"),
        ),
        (
            document(HEADER, &execution(3, "yesterday", "ACTIVE")),
            ReadError::Bad("timestamp"),
        ),
        (document(HEADER, &"<a>".repeat(40)), ReadError::TooDeep),
        (document(HEADER, &fine.repeat(10_000)), ReadError::TooMany),
        (
            "<MTConnectError><Header instanceId=\"7\"/><Errors><Error errorCode=\"OUT_OF_RANGE\">x\
             </Error></Errors></MTConnectError>"
                .to_owned(),
            ReadError::OutOfRange,
        ),
        (
            "<MTConnectError><Header instanceId=\"7\"/><Errors><Error errorCode=\"Call 0900\">x\
             </Error></Errors></MTConnectError>"
                .to_owned(),
            ReadError::Refused,
        ),
    ] {
        assert_eq!(read(text.as_bytes()), Err(error), "{text:.200}");
    }
    assert_eq!(read(&[0xff, 0xfe]), Err(ReadError::NotText));
    assert_eq!(read(&vec![b' '; MOST_BYTES + 1]), Err(ReadError::TooLarge));
}

#[test]
fn a_print_begins_halts_goes_on_and_ends() {
    use Execution::{Active, FeedHold, ProgramCompleted, Ready};
    let heard = [
        (2, Says::Program(Some("plate-7".to_owned()))),
        (3, does(Active)),
        (4, does(FeedHold)),
        (5, does(Active)),
        (6, does(ProgramCompleted)),
        (7, does(Ready)),
    ];
    let story = watch(Ready).go_on(&answer(9, (1, 8, 7), &heard), "p1");
    let story = story.unwrap();
    let ended = Kind::Ended(How::Completed);
    let expected = [
        (3, Kind::Began),
        (4, Kind::Halted),
        (5, Kind::WentOn),
        (6, ended),
    ];
    assert_eq!(kinds(&story.moments), expected);
    assert_eq!(story.moments[0].at, EventMs(180_000));
    assert_eq!(story.moments[0].program.as_deref(), Some("plate-7"));
    assert_eq!((story.watch.next, story.watch.execution), (8, Ready));
    assert!(!story.more);
}

#[test]
fn what_had_stopped_unplanned_ended_when_it_stopped() {
    use Execution::{Active, Ready, Stopped};
    let heard = [(3, does(Active)), (4, does(Stopped)), (9, does(Ready))];
    let story = watch(Ready).go_on(&answer(9, (1, 10, 9), &heard), "p1");
    let moments = story.unwrap().moments;
    let ended = Kind::Ended(How::Stopped);
    assert_eq!(kinds(&moments)[2], (9, ended));
    assert_eq!(moments[2].at, EventMs(240_000), "not when it was ready");
    let again = [(3, does(Active)), (4, does(Stopped)), (9, does(Active))];
    let story = watch(Ready).go_on(&answer(9, (1, 10, 9), &again), "p1");
    assert_eq!(kinds(&story.unwrap().moments)[2], (9, Kind::Again));
}

#[test]
fn what_nobody_saw_makes_no_moment() {
    use Execution::{Active, ProgramCompleted, Ready, Unavailable};
    for heard in [
        vec![(3, Says::Execution(None))],
        vec![(3, does(Ready)), (4, does(ProgramCompleted))],
    ] {
        let story = watch(Ready).go_on(&answer(9, (1, 5, 4), &heard), "p1");
        assert!(story.unwrap().moments.is_empty(), "{heard:?}");
    }
    // That nobody sees is a moment; what is there when it is seen again is none.
    for heard in [
        vec![(3, does(Unavailable)), (4, does(Active))],
        vec![(3, Says::Available(false)), (4, does(Active))],
        vec![
            (3, does(Unavailable)),
            (4, Says::Available(false)),
            (5, does(Ready)),
        ],
    ] {
        for before in [Ready, Active] {
            let story = watch(before).go_on(&answer(9, (1, 6, 5), &heard), "p1");
            assert_eq!(
                kinds(&story.unwrap().moments),
                [(3, Kind::Lost)],
                "{heard:?}"
            );
        }
    }
    let now = answer(
        9,
        (1, 5, 4),
        &[(3, does(Active)), (4, Says::Available(false))],
    );
    assert_eq!(Watch::begin(&now, "u-1").unwrap().execution, Unavailable);
}

#[test]
fn numbers_that_do_not_follow_are_looked_at_again() {
    let at = Watch {
        next: 10,
        ..watch(Execution::Active)
    };
    let on = |instance, numbers| at.go_on(&answer(instance, numbers, &[]), "p1");
    assert_eq!(on(8, (1, 20, 19)), Err(LookAgain::Restarted));
    assert_eq!(on(9, (1, 9, 8)), Err(LookAgain::Restarted));
    assert_eq!(on(9, (11, 20, 19)), Err(LookAgain::Overrun));
    assert!(on(9, (10, 20, 30)).unwrap().more);
    assert!(!on(9, (10, 10, 30)).unwrap().more, "no way on");
    let nobody = answer(9, (1, 2, 1), &[]);
    assert_eq!(Watch::begin(&nobody, "p2"), Err(WatchError::NoDevice));
    assert_eq!(Watch::begin(&nobody, "p1"), Err(WatchError::NoExecution));
    let mut two = answer(
        9,
        (1, 3, 2),
        &[(1, does(Execution::Active)), (2, does(Execution::Ready))],
    );
    two.devices[0].observations[1].item = "y".to_owned();
    assert_eq!(Watch::begin(&two, "p1"), Err(WatchError::Several));
}

#[test]
fn a_program_named_just_after_the_start_is_the_one_that_runs() {
    let mut heard = answer(
        9,
        (1, 5, 4),
        &[
            (3, does(Execution::Active)),
            (4, Says::Program(Some("plate-8".to_owned()))),
        ],
    );
    let later = watch(Execution::Ready).go_on(&heard, "p1").unwrap();
    assert_eq!(later.moments[0].program, None, "a minute later");
    heard.devices[0].observations[1].at = EventMs(181_000);
    let soon = watch(Execution::Ready).go_on(&heard, "p1").unwrap();
    assert_eq!(soon.moments[0].program.as_deref(), Some("plate-8"));
}

fn states() -> impl Strategy<Value = Vec<Says>> {
    let one = prop_oneof![
        8 => prop::sample::select(Execution::ALL.to_vec()).prop_map(does),
        1 => any::<bool>().prop_map(Says::Available),
        1 => Just(Says::Execution(None)),
        1 => prop::option::of("[a-z]{1,5}").prop_map(Says::Program),
    ];
    prop::collection::vec(one, 0..40)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn no_bytes_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = read(&bytes);
    }

    #[test]
    fn no_broken_answer_panics(
        cut in 0..600_usize, at in 0..600_usize, with in "[<>&;\"'/!\\[\\]a-zA-Z0-9=\\-? ]{0,12}",
    ) {
        let mut text = document(HEADER, &execution(3, "2027-03-09T11:00:01Z", "ACTIVE"));
        let at = at.min(text.len());
        text.insert_str(at, &with);
        text.truncate(text.len() - cut.min(text.len()));
        if let Ok(answer) = read(text.as_bytes()) {
            let begun = Watch::begin(&answer, "p1");
            if let Ok(watch) = begun {
                let _ = watch.go_on(&answer, "p1");
            }
        }
    }

    #[test]
    fn read_in_pieces_or_at_once_the_same_comes_out(
        states in states(), cuts in prop::collection::vec(1..41_i64, 0..6),
    ) {
        let all: Vec<(i64, Says)> = (1..).zip(states).collect();
        let end = i64::try_from(all.len()).unwrap() + 1;
        let whole = watch(Execution::Ready);
        let whole = whole.go_on(&answer(9, (1, end, end - 1), &all), "p1").unwrap();
        let mut cuts: Vec<i64> = cuts.into_iter().filter(|cut| *cut < end).collect();
        cuts.sort_unstable();
        cuts.push(end);
        let mut at = watch(Execution::Ready);
        let mut moments = Vec::new();
        for cut in cuts {
            // What was read before comes once more, as when the reading was not kept.
            let upto: Vec<_> = all.iter().filter(|one| one.0 < cut).cloned().collect();
            let story = at.go_on(&answer(9, (1, cut, end - 1), &upto), "p1").unwrap();
            moments.extend(story.moments);
            at = story.watch;
        }
        prop_assert_eq!(&moments, &whole.moments);
        prop_assert_eq!(at, whole.watch);
    }

    #[test]
    fn what_began_ends_before_it_begins_again(states in states()) {
        let all: Vec<(i64, Says)> = (1..).zip(states).collect();
        let end = i64::try_from(all.len()).unwrap() + 1;
        let story = watch(Execution::Ready);
        let story = story.go_on(&answer(9, (1, end, end - 1), &all), "p1").unwrap();
        let mut before: Option<Kind> = None;
        let unseen = all.iter().any(|(_, says)| {
            matches!(says, Says::Available(false))
                || matches!(says, Says::Execution(Some(one)) if one.group() == Group::Unknown)
        });
        for moment in story.moments.iter().filter(|_| !unseen) {
            let fits = match (before, moment.kind) {
                (None | Some(Kind::Ended(_)), now) => now == Kind::Began,
                (Some(Kind::Halted), now) => !matches!(now, Kind::Began | Kind::Halted),
                (Some(_), now) => matches!(now, Kind::Halted | Kind::Ended(_)),
            };
            prop_assert!(fits, "{:?} after {:?}", moment, before);
            before = Some(moment.kind);
        }
    }
}
