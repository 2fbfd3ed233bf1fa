//! What notices say, in words.

use partpledge_units::local::Zone;
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::dates::Form;
use partpledge_words::{Said, decimal, said, say};

use super::{Says, on, when};
use crate::boxes::Hitch;
use crate::doubts::Doubt;
use crate::notices::AccountChange;
use crate::terrain::place_said;

/// `a`, `a and b`, `a, b and c`.
fn listed(all: impl IntoIterator<Item = Said>) -> Option<Said> {
    let mut all: Vec<Said> = all.into_iter().collect();
    let last = all.pop()?;
    let comma = |before, next| said!("notices-comma", before = before, next = next);
    Some(match all.into_iter().reduce(comma) {
        Some(before) => said!("common-and", before = before, last = last),
        None => last,
    })
}

/// One sentence after another.
fn then(before: &Said, next: &Said) -> Said {
    said!("notices-then", before = before, next = next)
}

fn stands_in(zone: &Zone, until: Minute, you: bool) -> Said {
    let day = zone.moment(until - Minutes(1), Form::Day);
    if you {
        said!("notices-you-stand-in", day = day)
    } else {
        said!("notices-someone-stands-in", day = day)
    }
}

/// What was changed of an account, when, and what to do if it was somebody else.
fn account(what: AccountChange, at: &Said, student: bool) -> Said {
    match (what, student) {
        (AccountChange::PasskeyAdded, _) => said!("notices-passkey-added", when = at),
        (AccountChange::PasskeyRemoved, _) => said!("notices-passkey-removed", when = at),
        (AccountChange::PasswordChanged, _) => said!("notices-password-changed", when = at),
        (AccountChange::TokenMade, false) => said!("notices-token-made", when = at),
        (AccountChange::TokenMade, true) => said!("notices-token-made-student", when = at),
        (AccountChange::CalendarMade, false) => said!("notices-calendar-made", when = at),
        (AccountChange::CalendarMade, true) => said!("notices-calendar-made-student", when = at),
    }
}

impl Says {
    /// In words, with times as the region's clocks show them.
    #[must_use]
    pub fn text(&self, zone: &Zone) -> String {
        self.said(zone).to_string()
    }

    /// The same as data, for whoever reads it later in whichever tongue.
    #[must_use]
    pub fn said(&self, zone: &Zone) -> Said {
        let when = |at: Minute| when(zone, at);
        match self {
            Self::Bench { on, off } => bench(zone, on, off),
            Self::ProgramsWanted { plates } => programs(zone, plates),
            Self::LookAt { host, deeds } => said!("notices-look-at", host = host, n = deeds),
            Self::StopBy { plate, printer, at } => said!(
                "notices-stop-by",
                plate = plate,
                printer = printer,
                at = on(zone, *at)
            ),
            Self::StopNow { plate, printer } => {
                said!("notices-stop-now", plate = plate, printer = printer)
            }
            Self::Account { what, at, student } => account(*what, &when(*at), *student),
            Self::Closed { .. } => self.of_a_closure(&when),
            Self::StandsIn { until, you } => stands_in(zone, *until, *you),
            Self::SpoolShort {
                plate,
                start,
                material,
                needed_g,
                most_g,
            } => {
                let has = match most_g {
                    Some(most_g) => said!("notices-spool-most", grams = decimal(*most_g, 0)),
                    None => say("notices-spool-none"),
                };
                said!(
                    "notices-spool-short",
                    plate = plate,
                    start = zone.moment(*start, Form::Clock),
                    grams = decimal(*needed_g, 0),
                    material = material,
                    has = has
                )
            }
            Self::MayBeLate {
                part,
                promised,
                likely,
                place,
                why,
            } => {
                let now = comes_to(zone, *likely, place);
                may_be_late(part, (&when(*promised), &now), why.as_ref())
            }
            Self::AtRisk { .. }
            | Self::Undecided { .. }
            | Self::Decide { .. }
            | Self::Appealed { .. }
            | Self::Reported { .. }
            | Self::BoxDoubted { .. } => self.to_a_coordinator(&when),
            Self::Ready { .. }
            | Self::Left { .. }
            | Self::NotGone { .. }
            | Self::MadeAgain { .. }
            | Self::BoxRight { .. }
            | Self::HandedOver { .. }
            | Self::SomeHandedOver { .. }
            | Self::NotHandedOver { .. } => self.of_a_box(zone),
            Self::Recalled { .. }
            | Self::RecallLifted { .. }
            | Self::CheckRecalled { .. }
            | Self::RecallChecked { .. }
            | Self::Checked { .. } => self.of_a_recall(),
            other => other.of_a_part(&when),
        }
    }

    /// What a bench is told of its school.
    fn of_a_closure(&self, when: &impl Fn(Minute) -> Said) -> Said {
        match self {
            Self::Closed {
                school,
                from,
                until,
                reason,
            } => said!(
                "notices-bench-closed",
                school = school,
                from = when(*from),
                until = when(*until),
                reason = reason
            ),
            other => other.of_a_part(when),
        }
    }

    /// What a coordinator is told.
    fn to_a_coordinator(&self, when: &impl Fn(Minute) -> Said) -> Said {
        match self {
            Self::AtRisk {
                number,
                part,
                team,
                promised,
                likely,
                why,
            } => {
                let now = match likely {
                    Some(likely) => said!("notices-comes", at = when(*likely)),
                    None => say("notices-comes-unknown"),
                };
                let of = (*number, part.as_str(), team.as_str());
                at_risk(of, (&when(*promised), &now), why.as_ref())
            }
            Self::Decide { number, part, team } => {
                said!("notices-decide", number = number, part = part, team = team)
            }
            Self::Appealed { number, part, team } => said!(
                "notices-appealed",
                number = number,
                part = part,
                team = team
            ),
            Self::Reported { number, part, team } => said!(
                "notices-reported",
                number = number,
                part = part,
                team = team
            ),
            Self::Undecided {
                number,
                part,
                team,
                closes,
            } => said!(
                "notices-undecided",
                number = number,
                part = part,
                team = team,
                closes = when(*closes)
            ),
            Self::BoxDoubted {
                share,
                part,
                team,
                why,
            } => doubted(*share, (part, team), *why),
            _ => nothing(),
        }
    }

    /// What a team is told of a box.
    fn of_a_box(&self, zone: &Zone) -> Said {
        match self {
            Self::Ready {
                part,
                copies,
                of,
                all,
                host,
                place,
                arrival,
            } => {
                let goes = match arrival {
                    Some(at) => {
                        said!(
                            "notices-ready-promised",
                            at = when(zone, *at),
                            place = place_said(place)
                        )
                    }
                    None => said!("notices-ready-goes", place = place_said(place)),
                };
                then(&packed(part, (*copies, *of, *all), host), &goes)
            }
            Self::Left { part, place } => {
                said!("notices-left", part = part, place = place_said(place))
            }
            Self::NotGone {
                part,
                why,
                arrives,
                place,
            } => said!(
                "notices-not-gone",
                part = part,
                why = hitch(*why),
                now = comes_to(zone, *arrives, place)
            ),
            Self::MadeAgain { part, why } => match why {
                Doubt::Gone => said!("notices-again-gone", part = part),
                Doubt::NeverCame => said!("notices-again-never-came", part = part),
                Doubt::WrongParts => said!("notices-again-wrong-parts", part = part),
            },
            Self::BoxRight { part, why } => match why {
                Doubt::Gone | Doubt::NeverCame => said!("notices-box-found", part = part),
                Doubt::WrongParts => said!("notices-box-right", part = part),
            },
            Self::HandedOver { part, late: false } => said!("notices-handed-over", part = part),
            Self::HandedOver { part, late: true } => {
                said!("notices-handed-over-late", part = part)
            }
            Self::SomeHandedOver { part } => said!("notices-some-handed-over", part = part),
            Self::NotHandedOver { part } => said!("notices-not-handed-over", part = part),
            _ => nothing(),
        }
    }

    /// What is told of copies that were recalled.
    fn of_a_recall(&self) -> Said {
        match self {
            Self::Recalled { part, have, held } => recalled(part, *have, *held),
            Self::RecallLifted { part } => said!("notices-recall-lifted", part = part),
            Self::RecallChecked { part, good: true } => {
                said!("notices-recall-good", part = part)
            }
            Self::RecallChecked { part, good: false } => {
                said!("notices-recall-bad", part = part)
            }
            Self::CheckRecalled {
                part,
                copies,
                boxes,
            } => {
                let number = |share: &u64| said!("notices-number", n = share);
                said!(
                    "notices-check-recalled",
                    n = copies,
                    part = part,
                    plates = listed(boxes.iter().map(number)).unwrap_or_else(nothing)
                )
            }
            Self::Checked {
                number,
                part,
                team,
                good: true,
            } => said!(
                "notices-checked-good",
                number = number,
                part = part,
                team = team
            ),
            Self::Checked {
                number, part, team, ..
            } => said!(
                "notices-checked-bad",
                number = number,
                part = part,
                team = team
            ),
            _ => nothing(),
        }
    }

    /// What a team is told of its part.
    fn of_a_part(&self, when: &impl Fn(Minute) -> Said) -> Said {
        match self {
            Self::Promised {
                part,
                arrival,
                place,
            } => said!(
                "notices-promised",
                part = part,
                at = when(*arrival),
                place = place_said(place)
            ),
            Self::NeedsChange { part } => said!("notices-needs-change", part = part),
            Self::Waits { part } => said!("notices-waits", part = part),
            Self::WaitsLong {
                part,
                closes,
                again: false,
            } => said!("notices-waits-long", part = part, closes = when(*closes)),
            Self::WaitsLong { part, closes, .. } => said!(
                "notices-waits-long-again",
                part = part,
                closes = when(*closes)
            ),
            Self::NotDecided { part, again: false } => said!("notices-not-decided", part = part),
            Self::NotDecided { part, .. } => said!("notices-not-decided-again", part = part),
            Self::Passed { part } => said!("notices-passed", part = part),
            Self::Refused { part } => said!("notices-refused", part = part),
            Self::TakenDown { part } => said!("notices-taken-down", part = part),
            Self::CalledBack { part } => said!("notices-called-back", part = part),
            Self::SpareNotMade {
                part,
                at,
                all: true,
            } => said!("notices-spare-not-made", part = part, place = at),
            Self::SpareNotMade { part, at, .. } => {
                said!("notices-spare-not-all-made", part = part, place = at)
            }
            Self::Printing {
                part,
                host,
                printer,
            } => said!(
                "notices-printing",
                part = part,
                printer = printer,
                host = host
            ),
            Self::InTimeAgain {
                part,
                promised,
                place,
            } => said!(
                "notices-in-time-again",
                part = part,
                promised = when(*promised),
                place = place_said(place)
            ),
            _ => nothing(),
        }
    }
}

/// What is left where nothing is to be said.
fn nothing() -> Said {
    said!("common-as-written", text = "")
}

/// To a team, of a promise at risk.
fn may_be_late(part: &str, (promised, now): (&Said, &Said), why: Option<&Said>) -> Said {
    match why {
        Some(why) => said!(
            "notices-may-be-late",
            part = part,
            promised = promised,
            now = now,
            why = why
        ),
        None => said!(
            "notices-may-be-late-no-cause",
            part = part,
            promised = promised,
            now = now
        ),
    }
}

/// To a coordinator, of a promise at risk.
fn at_risk(
    (number, part, team): (i64, &str, &str),
    (promised, now): (&Said, &Said),
    why: Option<&Said>,
) -> Said {
    match why {
        Some(why) => said!(
            "notices-at-risk",
            number = number,
            part = part,
            team = team,
            promised = promised,
            now = now,
            why = why
        ),
        None => said!(
            "notices-at-risk-no-cause",
            number = number,
            part = part,
            team = team,
            promised = promised,
            now = now
        ),
    }
}

/// When something should come to a place now.
fn comes_to(zone: &Zone, at: Option<Minute>, place: &str) -> Said {
    match at {
        Some(at) => said!(
            "notices-comes-to",
            at = when(zone, at),
            place = place_said(place)
        ),
        None => say("notices-comes-unknown"),
    }
}

fn bench(zone: &Zone, on: &[(u64, String, Minute)], off: &[(u64, Option<Minute>)]) -> Said {
    let each = on.iter().map(|(plate, printer, start)| {
        let start = zone.moment(*start, Form::Clock);
        said!(
            "notices-bench-plate",
            plate = plate,
            start = start,
            printer = printer
        )
    });
    let new = listed(each).map(|plates| said!("notices-bench-new", plates = plates));
    let gone = off.iter().map(|(plate, start)| match start {
        Some(start) => said!(
            "notices-bench-moved",
            plate = plate,
            start = when(zone, *start)
        ),
        None => said!("notices-bench-off", plate = plate),
    });
    new.into_iter()
        .chain(gone)
        .reduce(|before, next| then(&before, &next))
        .unwrap_or_else(nothing)
}

fn programs(zone: &Zone, plates: &[(u64, Minute)]) -> Said {
    let starts = |(plate, start): &(u64, Minute)| {
        let start = zone.moment(*start, Form::Clock);
        said!("notices-programs-plate", plate = plate, start = start)
    };
    let each = listed(plates.iter().map(starts)).unwrap_or_else(nothing);
    said!("notices-programs-wanted", plates = each)
}

/// Copies of a part that were put in a box: in it, asked for, and whether all are good and boxed.
fn packed(part: &str, (copies, of, all): (usize, usize, bool), host: &str) -> Said {
    match (copies, of) {
        (copies, of) if !all => said!(
            "notices-packed-some",
            n = copies,
            of = of,
            part = part,
            host = host
        ),
        (_, 1) => said!("notices-packed-one", part = part, host = host),
        (copies, of) if copies >= of => {
            said!("notices-packed-all", of = of, part = part, host = host)
        }
        (_, of) => said!("notices-packed-last", of = of, part = part, host = host),
    }
}

/// Why a box did not go, to its team.
fn hitch(why: Hitch) -> Said {
    match why {
        Hitch::NoCourier => say("notices-hitch-no-courier"),
        Hitch::NotReady => say("notices-hitch-not-ready"),
        Hitch::LeftBehind => say("notices-hitch-left-behind"),
        Hitch::NobodyCame => say("notices-hitch-nobody-came"),
    }
}

fn doubted(share: u64, (part, team): (&str, &str), why: Doubt) -> Said {
    match why {
        Doubt::Gone => said!(
            "notices-doubt-gone",
            share = share,
            part = part,
            team = team
        ),
        Doubt::NeverCame => said!(
            "notices-doubt-never-came",
            share = share,
            part = part,
            team = team
        ),
        Doubt::WrongParts => said!(
            "notices-doubt-wrong-parts",
            share = share,
            part = part,
            team = team
        ),
    }
}

/// What a team does with copies that were recalled.
fn recalled(part: &str, have: usize, held: usize) -> Said {
    let have = (have > 0).then(|| said!("notices-recalled-have", n = have));
    let held = (held > 0).then(|| said!("notices-recalled-held", n = held));
    let first = said!("notices-recalled", part = part);
    have.into_iter()
        .chain(held)
        .fold(first, |before, next| then(&before, &next))
}
