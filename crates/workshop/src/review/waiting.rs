//! What waits for the coordinator's word, counted.

use partpledge_records::{ListedRequest, NoteKind, State};

use crate::books::Books;
use crate::doubts::open_doubts;
use crate::recalls::{Recall, recalls};

/// What waits for the coordinator's word.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Waiting {
    /// Parts that are held and were not looked at yet.
    pub held: usize,
    /// Parts that were refused and are to have a second look.
    pub appeals: usize,
    /// Parts that somebody reported.
    pub reports: usize,
    /// Boxes that somebody says something is wrong with.
    pub boxes: usize,
    /// Recalls of which something is still to be checked.
    pub recalls: usize,
}

impl Waiting {
    /// As it stands on record.
    #[must_use]
    pub fn of(books: &Books) -> Self {
        let appealed = |listed: &&ListedRequest| {
            let mut notes = books.notes(listed.request.id).iter();
            notes.any(|note| note.said.kind == NoteKind::Appealed)
        };
        let held = books.requests.iter();
        let held = held.filter(|listed| listed.request.state == State::HeldForReview);
        let (appeals, held): (Vec<_>, Vec<_>) = held.partition(appealed);
        let reported = books.requests.iter();
        let reported = reported.filter(|listed| !books.open_reports(listed.request.id).is_empty());
        Self {
            held: held.len(),
            appeals: appeals.len(),
            reports: reported.count(),
            boxes: open_doubts(books).len(),
            recalls: recalls(books)
                .iter()
                .filter(|one| Recall::open(one))
                .count(),
        }
    }

    /// All of it.
    #[must_use]
    pub fn total(self) -> usize {
        self.held + self.appeals + self.reports + self.boxes + self.recalls
    }
}
