//! The short codes of boxes, by which a team shows that a box is theirs.

use partpledge_units::ids::RegionId;

use crate::db::{Tx, sql, values};
use crate::error::StoreError;
use crate::plates::number;
use crate::store::Store;

sql! {
    /// A box that is opened and closed again keeps its code: the team may have written it down.
    ADD = "INSERT INTO box_codes (region_id, plate_seq, code, entry) VALUES ($1, $2, $3, $4)
        ON CONFLICT (region_id, plate_seq) DO NOTHING";
    ALL = "SELECT plate_seq, code FROM box_codes WHERE region_id = $1 ORDER BY plate_seq";
}

/// Writes the code of a box, with the entry of the log that closed it.
pub(crate) async fn add(
    tx: &mut Tx,
    region: RegionId,
    (plate, code): (u64, &str),
    entry: i64,
) -> Result<(), StoreError> {
    let values = values![region.to_string(), number(plate)?, code, entry];
    tx.run(ADD, values).await?;
    Ok(())
}

impl Store {
    /// The codes of all boxes of a region, by the number of the plate, or share of one, that is in
    /// them. Only for those whose boxes they are.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn box_codes(&self, region: RegionId) -> Result<Vec<(u64, String)>, StoreError> {
        let rows = self.db.rows(ALL, values![region.to_string()]).await?;
        rows.iter()
            .map(|row| Ok((row.count(0)?, row.text(1)?)))
            .collect()
    }
}
