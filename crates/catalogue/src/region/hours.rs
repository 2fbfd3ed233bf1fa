//! Weekly hours, as a region file writes them.

use super::RegionFileError;

/// Days of the week, Monday 0 to Sunday 6, and clock times.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WeeklyHours {
    /// Days, Monday 0.
    pub days: Vec<u8>,
    /// Opening, `08:15`.
    pub opens: String,
    /// Closing, `17:30`.
    pub closes: String,
}

const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// Reads `mon-fri` or `sat` as days, Monday 0.
///
/// # Errors
/// [`RegionFileError::BadHours`].
pub fn parse_days(text: &str) -> Result<Vec<u8>, RegionFileError> {
    let day = |name: &str| {
        DAYS.iter()
            .position(|d| *d == name)
            .and_then(|i| u8::try_from(i).ok())
    };
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    match (day(first), day(last)) {
        (Some(a), Some(b)) if a <= b => Ok((a..=b).collect()),
        _ => Err(RegionFileError::BadHours(text.to_owned())),
    }
}

/// Reads `mon-fri 08:15-17:30`.
///
/// # Errors
/// [`RegionFileError::BadHours`].
///
/// ```
/// let hours = partpledge_catalogue::region::parse_hours("sat 09:00-13:00").unwrap();
/// assert_eq!((hours.days, hours.opens.as_str()), (vec![5], "09:00"));
/// assert!(partpledge_catalogue::region::parse_hours("whenever").is_err());
/// ```
pub fn parse_hours(text: &str) -> Result<WeeklyHours, RegionFileError> {
    let bad = || RegionFileError::BadHours(text.to_owned());
    let (days, times) = text.split_once(' ').ok_or_else(bad)?;
    let (opens, closes) = times.split_once('-').ok_or_else(bad)?;
    let clock = |t: &str| t.len() == 5 && t.as_bytes()[2] == b':';
    if !clock(opens) || !clock(closes) || opens >= closes {
        return Err(bad());
    }
    Ok(WeeklyHours {
        days: parse_days(days)?,
        opens: opens.to_owned(),
        closes: closes.to_owned(),
    })
}
