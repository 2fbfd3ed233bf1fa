//! What notices say, in words.

use partpledge_units::local::Zone;
use partpledge_units::time::{Minute, Minutes};

use super::{Says, when};
use crate::boxes::Hitch;
use crate::doubts::Doubt;

fn listed(all: impl Iterator<Item = String>) -> String {
    let all: Vec<String> = all.collect();
    match all.as_slice() {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        one => one.concat(),
    }
}

fn stands_in(zone: &Zone, until: Minute, you: bool) -> String {
    let day = zone.day(until - Minutes(1));
    if you {
        return format!(
            "You stand in for the coordinator to the end of {day}. You see and decide what they do."
        );
    }
    format!(
        "Someone stands in for the coordinator to the end of {day}. They see and decide what a coordinator \
         does."
    )
}

impl Says {
    /// In words, with times as the region's clocks show them.
    #[must_use]
    pub fn text(&self, zone: &Zone) -> String {
        let when = |at: Minute| when(zone, at);
        match self {
            Self::Bench { on, off } => bench(zone, on, off),
            Self::ProgramsWanted { plates } => programs(zone, plates),
            Self::LookAt { host, deeds } => look_at(host, *deeds),
            Self::StandsIn { until, you } => stands_in(zone, *until, *you),
            Self::SpoolShort {
                plate,
                start,
                material,
                needed_g,
                most_g,
            } => {
                let has = match most_g {
                    Some(most_g) => format!("No spool here has more than {most_g:.0} g."),
                    None => "There is no spool of it here.".to_owned(),
                };
                let start = zone.clock(*start);
                format!(
                    "Plate {plate} starts at {start} and needs {needed_g:.0} g of {material}. {has}"
                )
            }
            Self::MayBeLate {
                part,
                promised,
                likely,
                place,
                why,
            } => {
                let now = match likely {
                    Some(likely) => {
                        format!("Now it should come by {}, to {place}.", when(*likely))
                    }
                    None => "We can’t say yet when it comes.".to_owned(),
                };
                let promised = when(*promised);
                format!(
                    "“{part}” may be late. We promised it for {promised}. {now} The cause: {why}."
                )
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
            | Self::NotHandedOver { .. } => self.of_a_box(&when),
            Self::Recalled { .. }
            | Self::RecallLifted { .. }
            | Self::CheckRecalled { .. }
            | Self::RecallChecked { .. }
            | Self::Checked { .. } => self.of_a_recall(),
            other => other.of_a_part(&when),
        }
    }

    /// What a coordinator is told.
    fn to_a_coordinator(&self, when: &impl Fn(Minute) -> String) -> String {
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
                    Some(likely) => format!("Now it should come by {}.", when(*likely)),
                    None => "We can’t say yet when it comes.".to_owned(),
                };
                let promised = when(*promised);
                format!(
                    "The promise for part {number}, “{part}” of {team}, is at risk. It was for \
                     {promised}. {now} The cause: {why}."
                )
            }
            Self::Decide { number, part, team } => {
                format!("Part {number}, “{part}” of {team}, waits for you. Say if it may be made.")
            }
            Self::Appealed { number, part, team } => {
                format!("{team} ask you to look again at part {number}, “{part}”.")
            }
            Self::Reported { number, part, team } => format!(
                "Someone says that part {number}, “{part}” of {team}, should not be here. Look at it soon."
            ),
            Self::Undecided {
                number,
                part,
                team,
                closes,
            } => format!(
                "Part {number}, “{part}” of {team}, still waits for you. If no one says by {} if it may be \
                 made, the answer is no.",
                when(*closes)
            ),
            Self::BoxDoubted {
                share,
                part,
                team,
                why,
            } => doubted((*share, part, team), *why),
            _ => String::new(),
        }
    }

    /// What a team is told of a box.
    fn of_a_box(&self, when: &impl Fn(Minute) -> String) -> String {
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
                let packed = packed(part, (*copies, *of, *all), host);
                match arrival {
                    Some(at) => format!("{packed} It is promised for {}, at {place}.", when(*at)),
                    None => format!("{packed} It goes to {place}."),
                }
            }
            Self::Left { part, place } => format!("A box with “{part}” is on its way to {place}."),
            Self::NotGone {
                part,
                why,
                arrives,
                place,
            } => {
                let now = match arrives {
                    Some(at) => format!("Now it should come by {}, to {place}.", when(*at)),
                    None => "We can’t say yet when it comes.".to_owned(),
                };
                format!("A box with “{part}” did not go. {} {now}", hitch(*why))
            }
            Self::MadeAgain { part, why } => made_again(part, *why),
            Self::BoxRight { part, why } => match why {
                Doubt::Gone | Doubt::NeverCame => {
                    format!("The box with “{part}” was found. It goes on its way.")
                }
                Doubt::WrongParts => {
                    format!("Someone looked at your box with “{part}”. The right parts are in it.")
                }
            },
            Self::HandedOver { part, late: false } => format!("“{part}” is with your team now."),
            Self::HandedOver { part, late: true } => format!(
                "“{part}” is with your team now. It came later than we promised. We are sorry."
            ),
            Self::SomeHandedOver { part } => {
                format!("Your team has a box with “{part}” now. The other copies come later.")
            }
            Self::NotHandedOver { part } => {
                format!(
                    "A box with “{part}” is not with your team after all. We told you too soon."
                )
            }
            _ => String::new(),
        }
    }

    /// What is told of copies that were recalled.
    fn of_a_recall(&self) -> String {
        match self {
            Self::Recalled { part, have, held } => recalled(part, *have, *held),
            Self::RecallLifted { part } => {
                format!("“{part}” need not be checked any more. You may use what you have of it.")
            }
            Self::RecallChecked { part, good: true } => {
                format!("We checked our copies of “{part}”. They are good.")
            }
            Self::RecallChecked { part, good: false } => format!(
                "We checked our copies of “{part}”. They are not good. Open it to see what comes instead."
            ),
            Self::CheckRecalled {
                part,
                copies,
                boxes,
            } => check_recalled(part, *copies, boxes),
            Self::Checked {
                number,
                part,
                team,
                good,
            } => {
                let found = if *good {
                    "They are good"
                } else {
                    "They are not good"
                };
                format!(
                    "Recalled copies of part {number}, “{part}” of {team}, were checked. {found}."
                )
            }
            _ => String::new(),
        }
    }

    /// What a team is told of its part.
    fn of_a_part(&self, when: &impl Fn(Minute) -> String) -> String {
        match self {
            Self::Promised {
                part,
                arrival,
                place,
            } => format!(
                "“{part}” is promised. You have it by {}, at {place}.",
                when(*arrival)
            ),
            Self::NeedsChange { part } => {
                format!(
                    "“{part}” needs a change before we can print it. Open it to see what to do."
                )
            }
            Self::Waits { part } => {
                format!(
                    "“{part}” waits. Someone looks at it first. There is nothing to do for you."
                )
            }
            Self::WaitsLong {
                part,
                closes,
                again: false,
            } => format!(
                "No one has looked at “{part}” yet. We have asked once more. If no one says by {} if it may \
                 be made, the answer is no. You may send it again then.",
                when(*closes)
            ),
            Self::WaitsLong { part, closes, .. } => format!(
                "No one has looked at “{part}” a second time yet. We have asked once more. If no one does by \
                 {}, it stays a no.",
                when(*closes)
            ),
            Self::NotDecided { part, again: false } => format!(
                "“{part}” is not made: no one said in time that it may be. It is not your fault. Open it to see \
                 what you can do."
            ),
            Self::NotDecided { part, .. } => format!(
                "No one has looked at “{part}” a second time. It stays a no. Talk with your mentor."
            ),
            Self::Passed { part } => {
                format!("We looked at “{part}”. It can be made. Open it to see when.")
            }
            Self::Refused { part } => {
                format!("We looked at “{part}” and don’t make it. Open it to see why.")
            }
            Self::TakenDown { part } => format!("“{part}” was taken down. Open it to see why."),
            Self::CalledBack { part } => {
                format!("Someone in your team called “{part}” back. It will not be made.")
            }
            Self::SpareNotMade { part, at, all } => spare_not_made(part, at, *all),
            Self::Printing {
                part,
                host,
                printer,
            } => format!("“{part}” is being printed now, on {printer} at {host}."),
            Self::InTimeAgain {
                part,
                promised,
                place,
            } => format!(
                "“{part}” should be in time after all: by {}, at {place}.",
                when(*promised)
            ),
            _ => String::new(),
        }
    }
}

fn spare_not_made(part: &str, at: &str, all: bool) -> String {
    let how = if all { "was not" } else { "was not all" };
    format!(
        "“{part}” {how} printed before the bench at {at} closed. We did not keep our promise. If you still \
         need it, open it and ask for it again."
    )
}

fn bench(zone: &Zone, on: &[(u64, String, Minute)], off: &[(u64, Option<Minute>)]) -> String {
    let mut says = Vec::new();
    if !on.is_empty() {
        let each = on.iter().map(|(plate, printer, start)| {
            format!("plate {plate} at {} on {printer}", zone.clock(*start))
        });
        says.push(format!("New on your bench today: {}.", listed(each)));
    }
    for (plate, start) in off {
        says.push(match start {
            Some(start) => format!(
                "Plate {plate} is not for your bench today. It is now planned for {}.",
                when(zone, *start)
            ),
            None => format!("Plate {plate} is off the plan. Don’t start it."),
        });
    }
    says.join(" ")
}

fn programs(zone: &Zone, plates: &[(u64, Minute)]) -> String {
    let starts =
        |(plate, start): &(u64, Minute)| format!("plate {plate} at {}", zone.clock(*start));
    let each = listed(plates.iter().map(starts));
    format!(
        "We have no program yet for what you start today: {each}. With it we know the time better."
    )
}

/// What an adult of a bench that students run is told: a run may still be on.
fn look_at(host: &str, deeds: usize) -> String {
    let (wait, them) = match deeds {
        1 => ("1 deed waits".to_owned(), "it"),
        n => (format!("{n} deeds wait"), "them"),
    };
    format!(
        "At the bench of {host}, {wait} for an adult. As far as we were told, nobody who was there may \
         do {them} alone. Go there soon. Look if all is well, then say so on the Crew page."
    )
}

/// Copies of a part that were put in a box: in it, asked for, and whether all are good and boxed.
fn packed(part: &str, (copies, of, all): (usize, usize, bool), host: &str) -> String {
    match (copies, of) {
        (copies, of) if !all => {
            let are = if copies == 1 { "is" } else { "are" };
            format!("{copies} of {of} copies of “{part}” {are} in a box at {host}.")
        }
        (_, 1) => format!("“{part}” is ready. Your copy is in a box at {host}."),
        (copies, of) if copies >= of => {
            format!("“{part}” is ready. All {of} copies are in a box at {host}.")
        }
        (_, of) => format!("“{part}” is ready. All {of} copies are packed, the last at {host}."),
    }
}

/// Why a box did not go, to its team.
fn hitch(why: Hitch) -> &'static str {
    match why {
        Hitch::NobodyCame => "Nobody came for it.",
        other => other.says(),
    }
}

fn made_again(part: &str, why: Doubt) -> String {
    let (what, we) = match why {
        Doubt::Gone => (
            "Nobody can find a box with",
            "We make what was in it again.",
        ),
        Doubt::NeverCame => ("A box with", "left and did not come. We make it again."),
        Doubt::WrongParts => (
            "Your box with",
            "had other parts in it. We make yours again.",
        ),
    };
    let stop = if why == Doubt::Gone { "." } else { "" };
    format!("{what} “{part}”{stop} {we} Open it to see when.")
}

fn doubted((share, part, team): (u64, &str, &str), why: Doubt) -> String {
    let what = match why {
        Doubt::Gone => "may be lost: nobody can find it",
        Doubt::NeverCame => "may be lost: it left, and it has not come",
        Doubt::WrongParts => "may have other parts in it",
    };
    format!("Box {share}, with “{part}” of {team}, {what}. Say if we make it again.")
}

/// What a team does with copies that were recalled.
fn recalled(part: &str, have: usize, held: usize) -> String {
    let mut says = format!("We recall “{part}”: it may not be right.");
    match have {
        0 => {}
        1 => says.push_str(
            " Your team has one copy. Do not use it until somebody has checked it. Then tell us on \
             the part’s page.",
        ),
        n => says.push_str(&format!(
            " Your team has {n} copies. Do not use them until somebody has checked them. Then tell \
             us on the part’s page."
        )),
    }
    match held {
        0 => {}
        1 => says.push_str(" We keep one copy here and check it first."),
        n => says.push_str(&format!(" We keep {n} copies here and check them first.")),
    }
    says
}

fn check_recalled(part: &str, copies: usize, boxes: &[u64]) -> String {
    let many = if copies == 1 { "one copy" } else { "copies" };
    let numbers = listed(boxes.iter().map(u64::to_string));
    format!(
        "Check {many} of “{part}” at your bench: plate {numbers}. Until then no box with it may go."
    )
}
