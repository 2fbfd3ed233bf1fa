//! What an event of the log is about: the one reading of it for whoever tells others of it.

use partpledge_records::{Event, Payload, Said, StepKind, told_of};
use partpledge_units::ids::RequestId;

use crate::books::Books;

/// An event, as far as it may be told to others.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Happened {
    /// Numbers and references, by name.
    pub(crate) says: Payload,
    /// The request that it names.
    pub(crate) request: Option<RequestId>,
    /// Numbers of others that the same was done to: what was taken down has the same file.
    also: Vec<u64>,
    /// The plate that it names, or the share of one.
    pub(crate) plate: Option<u64>,
    /// Shares of several requests, for what is told of all of them at once.
    shares: Vec<u64>,
    /// Whether that is a share: a box is one request's, a run is of all that lie on the plate.
    boxed: bool,
}

/// Whether a step of a box was taken back: that is one request's, whatever else lay on its plate.
fn of_box(event: &Event) -> bool {
    let step = event.text("step").and_then(|text| StepKind::parse(&text));
    matches!(
        step,
        Some(StepKind::Boxed | StepKind::Left | StepKind::HandedOver)
    )
}

impl Happened {
    /// Reads it.
    pub(crate) fn read(event: &Event) -> Self {
        let says = told_of(event);
        let request = says.iter().find_map(|(name, said)| match said {
            Said::Text(id) if *name == "request" => id.parse().ok(),
            _ => None,
        });
        let numbers = |which: &str| {
            says.iter().find_map(|(name, said)| match said {
                Said::Numbers(numbers) if *name == which => Some(numbers.clone()),
                _ => None,
            })
        };
        let plate = numbers("plate").and_then(|numbers| numbers.first().copied());
        let also = numbers("also").unwrap_or_default();
        let of_many = event.kind.starts_with("recall.");
        let shares = numbers("plates").filter(|_| of_many);
        Self {
            shares: shares.unwrap_or_default(),
            says,
            request,
            also,
            plate,
            boxed: event.kind.starts_with("box.") || of_box(event),
        }
    }

    /// The requests that it is about, in order of number: those that it names, or all whose
    /// copies lie on the plate that it names.
    pub(crate) fn requests(&self, books: &Books) -> Vec<RequestId> {
        let also = self.also.iter().filter_map(|number| {
            let listed = books.numbered(i64::try_from(*number).ok()?)?;
            Some(listed.request.id)
        });
        let named = self.request.into_iter().chain(also);
        let kept = self.plate.and_then(|plate| books.plate(plate));
        let company = match kept {
            Some(kept) if self.boxed => vec![kept],
            Some(kept) => books.company(kept),
            None => Vec::new(),
        };
        let many = self.shares.iter().filter_map(|share| books.plate(*share));
        let company = company.into_iter().chain(many);
        let mut all: Vec<RequestId> = named.chain(company.map(|row| row.request)).collect();
        all.sort_by_key(|id| books.request(*id).map(|listed| listed.request.number));
        all.dedup();
        all
    }
}
