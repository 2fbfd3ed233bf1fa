//! Plates: numbered once and for all within the region.

use partpledge_planning_model::Plate;
use partpledge_units::ids::{IdSource, PlateId, RegionId, RequestId, VersionId};
use partpledge_units::time::EventMs;

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::floor::Names;
use crate::requests::add_copies;
use crate::stored::{self, StoredPlate};

sql! {
    ADD = "INSERT INTO plates (region_id, seq, plate_id, request_id, version_id, document)
        VALUES ($1, $2, $3, $4, $5, $6)";
    ALL = "SELECT seq, document FROM plates WHERE region_id = $1 ORDER BY seq";
}

/// A number as the database holds it.
pub(crate) fn number(seq: u64) -> Result<i64, StoreError> {
    let large = |_| StoreError::Damaged {
        what: "plate number",
        why: seq.to_string(),
    };
    i64::try_from(seq).map_err(large)
}

/// Writes the plates of a request and a row for each copy on them.
pub(crate) async fn add(
    tx: &mut Tx,
    (region, request, version): (RegionId, RequestId, VersionId),
    plates: &[Plate],
    names: &Names,
    (ids, at): (&mut IdSource, EventMs),
) -> Result<(), StoreError> {
    let mut first = 1_i64;
    for plate in plates {
        let seq = number(plate.seq.0)?;
        let document = stored::write(&StoredPlate::from_plate(plate, names)?)?;
        let values = values![
            region.to_string(),
            seq,
            PlateId::fresh(ids, at).to_string(),
            request.to_string(),
            version.to_string(),
            document
        ];
        tx.run(ADD, values).await?;
        add_copies(tx, (region, request), seq, (first, plate.copies), (ids, at)).await?;
        first += i64::from(plate.copies);
    }
    Ok(())
}

/// All plates of a region, in order of number.
pub(crate) async fn all(
    tx: &mut Tx,
    region: RegionId,
    names: &Names,
) -> Result<Vec<Plate>, StoreError> {
    let rows = tx.rows(ALL, values![region.to_string()]).await?;
    let one = |row: &Row| {
        let plate: StoredPlate = stored::read("plate", &row.text(1)?)?;
        plate.to_plate(row.count(0)?, names)
    };
    rows.iter().map(one).collect()
}
