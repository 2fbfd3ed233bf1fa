//! The best slot so far, and how late another may be cleared to be better.

use partpledge_planning_model::{Assignment, Making, PlaceIx, Plate, SiteIx};
use partpledge_units::time::{Minute, Minutes};

use crate::ground::{Ground, Load};
use crate::insert::Taken;
use crate::slots::{Trial, order};

/// A search for the best slot of one plate over many printers.
pub(crate) struct Hunt<'t, 'a> {
    ground: &'t Ground<'a>,
    to: PlaceIx,
    /// What the plate puts on a printer.
    load: Load,
    best: Option<Assignment>,
    /// By site; worked out when asked for, forgotten when the best changes.
    limits: Vec<Option<Minute>>,
}

impl<'t, 'a> Hunt<'t, 'a> {
    pub(crate) fn new(ground: &'t Ground<'a>, plate: &Plate) -> Self {
        Self {
            ground,
            to: plate.to,
            load: ground.load(plate, false),
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

    /// Looks at one making, in each place where its printer stands.
    pub(crate) fn on(
        &mut self,
        taken: &impl Taken,
        plate: &Plate,
        making: &Making,
        not_before: Minute,
    ) {
        for stand in self.ground.stands(making.printer) {
            let limit = self.limit(stand.site);
            let trial = Trial::loaded((self.ground, self.load), (plate, making), stand, not_before);
            if trial.from + making.reserved <= limit {
                self.found(trial.earliest(taken, trial.from, Some(limit)));
            }
        }
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
