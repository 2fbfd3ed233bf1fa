//! Who asks. Every use case takes one, so that rights have a place to stand.

/// Somebody, by reference. Until accounts exist the server listens on loopback only, and the
/// person at the machine is all the actors there are; who they look as is their own choice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Actor {
    role: Role,
}

/// What somebody does in the region.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Role {
    /// Works at this machine's command line.
    Machine,
    /// Is of a team, named here.
    Team(String),
    /// Works at the bench of a host, whose school's code stands here.
    Host(String),
    /// Keeps the region running.
    Coordinator,
    /// No person: the server itself, minute by minute.
    Clock,
}

impl Actor {
    /// Somebody in that role.
    #[must_use]
    pub fn new(role: Role) -> Self {
        Self { role }
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

    /// The reference, as events keep it: never a name of a person or a team, so that erasure
    /// has nothing to do in the log.
    #[must_use]
    pub fn reference(&self) -> String {
        match &self.role {
            Role::Machine => "local".to_owned(),
            Role::Team(_) => "team".to_owned(),
            Role::Host(code) => format!("host:{code}"),
            Role::Coordinator => "coordinator".to_owned(),
            Role::Clock => "clock".to_owned(),
        }
    }
}
