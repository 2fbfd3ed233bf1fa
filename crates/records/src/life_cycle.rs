//! The life of a request and of each copy: one table of allowed steps.

use crate::error::StoreError;

macro_rules! states {
    ($($(#[$doc:meta])* $name:ident = $text:literal),+ $(,)?) => {
        /// Where a request or a copy stands.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum State { $($(#[$doc])* $name),+ }

        impl State {
            /// All states, in order of life.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// As it is stored and shown.
            #[must_use]
            pub fn as_str(self) -> &'static str {
                match self { $(Self::$name => $text),+ }
            }
        }
    };
}

states! {
    /// The file is here, not yet judged.
    Received = "received",
    /// Waits for an adult of the region.
    HeldForReview = "held for review",
    /// Refused, with a reason; may be appealed.
    Refused = "refused",
    /// Can't be printed as it is.
    NeedsChange = "needs change",
    /// Could be pledged.
    Ready = "ready",
    /// A pledge is given.
    Pledged = "pledged",
    /// Laid out on a plate that somebody has prepared.
    OnAPlate = "on a plate",
    /// Being printed.
    Running = "running",
    /// Held until somebody says that it is good or scrap.
    Rework = "being reworked",
    /// Looked at and good.
    Inspected = "inspected",
    /// In its box.
    Boxed = "boxed",
    /// The team has it.
    HandedOver = "handed over",
    /// Called back by the team.
    Withdrawn = "withdrawn",
    /// Called back by the region: a request taken down, or copies that must come back.
    Recalled = "recalled",
    /// Gone missing.
    Lost = "lost",
}

use State::{
    Boxed, HandedOver, HeldForReview, Inspected, Lost, NeedsChange, OnAPlate, Pledged, Ready,
    Recalled, Received, Refused, Rework, Running, Withdrawn,
};

/// From where to where. A step that is not here does not exist.
const STEPS: &[(State, &[State])] = &[
    (Received, &[HeldForReview, NeedsChange, Ready, Withdrawn]),
    (
        HeldForReview,
        &[Refused, NeedsChange, Ready, Withdrawn, Recalled],
    ),
    (Refused, &[HeldForReview, Recalled]),
    (NeedsChange, &[Received, Withdrawn, Recalled]),
    (
        Ready,
        &[Pledged, NeedsChange, HeldForReview, Withdrawn, Recalled],
    ),
    (Pledged, &[OnAPlate, Ready, Withdrawn, Recalled]),
    (OnAPlate, &[Running, Pledged, Withdrawn]),
    (Running, &[Rework, Inspected, Pledged, Withdrawn]),
    (Rework, &[Inspected, Pledged]),
    (Inspected, &[Boxed, Pledged, Recalled]),
    (Boxed, &[HandedOver, Lost, Recalled]),
    (HandedOver, &[Recalled]),
    (Withdrawn, &[]),
    (Recalled, &[Pledged]),
    (Lost, &[Pledged, HandedOver]),
];

impl State {
    /// The states that may follow.
    #[must_use]
    pub fn next(self) -> &'static [Self] {
        STEPS
            .iter()
            .find(|(from, _)| *from == self)
            .map_or(&[], |(_, to)| to)
    }

    /// The step to `to`, if it exists.
    ///
    /// # Errors
    /// [`StoreError::NoSuchStep`].
    pub fn step(self, to: Self) -> Result<Self, StoreError> {
        if self.next().contains(&to) {
            Ok(to)
        } else {
            Err(StoreError::NoSuchStep { from: self, to })
        }
    }

    /// Reads what [`State::as_str`] wrote.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL
            .iter()
            .copied()
            .find(|state| state.as_str() == text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_state_is_in_the_table_once_and_can_be_reached() {
        for &state in State::ALL {
            assert_eq!(
                STEPS.iter().filter(|(from, _)| *from == state).count(),
                1,
                "{state:?}"
            );
            assert_eq!(State::parse(state.as_str()), Some(state));
            let reached = STEPS.iter().any(|(_, to)| to.contains(&state));
            assert!(reached || state == Received, "{state:?} can't be reached");
        }
    }

    #[test]
    fn the_walk_of_a_kept_pledge_is_allowed_and_short_cuts_are_not() {
        let walk = [
            Received, Ready, Pledged, OnAPlate, Running, Inspected, Boxed, HandedOver,
        ];
        for pair in walk.windows(2) {
            assert_eq!(pair[0].step(pair[1]).unwrap(), pair[1]);
        }
        assert!(Received.step(HandedOver).is_err());
        assert!(Withdrawn.step(Pledged).is_err());
    }
}
