//! Several requests on one plate: what is kept row by row, put together as it is printed.

use std::collections::BTreeMap;

use partpledge_planning_model::{Making, Plate, PlateSeq, Rider};

use crate::floor::Floor;
use crate::plates::{KeptPlate, PlateState};

/// The plates that are to be printed or being printed, and all others, both in order of number.
///
/// Whoever joined last has written down how long the whole plate takes and what room it needs, so
/// every row of the plate is given the makings of the last that was not called back. A plate whose
/// own request was called back is still printed for those that joined it.
#[must_use]
pub fn printed_together(kept: &mut [KeptPlate]) -> (Vec<Plate>, Vec<Plate>) {
    let mut rows: BTreeMap<PlateSeq, Vec<usize>> = BTreeMap::new();
    for (i, row) in kept.iter().enumerate() {
        rows.entry(row.on()).or_default().push(i);
    }
    let (mut open, mut past) = (Vec::new(), Vec::new());
    for (seq, rows) in rows {
        if rows.len() > 1 {
            share_makings(kept, &rows);
        }
        let on_it = rows.iter().map(|&i| &kept[i]);
        let on_it: Vec<&KeptPlate> = on_it.filter(|row| row.state == PlateState::Open).collect();
        match on_it.split_first() {
            Some((first, others)) => open.push(together(seq, first, others)),
            None => past.push(kept[rows[0]].plate.clone()),
        }
    }
    (open, past)
}

fn share_makings(kept: &mut [KeptPlate], rows: &[usize]) {
    let mut stays = rows.iter().rev().copied();
    let last = stays.find(|&i| kept[i].state != PlateState::Withdrawn);
    let makings = kept[last.unwrap_or(rows[0])].own.clone();
    for &i in rows {
        kept[i].plate.makings.clone_from(&makings);
    }
}

impl Floor {
    /// Makings of the whole plate of that number as they were written down, from our own lines.
    #[must_use]
    pub fn own_makings(&self, plate: PlateSeq) -> &[Making] {
        let on_it = |row: &&KeptPlate| row.on() == plate && row.state != PlateState::Withdrawn;
        let last = self.kept.iter().rfind(on_it);
        last.map_or(&[], |row| &row.own)
    }
}

/// The plate as planning sees it: that of the first row, the others riding on it.
fn together(seq: PlateSeq, first: &KeptPlate, others: &[&KeptPlate]) -> Plate {
    let mut whole = Plate {
        seq,
        ..first.plate.clone()
    };
    for row in others {
        let plate = &row.plate;
        whole.label = format!("{} and {}", whole.label, plate.label);
        whole.release = whole.release.max(plate.release);
        whole.grams += plate.grams;
        whole.riders.push(Rider {
            to: plate.to,
            copies: plate.copies,
            promise: plate.promise,
            wish: plate.wish,
        });
    }
    whole
}

#[cfg(test)]
mod tests {
    use partpledge_planning_model::{Footprint, PlaceIx, PrinterIx, Wish};
    use partpledge_units::ids::{IdSource, RequestId, VersionId};
    use partpledge_units::time::{EventMs, Minute, Minutes};

    use super::*;

    fn row(seq: u64, joins: Option<u64>, state: PlateState) -> KeptPlate {
        let minutes = Minutes(60 * i64::try_from(seq).unwrap());
        let making = Making::new(PrinterIx(0), Footprint([9.0; 3]), minutes, minutes);
        let mut ids = IdSource::seeded(seq);
        KeptPlate {
            plate: Plate {
                seq: PlateSeq(seq),
                label: format!("part {seq}"),
                material: "PLA".to_owned(),
                makings: vec![making],
                release: Minute(i64::try_from(seq).unwrap()),
                to: PlaceIx(usize::try_from(seq).unwrap()),
                copies: 1,
                promise: None,
                grams: 10,
                wish: Wish::default(),
                riders: Vec::new(),
            },
            own: vec![making],
            state,
            request: RequestId::fresh(&mut ids, EventMs(0)),
            version: VersionId::fresh(&mut ids, EventMs(0)),
            sheet: None,
            joins: joins.map(PlateSeq),
        }
    }

    #[test]
    fn those_on_one_plate_are_printed_as_one_as_the_last_to_join_left_it() {
        use PlateState::Open;
        let mut kept = [
            row(1, None, Open),
            row(2, None, Open),
            row(3, Some(1), Open),
        ];
        let (open, past) = printed_together(&mut kept);
        assert_eq!((open.len(), past.len()), (2, 0));
        assert_eq!(open[0].seq, PlateSeq(1));
        assert_eq!((open[0].to, open[0].riders[0].to), (PlaceIx(1), PlaceIx(3)));
        assert_eq!((open[0].grams, open[0].release), (20, Minute(3)));
        assert_eq!(open[0].label, "part 1 and part 3");
        assert_eq!(open[0].makings[0].nominal, Minutes(180));
        assert_eq!(kept[0].plate.makings, open[0].makings);
        assert_eq!(kept[0].own[0].nominal, Minutes(60), "as it was written");
        assert_eq!(open[1].makings[0].nominal, Minutes(120));
    }

    #[test]
    fn a_plate_is_printed_as_long_as_somebody_is_left_on_it() {
        use PlateState::{Open, Withdrawn};
        // The last to join is called back: the plate is as it was before.
        let mut kept = [row(1, None, Open), row(3, Some(1), Withdrawn)];
        let (open, _) = printed_together(&mut kept);
        assert!(open[0].riders.is_empty());
        assert_eq!(open[0].makings[0].nominal, Minutes(60));
        // Its own request is called back: it is printed for the others, under its number.
        let mut kept = [row(1, None, Withdrawn), row(3, Some(1), Open)];
        let (open, past) = printed_together(&mut kept);
        assert_eq!((open.len(), past.len()), (1, 0));
        assert_eq!((open[0].seq, open[0].to), (PlateSeq(1), PlaceIx(3)));
        let mut kept = [row(1, None, Withdrawn), row(3, Some(1), Withdrawn)];
        let (open, past) = printed_together(&mut kept);
        assert_eq!((open.len(), past.len()), (0, 1));
        assert_eq!(past[0].seq, PlateSeq(1));
    }
}
