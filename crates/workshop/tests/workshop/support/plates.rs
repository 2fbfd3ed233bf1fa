//! Plates of a request that are still to come off the bed.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use partpledge_records::PlateState;
use partpledge_units::time::Minute;
use partpledge_workshop::Books;
use partpledge_workshop::sending::Received;

/// Numbers of the open plates of a request with start and end, in order of start.
pub(crate) fn open_plates(books: &Books, request: &Received) -> Vec<(u64, Minute, Minute)> {
    let open = books.plates_of(request.request.id);
    let open = open.filter(|kept| kept.state == PlateState::Open);
    let mut open: Vec<(u64, Minute, Minute)> = open
        .map(|kept| {
            let place = books.place(kept).unwrap();
            (kept.plate.seq.0, place.start, place.end)
        })
        .collect();
    open.sort_by_key(|(seq, start, _)| (*start, *seq));
    open
}
