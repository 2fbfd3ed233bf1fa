//! A run that won't be done before people leave, stopped now and made again: what that would come to.

use partpledge_planning_model::{Plate, PlateSeq};
use partpledge_records::KeptPlate;

use super::Draft;
use crate::actor::Actor;
use crate::books::Books;
use crate::learning::{expected_anew, sheet_of};
use crate::replanning::Replanned;
use crate::session::Session;

/// The plate that would be made in place of one that runs, and the plan with it, if it were stopped now.
/// `None` for one that several requests share, and where no plan comes of it.
pub(crate) fn stopped_now(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
) -> Option<(Plate, Replanned)> {
    if books.company(kept).len() != 1 || kept.joins.is_some() {
        return None;
    }
    // Nothing is written: whoever does it does so in their own name.
    let draft = Draft::new(session, &Actor::at_the_machine(), books, None);
    let seq = kept.on();
    let again = draft.same_again(kept, PlateSeq(books.floor.next_seq));
    let again = draft.not_where_declined(again, kept.request);
    let again = expected_anew(&session.terrain, again, sheet_of(&session.catalogue, kept));
    let mut plates = books.floor.plates.clone();
    plates.retain(|plate| plate.seq != seq);
    plates.push(again.clone());
    let mut running = books.running();
    running.retain(|(plate, ..)| *plate != seq);
    let after = session.after(&draft.taken(kept, false), None);
    let replanned = draft.seen(&after).replanned(&plates, &running).ok()?;
    Some((again, replanned))
}
