//! A request that goes on a plate which is planned already and which nobody has started: one start
//! less for the host, and often earlier than a plate of its own.

use partpledge_planning::join::grown;
use partpledge_planning::{Ask, Ground, Join, Joinable, Quote, Way, quote_joined};
use partpledge_planning_model::{Assignment, PlaceIx, Plate};
use partpledge_records::{Floor, KeptPlate, PlateState, StoredRequest};
use partpledge_units::time::Minute;

use super::{LEVEL, Request, WORLDS, prepare};
use crate::error::WorkshopError;
use crate::estimating::{LaidPart, Process};
use crate::plate_room::{LaidItem, share_of};
use crate::plating::{Order, whole_plate};
use crate::session::Session;

/// The question whether somebody's plate has room.
pub(super) struct Joining<'a> {
    pub(super) session: &'a Session,
    pub(super) request: &'a Request<'a>,
    pub(super) floor: &'a Floor,
    /// Plates that are planned or were asked for lately.
    pub(super) known: &'a [Plate],
    /// What is asked on its own.
    pub(super) ask: &'a Ask,
    /// Where the team is.
    pub(super) to: PlaceIx,
}

/// A place on somebody's plate.
pub(super) struct Joined {
    /// The plate as it will be, the request its last rider.
    pub(super) whole: Plate,
    /// Its place in the plan.
    pub(super) place: Assignment,
    /// What is kept for the request: its copies, the makings of the whole.
    pub(super) share: Plate,
    /// The plate as the request sees it.
    pub(super) way: Way,
    /// What can be promised.
    pub(super) quote: Quote,
}

impl Joining<'_> {
    /// The place on another's plate that is handed over first, if that is no later than `by`: a
    /// start is saved even when nothing is won.
    pub(super) async fn earliest(
        &self,
        ground: &Ground<'_>,
        by: Minute,
    ) -> Result<Option<Joined>, WorkshopError> {
        let Some(alone) = self.ask.ways.iter().find(|way| way.plates.len() == 1) else {
            return Ok(None);
        };
        let alone = &alone.plates[0];
        let from = self.session.minute() + prepare(self.session, self.to);
        let open = self
            .floor
            .plates
            .iter()
            .filter(|plate| !self.prepared(plate));
        let mut search = Joinable::among(ground, &self.floor.plan, open, alone, (from, by));
        while let Some(whole) = search.next_plate() {
            if let Some(items) = self.on_it(whole).await?
                && let Some(joined) = self.joined(ground, whole, (alone, &items))?
            {
                search.offer(joined.quote.arrival, joined);
            }
        }
        Ok(search.best())
    }

    /// Whether somebody has done something for a plate already.
    fn prepared(&self, plate: &Plate) -> bool {
        let seq = plate.seq.0;
        let mut programs = self.floor.programs.iter();
        programs.any(|program| program.plate == seq)
            || self.floor.steps.iter().any(|step| step.plate == seq)
    }

    /// For each request on a plate, in order, whether nothing else of it is still to be printed.
    fn alone_on(&self, whole: &Plate) -> Vec<bool> {
        let open = || {
            let rows = self.floor.kept.iter();
            rows.filter(|row| row.state == PlateState::Open)
        };
        let on_it = open().filter(|row| row.on() == whole.seq);
        on_it
            .map(|row| open().filter(|other| other.request == row.request).count() == 1)
            .collect()
    }

    /// What lies on a plate; `None` when something on it is made by another sheet.
    async fn on_it(&self, whole: &Plate) -> Result<Option<Vec<LaidItem>>, WorkshopError> {
        let (store, region) = self.session.writable()?;
        let mut items = Vec::new();
        let rows = self.floor.kept.iter();
        for row in rows.filter(|row| row.on() == whole.seq && row.state == PlateState::Open) {
            let request = store.request(region, row.request).await?;
            let Some(request) = request.filter(|request| self.by_the_same_sheet(row, request))
            else {
                return Ok(None);
            };
            let copies = store.copies(region, row.request).await?;
            items.extend(share_of(self.session, row, (&request, &copies)).await?);
        }
        Ok((!items.is_empty()).then_some(items))
    }

    fn by_the_same_sheet(&self, row: &KeptPlate, request: &StoredRequest) -> bool {
        let own = &self.request.process;
        let process = Process::of_request(&self.session.catalogue, request);
        row.sheet.as_ref() == Some(&own.sheet.code)
            && process.is_ok_and(|(process, _)| process.key() == own.key())
    }

    /// The plate with the request on it, timed and laid out anew, and what it means for all.
    fn joined(
        &self,
        ground: &Ground<'_>,
        whole: &Plate,
        (alone, items): (&Plate, &[LaidItem]),
    ) -> Result<Option<Joined>, WorkshopError> {
        let there = items.iter().map(LaidItem::part);
        let parts: Vec<&LaidPart> = there.chain(self.request.parts).collect();
        let own = self.request.copies as usize;
        let there = items.iter().map(|item| item.copies);
        let counts: Vec<usize> = there
            .chain(self.request.parts.iter().map(|_| own))
            .collect();
        let order = Order {
            parts: &parts,
            copies: 1,
            process: self.request.process,
            to: self.to,
            release: alone.release,
            next_seq: self.floor.next_seq,
            wish: alone.wish,
        };
        let Some(together) = whole_plate(self.session, &order, &counts)? else {
            return Ok(None);
        };
        let share = Plate {
            seq: together.seq,
            makings: together.makings,
            ..alone.clone()
        };
        let grown = grown(whole, &share);
        let join = Join {
            plate: grown,
            alone: self.alone_on(whole),
            level: LEVEL,
            now: self.session.minute(),
            seed: self.request.seed,
            worlds: WORLDS,
        };
        let found = quote_joined(ground, self.known, &self.floor.plan, &join);
        Ok(found.map(|(quote, place)| {
            let seen = join.plate.riders.last();
            let seen = seen.map_or_else(|| join.plate.clone(), |last| join.plate.seen_by(last));
            Joined {
                way: Way {
                    label: format!("with plate {}", whole.seq.0),
                    plates: vec![seen],
                },
                whole: join.plate,
                place,
                share,
                quote,
            }
        }))
    }
}
