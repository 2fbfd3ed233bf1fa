//! How evenly teams were served over the season: parts, hours, grams and waits by team, with Jain's index.

use std::collections::BTreeMap;

use partpledge_catalogue::region::PaidBy;
use partpledge_records::ListedRequest;
use partpledge_records::stored::StoredEstimate;
use partpledge_season::jain_index;
use partpledge_units::time::Minutes;

use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::session::Session;
use crate::spent::Runs;
use crate::wrong_unit;

/// What one team got.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Share {
    /// The team.
    pub team: String,
    /// Requests that could be made: promised, whatever became of them.
    pub asked: usize,
    /// Copies handed over, those in the wrong unit not counted: nobody could use them.
    pub parts: usize,
    /// Printing of its plates that came off, failed runs not counted: nobody wanted those.
    pub printing: Minutes,
    /// Filament in the copies handed over, g; what no estimate was kept of is left out.
    pub grams: f64,
    /// Median time from asking to hand-over, of requests that were handed over whole.
    pub wait: Option<Minutes>,
    /// Of printing and filament, what was in the wrong unit and the team pays for.
    pub wrong: Wrong,
}

/// What parts in the wrong unit took.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Wrong {
    /// Copies that were handed over.
    pub copies: usize,
    /// Printing of their plates.
    pub printing: Minutes,
    /// Filament in them, g.
    pub grams: f64,
}

impl Wrong {
    fn add(&mut self, other: Self) {
        self.copies += other.copies;
        self.printing = self.printing + other.printing;
        self.grams += other.grams;
    }
}

/// All teams that asked for something, and how even it was.
#[derive(Clone, Debug, PartialEq)]
pub struct Shares {
    /// By team's name.
    pub teams: Vec<Share>,
    /// Jain's index of copies, of printing time and of filament; `None` while nobody got any.
    pub parts: Option<f64>,
    /// See `parts`.
    pub printing: Option<f64>,
    /// See `parts`.
    pub grams: Option<f64>,
    /// Jain's index of the median waits, over teams that have one.
    pub waits: Option<f64>,
    /// What was in the wrong unit and the region pays for: it stands in no team's share.
    pub region: Wrong,
}

/// The season so far.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for nobody; [`WorkshopError::Store`].
pub async fn shares(
    session: &Session,
    actor: &Actor,
    books: &Books,
) -> Result<Shares, WorkshopError> {
    actor.must_be_known()?;
    let (store, region) = session.writable()?;
    let runs = Runs::open(session, books).await?;
    let mut teams: BTreeMap<&str, Share> = BTreeMap::new();
    let mut waits: BTreeMap<&str, Vec<i64>> = BTreeMap::new();
    let mut by_region = Wrong::default();
    for listed in &books.requests {
        let request = &listed.request;
        if books.pledge_of(request.id).is_none() {
            continue;
        }
        let share = teams.entry(&request.team).or_default();
        share.asked += 1;
        let parts = books.handed_over(request.id);
        let printing = runs.printed(books, request.id);
        let mut grams = 0.0;
        if parts > 0 {
            let kept = store.estimates_of(region, request.version).await?;
            grams = mass_of_one(session, listed, &kept)? * parts as f64;
        }
        let wrong = Wrong {
            copies: parts,
            printing,
            grams,
        };
        match wrong_unit::found(books, request.id).map(|found| found.paid_by) {
            Some(PaidBy::Region) => {
                by_region.add(wrong);
                continue;
            }
            Some(PaidBy::Team) => share.wrong.add(wrong),
            None => share.parts += parts,
        }
        share.printing = share.printing + printing;
        share.grams += grams;
        waits
            .entry(&request.team)
            .or_default()
            .extend(wait(books, listed));
    }
    let mut out: Vec<Share> = Vec::with_capacity(teams.len());
    for (team, mut share) in teams {
        team.clone_into(&mut share.team);
        share.wait = waits.get_mut(team).and_then(|list| median(list));
        out.push(share);
    }
    let of = |one: fn(&Share) -> f64| jain_index(&out.iter().map(one).collect::<Vec<f64>>());
    let waits: Vec<f64> = out.iter().filter_map(|s| Some(s.wait?.0 as f64)).collect();
    Ok(Shares {
        parts: of(|share| share.parts as f64),
        printing: of(|share| share.printing.0 as f64),
        grams: of(|share| share.grams),
        waits: jain_index(&waits),
        region: by_region,
        teams: out,
    })
}

/// Filament of one copy, g: the mean over the parts of its file, on the first class that is known.
fn mass_of_one(
    session: &Session,
    listed: &ListedRequest,
    kept: &[(partpledge_records::EstimateKey, String)],
) -> Result<f64, WorkshopError> {
    let (process, _) = crate::estimating::Process::of_request(&session.catalogue, &listed.request)?;
    let sheet = process.key();
    let own = || kept.iter().filter(|(key, _)| key.sheet == sheet);
    let Some(class) = own().map(|(key, _)| key.class.as_str()).min() else {
        return Ok(0.0);
    };
    let mut masses = Vec::new();
    for (_, text) in own().filter(|(key, _)| key.class == class) {
        masses.push(StoredEstimate::from_text(text)?.mass_g);
    }
    Ok(masses.iter().sum::<f64>() / masses.len().max(1) as f64)
}

/// From asking to hand-over, min, if all of it was handed over.
pub(crate) fn wait(books: &Books, listed: &ListedRequest) -> Option<i64> {
    let came = books.came(listed.request.id)?;
    let wait = (came.0 - listed.request.asked_at.0) / 60_000;
    Some(wait.max(0))
}

/// The middle one; of an even number the mean of the two in the middle.
pub(crate) fn median(list: &mut [i64]) -> Option<Minutes> {
    list.sort_unstable();
    let half = list.len() / 2;
    let upper = *list.get(half)?;
    if list.len() % 2 == 1 {
        return Some(Minutes(upper));
    }
    Some(Minutes(i64::midpoint(list[half - 1], upper)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_median_is_the_middle() {
        assert_eq!(median(&mut []), None);
        assert_eq!(median(&mut [9, 1, 5]), Some(Minutes(5)));
        assert_eq!(median(&mut [9, 1, 5, 6]), Some(Minutes(5)));
    }
}
