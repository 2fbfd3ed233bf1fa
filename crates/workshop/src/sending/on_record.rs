//! A part that is on record, to be sent once more.

use bytes::Bytes;
use partpledge_records::{ListedRequest, StoredRequest};
use partpledge_units::length::LengthUnit;

use super::{MOST_COPIES, Sent};
use crate::books::Books;
use crate::error::WorkshopError;
use crate::measuring::CriticalDimension;
use crate::plate_room::original;
use crate::review::Statement;
use crate::session::Session;

/// The file of a request, with what its team said of it.
#[derive(Clone, Debug)]
pub struct OnRecord<'a> {
    listed: &'a ListedRequest,
    bytes: Bytes,
    unit: Option<LengthUnit>,
    statement: Option<Statement>,
    dimensions: Vec<CriticalDimension>,
}

impl<'a> OnRecord<'a> {
    /// Reads the file, and the unit that its team or we settled on if it names none.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn open(
        session: &Session,
        books: &Books,
        listed: &'a ListedRequest,
    ) -> Result<Self, WorkshopError> {
        let (store, region) = session.writable()?;
        let version = store.version(region, listed.request.version).await?;
        let said = version.filter(|version| version.unit_source != "file");
        let unit = said.and_then(|version| {
            let mut all = LengthUnit::ALL.into_iter();
            all.find(|unit| unit.symbol() == version.unit)
        });
        let mut notes = books.notes(listed.request.id).iter();
        Ok(Self {
            listed,
            bytes: original(session, &listed.request).await?,
            unit,
            statement: notes.find_map(Statement::read),
            dimensions: books.dimensions(listed.request.id).to_vec(),
        })
    }

    /// The same again: as many copies in the same plastic, in the place of nothing, for no day.
    #[must_use]
    pub fn sent<'s>(&'s self, key: &'s str) -> Sent<'s> {
        let request = &self.listed.request;
        Sent {
            bytes: self.bytes.clone(),
            file_name: &self.listed.file_name,
            team: &request.team,
            part: Some(&self.listed.part),
            copies: copies(request),
            material: &request.material,
            need_by: None,
            unit: self.unit,
            replaces: None,
            statement: self.statement.as_ref(),
            dimensions: Some(&self.dimensions),
            again: true,
            over_limit: None,
            key,
        }
    }
}

/// Copies of a request.
pub(super) fn copies(request: &StoredRequest) -> u32 {
    u32::try_from(request.copies).unwrap_or(MOST_COPIES)
}
