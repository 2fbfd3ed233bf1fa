//! What notices say, as data, and in words made last.

use partpledge_units::local::Zone;
use partpledge_units::time::Minute;

/// What a notice says.
#[derive(Clone, Debug, PartialEq)]
pub enum Says {
    /// A part was promised.
    Promised {
        /// What the team calls the part.
        part: String,
        /// By when the team holds it.
        arrival: Minute,
        /// Where.
        place: String,
    },
    /// A part can't be printed as it is.
    NeedsChange {
        /// The part.
        part: String,
    },
    /// A part waits until the coordinator has looked at it.
    Waits {
        /// The part.
        part: String,
    },
    /// A part was looked at and may be made.
    Passed {
        /// The part.
        part: String,
    },
    /// A part was looked at and is not made.
    Refused {
        /// The part.
        part: String,
    },
    /// A part's file was taken down.
    TakenDown {
        /// The part.
        part: String,
    },
    /// A part was called back by somebody of the team.
    CalledBack {
        /// The part.
        part: String,
    },
    /// The first plate of a part was started.
    Printing {
        /// The part.
        part: String,
        /// At which host.
        host: String,
        /// On which printer.
        printer: String,
    },
    /// Copies are in their box.
    Ready {
        /// The part.
        part: String,
        /// Copies that are in a box or further.
        copies: usize,
        /// Copies asked for.
        of: usize,
        /// At which host.
        host: String,
        /// Where the team gets them.
        place: String,
        /// By when they are promised.
        arrival: Minute,
    },
    /// A box has left the host.
    Left {
        /// The part.
        part: String,
        /// Where to.
        place: String,
    },
    /// The team holds its copies.
    HandedOver {
        /// The part.
        part: String,
        /// Whether they came later than promised.
        late: bool,
    },
    /// A box is with the team; other copies are not yet.
    SomeHandedOver {
        /// The part.
        part: String,
    },
    /// A box that was said to be with the team is not, after all.
    NotHandedOver {
        /// The part.
        part: String,
    },
    /// Copies were recalled.
    Recalled {
        /// The part.
        part: String,
        /// Those that the team has.
        have: usize,
        /// Those that it does not have yet.
        held: usize,
    },
    /// Recalled copies need not be checked any more.
    RecallLifted {
        /// The part.
        part: String,
    },
    /// Recalled copies at a bench are to be checked.
    CheckRecalled {
        /// The part.
        part: String,
        /// Copies.
        copies: usize,
        /// What they are on, or in: shares.
        boxes: Vec<u64>,
    },
    /// A team or a bench has checked recalled copies.
    Checked {
        /// Number of the request.
        number: i64,
        /// The part.
        part: String,
        /// The team.
        team: String,
        /// Whether they are good.
        good: bool,
    },
    /// A promise may be broken.
    MayBeLate {
        /// The part.
        part: String,
        /// By when it was promised.
        promised: Minute,
        /// When it should come now, if that can be said.
        likely: Option<Minute>,
        /// Where.
        place: String,
        /// Why, as a clause.
        why: String,
    },
    /// A promise that was at risk holds again.
    InTimeAgain {
        /// The part.
        part: String,
        /// By when.
        promised: Minute,
        /// Where.
        place: String,
    },
    /// Plates that came to a bench for today, or have gone from it.
    Bench {
        /// Number, printer, start.
        on: Vec<(u64, String, Minute)>,
        /// Number, and when it is to be started now, if it is planned at all.
        off: Vec<(u64, Option<Minute>)>,
    },
    /// Plates of today without a program, at a bench that gives us programs.
    ProgramsWanted {
        /// Number and start.
        plates: Vec<(u64, Minute)>,
    },
    /// No spool suffices for a plate.
    SpoolShort {
        /// Number of the plate.
        plate: u64,
        /// When it is to be started.
        start: Minute,
        /// Material code.
        material: String,
        /// What it needs, g.
        needed_g: f64,
        /// What is on the spool that has most, g; `None` when there is none.
        most_g: Option<f64>,
    },
    /// A part waits for the coordinator's decision.
    Decide {
        /// Number of the request.
        number: i64,
        /// The part.
        part: String,
        /// The team.
        team: String,
    },
    /// A team asks for a second look.
    Appealed {
        /// Number of the request.
        number: i64,
        /// The part.
        part: String,
        /// The team.
        team: String,
    },
    /// Somebody says that a part should not be here.
    Reported {
        /// Number of the request.
        number: i64,
        /// The part.
        part: String,
        /// The team.
        team: String,
    },
    /// A promise to a team is at risk.
    AtRisk {
        /// Number of the request.
        number: i64,
        /// The part.
        part: String,
        /// The team.
        team: String,
        /// By when it was promised.
        promised: Minute,
        /// When it should come now, if that can be said.
        likely: Option<Minute>,
        /// Why, as a clause.
        why: String,
    },
}

/// A time that reads the same tomorrow: `Thursday 11 March at 15:40`.
pub(crate) fn when(zone: &Zone, at: Minute) -> String {
    format!("{} at {}", zone.day(at), zone.clock(at))
}

fn listed(all: impl Iterator<Item = String>) -> String {
    let all: Vec<String> = all.collect();
    match all.as_slice() {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        one => one.concat(),
    }
}

impl Says {
    /// A name that stays.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Promised { .. } => "part.promised",
            Self::NeedsChange { .. } => "part.needs-change",
            Self::Waits { .. } => "part.waits",
            Self::Passed { .. } => "part.passed",
            Self::Refused { .. } => "part.refused",
            Self::TakenDown { .. } => "part.taken-down",
            Self::CalledBack { .. } => "part.called-back",
            Self::Printing { .. } => "part.printing",
            Self::Ready { .. } => "part.ready",
            Self::Left { .. } => "part.on-its-way",
            Self::HandedOver { .. } => "part.handed-over",
            Self::SomeHandedOver { .. } => "part.some-handed-over",
            Self::NotHandedOver { .. } => "part.not-handed-over",
            Self::Recalled { .. } => "part.recalled",
            Self::RecallLifted { .. } => "part.recall-lifted",
            Self::CheckRecalled { .. } => "bench.check-recalled",
            Self::Checked { .. } => "recall.checked",
            Self::MayBeLate { .. } => "part.may-be-late",
            Self::InTimeAgain { .. } => "part.in-time-again",
            Self::Bench { .. } => "bench.changed",
            Self::ProgramsWanted { .. } => "bench.programs-wanted",
            Self::SpoolShort { .. } => "bench.spool-short",
            Self::Decide { .. } => "review.decide",
            Self::Appealed { .. } => "review.appealed",
            Self::Reported { .. } => "review.reported",
            Self::AtRisk { .. } => "promise.at-risk",
        }
    }

    /// Whether an adult who wants to be told at once is.
    #[must_use]
    pub fn urgent(&self) -> bool {
        matches!(
            self,
            Self::MayBeLate { .. }
                | Self::Recalled { .. }
                | Self::CheckRecalled { .. }
                | Self::Bench { .. }
                | Self::Reported { .. }
                | Self::AtRisk { .. }
        )
    }

    /// In words, with times as the region's clocks show them.
    #[must_use]
    pub fn text(&self, zone: &Zone) -> String {
        let when = |at: Minute| when(zone, at);
        match self {
            Self::Bench { on, off } => bench(zone, on, off),
            Self::ProgramsWanted { plates } => programs(zone, plates),
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
            other => other.of_a_part(&when),
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
            Self::Printing {
                part,
                host,
                printer,
            } => format!("“{part}” is being printed now, on {printer} at {host}."),
            Self::Ready {
                part,
                copies,
                of,
                host,
                place,
                arrival,
            } => {
                let many = match (copies, of) {
                    (1, 1) => "Your copy is".to_owned(),
                    (copies, of) if copies == of => format!("All {of} copies are"),
                    (copies, of) => format!("{copies} of {of} copies are"),
                };
                format!(
                    "“{part}” is ready. {many} in a box at {host}. It is promised for {}, at {place}.",
                    when(*arrival)
                )
            }
            Self::InTimeAgain {
                part,
                promised,
                place,
            } => format!(
                "“{part}” should be in time after all: by {}, at {place}.",
                when(*promised)
            ),
            other => other.of_boxes(),
        }
    }

    /// What is told of boxes, and of copies that were recalled.
    fn of_boxes(&self) -> String {
        match self {
            Self::Left { part, place } => format!("A box with “{part}” is on its way to {place}."),
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
            Self::Recalled { part, have, held } => recalled(part, *have, *held),
            Self::RecallLifted { part } => {
                format!("“{part}” need not be checked any more. You may use what you have of it.")
            }
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

fn programs(zone: &Zone, plates: &[(u64, Minute)]) -> String {
    let starts =
        |(plate, start): &(u64, Minute)| format!("plate {plate} at {}", zone.clock(*start));
    let each = listed(plates.iter().map(starts));
    format!(
        "We have no program yet for what you start today: {each}. With it we know the time better."
    )
}
