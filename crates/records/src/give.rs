//! Giving a pledge: request, copies, plates, plan, pledge and events in one transaction, or nothing.

use partpledge_planning_model::{Plan, Plate};
use partpledge_units::ids::{CopyId, IdSource, PlateId, PledgeId, RegionId, RequestId, VersionId};
use partpledge_units::time::{EventMs, Minute};

use crate::db::{Tx, values};
use crate::error::StoreError;
use crate::events::{Event, append};
use crate::floor::Names;
use crate::life_cycle::State;
use crate::plans::{SavedPlan, advance, insert};
use crate::pledges::{Pledge, PledgeKind, from_row};
use crate::store::Store;
use crate::stored::{self, StoredPlate};

/// A pledge to be given.
#[derive(Clone, Debug)]
pub struct NewPledge {
    /// The team.
    pub team: String,
    /// The part version.
    pub version: VersionId,
    /// Material code.
    pub material: String,
    /// Copies, over all plates.
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
    /// New plates, numbered from the floor's `next_seq`, with their promise.
    pub plates: Vec<Plate>,
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
    /// Gives a pledge, once.
    ///
    /// # Errors
    /// [`StoreError::Stale`] when the plan has moved since the quote: quote again. On any error
    /// nothing is written.
    pub async fn give(
        &self,
        region: RegionId,
        new: &NewPledge,
        names: &Names,
        ids: &mut IdSource,
        at: EventMs,
    ) -> Result<Given, StoreError> {
        let mut tx = self.db.begin().await?;
        if let Some(pledge) = replay(&mut tx, region, new.idempotency_key.as_deref()).await? {
            return Ok(Given {
                pledge,
                replayed: true,
            });
        }
        let numbers = i64::try_from(new.plates.len()).unwrap_or(i64::MAX);
        let advanced = advance(&mut tx, region, new.revision, numbers).await;
        if let Err(StoreError::Stale { .. }) = advanced {
            // The head may have been moved by the very request that this one repeats: look once
            // more, now that the other transaction is through (PostgreSQL sees it only here).
            if let Some(pledge) = replay(&mut tx, region, new.idempotency_key.as_deref()).await? {
                return Ok(Given {
                    pledge,
                    replayed: true,
                });
            }
        }
        let revision = advanced?;
        let saved = SavedPlan {
            revision,
            parent: new.revision,
            reason: format!("a pledge for {}", new.team),
            made_at: at,
        };
        insert(&mut tx, region, &saved, &new.plan, names).await?;
        let request = RequestId::fresh(ids, at);
        add_request(&mut tx, region, request, new).await?;
        add_plates(&mut tx, region, request, new, names, (ids, at)).await?;
        let pledge = Pledge {
            id: PledgeId::fresh(ids, at),
            request,
            arrival: new.arrival,
            place: new.place.clone(),
            probability: new.probability,
            plan_revision: revision,
            recorded_at: at,
            document: new.document.clone(),
        };
        add_pledge(&mut tx, region, &pledge).await?;
        append(&mut tx, region, &given_event(new, &pledge, at), ids).await?;
        tx.commit().await?;
        Ok(Given {
            pledge,
            replayed: false,
        })
    }

    /// The pledge given under that key, if any.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn pledge_of_key(
        &self,
        region: RegionId,
        key: &str,
    ) -> Result<Option<Pledge>, StoreError> {
        let rows = self
            .db
            .rows(BY_KEY, values![region.to_string(), key])
            .await?;
        rows.first().map(from_row).transpose()
    }
}

const BY_KEY: &str = "SELECT p.pledge_id, p.request_id, p.arrival, p.place, p.probability,
        p.plan_revision, p.recorded_at, p.document
     FROM pledges p JOIN requests r ON r.region_id = p.region_id AND r.request_id = p.request_id
     WHERE p.region_id = $1 AND r.idempotency_key = $2 AND p.kind = 'given' ORDER BY p.entry LIMIT 1";

async fn replay(
    tx: &mut Tx,
    region: RegionId,
    key: Option<&str>,
) -> Result<Option<Pledge>, StoreError> {
    let Some(key) = key else { return Ok(None) };
    let rows = tx.rows(BY_KEY, values![region.to_string(), key]).await?;
    rows.first().map(from_row).transpose()
}

async fn add_request(
    tx: &mut Tx,
    region: RegionId,
    request: RequestId,
    new: &NewPledge,
) -> Result<(), StoreError> {
    tx.run(
        "INSERT INTO requests (region_id, request_id, team, version_id, material, copies, need_by,
            asked_at, first_answer_at, state, idempotency_key)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $8, $9, $10)",
        values![
            region.to_string(),
            request.to_string(),
            new.team.as_str(),
            new.version.to_string(),
            new.material.as_str(),
            i64::from(new.copies),
            new.need_by.map(|by| by.to_ms().0),
            new.asked_at.0,
            State::Pledged.as_str(),
            new.idempotency_key.clone()
        ],
    )
    .await?;
    Ok(())
}

async fn add_plates(
    tx: &mut Tx,
    region: RegionId,
    request: RequestId,
    new: &NewPledge,
    names: &Names,
    (ids, at): (&mut IdSource, EventMs),
) -> Result<(), StoreError> {
    let mut number = 0_i64;
    for plate in &new.plates {
        let seq = i64::try_from(plate.seq.0).unwrap_or(i64::MAX);
        let document = stored::write(&StoredPlate::from_plate(plate, names)?)?;
        tx.run(
            "INSERT INTO plates (region_id, seq, plate_id, request_id, version_id, document)
             VALUES ($1, $2, $3, $4, $5, $6)",
            values![
                region.to_string(),
                seq,
                PlateId::fresh(ids, at).to_string(),
                request.to_string(),
                new.version.to_string(),
                document
            ],
        )
        .await?;
        for _ in 0..plate.copies {
            number += 1;
            tx.run(
                "INSERT INTO copies (region_id, copy_id, request_id, number, plate_seq, state)
                 VALUES ($1, $2, $3, $4, $5, $6)",
                values![
                    region.to_string(),
                    CopyId::fresh(ids, at).to_string(),
                    request.to_string(),
                    number,
                    seq,
                    State::Pledged.as_str()
                ],
            )
            .await?;
        }
    }
    Ok(())
}

async fn add_pledge(tx: &mut Tx, region: RegionId, pledge: &Pledge) -> Result<(), StoreError> {
    tx.run(
        "INSERT INTO pledges (region_id, entry, pledge_id, request_id, kind, arrival, place,
            probability, plan_revision, recorded_at, document)
         VALUES ($1, (SELECT COALESCE(MAX(entry), 0) + 1 FROM pledges WHERE region_id = $1),
            $2, $3, $4, $5, $6, $7, $8, $9, $10)",
        values![
            region.to_string(),
            pledge.id.to_string(),
            pledge.request.to_string(),
            PledgeKind::Given.as_str(),
            pledge.arrival.0,
            pledge.place.as_str(),
            pledge.probability,
            pledge.plan_revision,
            pledge.recorded_at.0,
            pledge.document.as_str()
        ],
    )
    .await?;
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
