//! Roles that end by themselves: who stands in for the coordinator.

use crate::db::On;

/// A role may have a last moment; most have none.
pub(super) const STANDING: &[(On, &str)] =
    &[(On::Both, "ALTER TABLE person_roles ADD COLUMN until BIGINT")];
