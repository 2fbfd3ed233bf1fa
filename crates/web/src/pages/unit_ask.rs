//! "Is this the right size?": asked of the team when the unit of its file is in doubt.

use partpledge_records::stored::StoredFinding;
use partpledge_units::length::LengthUnit;
use partpledge_words::{decimal, say};
use partpledge_workshop::intake::JudgedFile;

/// What a unit would make of the part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct UnitChoice {
    /// As the form sends it.
    pub(crate) symbol: &'static str,
    /// `Inches: 63.5 × 38.1 × 6.4 mm`.
    pub(crate) text: String,
    /// The one that we took.
    pub(crate) ours: bool,
}

/// Parts smaller or larger than this are not offered, mm: nobody means them.
const LIKELY_MM: [f64; 2] = [1.0, 1_000.0];
/// Units that people draw in.
const OFFERED: [LengthUnit; 4] = [
    LengthUnit::Millimetre,
    LengthUnit::Centimetre,
    LengthUnit::Inch,
    LengthUnit::Metre,
];

/// What a unit that people draw in is called.
pub(crate) fn unit_words(unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => say!("send-unit-mm"),
        LengthUnit::Centimetre => say!("send-unit-cm"),
        LengthUnit::Inch => say!("send-unit-in"),
        LengthUnit::Metre => say!("send-unit-m"),
        other => other.symbol().to_owned(),
    }
}

/// The choices, when the unit is in doubt; none otherwise.
pub(crate) fn choices(stored: &[Vec<StoredFinding>], judged: &JudgedFile) -> Vec<UnitChoice> {
    let mut findings = stored.iter().flatten();
    if !findings.any(|finding| finding.code == "unit-doubtful") {
        return Vec::new();
    }
    let sizes = judged.parts.iter().map(|part| part.facts.size_mm);
    let size_mm = sizes.fold([0.0_f64; 3], |all, own| {
        std::array::from_fn(|k| all[k].max(own[k]))
    });
    let used = judged.unit.used;
    OFFERED
        .iter()
        .map(|&unit| {
            let size = size_mm.map(|x| x / used.mm() * unit.mm());
            let longest = size.iter().copied().fold(0.0, f64::max);
            let [x, y, z] = size;
            let choice = UnitChoice {
                symbol: unit.symbol(),
                text: say!(
                    "send-unit-size",
                    unit = unit_words(unit),
                    x = decimal(x, 1),
                    y = decimal(y, 1),
                    z = decimal(z, 1)
                ),
                ours: unit == used,
            };
            (choice, longest)
        })
        .filter(|(choice, longest)| choice.ours || (LIKELY_MM[0]..=LIKELY_MM[1]).contains(longest))
        .map(|(choice, _)| choice)
        .collect()
}
