//! Somebody stands in for the coordinator while they are away.

use partpledge_records::{Held, PersonKind, RoleKind, StoreError};
use partpledge_units::ids::{IdSource, PersonId};
use partpledge_units::local::parse_date;
use partpledge_units::time::{EventMs, Minute};

use super::{People, PeopleError, Problem};
use crate::actor::Actor;
use crate::error::WorkshopError;

/// Days for which somebody may stand in, from today. Common practice, no source.
pub const MOST_DAYS: i32 = 60;

fn coordinator() -> Held {
    Held::new(RoleKind::Coordinator, "")
}

impl People<'_> {
    /// An adult stands in for the coordinator to the end of a day (`2027-03-12`, in the region's time): they
    /// do what a coordinator does, except that the coordinators themselves, and who stands in, are not
    /// for them to choose.
    ///
    /// # Errors
    /// [`Problem::StandInDay`], [`Problem::StandInWho`]; [`WorkshopError::NotAllowed`] for others than a
    /// coordinator for good; [`WorkshopError::NotYours`] for nobody who is there.
    pub async fn stand_in(
        &self,
        actor: &Actor,
        id: PersonId,
        last_day: &str,
    ) -> Result<EventMs, PeopleError> {
        let (person, _) = self.somebody(actor, id).await?;
        self.must_stay(actor).await?;
        if person.kind != PersonKind::Adult {
            return Err(Problem::StandInWho.into());
        }
        let until = self.end_of(last_day).ok_or(Problem::StandInDay)?;
        let (deed, ids) = (self.deed(actor), &mut IdSource::Os);
        let whom = (id, until);
        match self.store.stand_in(self.region, whom, &deed, ids).await {
            Ok(()) => Ok(until),
            Err(StoreError::NoSuch { .. }) => Err(Problem::StandInWho.into()),
            Err(error) => Err(error.into()),
        }
    }

    /// The end of a day from today on, if it is near enough.
    fn end_of(&self, day: &str) -> Option<EventMs> {
        let zone = &self.terrain.zone;
        let today = zone.date(Minute::at_or_after(self.now));
        let day = parse_date(day).ok()?;
        let latest = today.saturating_add(jiff::Span::new().days(MOST_DAYS));
        if !(today..=latest).contains(&day) {
            return None;
        }
        let next = day.tomorrow().ok()?;
        Some(zone.minute(next, jiff::civil::Time::midnight()).to_ms())
    }

    /// For what only coordinators for good may do, as they are by now.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`] for others, also for who coordinated when they began to ask.
    pub(super) async fn must_stay(&self, actor: &Actor) -> Result<(), WorkshopError> {
        let Some(person) = actor.person() else {
            return Ok(());
        };
        if self.store.coordinates_for_good(self.region, person).await? {
            return Ok(());
        }
        let who = "coordinators who don’t only stand in";
        Err(WorkshopError::NotAllowed { who })
    }

    /// For what changes somebody: a coordinator is changed by coordinators for good, or by themselves.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`] for others.
    pub(super) async fn may_change(
        &self,
        actor: &Actor,
        id: PersonId,
        roles: &[Held],
    ) -> Result<(), WorkshopError> {
        if actor.person() == Some(id) || !roles.contains(&coordinator()) {
            return Ok(());
        }
        self.must_stay(actor).await
    }

    /// Ends the role of those who have stood in for long enough.
    pub(super) async fn end_over(&self, actor: &Actor) -> Result<(), WorkshopError> {
        let over = self.store.standing_in(self.region).await?;
        let over = over.into_iter().filter(|(_, until)| *until <= self.now);
        for (id, _) in over {
            let (deed, ids, held) = (self.deed(actor), &mut IdSource::Os, coordinator());
            // Whoever was let stand in for longer, or for good, a moment ago stays.
            let ended = self
                .store
                .end_role_over(self.region, (id, &held), &deed, ids);
            ended.await?;
        }
        Ok(())
    }
}
