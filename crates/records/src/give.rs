//! Giving a pledge: request, copies, plates, plan, pledge and event in one transaction, or nothing.

use partpledge_planning_model::{Plan, Plate, PlateSeq};
use partpledge_quality::CriticalDimension;
use partpledge_units::ids::{IdSource, PledgeId, RegionId, RequestId, VersionId};
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::said;

use crate::db::Tx;
use crate::error::StoreError;
use crate::events::{Deed, Event, append, last};
use crate::floor::Names;
use crate::measures;
use crate::notes::{self, NewNote};
use crate::plans::{SavedPlan, advance, insert};
use crate::pledges::{Pledge, add_given, of_request};
use crate::requests::{Asked, NewRequest, add_pledged, add_received, of_key, pledge_received};
use crate::store::Store;
use crate::{plates, regions};

/// A pledge to be given.
#[derive(Clone, Debug)]
pub struct NewPledge {
    /// The request it is for, written down before; without one it is written down with it.
    pub request: Option<RequestId>,
    /// The team.
    pub team: String,
    /// How it is to be made, as JSON of [`crate::stored::StoredProcess`].
    pub process: Option<String>,
    /// The part version.
    pub version: VersionId,
    /// Material code.
    pub material: String,
    /// Copies asked for.
    pub copies: u32,
    /// When the team would like it, if it said.
    pub need_by: Option<Minute>,
    /// When it was asked.
    pub asked_at: EventMs,
    /// Who asked, by reference.
    pub actor: String,
    /// The sender's key; the same key twice is the same pledge.
    pub idempotency_key: Option<String>,
    /// Plan revision that the quote was made on.
    pub revision: i64,
    /// New plates, numbered on from the floor's `next_seq`, with their promise.
    pub plates: Vec<Plate>,
    /// The plate that they join, if they go on one that is there already.
    pub joins: Option<PlateSeq>,
    /// The plan with their places in it, checked.
    pub plan: Plan,
    /// Hand-over pledged.
    pub arrival: Minute,
    /// Where.
    pub place: String,
    /// Its chance.
    pub probability: f64,
    /// The whole answer, as JSON.
    pub document: String,
    /// What is written down with it, for one that is written down and promised at once.
    pub at_once: Option<AtOnce>,
}

/// What is written with a request that is written down and promised at once.
#[derive(Clone, Debug)]
pub struct AtOnce {
    /// The request whose place it takes, if it takes one.
    pub replaces: Option<RequestId>,
    /// Last entry of the log that whoever quoted knew: what has happened since may have changed
    /// whether it may be had.
    pub entry: i64,
    /// What is noted with the new one.
    pub notes: Vec<NewNote>,
    /// Its critical dimensions.
    pub dimensions: Vec<CriticalDimension>,
    /// Copies that are to come later, as a request of their own that waits to be promised. Its key is
    /// that of the new one and `-rest`.
    pub rest: Option<u32>,
}

/// What giving came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Given {
    /// The pledge on record.
    pub pledge: Pledge,
    /// Whether it was there before (a replayed key).
    pub replayed: bool,
}

impl Store {
    /// Gives a pledge, once. It is on disk when this returns.
    ///
    /// # Errors
    /// [`StoreError::Stale`] when the plan has moved since the quote, or anything has happened since
    /// [`AtOnce::entry`]: quote again.
    /// [`StoreError::KeyReused`] when the key came before with another part version, or asking for
    /// something else ([`asks_for`](crate::StoredRequest::asks_for)). [`StoreError::PlateNumber`] and [`StoreError::NoPlace`] for
    /// plates that do not go with the floor and the plan, [`StoreError::NoChance`] for a chance
    /// that is none. On any error nothing is written.
    pub async fn give(
        &self,
        region: RegionId,
        new: &NewPledge,
        names: &Names,
        ids: &mut IdSource,
        at: EventMs,
    ) -> Result<Given, StoreError> {
        // The engines disagree about a number that is none; here it stops before either.
        if !(0.0..=1.0).contains(&new.probability) {
            return Err(StoreError::NoChance(new.probability));
        }
        let mut tx = self.db.begin().await?;
        // From here on this region is ours: whoever gave before us is through.
        regions::lock(&mut tx, region).await?;
        if let Some(pledge) = replay(&mut tx, region, new).await? {
            return Ok(Given {
                pledge,
                replayed: true,
            });
        }
        if let Some(at_once) = &new.at_once {
            nothing_since(&mut tx, region, at_once.entry).await?;
        }
        let numbers = i64::try_from(new.plates.len()).unwrap_or(i64::MAX);
        let first = advance(&mut tx, region, new.revision, numbers).await?;
        numbered_and_placed(new, first)?;
        let request = match new.request {
            Some(received) => received,
            None => RequestId::fresh(ids, at),
        };
        let saved = SavedPlan {
            revision: new.revision + 1,
            parent: new.revision,
            reason: said!("promises-plan-pledge", request = request.to_string()),
            made_at: at,
        };
        insert(&mut tx, region, &saved, &new.plan, names).await?;
        match new.request {
            Some(received) => pledge_received(&mut tx, region, received, at).await?,
            None => add_pledged(&mut tx, region, request, new, at).await?,
        }
        plates::add(
            &mut tx,
            (region, request, new.version),
            (&new.plates, new.joins),
            names,
            (ids, at),
        )
        .await?;
        let pledge = Pledge {
            id: PledgeId::fresh(ids, at),
            request,
            arrival: new.arrival,
            place: new.place.clone(),
            probability: new.probability,
            plan_revision: saved.revision,
            recorded_at: at,
            document: new.document.clone(),
        };
        let entry = append(&mut tx, region, &given_event(new, &pledge, at), ids).await?;
        add_given(&mut tx, region, &pledge, entry).await?;
        if let Some(at_once) = &new.at_once {
            let deed = deed_of(new, at);
            let notes = &at_once.notes;
            notes::add(&mut tx, (region, request), notes, &deed, (entry, 0)).await?;
            measures::add_dimensions(&mut tx, (region, request), &at_once.dimensions).await?;
            if let Some(copies) = at_once.rest {
                let rest = rest_of(new, at_once, copies);
                add_received(&mut tx, region, &rest, &deed, ids).await?;
            }
        }
        tx.commit().await?;
        Ok(Given {
            pledge,
            replayed: false,
        })
    }
}

/// Whether nothing has happened in the region since an entry of its log.
async fn nothing_since(tx: &mut Tx, region: RegionId, expected: i64) -> Result<(), StoreError> {
    let current = last(tx, region).await?;
    if current == expected {
        Ok(())
    } else {
        Err(StoreError::Stale { expected, current })
    }
}

/// Who writes down what is promised at once, and the copies that come later.
fn deed_of(new: &NewPledge, at: EventMs) -> Deed {
    let key = new.idempotency_key.as_ref();
    Deed {
        actor: new.actor.clone(),
        occurred_at: new.asked_at,
        received_at: at,
        idempotency_key: key.map(|key| format!("{key}-rest")),
    }
}

fn rest_of(new: &NewPledge, at_once: &AtOnce, copies: u32) -> NewRequest {
    NewRequest {
        team: new.team.clone(),
        version: new.version,
        material: new.material.clone(),
        copies,
        need_by: new.need_by.map(Minute::to_ms),
        process: new.process.clone().unwrap_or_default(),
        printable: true,
        held: false,
        notes: at_once.notes.clone(),
        dimensions: at_once.dimensions.clone(),
        replaces: None,
        counted_to: None,
    }
}

/// The pledge that this very request was given before, under its key.
async fn replay(
    tx: &mut Tx,
    region: RegionId,
    new: &NewPledge,
) -> Result<Option<Pledge>, StoreError> {
    if let Some(received) = new.request {
        return of_request(tx, region, received).await;
    }
    let Some(key) = new.idempotency_key.as_deref() else {
        return Ok(None);
    };
    let Some(before) = of_key(tx, region, key).await? else {
        return Ok(None);
    };
    let asked = Asked {
        team: &new.team,
        material: &new.material,
        copies: new.copies.into(),
        need_by: new.need_by.map(Minute::to_ms),
        process: new.process.as_deref(),
    };
    if before.version != new.version || !before.asks_for(&asked)? {
        return Err(StoreError::KeyReused(key.to_owned()));
    }
    of_request(tx, region, before.id).await
}

/// Whether the new plates are numbered on from `first` and each has its place in the plan.
fn numbered_and_placed(new: &NewPledge, first: i64) -> Result<(), StoreError> {
    for (expected, plate) in (u64::try_from(first).unwrap_or(0)..).zip(&new.plates) {
        let found = plate.seq.0;
        if found != expected {
            return Err(StoreError::PlateNumber { expected, found });
        }
        if new.plan.of(new.joins.unwrap_or(plate.seq)).is_none() {
            return Err(StoreError::NoPlace(found));
        }
    }
    Ok(())
}

fn given_event(new: &NewPledge, pledge: &Pledge, at: EventMs) -> Event {
    let plates: Vec<u64> = new.plates.iter().map(|plate| plate.seq.0).collect();
    let payload = serde_json::json!({
        "pledge": pledge.id.to_string(),
        "request": pledge.request.to_string(),
        "plates": plates,
        "arrival_min": pledge.arrival.0,
        "probability": pledge.probability,
        "plan_revision": pledge.plan_revision,
    });
    Event {
        kind: "pledge.given".to_owned(),
        version: 1,
        payload: payload.to_string(),
        actor: new.actor.clone(),
        occurred_at: new.asked_at,
        received_at: at,
        idempotency_key: None,
    }
}
