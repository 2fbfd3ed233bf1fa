//! Review: what is looked at by an adult of the region before anything is promised.
//!
//! A program only guesses, and a guess only puts a request into the queue, with what was guessed
//! beside it: people decide.

pub mod deciding;
pub mod guess;
pub mod limits;
pub mod undecided;

use partpledge_records::{NewNote, Note, NoteKind};

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
            pub fn says(self) -> &'static str {
                match self { $(Self::$name => $says),+ }
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
    Weapon = "weapon-like", "It looks like a weapon.";
    /// It could hurt somebody.
    Hurts = "could-hurt", "It could hurt somebody.";
    /// It does not fit a school.
    School = "not-for-school", "It does not fit a school.";
    /// Nobody can tell what it is.
    Unclear = "unclear", "We can’t tell what it is.";
    /// It has nothing to do with robotics.
    Robotics = "not-robotics", "It is not for robotics.";
    /// The sender may not copy it.
    NotTheirs = "not-theirs", "It is not the team’s to copy.";
    /// Nobody decided in time. People don't choose it.
    Undecided = "undecided", "Nobody decided about it in time.";
}

impl Reason {
    /// Those that people choose from.
    pub fn choices() -> impl Iterator<Item = Self> {
        let all = Self::ALL.iter().copied();
        all.filter(|reason| *reason != Self::Undecided)
    }

    /// What the team can do.
    #[must_use]
    pub fn what_to_do(self) -> &'static str {
        match self {
            Self::Weapon => "Change it so that it looks like the tool or part that it is.",
            Self::Hurts => "Round off points and edges, or cover them, and send the changed file.",
            Self::School => "Talk with your mentor about what you need it for.",
            Self::Unclear => "Give it a name that says what it is, or tell us in an appeal.",
            Self::Robotics => "Tell us what it does on your robot, or have it made elsewhere.",
            Self::NotTheirs => {
                "Draw your own, find one with a licence that allows it, or ask its maker."
            }
            Self::Undecided => "Tell your mentor. You may send it again whenever you like.",
        }
    }
}

codes! {
    /// Why a host does not make a plate.
    Decline:
    /// Nobody has time.
    Hands = "no-hands", "Nobody here has time for it.";
    /// Something is wrong with printer or plastic.
    Machine = "machine", "Our printer or plastic is not up to it.";
    /// The host does not want to make such a part.
    Unwilling = "unwilling", "We don’t want to make this part.";
    /// Another reason, in words.
    Other = "other", "Another reason.";
}

codes! {
    /// Why a team may have a part made.
    Claim:
    /// The team drew it.
    Own = "own", "We drew it ourselves.";
    /// A licence allows it.
    Licence = "licence", "It has a licence that lets us print it.";
    /// Its maker allowed it.
    Permission = "permission", "The person who made it told us that we may.";
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
            "" => self.claim.says().to_owned(),
            words => format!("{} “{words}”", self.claim.says()),
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
