//! A host does not make a plate, or the coordinator takes a request down: the plan without it.

use partpledge_planning_model::{Plate, PlateSeq};
use partpledge_records::{
    Happening, KeptPlate, ListedRequest, NewNote, NoteKind, PlateState, PledgeEnd, Reprint, Said,
    State, StoreError,
};
use partpledge_units::ids::RequestId;
use partpledge_words::said;

use super::draft::{Draft, and_moved};
use super::{Done, no_plate};
use crate::error::WorkshopError;
use crate::learning::{expected_anew, sheet_of};
use crate::review::{Decline, clean};

impl Draft<'_> {
    /// A plate that was not started goes to another host; those that shared it each get a plate of
    /// their own. Promises are planned for as after a failure.
    pub(super) async fn declined(
        &self,
        kept: &KeptPlate,
        (why, words): (Decline, &str),
    ) -> Result<(Happening, Done), WorkshopError> {
        if self.books.whole(kept).is_none() || self.books.runs(kept) {
            let (from, to) = (State::Running, State::Pledged);
            return Err(StoreError::NoSuchStep { from, to }.into());
        }
        let seq = kept.on();
        let host = self.host_of(kept).ok_or_else(|| no_plate(seq.0))?;
        let reprints = self.elsewhere(kept, &host).await?;
        let mut plates = self.books.floor.plates.clone();
        plates.retain(|plate| plate.seq != seq);
        plates.extend(reprints.iter().map(|reprint| reprint.plate.clone()));
        let replanned = self.replanned(&plates, &self.books.running())?;
        let done = Done::of(&replanned);
        let note = NewNote {
            hints: vec![format!("host: {host}"), format!("plate: {}", seq.0)],
            ..NewNote::new(NoteKind::Declined, why.code(), &clean(words))
        };
        let company = self.books.company(kept);
        let reason = and_moved(said!("promises-plan-other-school", plate = seq.0), &done);
        let payload = vec![
            ("plate", Said::Numbers(vec![seq.0])),
            ("host", Said::Text(host)),
            ("reason", Said::Text(why.code().to_owned())),
        ];
        let happening = Happening {
            closed: (company.iter())
                .map(|row| (row.plate.seq.0, PlateState::Withdrawn))
                .collect(),
            notes: (company.iter())
                .map(|row| (row.request, note.clone()))
                .collect(),
            reprints,
            plan: Some((replanned.plan, reason)),
            ..self.event("plate.declined", payload)
        };
        Ok((happening, done))
    }

    /// Code of the host where a plate is planned.
    fn host_of(&self, kept: &KeptPlate) -> Option<String> {
        let place = self.books.place(kept)?;
        let terrain = &self.session.terrain;
        let code = terrain.host_code_at(place.printer, place.start);
        code.map(str::to_owned)
    }

    /// The plates that take the place of a declined one.
    async fn elsewhere(&self, kept: &KeptPlate, host: &str) -> Result<Vec<Reprint>, WorkshopError> {
        let company = self.books.company(kept);
        let mut out: Vec<Reprint> = Vec::new();
        for row in &company {
            let seq = PlateSeq(self.books.floor.next_seq + out.len() as u64);
            let copies = self.copies(row);
            let again = if company.len() == 1 && row.joins.is_none() {
                self.same_again(row, seq)
            } else {
                self.smaller(row, &copies, seq).await?
            };
            let mut hosts = self.books.declined_by(row.request);
            hosts.push(host);
            let again = self.without_hosts(again, &hosts);
            if again.makings.is_empty() {
                return Err(WorkshopError::NobodyElse { plate: kept.on().0 });
            }
            let sheet = sheet_of(&self.session.catalogue, row);
            out.push(Reprint {
                plate: expected_anew(&self.session.terrain, again, sheet),
                request: row.request,
                version: row.version,
                copies: copies.iter().map(|copy| copy.id).collect(),
            });
        }
        Ok(out)
    }

    /// The plate without the printers of some hosts. A printer that travels counts where it is now.
    fn without_hosts(&self, plate: Plate, hosts: &[&str]) -> Plate {
        let terrain = &self.session.terrain;
        let names: Vec<&str> = (hosts.iter())
            .filter_map(|code| terrain.file.school(code))
            .map(|school| school.name.as_str())
            .collect();
        let now = self.session.minute();
        let mut makings = plate.makings;
        makings.retain(|making| !names.contains(&terrain.host_at(making.printer, now)));
        Plate { makings, ..plate }
    }

    /// The plate without the printers of those who declined it, if any are left then: better late
    /// at theirs than never.
    pub(super) fn not_where_declined(&self, plate: Plate, request: RequestId) -> Plate {
        let hosts = self.books.declined_by(request);
        if hosts.is_empty() {
            return plate;
        }
        let without = self.without_hosts(plate.clone(), &hosts);
        if without.makings.is_empty() {
            plate
        } else {
            without
        }
    }

    /// A request is taken down, with all of its team that have the same file: what was not started
    /// makes room, and pledges end that have not.
    pub(super) fn taken_down(
        &self,
        request: RequestId,
        end: PledgeEnd,
        note: &NewNote,
    ) -> Result<(Happening, Done), WorkshopError> {
        let listed = self.books.request(request).ok_or(WorkshopError::NotYours)?;
        let may = |listed: &ListedRequest| {
            let next = listed.request.state.next();
            next.contains(&State::Recalled)
        };
        let own = |one: &&ListedRequest| one.request.team == listed.request.team && may(one);
        let mut all = vec![listed];
        all.extend(self.books.same_file(listed).filter(own));
        let plates = all
            .iter()
            .flat_map(|one| self.books.plates_of(one.request.id));
        let waiting = |kept: &&KeptPlate| kept.state == PlateState::Open && !self.books.runs(kept);
        let open: Vec<&KeptPlate> = plates.filter(waiting).collect();
        let (plan, done) = self.plan_without(&open)?;
        let on_them = open.iter().flat_map(|kept| self.copies(kept));
        let on_them = on_them.filter(|copy| copy.state == State::Pledged);
        let number = listed.request.number;
        let reason = match all.len() - 1 {
            0 => said!("promises-plan-taken-down", number = number),
            n => said!("promises-plan-taken-down-too", number = number, n = n),
        };
        let reason = and_moved(reason, &done);
        let promised = all
            .iter()
            .filter_map(|one| self.books.pledge_of(one.request.id));
        let promised = promised.filter(|promised| promised.end.is_none());
        let also = all[1..].iter().map(|one| one.request.number);
        let also = also.filter_map(|number| u64::try_from(number).ok());
        let payload = vec![
            ("request", Said::Text(request.to_string())),
            ("reason", Said::Text(note.reason.clone())),
            ("also", Said::Numbers(also.collect())),
        ];
        let happening = Happening {
            copies: on_them.map(|copy| (copy.id, State::Withdrawn)).collect(),
            requests: (all.iter().filter(|one| may(one)))
                .map(|one| (one.request.id, State::Recalled))
                .collect(),
            closed: (open.iter())
                .map(|kept| (kept.plate.seq.0, PlateState::Withdrawn))
                .collect(),
            ends: promised.map(|promised| (promised.pledge.id, end)).collect(),
            notes: (all.iter())
                .map(|one| (one.request.id, note.clone()))
                .collect(),
            plan: (!open.is_empty()).then_some((plan, reason)),
            ..self.event("request.taken-down", payload)
        };
        Ok((happening, done))
    }
}
