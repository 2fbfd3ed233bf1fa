//! In which tongue somebody reads.

use partpledge_units::ids::PersonId;
use partpledge_words::Tongue;

use super::People;
use crate::error::WorkshopError;

impl People<'_> {
    /// Somebody's pages and mails are in `tongue` from now on. It is theirs alone and goes when they
    /// leave, so the log has nothing of it.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn speak(&self, id: PersonId, tongue: Tongue) -> Result<(), WorkshopError> {
        Ok(self.store.set_language(self.region, id, tongue).await?)
    }
}
