//! What there is to learn from a finding: one short lesson for each code. Pure data.
//!
//! Written for reading age 12: short words, short sentences, and general names of CAD steps, never
//! those of a product. A test measures how hard they are to read.

use partpledge_words::{Said, say};

/// What a finding is called in a sentence, and what it teaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lesson {
    /// The code of the finding.
    pub code: &'static str,
    name: &'static str,
    text: &'static str,
}

impl Lesson {
    /// Its short name, to be used inside a sentence: `thin wall`.
    #[must_use]
    pub fn name(&self) -> Said {
        say(self.name)
    }

    /// Two to four sentences: what happens in the machine, why it matters for a robot part, and how
    /// one avoids it next time.
    #[must_use]
    pub fn text(&self) -> Said {
        say(self.text)
    }
}

/// Every code that a finding can have, with its lesson, in the order of the rooms that find them.
pub const LESSONS: [Lesson; 29] = [
    Lesson {
        code: "open-edges",
        name: "lessons-open-edges-name",
        text: "lessons-open-edges",
    },
    Lesson {
        code: "crowded-edges",
        name: "lessons-crowded-edges-name",
        text: "lessons-crowded-edges",
    },
    Lesson {
        code: "mixed-facing",
        name: "lessons-mixed-facing-name",
        text: "lessons-mixed-facing",
    },
    Lesson {
        code: "inside-out",
        name: "lessons-inside-out-name",
        text: "lessons-inside-out",
    },
    Lesson {
        code: "small-hole-filled",
        name: "lessons-small-hole-filled-name",
        text: "lessons-small-hole-filled",
    },
    Lesson {
        code: "doubled-triangles",
        name: "lessons-doubled-triangles-name",
        text: "lessons-doubled-triangles",
    },
    Lesson {
        code: "enclosed-hollow",
        name: "lessons-enclosed-hollow-name",
        text: "lessons-enclosed-hollow",
    },
    Lesson {
        code: "several-shells",
        name: "lessons-several-shells-name",
        text: "lessons-several-shells",
    },
    Lesson {
        code: "overlapping-shells",
        name: "lessons-overlapping-shells-name",
        text: "lessons-overlapping-shells",
    },
    Lesson {
        code: "self-crossing",
        name: "lessons-self-crossing-name",
        text: "lessons-self-crossing",
    },
    Lesson {
        code: "unit-doubtful",
        name: "lessons-unit-doubtful-name",
        text: "lessons-unit-doubtful",
    },
    Lesson {
        code: "unit-guessed",
        name: "lessons-unit-guessed-name",
        text: "lessons-unit-guessed",
    },
    Lesson {
        code: "fits-no-printer",
        name: "lessons-fits-no-printer-name",
        text: "lessons-fits-no-printer",
    },
    Lesson {
        code: "fits-some-printers",
        name: "lessons-fits-some-printers-name",
        text: "lessons-fits-some-printers",
    },
    Lesson {
        code: "overhang",
        name: "lessons-overhang-name",
        text: "lessons-overhang",
    },
    Lesson {
        code: "tips-over",
        name: "lessons-tips-over-name",
        text: "lessons-tips-over",
    },
    Lesson {
        code: "small-foot",
        name: "lessons-small-foot-name",
        text: "lessons-small-foot",
    },
    Lesson {
        code: "starts-in-air",
        name: "lessons-starts-in-air-name",
        text: "lessons-starts-in-air",
    },
    Lesson {
        code: "long-bridge",
        name: "lessons-long-bridge-name",
        text: "lessons-long-bridge",
    },
    Lesson {
        code: "thin-wall",
        name: "lessons-thin-wall-name",
        text: "lessons-thin-wall",
    },
    Lesson {
        code: "thin-pin",
        name: "lessons-thin-pin-name",
        text: "lessons-thin-pin",
    },
    Lesson {
        code: "thin-floor",
        name: "lessons-thin-floor-name",
        text: "lessons-thin-floor",
    },
    Lesson {
        code: "finer-than-line",
        name: "lessons-finer-than-line-name",
        text: "lessons-finer-than-line",
    },
    Lesson {
        code: "fine-text",
        name: "lessons-fine-text-name",
        text: "lessons-fine-text",
    },
    Lesson {
        code: "narrow-gap",
        name: "lessons-narrow-gap-name",
        text: "lessons-narrow-gap",
    },
    Lesson {
        code: "small-hole",
        name: "lessons-small-hole-name",
        text: "lessons-small-hole",
    },
    Lesson {
        code: "warping-corner",
        name: "lessons-warping-corner-name",
        text: "lessons-warping-corner",
    },
    Lesson {
        code: "solid-block",
        name: "lessons-solid-block-name",
        text: "lessons-solid-block",
    },
    Lesson {
        code: "trapped-support",
        name: "lessons-trapped-support-name",
        text: "lessons-trapped-support",
    },
];

/// The lesson of a code; `None` for one that nobody finds any more.
///
/// ```
/// use partpledge_printability::lesson;
/// assert_eq!(lesson("thin-wall").unwrap().name().to_string(), "thin wall");
/// assert!(lesson("no-such-code").is_none());
/// ```
#[must_use]
pub fn lesson(code: &str) -> Option<&'static Lesson> {
    LESSONS.iter().find(|lesson| lesson.code == code)
}

#[cfg(test)]
mod tests;
