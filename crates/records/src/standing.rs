//! Who stands in for the coordinator, and until when.

use partpledge_units::ids::{IdSource, PersonId, RegionId};
use partpledge_units::time::EventMs;

use crate::db::{Row, sql, values};
use crate::error::StoreError;
use crate::events::{Deed, append_deed};
use crate::happening::{Said, to_json};
use crate::persons::{RoleKind, stop_resets};
use crate::regions;
use crate::store::Store;

sql! {
    /// Whoever holds the role for good goes on doing so.
    STAND_IN = "INSERT INTO person_roles (region_id, person_id, role, scope, given_at, until)
        SELECT p.region_id, p.person_id, $3, '', CAST($4 AS BIGINT), CAST($5 AS BIGINT)
        FROM persons p WHERE p.region_id = $1 AND p.person_id = $2 AND p.kind = 'adult'
            AND p.left_at IS NULL
        ON CONFLICT (region_id, person_id, role, scope) DO UPDATE SET until = excluded.until
            WHERE person_roles.until IS NOT NULL";
    FOR_GOOD = "SELECT COUNT(*) FROM person_roles
        WHERE region_id = $1 AND person_id = $2 AND role = $3 AND until IS NULL";
    STANDING = "SELECT person_id, until FROM person_roles
        WHERE region_id = $1 AND until IS NOT NULL ORDER BY until, person_id";
}

impl Store {
    /// An adult has the coordinator's role until then, also if they stood in before.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] for a student, for nobody who is there, and for who coordinates for good.
    pub async fn stand_in(
        &self,
        region: RegionId,
        (person, until): (PersonId, EventMs),
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        let (kind, at) = (RoleKind::Coordinator.as_str(), deed.received_at.0);
        let which = values![region.to_string(), person.to_string(), kind, at, until.0];
        if tx.run(STAND_IN, which).await? == 0 {
            return Err(StoreError::NoSuch {
                what: "person",
                id: person.to_string(),
            });
        }
        stop_resets(&mut tx, region, person, deed.received_at).await?;
        let said = to_json(&vec![
            ("person", Said::Text(person.to_string())),
            ("until", Said::Text(until.0.to_string())),
        ]);
        append_deed(&mut tx, region, ("person.stands-in", said), deed, ids).await?;
        tx.commit().await
    }

    /// Whether somebody coordinates the region, and does not only stand in.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn coordinates_for_good(
        &self,
        region: RegionId,
        person: PersonId,
    ) -> Result<bool, StoreError> {
        let kind = RoleKind::Coordinator.as_str();
        let which = values![region.to_string(), person.to_string(), kind];
        let rows = self.db.rows(FOR_GOOD, which).await?;
        let many = rows.first().map_or(Ok(0), |row| row.count(0))?;
        Ok(many > 0)
    }

    /// Who stands in for the coordinator, and until when; also those whose time is over and whose role
    /// has not been ended yet.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn standing_in(
        &self,
        region: RegionId,
    ) -> Result<Vec<(PersonId, EventMs)>, StoreError> {
        let rows = self.db.rows(STANDING, values![region.to_string()]).await?;
        let one = |row: &Row| Ok((row.id(0)?, EventMs(row.int(1)?)));
        rows.iter().map(one).collect()
    }
}
