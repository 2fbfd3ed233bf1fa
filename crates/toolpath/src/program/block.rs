//! The words of one block by their letters, and which of them are carried out.

use partpledge_units::cast::round_i64;

use super::machine::Target;
use super::words::Word;

/// What a block does once its modes are set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Act {
    Nothing,
    Move,
    Preset,
    Dwell,
}

/// The words of a block by their letters.
pub(super) struct Block {
    values: [Option<f64>; 26],
    there: [bool; 26],
    /// No word but its number.
    pub(super) nothing: bool,
}

impl Block {
    pub(super) fn of(words: &[Word]) -> Self {
        let mut block = Self {
            values: [None; 26],
            there: [false; 26],
            nothing: true,
        };
        for word in words {
            let place = usize::from(word.letter - b'A');
            block.values[place] = word.value.or(block.values[place]);
            block.there[place] = true;
            block.nothing &= matches!(word.letter, b'N' | b'O');
        }
        block
    }

    pub(super) fn has(&self, letter: u8) -> bool {
        self.there[usize::from(letter - b'A')]
    }

    pub(super) fn value(&self, letter: u8) -> Option<f64> {
        self.values[usize::from(letter - b'A')]
    }

    pub(super) fn names_a_place(&self) -> bool {
        b"XYZE".iter().any(|&letter| self.has(letter))
    }

    pub(super) fn any_flag(&self, letters: &[u8]) -> bool {
        let flag = |&letter: &u8| self.has(letter) && self.value(letter).is_none();
        letters.iter().any(flag)
    }

    pub(super) fn target(&self) -> Target {
        let middle = (self.value(b'I'), self.value(b'J'));
        Target {
            axes: [b'X', b'Y', b'Z'].map(|letter| self.value(letter)),
            filament: self.value(b'E'),
            to_middle: match middle {
                (None, None) => None,
                (i, j) => Some([i.unwrap_or(0.0), j.unwrap_or(0.0)]),
            },
        }
    }

    /// Letters that nothing used.
    pub(super) fn left_over(&self, act: Act) -> impl Iterator<Item = u8> {
        let used: &[u8] = match act {
            Act::Move => b"NOGMTXYZEFIJ",
            Act::Dwell => b"NOGMTPS",
            Act::Preset => b"NOGMTXYZE",
            // The words of a heater are its own.
            Act::Nothing if self.has(b'M') => b"NOGMTFSR",
            Act::Nothing => b"NOGMTF",
        };
        let there = self.there;
        (b'A'..=b'Z')
            .filter(move |letter| there[usize::from(*letter - b'A')] && !used.contains(letter))
    }
}

pub(super) fn is_command(word: &Word) -> bool {
    matches!(word.letter, b'G' | b'M' | b'T')
}

/// The number in tenths if that is whole: G38.2 is 382.
pub(super) fn tenths(word: &Word) -> Option<i64> {
    let tenths = word.value? * 10.0;
    let whole = tenths.round();
    ((tenths - whole).abs() < 1e-6)
        .then(|| round_i64(whole))
        .flatten()
}

/// Whether a word is one of those that are carried out.
pub(super) fn is_ours(word: &Word) -> bool {
    let Some(tenths) = tenths(word) else {
        return false;
    };
    match word.letter {
        b'G' => matches!(
            tenths,
            0 | 10 | 20 | 30 | 40 | 170 | 180 | 190 | 200 | 210 | 900 | 910 | 920 | 930 | 940 | 950
        ),
        b'M' => matches!(tenths, 20 | 300 | 820 | 830 | 1040 | 1090 | 1400 | 1900),
        _ => false,
    }
}

pub(super) fn name(word: &Word) -> String {
    let letter = char::from(word.letter);
    word.value
        .map_or_else(|| letter.to_string(), |value| format!("{letter}{value}"))
}
