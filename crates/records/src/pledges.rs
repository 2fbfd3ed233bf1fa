//! Pledges: append-only. A new forecast never edits a given date; an end is another entry.

use partpledge_units::ids::{IdSource, PledgeId, RegionId, RequestId};
use partpledge_units::time::{EventMs, Minute};

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::events::{Deed, append_deed, seen};
use crate::store::Store;

/// What an entry says about a pledge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PledgeKind {
    /// Given to a team.
    Given,
    /// The team had it in time.
    Kept,
    /// It did not; stays on record.
    Broken,
    /// The team called it back.
    Withdrawn,
    /// Another pledge took its place, with the team's word.
    Superseded,
}

impl PledgeKind {
    /// All kinds.
    pub const ALL: [Self; 5] = [
        Self::Given,
        Self::Kept,
        Self::Broken,
        Self::Withdrawn,
        Self::Superseded,
    ];

    /// As stored.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Given => "given",
            Self::Kept => "kept",
            Self::Broken => "broken",
            Self::Withdrawn => "withdrawn",
            Self::Superseded => "superseded",
        }
    }

    /// Reads what [`PledgeKind::as_str`] wrote.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == text)
    }
}

/// How a pledge ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PledgeEnd {
    /// The team had it in time.
    Kept,
    /// It did not; stays on record.
    Broken,
    /// The team called it back.
    Withdrawn,
    /// Another pledge took its place, with the team's word.
    Superseded,
}

impl PledgeEnd {
    /// The kind of entry that says so.
    #[must_use]
    pub fn kind(self) -> PledgeKind {
        match self {
            Self::Kept => PledgeKind::Kept,
            Self::Broken => PledgeKind::Broken,
            Self::Withdrawn => PledgeKind::Withdrawn,
            Self::Superseded => PledgeKind::Superseded,
        }
    }
}

/// A given pledge.
#[derive(Clone, Debug, PartialEq)]
pub struct Pledge {
    /// Its id.
    pub id: PledgeId,
    /// For which request.
    pub request: RequestId,
    /// The team holds the part by then.
    pub arrival: Minute,
    /// Where.
    pub place: String,
    /// Chance stated, of this very arrival.
    pub probability: f64,
    /// Plan revision that it made.
    pub plan_revision: i64,
    /// When it was given.
    pub recorded_at: EventMs,
    /// The whole answer, as JSON, to be shown again.
    pub document: String,
}

/// An entry about a pledge.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PledgeEntry {
    /// What it says.
    pub kind: PledgeKind,
    /// When it was recorded.
    pub recorded_at: EventMs,
}

sql! {
    ADD = "INSERT INTO pledges (region_id, entry, pledge_id, request_id, kind, arrival, place,
            probability, plan_revision, recorded_at, document)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)";
    END = "INSERT INTO pledges (region_id, entry, pledge_id, request_id, kind, arrival, place,
            probability, plan_revision, recorded_at, document)
        SELECT region_id, CAST($3 AS BIGINT), pledge_id, request_id, CAST($4 AS TEXT), arrival,
            place, probability, plan_revision, CAST($5 AS BIGINT), document
        FROM pledges WHERE region_id = $1 AND pledge_id = $2 AND kind = 'given'";
    GIVEN = "SELECT pledge_id, request_id, arrival, place, probability, plan_revision, recorded_at,
            document
        FROM pledges WHERE region_id = $1 AND kind = 'given' ORDER BY entry";
    OF_REQUEST = "SELECT pledge_id, request_id, arrival, place, probability, plan_revision,
            recorded_at, document
        FROM pledges WHERE region_id = $1 AND request_id = $2 AND kind = 'given'
        ORDER BY entry LIMIT 1";
    OF_KEY = "SELECT p.pledge_id, p.request_id, p.arrival, p.place, p.probability, p.plan_revision,
            p.recorded_at, p.document
        FROM pledges p JOIN requests r
            ON r.region_id = p.region_id AND r.request_id = p.request_id
        WHERE p.region_id = $1 AND r.idempotency_key = $2 AND p.kind = 'given'
        ORDER BY p.entry LIMIT 1";
    ENDS = "SELECT pledge_id, kind, recorded_at FROM pledges
        WHERE region_id = $1 AND kind <> 'given' ORDER BY entry";
    HISTORY = "SELECT kind, recorded_at FROM pledges WHERE region_id = $1 AND pledge_id = $2
        ORDER BY entry";
}

fn from_row(row: &Row) -> Result<Pledge, StoreError> {
    Ok(Pledge {
        id: row.id(0)?,
        request: row.id(1)?,
        arrival: Minute(row.int(2)?),
        place: row.text(3)?,
        probability: row.real(4)?,
        plan_revision: row.int(5)?,
        recorded_at: EventMs(row.int(6)?),
        document: row.text(7)?,
    })
}

fn entry_from_row(row: &Row) -> Result<PledgeEntry, StoreError> {
    let text = row.text(0)?;
    let kind = PledgeKind::parse(&text);
    let kind = kind.ok_or(StoreError::Damaged {
        what: "pledge entry",
        why: text,
    })?;
    Ok(PledgeEntry {
        kind,
        recorded_at: EventMs(row.int(1)?),
    })
}

/// Writes a given pledge as that entry of the region's log.
pub(crate) async fn add_given(
    tx: &mut Tx,
    region: RegionId,
    pledge: &Pledge,
    entry: i64,
) -> Result<(), StoreError> {
    let values = values![
        region.to_string(),
        entry,
        pledge.id.to_string(),
        pledge.request.to_string(),
        PledgeKind::Given.as_str(),
        pledge.arrival.0,
        pledge.place.as_str(),
        pledge.probability,
        pledge.plan_revision,
        pledge.recorded_at.0,
        pledge.document.as_str()
    ];
    tx.run(ADD, values).await?;
    Ok(())
}

/// The pledge given for a request.
pub(crate) async fn of_request(
    tx: &mut Tx,
    region: RegionId,
    request: RequestId,
) -> Result<Option<Pledge>, StoreError> {
    let rows = tx
        .rows(OF_REQUEST, values![region.to_string(), request.to_string()])
        .await?;
    rows.first().map(from_row).transpose()
}

async fn history(
    tx: &mut Tx,
    region: RegionId,
    pledge: PledgeId,
) -> Result<Vec<PledgeEntry>, StoreError> {
    let rows = tx
        .rows(HISTORY, values![region.to_string(), pledge.to_string()])
        .await?;
    rows.iter().map(entry_from_row).collect()
}

/// Puts the end of a pledge on record, with an event of its own.
pub(crate) async fn end_in(
    tx: &mut Tx,
    region: RegionId,
    (pledge, end): (PledgeId, PledgeEnd),
    deed: &Deed,
    ids: &mut IdSource,
) -> Result<(), StoreError> {
    let (id, kind) = (pledge.to_string(), end.kind().as_str());
    match history(tx, region, pledge).await?.as_slice() {
        [] => return Err(StoreError::NoSuch { what: "pledge", id }),
        [_given] => {}
        [.., last] => {
            let ended = last.kind.as_str().to_owned();
            return Err(StoreError::PledgeEnded { id, ended });
        }
    }
    let event = format!("pledge.{kind}");
    let payload = serde_json::json!({ "pledge": id }).to_string();
    let entry = append_deed(tx, region, (&event, payload), deed, ids).await?;
    let values = values![region.to_string(), id, entry, kind, deed.received_at.0];
    tx.run(END, values).await?;
    Ok(())
}

impl Store {
    /// All pledges given in a region, oldest first.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn pledges(&self, region: RegionId) -> Result<Vec<Pledge>, StoreError> {
        let rows = self.db.rows(GIVEN, values![region.to_string()]).await?;
        rows.iter().map(from_row).collect()
    }

    /// How pledges of a region ended, and when that was recorded, oldest first.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn pledge_ends(
        &self,
        region: RegionId,
    ) -> Result<Vec<(PledgeId, PledgeEntry)>, StoreError> {
        let rows = self.db.rows(ENDS, values![region.to_string()]).await?;
        let one = |row: &Row| {
            let text = row.text(1)?;
            let kind = PledgeKind::parse(&text).ok_or(StoreError::Damaged {
                what: "pledge entry",
                why: text,
            })?;
            let recorded_at = EventMs(row.int(2)?);
            Ok((row.id(0)?, PledgeEntry { kind, recorded_at }))
        };
        rows.iter().map(one).collect()
    }

    /// The pledge given under that key, if any.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn pledge_of_key(
        &self,
        region: RegionId,
        key: &str,
    ) -> Result<Option<Pledge>, StoreError> {
        let rows = self
            .db
            .rows(OF_KEY, values![region.to_string(), key])
            .await?;
        rows.first().map(from_row).transpose()
    }

    /// What is on record about a pledge, oldest first; empty for a pledge nobody knows.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn pledge_history(
        &self,
        region: RegionId,
        pledge: PledgeId,
    ) -> Result<Vec<PledgeEntry>, StoreError> {
        let rows = self
            .db
            .rows(HISTORY, values![region.to_string(), pledge.to_string()])
            .await?;
        rows.iter().map(entry_from_row).collect()
    }

    /// Puts the end of a pledge on record, once, with an event in the same transaction. `false`
    /// when the same deed was done before, by its key; nothing is written then. What was given
    /// stays as it is.
    ///
    /// # Errors
    /// [`StoreError::PledgeEnded`] when another end is on record, [`StoreError::NoSuch`].
    pub async fn end_pledge(
        &self,
        region: RegionId,
        pledge: PledgeId,
        end: PledgeEnd,
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<bool, StoreError> {
        let mut tx = self.db.begin().await?;
        crate::regions::lock(&mut tx, region).await?;
        if seen(&mut tx, region, deed).await? {
            return Ok(false);
        }
        end_in(&mut tx, region, (pledge, end), deed, ids).await?;
        tx.commit().await?;
        Ok(true)
    }
}
