//! Persons and what they do in the region. Erasing one leaves its id and nothing else.

use std::collections::BTreeMap;

use partpledge_units::ids::{IdSource, PersonId, RegionId};
use partpledge_units::time::EventMs;
use partpledge_words::Tongue;

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::events::{Deed, append_deed};
use crate::happening::{Said, to_json};
use crate::regions;
use crate::store::Store;
use crate::{crew, notices, outbox, passkeys};

/// Whether somebody is grown up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PersonKind {
    /// Signs in with an e-mail address and a password.
    Adult,
    /// Comes by a team's code, under a nickname.
    Student,
}

/// What somebody can be in a region.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RoleKind {
    /// Student of a team.
    Student,
    /// Mentor of a team.
    Mentor,
    /// Works at a host's bench.
    Operator,
    /// Keeps the region running.
    Coordinator,
}

macro_rules! words {
    ($kind:ident: $($name:ident = $word:literal),+ $(,)?) => {
        impl $kind {
            /// As stored.
            #[must_use]
            pub fn as_str(self) -> &'static str {
                match self { $(Self::$name => $word),+ }
            }
        }

        impl std::str::FromStr for $kind {
            type Err = crate::error::BadWord;
            fn from_str(text: &str) -> Result<Self, crate::error::BadWord> {
                match text { $($word => Ok(Self::$name),)+ _ => Err(crate::error::BadWord) }
            }
        }
    };
}
pub(crate) use words;

words!(PersonKind: Adult = "adult", Student = "student");
words!(RoleKind: Student = "student", Mentor = "mentor", Operator = "operator",
    Coordinator = "coordinator");

/// A role with the team or host that it is held at; nothing for a coordinator.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Held {
    /// Which role.
    pub kind: RoleKind,
    /// Name of the team, code of the host's school, or nothing.
    pub scope: String,
}

impl Held {
    /// A role at a team or host; an empty scope for a coordinator.
    #[must_use]
    pub fn new(kind: RoleKind, scope: &str) -> Self {
        let scope = scope.to_owned();
        Self { kind, scope }
    }

    pub(crate) fn read(row: &Row, i: usize) -> Result<Self, StoreError> {
        Ok(Self {
            kind: parsed(row, i)?,
            scope: row.text(i + 1)?,
        })
    }
}

/// A person as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Person {
    /// The reference that the log has.
    pub id: PersonId,
    /// Grown up or student.
    pub kind: PersonKind,
    /// Shown name, or nickname; empty once they have left.
    pub name: String,
    /// Adults only.
    pub email: Option<String>,
    /// Password hash, in its own string form. Adults only.
    pub secret: Option<String>,
    /// Language of their pages and mails, as a tag of RFC 5646.
    pub language: String,
    /// Since when.
    pub since: EventMs,
    /// When they left and were erased.
    pub left_at: Option<EventMs>,
}

/// Somebody to be written down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPerson {
    /// Grown up or student.
    pub kind: PersonKind,
    /// Shown name, or nickname.
    pub name: String,
    /// Lower case; adults only.
    pub email: Option<String>,
    /// Password hash; adults only.
    pub secret: Option<String>,
}

/// Columns of a person, for other files' joins.
pub(crate) const PERSON_COLUMNS: usize = 8;

sql! {
    ADD = "INSERT INTO persons (region_id, person_id, kind, name, email, secret, language, since)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8)";
    /// Given for good, also to who held it for a while.
    ADD_ROLE = "INSERT INTO person_roles (region_id, person_id, role, scope, given_at)
        VALUES ($1, $2, $3, $4, $5)
        ON CONFLICT (region_id, person_id, role, scope) DO UPDATE SET until = NULL";
    ONE = "SELECT person_id, kind, name, email, secret, language, since, left_at FROM persons
        WHERE region_id = $1 AND person_id = $2";
    BY_EMAIL = "SELECT person_id, kind, name, email, secret, language, since, left_at FROM persons
        WHERE region_id = $1 AND email = $2";
    ALL = "SELECT person_id, kind, name, email, secret, language, since, left_at FROM persons
        WHERE region_id = $1 AND left_at IS NULL ORDER BY since, person_id";
    ROLES = "SELECT role, scope, person_id FROM person_roles WHERE region_id = $1
        ORDER BY person_id, role, scope";
    ROLES_OF = "SELECT role, scope FROM person_roles WHERE region_id = $1 AND person_id = $2
        ORDER BY role, scope";
    NAMES_OF_TEAM = "SELECT name FROM persons p JOIN person_roles r
            ON r.region_id = p.region_id AND r.person_id = p.person_id
        WHERE p.region_id = $1 AND r.role = $2 AND r.scope = $3 AND p.left_at IS NULL";
    /// Whoever stands in for somebody does not count.
    HOLDERS = "SELECT COUNT(*) FROM person_roles
        WHERE region_id = $1 AND role = $2 AND until IS NULL";
    SECRET = "UPDATE persons SET secret = $3
        WHERE region_id = $1 AND person_id = $2 AND left_at IS NULL";
    LANGUAGE = "UPDATE persons SET language = $3
        WHERE region_id = $1 AND person_id = $2 AND left_at IS NULL";
    ERASE = "UPDATE persons SET name = '', email = NULL, secret = NULL, left_at = $3
        WHERE region_id = $1 AND person_id = $2 AND left_at IS NULL";
    DROP_ROLES = "DELETE FROM person_roles WHERE region_id = $1 AND person_id = $2";
    DROP_ROLE = "DELETE FROM person_roles
        WHERE region_id = $1 AND person_id = $2 AND role = $3 AND scope = $4";
    DROP_OVER = "DELETE FROM person_roles
        WHERE region_id = $1 AND person_id = $2 AND role = $3 AND scope = $4 AND until <= $5";
    /// A link to a new password was made for somebody who did not coordinate then.
    STOP_RESETS = "UPDATE codes SET stopped_at = COALESCE(stopped_at, $3)
        WHERE region_id = $1 AND person_id = $2 AND kind = 'reset'";
    /// Links that somebody made as a coordinator, and may not make any more.
    STOP_LINKS = "UPDATE codes SET stopped_at = COALESCE(stopped_at, $3)
        WHERE region_id = $1 AND made_by = $2 AND kind IN ('invite', 'reset')";
    /// Given again one day, the role must not let in whoever was let in by it before.
    DROP_WORN = "DELETE FROM sign_ins
        WHERE region_id = $1 AND person_id = $2 AND role = $3 AND scope = $4";
    STOP_WORN = "UPDATE tokens SET stopped_at = COALESCE(stopped_at, $5)
        WHERE region_id = $1 AND person_id = $2 AND role = $3 AND scope = $4";
    DROP_SIGN_INS = "DELETE FROM sign_ins WHERE region_id = $1 AND person_id = $2";
    DROP_CODES = "DELETE FROM codes WHERE region_id = $1 AND person_id = $2";
    DROP_TOKENS = "DELETE FROM tokens WHERE region_id = $1 AND person_id = $2";
    DEEDS = "SELECT kind, occurred_at FROM events WHERE region_id = $1 AND actor LIKE $2
        ORDER BY entry";
    LEFT = "SELECT COUNT(*) FROM persons WHERE region_id = $1 AND left_at IS NOT NULL";
}

pub(crate) fn parsed<T: std::str::FromStr>(row: &Row, i: usize) -> Result<T, StoreError> {
    row.parsed(i, "word")
}

pub(crate) fn person(row: &Row, i: usize) -> Result<Person, StoreError> {
    Ok(Person {
        id: row.id(i)?,
        kind: parsed(row, i + 1)?,
        name: row.text(i + 2)?,
        email: row.opt_text(i + 3)?,
        secret: row.opt_text(i + 4)?,
        language: row.text(i + 5)?,
        since: EventMs(row.int(i + 6)?),
        left_at: row.opt_int(i + 7)?.map(EventMs),
    })
}

fn no_person(id: PersonId) -> StoreError {
    StoreError::NoSuch {
        what: "person",
        id: id.to_string(),
    }
}

/// What the log says of somebody: the reference and, for a role, which.
pub(crate) fn said(id: PersonId, held: Option<&Held>) -> String {
    let mut payload = vec![("person", Said::Text(id.to_string()))];
    if let Some(held) = held {
        payload.push(("role", Said::Text(held.kind.as_str().to_owned())));
        payload.push(("scope", Said::Text(held.scope.clone())));
    }
    to_json(&payload)
}

/// Writes somebody down with a first role. The region is locked, so that names are looked at first.
pub(crate) async fn add(
    tx: &mut Tx,
    region: RegionId,
    (new, held): (&NewPerson, &Held),
    deed: &Deed,
    ids: &mut IdSource,
) -> Result<PersonId, StoreError> {
    if let Some(email) = &new.email {
        let rows = tx
            .rows(BY_EMAIL, values![region.to_string(), email.as_str()])
            .await?;
        if !rows.is_empty() {
            return Err(StoreError::Taken { what: "email" });
        }
    }
    if new.kind == PersonKind::Student {
        let whose = values![region.to_string(), held.kind.as_str(), held.scope.as_str()];
        for row in tx.rows(NAMES_OF_TEAM, whose).await? {
            if row.text(0)?.to_lowercase() == new.name.to_lowercase() {
                return Err(StoreError::Taken { what: "nickname" });
            }
        }
    }
    let at = deed.received_at;
    let id = PersonId::fresh(ids, at);
    tx.run(
        ADD,
        values![
            region.to_string(),
            id.to_string(),
            new.kind.as_str(),
            new.name.as_str(),
            new.email.clone(),
            new.secret.clone(),
            // They joined on pages in that tongue.
            Tongue::chosen(Tongue::spoken().tag())
                .unwrap_or_default()
                .tag(),
            at.0
        ],
    )
    .await?;
    give_role(tx, region, (id, held), at).await?;
    let joined = ("person.joined", said(id, Some(held)));
    append_deed(tx, region, joined, deed, ids).await?;
    Ok(id)
}

pub(crate) async fn give_role(
    tx: &mut Tx,
    region: RegionId,
    (id, held): (PersonId, &Held),
    at: EventMs,
) -> Result<(), StoreError> {
    let (kind, scope) = (held.kind.as_str(), held.scope.as_str());
    tx.run(
        ADD_ROLE,
        values![region.to_string(), id.to_string(), kind, scope, at.0],
    )
    .await?;
    match held.kind {
        RoleKind::Coordinator => stop_resets(tx, region, id, at).await,
        _ => Ok(()),
    }
}

/// Whoever comes to coordinate keeps the password that they have.
pub(crate) async fn stop_resets(
    tx: &mut Tx,
    region: RegionId,
    id: PersonId,
    at: EventMs,
) -> Result<(), StoreError> {
    let which = values![region.to_string(), id.to_string(), at.0];
    tx.run(STOP_RESETS, which).await?;
    Ok(())
}

/// What follows when somebody has lost a role: nobody is in by it, and nothing is told of it.
async fn after_role(
    tx: &mut Tx,
    region: RegionId,
    (id, held): (PersonId, &Held),
    deed: &Deed,
    ids: &mut IdSource,
) -> Result<(), StoreError> {
    let (place, who) = (region.to_string(), id.to_string());
    let (kind, scope, at) = (held.kind.as_str(), held.scope.as_str(), deed.received_at.0);
    if held.kind == RoleKind::Coordinator {
        keeps_a_coordinator(tx, region).await?;
        let which = values![place.as_str(), who.as_str(), at];
        tx.run(STOP_LINKS, which).await?;
    }
    let which = values![place.as_str(), who.as_str(), kind, scope];
    tx.run(DROP_WORN, which).await?;
    outbox::take_back(tx, (place.as_str(), who.as_str())).await?;
    notices::forget_role(tx, (place.as_str(), who.as_str()), held).await?;
    tx.run(STOP_WORN, values![place, who, kind, scope, at])
        .await?;
    let ended = ("role.ended", said(id, Some(held)));
    append_deed(tx, region, ended, deed, ids).await?;
    Ok(())
}

/// Puts another password hash in place; the log has it. The region is to be locked before.
pub(crate) async fn set_secret(
    tx: &mut Tx,
    region: RegionId,
    (id, secret): (PersonId, &str),
    deed: &Deed,
    ids: &mut IdSource,
) -> Result<(), StoreError> {
    let other = values![region.to_string(), id.to_string(), secret];
    if tx.run(SECRET, other).await? == 0 {
        return Err(no_person(id));
    }
    let changed = ("account.password-changed", said(id, None));
    append_deed(tx, region, changed, deed, ids).await?;
    Ok(())
}

/// Whether the region has a coordinator still. The region is locked, so that two who end each
/// other's role at once don't both find the other one there.
async fn keeps_a_coordinator(tx: &mut Tx, region: RegionId) -> Result<(), StoreError> {
    let which = values![region.to_string(), RoleKind::Coordinator.as_str()];
    let rows = tx.rows(HOLDERS, which).await?;
    match rows.first().map_or(Ok(0), |row| row.count(0))? {
        0 => Err(StoreError::LastCoordinator),
        _ => Ok(()),
    }
}

impl Store {
    /// Somebody's pages are to be in that language from now on. Nobody there is no error: they left.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn set_language(
        &self,
        region: RegionId,
        id: PersonId,
        tongue: Tongue,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let row = values![region.to_string(), id.to_string(), tongue.tag()];
        tx.run(LANGUAGE, row).await?;
        tx.commit().await
    }

    /// Writes somebody down with a first role.
    ///
    /// # Errors
    /// [`StoreError::Taken`] for an e-mail address, or a nickname in the team, that another has.
    pub async fn add_person(
        &self,
        region: RegionId,
        who: (&NewPerson, &Held),
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<PersonId, StoreError> {
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        let id = add(&mut tx, region, who, deed, ids).await?;
        tx.commit().await?;
        Ok(id)
    }

    /// Somebody, also one who has left.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn person(
        &self,
        region: RegionId,
        id: PersonId,
    ) -> Result<Option<Person>, StoreError> {
        let whose = values![region.to_string(), id.to_string()];
        let rows = self.db.rows(ONE, whose).await?;
        rows.first().map(|row| person(row, 0)).transpose()
    }

    /// Who has that e-mail address, in lower case.
    ///
    /// # Errors
    /// As [`Store::person`].
    pub async fn person_by_email(
        &self,
        region: RegionId,
        email: &str,
    ) -> Result<Option<Person>, StoreError> {
        let rows = self
            .db
            .rows(BY_EMAIL, values![region.to_string(), email])
            .await?;
        rows.first().map(|row| person(row, 0)).transpose()
    }

    /// Everybody who has not left, oldest first, with their roles.
    ///
    /// # Errors
    /// As [`Store::person`].
    pub async fn people(&self, region: RegionId) -> Result<Vec<(Person, Vec<Held>)>, StoreError> {
        let mut tx = self.db.snapshot().await?;
        let mut roles: BTreeMap<PersonId, Vec<Held>> = BTreeMap::new();
        for row in tx.rows(ROLES, values![region.to_string()]).await? {
            let held = Held::read(&row, 0)?;
            roles.entry(row.id(2)?).or_default().push(held);
        }
        let rows = tx.rows(ALL, values![region.to_string()]).await?;
        let with_roles = |row: &Row| {
            let person = person(row, 0)?;
            let held = roles.remove(&person.id).unwrap_or_default();
            Ok((person, held))
        };
        rows.iter().map(with_roles).collect()
    }

    /// What somebody does.
    ///
    /// # Errors
    /// As [`Store::person`].
    pub async fn roles_of(&self, region: RegionId, id: PersonId) -> Result<Vec<Held>, StoreError> {
        let whose = values![region.to_string(), id.to_string()];
        let rows = self.db.rows(ROLES_OF, whose).await?;
        rows.iter().map(|row| Held::read(row, 0)).collect()
    }

    /// How many hold a role for good, anywhere in the region.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn holders(&self, region: RegionId, kind: RoleKind) -> Result<usize, StoreError> {
        let which = values![region.to_string(), kind.as_str()];
        let rows = self.db.rows(HOLDERS, which).await?;
        rows.first().map_or(Ok(0), |row| row.count(0))
    }

    /// How many have left and were erased.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn people_left(&self, region: RegionId) -> Result<usize, StoreError> {
        let rows = self.db.rows(LEFT, values![region.to_string()]).await?;
        rows.first().map_or(Ok(0), |row| row.count(0))
    }

    /// Puts another password hash in place; the log has it.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] for somebody who is not there any more.
    pub async fn set_secret(
        &self,
        region: RegionId,
        which: (PersonId, &str),
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        set_secret(&mut tx, region, which, deed, ids).await?;
        tx.commit().await
    }

    /// Takes a role away; where it is worn, the person is signed out by that, and their tokens for
    /// it stop. Links that a coordinator made work no more.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] when they do not hold it; [`StoreError::LastCoordinator`].
    pub async fn end_role(
        &self,
        region: RegionId,
        (id, held): (PersonId, &Held),
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        let (place, who) = (region.to_string(), id.to_string());
        let (kind, scope) = (held.kind.as_str(), held.scope.as_str());
        let which = values![place.as_str(), who.as_str(), kind, scope];
        if tx.run(DROP_ROLE, which).await? == 0 {
            return Err(no_person(id));
        }
        after_role(&mut tx, region, (id, held), deed, ids).await?;
        tx.commit().await
    }

    /// As [`Store::end_role`], if the role had an end and that has come; whether it had.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn end_role_over(
        &self,
        region: RegionId,
        (id, held): (PersonId, &Held),
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<bool, StoreError> {
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        let (kind, scope, at) = (held.kind.as_str(), held.scope.as_str(), deed.received_at.0);
        let which = values![region.to_string(), id.to_string(), kind, scope, at];
        if tx.run(DROP_OVER, which).await? == 0 {
            return Ok(false);
        }
        after_role(&mut tx, region, (id, held), deed, ids).await?;
        tx.commit().await?;
        Ok(true)
    }

    /// Erases somebody: name, e-mail address, password, passkeys, roles, codes and sign-ins go, also from the
    /// free pages of the file; the id stays as somebody who has left.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] for somebody who is not there any more;
    /// [`StoreError::LastCoordinator`].
    pub async fn erase_person(
        &self,
        region: RegionId,
        id: PersonId,
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        let (place, who) = (region.to_string(), id.to_string());
        let (place, who) = (place.as_str(), who.as_str());
        let roles = tx.rows(ROLES_OF, values![place, who]).await?;
        let erased = values![place, who, deed.received_at.0];
        if tx.run(ERASE, erased).await? == 0 {
            return Err(no_person(id));
        }
        passkeys::forget(&mut tx, (place, who)).await?;
        for sql in [DROP_ROLES, DROP_SIGN_INS, DROP_CODES, DROP_TOKENS] {
            tx.run(sql, values![place, who]).await?;
        }
        notices::forget(&mut tx, (place, who)).await?;
        outbox::forget(&mut tx, (place, who)).await?;
        crew::forget(&mut tx, (place, who), deed.received_at).await?;
        for row in &roles {
            if Held::read(row, 0)?.kind == RoleKind::Coordinator {
                tx.run(STOP_LINKS, values![place, who, deed.received_at.0])
                    .await?;
                keeps_a_coordinator(&mut tx, region).await?;
            }
        }
        append_deed(&mut tx, region, ("person.left", said(id, None)), deed, ids).await?;
        tx.commit().await?;
        // It is done; what this leaves for a moment goes with the next.
        let _ = self.db.forget_log().await;
        Ok(())
    }

    /// Kinds and times of what the log has under somebody's reference, oldest first.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn deeds_of(
        &self,
        region: RegionId,
        id: PersonId,
    ) -> Result<Vec<(String, EventMs)>, StoreError> {
        let like = format!("%/{id}");
        let rows = self
            .db
            .rows(DEEDS, values![region.to_string(), like])
            .await?;
        let deed = |row: &Row| Ok((row.text(0)?, EventMs(row.int(1)?)));
        rows.iter().map(deed).collect()
    }
}
