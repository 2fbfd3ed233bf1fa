//! Texts of the data files that ship with the program, in the tongue of whoever reads. The English of
//! the file is what code and other files go by; what a region wrote itself is said as it stands.

use partpledge_words::{Tongue, say};

const CAUTIONS: &[&str] = &[
    "catalogue-caution-fumes",
    "catalogue-caution-styrene",
    "catalogue-caution-softens",
    "catalogue-caution-lifts",
    "catalogue-caution-hot",
    "catalogue-caution-isocyanates",
];

const CLASSES: &[&str] = &[
    "catalogue-class-compact",
    "catalogue-class-standard",
    "catalogue-class-fast",
    "catalogue-class-large",
    "catalogue-class-warm",
];

const SHEETS: &[&str] = &[
    "catalogue-sheet-pla-plain",
    "catalogue-sheet-pla-fine",
    "catalogue-sheet-pla-coarse",
    "catalogue-sheet-pla-strong",
    "catalogue-sheet-petg-plain",
    "catalogue-sheet-petg-fine",
    "catalogue-sheet-petg-coarse",
    "catalogue-sheet-asa-plain",
    "catalogue-sheet-tpu-plain",
];

/// A caution about a plastic, as [`Material::cautions`](crate::Material::cautions) has it.
///
/// ```
/// assert_eq!(partpledge_catalogue::caution_says("Ask Wren first."), "Ask Wren first.");
/// ```
#[must_use]
pub fn caution_says(text: &str) -> String {
    says(CAUTIONS, text)
}

/// The name of a class of printers, as [`PrinterClass::name`](crate::PrinterClass::name) has it.
#[must_use]
pub fn class_says(name: &str) -> String {
    says(CLASSES, name)
}

/// The name of a process sheet, as [`ProcessSheet::name`](crate::ProcessSheet::name) has it.
#[must_use]
pub fn sheet_says(name: &str) -> String {
    says(SHEETS, name)
}

/// The one of these messages that is `text` in English, in the tongue being spoken; else `text`.
pub(crate) fn says(ids: &[&'static str], text: &str) -> String {
    let mut all = ids.iter().map(|id| say(id));
    let found = all.find(|said| said.in_tongue(Tongue::English) == text);
    found.map_or_else(|| text.to_owned(), |said| said.to_string())
}

#[cfg(test)]
mod tests {
    use partpledge_words::within;

    use super::*;
    use crate::Catalogue;

    /// Every shipped text is the English of a message, which says something else in German; and every
    /// message is the text of something shipped.
    fn all_said<'a>(ids: &[&'static str], shipped: impl Iterator<Item = &'a str>) {
        let shipped: Vec<&str> = shipped.collect();
        for text in &shipped {
            let mut english = ids.iter().map(|id| say(id).in_tongue(Tongue::English));
            let known = english.any(|one| one == *text);
            assert!(known, "no message is: {text}");
            let german = within(Tongue::German, || says(ids, text));
            assert_ne!(german, *text);
        }
        for id in ids {
            let text = say(id).in_tongue(Tongue::English);
            assert!(shipped.contains(&text.as_str()), "not shipped: {text}");
        }
    }

    #[test]
    fn every_shipped_text_has_a_message_with_exactly_that_english() {
        let shipped = Catalogue::built_in();
        let cautions = shipped.materials.iter().flat_map(|one| &one.cautions);
        all_said(CAUTIONS, cautions.map(String::as_str));
        all_said(CLASSES, shipped.classes.iter().map(|one| one.name.as_str()));
        all_said(SHEETS, shipped.sheets.iter().map(|one| one.name.as_str()));
    }

    #[test]
    fn what_a_region_wrote_itself_is_said_as_it_stands() {
        let own = "Ask the caretaker for the key of the fan.";
        assert_eq!(within(Tongue::German, || caution_says(own)), own);
        assert_eq!(within(Tongue::German, || class_says("tall")), "tall");
        assert_eq!(within(Tongue::German, || sheet_says("own")), "own");
    }
}
