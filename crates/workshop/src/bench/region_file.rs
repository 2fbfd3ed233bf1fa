//! The region is changed by a table or a newer file, exactly as it was shown: one deed, one plan, one reason.

use partpledge_catalogue::RegionFile;
use partpledge_records::{
    GroundChange, Happening, Held, NewRegionFile, RoleKind, Said, StoreError,
};
use partpledge_units::ids::IdSource;
use partpledge_words::{Said as Sentence, ToValue, Value, said};

use super::closing::as_answered;
use super::draft::{Draft, and_moved};
use super::{Done, Tries, known};
use crate::actor::Actor;
use crate::error::WorkshopError;
use crate::region_data::{Change, Proposal, Put, Told, propose_put};
use crate::session::Session;

/// What came of it.
#[derive(Debug)]
pub enum Changed {
    /// It was done.
    Done(Done),
    /// It was not: the region, or what stands in the way, is other than was shown. This is what it
    /// would do now.
    Ask(Box<Proposal>),
}

/// Changes the region by a table as it was shown under `digest`; all of it or nothing.
///
/// # Errors
/// As [`propose`](crate::region_data::propose), and as [`act`](super::act).
pub async fn change_region(
    session: &Session,
    actor: &Actor,
    (told, digest): (&Told, &str),
    key: Option<&str>,
) -> Result<Changed, WorkshopError> {
    Box::pin(put(session, actor, (Put::Table(told), digest), key)).await
}

/// Puts a newer region file in the region's place as it was shown under `digest`; all of it or nothing.
///
/// # Errors
/// As [`propose_put`], and as [`act`](super::act).
pub async fn replace_region(
    session: &Session,
    actor: &Actor,
    (text, digest): (&str, &str),
    key: Option<&str>,
) -> Result<Changed, WorkshopError> {
    Box::pin(put(session, actor, (Put::File(text), digest), key)).await
}

async fn put(
    session: &Session,
    actor: &Actor,
    (what, digest): (Put<'_>, &str),
    key: Option<&str>,
) -> Result<Changed, WorkshopError> {
    actor.must_coordinate()?;
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        if known(session, key).await? {
            return Ok(Changed::Done(Done::known()));
        }
        let proposal = Box::pin(propose_put(session, actor, &books, what)).await?;
        let next = proposal.review.file.as_ref();
        let (Some(next), Some(answer), true) =
            (next, proposal.answer.as_ref(), proposal.can_be_done())
        else {
            return Ok(Changed::Ask(Box::new(proposal)));
        };
        if proposal.digest != digest {
            return Ok(Changed::Ask(Box::new(proposal)));
        }
        let draft = Draft::new(session, actor, &books, key);
        let (plan, done) = as_answered(answer)?;
        let reason = in_words(what, &proposal);
        let happening = Happening {
            plan: Some((plan, and_moved(reason.clone(), &done))),
            ground: GroundChange {
                file: Some(NewRegionFile {
                    from: proposal.revision,
                    document: next.to_toml()?,
                    reason,
                    gone: gone(&session.terrain.file, next),
                }),
                ..GroundChange::default()
            },
            ..draft.event(
                "region.changed",
                vec![
                    ("table", Said::Text(name(what).to_owned())),
                    draft.makes_plan(),
                ],
            )
        };
        let (store, region) = session.writable()?;
        // The plan names printers and desks as they stand in the new file.
        let names = answer.session.terrain.names();
        let ids = &mut IdSource::Os;
        match store.happen(region, &happening, &names, ids).await {
            Ok(Some(_)) => return Ok(Changed::Done(done)),
            Ok(None) => return Ok(Changed::Done(Done::known())),
            Err(StoreError::Stale { .. } | StoreError::RegionMoved { .. }) => {}
            Err(error) => return Err(error.into()),
        }
    }
}

/// Roles at teams and hosts that are in one region file and not in the next.
fn gone(now: &RegionFile, next: &RegionFile) -> Vec<Held> {
    let teams = now.teams.iter().map(|team| &team.name);
    let teams = teams.filter(|name| next.teams.iter().all(|team| team.name != **name));
    let hosts = now.hosts.iter().map(|host| &host.school);
    let hosts = hosts.filter(|code| next.hosts.iter().all(|host| host.school != **code));
    let of_team = [RoleKind::Student, RoleKind::Mentor];
    let of_teams = teams.flat_map(|name| of_team.map(|kind| Held::new(kind, name)));
    of_teams
        .chain(hosts.map(|code| Held::new(RoleKind::Operator, code)))
        .collect()
}

/// The table, or `region` for all of it.
fn name(what: Put<'_>) -> &'static str {
    match what {
        Put::Table(told) => told.table.name(),
        Put::File(_) => "region",
    }
}

/// `the region was changed: printers (1 new, 2 changed)`.
fn in_words(what: Put<'_>, proposal: &Proposal) -> Sentence {
    let count = |is: fn(&Change) -> bool| {
        let lines = proposal.review.lines.iter();
        lines.filter(|line| is(&line.change)).count()
    };
    let new = count(|change| matches!(change, Change::Added(_)));
    let changed = count(|change| matches!(change, Change::Changed(_)));
    let out = count(|change| *change == Change::Removed);
    let counts = [
        (new, said!("promises-plan-new", n = new)),
        (changed, said!("promises-plan-changed", n = changed)),
        (out, said!("promises-plan-taken-out", n = out)),
    ];
    let counts = counts.into_iter().filter(|(n, _)| *n > 0);
    let counts = counts.map(|(_, says)| says);
    let joined = |before, last| said!("promises-plan-counts", before = before, last = last);
    let counts = counts.reduce(joined).map(|says| says.to_value());
    let counts = counts.unwrap_or_else(|| Value::Text(String::new()));
    match what {
        Put::Table(_) => said!("promises-plan-region", table = name(what), counts = counts),
        Put::File(_) => said!("promises-plan-region-file", counts = counts),
    }
}
