//! Sizes of a part that must be right, and what the bench measured on each copy.

use partpledge_records::State;
use partpledge_units::ids::RequestId;
use partpledge_words::say;
use partpledge_workshop::Books;
use partpledge_workshop::measuring::{CriticalDimension, Piece, Reading, Stands, in_mm, why_not};

/// One critical dimension.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Named {
    pub(crate) what: String,
    /// `8 mm ± 0.05 mm`.
    pub(crate) size: String,
    /// `from 7.95 to 8.05 mm`.
    pub(crate) limits: String,
    /// When prints seldom hold it.
    pub(crate) hint: Option<String>,
}

/// All of a request.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Sizes {
    pub(crate) named: Vec<Named>,
    /// Each piece that was measured: which, and a cell for each dimension.
    pub(crate) rows: Vec<(String, Vec<String>)>,
}

fn named(one: &CriticalDimension) -> Named {
    let size = if one.lower == -one.upper {
        format!("{} ± {} mm", in_mm(one.nominal), in_mm(one.upper))
    } else {
        let signed = |size: partpledge_units::micrometre::Micrometres| {
            let plus = if size.0 > 0 { "+" } else { "" };
            format!("{plus}{}", in_mm(size)).replace('-', "−")
        };
        say!(
            "parts-size-between",
            size = in_mm(one.nominal),
            lower = signed(one.lower),
            upper = signed(one.upper)
        )
    };
    let usual = one.tighter_than();
    let hint = usual.map(|usual| say!("parts-size-tight", usual = in_mm(usual)));
    Named {
        what: one.what.clone(),
        size,
        limits: one.limits(),
        hint,
    }
}

fn cell(one: &CriticalDimension, reading: Option<&Reading>, not_again: Option<&String>) -> String {
    let size = size(one, reading);
    match not_again {
        Some(why) => say!("parts-size-not-again", size = size, why = why_not(why)),
        None => size,
    }
}

fn size(one: &CriticalDimension, reading: Option<&Reading>) -> String {
    match reading {
        None => "–".to_owned(),
        Some(Reading::NotMeasured(why)) => {
            say!("parts-size-not-measured", why = why_not(why))
        }
        Some(Reading::Value(value)) => match one.outside(*value) {
            None => format!("{} mm", in_mm(*value)),
            Some(outside) => format!("{} mm: {outside}", in_mm(*value)),
        },
    }
}

/// Which piece that is, and what has become of it.
fn which(piece: &Piece, made: bool) -> String {
    let (copy, plate) = (piece.copy, piece.plate);
    match piece.stands {
        Stands::Good => say!("parts-piece-good", copy = copy),
        Stands::Held => say!("parts-piece-held", copy = copy),
        Stands::Scrap => say!("parts-piece-scrap", copy = copy, plate = plate),
        Stands::MadeAgain if !made => {
            say!("parts-piece-again-soon", copy = copy, plate = plate)
        }
        Stands::MadeAgain => say!("parts-piece-again", copy = copy, plate = plate),
    }
}

/// The critical dimensions of a request, and every piece of it that was measured.
pub(crate) fn sizes(books: &Books, request: RequestId) -> Sizes {
    let dimensions = books.dimensions(request);
    let cells = |piece: &Piece| {
        let all = (1..).zip(dimensions);
        let cell = |(n, one)| cell(one, piece.readings.get(&n), piece.not_again.get(&n));
        all.map(cell).collect()
    };
    let pieces = books.pieces(request);
    // What is made in its place has come off a bed.
    let made = |piece: &Piece| {
        let mut copies = books.copies(request).iter();
        copies.any(|copy| {
            copy.number == piece.copy
                && !matches!(
                    copy.state,
                    State::Pledged | State::OnAPlate | State::Running
                )
        })
    };
    let rows = pieces.iter().map(|one| (which(one, made(one)), cells(one)));
    Sizes {
        named: dimensions.iter().map(named).collect(),
        rows: rows.collect(),
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use partpledge_units::micrometre::Micrometres;
    use partpledge_workshop::measuring::Readings;

    use super::*;

    #[test]
    fn a_size_is_said_with_its_limits_and_what_was_read_of_it() {
        let bore = |lower, upper| CriticalDimension {
            what: "bore".to_owned(),
            nominal: Micrometres(8_000),
            lower: Micrometres(lower),
            upper: Micrometres(upper),
        };
        let even = named(&bore(-50, 50));
        assert_eq!(even.size, "8 ± 0.05 mm");
        assert_eq!(even.limits, "from 7.95 to 8.05 mm");
        assert!(even.hint.is_some_and(|hint| hint.contains("± 0.11 mm")));
        let own = named(&bore(-100, 200));
        assert_eq!(own.size, "8 mm, −0.1 to +0.2");
        assert_eq!(own.hint, None);
        let value = |um| Reading::Value(Micrometres(um));
        let read = |um| cell(&bore(-50, 50), Some(&value(um)), None);
        let no_tool = "no-tool".to_owned();
        let again = cell(&bore(-50, 50), Some(&value(8_000)), Some(&no_tool));
        assert_eq!(
            again,
            "8 mm; not measured again: we have no tool for it here"
        );
        assert_eq!(read(8_000), "8 mm");
        assert_eq!(read(8_170), "8.17 mm: 0.12 mm too large");
        let piece = |stands| Piece {
            copy: 2,
            plate: 17,
            stands,
            readings: Readings::new(),
            not_again: BTreeMap::new(),
        };
        let of = |stands| which(&piece(stands), true);
        assert_eq!(of(Stands::Good), "Copy 2");
        assert_eq!(of(Stands::Held), "Copy 2: held, not good yet");
        assert!(of(Stands::Scrap).ends_with("scrap, not made again"));
        assert!(of(Stands::MadeAgain).ends_with("made again since"));
        let soon = which(&piece(Stands::MadeAgain), false);
        assert_eq!(soon, "Copy 2, from plate 17: scrap, to be made again");
        let not = Reading::NotMeasured("no-tool".to_owned());
        let not = cell(&bore(-50, 50), Some(&not), None);
        assert_eq!(not, "not measured: we have no tool for it here");
    }
}
