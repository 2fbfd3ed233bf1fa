//! Spools on record: every table of them is only ever added to.

use partpledge_stock::{Deed, Delivery, DeliveryEnd, Ledger, Reading, Roll, Spool, Step, Use};
use partpledge_units::ids::{IdSource, RegionId, SpoolId};
use partpledge_units::time::{EventMs, Minute};

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::plates::number;
use crate::steps::StepKind;
use crate::store::Store;

/// What a deed changes about spools. Nothing, by default.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StockChange {
    /// [`Ledger::entry`] of the ledger that this was worked out on.
    pub seen: i64,
    /// Spools received; they get the next numbers in this order.
    pub received: Vec<Roll>,
    /// What was done with spools.
    pub steps: Vec<Step>,
    /// What scales said.
    pub readings: Vec<Reading>,
    /// What a run took.
    pub uses: Vec<Use>,
    /// Deliveries promised; they get the next numbers, whatever number stands here.
    pub promised: Vec<Delivery>,
    /// Deliveries that ended, by number.
    pub ended: Vec<(i64, DeliveryEnd)>,
}

impl StockChange {
    /// Whether it changes nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        let told = self.steps.is_empty() && self.readings.is_empty() && self.uses.is_empty();
        told && self.received.is_empty() && self.promised.is_empty() && self.ended.is_empty()
    }

    /// The ledger with it in, as the store will have it but for the ids of new spools.
    #[must_use]
    pub fn made_in(&self, mut ledger: Ledger, ids: &mut IdSource) -> Ledger {
        let next = ledger.spools.last().map_or(1, |spool| spool.number + 1);
        let new = self
            .received
            .iter()
            .zip(next..)
            .map(|(roll, number)| Spool {
                id: SpoolId::fresh(ids, roll.received_at),
                number,
                roll: roll.clone(),
            });
        ledger.spools.extend(new);
        ledger.steps.extend(self.steps.iter().cloned());
        ledger.readings.extend(&self.readings);
        ledger.uses.extend(&self.uses);
        for delivery in &mut ledger.deliveries {
            let ended = self
                .ended
                .iter()
                .find(|(number, _)| *number == delivery.number);
            delivery.end = delivery.end.or(ended.map(|(_, how)| *how));
        }
        let next = ledger.deliveries.last().map_or(1, |last| last.number + 1);
        let promised = self.promised.iter().zip(next..);
        ledger
            .deliveries
            .extend(promised.map(|(delivery, number)| Delivery {
                number,
                ..delivery.clone()
            }));
        ledger
    }
}

sql! {
    /// Every table counts: what is only promised changes what can be planned too.
    LAST = "SELECT CAST(COALESCE(MAX(entry), 0) AS BIGINT) FROM (
        SELECT MAX(entry) AS entry FROM spools WHERE region_id = $1
        UNION ALL SELECT MAX(entry) FROM spool_steps WHERE region_id = $1
        UNION ALL SELECT MAX(entry) FROM spool_readings WHERE region_id = $1
        UNION ALL SELECT MAX(entry) FROM spool_uses WHERE region_id = $1
        UNION ALL SELECT MAX(entry) FROM spool_deliveries WHERE region_id = $1
        UNION ALL SELECT MAX(entry) FROM spool_delivery_ends WHERE region_id = $1
        UNION ALL SELECT MAX(entry) FROM taken_back WHERE region_id = $1) every_table";
    /// The end of a run may have been taken back, and noted again.
    USED = "SELECT entry FROM spool_uses WHERE region_id = $1 AND plate_seq = $2 AND entry <> $3
        AND entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1)";
    NEXT_SPOOL = "SELECT CAST(COALESCE(MAX(number), 0) + 1 AS BIGINT) FROM spools
        WHERE region_id = $1";
    NEXT_DELIVERY = "SELECT CAST(COALESCE(MAX(number), 0) + 1 AS BIGINT) FROM spool_deliveries
        WHERE region_id = $1";
    ADD_SPOOL = "INSERT INTO spools (region_id, number, spool_id, host, material, colour, net_g,
            tare_g, donor, received_at, entry)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)";
    ADD_STEP = "INSERT INTO spool_steps (region_id, entry, spool, at, deed, detail)
        VALUES ($1, $2, $3, $4, $5, $6)";
    ADD_READING = "INSERT INTO spool_readings (region_id, entry, spool, at, net_g, gross_g)
        VALUES ($1, $2, $3, $4, $5, $6)";
    ADD_USE = "INSERT INTO spool_uses (region_id, plate_seq, spool, from_ms, until_ms, used_mg, entry)
        VALUES ($1, $2, $3, $4, $5, $6, $7)";
    ADD_DELIVERY = "INSERT INTO spool_deliveries (region_id, number, host, material, spools, net_g,
            due_min, donor, entry)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)";
    END_DELIVERY = "INSERT INTO spool_delivery_ends (region_id, number, how, entry)
        VALUES ($1, $2, $3, $4)";
    SPOOLS = "SELECT number, spool_id, host, material, colour, net_g, tare_g, donor, received_at
        FROM spools WHERE region_id = $1 ORDER BY number";
    STEPS = "SELECT spool, at, deed, detail FROM spool_steps
        WHERE region_id = $1 ORDER BY entry, spool, deed";
    READINGS = "SELECT spool, at, net_g, gross_g FROM spool_readings
        WHERE region_id = $1 ORDER BY entry, spool";
    USES = "SELECT spool, plate_seq, used_mg, from_ms, until_ms FROM spool_uses
        WHERE region_id = $1
            AND entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1)
        ORDER BY entry, spool, from_ms";
    DELIVERIES = "SELECT d.number, d.host, d.material, d.spools, d.net_g, d.due_min, d.donor, e.how
        FROM spool_deliveries d LEFT JOIN spool_delivery_ends e
            ON e.region_id = d.region_id AND e.number = d.number
        WHERE d.region_id = $1 ORDER BY d.number";
}

/// A deed as it is stored: a word, and the name that goes with it.
fn deed_text(deed: &Deed) -> (&'static str, &str) {
    match deed {
        Deed::Moved(host) => ("moved", host),
        Deed::Opened => ("opened", ""),
        Deed::Dried => ("dried", ""),
        Deed::TakenOff => ("taken-off", ""),
        Deed::Loaded(printer) => ("loaded", printer),
        Deed::Emptied => ("emptied", ""),
        Deed::GivenAway(to) => ("given-away", to),
    }
}

fn to_deed(word: &str, detail: String) -> Result<Deed, StoreError> {
    Ok(match word {
        "moved" => Deed::Moved(detail),
        "opened" => Deed::Opened,
        "dried" => Deed::Dried,
        "taken-off" => Deed::TakenOff,
        "loaded" => Deed::Loaded(detail),
        "emptied" => Deed::Emptied,
        "given-away" => Deed::GivenAway(detail),
        other => return Err(damaged("spool step", other)),
    })
}

fn end_text(how: DeliveryEnd) -> &'static str {
    match how {
        DeliveryEnd::Arrived => "arrived",
        DeliveryEnd::CalledOff => "called-off",
    }
}

fn to_end(word: &str) -> Result<DeliveryEnd, StoreError> {
    match word {
        "arrived" => Ok(DeliveryEnd::Arrived),
        "called-off" => Ok(DeliveryEnd::CalledOff),
        other => Err(damaged("delivery", other)),
    }
}

fn damaged(what: &'static str, why: &str) -> StoreError {
    StoreError::Damaged {
        what,
        why: why.to_owned(),
    }
}

async fn one(tx: &mut Tx, sql: crate::db::Sql, region: &str) -> Result<i64, StoreError> {
    let rows = tx.rows(sql, values![region]).await?;
    rows.first().map_or(Ok(0), |row| row.int(0))
}

/// Writes a change, worked out on the ledger as it stands; whoever calls has locked the region.
pub(crate) async fn change(
    tx: &mut Tx,
    region: RegionId,
    what: &StockChange,
    (entry, ids): (i64, &mut IdSource),
) -> Result<(), StoreError> {
    if what.is_empty() {
        return Ok(());
    }
    let id = region.to_string();
    let current = one(tx, LAST, &id).await?;
    if current != what.seen {
        let expected = what.seen;
        return Err(StoreError::StockMoved { expected, current });
    }
    receive(tx, &id, &what.received, (entry, ids)).await?;
    for step in &what.steps {
        let (deed, detail) = deed_text(&step.deed);
        let values = values![id.as_str(), entry, step.spool, step.at.0, deed, detail];
        tx.run(ADD_STEP, values).await?;
    }
    for read in &what.readings {
        let (at, net_g) = (read.at.0, read.net_g);
        let values = values![id.as_str(), entry, read.spool, at, net_g, read.gross_g];
        tx.run(ADD_READING, values).await?;
    }
    for taken in &what.uses {
        let plate = number(taken.plate)?;
        let before = tx.rows(USED, values![id.as_str(), plate, entry]).await?;
        if !before.is_empty() {
            let (plate, step) = (taken.plate, StepKind::Off);
            return Err(StoreError::StepTaken { plate, step });
        }
        let (from, until, mg) = (taken.from.0, taken.until.0, taken.used_mg);
        let values = values![id.as_str(), plate, taken.spool, from, until, mg, entry];
        tx.run(ADD_USE, values).await?;
    }
    promise(tx, &id, &what.promised, entry).await?;
    for &(number, how) in &what.ended {
        let values = values![id.as_str(), number, end_text(how), entry];
        tx.run(END_DELIVERY, values).await?;
    }
    Ok(())
}

async fn receive(
    tx: &mut Tx,
    region: &str,
    rolls: &[Roll],
    (entry, ids): (i64, &mut IdSource),
) -> Result<(), StoreError> {
    let next = one(tx, NEXT_SPOOL, region).await?;
    for (roll, number) in rolls.iter().zip(next..) {
        let spool = SpoolId::fresh(ids, roll.received_at).to_string();
        let values = values![
            region,
            number,
            spool,
            roll.host.as_str(),
            roll.material.as_str(),
            roll.colour.as_str(),
            roll.net_g,
            roll.tare_g,
            roll.donor.as_str(),
            roll.received_at.0,
            entry
        ];
        tx.run(ADD_SPOOL, values).await?;
    }
    Ok(())
}

async fn promise(
    tx: &mut Tx,
    region: &str,
    promised: &[Delivery],
    entry: i64,
) -> Result<(), StoreError> {
    let next = one(tx, NEXT_DELIVERY, region).await?;
    for (delivery, number) in promised.iter().zip(next..) {
        let values = values![
            region,
            number,
            delivery.host.as_str(),
            delivery.material.as_str(),
            delivery.spools,
            delivery.net_g,
            delivery.due.0,
            delivery.donor.as_str(),
            entry
        ];
        tx.run(ADD_DELIVERY, values).await?;
    }
    Ok(())
}

impl Store {
    /// Everything on record about the spools of a region, of one and the same moment.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn ledger(&self, region: RegionId) -> Result<Ledger, StoreError> {
        let mut tx = self.db.snapshot().await?;
        let id = region.to_string();
        let entry = one(&mut tx, LAST, &id).await?;
        if entry == 0 {
            return Ok(Ledger::default());
        }
        let spools = tx.rows(SPOOLS, values![id.as_str()]).await?;
        let steps = tx.rows(STEPS, values![id.as_str()]).await?;
        let readings = tx.rows(READINGS, values![id.as_str()]).await?;
        let uses = tx.rows(USES, values![id.as_str()]).await?;
        let deliveries = tx.rows(DELIVERIES, values![id.as_str()]).await?;
        Ok(Ledger {
            entry,
            spools: spools.iter().map(to_spool).collect::<Result<_, _>>()?,
            steps: steps.iter().map(to_step).collect::<Result<_, _>>()?,
            readings: readings.iter().map(to_reading).collect::<Result<_, _>>()?,
            uses: uses.iter().map(to_use).collect::<Result<_, _>>()?,
            deliveries: deliveries
                .iter()
                .map(to_delivery)
                .collect::<Result<_, _>>()?,
        })
    }
}

fn to_spool(row: &Row) -> Result<Spool, StoreError> {
    Ok(Spool {
        number: row.int(0)?,
        id: row.id(1)?,
        roll: Roll {
            host: row.text(2)?,
            material: row.text(3)?,
            colour: row.text(4)?,
            net_g: row.int(5)?,
            tare_g: row.opt_int(6)?,
            donor: row.text(7)?,
            received_at: EventMs(row.int(8)?),
        },
    })
}

fn to_step(row: &Row) -> Result<Step, StoreError> {
    Ok(Step {
        spool: row.int(0)?,
        at: EventMs(row.int(1)?),
        deed: to_deed(&row.text(2)?, row.text(3)?)?,
    })
}

fn to_reading(row: &Row) -> Result<Reading, StoreError> {
    Ok(Reading {
        spool: row.int(0)?,
        at: EventMs(row.int(1)?),
        net_g: row.int(2)?,
        gross_g: row.opt_int(3)?,
    })
}

fn to_use(row: &Row) -> Result<Use, StoreError> {
    Ok(Use {
        spool: row.int(0)?,
        plate: row.count(1)?,
        used_mg: row.int(2)?,
        from: EventMs(row.int(3)?),
        until: EventMs(row.int(4)?),
    })
}

fn to_delivery(row: &Row) -> Result<Delivery, StoreError> {
    Ok(Delivery {
        number: row.int(0)?,
        host: row.text(1)?,
        material: row.text(2)?,
        spools: row.int(3)?,
        net_g: row.int(4)?,
        due: Minute(row.int(5)?),
        donor: row.text(6)?,
        end: row.opt_text(7)?.as_deref().map(to_end).transpose()?,
    })
}
