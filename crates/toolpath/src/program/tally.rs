//! What a program holds, counted with bounded memory.

use std::collections::{BTreeMap, BTreeSet};

use partpledge_units::cast::round_i64;

/// Most different words counted one by one; the rest is one number.
const MOST_WORDS: usize = 200;
/// Most different heights counted.
const MOST_HEIGHTS: usize = 100_000;
/// Name of the words beyond [`MOST_WORDS`].
const OTHERS: &str = "(others)";

/// A word that was counted and not used, and how often it stood there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WordCount {
    /// `M204`, `G28`, `T1` or the beginning of a line that is no word.
    pub word: String,
    /// How often.
    pub count: u64,
}

/// A box, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extent {
    /// Least x, y, z.
    pub low_mm: [f64; 3],
    /// Greatest x, y, z.
    pub high_mm: [f64; 3],
}

impl Extent {
    /// Size in mm.
    #[must_use]
    pub fn size_mm(&self) -> [f64; 3] {
        std::array::from_fn(|k| self.high_mm[k] - self.low_mm[k])
    }

    pub(crate) fn with(extent: Option<Self>, place: [f64; 3]) -> Self {
        let so_far = extent.unwrap_or(Self {
            low_mm: place,
            high_mm: place,
        });
        Self {
            low_mm: std::array::from_fn(|k| so_far.low_mm[k].min(place[k])),
            high_mm: std::array::from_fn(|k| so_far.high_mm[k].max(place[k])),
        }
    }
}

/// Words that were not used.
#[derive(Clone, Debug, Default)]
pub(crate) struct Words(BTreeMap<String, u64>);

impl Words {
    pub(crate) fn count(&mut self, word: &str) {
        if let Some(count) = self.0.get_mut(word) {
            *count += 1;
        } else if self.0.len() < MOST_WORDS {
            self.0.insert(word.to_owned(), 1);
        } else {
            *self.0.entry(OTHERS.to_owned()).or_insert(0) += 1;
        }
    }

    /// The most frequent first.
    pub(crate) fn list(self) -> Vec<WordCount> {
        let mut list: Vec<WordCount> = self
            .0
            .into_iter()
            .map(|(word, count)| WordCount { word, count })
            .collect();
        list.sort_by_key(|word| std::cmp::Reverse(word.count));
        list
    }
}

/// Heights at which something is laid, told apart by a thousandth of a millimetre.
#[derive(Clone, Debug, Default)]
pub(crate) struct Heights {
    seen: BTreeSet<i64>,
    last: Option<i64>,
}

impl Heights {
    pub(crate) fn add(&mut self, height_mm: f64) {
        let height = round_i64(height_mm * 1000.0);
        if height != self.last && self.seen.len() < MOST_HEIGHTS {
            self.seen.extend(height);
        }
        self.last = height;
    }

    pub(crate) fn count(&self) -> usize {
        self.seen.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_without_end_take_no_memory_without_end() {
        let mut words = Words::default();
        for k in 0..5000 {
            words.count(&format!("M{k}"));
        }
        let list = words.list();
        assert_eq!(list.len(), MOST_WORDS + 1);
        assert_eq!(list[0].word, OTHERS);
        assert_eq!(list.iter().map(|word| word.count).sum::<u64>(), 5000);
    }
}
