//! How hard a text is to read: what tests hold the words for students against.

/// Words, sentences and syllables of a text.
#[derive(Clone, Copy, Debug, Default)]
pub struct Count {
    /// Words with at least one letter or digit.
    pub words: usize,
    /// Sentences.
    pub sentences: usize,
    /// Syllables, by the rule of [`count`].
    pub syllables: usize,
    /// Words of the longest sentence.
    pub longest: usize,
}

/// Counts a text. A sentence ends at a full stop, exclamation or question mark; syllables are runs
/// of vowels less a silent ending; numbers and units count as one each, as they are read at a
/// glance.
///
/// ```
/// use partpledge_testbed::reading::count;
/// let counted = count("Make it 0.9 mm thick. Then print it.");
/// assert_eq!((counted.words, counted.sentences, counted.longest), (8, 2, 5));
/// ```
#[must_use]
pub fn count(text: &str) -> Count {
    let mut count = Count::default();
    let mut in_this = 0;
    for word in text.split_whitespace() {
        let letters = word.chars().any(char::is_alphanumeric);
        if letters {
            count.words += 1;
            count.syllables += syllables(word);
            in_this += 1;
            count.longest = count.longest.max(in_this);
        }
        if word.ends_with(['.', '!', '?']) && in_this > 0 {
            count.sentences += 1;
            in_this = 0;
        }
    }
    count.sentences += usize::from(in_this > 0);
    count
}

/// Runs of vowels, less a silent `e` at the end; at least one.
fn syllables(word: &str) -> usize {
    let letters: Vec<char> = word
        .to_lowercase()
        .chars()
        .filter(char::is_ascii_alphabetic)
        .collect();
    let vowel = |c: &char| "aeiouy".contains(*c);
    let runs = letters.chunk_by(|a, b| vowel(a) == vowel(b));
    let runs = runs.filter(|run| vowel(&run[0])).count();
    let ends = |text: &str| letters.ends_with(&text.chars().collect::<Vec<_>>());
    let silent = ends("e") && !ends("le") || ends("ed") && !ends("ted") && !ends("ded");
    (runs - usize::from(silent && runs > 1)).max(1)
}

/// School grade (of the United States) that reads a text with ease: grade 6 is age 11 to 12.
///
/// # Source
/// Kincaid, Fishburne, Rogers and Chissom, Derivation of new readability formulas (1975),
/// from memory: `0.39 words/sentence + 11.8 syllables/word - 15.59`.
///
/// ```
/// use partpledge_testbed::reading::{count, grade};
/// assert!(grade(count("The cat sat on the mat.")) < 1.0);
/// ```
#[must_use]
pub fn grade(count: Count) -> f64 {
    let (words, sentences) = (count.words as f64, count.sentences.max(1) as f64);
    let syllables = count.syllables as f64;
    0.39 * words / sentences + 11.8 * syllables / words.max(1.0) - 15.59
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_formula_gives_its_worked_number() {
        // 12 words in 2 sentences with 13 syllables: 0.39·6 + 11.8·13/12 - 15.59, by hand.
        let text = "The cat sat on the mat. It had a nap in winter.";
        let counted = count(text);
        assert_eq!(
            (
                counted.words,
                counted.sentences,
                counted.syllables,
                counted.longest
            ),
            (12, 2, 13, 6)
        );
        assert!((grade(counted) - (2.34 + 12.7833 - 15.59)).abs() < 1e-3);
        assert!(
            grade(count(
                "Simultaneously manufacturing orthogonal geometries necessitates meticulous preparation."
            )) > 20.0
        );
    }
}
