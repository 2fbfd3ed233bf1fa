//! The demo's crew: named and signed off once, five days before the demo's first day.

use partpledge_hubs::Task;
use partpledge_testbed::{CREW, HUB, HUB_CLASS};
use partpledge_units::time::{EventMs, Minutes};
use partpledge_workshop::hub::{CrewDeed, Hub, lead};
use partpledge_workshop::people::PeopleError;
use partpledge_workshop::{Actor, Role, Session, WorkshopError};

const DAY_MS: i64 = 24 * 3_600_000;
/// How long their sign-offs hold, days.
const HOLDS_DAYS: i64 = 120;

/// Has an adult name the crew and sign it off, unless somebody is on it already.
pub(super) async fn sign(session: &Session) -> Result<(), WorkshopError> {
    let Some(hub) = Hub::open(session, HUB).await? else {
        return Ok(());
    };
    if !hub.book.members.is_empty() {
        return Ok(());
    }
    let actor = Actor::new(Role::Coordinator);
    let then = session.at(EventMs(session.now.0 - 5 * DAY_MS)).await?;
    for (name, _) in CREW {
        let name = name.to_owned();
        let key = format!("demo:crew:{name}");
        told(lead(&then, &actor, (HUB, &CrewDeed::Add { name }), Some(&key)).await)?;
    }
    let until = then.minute() + Minutes(HOLDS_DAYS * 24 * 60);
    let until = then.terrain.zone.date(until);
    let hub = Hub::open(&then, HUB).await?;
    for member in hub.iter().flat_map(Hub::crew) {
        let own = CREW.iter().find(|(name, _)| *name == member.name);
        let tasks = own.into_iter().flat_map(|(_, tasks)| *tasks);
        let tasks = tasks.filter_map(|word| Some((Task::parse(word)?, HUB_CLASS.to_owned())));
        let what = CrewDeed::Sign {
            member: member.id,
            tasks: tasks.collect(),
            until,
        };
        let key = format!("demo:sign-off:{}", member.name);
        told(lead(&then, &actor, (HUB, &what), Some(&key)).await)?;
    }
    Ok(())
}

/// Nicknames of the demo are in order, so only the store can fail.
fn told(done: Result<(), PeopleError>) -> Result<(), WorkshopError> {
    match done {
        Err(PeopleError::Failed(error)) => Err(error),
        _ => Ok(()),
    }
}
