//! Crews of benches that students run: nicknames, sign-offs, who said that they are there, and deeds
//! that an adult has to look at.
//!
//! A nickname is the only thing here that is personal. Whoever is off the crew keeps an id that leads
//! to no name. Who was at the bench is forgotten after days and never in the log.

use partpledge_units::ids::{CrewId, IdSource, PersonId, RegionId};
use partpledge_units::time::EventMs;

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::events::{Deed, append_deed, seen};
use crate::happening::{Payload, Said, to_json};
use crate::plates::number;
use crate::regions;
use crate::store::Store;

/// Somebody of a crew, as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CrewMember {
    /// The reference that sign-offs have.
    pub id: CrewId,
    /// Code of the host's school.
    pub host: String,
    /// Nickname; empty once they are off the crew.
    pub name: String,
    /// Their account, for a student who has one.
    pub person: Option<PersonId>,
    /// Since when.
    pub since: EventMs,
    /// Until when.
    pub left_at: Option<EventMs>,
}

/// What was said of a sign-off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CrewSign {
    /// Of whom.
    pub member: CrewId,
    /// For what, by its word.
    pub task: String,
    /// On which class of printers; empty for none.
    pub class: String,
    /// Until when; `None` when it was withdrawn.
    pub until: Option<EventMs>,
}

/// A sign-off as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptSign {
    /// What was said.
    pub said: CrewSign,
    /// When.
    pub at: EventMs,
    /// Who said so, by reference.
    pub actor: String,
}

/// Who of a crew is at the bench, in place of what was said before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CrewPresent {
    /// Since when.
    pub at: EventMs,
    /// Until when, unless something else is said.
    pub until: EventMs,
    /// Who.
    pub crew: Vec<CrewId>,
}

/// An adult says until when they are at the bench; an earlier end takes the place of a later one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AdultPresent {
    /// Since when.
    pub at: EventMs,
    /// Until when.
    pub until: EventMs,
    /// Who.
    pub person: PersonId,
}

/// A deed that an adult has to look at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToLook {
    /// Code of the host's school.
    pub host: String,
    /// Which plate, or share of one; of a spool that was put on a printer, its number.
    pub plate: u64,
    /// What was done, by its word.
    pub deed: &'static str,
    /// Why an adult looks, by its word.
    pub why: &'static str,
}

/// Such a deed as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptLook {
    /// Entry of the log; it is looked at by this.
    pub entry: i64,
    /// Which plate, or share of one; of a spool that was put on a printer, its number.
    pub plate: u64,
    /// What was done, by its word.
    pub deed: String,
    /// Why, by its word.
    pub why: String,
    /// When it was done.
    pub at: EventMs,
}

/// Everything about the crew of a host.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CrewBook {
    /// Everybody who ever was, in order of coming.
    pub members: Vec<CrewMember>,
    /// Sign-offs in the order in which they were said.
    pub signs: Vec<KeptSign>,
    /// Who said that they are there, in the order in which it was said.
    pub present: Vec<CrewPresent>,
    /// Adults who said so, in the order in which they did.
    pub adults: Vec<AdultPresent>,
    /// Deeds that nobody has looked at yet.
    pub to_look: Vec<KeptLook>,
}

/// What is changed about a crew.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CrewChange {
    /// Somebody comes in.
    Join {
        /// Nickname.
        name: String,
        /// Their account, if they have one.
        person: Option<PersonId>,
    },
    /// Sign-offs are given, extended or withdrawn.
    Sign(Vec<CrewSign>),
    /// Somebody is off the crew: the nickname goes.
    Leave(CrewId),
    /// Who of the crew is there.
    Present(CrewPresent),
    /// An adult is there.
    Adult(AdultPresent),
    /// An adult has looked at a deed.
    Looked(i64),
}

impl CrewChange {
    /// The event: never a name, and who of the crew is there not at all.
    fn event(&self, host: &str) -> (&'static str, Payload) {
        let id = |id: CrewId| ("crew", Said::Text(id.to_string()));
        let (kind, more) = match self {
            Self::Join { .. } => ("crew.joined", None),
            Self::Sign(signs) if signs.iter().all(|sign| sign.until.is_none()) => {
                ("crew.withdrawn", signs.first().map(|sign| id(sign.member)))
            }
            Self::Sign(signs) => ("crew.signed-off", signs.first().map(|sign| id(sign.member))),
            Self::Leave(member) => ("crew.left", Some(id(*member))),
            Self::Present(_) => ("bench.present", None),
            Self::Adult(_) => ("bench.adult", None),
            Self::Looked(entry) => {
                let entry = u64::try_from(*entry).unwrap_or(0);
                (
                    "deed.looked-at",
                    Some(("entry", Said::Numbers(vec![entry]))),
                )
            }
        };
        let mut payload = vec![("host", Said::Text(host.to_owned()))];
        payload.extend(more);
        (kind, payload)
    }

    /// Who did it, as the log has it: of an adult who is there, the role alone. The log is kept for good.
    fn logged(&self, deed: &Deed) -> Deed {
        let role = match (self, deed.actor.split_once('/')) {
            (Self::Adult(_), Some((role, _))) => role,
            _ => &deed.actor,
        };
        Deed {
            actor: role.to_owned(),
            ..deed.clone()
        }
    }
}

sql! {
    MEMBERS = "SELECT crew_id, host, name, person_id, added_at, left_at FROM crew
        WHERE region_id = $1 AND host = $2 ORDER BY added_at, crew_id";
    SIGNS = "SELECT s.crew_id, s.task, s.class, s.until, s.at, s.actor FROM crew_signs s
        JOIN crew c ON c.region_id = s.region_id AND c.crew_id = s.crew_id
        WHERE s.region_id = $1 AND c.host = $2 ORDER BY s.entry, s.crew_id, s.task, s.class";
    PRESENT = "SELECT at, until, crew FROM bench_present WHERE region_id = $1 AND host = $2
        ORDER BY at, entry";
    ADULTS = "SELECT at, until, person_id FROM bench_adults WHERE region_id = $1 AND host = $2
        ORDER BY at, entry";
    LOOKS = "SELECT entry, plate_seq, deed, why, at FROM adult_looks
        WHERE region_id = $1 AND host = $2 AND looked_at IS NULL
            AND entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1)
        ORDER BY entry";
    SAME_NAME = "SELECT name FROM crew WHERE region_id = $1 AND host = $2 AND left_at IS NULL";
    JOIN = "INSERT INTO crew (region_id, crew_id, host, name, person_id, added_at)
        VALUES ($1, $2, $3, $4, $5, $6)";
    SIGN = "INSERT INTO crew_signs (region_id, entry, crew_id, task, class, at, until, actor)
        SELECT $1, $2, $3, $4, $5, $6, $7, $8 FROM crew
        WHERE region_id = $1 AND crew_id = $3 AND host = $9 AND left_at IS NULL";
    LEAVE = "UPDATE crew SET name = '', person_id = NULL, left_at = $4
        WHERE region_id = $1 AND crew_id = $2 AND host = $3 AND left_at IS NULL";
    HERE = "INSERT INTO bench_present (region_id, entry, host, at, until, crew)
        VALUES ($1, $2, $3, $4, $5, $6)";
    ADULT = "INSERT INTO bench_adults (region_id, entry, host, at, until, person_id)
        VALUES ($1, $2, $3, $4, $5, $6)";
    LOOK = "INSERT INTO adult_looks (region_id, entry, host, plate_seq, deed, why, at)
        VALUES ($1, $2, $3, $4, $5, $6, $7)";
    LOOKED = "UPDATE adult_looks SET looked_at = $4
        WHERE region_id = $1 AND entry = $2 AND host = $3 AND looked_at IS NULL";
    ERASE_PERSON = "UPDATE crew SET name = '', person_id = NULL, left_at = $3
        WHERE region_id = $1 AND person_id = $2 AND left_at IS NULL";
    FORGET_ADULT = "DELETE FROM bench_adults WHERE region_id = $1 AND person_id = $2";
    OF_PERSON = "SELECT crew_id, host, name, person_id, added_at, left_at FROM crew
        WHERE region_id = $1 AND person_id = $2 ORDER BY added_at, crew_id";
    ERASE_BEFORE = "UPDATE crew SET name = '', person_id = NULL, left_at = $3
        WHERE region_id = $1 AND added_at < $2 AND left_at IS NULL";
    OLD_PRESENT = "DELETE FROM bench_present WHERE region_id = $1 AND until < $2";
    OLD_ADULTS = "DELETE FROM bench_adults WHERE region_id = $1 AND until < $2";
}

fn member(row: &Row) -> Result<CrewMember, StoreError> {
    Ok(CrewMember {
        id: row.id(0)?,
        host: row.text(1)?,
        name: row.text(2)?,
        person: match row.opt_text(3)? {
            Some(_) => Some(row.id(3)?),
            None => None,
        },
        since: EventMs(row.int(4)?),
        left_at: row.opt_int(5)?.map(EventMs),
    })
}

fn sign(row: &Row) -> Result<KeptSign, StoreError> {
    Ok(KeptSign {
        said: CrewSign {
            member: row.id(0)?,
            task: row.text(1)?,
            class: row.text(2)?,
            until: row.opt_int(3)?.map(EventMs),
        },
        at: EventMs(row.int(4)?),
        actor: row.text(5)?,
    })
}

fn present(row: &Row) -> Result<CrewPresent, StoreError> {
    let crew = row.text(2)?;
    let damaged = |_| StoreError::Damaged {
        what: "crew",
        why: crew.clone(),
    };
    let ids = crew
        .split_whitespace()
        .map(|id| id.parse().map_err(damaged));
    Ok(CrewPresent {
        at: EventMs(row.int(0)?),
        until: EventMs(row.int(1)?),
        crew: ids.collect::<Result<_, _>>()?,
    })
}

fn look(row: &Row) -> Result<KeptLook, StoreError> {
    Ok(KeptLook {
        entry: row.int(0)?,
        plate: row.count(1)?,
        deed: row.text(2)?,
        why: row.text(3)?,
        at: EventMs(row.int(4)?),
    })
}

fn gone(what: &'static str, id: &str) -> StoreError {
    let id = id.to_owned();
    StoreError::NoSuch { what, id }
}

/// Writes that an adult has to look at what a happening did, in its transaction.
pub(crate) async fn add_look(
    tx: &mut Tx,
    region: RegionId,
    what: &ToLook,
    (entry, at): (i64, EventMs),
) -> Result<(), StoreError> {
    let row = values![
        region.to_string(),
        entry,
        what.host.as_str(),
        number(what.plate)?,
        what.deed,
        what.why,
        at.0
    ];
    tx.run(LOOK, row).await?;
    Ok(())
}

/// Somebody who is erased is on no crew any more, and was no adult at a bench.
pub(crate) async fn forget(
    tx: &mut Tx,
    (region, who): (&str, &str),
    now: EventMs,
) -> Result<(), StoreError> {
    tx.run(ERASE_PERSON, values![region, who, now.0]).await?;
    tx.run(FORGET_ADULT, values![region, who]).await?;
    Ok(())
}

async fn change(
    tx: &mut Tx,
    region: RegionId,
    (host, what): (&str, &CrewChange),
    (deed, entry): (&Deed, i64),
    ids: &mut IdSource,
) -> Result<(), StoreError> {
    let place = region.to_string();
    match what {
        CrewChange::Join { name, person } => {
            let others = tx.rows(SAME_NAME, values![place.as_str(), host]).await?;
            for row in &others {
                if row.text(0)?.to_lowercase() == name.to_lowercase() {
                    return Err(StoreError::Taken { what: "nickname" });
                }
            }
            let at = deed.received_at;
            let id = CrewId::fresh(ids, at).to_string();
            let person = person.map(|person| person.to_string());
            tx.run(JOIN, values![place, id, host, name.as_str(), person, at.0])
                .await?;
        }
        CrewChange::Sign(signs) => {
            for sign in signs {
                let id = sign.member.to_string();
                let row = values![
                    place.as_str(),
                    entry,
                    id.as_str(),
                    sign.task.as_str(),
                    sign.class.as_str(),
                    deed.received_at.0,
                    sign.until.map(|until| until.0),
                    deed.actor.as_str(),
                    host
                ];
                if tx.run(SIGN, row).await? == 0 {
                    return Err(gone("crew", &id));
                }
            }
        }
        CrewChange::Leave(member) => {
            let id = member.to_string();
            let row = values![place, id.as_str(), host, deed.received_at.0];
            if tx.run(LEAVE, row).await? == 0 {
                return Err(gone("crew", &id));
            }
        }
        CrewChange::Present(here) => {
            let crew: Vec<String> = here.crew.iter().map(CrewId::to_string).collect();
            let row = values![place, entry, host, here.at.0, here.until.0, crew.join(" ")];
            tx.run(HERE, row).await?;
        }
        CrewChange::Adult(here) => {
            let who = here.person.to_string();
            let row = values![place, entry, host, here.at.0, here.until.0, who];
            tx.run(ADULT, row).await?;
        }
        CrewChange::Looked(look) => {
            let row = values![place, *look, host, deed.received_at.0];
            if tx.run(LOOKED, row).await? == 0 {
                return Err(gone("look", &look.to_string()));
            }
        }
    }
    Ok(())
}

impl Store {
    /// Everything about the crew of a host, at one moment.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn crew(&self, region: RegionId, host: &str) -> Result<CrewBook, StoreError> {
        let mut tx = self.db.snapshot().await?;
        let place = region.to_string();
        let whose = values![place.as_str(), host];
        let adult = |row: &Row| {
            Ok(AdultPresent {
                at: EventMs(row.int(0)?),
                until: EventMs(row.int(1)?),
                person: row.id(2)?,
            })
        };
        Ok(CrewBook {
            members: (tx.rows(MEMBERS, whose).await?.iter().map(member))
                .collect::<Result<_, _>>()?,
            signs: (tx.rows(SIGNS, whose).await?.iter().map(sign)).collect::<Result<_, _>>()?,
            present: (tx.rows(PRESENT, whose).await?.iter().map(present))
                .collect::<Result<_, _>>()?,
            adults: (tx.rows(ADULTS, whose).await?.iter().map(adult))
                .collect::<Result<_, StoreError>>()?,
            to_look: (tx.rows(LOOKS, whose).await?.iter().map(look)).collect::<Result<_, _>>()?,
        })
    }

    /// Changes something about the crew of a host, once for each key; the number of its entry, `None`
    /// when it was done before.
    ///
    /// # Errors
    /// [`StoreError::Taken`] for a nickname that another of the crew has; [`StoreError::NoSuch`] for
    /// somebody who is not of it, or a deed that nobody has to look at.
    pub async fn change_crew(
        &self,
        region: RegionId,
        (host, what): (&str, &CrewChange),
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<Option<i64>, StoreError> {
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        if seen(&mut tx, region, deed).await? {
            return Ok(None);
        }
        let (kind, payload) = what.event(host);
        let event = (kind, to_json(&payload));
        let logged = what.logged(deed);
        let entry = append_deed(&mut tx, region, event, &logged, ids).await?;
        change(&mut tx, region, (host, what), (deed, entry), ids).await?;
        tx.commit().await?;
        if matches!(what, CrewChange::Leave(_)) {
            // It is done; what this leaves for a moment goes with the next.
            let _ = self.db.forget_log().await;
        }
        Ok(Some(entry))
    }

    /// The crews that somebody with an account is on.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn crews_of(
        &self,
        region: RegionId,
        person: PersonId,
    ) -> Result<Vec<CrewMember>, StoreError> {
        let whose = values![region.to_string(), person.to_string()];
        let rows = self.db.rows(OF_PERSON, whose).await?;
        rows.iter().map(member).collect()
    }

    /// Takes everybody off the crews who came before a moment; how many.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn erase_crews(
        &self,
        region: RegionId,
        (before, now): (EventMs, EventMs),
    ) -> Result<u64, StoreError> {
        let row = values![region.to_string(), before.0, now.0];
        let many = self.db.alone(ERASE_BEFORE, row).await?;
        if many > 0 {
            let _ = self.db.forget_log().await;
        }
        Ok(many)
    }

    /// Forgets who was at benches until then.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn forget_present(
        &self,
        region: RegionId,
        until: EventMs,
    ) -> Result<u64, StoreError> {
        let row = values![region.to_string(), until.0];
        Ok(self.db.alone(OLD_PRESENT, row).await? + self.db.alone(OLD_ADULTS, row).await?)
    }
}
