//! Requests and their copies, each copy a row with its own state.

use partpledge_units::ids::{CopyId, IdSource, RegionId, RequestId, VersionId};
use partpledge_units::time::EventMs;

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::events::{Deed, append_deed, seen};
use crate::give::NewPledge;
use crate::life_cycle::State;
use crate::store::Store;

/// A request as stored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredRequest {
    /// Its id.
    pub id: RequestId,
    /// The team.
    pub team: String,
    /// The part version.
    pub version: VersionId,
    /// Material code.
    pub material: String,
    /// Copies asked for.
    pub copies: i64,
    /// When the team would like it, if it said.
    pub need_by: Option<EventMs>,
    /// When it was asked.
    pub asked_at: EventMs,
    /// When the team first had an answer: a pledge, or what to change.
    pub first_answer_at: Option<EventMs>,
    /// Where it stands.
    pub state: State,
}

/// A copy as stored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredCopy {
    /// Its id.
    pub id: CopyId,
    /// 1, 2, 3 ... within its request.
    pub number: i64,
    /// Number of its plate.
    pub plate: u64,
    /// Where it stands.
    pub state: State,
}

sql! {
    ADD = "INSERT INTO requests (region_id, request_id, team, version_id, material, copies,
            need_by, asked_at, first_answer_at, state, idempotency_key)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)";
    ADD_COPY = "INSERT INTO copies (region_id, copy_id, request_id, number, plate_seq, state)
        VALUES ($1, $2, $3, $4, $5, $6)";
    BY_ID = "SELECT request_id, team, version_id, material, copies, need_by, asked_at,
            first_answer_at, state
        FROM requests WHERE region_id = $1 AND request_id = $2";
    BY_KEY = "SELECT request_id, team, version_id, material, copies, need_by, asked_at,
            first_answer_at, state
        FROM requests WHERE region_id = $1 AND idempotency_key = $2";
    COPIES = "SELECT copy_id, number, plate_seq, state FROM copies
        WHERE region_id = $1 AND request_id = $2 ORDER BY number";
    STATE = "SELECT state FROM requests WHERE region_id = $1 AND request_id = $2";
    COPY_STATE = "SELECT state FROM copies WHERE region_id = $1 AND copy_id = $2";
    STEP = "UPDATE requests SET state = $3 WHERE region_id = $1 AND request_id = $2 AND state = $4";
    COPY_STEP = "UPDATE copies SET state = $3 WHERE region_id = $1 AND copy_id = $2 AND state = $4";
}

fn state(row: &Row, i: usize) -> Result<State, StoreError> {
    let text = row.text(i)?;
    State::parse(&text).ok_or(StoreError::Damaged {
        what: "state",
        why: text,
    })
}

fn from_row(row: &Row) -> Result<StoredRequest, StoreError> {
    Ok(StoredRequest {
        id: row.id(0)?,
        team: row.text(1)?,
        version: row.id(2)?,
        material: row.text(3)?,
        copies: row.int(4)?,
        need_by: row.opt_int(5)?.map(EventMs),
        asked_at: EventMs(row.int(6)?),
        first_answer_at: row.opt_int(7)?.map(EventMs),
        state: state(row, 8)?,
    })
}

/// Writes a request that is pledged from the start.
pub(crate) async fn add_pledged(
    tx: &mut Tx,
    region: RegionId,
    request: RequestId,
    new: &NewPledge,
    at: EventMs,
) -> Result<(), StoreError> {
    let values = values![
        region.to_string(),
        request.to_string(),
        new.team.as_str(),
        new.version.to_string(),
        new.material.as_str(),
        i64::from(new.copies),
        new.need_by.map(|by| by.to_ms().0),
        new.asked_at.0,
        at.0,
        State::Pledged.as_str(),
        new.idempotency_key.clone()
    ];
    tx.run(ADD, values).await?;
    Ok(())
}

/// Writes the copies of a plate, numbered on from `first`.
pub(crate) async fn add_copies(
    tx: &mut Tx,
    (region, request): (RegionId, RequestId),
    plate: i64,
    (first, many): (i64, u32),
    (ids, at): (&mut IdSource, EventMs),
) -> Result<(), StoreError> {
    for number in (first..).take(usize::try_from(many).unwrap_or(usize::MAX)) {
        let values = values![
            region.to_string(),
            CopyId::fresh(ids, at).to_string(),
            request.to_string(),
            number,
            plate,
            State::Pledged.as_str()
        ];
        tx.run(ADD_COPY, values).await?;
    }
    Ok(())
}

/// The request that came with a key.
pub(crate) async fn of_key(
    tx: &mut Tx,
    region: RegionId,
    key: &str,
) -> Result<Option<StoredRequest>, StoreError> {
    let rows = tx.rows(BY_KEY, values![region.to_string(), key]).await?;
    rows.first().map(from_row).transpose()
}

/// What takes a step: the words and statements of requests and of copies.
struct Subject {
    what: &'static str,
    event: &'static str,
    read: crate::db::Sql,
    write: crate::db::Sql,
}

const REQUEST: Subject = Subject {
    what: "request",
    event: "request.stepped",
    read: STATE,
    write: STEP,
};
const COPY: Subject = Subject {
    what: "copy",
    event: "copy.stepped",
    read: COPY_STATE,
    write: COPY_STEP,
};

impl Store {
    /// A request.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn request(
        &self,
        region: RegionId,
        request: RequestId,
    ) -> Result<Option<StoredRequest>, StoreError> {
        let values = values![region.to_string(), request.to_string()];
        self.db
            .rows(BY_ID, values)
            .await?
            .first()
            .map(from_row)
            .transpose()
    }

    /// The copies of a request, in order of number.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn copies(
        &self,
        region: RegionId,
        request: RequestId,
    ) -> Result<Vec<StoredCopy>, StoreError> {
        let rows = self
            .db
            .rows(COPIES, values![region.to_string(), request.to_string()])
            .await?;
        let one = |row: &Row| {
            Ok(StoredCopy {
                id: row.id(0)?,
                number: row.int(1)?,
                plate: row.count(2)?,
                state: state(row, 3)?,
            })
        };
        rows.iter().map(one).collect()
    }

    /// A request takes a step of its life, with an event in the same transaction. `false` when
    /// the same deed was done before, by its key; nothing is written then.
    ///
    /// # Errors
    /// [`StoreError::NoSuchStep`] when the table of [`State`] does not have it,
    /// [`StoreError::NoSuch`].
    pub async fn step_request(
        &self,
        region: RegionId,
        request: RequestId,
        to: State,
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<bool, StoreError> {
        self.step(&REQUEST, (region, request.to_string()), to, deed, ids)
            .await
    }

    /// A copy takes a step of its life, as [`Store::step_request`].
    ///
    /// # Errors
    /// As [`Store::step_request`].
    pub async fn step_copy(
        &self,
        region: RegionId,
        copy: CopyId,
        to: State,
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<bool, StoreError> {
        self.step(&COPY, (region, copy.to_string()), to, deed, ids)
            .await
    }

    async fn step(
        &self,
        subject: &Subject,
        (region, id): (RegionId, String),
        to: State,
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<bool, StoreError> {
        let mut tx = self.db.begin().await?;
        crate::regions::lock(&mut tx, region).await?;
        if seen(&mut tx, region, deed).await? {
            return Ok(false);
        }
        let rows = tx
            .rows(subject.read, values![region.to_string(), id.as_str()])
            .await?;
        let row = rows.first().ok_or_else(|| StoreError::NoSuch {
            what: subject.what,
            id: id.clone(),
        })?;
        let from = state(row, 0)?;
        from.step(to)?;
        let values = values![region.to_string(), id.as_str(), to.as_str(), from.as_str()];
        tx.run(subject.write, values).await?;
        let payload = serde_json::json!({
            (subject.what): id, "from": from.as_str(), "to": to.as_str()
        });
        append_deed(
            &mut tx,
            region,
            (subject.event, payload.to_string()),
            deed,
            ids,
        )
        .await?;
        tx.commit().await?;
        Ok(true)
    }
}
