//! Which tongue is being spoken, in this thread and for this request.

use std::cell::Cell;
use std::pin::Pin;
use std::task::{Context, Poll};

/// A tongue that every message has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Tongue {
    /// The source.
    #[default]
    English,
    /// German, with "du" as schools speak.
    German,
    /// English with marks around every message, none around what goes into it: shows in tests what
    /// was written past the files. Nobody can choose it.
    Marked,
}

impl Tongue {
    /// Those that somebody can choose.
    pub const ALL: [Self; 2] = [Self::English, Self::German];

    /// Its tag (RFC 5646), as pages say it and settings keep it: `en-GB`, `de`.
    #[must_use]
    pub fn tag(self) -> &'static str {
        match self {
            Self::English => "en-GB",
            Self::German => "de",
            Self::Marked => "en-x-marked",
        }
    }

    /// What its speakers call it.
    #[must_use]
    pub fn own_name(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::German => "Deutsch",
            Self::Marked => "marked",
        }
    }

    /// The one with that tag, whatever its region: `de-AT` is German.
    ///
    /// ```
    /// use partpledge_words::Tongue;
    /// assert_eq!(Tongue::tagged("de-AT"), Some(Tongue::German));
    /// assert_eq!(Tongue::tagged("den"), None);
    /// ```
    #[must_use]
    pub fn tagged(tag: &str) -> Option<Self> {
        if tag.eq_ignore_ascii_case(Self::Marked.tag()) {
            return Some(Self::Marked);
        }
        let language = tag.split('-').next().unwrap_or_default();
        if language.eq_ignore_ascii_case("en") {
            Some(Self::English)
        } else if language.eq_ignore_ascii_case("de") {
            Some(Self::German)
        } else {
            None
        }
    }

    /// The one that somebody chose, by exactly its tag; `None` for what was written down before anybody could
    /// choose, and for what nobody can choose.
    ///
    /// ```
    /// use partpledge_words::Tongue;
    /// assert_eq!(Tongue::chosen("de"), Some(Tongue::German));
    /// assert_eq!(Tongue::chosen("en"), None);
    /// ```
    #[must_use]
    pub fn chosen(tag: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.tag() == tag)
    }

    /// The one that a browser would rather have, by its `Accept-Language` (RFC 9110, 12.5.4).
    ///
    /// ```
    /// use partpledge_words::Tongue;
    /// assert_eq!(Tongue::wanted("fr, de;q=0.8, en;q=0.5"), Some(Tongue::German));
    /// assert_eq!(Tongue::wanted("de;q=0, en;q=0.1"), Some(Tongue::English));
    /// assert_eq!(Tongue::wanted("fr"), None);
    /// ```
    #[must_use]
    pub fn wanted(header: &str) -> Option<Self> {
        let mut best: Option<(f32, Self)> = None;
        for range in header.split(',') {
            let mut parts = range.split(';').map(str::trim);
            let Some(tongue) = parts.next().and_then(Self::tagged) else {
                continue;
            };
            let q = parts.find_map(|part| part.strip_prefix("q="));
            let q = q.map_or(1.0, |q| q.trim().parse().unwrap_or(0.0));
            if q > 0.0 && best.is_none_or(|(most, _)| q > most) {
                best = Some((q, tongue));
            }
        }
        best.map(|(_, tongue)| tongue)
            .filter(|one| *one != Self::Marked)
    }

    /// The one being spoken here.
    #[must_use]
    pub fn spoken() -> Self {
        SPOKEN.with(Cell::get)
    }
}

thread_local! {
    static SPOKEN: Cell<Tongue> = const { Cell::new(Tongue::English) };
}

/// Puts the tongue back that was spoken before, also when something broke off in between.
struct Before(Tongue);

impl Drop for Before {
    fn drop(&mut self) {
        SPOKEN.with(|spoken| spoken.set(self.0));
    }
}

/// Does `work` in this thread with `tongue` spoken.
pub fn within<T>(tongue: Tongue, work: impl FnOnce() -> T) -> T {
    let _before = Before(SPOKEN.with(|spoken| spoken.replace(tongue)));
    work()
}

/// A future in which `tongue` is spoken, whichever thread goes on with it. What it gives to other
/// threads has to be told ([`within`]).
pub struct Speaking<F> {
    tongue: Tongue,
    work: Pin<Box<F>>,
}

impl<F> Speaking<F> {
    /// `work` with `tongue` spoken.
    pub fn new(tongue: Tongue, work: F) -> Self {
        let work = Box::pin(work);
        Self { tongue, work }
    }
}

impl<F: Future> Future for Speaking<F> {
    type Output = F::Output;

    fn poll(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<F::Output> {
        let tongue = self.tongue;
        within(tongue, || self.work.as_mut().poll(context))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tongue_is_spoken_within_and_no_longer() {
        let inside = within(Tongue::German, || {
            let deeper = within(Tongue::English, Tongue::spoken);
            (deeper, Tongue::spoken())
        });
        assert_eq!(inside, (Tongue::English, Tongue::German));
        assert_eq!(Tongue::spoken(), Tongue::English);
        let broke = std::panic::catch_unwind(|| within(Tongue::German, || panic!("on purpose")));
        assert!(broke.is_err());
        assert_eq!(Tongue::spoken(), Tongue::English);
    }

    #[test]
    fn nobody_gets_the_marks_by_asking_for_a_language() {
        assert_eq!(Tongue::wanted("en-x-marked"), None);
    }
}
