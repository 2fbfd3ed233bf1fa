//! Copies of a plate looked at one by one.

use askama::Template;
use partpledge_records::{KeptPlate, State, StepKind};
use partpledge_words::{say, short};
use partpledge_workshop::Books;
use partpledge_workshop::measuring::{CriticalDimension, Outside};

use super::recalls::{Question, is_made_again, question, scrap_says};
use crate::who::Head;

/// What may be wrong with a copy, as it is stored; [`reason_says`](partpledge_workshop::bench::reason_says)
/// has it in words. A student at the bench can tell them apart.
pub(crate) const FAULTS: [&str; 7] = [
    "Stringy or rough",
    "It lifted at the corners",
    "Layers came apart",
    "A hole or a gap in it",
    "It broke coming off",
    "The wrong size",
    "Something else",
];

/// A size that is measured on a copy.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct SizeField {
    /// Name of its field; `not-` and this for why it could not be measured.
    pub(crate) name: String,
    pub(crate) what: String,
    /// `from 7.95 to 8.05 mm`.
    pub(crate) limits: String,
    /// The limits for a script, µm.
    pub(crate) least_um: i64,
    pub(crate) most_um: i64,
    pub(crate) typed: String,
    /// Code of why it could not be measured.
    pub(crate) not: String,
    pub(crate) wrong: Option<String>,
}

/// What a form had when it was sent, and what is wrong with it: by the name of the field.
pub(crate) struct Again<'a> {
    pub(crate) typed: &'a dyn Fn(&str) -> String,
    pub(crate) wrong: &'a [(String, String)],
}

/// One copy of a form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct CopyLine {
    pub(crate) what: String,
    pub(crate) number: i64,
    /// Name of its field.
    pub(crate) name: String,
    /// What was chosen: `good`, `rework`, `scrap` or nothing.
    pub(crate) chosen: String,
    pub(crate) fault: String,
    pub(crate) sizes: Vec<SizeField>,
}

impl CopyLine {
    /// With what was typed.
    fn again(mut self, again: &Again<'_>) -> Self {
        let typed = |name: &str| (again.typed)(name);
        self.chosen = typed(&self.name);
        self.fault = typed(&format!("why-{}", self.name));
        for size in &mut self.sizes {
            size.typed = typed(&size.name);
            size.not = typed(&format!("not-{}", size.name));
            let wrong = again.wrong.iter().find(|(field, _)| *field == size.name);
            size.wrong = wrong.map(|(_, text)| text.clone());
        }
        self
    }
}

/// One form: all copies of a plate, or one copy that was held.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct CopiesForm {
    /// `off` or `settle`.
    pub(crate) act: &'static str,
    /// Plate, or share of one.
    pub(crate) share: u64,
    pub(crate) says: String,
    pub(crate) button: String,
    pub(crate) copies: Vec<CopyLine>,
    /// What is asked of a copy that was recalled.
    pub(crate) question: Question,
    /// Whether a copy may be good though nothing of it was measured: only its file was replaced.
    pub(crate) unmeasured: bool,
    /// Names of the fields of sizes that were outside their limits when they were measured last, with a
    /// space between them: without another size the copy is not good.
    pub(crate) again: String,
    /// What becomes of scrap.
    pub(crate) scrap: String,
    pub(crate) key: String,
}

impl CopiesForm {
    /// Whether it is about the only copy of a plate: who opens it means that it is not good.
    fn single(&self) -> bool {
        self.act == "off" && matches!(self.copies.as_slice(), [one] if one.sizes.is_empty())
    }
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
    /// Whether something is to be measured before it is good.
    pub(crate) measures: bool,
    /// Why something could not be measured: code and words.
    pub(crate) why_not: Vec<(&'static str, String)>,
    /// What is wrong, by the name of the field.
    pub(crate) wrong: Vec<(String, String)>,
}

/// The field of a copy.
pub(crate) fn name(share: u64, number: i64) -> String {
    format!("copy-{share}-{number}")
}

/// The field of a size on a copy.
pub(crate) fn size_name(share: u64, number: i64, n: u32) -> String {
    format!("size-{share}-{number}-{n}")
}

/// The limits of a size: `from 7.95 to 8.05 mm`.
pub(crate) fn limits(one: &CriticalDimension) -> String {
    let (least, most) = (one.least().mm(), one.most().mm());
    say!(
        "inspect-limits",
        least = short(least, 3),
        most = short(most, 3)
    )
}

/// How a size lies outside them: `0.12 mm too large`.
pub(crate) fn outside(outside: &Outside) -> String {
    let mm = short(outside.by.mm(), 3);
    if outside.over {
        say!("inspect-too-large", mm = mm)
    } else {
        say!("inspect-too-small", mm = mm)
    }
}

/// The sizes that are measured on a copy.
fn sizes(dimensions: &[CriticalDimension], share: u64, number: i64) -> Vec<SizeField> {
    let field = |(n, one): (u32, &CriticalDimension)| SizeField {
        name: size_name(share, number, n),
        what: one.what.clone(),
        limits: limits(one),
        least_um: one.least().0,
        most_um: one.most().0,
        ..SizeField::default()
    };
    (1..).zip(dimensions).map(field).collect()
}

/// A copy of a form, called good until somebody says otherwise.
fn line(books: &Books, row: &KeptPlate, number: i64) -> CopyLine {
    let listed = books.request(row.request);
    let part = listed.map_or_else(String::new, |l| format!("{}, {}", l.part, l.request.team));
    let share = row.plate.seq.0;
    CopyLine {
        what: say!("inspect-copy", part = part, copy = number),
        number,
        name: name(share, number),
        chosen: "good".to_owned(),
        fault: String::new(),
        sizes: sizes(books.dimensions(row.request), share, number),
    }
}

/// The form for a plate that comes off the bed: all of its copies at once.
fn off_form(
    books: &Books,
    kept: &KeptPlate,
    key: &mut dyn FnMut() -> String,
    again: Option<&Again<'_>>,
) -> CopiesForm {
    let company = books.company(kept);
    let remade = company.iter();
    let remade = remade
        .filter(|row| is_made_again(books, row.request))
        .count();
    let rows = company.iter();
    let copies = rows.flat_map(|row| {
        let copies = books.copies_on(row);
        copies.map(|copy| line(books, row, copy.number))
    });
    let copies = copies.map(|copy| match again {
        Some(again) => copy.again(again),
        None => copy,
    });
    let mut form = CopiesForm {
        act: "off",
        share: kept.on().0,
        says: say!("inspect-form-off", plate = kept.on().0),
        button: say!("inspect-off-the-bed"),
        copies: copies.collect(),
        question: Question::default(),
        unmeasured: false,
        again: String::new(),
        scrap: match remade {
            _ if remade == company.len() => scrap_says(true),
            0 => scrap_says(false),
            _ => say!("inspect-scrap-differs"),
        },
        key: key(),
    };
    if form.single() && again.is_none() {
        form.copies[0].chosen = String::new();
    }
    form
}

/// What is to be looked at: every copy of a plate that is not off the bed yet, else those held and those
/// recalled.
pub(crate) fn forms(
    books: &Books,
    kept: &KeptPlate,
    key: &mut dyn FnMut() -> String,
    again: Option<&Again<'_>>,
) -> (bool, Vec<CopiesForm>) {
    let seq = kept.plate.seq.0;
    let off = books.step(seq, StepKind::Off).is_some();
    let failed = books.step(seq, StepKind::Failed).is_some();
    let company = books.company(kept);
    if !off && !failed {
        return (false, vec![off_form(books, kept, key, again)]);
    }
    let mut forms = Vec::new();
    for row in company {
        let recalled = books.recalled_on(row);
        let here = recalled.filter(|copy| copy.state != State::HandedOver);
        for copy in books.held(row).chain(here) {
            let question = question(books, row.request, &[(copy.plate, copy.number)]);
            let made_again = is_made_again(books, row.request) && !question.replaced;
            let share = row.plate.seq.0;
            let was = books.was_outside(row.request, copy).into_keys();
            let was: Vec<String> = was.map(|n| size_name(share, copy.number, n)).collect();
            let mut asked = line(books, row, copy.number);
            // Nobody takes it for good by a press alone: it was recalled, or measured outside.
            if !question.about.is_empty() || !was.is_empty() {
                asked.chosen = String::new();
            }
            // Each copy that is held has a form of its own: only one was sent.
            let sent = again.filter(|again| !(again.typed)(&asked.name).is_empty());
            let asked = match sent {
                Some(again) => asked.again(again),
                None => asked,
            };
            forms.push(CopiesForm {
                act: "settle",
                share,
                says: say!("inspect-form-copy", copy = copy.number, plate = row.on().0,),
                button: say!("inspect-say-so"),
                copies: vec![asked],
                unmeasured: !question.about.is_empty() && !question.measure,
                again: was.join(" "),
                question,
                scrap: scrap_says(made_again),
                key: key(),
            });
        }
    }
    (true, forms)
}

#[cfg(test)]
mod tests {
    use partpledge_workshop::measuring::why_nots;

    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn page(held: bool, many: i64) -> InspectPage {
        let line = |number| CopyLine {
            what: AWKWARD.to_owned(),
            number,
            name: name(17, number),
            chosen: "good".to_owned(),
            ..CopyLine::default()
        };
        let copies = (1..=many).map(line).collect();
        InspectPage {
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
                button: "Off the bed".to_owned(),
                copies,
                question: Question::default(),
                unmeasured: false,
                again: String::new(),
                scrap: scrap_says(true),
                key: "k".to_owned(),
            }],
            reasons: FAULTS.to_vec(),
            measures: false,
            why_not: why_nots(),
            wrong: Vec::new(),
        }
    }

    #[test]
    fn what_is_to_be_measured_has_a_field_and_what_is_wrong_is_said_there() {
        let mut measured = page(false, 2);
        let size = |n| SizeField {
            name: size_name(17, n, 1),
            what: AWKWARD.to_owned(),
            limits: "from 7.95 to 8.05 mm".to_owned(),
            least_um: 7_950,
            most_um: 8_050,
            typed: AWKWARD.to_owned(),
            not: "no-tool".to_owned(),
            wrong: (n == 2).then(|| AWKWARD.to_owned()),
        };
        for (n, copy) in (1..).zip(&mut measured.forms[0].copies) {
            copy.sizes = vec![size(n)];
        }
        measured.measures = true;
        measured.wrong = vec![(size_name(17, 2, 1), AWKWARD.to_owned())];
        let measured = measured.render().unwrap();
        sound(&measured);
        assert!(
            measured.contains("href=\"#size-17-2-1\"") && measured.contains("id=\"size-17-2-1\"")
        );
        assert_eq!(measured.matches("value=\"no-tool\" selected").count(), 2);
        let plain = page(false, 2).render().unwrap();
        assert!(!plain.contains("caliper") && measured.contains("caliper"));
    }

    #[test]
    fn every_copy_is_asked_for_and_what_was_held_is_good_or_scrap() {
        let drifted = Question {
            about: "printer-drifted",
            why: vec![AWKWARD.to_owned()],
            measure: true,
            replaced: false,
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
        recalled.forms[0].copies[0].chosen = String::new();
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
