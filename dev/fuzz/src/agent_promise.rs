//! What reading an agent's answers, and watching a machine by them, promises about any bytes.
//!
//! Shared by the fuzz target and, through `#[path]`, by the stable tests that replay the corpus.

use partpledge_machines::{
    Answer, Group, Kind, LookAgain, Moment, ReadError, Says, Story, Watch, read,
};

/// What stands between two answers.
pub const NEXT: &[u8] = b"\n====\n";
/// Machines of an answer that are watched: the bytes choose how many there are.
const MOST_WATCHED: usize = 3;
/// As many observations as are kept of an answer, and as many letters of a text.
const MOST_KEPT: usize = 10_000;
const LONGEST: usize = 200;

/// Reads the answers one after another, watches the machines of the first through all of them, and checks
/// what comes of it: "watched", "read" when there is no machine to watch, or why the first is refused.
///
/// # Panics
/// When the answers, or what a watch makes of them, break a promise of `partpledge_machines`.
pub fn hear_and_check(bytes: &[u8]) -> &'static str {
    let mut answers = Vec::new();
    for (i, piece) in pieces(bytes).into_iter().enumerate() {
        match read(piece) {
            Ok(answer) => {
                check(&answer);
                answers.push(answer);
            }
            Err(error) => {
                let code = refused(&error);
                if i == 0 {
                    return code;
                }
            }
        }
    }
    let [first, rest @ ..] = answers.as_slice() else {
        return "read";
    };
    let mut said = "read";
    for device in first.devices.iter().take(MOST_WATCHED) {
        if let Ok(watch) = Watch::begin(first, &device.name) {
            said = "watched";
            assert_eq!(watch.next, first.header.next);
            watch_on(watch, &device.name, rest);
        }
    }
    said
}

fn pieces(bytes: &[u8]) -> Vec<&[u8]> {
    let (mut out, mut rest) = (Vec::new(), bytes);
    while let Some(at) = rest.windows(NEXT.len()).position(|one| one == NEXT) {
        out.push(&rest[..at]);
        rest = &rest[at + NEXT.len()..];
    }
    out.push(rest);
    out
}

fn refused(error: &ReadError) -> &'static str {
    let words = error.to_string();
    assert!(
        words.len() < 100 && !words.chars().any(char::is_control),
        "{words:?}"
    );
    match error {
        ReadError::TooLarge => "too-large",
        ReadError::NotText => "no-text",
        ReadError::Broken => "broken",
        ReadError::DocType => "doctype",
        ReadError::TooDeep => "deep",
        ReadError::TooMany => "many",
        ReadError::NotStreams => "other",
        ReadError::Missing(_) => "missing",
        ReadError::Bad(_) => "bad",
        ReadError::OutOfRange => "out-of-range",
        ReadError::Refused => "refused",
    }
}

fn check(answer: &Answer) {
    let header = &answer.header;
    let numbers = [header.instance, header.first, header.next, header.last];
    assert!(numbers.iter().all(|n| *n >= 0), "{header:?}");
    let short = |text: &str| text.chars().count() <= LONGEST;
    let mut kept = 0;
    for device in &answer.devices {
        assert!(short(&device.name) && short(&device.uuid));
        kept += 1 + device.observations.len();
        for one in &device.observations {
            assert!(one.sequence >= 0 && short(&one.item), "{one:?}");
            if let Says::Program(Some(program)) = &one.says {
                let told = !program.is_empty() && program == program.trim();
                assert!(told && short(program), "{program:?}");
            }
        }
    }
    assert!(kept <= MOST_KEPT, "{kept} are kept");
}

/// From answer to answer; where the numbers don't follow it begins with what holds now.
fn watch_on(mut watch: Watch, device: &str, answers: &[Answer]) {
    for answer in answers {
        match watch.go_on(answer, device) {
            Ok(story) => {
                follows(&watch, answer, &story);
                in_order(&watch, answer, device, &story.moments);
                in_pieces(&watch, answer, device, &story);
                let again = story.watch.go_on(answer, device).expect("it was just read");
                assert_eq!((&again.watch, again.moments.len()), (&story.watch, 0));
                watch = story.watch;
            }
            Err(LookAgain::Restarted | LookAgain::Overrun) => match Watch::begin(answer, device) {
                Ok(anew) => watch = anew,
                Err(_) => return,
            },
        }
    }
}

/// The numbers go on, and each moment has one of them that is new.
fn follows(before: &Watch, answer: &Answer, story: &Story) {
    assert_eq!(story.watch.next, answer.header.next);
    let new = before.next..story.watch.next;
    let numbers: Vec<i64> = story.moments.iter().map(|one| one.sequence).collect();
    assert!(numbers.iter().all(|n| new.contains(n)), "{numbers:?}");
    assert!(
        numbers.is_sorted_by(|one, next| one < next),
        "{numbers:?}: each once, in order"
    );
    let goes_on = !story.more || story.watch.next > before.next;
    assert!(goes_on, "it would be asked for the same for ever");
}

/// What began ends before it begins again, where nobody was blind in between.
fn in_order(before: &Watch, answer: &Answer, device: &str, moments: &[Moment]) {
    let blind = |says: &Says| match says {
        Says::Available(there) => !there,
        Says::Execution(Some(one)) => one.group() == Group::Unknown,
        _ => false,
    };
    let heard = answer.device(device).map(|one| one.observations.iter());
    let unseen = heard.is_some_and(|mut all| all.any(|one| blind(&one.says)));
    if unseen || before.execution.group() == Group::Unknown {
        return;
    }
    let mut last = match before.execution.group() {
        _ if !before.busy => None,
        Group::Halts => Some(Kind::Halted),
        _ => Some(Kind::Began),
    };
    for moment in moments {
        let fits = match (last, moment.kind) {
            (None | Some(Kind::Ended(_)), now) => now == Kind::Began,
            (Some(Kind::Halted), now) => !matches!(now, Kind::Began | Kind::Halted),
            (Some(_), now) => matches!(now, Kind::Halted | Kind::Ended(_)),
        };
        assert!(fits, "{moment:?} after {last:?}");
        last = Some(moment.kind);
    }
}

/// Read in pieces or at once, the same comes out; but for a program that is named just after a start, in
/// the next piece: the start is told by then.
fn in_pieces(before: &Watch, answer: &Answer, device: &str, story: &Story) {
    let upto = answer.header.next;
    let middle = before.next + (upto - before.next) / 2;
    let mut half = answer.clone();
    half.header.next = middle;
    let first = before.go_on(&half, device).expect("its numbers follow too");
    let second = first.watch.go_on(answer, device);
    let second = second.expect("its numbers follow too");
    let plain = |moment: &Moment| (moment.sequence, moment.at, moment.kind);
    let pieces = first.moments.iter().chain(&second.moments).map(plain);
    let whole: Vec<_> = story.moments.iter().map(plain).collect();
    assert_eq!(pieces.collect::<Vec<_>>(), whole, "the cut shows");
    assert_eq!(second.watch, story.watch);
}
