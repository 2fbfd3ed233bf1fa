//! What somebody is signed off for.

/// A task at the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Task {
    /// Put filament and sheet in, as the plate wants it.
    Load,
    /// Start the plate and look at its first layer.
    Start,
    /// Take the plate off a cool bed.
    Clear,
    /// Say which copies are good.
    Inspect,
    /// Put copies in their box, and hand it over.
    Pack,
    /// Look after the day: files, spools, what goes elsewhere.
    Plan,
}

impl Task {
    /// All of them, in the order in which a part meets them; planning last.
    pub const ALL: [Self; 6] = [
        Self::Load,
        Self::Start,
        Self::Clear,
        Self::Inspect,
        Self::Pack,
        Self::Plan,
    ];

    /// As stored and sent.
    ///
    /// ```
    /// use partpledge_hubs::Task;
    /// for task in Task::ALL {
    ///     assert_eq!(Task::parse(task.as_str()), Some(task));
    /// }
    /// assert_eq!(Task::parse("weld"), None);
    /// ```
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Load => "load",
            Self::Start => "start",
            Self::Clear => "clear",
            Self::Inspect => "inspect",
            Self::Pack => "pack",
            Self::Plan => "plan",
        }
    }

    /// Read from its word.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|task| task.as_str() == text)
    }

    /// Whether it is signed off for one class of printers; packing and planning are the same whatever
    /// the printer was.
    #[must_use]
    pub fn is_on_a_class(self) -> bool {
        !matches!(self, Self::Pack | Self::Plan)
    }
}
