//! Printers that can't be used for a while, and that could be used again sooner.

use partpledge_units::ids::RegionId;
use partpledge_units::time::Minute;

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::events::{Event, event_at};
use crate::store::Store;

/// A printer that can't be used for a while.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outage {
    /// Its name.
    pub printer: String,
    /// Since when.
    pub from: Minute,
    /// Until when: as it was told, or sooner, when somebody said that it could be used again.
    pub until: Minute,
    /// Why.
    pub reason: String,
}

/// A printer that can be used again: what was told of it before ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BackInUse {
    /// Its name.
    pub printer: String,
    /// From when on.
    pub at: Minute,
}

/// What was told of whether a printer can be used, and stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ToldOfUse {
    /// Deeds by which it can't be used at that moment, each with its entry in the log, the first first.
    pub out: Vec<(i64, Event)>,
    /// The last deed that put it out of use or back.
    pub last: Option<(i64, Event)>,
}

sql! {
    ADD = "INSERT INTO outages (region_id, entry, printer, from_min, until_min, reason)
        VALUES ($1, $2, $3, $4, $5, $6)";
    ALL = "SELECT entry, printer, from_min, until_min, reason FROM outages
        WHERE region_id = $1
            AND entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1)
        ORDER BY entry";
    END = "INSERT INTO outage_ends (region_id, entry, printer, at_min) VALUES ($1, $2, $3, $4)";
    ENDS = "SELECT entry, printer, at_min FROM outage_ends
        WHERE region_id = $1
            AND entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1)
        ORDER BY entry";
}

/// Writes that a printer can't be used.
pub(crate) async fn add(
    tx: &mut Tx,
    region: RegionId,
    outage: &Outage,
    entry: i64,
) -> Result<(), StoreError> {
    let values = values![
        region.to_string(),
        entry,
        outage.printer.as_str(),
        outage.from.0,
        outage.until.0,
        outage.reason.as_str()
    ];
    tx.run(ADD, values).await?;
    Ok(())
}

/// Writes that a printer can be used again.
pub(crate) async fn end(
    tx: &mut Tx,
    region: RegionId,
    back: &BackInUse,
    entry: i64,
) -> Result<(), StoreError> {
    let values = values![region.to_string(), entry, back.printer.as_str(), back.at.0];
    tx.run(END, values).await?;
    Ok(())
}

/// Every outage of a region, as long as it was in truth. One that ended as it began is none.
pub(crate) async fn all(tx: &mut Tx, region: RegionId) -> Result<Vec<Outage>, StoreError> {
    let ends = ends(tx, region).await?;
    Ok(as_long_as_they_were(told(tx, region).await?, &ends))
}

fn as_long_as_they_were(told: Vec<(i64, Outage)>, ends: &[(i64, BackInUse)]) -> Vec<Outage> {
    let lasted = told.into_iter().map(|one| ended(one, ends));
    lasted.filter(|outage| outage.from < outage.until).collect()
}

/// The outage with the first end that was told after it, if that came sooner than was said.
fn ended((entry, outage): (i64, Outage), ends: &[(i64, BackInUse)]) -> Outage {
    let later = ends.iter().filter(|(end, _)| *end > entry);
    let own = later.filter(|(_, back)| back.printer == outage.printer);
    let until = own.map(|(_, back)| back.at).min();
    Outage {
        until: until.map_or(outage.until, |at| at.min(outage.until)),
        ..outage
    }
}

/// Outages as they were told, each with its entry in the log.
async fn told(tx: &mut Tx, region: RegionId) -> Result<Vec<(i64, Outage)>, StoreError> {
    let rows = tx.rows(ALL, values![region.to_string()]).await?;
    let one = |row: &Row| {
        let outage = Outage {
            printer: row.text(1)?,
            from: Minute(row.int(2)?),
            until: Minute(row.int(3)?),
            reason: row.text(4)?,
        };
        Ok((row.int(0)?, outage))
    };
    rows.iter().map(one).collect()
}

async fn ends(tx: &mut Tx, region: RegionId) -> Result<Vec<(i64, BackInUse)>, StoreError> {
    let rows = tx.rows(ENDS, values![region.to_string()]).await?;
    let one = |row: &Row| {
        let back = BackInUse {
            printer: row.text(1)?,
            at: Minute(row.int(2)?),
        };
        Ok((row.int(0)?, back))
    };
    rows.iter().map(one).collect()
}

impl Store {
    /// Printers of a region that can't be used for a while, or could not.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn outages(&self, region: RegionId) -> Result<Vec<Outage>, StoreError> {
        let mut tx = self.db.snapshot().await?;
        all(&mut tx, region).await
    }

    /// The same as it would be without what was told with that entry of the log.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn outages_without(
        &self,
        region: RegionId,
        entry: i64,
    ) -> Result<Vec<Outage>, StoreError> {
        let mut tx = self.db.snapshot().await?;
        let mut ends = ends(&mut tx, region).await?;
        let mut told = told(&mut tx, region).await?;
        ends.retain(|(one, _)| *one != entry);
        told.retain(|(one, _)| *one != entry);
        Ok(as_long_as_they_were(told, &ends))
    }

    /// By which deeds a printer can't be used at `now`, and which was the last that said whether it can.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn told_of_use(
        &self,
        region: RegionId,
        printer: &str,
        now: Minute,
    ) -> Result<ToldOfUse, StoreError> {
        let each = self.told_of_each(region, &[printer], now).await?;
        Ok(each.into_iter().next().unwrap_or_default())
    }

    /// The same of each of these printers, in their order.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn told_of_each(
        &self,
        region: RegionId,
        printers: &[&str],
        now: Minute,
    ) -> Result<Vec<ToldOfUse>, StoreError> {
        let mut tx = self.db.snapshot().await?;
        let ends = ends(&mut tx, region).await?;
        let told = told(&mut tx, region).await?;
        let mut each = Vec::new();
        for printer in printers {
            let own = told.iter().filter(|(_, one)| one.printer == *printer);
            let back = ends.iter().filter(|(_, one)| one.printer == *printer);
            let entries = back.map(|(entry, _)| *entry);
            let last = entries.chain(own.clone().map(|(entry, _)| *entry)).max();
            let mut out = Vec::new();
            for (entry, outage) in own {
                if now < ended((*entry, outage.clone()), &ends).until {
                    out.extend(event_at(&mut tx, region, *entry).await?);
                }
            }
            let last = match last {
                Some(entry) => event_at(&mut tx, region, entry).await?,
                None => None,
            };
            each.push(ToldOfUse { out, last });
        }
        Ok(each)
    }
}
