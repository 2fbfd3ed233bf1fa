//! The label of a box, and what can be done with it.

use askama::Template;
use partpledge_records::{KeptPlate, ListedRequest};
use partpledge_words::say;
use partpledge_workshop::boxes::BoxLine;
use partpledge_workshop::{Role, Session, place_says};

use super::boxes::{stop_says, way};
use crate::figures::qr::{Qr, qr};
use crate::who::Head;
use crate::words;

/// The page that a box's label leads to.
#[derive(Template)]
#[template(path = "box_label.html")]
pub(crate) struct BoxLabelPage {
    pub(crate) head: Head,
    pub(crate) share: u64,
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) copies: String,
    pub(crate) part: String,
    pub(crate) team: String,
    pub(crate) place: String,
    pub(crate) from: String,
    /// What is done with it next: an address, and words for it.
    pub(crate) next: Option<(String, String)>,
    pub(crate) qr: Option<Qr>,
}

impl BoxLabelPage {
    pub(crate) fn new(
        head: Head,
        session: &Session,
        (kept, listed, closed): (&KeptPlate, &ListedRequest, Option<&BoxLine>),
        (role, hands): (&Role, bool),
        address: &str,
    ) -> Self {
        let share = kept.plate.seq.0;
        let (zone, now) = (&session.terrain.zone, session.minute());
        let place = session.terrain.region.places.get(kept.plate.to.0);
        let copies = closed.map_or(i64::from(kept.plate.copies), |line| {
            i64::try_from(line.copies).unwrap_or(0)
        });
        let handed = closed.and_then(|line| line.handed);
        let lead = match (closed, handed) {
            (None, _) => say!("boxes-not-closed"),
            (Some(_), Some((at, _))) => {
                say!("boxes-team-has-it", at = words::time(zone, at, now))
            }
            (Some(line), None) if line.copies == 0 => say!("boxes-nothing-in-it"),
            (Some(line), None) => stop_says(line).unwrap_or_else(|| way(session, line)),
        };
        let goes = closed.is_some_and(|line| line.stopped.is_none() && line.copies > 0);
        let open = goes && handed.is_none() && hands;
        let next = match (role, closed) {
            (Role::Host(code), Some(_)) if open => Some((
                format!("/run-sheets/{code}/boxes"),
                say!("boxes-hand-or-say"),
            )),
            (_, Some(_)) if open => Some(("/boxes".to_owned(), say!("boxes-hand-or-say"))),
            (Role::Host(code), None) if hands => {
                Some((format!("/run-sheets/{code}"), say!("boxes-open-sheet")))
            }
            _ => None,
        };
        Self {
            share,
            title: say!("boxes-n", share = share),
            lead,
            copies: words::copies(copies),
            part: listed.part.clone(),
            team: listed.request.team.clone(),
            place: place.map_or_else(String::new, |place| place_says(&place.name)),
            from: closed.map_or_else(String::new, |line| line.host_name.clone()),
            next,
            qr: qr(address),
            head,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn a_label_renders_with_and_without_something_to_do() {
        let next = Some(("/boxes".to_owned(), "Hand it over".to_owned()));
        for next in [next, None] {
            let acts = next.is_some();
            let made = BoxLabelPage {
                head: head(),
                share: 214,
                title: "Box 214".to_owned(),
                lead: "At Brindlemoor School.".to_owned(),
                copies: "4 copies".to_owned(),
                part: AWKWARD.to_owned(),
                team: AWKWARD.to_owned(),
                place: "Marrowby High".to_owned(),
                from: String::new(),
                next,
                qr: qr("http://localhost:8717/boxes/214"),
            };
            let made = made.render().unwrap();
            sound(&made);
            assert_eq!(made.contains("href=\"/boxes\""), acts);
            assert!(made.contains("QR code that leads to the page of box 214"));
        }
    }
}
