//! Things, ranges and people that errors name: the English is what code goes by, messages say it.

/// What errors name, and the message that says it.
const KINDS: &[(&str, &str)] = &[
    ("process sheet", "errors-kind-sheet"),
    ("material", "errors-kind-material"),
    ("sheet for material", "errors-kind-sheet-for"),
    ("printer class", "errors-kind-class"),
    ("printer class for", "errors-kind-class-for"),
    ("class of printers", "errors-kind-printers"),
    ("printer", "errors-kind-printer"),
    ("school", "errors-kind-school"),
    ("school with printers", "errors-kind-host-school"),
    ("host", "errors-kind-host"),
    ("other material for it", "errors-kind-other-material"),
    ("bench for spares today at", "errors-kind-spares-bench"),
    ("team", "errors-kind-team"),
    ("copies that come first", "errors-what-first-copies"),
    ("until", "errors-what-until"),
    ("tasks", "errors-what-tasks"),
    ("the last day", "errors-what-last-day"),
    ("the week", "errors-what-week"),
    ("copies", "errors-what-copies"),
    ("what is closed", "errors-what-closed"),
    ("the reason", "errors-what-reason"),
    ("the end", "errors-what-end"),
    ("the time", "errors-what-time"),
    ("the address", "errors-what-address"),
    ("what is told", "errors-what-told"),
    ("how many addresses there are", "errors-what-addresses"),
    ("the unit", "errors-what-unit"),
    ("what was measured", "errors-what-measured"),
    ("infill", "errors-what-infill"),
    ("the session", "errors-what-session"),
    ("every copy", "errors-what-every-copy"),
    ("a copy that is held", "errors-what-held-copy"),
    ("a copy that was recalled", "errors-what-recalled-copy"),
    ("the printer", "errors-what-printer"),
    ("the empty reel", "errors-what-reel"),
    ("the number of spools", "errors-what-spools"),
    ("the filament on a spool", "errors-what-filament"),
    ("the day of the delivery", "errors-what-delivery"),
    ("the text", "errors-what-text"),
    ("good copies", "errors-what-good"),
    ("the stretch of time", "errors-what-stretch"),
    ("fewer than all of them", "errors-range-fewer"),
    ("still to come, within 12 hours", "errors-range-12-hours"),
    ("still to come", "errors-range-to-come"),
    (
        "at least one that can be signed off or withdrawn",
        "errors-range-one-task",
    ),
    ("from today on, within a year", "errors-range-year"),
    ("one that has begun", "errors-range-begun"),
    ("at least 1", "errors-range-1"),
    ("from 1 to 100", "errors-range-100"),
    ("one school at least", "errors-range-school"),
    ("a few words", "errors-range-words"),
    ("after the beginning", "errors-range-after"),
    (
        "within a year, and 60 days long at most",
        "errors-range-60-days",
    ),
    (
        "still to come, and within the next six weeks",
        "errors-range-six-weeks",
    ),
    (
        "one that begins with https:// and leads out of this server’s own network",
        "errors-range-far",
    ),
    (
        "one that begins with https://, or http:// to this machine",
        "errors-range-near",
    ),
    ("one at least of the list", "errors-range-list"),
    ("20 at most", "errors-range-20"),
    ("one of those on the part’s page", "errors-range-on-page"),
    (
        "a size above 0 mm, or a reason from our list, for a dimension that the part has",
        "errors-range-size",
    ),
    ("from 0 to 100 percent", "errors-range-percent"),
    ("opened for writing", "errors-range-writing"),
    ("good, to be reworked or scrap", "errors-range-found"),
    ("good or scrap", "errors-range-good-scrap"),
    ("one that the plate was planned on", "errors-range-planned"),
    ("from 0 to 2000 g", "errors-range-reel"),
    ("from 50 to 12000 g", "errors-range-net"),
    ("a day like 2027-03-12", "errors-range-day"),
    ("at most 80 letters long", "errors-range-80"),
    ("counted for each request on the plate", "errors-range-each"),
    (
        "not more than there are on the plate",
        "errors-range-not-more",
    ),
    ("one that has begun and ends later", "errors-range-stretch"),
    ("the coordinator", "errors-who-coordinator"),
    ("the team itself", "errors-who-team"),
    ("a mentor of the team", "errors-who-mentor"),
    ("the bench", "errors-who-bench"),
    ("the bench that has the spools", "errors-who-bench-spools"),
    (
        "the bench that the plate is planned at",
        "errors-who-bench-plate",
    ),
    (
        "the bench where the printer stood",
        "errors-who-bench-printer",
    ),
    ("people who are signed in", "errors-who-signed-in"),
    ("the server itself", "errors-who-server"),
    ("that bench", "errors-who-that-bench"),
    (
        "adults of the school whose bench it is",
        "errors-who-school-adults",
    ),
    ("adults", "errors-who-adults"),
    ("adults who are signed in", "errors-who-signed-adults"),
    ("mentors, for students of their team", "errors-who-mentors"),
    ("people with a password", "errors-who-password"),
    (
        "coordinators who don’t only stand in",
        "errors-who-for-good",
    ),
];

/// It in the tongue being spoken; what is not among them as it is.
pub(crate) fn word(text: &str) -> String {
    let found = KINDS.iter().find(|(known, _)| *known == text);
    found.map_or_else(
        || text.to_owned(),
        |(_, id)| partpledge_words::say(id).to_string(),
    )
}

/// Whom something is for that [`WorkshopError::NotAllowed`](super::WorkshopError::NotAllowed) keeps
/// from others, in the tongue being spoken.
#[must_use]
pub fn whom(who: &str) -> String {
    word(who)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn in_english_each_is_what_code_goes_by() {
        for (known, _) in KINDS {
            assert_eq!(word(known), *known);
        }
    }
}
