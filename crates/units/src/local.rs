//! Local time at the edges: planning is in UTC minutes, people read school clocks.

use jiff::civil::{Date, Time};
use jiff::tz::{Offset, TimeZone};
use jiff::{Timestamp, ZonedDateTime};
use partpledge_words::dates::{Form, Moment};
use partpledge_words::{Value, say};

use crate::time::{EventMs, Minute};

/// An IANA time zone, from the tables inside the binary.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone(TimeZone);

/// Why a time or a zone could not be read; the rejected text is inside.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LocalTimeError {
    /// The zone's name is not in the IANA tables.
    #[error("{}", say!("errors-no-zone", name = _0))]
    UnknownZone(String),
    /// Not a date and time of RFC 3339.
    #[error("{}", say!("errors-bad-time", text = _0))]
    BadTime(String),
    /// Not a date.
    #[error("{}", say!("errors-bad-date", text = _0))]
    BadDate(String),
    /// Not a clock time.
    #[error("{}", say!("errors-bad-clock", text = _0))]
    BadClock(String),
}

impl Zone {
    /// The zone of that name.
    ///
    /// # Errors
    /// [`LocalTimeError::UnknownZone`].
    pub fn named(name: &str) -> Result<Self, LocalTimeError> {
        TimeZone::get(name)
            .map(Self)
            .map_err(|_| LocalTimeError::UnknownZone(name.to_owned()))
    }

    /// The civil date at `at`.
    #[must_use]
    pub fn date(&self, at: Minute) -> Date {
        self.zoned(at).date()
    }

    /// `date` at `time` on the school's clock. A time that the clock skips in spring moves
    /// forward by the gap; of a time that comes twice in autumn the first is taken (RFC 5545).
    #[must_use]
    pub fn minute(&self, date: Date, time: Time) -> Minute {
        let zoned = date.to_datetime(time).to_zoned_datetime(self.0.clone());
        let at = zoned.map_or(0, |moment| moment.timestamp().as_second());
        Minute(at.div_euclid(60))
    }

    /// RFC 3339 with the offset in force then: `2027-03-11T15:40:00+01:00`.
    #[must_use]
    pub fn rfc3339(&self, at: Minute) -> String {
        self.zoned(at).strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
    }

    /// `Thursday 11 March`, in the tongue being spoken.
    #[must_use]
    pub fn day(&self, at: Minute) -> String {
        self.moment(at, Form::Day).to_string()
    }

    /// `Thursday 11 March 2027`.
    #[must_use]
    pub fn long_day(&self, at: Minute) -> String {
        self.moment(at, Form::LongDay).to_string()
    }

    /// `Thu`.
    #[must_use]
    pub fn weekday(&self, at: Minute) -> String {
        self.moment(at, Form::Weekday).to_string()
    }

    /// `15:40`.
    #[must_use]
    pub fn clock(&self, at: Minute) -> String {
        self.moment(at, Form::Clock).to_string()
    }

    /// `Thu 11 Mar 15:40`.
    #[must_use]
    pub fn short(&self, at: Minute) -> String {
        self.moment(at, Form::Short).to_string()
    }

    /// That moment on the school's clock, to be said later in any tongue.
    #[must_use]
    pub fn moment(&self, at: Minute, form: Form) -> Value {
        let at = self.zoned(at).datetime();
        Value::Moment(Moment { at, form })
    }

    fn zoned(&self, at: Minute) -> ZonedDateTime {
        Timestamp::from_second(at.0.saturating_mul(60))
            .unwrap_or_default()
            .to_zoned_datetime(self.0.clone())
    }
}

/// Reads a time of RFC 3339, with its offset.
///
/// # Errors
/// [`LocalTimeError::BadTime`].
///
/// ```
/// use partpledge_units::local::parse_rfc3339;
/// assert_eq!(parse_rfc3339("1970-01-01T01:00:01+01:00").unwrap().0, 1_000);
/// assert!(parse_rfc3339("tomorrow").is_err());
/// ```
pub fn parse_rfc3339(text: &str) -> Result<EventMs, LocalTimeError> {
    text.parse::<Timestamp>()
        .map(|at| EventMs(at.as_millisecond()))
        .map_err(|_| LocalTimeError::BadTime(text.to_owned()))
}

/// RFC 3339 in UTC, for a time that belongs to no school.
#[must_use]
pub fn rfc3339_utc(at: EventMs) -> String {
    let zone = TimeZone::fixed(Offset::UTC);
    let moment = Timestamp::from_millisecond(at.0)
        .unwrap_or_default()
        .to_zoned_datetime(zone);
    moment.strftime("%Y-%m-%dT%H:%M:%SZ").to_string()
}

/// Reads `2027-03-09`.
///
/// # Errors
/// [`LocalTimeError::BadDate`].
pub fn parse_date(text: &str) -> Result<Date, LocalTimeError> {
    text.parse()
        .map_err(|_| LocalTimeError::BadDate(text.to_owned()))
}

/// Reads `08:15`.
///
/// # Errors
/// [`LocalTimeError::BadClock`].
pub fn parse_clock(text: &str) -> Result<Time, LocalTimeError> {
    text.parse()
        .map_err(|_| LocalTimeError::BadClock(text.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stockholm() -> Zone {
        Zone::named("Europe/Stockholm").unwrap()
    }

    fn at(date: &str, time: &str) -> Minute {
        stockholm().minute(parse_date(date).unwrap(), parse_clock(time).unwrap())
    }

    #[test]
    fn a_school_day_is_23_hours_long_when_the_clock_goes_forward() {
        // EU rule: last Sunday of March, 28 March 2027 at 01:00 UTC.
        let length = at("2027-03-29", "00:00") - at("2027-03-28", "00:00");
        assert_eq!(length.0, 23 * 60);
        assert_eq!(at("2027-03-28", "02:30"), at("2027-03-28", "03:30"));
    }

    #[test]
    fn a_school_day_is_25_hours_long_when_the_clock_goes_back() {
        // Last Sunday of October, 31 October 2027 at 01:00 UTC; 02:30 comes twice, first in summer time.
        let length = at("2027-11-01", "00:00") - at("2027-10-31", "00:00");
        assert_eq!(length.0, 25 * 60);
        assert_eq!(
            stockholm().rfc3339(at("2027-10-31", "02:30")),
            "2027-10-31T02:30:00+02:00"
        );
    }

    #[test]
    fn tickets_name_the_weekday() {
        let noon = at("2027-03-11", "15:40");
        assert_eq!(stockholm().day(noon), "Thursday 11 March");
        assert_eq!(stockholm().rfc3339(noon), "2027-03-11T15:40:00+01:00");
        assert_eq!(stockholm().short(noon), "Thu 11 Mar 15:40");
    }
}
