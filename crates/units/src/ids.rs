//! One id type per entity, all UUID version 7 (RFC 9562): they sort by the time they were made.
//!
//! Planner ties never break on ids but on sequence numbers, so that a seeded test and the
//! production service plan alike.

use std::fmt;
use std::str::FromStr;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use uuid::{Builder, Uuid};

use crate::time::EventMs;

/// An id was not a UUID; the rejected text is inside.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("'{0}' is not an id")]
pub struct IdError(pub String);

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(Uuid);

        impl $name {
            /// A fresh id from `source`, stamped with `at`.
            pub fn fresh(source: &mut IdSource, at: EventMs) -> Self {
                Self(source.next(at))
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl FromStr for $name {
            type Err = IdError;
            fn from_str(text: &str) -> Result<Self, IdError> {
                Uuid::parse_str(text).map(Self).map_err(|_| IdError(text.to_owned()))
            }
        }
    )+};
}

ids! {
    /// A region: the coordinator's area; leads every key.
    RegionId,
    /// A school, whether it hosts printers or not.
    SchoolId,
    /// A team that asks for parts.
    TeamId,
    /// A school that prints for others.
    HostId,
    /// A printer at a host.
    PrinterId,
    /// A part, in all its versions.
    PartId,
    /// One immutable version of a part.
    VersionId,
    /// A request for copies of a part version.
    RequestId,
    /// One copy of a requested part.
    CopyId,
    /// Parts laid out on one bed.
    PlateId,
    /// A given pledge.
    PledgeId,
    /// An estimate of a part version on a sheet and printer class.
    EstimateId,
    /// An entry of the event log.
    EventId,
    /// A piece of background work.
    JobId,
    /// Somebody who signs in; all that the log knows of a person.
    PersonId,
    /// One browser in which somebody is signed in.
    SignInId,
    /// A code or one-time link that was handed out.
    CodeId,
    /// A spool of filament.
    SpoolId,
    /// A token by which a program asks in somebody's name.
    TokenId,
    /// A passkey by which an adult signs in.
    PasskeyId,
    /// An address that is told what happens.
    HookId,
    /// A message that would go out by e-mail.
    MessageId,
    /// Somebody of a bench's crew; not a person who signs in.
    CrewId,
}

/// Where new ids come from: the operating system in production, seeded dice in tests.
#[derive(Debug)]
pub enum IdSource {
    /// Random bits from the operating system.
    Os,
    /// Random bits from a seeded generator, so that a replay makes the same ids.
    Seeded(Box<ChaCha8Rng>),
}

impl IdSource {
    /// A replayable source.
    #[must_use]
    pub fn seeded(seed: u64) -> Self {
        Self::Seeded(Box::new(ChaCha8Rng::seed_from_u64(seed)))
    }

    fn next(&mut self, at: EventMs) -> Uuid {
        let millis = u64::try_from(at.0).unwrap_or(0);
        let mut bits = [0_u8; 10];
        match self {
            // A random (version 4) id is how the uuid crate hands out the system's random bits.
            Self::Os => bits.copy_from_slice(&Uuid::new_v4().as_bytes()[6..]),
            Self::Seeded(dice) => dice.fill_bytes(&mut bits),
        }
        Builder::from_unix_timestamp_millis(millis, &bits).into_uuid()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_seed_makes_the_same_ids() {
        let make = || {
            let mut source = IdSource::seeded(7);
            (0..3)
                .map(|i| PartId::fresh(&mut source, EventMs(i)).to_string())
                .collect::<Vec<_>>()
        };
        assert_eq!(make(), make());
    }

    #[test]
    fn ids_sort_by_the_time_they_were_made() {
        let mut source = IdSource::Os;
        let early = PlateId::fresh(&mut source, EventMs(1_000));
        let late = PlateId::fresh(&mut source, EventMs(2_000));
        assert!(early < late);
        assert_eq!(early.to_string().parse::<PlateId>().unwrap(), early);
        assert_eq!("x".parse::<PlateId>(), Err(IdError("x".to_owned())));
    }
}
