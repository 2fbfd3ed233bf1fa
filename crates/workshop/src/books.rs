//! Everything on record about a region at one moment, looked up in many ways.

use std::collections::{BTreeMap, BTreeSet};

use partpledge_planning::{Ground, Outlook, Standing, started_at};
use partpledge_planning_model::{Assignment, Plate, PlateSeq};
use partpledge_quality::CriticalDimension;
use partpledge_records::stored::PledgeDocument;
use partpledge_records::{
    BlobHash, Floor, KeptPlate, ListedCopy, ListedRequest, Measured, Note, NoteKind, PlateState,
    Pledge, PledgeEntry, PledgeKind, RunStep, State, StepKind, StoredCopy, StoredRequest,
};
use partpledge_units::ids::{CopyId, PledgeId, RequestId, VersionId};
use partpledge_units::time::{EventMs, Minute};

use crate::actor::Actor;
use crate::boxes;
use crate::doubts::open_doubt;
use crate::error::WorkshopError;
use crate::measuring;
use crate::recalls::lifted_in;
use crate::session::Session;

mod running;

pub(crate) use running::{Run, began};

/// A pledge with its words.
#[derive(Clone, Debug)]
pub struct Promised {
    /// As recorded.
    pub pledge: Pledge,
    /// As answered.
    pub document: PledgeDocument,
    /// How it ended, and when that was recorded.
    pub end: Option<PledgeEntry>,
}

/// Everything on record, at one moment.
#[derive(Clone, Debug)]
pub struct Books {
    /// Number of an entry of the log that is in them for sure; later ones may be.
    pub entry: i64,
    /// Plan, plates, steps.
    pub floor: Floor,
    /// Requests, in order of number.
    pub requests: Vec<ListedRequest>,
    /// Copies by request, in order of number.
    copies: BTreeMap<RequestId, Vec<StoredCopy>>,
    /// Pledges by request.
    pledges: BTreeMap<RequestId, Promised>,
    /// Notes by request, in the order in which they were written.
    notes: BTreeMap<RequestId, Vec<Note>>,
    /// Critical dimensions by request, in their order.
    pub(crate) dimensions: BTreeMap<RequestId, Vec<CriticalDimension>>,
    /// What was measured by copy, in the order in which it was.
    pub(crate) measured: BTreeMap<CopyId, Vec<Measured>>,
    /// Codes of boxes, by the number of what is in them.
    box_codes: BTreeMap<u64, String>,
    /// Versions whose file was taken down, with whichever request of the team.
    down: BTreeSet<VersionId>,
    /// Positions of requests in the list.
    places: BTreeMap<RequestId, usize>,
    /// Positions of steps on the floor; each kind is taken once with a plate.
    steps: BTreeMap<(u64, StepKind), usize>,
    /// Positions of plates on the floor by request, in order of number.
    plates: BTreeMap<RequestId, Vec<usize>>,
    /// Positions of all that lie on a plate which others have joined.
    company: BTreeMap<PlateSeq, Vec<usize>>,
    /// Plates that several share, as each of them sees it: under the number that is printed.
    joined: BTreeMap<PlateSeq, Plate>,
    /// Recalls that were lifted, by entry, and when.
    lifted: BTreeMap<i64, EventMs>,
}

impl Books {
    /// Reads them.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn open(session: &Session) -> Result<Self, WorkshopError> {
        let (store, region) = session.writable()?;
        // Read first: whoever waits for later entries misses nothing.
        let entry = store.last_entry(region).await?;
        let floor = session.floor().await?;
        let requests = store.requests(region).await?;
        let mut copies: BTreeMap<RequestId, Vec<StoredCopy>> = BTreeMap::new();
        for ListedCopy { request, copy } in store.all_copies(region).await? {
            copies.entry(request).or_default().push(copy);
        }
        let ends: BTreeMap<PledgeId, PledgeEntry> =
            store.pledge_ends(region).await?.into_iter().collect();
        let mut pledges = BTreeMap::new();
        for pledge in store.pledges(region).await? {
            let document = PledgeDocument::from_text(&pledge.document)?;
            let end = ends.get(&pledge.id).cloned();
            let (request, promised) = (
                pledge.request,
                Promised {
                    pledge,
                    document,
                    end,
                },
            );
            pledges.insert(request, promised);
        }
        let mut notes: BTreeMap<RequestId, Vec<Note>> = BTreeMap::new();
        for note in store.notes(region).await? {
            notes.entry(note.request).or_default().push(note);
        }
        let mut dimensions: BTreeMap<RequestId, Vec<CriticalDimension>> = BTreeMap::new();
        for (request, one) in store.critical_dimensions(region).await? {
            dimensions.entry(request).or_default().push(one);
        }
        let measured = measuring::by_copy(store.measured(region).await?);
        let box_codes = store.box_codes(region).await?.into_iter().collect();
        let down = taken_down(&requests, &notes);
        let lifted = lifted_in(notes.values().flatten());
        let numbered = |(i, listed): (usize, &ListedRequest)| (listed.request.id, i);
        let places = requests.iter().enumerate().map(numbered).collect();
        let mut steps = BTreeMap::new();
        for (i, step) in floor.steps.iter().enumerate() {
            steps.entry((step.plate, step.kind)).or_insert(i);
        }
        let mut plates: BTreeMap<RequestId, Vec<usize>> = BTreeMap::new();
        let mut company: BTreeMap<PlateSeq, Vec<usize>> = BTreeMap::new();
        for (i, kept) in floor.kept.iter().enumerate() {
            plates.entry(kept.request).or_default().push(i);
            company.entry(kept.on()).or_default().push(i);
        }
        company.retain(|_, rows| rows.len() > 1);
        let joined = seen_by_each(&floor, &company);
        Ok(Self {
            entry,
            floor,
            requests,
            copies,
            pledges,
            notes,
            dimensions,
            measured,
            box_codes,
            down,
            places,
            steps,
            plates,
            company,
            joined,
            lifted,
        })
    }

    /// When a recall was lifted, if it was.
    #[must_use]
    pub(crate) fn recall_lifted(&self, entry: i64) -> Option<EventMs> {
        self.lifted.get(&entry).copied()
    }

    /// A request.
    #[must_use]
    pub fn request(&self, id: RequestId) -> Option<&ListedRequest> {
        self.places.get(&id).map(|&i| &self.requests[i])
    }

    /// The request of that number.
    #[must_use]
    pub fn numbered(&self, number: i64) -> Option<&ListedRequest> {
        self.requests.iter().find(|r| r.request.number == number)
    }

    /// The notes on a request, in the order in which they were written.
    #[must_use]
    pub fn notes(&self, request: RequestId) -> &[Note] {
        self.notes.get(&request).map_or(&[], Vec::as_slice)
    }

    /// The code of a box, once it is closed; none for those closed before boxes had codes. It is the
    /// team's: whoever hands the box over must not see it.
    #[must_use]
    pub fn box_code(&self, actor: &Actor, kept: &KeptPlate) -> Option<&str> {
        let listed = self.request(kept.request)?;
        actor.must_be_of(&listed.request.team).ok()?;
        // What is taken down is handed to nobody.
        if self.taken_down(&listed.request) {
            return None;
        }
        self.code_of_box(kept)
    }

    /// The code of a box, to be compared.
    pub(crate) fn code_of_box(&self, kept: &KeptPlate) -> Option<&str> {
        let seq = kept.plate.seq.0;
        self.step(seq, StepKind::Boxed)?;
        self.box_codes.get(&seq).map(String::as_str)
    }

    /// How many notes of a kind a request has.
    fn noted(&self, request: RequestId, kind: NoteKind) -> usize {
        let notes = self.notes(request).iter();
        notes.filter(|note| note.said.kind == kind).count()
    }

    /// Whether the file of a request was taken down, with this request or another of the team: read
    /// in another unit or under another name, it is the same file.
    #[must_use]
    pub fn taken_down(&self, request: &StoredRequest) -> bool {
        self.down.contains(&request.version)
    }

    /// Whether something that lies on a plate was taken down.
    #[must_use]
    pub fn carries_down(&self, kept: &KeptPlate) -> bool {
        let rows = self.company(kept);
        let mut listed = rows.iter().filter_map(|row| self.request(row.request));
        listed.any(|listed| self.taken_down(&listed.request))
    }

    /// The last request of a team whose file this is and was taken down.
    #[must_use]
    pub fn file_down(&self, team: &str, blob: &BlobHash) -> Option<&ListedRequest> {
        let same = |listed: &&ListedRequest| listed.request.team == team && listed.blob == *blob;
        let mut own = self.requests.iter().rev().filter(same);
        own.find(|listed| self.taken_down(&listed.request))
    }

    /// Other requests with the very same file, whoever sent them, in order of number.
    pub fn same_file<'a>(
        &'a self,
        listed: &'a ListedRequest,
    ) -> impl Iterator<Item = &'a ListedRequest> {
        let other = |one: &&ListedRequest| one.request.id != listed.request.id;
        let all = self.requests.iter().filter(other);
        all.filter(|one| one.blob == listed.blob)
    }

    /// The requests whose place one takes, the last first: the one it was sent for, the one that was
    /// sent for, and so on.
    #[must_use]
    pub fn replaced_by(&self, request: &StoredRequest) -> Vec<RequestId> {
        let before = |id: &RequestId| self.request(*id)?.request.replaces;
        std::iter::successors(request.replaces, before).collect()
    }

    /// Whether the team may ask for a second look: it was refused, and has not asked before.
    #[must_use]
    pub fn may_appeal(&self, request: RequestId) -> bool {
        let state = self.request(request).map(|listed| listed.request.state);
        state == Some(State::Refused) && self.noted(request, NoteKind::Appealed) == 0
    }

    /// Reports of a part that nobody has looked at yet, oldest first.
    #[must_use]
    pub fn open_reports(&self, request: RequestId) -> Vec<&Note> {
        let notes = self.notes(request);
        let looked = |note: &Note| matches!(note.said.kind, NoteKind::KeptUp | NoteKind::TakenDown);
        let after = notes.iter().rposition(looked).map_or(0, |at| at + 1);
        let open = notes[after..].iter();
        open.filter(|note| note.said.kind == NoteKind::Reported)
            .collect()
    }

    /// Codes of the hosts that do not make a request.
    #[must_use]
    pub fn declined_by(&self, request: RequestId) -> Vec<&str> {
        let notes = self.notes(request).iter();
        let declined = notes.filter(|note| note.said.kind == NoteKind::Declined);
        let hints = declined.flat_map(|note| &note.said.hints);
        hints
            .filter_map(|hint| hint.strip_prefix("host: "))
            .collect()
    }

    /// The copies of a request.
    #[must_use]
    pub fn copies(&self, request: RequestId) -> &[StoredCopy] {
        self.copies.get(&request).map_or(&[], Vec::as_slice)
    }

    /// Copies of a request that its team has.
    #[must_use]
    pub fn handed_over(&self, request: RequestId) -> usize {
        let copies = self.copies(request).iter();
        copies
            .filter(|copy| copy.state == State::HandedOver)
            .count()
    }

    /// Whether no copy of a request is to come any more once these are gone: its team has the others, or
    /// they were called back for good, or are not printed any more.
    pub fn nothing_left(&self, request: RequestId, gone: impl Fn(&StoredCopy) -> bool) -> bool {
        let over = |copy: &StoredCopy| {
            matches!(
                copy.state,
                State::HandedOver | State::Recalled | State::Withdrawn
            )
        };
        let mut copies = self.copies(request).iter();
        copies.all(|copy| over(copy) || gone(copy))
    }

    /// The copies on a plate, or from it; those that were called back for good are nowhere any more.
    pub fn copies_on(&self, plate: &KeptPlate) -> impl Iterator<Item = &StoredCopy> {
        let seq = plate.plate.seq.0;
        self.copies(plate.request)
            .iter()
            .filter(move |copy| copy.plate == seq && copy.state != State::Recalled)
    }

    /// The pledge of a request.
    #[must_use]
    pub fn pledge_of(&self, request: RequestId) -> Option<&Promised> {
        self.pledges.get(&request)
    }

    /// Pledges that have not ended, by hand-over promised and number of their request.
    #[must_use]
    pub fn open_pledges(&self) -> Vec<(&ListedRequest, &Promised)> {
        let all = self.requests.iter();
        let with = all.filter_map(|r| Some((r, self.pledge_of(r.request.id)?)));
        let mut open: Vec<_> = with
            .filter(|(_, promised)| promised.end.is_none())
            .collect();
        open.sort_by_key(|(r, promised)| (promised.pledge.arrival, r.request.number));
        open
    }

    /// A plate.
    #[must_use]
    pub fn plate(&self, seq: u64) -> Option<&KeptPlate> {
        let kept = &self.floor.kept;
        let at = kept.binary_search_by_key(&seq, |k| k.plate.seq.0);
        at.ok().map(|i| &kept[i])
    }

    /// Everything that lies on the same plate, in order of number: itself alone, for most. What was
    /// called back is not on it.
    #[must_use]
    pub fn company<'a>(&'a self, kept: &'a KeptPlate) -> Vec<&'a KeptPlate> {
        let Some(rows) = self.company.get(&kept.on()) else {
            return vec![kept];
        };
        let rows = rows.iter().map(|&i| &self.floor.kept[i]);
        rows.filter(|row| row.state != PlateState::Withdrawn)
            .collect()
    }

    /// The row that speaks for a plate: its own, or the first of those still on it when its own request
    /// was called back. The plate keeps its number then.
    #[must_use]
    pub fn speaks_for<'a>(&'a self, kept: &'a KeptPlate) -> &'a KeptPlate {
        if kept.state != PlateState::Withdrawn {
            return kept;
        }
        self.company(kept).first().copied().unwrap_or(kept)
    }

    /// The whole plate that it lies on, if that is to be printed or being printed.
    #[must_use]
    pub fn whole(&self, kept: &KeptPlate) -> Option<&Plate> {
        let plates = &self.floor.plates;
        let at = plates.binary_search_by_key(&kept.on(), |plate| plate.seq);
        at.ok().map(|i| &plates[i])
    }

    /// Where the plate that it lies on has its place in the plan. The hand-over in it is that of the
    /// plate's first request.
    #[must_use]
    pub fn place(&self, kept: &KeptPlate) -> Option<&Assignment> {
        self.floor.plan.of(kept.on())
    }

    /// A plate as the request on it sees it: under the number that it is printed with, with the
    /// request's own way and promise.
    #[must_use]
    pub fn seen<'a>(&'a self, kept: &'a KeptPlate) -> &'a Plate {
        self.joined.get(&kept.plate.seq).unwrap_or(&kept.plate)
    }

    /// As [`Books::place`], with the hand-over of the request's own copies.
    #[must_use]
    pub fn own_place(&self, ground: &Ground<'_>, kept: &KeptPlate) -> Option<Assignment> {
        let place = *self.place(kept)?;
        let site = ground.stand_at(place.printer, place.start).site;
        let arrives = ground.arrival(site, kept.plate.to, place.ready);
        Some(Assignment {
            arrives: arrives.unwrap_or(place.arrives),
            ..place
        })
    }

    /// As if these had never been started, for a question.
    pub(crate) fn without_start(&mut self, plates: &[PlateSeq]) {
        for plate in plates {
            self.steps.remove(&(plate.0, StepKind::Started));
        }
    }

    /// Every plate in every form that is kept of it, for a question about its makings.
    pub(crate) fn each_plate(&mut self) -> impl Iterator<Item = &mut Plate> {
        let kept = self.floor.kept.iter_mut().map(|kept| &mut kept.plate);
        kept.chain(&mut self.floor.plates)
            .chain(self.joined.values_mut())
    }

    /// All plates made for a request, in order of number.
    pub fn plates_of(&self, request: RequestId) -> impl Iterator<Item = &KeptPlate> {
        let own = self.plates.get(&request).into_iter().flatten();
        own.map(|&i| &self.floor.kept[i])
    }

    /// A step taken with a plate. What joined another is started and taken off with that.
    #[must_use]
    pub fn step(&self, plate: u64, kind: StepKind) -> Option<&RunStep> {
        let printed = match kind {
            StepKind::Started | StepKind::Looked | StepKind::Off | StepKind::Failed => {
                let joined = self.joined.get(&PlateSeq(plate));
                joined.map_or(plate, |joined| joined.seq.0)
            }
            StepKind::Boxed | StepKind::Left | StepKind::HandedOver => plate,
        };
        let at = self.steps.get(&(printed, kind));
        at.map(|&i| &self.floor.steps[i])
    }

    /// Whether a plate, or the one that it joined, runs at present.
    #[must_use]
    pub fn runs(&self, kept: &KeptPlate) -> bool {
        self.whole(kept).is_some() && self.step(kept.plate.seq.0, StepKind::Started).is_some()
    }

    /// Whether a request can still be called back: nothing of it has been started.
    #[must_use]
    pub fn may_withdraw(&self, request: RequestId) -> bool {
        let untouched = |copy: &StoredCopy| matches!(copy.state, State::Pledged | State::Withdrawn);
        let started = self
            .plates_of(request)
            .any(|kept| self.step(kept.plate.seq.0, StepKind::Started).is_some());
        let ended = self
            .pledge_of(request)
            .is_some_and(|promised| promised.end.is_some());
        let state = self.request(request).map(|r| r.request.state);
        let open = matches!(
            state,
            Some(State::Pledged | State::Ready | State::NeedsChange | State::HeldForReview)
        );
        open && !ended && !started && self.copies(request).iter().all(untouched)
    }

    /// Shares of plates of a request that are still to be started.
    pub fn waiting_of(&self, request: RequestId) -> impl Iterator<Item = &KeptPlate> {
        let open = self.plates_of(request);
        open.filter(|kept| kept.state == PlateState::Open && !self.runs(kept))
    }

    /// How the open pledge of a request stands, plate by plate, ready to be forecast.
    #[must_use]
    pub fn standing<'a>(
        &'a self,
        session: &Session,
        ground: &Ground<'_>,
        request: RequestId,
    ) -> Vec<(&'a Plate, Standing)> {
        let now = session.minute();
        let needed = |kept: &&KeptPlate| {
            matches!(kept.state, PlateState::Open)
                || (kept.state == PlateState::Off && self.copies_on(kept).next().is_some())
        };
        self.plates_of(request)
            .filter(needed)
            .map(|kept| {
                let seen = self.seen(kept);
                (seen, self.stands(session, ground, (kept, seen), now))
            })
            .collect()
    }

    fn stands(
        &self,
        session: &Session,
        ground: &Ground<'_>,
        (kept, plate): (&KeptPlate, &Plate),
        now: Minute,
    ) -> Standing {
        let seq = kept.plate.seq.0;
        let Some(started) = self.step(seq, StepKind::Started) else {
            return Standing::Planned(self.place(kept).copied());
        };
        let start = began(plate, started.at);
        let printer = session.terrain.printer_of(&started.printer);
        let slot = printer.and_then(|p| started_at(ground, plate, p, start, now));
        let Some(slot) = slot else {
            return Standing::Planned(None);
        };
        let at = |kind| {
            self.step(seq, kind)
                .map(|step| Minute::at_or_after(step.at))
        };
        if let Some(handed) = at(StepKind::HandedOver) {
            return Standing::Gone(handed);
        }
        if open_doubt(self, kept).is_some() {
            return Standing::Missing;
        }
        if let Some(left) = at(StepKind::Left) {
            let left = boxes::went_with(session, self, kept).unwrap_or(left);
            let site = ground.stand_at(slot.printer, slot.start).site;
            let arrives = ground.arrival(site, plate.to, left);
            let arrives = arrives.unwrap_or(left);
            return if boxes::no_word_since(arrives, now) {
                Standing::Missing
            } else {
                Standing::Gone(arrives)
            };
        }
        match (boxes::may_go(self, kept), at(StepKind::Off)) {
            (Some(boxed), _) => Standing::Boxed(slot, boxed),
            (None, Some(off)) => Standing::Off(slot, off),
            (None, None) => Standing::Running(slot),
        }
    }

    /// Everything [`forecast()`](partpledge_planning::forecast()) wants to know of a request.
    #[must_use]
    pub fn outlook<'a>(
        &'a self,
        session: &Session,
        ground: &Ground<'_>,
        request: RequestId,
        worlds: u64,
    ) -> Outlook<'a> {
        Outlook {
            plates: self.standing(session, ground, request),
            now: session.minute(),
            seed: 1,
            worlds,
        }
    }

    /// The request that was sent in place of another one, if one was.
    #[must_use]
    pub fn in_place_of(&self, request: RequestId) -> Option<&ListedRequest> {
        let newer = |listed: &&ListedRequest| listed.request.replaces == Some(request);
        self.requests.iter().find(newer)
    }

    /// When a request's last copy was handed over, if all were.
    #[must_use]
    pub fn came(&self, request: RequestId) -> Option<EventMs> {
        let promised = self.pledge_of(request)?;
        let end = promised.end.as_ref()?;
        let over = matches!(end.kind, PledgeKind::Kept | PledgeKind::Broken);
        // A spare that was not made ends as broken too.
        let made = self.request(request)?.request.state != State::Withdrawn;
        (over && made).then_some(end.recorded_at)
    }
}

/// The versions whose file was taken down, with whichever request of the team.
fn taken_down(
    requests: &[ListedRequest],
    notes: &BTreeMap<RequestId, Vec<Note>>,
) -> BTreeSet<VersionId> {
    let has_down = |listed: &&ListedRequest| {
        let own = notes.get(&listed.request.id);
        let mut own = own.into_iter().flatten();
        own.any(|note| note.said.kind == NoteKind::TakenDown)
    };
    let file = |listed: &ListedRequest| (listed.request.team.clone(), listed.blob.clone());
    let files: BTreeSet<_> = requests.iter().filter(has_down).map(file).collect();
    let down = requests.iter();
    let down = down.filter(|listed| files.contains(&file(listed)));
    down.map(|listed| listed.request.version).collect()
}

/// Each share of the plates that several requests are on, under the number of the whole plate.
fn seen_by_each(
    floor: &Floor,
    company: &BTreeMap<PlateSeq, Vec<usize>>,
) -> BTreeMap<PlateSeq, Plate> {
    let mut out = BTreeMap::new();
    for (seq, rows) in company {
        let whole = floor.plates.binary_search_by_key(seq, |plate| plate.seq);
        for kept in rows.iter().map(|&i| &floor.kept[i]) {
            let seen = Plate {
                seq: *seq,
                // Made again, all of it is made again.
                grams: whole.map_or(kept.plate.grams, |i| floor.plates[i].grams),
                ..kept.plate.clone()
            };
            out.insert(kept.plate.seq, seen);
        }
    }
    out
}
