//! Words that several pages share: chances, copies, days, headings of findings.

use partpledge_units::cast::round_i64;
pub(crate) use partpledge_units::chance::in_ten;
use partpledge_units::local::Zone;
use partpledge_units::time::{Minute, Minutes};
pub(crate) use partpledge_words::say;
use partpledge_words::{Markup, ToValue, Tongue};

/// A message with markup of its own, for pages: what goes into it is escaped.
#[derive(Clone, Debug)]
pub(crate) struct Mark(Markup);

/// The message called `id`, which ends in `-html`.
pub(crate) fn mark(id: &'static str) -> Mark {
    Mark(Markup(say(id)))
}

impl Mark {
    /// With `value` as `name` in it.
    pub(crate) fn with(self, name: &'static str, value: impl ToValue) -> Self {
        Self(Markup(self.0.0.with(name, value)))
    }
}

impl std::fmt::Display for Mark {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(f)
    }
}

/// Its markup is of our own files; what goes into it was escaped.
impl askama::filters::HtmlSafe for Mark {}

/// Times in ten to the nearest, for a forecast, but never a certainty that nobody has.
pub(crate) fn about_in_ten(chance: f64) -> i64 {
    let nearest = round_i64((chance * 10.0).round()).unwrap_or(0);
    if chance < 1.0 {
        nearest.min(9)
    } else {
        nearest
    }
}

/// `1 copy`, `3 copies`.
pub(crate) fn copies(n: i64) -> String {
    say!("numbers-copies", n = n)
}

/// The same with a capital.
pub(crate) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

/// A number at the start of a sentence: `Two`, `14`.
pub(crate) fn spelled<N: ToValue>(n: N) -> String {
    capital(&say("numbers-spelled").with("n", n).to_string())
}

/// `Newt Works’`, `Eel Drive’s`; in German the bare name, which goes behind "von".
pub(crate) fn whose(name: &str) -> String {
    if Tongue::spoken() == Tongue::German {
        name.to_owned()
    } else if name.ends_with(['s', 'S']) {
        format!("{name}’")
    } else {
        format!("{name}’s")
    }
}

/// A day as people say it: `today`, `tomorrow`, `Thursday 11 March`.
pub(crate) fn day(zone: &Zone, at: Minute, now: Minute) -> String {
    let (date, today) = (zone.date(at), zone.date(now));
    if date == today {
        say!("dates-today")
    } else if today.tomorrow().is_ok_and(|next| next == date) {
        say!("dates-tomorrow")
    } else if today.yesterday().is_ok_and(|last| last == date) {
        say!("dates-yesterday")
    } else {
        zone.day(at)
    }
}

/// `14:20`, or `Thu 14:20` when it is not today.
pub(crate) fn time(zone: &Zone, at: Minute, now: Minute) -> String {
    if zone.date(at) == zone.date(now) {
        zone.clock(at)
    } else {
        say!(
            "dates-day-time",
            day = zone.weekday(at),
            time = zone.clock(at)
        )
    }
}

/// `today by 15:40`, `Thursday 11 March by 15:40`.
pub(crate) fn by(zone: &Zone, at: Minute, now: Minute) -> String {
    say!("dates-by", day = day(zone, at, now), time = zone.clock(at))
}

/// How late: `17½ hours`, `40 minutes`, `2 days`.
pub(crate) fn length(minutes: Minutes) -> String {
    let min = minutes.0.max(0);
    match min {
        0..90 => say!("numbers-minutes", n = min),
        90..2_880 => {
            let halves = (min + 15) / 30;
            if halves % 2 == 1 {
                say!("numbers-half-hours", n = halves / 2)
            } else {
                say!("numbers-hours", n = halves / 2)
            }
        }
        _ => say!("numbers-days", n = (min + 720) / 1_440),
    }
}

/// Letters before the number of a ticket: the first of each word of the region's name.
pub(crate) fn prefix(region: &str) -> String {
    let first = region
        .split_whitespace()
        .filter_map(|word| word.chars().next());
    first.flat_map(char::to_uppercase).take(3).collect()
}

/// `AV-0417`.
pub(crate) fn number(region: &str, number: i64) -> String {
    format!("{}-{number:04}", prefix(region))
}

/// The heading of a finding.
pub(crate) fn heading(code: &str) -> String {
    say(match code {
        "overhang" => "findings-overhang-heading",
        "self-crossing" => "findings-self-crossing-heading",
        "starts-in-air" => "findings-starts-in-air-heading",
        "long-bridge" => "findings-long-bridge-heading",
        "thin-wall" => "findings-thin-wall-heading",
        "narrow-gap" => "findings-narrow-gap-heading",
        "small-hole" => "findings-small-hole-heading",
        "tips-over" => "findings-tips-over-heading",
        "small-foot" => "findings-small-foot-heading",
        "open-edges" => "findings-open-edges-heading",
        "crowded-edges" => "findings-crowded-edges-heading",
        "mixed-facing" => "findings-mixed-facing-heading",
        "inside-out" => "findings-inside-out-heading",
        "enclosed-hollow" => "findings-enclosed-hollow-heading",
        "small-hole-filled" => "findings-small-hole-filled-heading",
        "overlapping-shells" => "findings-overlapping-shells-heading",
        "thin-pin" => "findings-thin-pin-heading",
        "thin-floor" => "findings-thin-floor-heading",
        "finer-than-line" => "findings-finer-than-line-heading",
        "fine-text" => "findings-fine-text-heading",
        "warping-corner" => "findings-warping-corner-heading",
        "solid-block" => "findings-solid-block-heading",
        "trapped-support" => "findings-trapped-support-heading",
        "several-shells" => "findings-several-shells-heading",
        "doubled-triangles" => "findings-doubled-triangles-heading",
        "unit-doubtful" => "findings-unit-doubtful-heading",
        "unit-guessed" => "findings-unit-guessed-heading",
        "fits-no-printer" => "findings-fits-no-printer-heading",
        "fits-some-printers" => "findings-fits-some-printers-heading",
        _ => "findings-other-heading",
    })
    .to_string()
}

/// What a unit of a finding is called beside its number.
pub(crate) fn unit(unit: &str) -> String {
    match unit {
        "confidence" => String::new(),
        "mm2" => "mm²".to_owned(),
        "mm3" => "mm³".to_owned(),
        "deg" => "°".to_owned(),
        "edges" => say!("findings-count-edges"),
        "shells" => say!("findings-count-shells"),
        "pairs" => say!("findings-count-pairs"),
        "triangles" => say!("findings-count-triangles"),
        "places" => say!("findings-count-places"),
        other => other.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_never_promise_what_nobody_can() {
        assert_eq!(
            (about_in_ten(0.97), about_in_ten(0.86), about_in_ten(0.2)),
            (9, 9, 2)
        );
    }

    #[test]
    fn lengths_are_said_as_people_say_them() {
        let said = |min| length(Minutes(min));
        assert_eq!(
            (said(1).as_str(), said(40).as_str()),
            ("1 minute", "40 minutes")
        );
        assert_eq!(
            (said(1_050).as_str(), said(120).as_str()),
            ("17½ hours", "2 hours")
        );
        assert_eq!(said(4_320), "3 days");
    }

    #[test]
    fn numbers_begin_with_the_region() {
        assert_eq!(number("Ambrel Valley", 7), "AV-0007");
        assert_eq!(capital("today by 15:40"), "Today by 15:40");
        assert_eq!(whose("Newt Works"), "Newt Works’");
        assert_eq!(whose("Eel Drive"), "Eel Drive’s");
        let german = partpledge_words::within(Tongue::German, || whose("Eel Drive"));
        assert_eq!(german, "Eel Drive");
    }
}
