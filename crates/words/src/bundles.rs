//! The files, read once.

use std::borrow::Cow;
use std::sync::LazyLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};
use unic_langid::LanguageIdentifier;

use crate::said::Said;
use crate::tongue::Tongue;
use crate::value::Value;

macro_rules! areas {
    ($($area:literal),+ $(,)?) => {
        /// The files of each tongue, by the part of the house that they are for.
        pub const AREAS: &[&str] = &[$($area),+];
        const ENGLISH: &[&str] = &[$(include_str!(concat!("../en/", $area, ".ftl"))),+];
        const GERMAN: &[&str] = &[$(include_str!(concat!("../de/", $area, ".ftl"))),+];
    };
}

areas![
    "common",
    "numbers",
    "dates",
    "head",
    "entry",
    "people",
    "account",
    "mail",
    "send",
    "part",
    "pledge",
    "parts",
    "judging",
    "findings",
    "lessons",
    "reasons",
    "why",
    "region",
    "review",
    "recalls",
    "boxes",
    "bench",
    "jobs",
    "inspect",
    "spools",
    "spares",
    "hub",
    "cards",
    "plates",
    "programs",
    "printers",
    "machines",
    "promises",
    "shares",
    "season",
    "sofar",
    "data",
    "notices",
    "outbox",
    "api",
    "how",
    "turn",
    "errors",
    "client",
    "catalogue",
];

type Bundle = FluentBundle<FluentResource>;

static IN_ENGLISH: LazyLock<Bundle> = LazyLock::new(|| bundle("en-GB", ENGLISH));
static IN_GERMAN: LazyLock<Bundle> = LazyLock::new(|| bundle("de", GERMAN));

/// What is wrong in a file is left out; the tests read the same files and let none be wrong.
fn bundle(tag: &str, files: &[&str]) -> Bundle {
    let language: LanguageIdentifier = tag.parse().unwrap_or_default();
    let mut bundle = Bundle::new_concurrent(vec![language]);
    // Marks of direction around every name would get into mails, calendars and labels.
    bundle.set_use_isolating(false);
    for file in files {
        let read = FluentResource::try_new((*file).to_owned());
        let resource = read.unwrap_or_else(|(resource, _)| resource);
        bundle.add_resource_overriding(resource);
    }
    bundle
}

/// Text of a file of `tongue`, for tests and for those who look what there is.
#[must_use]
pub fn area(tongue: Tongue, area: &str) -> Option<&'static str> {
    let at = AREAS.iter().position(|one| *one == area)?;
    let files = if tongue == Tongue::German {
        GERMAN
    } else {
        ENGLISH
    };
    files.get(at).copied()
}

const OPEN: char = '⟦';
const CLOSE: char = '⟧';

/// The message in `tongue`, with `inner` making text of what goes into it.
pub(crate) fn text(said: &Said, tongue: Tongue, inner: impl Fn(&Value) -> String) -> String {
    let bundle = if tongue == Tongue::German {
        &*IN_GERMAN
    } else {
        &*IN_ENGLISH
    };
    let Some(pattern) = bundle
        .get_message(said.id())
        .and_then(|found| found.value())
    else {
        return said.id().to_owned();
    };
    let mut args = FluentArgs::new();
    for (name, value) in said.values() {
        let mut made = value.fluent(&inner);
        if let (Tongue::Marked, FluentValue::String(text)) = (tongue, &made) {
            made = FluentValue::String(Cow::Owned(format!("{CLOSE}{text}{OPEN}")));
        }
        args.set(name.to_owned(), made);
    }
    let mut wrong = Vec::new();
    let text = bundle.format_pattern(pattern, Some(&args), &mut wrong);
    if tongue == Tongue::Marked {
        return format!("{OPEN}{text}{CLOSE}").replace("⟦⟧", "");
    }
    text.into_owned()
}
