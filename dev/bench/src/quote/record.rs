//! The same season on record in SQLite, as giving and the floor would have written it.

use partpledge_planning_model::{Assignment, Plan, Plate};
use partpledge_records::stored::PledgeDocument;
use partpledge_records::{
    Deed, FinishedRun, Happening, NewPledge, NewVersion, PlateState, Pledge, PledgeEnd, RunStep,
    State, StepKind, StockChange, StoreError,
};
use partpledge_units::ids::{IdSource, VersionId};
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::said;
use partpledge_workshop::estimating::Process;
use partpledge_workshop::intake::Orient;
use partpledge_workshop::{ENGINE, Session};

use super::scene::{PAST, Scene};

/// Writes a scene down; what is over is over on record too.
pub(crate) struct Writer<'a> {
    pub(crate) session: &'a Session,
    pub(crate) scene: &'a Scene,
    ids: IdSource,
    revision: i64,
}

impl<'a> Writer<'a> {
    pub(crate) fn new(session: &'a Session, scene: &'a Scene) -> Self {
        Self {
            session,
            scene,
            ids: IdSource::seeded(5),
            revision: 0,
        }
    }

    pub(crate) async fn write_all(&mut self) -> Result<(), String> {
        let mut plan = Plan::default();
        for (i, range) in self.scene.requests.iter().enumerate() {
            let plates = &self.scene.plates[range.clone()];
            let Some(asked) = plates.first().map(|plate| plate.release) else {
                continue;
            };
            let over = i < PAST;
            let mut own = Plan::default();
            for plate in plates {
                let place = self.scene.plan.of(plate.seq).copied();
                own.put(place.unwrap_or_else(|| long_ago(plate)));
            }
            if !over {
                own.assignments.iter().for_each(|place| plan.put(*place));
            }
            let whole = if over { &own } else { &plan };
            let given = self.give(i, asked, plates, whole).await;
            let pledge = given.map_err(|error| error.to_string())?;
            let floor = self.on_the_floor(&pledge, plates, &own, over).await;
            floor.map_err(|error| error.to_string())?;
        }
        Ok(())
    }

    async fn give(
        &mut self,
        i: usize,
        asked: Minute,
        plates: &[Plate],
        plan: &Plan,
    ) -> Result<Pledge, StoreError> {
        let (store, region) = self.session.store().expect("it was opened on a store");
        let (names, at) = (self.session.terrain.names(), asked.to_ms());
        let team = partpledge_testbed::fen_team(i);
        let arrives = plates.iter().filter_map(|plate| plan.of(plate.seq));
        let arrives = arrives.map(|place| place.arrives).max().unwrap_or(asked);
        let place = names.places[plates[0].to.0].clone();
        let version = self.version(i, &team).await?;
        let document = document(&team, plates, (asked, arrives), &place);
        let new = NewPledge {
            request: None,
            team,
            process: self.process(&plates[0].material),
            version,
            material: plates[0].material.clone(),
            copies: u32::try_from(plates.len()).unwrap_or(1),
            need_by: None,
            asked_at: at,
            actor: "local".to_owned(),
            idempotency_key: Some(format!("bench-{i}")),
            revision: self.revision,
            plates: plates.to_vec(),
            joins: None,
            plan: plan.clone(),
            arrival: arrives + Minutes(1_440),
            place,
            probability: 0.93,
            document: document.to_text()?,
            at_once: None,
        };
        self.revision += 1;
        let given = store.give(region, &new, &names, &mut self.ids, at).await?;
        Ok(given.pledge)
    }

    /// JSON of the plain process of a material.
    fn process(&self, material: &str) -> Option<String> {
        let chosen = Process::choose(&self.session.catalogue, Some(material), None, None);
        let stored = chosen.ok()?.stored(Orient::Best, Vec::new());
        stored.to_text().ok()
    }

    async fn version(&mut self, i: usize, team: &str) -> Result<VersionId, StoreError> {
        let (store, region) = self.session.store().expect("it was opened on a store");
        let new = NewVersion {
            team: team.to_owned(),
            part: format!("part {i}"),
            blob: store
                .put_blob(format!("part {i}").into_bytes().into())
                .await?,
            file_name: format!("part-{i}.stl"),
            unit: "mm".to_owned(),
            unit_source: "file".to_owned(),
            facts: "[]".to_owned(),
            findings: "[]".to_owned(),
            repairs: "[]".to_owned(),
            engine: ENGINE.to_owned(),
        };
        store
            .add_version(region, &new, &mut self.ids, self.session.now)
            .await
    }

    /// Everything up to the hand-over for what is over; the start for what runs by now.
    async fn on_the_floor(
        &mut self,
        pledge: &Pledge,
        plates: &[Plate],
        plan: &Plan,
        over: bool,
    ) -> Result<(), StoreError> {
        let (store, region) = self.session.store().expect("it was opened on a store");
        let names = self.session.terrain.names();
        let begun = |place: &&Assignment| over || place.start <= self.scene.now;
        let begun: Vec<Assignment> = plan.assignments.iter().filter(begun).copied().collect();
        if begun.is_empty() {
            return Ok(());
        }
        let copies = store.copies(region, pledge.request).await?;
        let states = [
            State::OnAPlate,
            State::Running,
            State::Inspected,
            State::Boxed,
            State::HandedOver,
        ];
        let states = if over { &states[..] } else { &states[..2] };
        let mut what = Happening {
            kind: "bench.season",
            payload: Vec::new(),
            deed: Deed {
                actor: "local".to_owned(),
                occurred_at: pledge.recorded_at,
                received_at: pledge.recorded_at,
                idempotency_key: None,
            },
            revision: self.revision,
            steps: Vec::new(),
            copies: Vec::new(),
            requests: Vec::new(),
            closed: Vec::new(),
            reprints: Vec::new(),
            ends: Vec::new(),
            notes: Vec::new(),
            measured: Vec::new(),
            outages: Vec::new(),
            box_code: None,
            to_look: None,
            moment: None,
            last_notes: Vec::new(),
            ground: partpledge_records::GroundChange::default(),
            runs: Vec::new(),
            program: None,
            takes_back: None,
            stock: StockChange::default(),
            plan: None,
        };
        for place in &begun {
            let printer = names.printers[place.printer.0].clone();
            let own = copies.iter().filter(|copy| copy.plate == place.plate.0);
            what.copies
                .extend(own.flat_map(|copy| states.iter().map(|&state| (copy.id, state))));
            what.steps.extend(steps(place, &printer, over));
            if let Some(plate) = plates.iter().find(|plate| over && plate.seq == place.plate) {
                what.closed.push((plate.seq.0, PlateState::Off));
                what.runs.push(run(plate, place, printer));
            }
        }
        if over {
            what.ends.push((pledge.id, PledgeEnd::Kept));
        }
        store.happen(region, &what, &names, &mut self.ids).await?;
        Ok(())
    }
}

/// Where a plate of the past was made: its calendars are gone.
fn long_ago(plate: &Plate) -> Assignment {
    let making = plate.makings[usize::try_from(plate.seq.0).unwrap_or(0) % plate.makings.len()];
    let start = plate.release + Minutes(30);
    let end = start + making.reserved;
    Assignment {
        plate: plate.seq,
        printer: making.printer,
        start,
        end,
        cleared: end,
        ready: end + Minutes(15),
        arrives: end + Minutes(1_000),
        frozen: false,
    }
}

fn steps(place: &Assignment, printer: &str, over: bool) -> Vec<RunStep> {
    let step = |kind, at: Minute| RunStep {
        plate: place.plate.0,
        kind,
        printer: printer.to_owned(),
        at: at.to_ms(),
        actor: "local".to_owned(),
        good: (kind == StepKind::Off).then_some(1),
        reason: None,
    };
    let mut out = vec![step(StepKind::Started, place.start)];
    if over {
        out.push(step(StepKind::Looked, place.start + Minutes(10)));
        out.push(step(StepKind::Off, place.cleared));
        out.push(step(StepKind::Boxed, place.ready));
        out.push(step(StepKind::Left, place.ready + Minutes(5)));
    }
    out
}

fn run(plate: &Plate, place: &Assignment, printer: String) -> FinishedRun {
    let making = plate.makings.iter().find(|m| m.printer == place.printer);
    let minutes = making.map_or(60, |making| making.worked_out.0);
    FinishedRun {
        plate: plate.seq.0,
        printer,
        sheet: "pla-plain".to_owned(),
        worked_out_min: minutes,
        started_at: place.start.to_ms(),
        ended_at: (place.start + Minutes(minutes)).to_ms(),
        copies: 1,
        good: 1,
        whole: true,
        witnessed: true,
        by_itself: true,
        by_program: false,
    }
}

fn document(
    team: &str,
    plates: &[Plate],
    (asked, arrives): (Minute, Minute),
    place: &str,
) -> PledgeDocument {
    PledgeDocument {
        schema: 1,
        team: team.to_owned(),
        part: "part".to_owned(),
        copies: u32::try_from(plates.len()).unwrap_or(1),
        material: plates[0].material.clone(),
        arrival_min: (arrives + Minutes(1_440)).0,
        probability: 0.93,
        nominal_min: arrives.0,
        place: place.to_owned(),
        plates: Vec::new(),
        legs: Vec::new(),
        reasons: vec![said!("reasons-few-printers", able = 6, of = 36)],
        alternatives: Vec::new(),
        asked_min: asked.0,
        expires_min: (asked + Minutes(60)).0,
        plan_revision: 1,
    }
}
