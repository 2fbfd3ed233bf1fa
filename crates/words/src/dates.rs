//! Days and times as people of each tongue say them.

use jiff::civil::{Date, DateTime, Weekday};
use serde::{Deserialize, Serialize};

use crate::tongue::Tongue;

/// How much of a moment is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Form {
    /// `Thursday 11 March`, `Donnerstag, 11. März`.
    Day,
    /// `Thursday 11 March 2027`.
    LongDay,
    /// `Thu`, `Do`.
    Weekday,
    /// `15:40`.
    Clock,
    /// `Thu 11 Mar 15:40`, `Do 11. März 15:40`.
    Short,
}

/// A moment on a school's clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Moment {
    /// Date and time there; kept as `2027-03-11T15:40:00`.
    #[serde(with = "kept")]
    pub at: DateTime,
    /// How it is said.
    pub form: Form,
}

mod kept {
    use jiff::civil::DateTime;
    use serde::de::Error;
    use serde::{Deserialize, Deserializer, Serializer};

    pub(super) fn serialize<S: Serializer>(at: &DateTime, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&at.to_string())
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<DateTime, D::Error> {
        let text = String::deserialize(from)?;
        text.parse().map_err(D::Error::custom)
    }
}

impl Moment {
    /// In words of `tongue`.
    #[must_use]
    pub fn text(self, tongue: Tongue) -> String {
        let (date, time) = (self.at.date(), self.at.time());
        let clock = || format!("{:02}:{:02}", time.hour(), time.minute());
        let german = tongue == Tongue::German;
        let said = match self.form {
            Form::Day => day(date, tongue),
            Form::LongDay => format!("{} {}", day(date, tongue), date.year()),
            Form::Weekday => short_weekday(date.weekday(), tongue).to_owned(),
            Form::Clock => clock(),
            Form::Short => {
                let weekday = short_weekday(date.weekday(), tongue);
                let dot = if german { "." } else { "" };
                let month = short_month(date, tongue);
                format!("{weekday} {}{dot} {month} {}", date.day(), clock())
            }
        };
        if tongue == Tongue::Marked {
            return format!("⟦{said}⟧");
        }
        said
    }
}

fn day(date: Date, tongue: Tongue) -> String {
    let (weekday, month) = (weekday(date.weekday(), tongue), month(date, tongue));
    if tongue == Tongue::German {
        format!("{weekday}, {}. {month}", date.day())
    } else {
        format!("{weekday} {} {month}", date.day())
    }
}

const MONTHS: [[&str; 2]; 12] = [
    ["January", "Januar"],
    ["February", "Februar"],
    ["March", "März"],
    ["April", "April"],
    ["May", "Mai"],
    ["June", "Juni"],
    ["July", "Juli"],
    ["August", "August"],
    ["September", "September"],
    ["October", "Oktober"],
    ["November", "November"],
    ["December", "Dezember"],
];

const WEEKDAYS: [[&str; 2]; 7] = [
    ["Monday", "Montag"],
    ["Tuesday", "Dienstag"],
    ["Wednesday", "Mittwoch"],
    ["Thursday", "Donnerstag"],
    ["Friday", "Freitag"],
    ["Saturday", "Samstag"],
    ["Sunday", "Sonntag"],
];

fn nth(tongue: Tongue) -> usize {
    usize::from(tongue == Tongue::German)
}

/// `March 2027`, `März 2027`, in the tongue being spoken.
#[must_use]
pub fn month_of(date: Date) -> String {
    let tongue = Tongue::spoken();
    let said = format!("{} {}", month(date, tongue), date.year());
    if tongue == Tongue::Marked {
        return format!("⟦{said}⟧");
    }
    said
}

/// `March`, `März`.
fn month(date: Date, tongue: Tongue) -> &'static str {
    let at = usize::try_from(date.month() - 1).unwrap_or_default();
    MONTHS[at.min(11)][nth(tongue)]
}

/// `Mar`; German months keep their letters where four are all there are.
fn short_month(date: Date, tongue: Tongue) -> String {
    let month = month(date, tongue);
    if tongue != Tongue::German {
        return month.chars().take(3).collect();
    }
    if month.chars().count() <= 4 {
        return month.to_owned();
    }
    let kept: String = month
        .chars()
        .take(if month == "September" { 4 } else { 3 })
        .collect();
    format!("{kept}.")
}

/// `Thursday`, `Donnerstag`.
#[must_use]
pub fn weekday(day: Weekday, tongue: Tongue) -> &'static str {
    let at = usize::try_from(day.to_monday_zero_offset()).unwrap_or_default();
    WEEKDAYS[at.min(6)][nth(tongue)]
}

/// `Thu`, `Do`.
#[must_use]
pub fn short_weekday(day: Weekday, tongue: Tongue) -> &'static str {
    let letters = if tongue == Tongue::German { 2 } else { 3 };
    weekday(day, tongue).get(..letters).unwrap_or_default()
}

/// Opening hours of a region file, `mon-fri 08:15-16:30`, with the days of the tongue being spoken; in
/// English as the file has them.
#[must_use]
pub fn opening_hours(hours: &str) -> String {
    const CODES: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];
    let tongue = Tongue::spoken();
    match tongue {
        Tongue::English => return hours.to_owned(),
        Tongue::Marked => return format!("⟦{hours}⟧"),
        Tongue::German => {}
    }
    let mut said = hours.to_owned();
    for (code, day) in CODES.iter().zip(WEEKDAYS) {
        let day = day[nth(tongue)].get(..2).unwrap_or_default();
        said = said.replace(code, day);
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(form: Form, tongue: Tongue) -> String {
        let at = jiff::civil::date(2027, 3, 11).at(8, 5, 0, 0);
        Moment { at, form }.text(tongue)
    }

    #[test]
    fn english_days_are_said_as_strftime_says_them() {
        let mut at = jiff::civil::date(2027, 1, 1).at(15, 40, 0, 0);
        for _ in 0..400 {
            for (form, format) in [
                (Form::Day, "%A %-d %B"),
                (Form::LongDay, "%A %-d %B %Y"),
                (Form::Weekday, "%a"),
                (Form::Clock, "%H:%M"),
                (Form::Short, "%a %-d %b %H:%M"),
            ] {
                let said = Moment { at, form }.text(Tongue::English);
                assert_eq!(said, at.strftime(format).to_string());
            }
            at = at.tomorrow().unwrap();
        }
    }

    #[test]
    fn german_days_follow_the_habits_of_german() {
        assert_eq!(said(Form::Day, Tongue::German), "Donnerstag, 11. März");
        assert_eq!(
            said(Form::LongDay, Tongue::German),
            "Donnerstag, 11. März 2027"
        );
        assert_eq!(said(Form::Short, Tongue::German), "Do 11. März 08:05");
        assert_eq!(said(Form::Weekday, Tongue::German), "Do");
        let at = jiff::civil::date(2026, 12, 1).at(8, 5, 0, 0);
        let short = Moment {
            at,
            form: Form::Short,
        }
        .text(Tongue::German);
        assert_eq!(short, "Di 1. Dez. 08:05");
    }

    #[test]
    fn opening_hours_have_the_days_of_the_tongue() {
        let hours = "mon-wed 08:15-16:30, sat 09:00-12:00";
        assert_eq!(opening_hours(hours), hours);
        let german = crate::within(Tongue::German, || opening_hours(hours));
        assert_eq!(german, "Mo-Mi 08:15-16:30, Sa 09:00-12:00");
    }
}
