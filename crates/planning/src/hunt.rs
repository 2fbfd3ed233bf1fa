//! The best slot so far, and how late another may be cleared to be better.

use partpledge_planning_model::{Assignment, PlaceIx, SiteIx};
use partpledge_units::time::{Minute, Minutes};

use crate::ground::Ground;
use crate::insert::order;

/// A search for the best slot of one plate over many printers.
pub(crate) struct Hunt<'a> {
    ground: &'a Ground<'a>,
    to: PlaceIx,
    best: Option<Assignment>,
    /// By site; worked out when asked for, forgotten when the best changes.
    limits: Vec<Option<Minute>>,
}

impl<'a> Hunt<'a> {
    pub(crate) fn new(ground: &'a Ground<'a>, to: PlaceIx) -> Self {
        Self {
            ground,
            to,
            best: None,
            limits: vec![None; ground.region().sites.len()],
        }
    }

    /// No slot at the site that is cleared later is better than the best so far. Any is, while there is
    /// none.
    pub(crate) fn limit(&mut self, site: SiteIx) -> Minute {
        let Some(best) = &self.best else {
            return Minute(i64::MAX);
        };
        let (ground, to) = (self.ground, self.to);
        *self.limits[site.0].get_or_insert_with(|| {
            // Handed over at the same time it must be cleared no later; and nothing is ready
            // before it is cleared.
            let as_soon = ground.ready_by(site, to, best.arrives);
            let as_soon = as_soon.map(|ready| ready.min(best.cleared));
            let sooner = ground.ready_by(site, to, best.arrives - Minutes(1));
            as_soon.max(sooner).unwrap_or(Minute(i64::MIN))
        })
    }

    /// Takes what was found, if it is better.
    pub(crate) fn found(&mut self, slot: Option<Assignment>) {
        let Some(slot) = slot else { return };
        if self
            .best
            .as_ref()
            .is_none_or(|best| order(&slot) < order(best))
        {
            self.best = Some(slot);
            self.limits.fill(None);
        }
    }

    pub(crate) fn best(self) -> Option<Assignment> {
        self.best
    }
}
