//! Requests and their copies, each copy a row with its own state.

use partpledge_quality::CriticalDimension;
use partpledge_units::ids::{CopyId, IdSource, PartId, RegionId, RequestId, VersionId};
use partpledge_units::time::EventMs;

use crate::blobs::{BlobHash, BlobHashError};
use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::events::{Deed, append_deed, seen};
use crate::give::NewPledge;
use crate::life_cycle::State;
use crate::measures;
use crate::notes::{self, NewNote};
use crate::store::Store;
use crate::stored::StoredProcess;

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
    /// Its number in the region, for people.
    pub number: i64,
    /// How it is to be made, as JSON of [`crate::stored::StoredProcess`].
    pub process: Option<String>,
    /// The request whose place it takes: the same part, changed.
    pub replaces: Option<RequestId>,
}

/// What is asked for: all of a request but its file.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The team.
    pub team: &'a str,
    /// Material code.
    pub material: &'a str,
    /// Copies.
    pub copies: i64,
    /// When the team would like it, if it said.
    pub need_by: Option<EventMs>,
    /// JSON of [`crate::stored::StoredProcess`].
    pub process: Option<&'a str>,
}

impl StoredRequest {
    /// Whether this is what was asked for; of which file is for the caller to say. What is not known of
    /// this one can't differ.
    ///
    /// # Errors
    /// [`StoreError::Damaged`] for a process that can't be read.
    pub fn asks_for(&self, asked: &Asked<'_>) -> Result<bool, StoreError> {
        let same_process = match (self.process.as_deref(), asked.process) {
            (Some(own), Some(other)) if own != other => {
                let other = StoredProcess::from_text(other)?;
                StoredProcess::from_text(own)?.is_made_as(&other)
            }
            _ => true,
        };
        Ok(same_process
            && self.team == asked.team
            && self.material == asked.material
            && self.copies == asked.copies
            && self.need_by == asked.need_by)
    }
}

/// A request to be written down before anything is promised.
#[derive(Clone, Debug)]
pub struct NewRequest {
    /// The team.
    pub team: String,
    /// The part version.
    pub version: VersionId,
    /// Material code.
    pub material: String,
    /// Copies asked for.
    pub copies: u32,
    /// When the team would like it, if it said.
    pub need_by: Option<EventMs>,
    /// JSON of [`crate::stored::StoredProcess`].
    pub process: String,
    /// Whether the part can be printed as it is; otherwise it needs a change, which is an answer.
    pub printable: bool,
    /// Whether somebody of the region looks at it before anything is promised.
    pub held: bool,
    /// What is noted with it.
    pub notes: Vec<NewNote>,
    /// Sizes that must be right, measured on each copy.
    pub dimensions: Vec<CriticalDimension>,
    /// The request whose place it takes.
    pub replaces: Option<RequestId>,
    /// The team's last request that whoever sends it knew of, by number (0 for none), if what the
    /// team has open was counted; `None` when nothing was counted.
    pub counted_to: Option<i64>,
}

/// A request with the names that people know it by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedRequest {
    /// The request.
    pub request: StoredRequest,
    /// What the team calls the part.
    pub part: String,
    /// The part.
    pub part_id: PartId,
    /// Name of its file.
    pub file_name: String,
    /// Its file as it was sent.
    pub blob: BlobHash,
}

/// A copy with the request that it is of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedCopy {
    /// The request.
    pub request: RequestId,
    /// The copy.
    pub copy: StoredCopy,
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
            need_by, asked_at, first_answer_at, state, idempotency_key, number, process, replaces)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)";
    /// Also locks the region's row, so that requests are numbered one transaction at a time.
    NUMBER = "UPDATE regions SET next_request = next_request + 1 WHERE region_id = $1
        RETURNING next_request";
    LAST_OF_TEAM = "SELECT CAST(COALESCE(MAX(number), 0) AS BIGINT) FROM requests
        WHERE region_id = $1 AND team = $2";
    ANSWERED = "UPDATE requests SET first_answer_at = $3
        WHERE region_id = $1 AND request_id = $2 AND first_answer_at IS NULL";
    BY_NUMBER = "SELECT q.request_id, q.team, q.version_id, q.material, q.copies, q.need_by,
            q.asked_at, q.first_answer_at, q.state, q.number, q.process, q.replaces, p.name,
            p.part_id, v.file_name, v.blob
        FROM requests q JOIN part_versions v
            ON v.region_id = q.region_id AND v.version_id = q.version_id
        JOIN parts p ON p.region_id = v.region_id AND p.part_id = v.part_id
        WHERE q.region_id = $1 AND q.number = $2";
    LIST = "SELECT q.request_id, q.team, q.version_id, q.material, q.copies, q.need_by,
            q.asked_at, q.first_answer_at, q.state, q.number, q.process, q.replaces, p.name,
            p.part_id, v.file_name, v.blob
        FROM requests q JOIN part_versions v
            ON v.region_id = q.region_id AND v.version_id = q.version_id
        JOIN parts p ON p.region_id = v.region_id AND p.part_id = v.part_id
        WHERE q.region_id = $1 ORDER BY q.number";
    COPIES_OF_REGION = "SELECT copy_id, number, plate_seq, state, request_id FROM copies
        WHERE region_id = $1 ORDER BY request_id, number";
    MOVE_COPY = "UPDATE copies SET plate_seq = $3 WHERE region_id = $1 AND copy_id = $2";
    ADD_COPY = "INSERT INTO copies (region_id, copy_id, request_id, number, plate_seq, state)
        VALUES ($1, $2, $3, $4, $5, $6)";
    BY_ID = "SELECT request_id, team, version_id, material, copies, need_by, asked_at,
            first_answer_at, state, number, process, replaces
        FROM requests WHERE region_id = $1 AND request_id = $2";
    BY_KEY = "SELECT request_id, team, version_id, material, copies, need_by, asked_at,
            first_answer_at, state, number, process, replaces
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
        number: row.opt_int(9)?.unwrap_or(0),
        process: row.opt_text(10)?,
        replaces: match row.opt_text(11)? {
            Some(_) => Some(row.id(11)?),
            None => None,
        },
    })
}

fn listed(row: &Row) -> Result<ListedRequest, StoreError> {
    let damaged = |BlobHashError(why)| StoreError::Damaged {
        what: "original file",
        why,
    };
    Ok(ListedRequest {
        request: from_row(row)?,
        part: row.text(12)?,
        part_id: row.id(13)?,
        file_name: row.text(14)?,
        blob: row.text(15)?.parse().map_err(damaged)?,
    })
}

fn copy_from_row(row: &Row) -> Result<StoredCopy, StoreError> {
    Ok(StoredCopy {
        id: row.id(0)?,
        number: row.int(1)?,
        plate: row.count(2)?,
        state: state(row, 3)?,
    })
}

/// The next number for people in that region.
async fn next_number(tx: &mut Tx, region: RegionId) -> Result<i64, StoreError> {
    let rows = tx.rows(NUMBER, values![region.to_string()]).await?;
    let row = rows
        .first()
        .ok_or_else(|| StoreError::NoSuchRegion(region.to_string()))?;
    Ok(row.int(0)? - 1)
}

/// Writes a request down, with its event and notes.
pub(crate) async fn add_received(
    tx: &mut Tx,
    region: RegionId,
    new: &NewRequest,
    deed: &Deed,
    ids: &mut IdSource,
) -> Result<StoredRequest, StoreError> {
    let id = RequestId::fresh(ids, deed.received_at);
    let number = next_number(tx, region).await?;
    let state = match (new.printable, new.held) {
        (false, _) => State::NeedsChange,
        (true, true) => State::HeldForReview,
        (true, false) => State::Ready,
    };
    let answered = (!new.printable).then_some(deed.received_at);
    let values = values![
        region.to_string(),
        id.to_string(),
        new.team.as_str(),
        new.version.to_string(),
        new.material.as_str(),
        i64::from(new.copies),
        new.need_by.map(|by| by.0),
        deed.occurred_at.0,
        answered.map(|at| at.0),
        state.as_str(),
        deed.idempotency_key.clone(),
        number,
        Some(new.process.clone()),
        new.replaces.map(|old| old.to_string())
    ];
    tx.run(ADD, values).await?;
    let payload = serde_json::json!({
        "request": id.to_string(), "number": number, "state": state.as_str()
    });
    // The key is the request's own; the log has a key of its own kind.
    let logged = Deed {
        idempotency_key: None,
        ..deed.clone()
    };
    let event = ("request.received", payload.to_string());
    let entry = append_deed(tx, region, event, &logged, ids).await?;
    notes::add(tx, (region, id), &new.notes, &logged, (entry, 0)).await?;
    measures::add_dimensions(tx, (region, id), &new.dimensions).await?;
    Ok(StoredRequest {
        id,
        team: new.team.clone(),
        version: new.version,
        material: new.material.clone(),
        copies: i64::from(new.copies),
        need_by: new.need_by,
        asked_at: deed.occurred_at,
        first_answer_at: answered,
        state,
        number,
        process: Some(new.process.clone()),
        replaces: new.replaces,
    })
}

/// A request that was written down before is pledged now.
pub(crate) async fn pledge_received(
    tx: &mut Tx,
    region: RegionId,
    request: RequestId,
    at: EventMs,
) -> Result<(), StoreError> {
    let from = take_step(tx, &REQUEST, region, &request.to_string(), State::Pledged).await?;
    // Copies that came back may be promised anew; a request that was taken down may not.
    if from == State::Recalled {
        let to = State::Pledged;
        return Err(StoreError::NoSuchStep { from, to });
    }
    answered(tx, region, request, at).await
}

/// The team has an answer; the first one counts.
pub(crate) async fn answered(
    tx: &mut Tx,
    region: RegionId,
    request: RequestId,
    at: EventMs,
) -> Result<(), StoreError> {
    let id = request.to_string();
    tx.run(ANSWERED, values![region.to_string(), id, at.0])
        .await?;
    Ok(())
}

/// A request takes a step, if the table has it.
pub(crate) async fn step_to(
    tx: &mut Tx,
    region: RegionId,
    request: RequestId,
    to: State,
) -> Result<(), StoreError> {
    take_step(tx, &REQUEST, region, &request.to_string(), to)
        .await
        .map(|_| ())
}

/// A request takes a step, if it stands where whoever wants it saw it stand.
pub(crate) async fn step_from(
    tx: &mut Tx,
    region: RegionId,
    request: RequestId,
    (seen, to): (State, State),
) -> Result<(), StoreError> {
    let from = take_step(tx, &REQUEST, region, &request.to_string(), to).await?;
    if from == seen {
        Ok(())
    } else {
        Err(StoreError::NoSuchStep { from, to })
    }
}

/// Whether the team has sent nothing since what it has open was counted.
async fn nothing_since(
    tx: &mut Tx,
    region: RegionId,
    (team, counted_to): (&str, Option<i64>),
) -> Result<(), StoreError> {
    let Some(expected) = counted_to else {
        return Ok(());
    };
    let values = values![region.to_string(), team];
    let rows = tx.rows(LAST_OF_TEAM, values).await?;
    let current = rows.first().map_or(Ok(0), |row| row.int(0))?;
    if current == expected {
        Ok(())
    } else {
        Err(StoreError::RequestsMoved { expected, current })
    }
}

/// A copy takes a step, if the table has it.
pub(crate) async fn step_copy_to(
    tx: &mut Tx,
    region: RegionId,
    copy: CopyId,
    to: State,
) -> Result<(), StoreError> {
    take_step(tx, &COPY, region, &copy.to_string(), to)
        .await
        .map(|_| ())
}

/// A copy is to be made on another plate.
pub(crate) async fn move_copy(
    tx: &mut Tx,
    region: RegionId,
    copy: CopyId,
    plate: i64,
) -> Result<(), StoreError> {
    let values = values![region.to_string(), copy.to_string(), plate];
    tx.run(MOVE_COPY, values).await?;
    Ok(())
}

async fn take_step(
    tx: &mut Tx,
    subject: &Subject,
    region: RegionId,
    id: &str,
    to: State,
) -> Result<State, StoreError> {
    let rows = tx
        .rows(subject.read, values![region.to_string(), id])
        .await?;
    let row = rows.first().ok_or_else(|| StoreError::NoSuch {
        what: subject.what,
        id: id.to_owned(),
    })?;
    let from = state(row, 0)?;
    from.step(to)?;
    let values = values![region.to_string(), id, to.as_str(), from.as_str()];
    tx.run(subject.write, values).await?;
    Ok(from)
}

/// Writes a request that is pledged from the start.
pub(crate) async fn add_pledged(
    tx: &mut Tx,
    region: RegionId,
    request: RequestId,
    new: &NewPledge,
    at: EventMs,
) -> Result<(), StoreError> {
    let number = next_number(tx, region).await?;
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
        new.idempotency_key.clone(),
        number,
        new.process.clone(),
        (new.at_once.as_ref())
            .and_then(|at_once| at_once.replaces)
            .map(|old| old.to_string())
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
        rows.iter().map(copy_from_row).collect()
    }

    /// The copies of all requests of a region, by request and number.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn all_copies(&self, region: RegionId) -> Result<Vec<ListedCopy>, StoreError> {
        let values = values![region.to_string()];
        let rows = self.db.rows(COPIES_OF_REGION, values).await?;
        let one = |row: &Row| {
            Ok(ListedCopy {
                request: row.id(4)?,
                copy: copy_from_row(row)?,
            })
        };
        rows.iter().map(one).collect()
    }

    /// All requests of a region, in order of number.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn requests(&self, region: RegionId) -> Result<Vec<ListedRequest>, StoreError> {
        let rows = self.db.rows(LIST, values![region.to_string()]).await?;
        rows.iter().map(listed).collect()
    }

    /// The request that came with that key, if any.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn request_of_key(
        &self,
        region: RegionId,
        key: &str,
    ) -> Result<Option<StoredRequest>, StoreError> {
        let rows = self
            .db
            .rows(BY_KEY, values![region.to_string(), key])
            .await?;
        rows.first().map(from_row).transpose()
    }

    /// The request with that number.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn request_of_number(
        &self,
        region: RegionId,
        number: i64,
    ) -> Result<Option<ListedRequest>, StoreError> {
        let values = values![region.to_string(), number];
        let rows = self.db.rows(BY_NUMBER, values).await?;
        rows.first().map(listed).transpose()
    }

    /// Writes a request down, once, with an event in the same transaction; the request, and
    /// whether it was there before under the same key. A part that can't be printed as it is has
    /// its first answer with that: what to change. One that is held for review has none yet.
    ///
    /// # Errors
    /// [`StoreError::KeyReused`] when the key came before with another team, part version,
    /// material or number of copies; [`StoreError::RequestsMoved`] when the team has sent another
    /// since `counted_to`: count again. On any error nothing is written.
    pub async fn receive(
        &self,
        region: RegionId,
        new: &NewRequest,
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<(StoredRequest, bool), StoreError> {
        let mut tx = self.db.begin().await?;
        crate::regions::lock(&mut tx, region).await?;
        if let Some(key) = deed.idempotency_key.as_deref()
            && let Some(before) = of_key(&mut tx, region, key).await?
        {
            let same = before.team == new.team
                && before.version == new.version
                && before.material == new.material
                && before.copies == i64::from(new.copies);
            return if same {
                Ok((before, true))
            } else {
                Err(StoreError::KeyReused(key.to_owned()))
            };
        }
        nothing_since(&mut tx, region, (&new.team, new.counted_to)).await?;
        let request = add_received(&mut tx, region, new, deed, ids).await?;
        tx.commit().await?;
        Ok((request, false))
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
        let from = take_step(&mut tx, subject, region, &id, to).await?;
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
