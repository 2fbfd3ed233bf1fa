//! Critical dimensions of requests, and what was measured of them on copies.
//!
//! What a dimension is called are a team's own words: they stand here, never in the log.

use partpledge_quality::{CriticalDimension, Reading};
use partpledge_units::ids::{CopyId, RegionId, RequestId};
use partpledge_units::micrometre::Micrometres;

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::plates::number;
use crate::store::Store;

/// What was read off a copy, of one critical dimension of its request.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measured {
    /// The copy.
    pub copy: CopyId,
    /// Number of the plate, or share of one, that it came from: made again, it is another piece.
    pub plate: u64,
    /// Which of the request's dimensions: 1, 2, 3 ...
    pub n: u32,
    /// What was read.
    pub reading: Reading,
}

sql! {
    ADD_DIMENSION = "INSERT INTO critical_dimensions (region_id, request_id, n, what, nominal_um,
            lower_um, upper_um)
        VALUES ($1, $2, $3, $4, $5, $6, $7)";
    DIMENSIONS = "SELECT request_id, what, nominal_um, lower_um, upper_um FROM critical_dimensions
        WHERE region_id = $1 ORDER BY request_id, n";
    ADD = "INSERT INTO measured (region_id, entry, copy_id, n, plate_seq, value_um, not_measured)
        VALUES ($1, $2, $3, $4, $5, $6, $7)";
    ALL = "SELECT copy_id, plate_seq, n, value_um, not_measured FROM measured
        WHERE region_id = $1
            AND entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1)
        ORDER BY entry, copy_id, n";
}

/// Writes the critical dimensions of a request, numbered from 1.
pub(crate) async fn add_dimensions(
    tx: &mut Tx,
    (region, request): (RegionId, RequestId),
    dimensions: &[CriticalDimension],
) -> Result<(), StoreError> {
    for (n, one) in (1_i64..).zip(dimensions) {
        let values = values![
            region.to_string(),
            request.to_string(),
            n,
            one.what.as_str(),
            one.nominal.0,
            one.lower.0,
            one.upper.0
        ];
        tx.run(ADD_DIMENSION, values).await?;
    }
    Ok(())
}

/// Writes what was measured, with the entry of the log that says so.
pub(crate) async fn add(
    tx: &mut Tx,
    region: RegionId,
    measured: &[Measured],
    entry: i64,
) -> Result<(), StoreError> {
    for one in measured {
        let (value, not) = match &one.reading {
            Reading::Value(value) => (Some(value.0), None),
            Reading::NotMeasured(why) => (None, Some(why.clone())),
        };
        let values = values![
            region.to_string(),
            entry,
            one.copy.to_string(),
            i64::from(one.n),
            number(one.plate)?,
            value,
            not
        ];
        tx.run(ADD, values).await?;
    }
    Ok(())
}

fn dimension(row: &Row) -> Result<(RequestId, CriticalDimension), StoreError> {
    let dimension = CriticalDimension {
        what: row.text(1)?,
        nominal: Micrometres(row.int(2)?),
        lower: Micrometres(row.int(3)?),
        upper: Micrometres(row.int(4)?),
    };
    Ok((row.id(0)?, dimension))
}

fn measured(row: &Row) -> Result<Measured, StoreError> {
    let reading = match (row.opt_int(3)?, row.opt_text(4)?) {
        (Some(value), None) => Reading::Value(Micrometres(value)),
        (None, Some(why)) => Reading::NotMeasured(why),
        _ => {
            let (what, why) = ("measured value", "it is both there and not".to_owned());
            return Err(StoreError::Damaged { what, why });
        }
    };
    Ok(Measured {
        copy: row.id(0)?,
        plate: row.count(1)?,
        n: row.count(2)?,
        reading,
    })
}

impl Store {
    /// The critical dimensions of all requests of a region, by request and number.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn critical_dimensions(
        &self,
        region: RegionId,
    ) -> Result<Vec<(RequestId, CriticalDimension)>, StoreError> {
        let values = values![region.to_string()];
        let rows = self.db.rows(DIMENSIONS, values).await?;
        rows.iter().map(dimension).collect()
    }

    /// All that was measured on copies of a region and not taken back, in the order in which it was.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn measured(&self, region: RegionId) -> Result<Vec<Measured>, StoreError> {
        let rows = self.db.rows(ALL, values![region.to_string()]).await?;
        rows.iter().map(measured).collect()
    }
}
