//! Who asks. Every use case takes one, so that rights have a place to stand.

use partpledge_records::{Held, PersonKind, RoleKind};
use partpledge_units::ids::PersonId;

/// Somebody, by reference, in the role that they wear at the moment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Actor {
    role: Role,
    person: Option<PersonId>,
}

/// What somebody does in the region.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Role {
    /// Works at this machine's command line, where the data lies: may do everything.
    Machine,
    /// Is not signed in: may do nothing that takes a person.
    Nobody,
    /// Is a student of a team, named here.
    Team(String),
    /// Mentors a team, named here.
    Mentor(String),
    /// Works at the bench of a host, whose school's code stands here.
    Host(String),
    /// Keeps the region running.
    Coordinator,
    /// No person: the server itself, minute by minute.
    Clock,
    /// No person: a printer that says itself what it does, named here.
    Printer(String),
}

impl Role {
    /// The role that somebody holds.
    #[must_use]
    pub fn of(held: &Held) -> Self {
        let scope = held.scope.clone();
        match held.kind {
            RoleKind::Student => Self::Team(scope),
            RoleKind::Mentor => Self::Mentor(scope),
            RoleKind::Operator => Self::Host(scope),
            RoleKind::Coordinator => Self::Coordinator,
        }
    }

    /// As it is held by a person; `None` for what no person is.
    #[must_use]
    pub fn held(&self) -> Option<Held> {
        Some(match self {
            Self::Team(team) => Held::new(RoleKind::Student, team),
            Self::Mentor(team) => Held::new(RoleKind::Mentor, team),
            Self::Host(code) => Held::new(RoleKind::Operator, code),
            Self::Coordinator => Held::new(RoleKind::Coordinator, ""),
            Self::Machine | Self::Nobody | Self::Clock | Self::Printer(_) => return None,
        })
    }

    /// The team that they are of, as student or mentor.
    #[must_use]
    pub fn team(&self) -> Option<&str> {
        match self {
            Self::Team(team) | Self::Mentor(team) => Some(team),
            _ => None,
        }
    }
}

/// Which kind of person may hold a role.
#[must_use]
pub fn kind_for(role: RoleKind) -> PersonKind {
    match role {
        RoleKind::Student => PersonKind::Student,
        _ => PersonKind::Adult,
    }
}

impl Actor {
    /// Somebody in that role, whoever it is: for the command line, the clock, tests.
    #[must_use]
    pub fn new(role: Role) -> Self {
        Self { role, person: None }
    }

    /// A person in the role that they wear.
    #[must_use]
    pub fn person_as(person: PersonId, role: Role) -> Self {
        Self {
            role,
            person: Some(person),
        }
    }

    /// The person at this machine's command line.
    #[must_use]
    pub fn at_the_machine() -> Self {
        Self::new(Role::Machine)
    }

    /// What they do.
    #[must_use]
    pub fn role(&self) -> &Role {
        &self.role
    }

    /// Who it is, if a person.
    #[must_use]
    pub fn person(&self) -> Option<PersonId> {
        self.person
    }

    /// The reference, as events keep it: the role and the person's id, never a name of a person or
    /// a team, so that erasure has nothing to do in the log.
    #[must_use]
    pub fn reference(&self) -> String {
        let role = match &self.role {
            Role::Machine => "local".to_owned(),
            Role::Nobody => "nobody".to_owned(),
            Role::Team(_) => "team".to_owned(),
            Role::Mentor(_) => "mentor".to_owned(),
            Role::Host(code) => format!("host:{code}"),
            Role::Coordinator => "coordinator".to_owned(),
            Role::Clock => "clock".to_owned(),
            Role::Printer(name) => format!("printer:{name}"),
        };
        match self.person {
            Some(person) => format!("{role}/{person}"),
            None => role,
        }
    }
}
