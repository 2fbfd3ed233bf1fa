//! Codes that people type and tokens that they do not: made from the system's random bits, kept as
//! hashes only.

use std::fmt::Write as _;

use partpledge_units::ids::RegionId;
use sha2::{Digest, Sha256};

use crate::error::WorkshopError;

/// Letters and figures that are not taken for one another, and no vowels, so that no code is a
/// word. 22 of them: 4.46 bits each.
const LETTERS: &[u8] = b"CDFGHJKMNPQRTVWXY34679";

/// Letters of a team's code: 35.7 bits. It is short because a class types it from the board; it
/// ends after days, and few wrong ones may be typed from one place.
pub const JOIN: [usize; 2] = [4, 4];

/// Letters of a box's code: 22^5 = 5.2 million codes. It is short because it is said aloud at a
/// counter; with 50 wrong tries a day for one box, guessing it takes 140 years on average (derived
/// here).
pub const BOX: [usize; 1] = [5];

/// Letters of a student's own code: 66.9 bits, so that its hash alone leads nobody to it.
pub const RETURN: [usize; 3] = [5, 5, 5];

/// A fresh secret for a link or a cookie: 256 bits as 64 hexadecimal figures.
///
/// # Errors
/// [`WorkshopError::BrokeOff`] when the system has no random bits.
pub fn token() -> Result<String, WorkshopError> {
    Ok(hex(&random::<32>()?))
}

/// A fresh code in groups of letters: `KMTR-7WQX`.
///
/// # Errors
/// As [`token`].
pub fn code(groups: &[usize]) -> Result<String, WorkshopError> {
    let mut out = String::new();
    for (i, &size) in groups.iter().enumerate() {
        if i > 0 {
            out.push('-');
        }
        for _ in 0..size {
            out.push(letter()?);
        }
    }
    Ok(out)
}

/// One letter, each as likely: bytes beyond the last whole round of the letters are thrown away.
fn letter() -> Result<char, WorkshopError> {
    let many = LETTERS.len();
    loop {
        let [byte] = random::<1>()?;
        let byte = usize::from(byte);
        if byte < 256 / many * many {
            return Ok(char::from(LETTERS[byte % many]));
        }
    }
}

/// A code as typed: capital letters and figures, without what stands between them.
///
/// ```
/// use partpledge_workshop::people::codes::plain;
/// assert_eq!(plain(" kmtr 7wqx\n"), "KMTR7WQX");
/// ```
#[must_use]
pub fn plain(typed: &str) -> String {
    let own = typed.chars().filter(char::is_ascii_alphanumeric).take(80);
    own.map(|c| c.to_ascii_uppercase()).collect()
}

/// The hash under which a code or token of a region is kept: SHA-256 (FIPS 180-4) over what it is
/// for, the region and itself. A fast hash will do, since what is hashed is random.
#[must_use]
pub fn hash(what: &str, region: RegionId, secret: &str) -> String {
    sha256(&format!("partpledge {what} {region} {secret}"))
}

/// SHA-256 of a text, in hexadecimal figures.
pub(crate) fn sha256(text: &str) -> String {
    hex(&Sha256::digest(text.as_bytes()))
}

pub(crate) fn random<const N: usize>() -> Result<[u8; N], WorkshopError> {
    let mut bytes = [0_u8; N];
    getrandom::fill(&mut bytes).map_err(|_| WorkshopError::BrokeOff)?;
    Ok(bytes)
}

pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut out, byte| {
        let _ = write!(out, "{byte:02x}");
        out
    })
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    #[test]
    fn codes_are_of_their_letters_and_each_comes_as_often() {
        let mut seen: BTreeMap<char, usize> = BTreeMap::new();
        for _ in 0..2_200 {
            let code = code(&JOIN).unwrap();
            assert_eq!((code.len(), code.as_bytes()[4]), (9, b'-'));
            for letter in plain(&code).chars() {
                *seen.entry(letter).or_default() += 1;
            }
        }
        // 17,600 letters, 800 of each expected; a fair source strays by 28 at one sigma.
        assert_eq!(seen.len(), LETTERS.len());
        let fair = |&many: &usize| (600..1_000).contains(&many);
        assert!(seen.values().all(fair), "{seen:?}");
        for unlike in "0O1IL5S8B2ZUAE".chars() {
            assert!(!LETTERS.contains(&(unlike as u8)), "{unlike}");
        }
    }

    #[test]
    fn tokens_are_long_and_never_the_same_and_hashes_tell_purposes_apart() {
        let (a, b) = (token().unwrap(), token().unwrap());
        assert!(a.len() == 64 && a != b);
        let region: RegionId = "01932f8a-0000-7000-8000-000000000001".parse().unwrap();
        assert_ne!(hash("join", region, "X"), hash("return", region, "X"));
        // FIPS 180-4's own example, "abc".
        assert!(sha256("abc").starts_with("ba7816bf8f01cfea"));
    }
}
