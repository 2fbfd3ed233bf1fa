//! Guesses that put a request into the queue. None refuses anything.

use partpledge_catalogue::RegionFile;
use partpledge_catalogue::region::ReviewMode;

use crate::books::Books;
use partpledge_records::{BlobHash, ListedRequest, NewNote, NoteKind, State};
use partpledge_words::say;

/// More copies than this are looked at. Common practice, no source.
pub const MANY_COPIES: u32 = 40;
/// Longer parts than this are looked at, mm. Common practice, no source.
pub const LARGE_MM: f64 = 280.0;

/// Words that may mean a weapon, whole words in small letters: English, German, French, Spanish,
/// Swedish. From memory; meant to be few, since every one of them costs somebody's time. The French
/// singular `arme` is left out: in German it means the arms of a robot.
const WORDS: &[&str] = &[
    "gun",
    "guns",
    "pistol",
    "rifle",
    "revolver",
    "silencer",
    "grenade",
    "knife",
    "knives",
    "dagger",
    "sword",
    "knuckles",
    "knuckleduster",
    "machete",
    "crossbow",
    "weapon",
    "weapons",
    "pistole",
    "gewehr",
    "waffe",
    "waffen",
    "messer",
    "dolch",
    "schwert",
    "schlagring",
    "schalldämpfer",
    "armbrust",
    "pistolet",
    "fusil",
    "armes",
    "couteau",
    "poignard",
    "épée",
    "silencieux",
    "arbalète",
    "pistola",
    "arma",
    "armas",
    "cuchillo",
    "puñal",
    "espada",
    "granada",
    "ballesta",
    "gevär",
    "vapen",
    "kniv",
    "dolk",
    "svärd",
    "knogjärn",
    "ljuddämpare",
    "armborst",
];

/// What guesses are made from.
#[derive(Clone, Debug)]
pub struct Seen<'a> {
    /// Name of the file.
    pub file_name: &'a str,
    /// Name of the part.
    pub part: &'a str,
    /// The team.
    pub team: &'a str,
    /// Copies asked for.
    pub copies: u32,
    /// Longest side of its longest part, mm.
    pub longest_mm: f64,
}

/// What is guessed of a request from itself, each as a code and what it was guessed from.
///
/// ```
/// use partpledge_workshop::review::guess::{Seen, guesses};
/// let mut seen = Seen { file_name: "arm.stl", part: "arm", team: "Newts", copies: 2, longest_mm: 90.0 };
/// assert!(guesses(&seen).is_empty());
/// seen.file_name = "Toy-KNIFE_v2.stl";
/// assert_eq!(guesses(&seen), ["word: knife"]);
/// ```
#[must_use]
pub fn guesses(seen: &Seen<'_>) -> Vec<String> {
    let text = format!("{} {}", seen.file_name, seen.part).to_lowercase();
    let mut out: Vec<String> = Vec::new();
    for word in text.split(|c: char| !c.is_alphabetic()) {
        let hint = format!("word: {word}");
        if WORDS.contains(&word) && !out.contains(&hint) {
            out.push(hint);
        }
    }
    if seen.copies > MANY_COPIES {
        out.push(format!("copies: {}", seen.copies));
    }
    if seen.longest_mm > LARGE_MM {
        out.push(format!("size: {:.0}", seen.longest_mm));
    }
    out
}

/// A guess in words.
#[must_use]
pub fn says(hint: &str) -> String {
    match hint.split_once(": ") {
        Some(("word", word)) => say!("review-guess-word", word = word),
        Some(("copies", n)) => say!("review-guess-copies", n = n),
        Some(("size", mm)) => say!("review-guess-size", size = mm),
        Some(("before", n)) => say!("review-guess-before", number = n),
        _ => hint.to_owned(),
    }
}

/// An earlier request with the same file, or of the same part of the same team, that was refused
/// or taken down.
pub(crate) fn refused_before(
    books: &Books,
    (team, part): (&str, &str),
    blob: &BlobHash,
) -> Option<String> {
    let out = |listed: &&ListedRequest| {
        let state = listed.request.state;
        matches!(state, State::Refused | State::Recalled) || books.taken_down(&listed.request)
    };
    let same = |listed: &&ListedRequest| {
        let same_part = listed.request.team == team && listed.part == part;
        same_part || listed.blob == *blob
    };
    let found = books.requests.iter().rev().filter(out).find(same);
    found.map(|listed| format!("before: {}", listed.request.number))
}

/// The note with which a request is held, if the region wants to look at it.
#[must_use]
pub fn held(file: &RegionFile, seen: &Seen<'_>, before: Option<String>) -> Option<NewNote> {
    let trusted = file.trusted_teams.iter().any(|team| team == seen.team);
    let mut hints = guesses(seen);
    hints.extend(before);
    let guessed = !hints.is_empty();
    let reason = match file.review {
        ReviewMode::Guessed | ReviewMode::All if guessed => "guessed",
        ReviewMode::All if !trusted => "all",
        _ => return None,
    };
    Some(NewNote {
        hints,
        ..NewNote::new(NoteKind::Held, reason, "")
    })
}

#[cfg(test)]
mod tests {
    use partpledge_catalogue::Catalogue;

    use super::*;

    fn seen(file_name: &'static str) -> Seen<'static> {
        Seen {
            file_name,
            part: "part",
            team: "Newt Works",
            copies: 2,
            longest_mm: 80.0,
        }
    }

    #[test]
    fn words_are_found_whole_in_all_our_languages_and_not_inside_others() {
        for name in [
            "messer.stl",
            "mon_couteau.stl",
            "kniv2.3mf",
            "SVÄRD.stl",
            "arma.obj",
        ] {
            assert_eq!(guesses(&seen(name)).len(), 1, "{name}");
        }
        for name in [
            "gunnel.stl",
            "arm.stl",
            "armature.stl",
            "begun.stl",
            "swordfish.stl",
            "Roboter_Arme.stl",
        ] {
            assert!(guesses(&seen(name)).is_empty(), "{name}");
        }
    }

    #[test]
    fn a_guess_holds_where_the_region_wants_it_and_trust_only_helps_where_all_is_held() {
        let mut file =
            RegionFile::parse(partpledge_testbed::ambrel_valley(), &Catalogue::built_in()).unwrap();
        file.trusted_teams = vec!["Newt Works".to_owned()];
        let held = |file: &RegionFile, name| held(file, &seen(name), None).map(|note| note.reason);
        let guessed = Some("guessed".to_owned());
        for (mode, plain, knife) in [
            (ReviewMode::None, None, None),
            (ReviewMode::Guessed, None, guessed.clone()),
            (ReviewMode::All, None, guessed.clone()),
        ] {
            file.review = mode;
            assert_eq!(
                (held(&file, "a.stl"), held(&file, "knife.stl")),
                (plain, knife)
            );
        }
        file.trusted_teams.clear();
        assert_eq!(held(&file, "a.stl"), Some("all".to_owned()));
    }

    #[test]
    fn the_demos_own_parts_are_guessed_nothing_about() {
        for demo in partpledge_testbed::files() {
            let seen = Seen {
                copies: demo.copies,
                ..seen(demo.name)
            };
            assert!(guesses(&seen).is_empty(), "{}", demo.name);
        }
    }
}
