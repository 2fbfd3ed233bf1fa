//! Plates: numbered once and for all within the region.

use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard};

use partpledge_planning_model::{Making, Plate, PlateSeq};
use partpledge_units::ids::{IdSource, PlateId, RegionId, RequestId, VersionId};
use partpledge_units::time::EventMs;

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::floor::Names;
use crate::requests::add_copies;
use crate::stored::{self, StoredPlate};

sql! {
    ADD = "INSERT INTO plates (region_id, seq, plate_id, request_id, version_id, document, joins)
        VALUES ($1, $2, $3, $4, $5, $6, $7)";
    ALL = "SELECT p.seq, p.document, p.state, p.request_id, p.version_id, r.process, p.joins
        FROM plates p
        JOIN requests r ON r.region_id = p.region_id AND r.request_id = p.request_id
        WHERE p.region_id = $1 AND p.seq >= $2 ORDER BY p.seq";
    STATES = "SELECT seq, state FROM plates WHERE region_id = $1";
    GIVEN = "SELECT r.team, CAST(COUNT(DISTINCT p.request_id) AS BIGINT) FROM plates p
        JOIN requests r ON r.region_id = p.region_id AND r.request_id = p.request_id
        WHERE p.region_id = $1 AND p.state IN ('open', 'off') GROUP BY r.team ORDER BY r.team";
    CLOSE = "UPDATE plates SET state = $3 WHERE region_id = $1 AND seq = $2 AND state = 'open'";
}

/// What has become of a plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlateState {
    /// To be printed, or being printed.
    Open,
    /// Printed and off the bed.
    Off,
    /// Lost; what it carried is on another plate, or given up.
    Lost,
    /// Called back before it was started.
    Withdrawn,
}

impl PlateState {
    const ALL: [Self; 4] = [Self::Open, Self::Off, Self::Lost, Self::Withdrawn];

    /// As stored.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Off => "off",
            Self::Lost => "lost",
            Self::Withdrawn => "withdrawn",
        }
    }

    fn parse(text: &str) -> Result<Self, StoreError> {
        let found = Self::ALL.into_iter().find(|state| state.as_str() == text);
        found.ok_or_else(|| StoreError::Damaged {
            what: "plate state",
            why: text.to_owned(),
        })
    }
}

/// A plate with what it was made for.
#[derive(Clone, Debug, PartialEq)]
pub struct KeptPlate {
    /// The plate, as planning knows it.
    pub plate: Plate,
    /// Its makings as they were written down, from our own lines, whatever readers put in the
    /// plate since, and whoever joined it since.
    pub own: Vec<Making>,
    /// What has become of it.
    pub state: PlateState,
    /// The request whose copies it carries.
    pub request: RequestId,
    /// The part version that it was laid out from.
    pub version: VersionId,
    /// Code of its process sheet; `None` when the request doesn't say.
    pub sheet: Option<String>,
    /// The plate that its copies lie on, when they joined another that was there already. Such a
    /// row is never printed by itself: starting and taking off is done with that plate, boxing and
    /// sending with each.
    pub joins: Option<PlateSeq>,
}

impl KeptPlate {
    /// Number of the plate that its copies lie on: the one joined, or itself.
    #[must_use]
    pub fn on(&self) -> PlateSeq {
        self.joins.unwrap_or(self.plate.seq)
    }
}

/// Requests of each team that have a plate which is neither lost nor withdrawn.
pub(crate) async fn given(
    tx: &mut Tx,
    region: RegionId,
) -> Result<BTreeMap<String, u32>, StoreError> {
    let rows = tx.rows(GIVEN, values![region.to_string()]).await?;
    let one = |row: &Row| {
        Ok((
            row.text(0)?,
            row.count::<u64>(1).map(u32::try_from)?.unwrap_or(u32::MAX),
        ))
    };
    rows.iter().map(one).collect()
}

/// Closes a plate that was open.
pub(crate) async fn close(
    tx: &mut Tx,
    region: RegionId,
    seq: u64,
    state: PlateState,
) -> Result<(), StoreError> {
    let values = values![region.to_string(), number(seq)?, state.as_str()];
    if tx.run(CLOSE, values).await? == 1 {
        return Ok(());
    }
    Err(StoreError::NoSuch {
        what: "open plate",
        id: seq.to_string(),
    })
}

/// Writes one plate.
pub(crate) async fn add_one(
    tx: &mut Tx,
    (region, request, version): (RegionId, RequestId, VersionId),
    (plate, joins): (&Plate, Option<PlateSeq>),
    names: &Names,
    (ids, at): (&mut IdSource, EventMs),
) -> Result<i64, StoreError> {
    let seq = number(plate.seq.0)?;
    let joins = joins.map(|plate| number(plate.0)).transpose()?;
    let document = stored::write(&StoredPlate::from_plate(plate, names)?)?;
    let values = values![
        region.to_string(),
        seq,
        PlateId::fresh(ids, at).to_string(),
        request.to_string(),
        version.to_string(),
        document,
        joins
    ];
    tx.run(ADD, values).await?;
    Ok(seq)
}

/// A number as the database holds it.
pub(crate) fn number(seq: u64) -> Result<i64, StoreError> {
    let large = |_| StoreError::Damaged {
        what: "plate number",
        why: seq.to_string(),
    };
    i64::try_from(seq).map_err(large)
}

fn plate_number(stored: i64) -> Result<PlateSeq, StoreError> {
    let negative = |_| StoreError::Damaged {
        what: "plate number",
        why: stored.to_string(),
    };
    u64::try_from(stored).map(PlateSeq).map_err(negative)
}

/// Writes the plates of a request and a row for each copy on them.
pub(crate) async fn add(
    tx: &mut Tx,
    (region, request, version): (RegionId, RequestId, VersionId),
    (plates, joins): (&[Plate], Option<PlateSeq>),
    names: &Names,
    (ids, at): (&mut IdSource, EventMs),
) -> Result<(), StoreError> {
    let mut first = 1_i64;
    for plate in plates {
        let whose = (region, request, version);
        let seq = add_one(tx, whose, (plate, joins), names, (&mut *ids, at)).await?;
        add_copies(
            tx,
            (region, request),
            seq,
            (first, plate.copies),
            (&mut *ids, at),
        )
        .await?;
        first += i64::from(plate.copies);
    }
    Ok(())
}

/// Plates as they were read last, by number. All but the state of a plate is written once and never
/// again, so that only new ones are read: a season has thousands, each with its time on every
/// printer.
#[derive(Debug, Default)]
pub(crate) struct ReadBefore(Mutex<Read>);

#[derive(Debug, Default)]
struct Read {
    /// Whose they are, and what its printers and places are called.
    of: Option<(RegionId, Names)>,
    plates: BTreeMap<i64, KeptPlate>,
}

impl ReadBefore {
    fn lock(&self, region: RegionId, names: &Names) -> MutexGuard<'_, Read> {
        // Whoever broke off while holding it has only left plates out.
        let held = self.0.lock();
        let mut held = held.unwrap_or_else(std::sync::PoisonError::into_inner);
        let same = |(of, known): &(RegionId, Names)| *of == region && known == names;
        if !held.of.as_ref().is_some_and(same) {
            *held = Read {
                of: Some((region, names.clone())),
                plates: BTreeMap::new(),
            };
        }
        held
    }
}

/// All plates of a region, in order of number.
pub(crate) async fn all(
    tx: &mut Tx,
    region: RegionId,
    names: &Names,
    before: &ReadBefore,
) -> Result<Vec<KeptPlate>, StoreError> {
    let rows = tx.rows(STATES, values![region.to_string()]).await?;
    let state = |row: &Row| Ok((row.int(0)?, PlateState::parse(&row.text(1)?)?));
    let states = rows.iter().map(state);
    let states = states.collect::<Result<BTreeMap<i64, PlateState>, StoreError>>()?;
    let mut out: BTreeMap<i64, KeptPlate> = {
        let known = before.lock(region, names);
        let again = |(seq, &state): (&i64, &PlateState)| {
            let kept = known.plates.get(seq)?.clone();
            Some((*seq, KeptPlate { state, ..kept }))
        };
        states.iter().filter_map(again).collect()
    };
    // Numbers are given in order, so that what is new comes last.
    if let Some(&first) = states.keys().find(|seq| !out.contains_key(seq)) {
        let rows = tx.rows(ALL, values![region.to_string(), first]).await?;
        for row in &rows {
            out.insert(row.int(0)?, from_row(row, names)?);
        }
        let new = out.range(first..).map(|(seq, kept)| (*seq, kept.clone()));
        before.lock(region, names).plates.extend(new);
    }
    Ok(out.into_values().collect())
}

fn from_row(row: &Row, names: &Names) -> Result<KeptPlate, StoreError> {
    let plate: StoredPlate = stored::read("plate", &row.text(1)?)?;
    let plate = plate.to_plate(row.count(0)?, names)?;
    Ok(KeptPlate {
        own: plate.makings.clone(),
        plate,
        state: PlateState::parse(&row.text(2)?)?,
        request: row.id(3)?,
        version: row.id(4)?,
        sheet: row.opt_text(5)?.as_deref().and_then(stored::sheet_of),
        joins: row.opt_int(6)?.map(plate_number).transpose()?,
    })
}
