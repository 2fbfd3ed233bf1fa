//! Copies of a plate looked at one by one.

use askama::Template;
use partpledge_records::{State, StepKind};
use partpledge_workshop::Books;

use super::recalls::{Question, is_made_again, question, scrap_says};
use crate::who::Head;

/// What may be wrong with a copy, in words that a student at the bench can tell apart.
pub(crate) const FAULTS: [&str; 7] = [
    "Stringy or rough",
    "It lifted at the corners",
    "Layers came apart",
    "A hole or a gap in it",
    "It broke coming off",
    "The wrong size",
    "Something else",
];

/// One copy of a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct CopyLine {
    pub(crate) what: String,
    pub(crate) number: i64,
    /// Name of its field.
    pub(crate) name: String,
}

/// One form: all copies of a plate, or one copy that was held.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct CopiesForm {
    /// `off` or `settle`.
    pub(crate) act: &'static str,
    /// Plate, or share of one.
    pub(crate) share: u64,
    pub(crate) says: String,
    pub(crate) button: &'static str,
    pub(crate) copies: Vec<CopyLine>,
    /// What is asked of a copy that was recalled.
    pub(crate) question: Question,
    /// What becomes of scrap.
    pub(crate) scrap: &'static str,
    pub(crate) key: String,
}

/// The page.
#[derive(Template)]
#[template(path = "inspect.html")]
pub(crate) struct InspectPage {
    pub(crate) head: Head,
    pub(crate) code: String,
    pub(crate) day_iso: String,
    pub(crate) plate: u64,
    pub(crate) label: String,
    /// Whether it is about copies that were held.
    pub(crate) held: bool,
    pub(crate) forms: Vec<CopiesForm>,
    pub(crate) reasons: Vec<&'static str>,
}

/// The field of a copy.
pub(crate) fn name(share: u64, number: i64) -> String {
    format!("copy-{share}-{number}")
}

/// What is to be looked at: every copy of a plate that is not off the bed yet, else those held and those
/// recalled.
pub(crate) fn forms(
    books: &Books,
    kept: &partpledge_records::KeptPlate,
    key: &mut dyn FnMut() -> String,
) -> (bool, Vec<CopiesForm>) {
    let seq = kept.plate.seq.0;
    let line = |row: &partpledge_records::KeptPlate, number: i64| {
        let listed = books.request(row.request);
        let part = listed.map_or_else(String::new, |l| format!("{}, {}", l.part, l.request.team));
        CopyLine {
            what: format!("{part}: copy {number}"),
            number,
            name: name(row.plate.seq.0, number),
        }
    };
    let off = books.step(seq, StepKind::Off).is_some();
    let failed = books.step(seq, StepKind::Failed).is_some();
    let company = books.company(kept);
    if !off && !failed {
        let again = company.iter();
        let again = again
            .filter(|row| is_made_again(books, row.request))
            .count();
        let rows = company.iter();
        let copies = rows.flat_map(|row| books.copies_on(row).map(|copy| line(row, copy.number)));
        let form = CopiesForm {
            act: "off",
            share: kept.on().0,
            says: format!("Off the bed, copy by copy: plate {}", kept.on().0),
            button: "Off the bed",
            copies: copies.collect(),
            question: Question::default(),
            scrap: match again {
                _ if again == company.len() => scrap_says(true),
                0 => scrap_says(false),
                _ => "What is not good of one part on it is made again, of another not.",
            },
            key: key(),
        };
        return (false, vec![form]);
    }
    let mut forms = Vec::new();
    for row in company {
        let recalled = books.recalled_on(row);
        let here = recalled.filter(|copy| copy.state != State::HandedOver);
        for copy in books.held(row).chain(here) {
            let question = question(books, row.request, &[(copy.plate, copy.number)]);
            let again = is_made_again(books, row.request) && !question.replaced;
            forms.push(CopiesForm {
                act: "settle",
                share: row.plate.seq.0,
                says: format!("Copy {} from plate {}", copy.number, row.on().0),
                button: "Say so",
                copies: vec![line(row, copy.number)],
                question,
                scrap: scrap_says(again),
                key: key(),
            });
        }
    }
    (true, forms)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn every_copy_is_asked_for_and_what_was_held_is_good_or_scrap() {
        let copies = |n: i64| {
            let line = |number| CopyLine {
                what: AWKWARD.to_owned(),
                number,
                name: name(17, number),
            };
            (1..=n).map(line).collect()
        };
        let drifted = Question {
            about: "printer-drifted",
            why: vec![AWKWARD.to_owned()],
            measure: true,
            replaced: false,
        };
        let page = |held, many| InspectPage {
            head: head(),
            code: "brindlemoor".to_owned(),
            day_iso: "2027-03-09".to_owned(),
            plate: 17,
            label: AWKWARD.to_owned(),
            held,
            forms: vec![CopiesForm {
                act: if held { "settle" } else { "off" },
                share: 17,
                says: AWKWARD.to_owned(),
                button: "Off the bed",
                copies: copies(many),
                question: Question::default(),
                scrap: scrap_says(true),
                key: "k".to_owned(),
            }],
            reasons: FAULTS.to_vec(),
        };
        let all = page(false, 3).render().unwrap();
        sound(&all);
        assert_eq!(all.matches("value=\"rework\"").count(), 3);
        let held = page(true, 1).render().unwrap();
        sound(&held);
        assert!(held.contains("name=\"copy\" value=\"1\"") && !held.contains("value=\"rework\""));
        // Nothing is ticked beforehand for a copy that was recalled.
        let mut recalled = page(true, 1);
        recalled.forms[0].question = drifted;
        recalled.forms[0].scrap = scrap_says(false);
        let recalled = recalled.render().unwrap();
        sound(&recalled);
        assert!(held.contains(" checked>") && !recalled.contains(" checked>"));
        assert!(recalled.contains("name=\"about\" value=\"printer-drifted\""));
        assert!(recalled.contains("measure what must fit") && !held.contains("measure what"));
        assert!(held.contains("is made again, with") && recalled.contains("is not made again."));
        let none = InspectPage {
            forms: Vec::new(),
            ..page(true, 1)
        };
        sound(&none.render().unwrap());
    }
}
