//! Calendars: what [`partpledge_workshop::calendar`] finds, as iCalendar (RFC 5545), by an address
//! that has a token in it and needs no session.

use std::fmt::Write as _;

use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use jiff::civil::Date;
use partpledge_records::TokenKind;
use partpledge_units::local::rfc3339_utc;
use partpledge_units::time::EventMs;
use partpledge_words::{Speaking, Tongue, say};
use partpledge_workshop::calendar::{Entry, When, calendar};
use partpledge_workshop::people::PeopleError;

use crate::guard::From;
use crate::routes::entry::wait_until;
use crate::routes::{Trouble, failed, not_here, people, trouble};
use crate::site::Site;

/// Longest line, octets without its end (RFC 5545, section 3.1).
const LONGEST: usize = 75;

/// `GET /calendar/{file}`: `TOKEN.ics`.
pub(crate) async fn feed(
    State(site): State<Site>,
    From(from): From,
    Path(file): Path<String>,
) -> Result<Response, Trouble> {
    let token = file.strip_suffix(".ics").unwrap_or_default();
    let people = people(&site)?;
    let bearer = people.bearer((TokenKind::Feed, token), &from).await;
    let bearer = bearer.map_err(|error| match error {
        PeopleError::Failed(error) => failed(&site, &error),
        PeopleError::TooMany { again_at } => {
            let status = StatusCode::TOO_MANY_REQUESTS;
            let wait = wait_until(&site, again_at);
            trouble(&site, status, &say!("region-calendar-too-often"), &wait)
        }
        PeopleError::Typed(_) => not_here(&site, &say!("region-calendar-none")),
    })?;
    let (session, books) = site.books().await.map_err(|error| failed(&site, &error))?;
    let own = Tongue::chosen(&bearer.person.language).unwrap_or_default();
    let actor = bearer.actor();
    let entries = Speaking::new(own, calendar(&session, &actor, &books)).await;
    let entries = entries.map_err(|error| failed(&site, &error))?;
    let region = session.store().map(|(_, region)| region.to_string());
    let name = format!("{}: {}", session.terrain.file.name, bearer.token.name);
    let text = written(&entries, (&name, &region.unwrap_or_default()), session.now);
    let headers = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (header::CACHE_CONTROL, "private, no-store"),
    ];
    Ok((headers, text).into_response())
}

/// A calendar as text, all its lines folded and ended as RFC 5545 has them.
fn written(entries: &[Entry], (name, region): (&str, &str), now: EventMs) -> String {
    let mut out = String::new();
    for text in [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Partpledge//Calendar 1//EN",
        "CALSCALE:GREGORIAN",
        // RFC 7986: what it is called, and how often it is worth looking.
        &format!("NAME:{}", escaped(name)),
        "REFRESH-INTERVAL;VALUE=DURATION:PT15M",
    ] {
        line(&mut out, text);
    }
    for entry in entries {
        event(&mut out, entry, region, now);
    }
    line(&mut out, "END:VCALENDAR");
    out
}

fn event(out: &mut String, entry: &Entry, region: &str, now: EventMs) {
    line(out, "BEGIN:VEVENT");
    line(out, &format!("UID:{}@{region}.partpledge", entry.name));
    line(out, &format!("DTSTAMP:{}", utc(now)));
    match entry.when {
        When::Between(from, until) => {
            line(out, &format!("DTSTART:{}", utc(from.to_ms())));
            line(out, &format!("DTEND:{}", utc(until.to_ms())));
        }
        When::Days(from, to) => {
            // The end of a day-long event is the day after (RFC 5545, section 3.6.1).
            let after = to.tomorrow().unwrap_or(to);
            line(out, &format!("DTSTART;VALUE=DATE:{}", day(from)));
            line(out, &format!("DTEND;VALUE=DATE:{}", day(after)));
            line(out, "TRANSP:TRANSPARENT");
        }
    }
    line(out, &format!("SEQUENCE:{}", entry.sequence));
    line(out, &format!("SUMMARY:{}", escaped(&entry.what)));
    if let Some(place) = &entry.place {
        line(out, &format!("LOCATION:{}", escaped(place)));
    }
    line(out, "END:VEVENT");
}

fn day(date: Date) -> String {
    date.to_string().replace('-', "")
}

/// `20270309T085200Z`.
fn utc(at: EventMs) -> String {
    let text = rfc3339_utc(EventMs(at.0.div_euclid(1_000) * 1_000));
    let plain: String = text.chars().take(19).collect();
    plain.replace(['-', ':'], "") + "Z"
}

/// Text as a value (RFC 5545, section 3.3.11).
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match c {
            '\\' | ';' | ',' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}

/// One line, folded so that none is longer than [`LONGEST`] octets and no letter is cut in two.
fn line(out: &mut String, text: &str) {
    let mut octets = 0;
    for c in text.chars() {
        if octets + c.len_utf8() > LONGEST {
            out.push_str("\r\n ");
            octets = 1;
        }
        // Writing to memory does not fail.
        let _ = write!(out, "{c}");
        octets += c.len_utf8();
    }
    out.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;
    use partpledge_units::time::Minute;

    #[test]
    fn lines_are_folded_at_75_octets_and_unfold_to_what_they_were() {
        let long = "SUMMARY:".to_owned() + &"räksmörgås och te ".repeat(20);
        let mut out = String::new();
        line(&mut out, &long);
        for one in out.split_terminator("\r\n") {
            assert!(one.len() <= LONGEST, "{} octets", one.len());
        }
        assert_eq!(out.replace("\r\n ", ""), long + "\r\n");
    }

    #[test]
    fn an_event_has_all_that_a_calendar_needs_and_its_texts_are_escaped() {
        let entry = Entry {
            name: "plate-7-start".to_owned(),
            when: When::Between(Minute(30_076_740), Minute(30_076_755)),
            what: "Start plate 7: a, b; c\nd".to_owned(),
            place: None,
            sequence: 3,
        };
        let text = written(&[entry], ("Valley", "r"), EventMs(0));
        for line in [
            "UID:plate-7-start@r.partpledge",
            "DTSTAMP:19700101T000000Z",
            "SEQUENCE:3",
            "SUMMARY:Start plate 7: a\\, b\\; c\\nd",
        ] {
            assert!(text.contains(&format!("\r\n{line}\r\n")), "{line}: {text}");
        }
        assert!(text.contains("DTSTART:20270309T"), "{text}");
    }
}
