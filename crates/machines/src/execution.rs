//! The state of a machine's controller, in the words of the standard.

macro_rules! executions {
    ($($(#[$doc:meta])* $name:ident = $text:literal, $group:ident;)+) => {
        /// What a controller does, as `Execution` has it (MTConnect part 3; from memory).
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Execution { $($(#[$doc])* $name),+ }

        impl Execution {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// As agents write it.
            #[must_use]
            pub fn as_str(self) -> &'static str {
                match self { $(Self::$name => $text),+ }
            }

            /// What it comes to for a run.
            #[must_use]
            pub fn group(self) -> Group {
                match self { $(Self::$name => Group::$group),+ }
            }
        }
    };
}

/// What a state comes to for a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// It does nothing, and could begin.
    Rests,
    /// It runs.
    Runs,
    /// It stands still in the middle of something.
    Halts,
    /// Nobody can tell.
    Unknown,
}

executions! {
    /// It does nothing, and could begin.
    Ready = "READY", Rests;
    /// It runs.
    Active = "ACTIVE", Runs;
    /// Something from outside made it wait; it needs somebody to go on.
    Interrupted = "INTERRUPTED", Halts;
    /// Told to hold its motion.
    FeedHold = "FEED_HOLD", Halts;
    /// Stopped unplanned; it can't go on by itself.
    Stopped = "STOPPED", Halts;
    /// At a stop of the program that the operator had chosen to make.
    OptionalStop = "OPTIONAL_STOP", Halts;
    /// The program told it to wait for somebody.
    ProgramStopped = "PROGRAM_STOPPED", Halts;
    /// The program came to its end.
    ProgramCompleted = "PROGRAM_COMPLETED", Rests;
    /// The agent can't tell.
    Unavailable = "UNAVAILABLE", Unknown;
}

impl Execution {
    /// Reads what an agent wrote; `None` for a word that is none of these, such as one of a later
    /// version of the standard: it changes nothing then.
    ///
    /// ```
    /// use partpledge_machines::Execution;
    /// assert_eq!(Execution::parse(" ACTIVE "), Some(Execution::Active));
    /// assert_eq!(Execution::parse("active"), None);
    /// ```
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        Self::ALL.iter().copied().find(|one| one.as_str() == text)
    }
}
