//! Review: what is looked at by an adult of the region before anything is promised.
//!
//! A program only guesses, and a guess only puts a request into the queue, with what was guessed
//! beside it: people decide.

pub mod deciding;
pub mod guess;
pub mod limits;
pub mod undecided;
pub mod waiting;

use partpledge_records::{NewNote, Note, NoteKind};
use partpledge_words::say;

/// Most letters of free words with a decision, a report or an appeal.
pub const LONGEST_WORDS: usize = 300;

macro_rules! codes {
    ($(#[$outer:meta])* $what:ident: $($(#[$doc:meta])* $name:ident = $code:literal, $says:literal;)+) => {
        $(#[$outer])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum $what { $($(#[$doc])* $name),+ }

        impl $what {
            /// All of them, in the order in which people choose.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// As it is stored, and as forms have it.
            #[must_use]
            pub fn code(self) -> &'static str {
                match self { $(Self::$name => $code),+ }
            }

            /// What people read.
            #[must_use]
            pub fn says(self) -> String {
                match self { $(Self::$name => partpledge_words::say($says).to_string()),+ }
            }

            /// Reads what [`Self::code`] wrote.
            #[must_use]
            pub fn parse(code: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|one| one.code() == code)
            }
        }
    };
}

pub(crate) use codes;

codes! {
    /// Why a request is refused or taken down.
    Reason:
    /// It is a weapon or looks like one.
    Weapon = "weapon-like", "review-reason-weapon";
    /// It could hurt somebody.
    Hurts = "could-hurt", "review-reason-hurts";
    /// It does not fit a school.
    School = "not-for-school", "review-reason-school";
    /// Nobody can tell what it is.
    Unclear = "unclear", "review-reason-unclear";
    /// It has nothing to do with robotics.
    Robotics = "not-robotics", "review-reason-robotics";
    /// The sender may not copy it.
    NotTheirs = "not-theirs", "review-reason-not-theirs";
    /// Nobody decided in time. People don't choose it.
    Undecided = "undecided", "review-reason-undecided";
}

impl Reason {
    /// Those that people choose from.
    pub fn choices() -> impl Iterator<Item = Self> {
        let all = Self::ALL.iter().copied();
        all.filter(|reason| *reason != Self::Undecided)
    }

    /// What the team can do.
    #[must_use]
    pub fn what_to_do(self) -> String {
        match self {
            Self::Weapon => say!("review-todo-weapon"),
            Self::Hurts => say!("review-todo-hurts"),
            Self::School => say!("review-todo-school"),
            Self::Unclear => say!("review-todo-unclear"),
            Self::Robotics => say!("review-todo-robotics"),
            Self::NotTheirs => say!("review-todo-not-theirs"),
            Self::Undecided => say!("review-todo-undecided"),
        }
    }
}

codes! {
    /// Why a host does not make a plate.
    Decline:
    /// Nobody has time.
    Hands = "no-hands", "review-decline-hands";
    /// Something is wrong with printer or plastic.
    Machine = "machine", "review-decline-machine";
    /// The host does not want to make such a part.
    Unwilling = "unwilling", "review-decline-unwilling";
    /// Another reason, in words.
    Other = "other", "review-decline-other";
}

codes! {
    /// Why a team may have a part made.
    Claim:
    /// The team drew it.
    Own = "own", "review-claim-own";
    /// A licence allows it.
    Licence = "licence", "review-claim-licence";
    /// Its maker allowed it.
    Permission = "permission", "review-claim-permission";
}

/// Why a team may have a part made, as its sender stated.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Statement {
    /// Which way.
    pub claim: Claim,
    /// Which licence, or who allowed it; empty for own work.
    pub words: String,
}

impl Statement {
    /// The team drew it.
    #[must_use]
    pub fn own() -> Self {
        Self {
            claim: Claim::Own,
            words: String::new(),
        }
    }

    /// As it was noted.
    #[must_use]
    pub fn read(note: &Note) -> Option<Self> {
        let said = Some(&note.said).filter(|said| said.kind == NoteKind::Stated)?;
        Some(Self {
            claim: Claim::parse(&said.reason)?,
            words: said.words.clone(),
        })
    }

    pub(crate) fn note(&self) -> NewNote {
        let words = clean(&self.words);
        NewNote::new(NoteKind::Stated, self.claim.code(), &words)
    }

    /// In a sentence.
    #[must_use]
    pub fn says(&self) -> String {
        match self.words.as_str() {
            "" => self.claim.says(),
            words => say!(
                "review-reason-words",
                reason = self.claim.says(),
                words = words
            ),
        }
    }
}

/// Free words as they are kept: one line, nothing that can't be shown, not too long.
///
/// ```
/// assert_eq!(partpledge_workshop::review::clean(" a\n b\u{7} "), "a b");
/// assert_eq!(partpledge_workshop::review::clean(&"x".repeat(400)).len(), 300);
/// ```
#[must_use]
pub fn clean(words: &str) -> String {
    let shown = |c: char| if c.is_control() { ' ' } else { c };
    let words: String = words.chars().map(shown).collect();
    let words: Vec<&str> = words.split_whitespace().collect();
    words.join(" ").chars().take(LONGEST_WORDS).collect()
}
