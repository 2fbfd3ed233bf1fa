//! Names of the places where boxes are handed over. They are data, kept in promises and compared; who
//! reads one on a page reads it in the own tongue.

use partpledge_words::{Said, ToValue, Value, said};

const FRONT_DESK: &str = ", front desk";
const SPARES: &str = ", spares";
const MEETING: &str = ", league meeting";
const OR: &str = " or ";

/// The name of a school's desk: where boxes are handed over, or where spares are made at a meeting.
pub(super) fn desk_of(school: &str, spares: bool) -> String {
    let what = if spares { SPARES } else { FRONT_DESK };
    format!("{school}{what}")
}

/// The name of the place where a meeting of the league hands boxes over.
pub(super) fn meeting_of(event: &str) -> String {
    format!("{event}{MEETING}")
}

/// Two places, at one or the other of which something is handed over.
pub(crate) fn one_of_two(one: &str, other: &str) -> String {
    format!("{one}{OR}{other}")
}

/// The name of a place in the tongue being spoken. What is not a school's desk is said as it stands.
///
/// ```
/// use partpledge_words::{Tongue, within};
/// use partpledge_workshop::place_says;
/// let desk = "Brindlemoor School, front desk";
/// assert_eq!(place_says(desk), desk);
/// let german = within(Tongue::German, || place_says(desk));
/// assert_eq!(german, "Brindlemoor School, Empfang");
/// ```
#[must_use]
pub fn place_says(name: &str) -> String {
    desk(name).map_or_else(|| name.to_owned(), |desk| desk.to_string())
}

/// The same as data, to go into what is kept and said later.
#[must_use]
pub fn place_said(name: &str) -> Value {
    desk(name).map_or_else(|| name.to_value(), |desk| desk.to_value())
}

fn desk(name: &str) -> Option<Said> {
    single(name).or_else(|| {
        // Names of schools and meetings may have the word in them too.
        let mut cuts = name.match_indices(OR);
        cuts.find_map(|(at, _)| {
            let one = single(&name[..at])?;
            let other = single(&name[at + OR.len()..])?;
            Some(said!("catalogue-one-of-two", one = one, other = other))
        })
    })
}

fn single(name: &str) -> Option<Said> {
    let both = |desk: &str| name.contains(&format!("{desk}{OR}"));
    if [FRONT_DESK, SPARES, MEETING].into_iter().any(both) {
        return None;
    }
    if let Some(event) = name.strip_suffix(MEETING) {
        return Some(said!("catalogue-meeting-place", event = event));
    }
    if let Some(school) = name.strip_suffix(FRONT_DESK) {
        return Some(said!("catalogue-front-desk", school = school));
    }
    let school = name.strip_suffix(SPARES)?;
    Some(said!("catalogue-spares-desk", school = school))
}

#[cfg(test)]
mod tests {
    use partpledge_words::{Tongue, say, within};

    use super::*;

    #[test]
    fn a_desk_is_said_in_each_tongue_and_its_english_is_its_name() {
        for (spares, german) in [
            (false, "Otterquay High, Empfang"),
            (true, "Otterquay High, Ersatzstücke"),
        ] {
            let name = desk_of("Otterquay High", spares);
            assert_eq!(place_says(&name), name);
            assert_eq!(within(Tongue::German, || place_says(&name)), german);
        }
    }

    #[test]
    fn a_meeting_is_a_place_too_and_so_are_two() {
        let meeting = meeting_of("Rock or Roll Qualifier");
        let two = one_of_two(&desk_of("Otterquay High", false), &meeting);
        assert_eq!(place_says(&meeting), meeting);
        assert_eq!(place_says(&two), two);
        assert_eq!(
            within(Tongue::German, || place_says(&two)),
            "Otterquay High, Empfang, oder Rock or Roll Qualifier, Treffen der Liga"
        );
    }

    #[test]
    fn any_other_name_is_said_as_it_stands() {
        for name in ["", "Tidewheel Qualifier", "Front desk, Otterquay"] {
            assert_eq!(within(Tongue::German, || place_says(name)), name);
            assert_eq!(place_said(name), name.to_value());
        }
    }

    #[test]
    fn a_desk_in_what_was_kept_is_read_in_the_tongue_of_who_reads() {
        let name = desk_of("Otterquay High", false);
        let kept = say("notices-ready-goes").with("place", place_said(&name));
        assert!(kept.in_tongue(Tongue::English).contains(&name));
        let german = kept.in_tongue(Tongue::German);
        assert!(german.contains("Otterquay High, Empfang"), "{german}");
    }
}
