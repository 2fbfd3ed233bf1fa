//! Who asks. Every use case takes one, so that rights have a place to stand.

/// Somebody, by reference. Until accounts exist the server listens on loopback only, and the
/// person at the machine is all the actors there are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Actor {
    reference: String,
}

impl Actor {
    /// The person at this machine's command line.
    #[must_use]
    pub fn at_the_machine() -> Self {
        Self {
            reference: "local".to_owned(),
        }
    }

    /// The reference, as events keep it.
    #[must_use]
    pub fn reference(&self) -> &str {
        &self.reference
    }
}
