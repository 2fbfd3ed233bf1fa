//! What is told of somebody's own account: that another way in was made, or one was taken away.
//!
//! These alone are told to whoever did it too: who it was is the very question.

use partpledge_records::{Event, RoleKind};
use partpledge_units::ids::PersonId;
use partpledge_units::time::Minute;

use super::{News, Says, To};

/// What was changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AccountChange {
    /// A passkey was added.
    PasskeyAdded,
    /// One was removed.
    PasskeyRemoved,
    /// There is another password.
    PasswordChanged,
    /// A token for a program was made.
    TokenMade,
    /// A secret address of a calendar was made.
    CalendarMade,
}

impl AccountChange {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::PasskeyAdded,
        Self::PasskeyRemoved,
        Self::PasswordChanged,
        Self::TokenMade,
        Self::CalendarMade,
    ];

    /// As the log calls it.
    pub(super) fn kind(self) -> &'static str {
        match self {
            Self::PasskeyAdded => "account.passkey-added",
            Self::PasskeyRemoved => "account.passkey-removed",
            Self::PasswordChanged => "account.password-changed",
            Self::TokenMade => "account.token-made",
            Self::CalendarMade => "account.calendar-made",
        }
    }
}

/// What an event tells the owner of an account.
pub(super) fn news(event: &Event) -> Option<News> {
    let mut all = AccountChange::ALL.into_iter();
    let what = all.find(|what| what.kind() == event.kind)?;
    let person: PersonId = event.text("person")?.parse().ok()?;
    let student = event.text("role").as_deref() == Some(RoleKind::Student.as_str());
    Some(News {
        to: To::Person(person),
        at: event.received_at,
        link: "/account".to_owned(),
        says: Says::Account {
            what,
            at: Minute::at_or_before(event.received_at),
            student,
        },
        by: None,
    })
}
