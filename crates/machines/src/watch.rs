//! A machine watched: where its agent's numbers stand, what it does, and the moments between.

use partpledge_units::time::EventMs;

use crate::answer::{Answer, Device, Says};
use crate::execution::{Execution, Group};

/// A program that is named so soon after a run began is the one that runs. Common practice, no source.
const NAMED_WITHIN_MS: i64 = 5_000;

/// Where the reading of a machine stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Watch {
    /// The agent's `instanceId`.
    pub instance: i64,
    /// Number to ask from next.
    pub next: i64,
    /// `dataItemId` of the machine's `Execution`.
    pub item: String,
    /// What it does.
    pub execution: Execution,
    /// Since when, by the agent's clock.
    pub since: EventMs,
    /// Whether it is in the middle of something, running or not.
    pub busy: bool,
    /// The program that is loaded.
    pub program: Option<String>,
}

/// How a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// Its program came to its end.
    Completed,
    /// It is ready again; whether its program came to its end it did not say.
    Ready,
    /// It had stopped unplanned, and is ready again. It ended when it stopped.
    Stopped,
}

/// What happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// It began to run.
    Began,
    /// It had stopped unplanned and runs again: the same, or another program.
    Again,
    /// It stands still in the middle of something.
    Halted,
    /// It goes on.
    WentOn,
    /// It ended.
    Ended(How),
    /// Nobody can tell any more what it does.
    Lost,
}

/// Something that happened, and was seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moment {
    /// The agent's number of it.
    pub sequence: i64,
    /// When, by the agent's clock.
    pub at: EventMs,
    /// What.
    pub kind: Kind,
    /// The program that was loaded.
    pub program: Option<String>,
}

/// What came since the last answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Story {
    /// Where the reading stands now.
    pub watch: Watch,
    /// What happened meanwhile, in order.
    pub moments: Vec<Moment>,
    /// Whether the agent has more.
    pub more: bool,
}

/// Why the numbers don't follow: what holds now is to be asked for, and no time is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LookAgain {
    /// The agent began anew.
    Restarted,
    /// It no longer has what came next: its buffer was full.
    Overrun,
}

/// Why a machine can't be watched.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WatchError {
    /// No machine of that name or `uuid`.
    #[error("the agent has no device of that name or uuid")]
    NoDevice,
    /// The machine says nothing of its controller.
    #[error("the device has no Execution")]
    NoExecution,
    /// It has several controllers; which one would print is not known.
    #[error("the device has several Executions")]
    Several,
}

impl Watch {
    /// Begins with what holds now. No moment comes of it: since when a machine is as it is may be
    /// when its agent was started.
    ///
    /// # Errors
    /// [`WatchError`].
    pub fn begin(answer: &Answer, device: &str) -> Result<Self, WatchError> {
        let device = answer.device(device).ok_or(WatchError::NoDevice)?;
        let executions = device.observations.iter();
        let mut executions = executions.filter(|one| matches!(one.says, Says::Execution(_)));
        let found = executions.next().ok_or(WatchError::NoExecution)?;
        if executions.any(|other| other.item != found.item) {
            return Err(WatchError::Several);
        }
        let execution = match found.says {
            Says::Execution(Some(known)) => known,
            _ => Execution::Unavailable,
        };
        let mut programs = device.observations.iter().rev();
        let program = programs.find_map(|one| match &one.says {
            Says::Program(program) => Some(program.clone()),
            _ => None,
        });
        let execution = if unreachable(device) {
            Execution::Unavailable
        } else {
            execution
        };
        Ok(Self {
            instance: answer.header.instance,
            next: answer.header.next,
            item: found.item.clone(),
            execution,
            busy: execution.group() != Group::Rests,
            since: found.at,
            program: program.flatten(),
        })
    }

    /// Goes on with what came from [`Watch::next`] on.
    ///
    /// # Errors
    /// [`LookAgain`] when the numbers don't follow.
    pub fn go_on(&self, answer: &Answer, device: &str) -> Result<Story, LookAgain> {
        let header = &answer.header;
        if header.instance != self.instance || header.next < self.next {
            return Err(LookAgain::Restarted);
        }
        if header.first > self.next {
            return Err(LookAgain::Overrun);
        }
        let found = answer
            .device(device)
            .map_or(&[][..], |one| &one.observations);
        let new = |sequence| (self.next..header.next).contains(&sequence);
        let mut found: Vec<_> = found.iter().filter(|one| new(one.sequence)).collect();
        found.sort_by_key(|one| one.sequence);
        found.dedup_by_key(|one| one.sequence);
        let mut watch = self.clone();
        watch.next = header.next;
        let mut moments: Vec<Moment> = Vec::new();
        for one in found {
            match &one.says {
                Says::Execution(Some(now)) if one.item == watch.item => {
                    moments.extend(watch.turns(*now, one.at, one.sequence));
                }
                Says::Available(false) => {
                    moments.extend(watch.turns(Execution::Unavailable, one.at, one.sequence));
                }
                Says::Program(program) => {
                    watch.program.clone_from(program);
                    let began = |moment: &&mut Moment| {
                        let begins = matches!(moment.kind, Kind::Began | Kind::Again);
                        begins && (0..=NAMED_WITHIN_MS).contains(&(one.at.0 - moment.at.0))
                    };
                    if let Some(moment) = moments.last_mut().filter(began) {
                        moment.program.clone_from(program);
                    }
                }
                Says::Execution(_) | Says::Available(true) => {}
            }
        }
        Ok(Story {
            more: header.next <= header.last && header.next > self.next,
            watch,
            moments,
        })
    }

    /// It does something else from then on; what that comes to.
    fn turns(&mut self, now: Execution, at: EventMs, sequence: i64) -> Option<Moment> {
        let (before, since, busy) = (self.execution, self.since, self.busy);
        if now == before {
            return None;
        }
        (self.execution, self.since) = (now, at);
        self.busy = match (before.group(), now.group()) {
            (_, Group::Rests) => false,
            // Told to wait before anything began.
            (Group::Rests | Group::Halts, Group::Halts) => busy,
            _ => true,
        };
        let how = match (now, before) {
            (Execution::ProgramCompleted, _) => How::Completed,
            (_, Execution::Stopped) => How::Stopped,
            _ => How::Ready,
        };
        let kind = match (before.group(), now.group()) {
            (_, Group::Unknown) => Kind::Lost,
            (Group::Rests, Group::Runs) => Kind::Began,
            (Group::Halts, Group::Runs) if !busy => Kind::Began,
            (Group::Halts, Group::Runs) if before == Execution::Stopped => Kind::Again,
            (Group::Halts, Group::Runs) => Kind::WentOn,
            (Group::Runs, Group::Halts) => Kind::Halted,
            (Group::Runs | Group::Halts, Group::Rests) if busy => Kind::Ended(how),
            _ => return None,
        };
        Some(Moment {
            sequence,
            at: if kind == Kind::Ended(How::Stopped) {
                since
            } else {
                at
            },
            kind,
            program: self.program.clone(),
        })
    }
}

/// Whether the agent has no word of the machine.
fn unreachable(device: &Device) -> bool {
    let mut all = device.observations.iter();
    all.any(|one| one.says == Says::Available(false))
}
