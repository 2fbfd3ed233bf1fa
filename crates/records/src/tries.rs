//! Tries that failed, counted in the database so that several servers count together.
//!
//! A bucket is a hash of what is counted, with a salt that lasts a day: which account or which
//! network address it was can't be read back, and after a day the rows are gone.

use partpledge_units::ids::RegionId;
use partpledge_units::time::EventMs;

use crate::db::{sql, values};
use crate::error::StoreError;
use crate::store::Store;

sql! {
    COUNT = "INSERT INTO tries (region_id, bucket, used, until) VALUES ($1, $2, 1, $3)
        ON CONFLICT (region_id, bucket) DO UPDATE SET used = tries.used + 1 RETURNING used";
    BACK = "UPDATE tries SET used = used - 1
        WHERE region_id = $1 AND bucket = $2 AND used > 0";
    OVER = "DELETE FROM tries WHERE region_id = $1 AND until < $2";
    ADD_SALT = "INSERT INTO daily_salts (region_id, day, salt) VALUES ($1, $2, $3)
        ON CONFLICT (region_id, day) DO NOTHING";
    SALT = "SELECT salt FROM daily_salts WHERE region_id = $1 AND day = $2";
    OLD_SALTS = "DELETE FROM daily_salts WHERE region_id = $1 AND day < $2";
    ROWS = "SELECT (SELECT COUNT(*) FROM tries WHERE region_id = $1)
        + (SELECT COUNT(*) FROM daily_salts WHERE region_id = $1)";
}

impl Store {
    /// The salt of a day: `fresh` if there was none yet. Those of days before go.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn daily_salt(
        &self,
        region: RegionId,
        day: i64,
        fresh: &str,
    ) -> Result<String, StoreError> {
        let which = values![region.to_string(), day];
        if let Some(row) = self.db.rows(SALT, which).await?.first() {
            return row.text(0);
        }
        let mut tx = self.db.begin().await?;
        tx.run(OLD_SALTS, which).await?;
        tx.run(ADD_SALT, values![region.to_string(), day, fresh])
            .await?;
        let rows = tx.rows(SALT, which).await?;
        let salt = rows.first().map_or(Ok(fresh.to_owned()), |row| row.text(0));
        tx.commit().await?;
        salt
    }

    /// Counts a try in each bucket, which is forgotten at its end; if some have had more than their
    /// limit, the moment when the last of those ends. Buckets that are over go first.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn count_try(
        &self,
        region: RegionId,
        buckets: &[(String, i64, EventMs)],
        now: EventMs,
    ) -> Result<Option<EventMs>, StoreError> {
        let mut tx = self.db.begin().await?;
        let place = region.to_string();
        tx.run(OVER, values![place.as_str(), now.0]).await?;
        let mut full_until = None;
        for (bucket, limit, until) in buckets {
            let which = values![place.as_str(), bucket.as_str(), until.0];
            let rows = tx.rows(COUNT, which).await?;
            let used = rows.first().map_or(Ok(0), |row| row.int(0))?;
            if used > *limit {
                full_until = full_until.max(Some(*until));
            }
        }
        tx.commit().await?;
        Ok(full_until)
    }

    /// A try that went well is not counted after all.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn forgive_try(
        &self,
        region: RegionId,
        buckets: &[(String, i64, EventMs)],
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        for (bucket, ..) in buckets {
            tx.run(BACK, values![region.to_string(), bucket.as_str()])
                .await?;
        }
        tx.commit().await
    }

    /// Forgets what was counted until then, and salts of days before; how many rows are left.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn forget_tries(
        &self,
        region: RegionId,
        now: EventMs,
        day: i64,
    ) -> Result<usize, StoreError> {
        let mut tx = self.db.begin().await?;
        let place = region.to_string();
        tx.run(OVER, values![place.as_str(), now.0]).await?;
        tx.run(OLD_SALTS, values![place.as_str(), day]).await?;
        let rows = tx.rows(ROWS, values![place.as_str()]).await?;
        let left = rows.first().map_or(Ok(0), |row| row.count(0));
        tx.commit().await?;
        left
    }
}
