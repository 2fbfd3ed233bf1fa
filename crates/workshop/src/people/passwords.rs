//! Passwords of adults: what they must be, and how they are kept.

use argon2::password_hash::{PasswordHash, PasswordHasher, PasswordVerifier, SaltString};
use argon2::{Algorithm, Argon2, Params, Version};

use super::Problem;
use super::codes::random;
use crate::error::WorkshopError;

/// Least length, in characters. NIST SP 800-63B (5.1.1.2) asks for 8 at least and for no rules on
/// what must be in it; 12 is our own choice.
pub const LEAST: usize = 12;

/// Most length, so that nobody has us hash a book. NIST SP 800-63B asks to allow 64 at least.
pub const MOST: usize = 256;

/// Memory in KiB, passes and lanes of Argon2id (RFC 9106): 19 MiB, 2, 1, the OWASP Password
/// Storage Cheat Sheet's choice for small servers, from memory. RFC 9106's own second choice
/// (64 MiB, 3 passes, 4 lanes) would take a third of such a server with ten people signing in.
const COST: (u32, u32, u32) = (19_456, 2, 1);

/// Long enough, and yet among the first that are tried. Made here, no source.
const COMMON: &[&str] = &[
    "123456789012",
    "1234567890123",
    "0123456789012",
    "123123123123",
    "1q2w3e4r5t6y",
    "1qaz2wsx3edc",
    "qwertyuiop12",
    "qwertyuiop123",
    "qwerty123456",
    "asdfghjkl123",
    "zxcvbnm12345",
    "abcdefghijkl",
    "abcdefgh1234",
    "abc123abc123",
    "password1234",
    "password12345",
    "passwordpassword",
    "passw0rd1234",
    "mypassword123",
    "changeme1234",
    "changemenow1",
    "letmein12345",
    "letmeinplease",
    "iloveyou1234",
    "iloveyouforever",
    "welcome12345",
    "welcomewelcome",
    "administrator",
    "admin1234567",
    "adminadminadmin",
    "correcthorsebatterystaple",
    "sunshine1234",
    "football1234",
    "princess1234",
    "dragondragon",
    "teacher12345",
    "schoolschool",
    "robotics1234",
    "roboticsteam",
    "3dprinting123",
    "partpledge12",
    "partpledge123",
    "partpledgepartpledge",
];

/// Whether a new password will do for somebody with that e-mail address.
///
/// # Errors
/// [`Problem::PasswordShort`], [`Problem::PasswordLong`]; [`Problem::PasswordCommon`] for one on a
/// short list, of one or two characters over and over, or the address itself.
pub fn fit(password: &str, email: &str) -> Result<(), Problem> {
    let length = password.chars().count();
    if length < LEAST {
        return Err(Problem::PasswordShort);
    }
    if length > MOST {
        return Err(Problem::PasswordLong);
    }
    let low = password.to_lowercase();
    let mut kinds: Vec<char> = low.chars().collect();
    kinds.sort_unstable();
    kinds.dedup();
    if COMMON.contains(&low.as_str()) || kinds.len() <= 2 || low == email {
        return Err(Problem::PasswordCommon);
    }
    Ok(())
}

fn hasher() -> Result<Argon2<'static>, WorkshopError> {
    let (memory, passes, lanes) = COST;
    let params = Params::new(memory, passes, lanes, None).map_err(|_| WorkshopError::BrokeOff)?;
    Ok(Argon2::new(Algorithm::Argon2id, Version::V0x13, params))
}

/// The hash of a password with a salt of its own, in the string form that names its cost, so that
/// the cost can be raised later. Takes some tens of milliseconds and 19 MiB, on purpose.
///
/// # Errors
/// [`WorkshopError::BrokeOff`] when the system has no random bits.
pub fn hashed(password: &str) -> Result<String, WorkshopError> {
    let salt = SaltString::encode_b64(&random::<16>()?).map_err(|_| WorkshopError::BrokeOff)?;
    let hash = hasher()?.hash_password(password.as_bytes(), &salt);
    Ok(hash.map_err(|_| WorkshopError::BrokeOff)?.to_string())
}

/// Whether it is the password that was hashed. Without a hash, for somebody who is not there, the
/// same work is done and the answer is no: the time does not tell which it was.
///
/// # Errors
/// As [`hashed`].
pub fn is(password: &str, kept: Option<&str>) -> Result<bool, WorkshopError> {
    let short: String = password.chars().take(MOST).collect();
    let parsed = kept.and_then(|kept| PasswordHash::new(kept).ok());
    let Some(parsed) = parsed else {
        hashed(&short)?;
        return Ok(false);
    };
    let right = hasher()?.verify_password(short.as_bytes(), &parsed);
    Ok(right.is_ok() && short.len() == password.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_password_is_long_and_not_among_the_first_tried() {
        assert_eq!(fit("grebe on the", ""), Ok(()));
        assert_eq!(fit("åååååå långt", ""), Ok(()), "characters, not bytes");
        assert_eq!(fit("grebe on th", ""), Err(Problem::PasswordShort));
        assert_eq!(fit(&"ab cd".repeat(52), ""), Err(Problem::PasswordLong));
        for common in ["Password1234", "abababababab", "aaaaaaaaaaaaaaa"] {
            assert_eq!(fit(common, ""), Err(Problem::PasswordCommon), "{common}");
        }
        let own = "wren@example.org";
        assert_eq!(fit("Wren@example.org", own), Err(Problem::PasswordCommon));
        for common in COMMON {
            assert!(
                common.chars().count() >= LEAST,
                "{common} can't be chosen anyway"
            );
        }
    }

    #[test]
    fn a_hash_names_its_cost_and_takes_one_password_only() {
        let kept = hashed("four words by the weir").unwrap();
        assert!(
            kept.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"),
            "{kept}"
        );
        assert_ne!(kept, hashed("four words by the weir").unwrap(), "salted");
        assert!(is("four words by the weir", Some(&kept)).unwrap());
        assert!(!is("four words by the wei", Some(&kept)).unwrap());
        assert!(!is("four words by the weir", None).unwrap());
        assert!(!is("four words by the weir", Some("damaged")).unwrap());
    }
}
