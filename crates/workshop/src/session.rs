//! What every use case stands on: catalogue, region, store if there is one, and now.

use std::path::Path;
use std::sync::Arc;

use partpledge_catalogue::{Catalogue, Costs, RegionFile, RegionFileError};
use partpledge_planning_model::PrinterIx;
use partpledge_printability::Bed;
use partpledge_records::{
    Floor, KeptClosure, Outage, RunningPlate, SiteClosure, StockChange, Store, StoredRegion,
};
use partpledge_units::ids::{IdSource, RegionId};
use partpledge_units::time::{EventMs, Minute};

use crate::error::WorkshopError;
use crate::laying_out::CLEARANCE_MM;
use crate::learning::as_known;
use crate::programs::with_programs;
use crate::shelf::Shelf;
use crate::spools::Spools;
use crate::terrain::Terrain;

/// A region to work on, at one moment.
#[derive(Debug)]
pub struct Session {
    /// Materials, sheets, classes.
    pub catalogue: Catalogue,
    /// Prices; shared, since a session is copied often.
    pub costs: Arc<Costs>,
    /// The region, with calendars seen from `now`.
    pub terrain: Terrain,
    /// The present moment.
    pub now: EventMs,
    /// Printers that can't be used for a while; the terrain has them taken out.
    pub outages: Vec<Outage>,
    /// Closures that were not lifted; the terrain has them in its calendars.
    pub closures: Arc<[KeptClosure]>,
    /// Revision of the region file; 0 is the one that the region began with.
    pub file_revision: i64,
    /// Revision of the plan before any of it was read: with a newer plan it may be out of date.
    pub(crate) plan_revision: i64,
    /// Spools as they are on record; the terrain has them on its shelves and printers.
    pub spools: Arc<Spools>,
    /// Files at hand.
    pub shelf: Shelf,
    store: Option<(Store, RegionId)>,
}

impl Session {
    /// Looks at a data directory without making one. Where there is none yet, or no region in it,
    /// the region is `fallback` with nothing planned.
    ///
    /// # Errors
    /// [`WorkshopError::Store`] for a folder that is not ours, and what reading a region file gives.
    pub async fn look(dir: &Path, fallback: &str, now: EventMs) -> Result<Self, WorkshopError> {
        if !has_something(dir) {
            return Self::with(None, fallback, now);
        }
        let store = Store::open_dir(dir).await?;
        match store.region(None).await? {
            Some(region) => {
                let session = Self::with(Some((store, region.id)), &region.document, now)?;
                session.with_records().await
            }
            None => Self::with(None, fallback, now),
        }
    }

    /// The same region at another moment, as it is on record now.
    ///
    /// # Errors
    /// As [`Session::look`].
    pub async fn at(&self, now: EventMs) -> Result<Self, WorkshopError> {
        let file = self.terrain.file.clone();
        let terrain = Terrain::new(file, &self.catalogue, Minute::at_or_after(now))?;
        let session = Self {
            catalogue: self.catalogue.clone(),
            costs: self.costs.clone(),
            terrain,
            now,
            outages: Vec::new(),
            closures: Arc::default(),
            file_revision: self.file_revision,
            plan_revision: self.plan_revision,
            spools: Arc::default(),
            shelf: self.shelf.clone(),
            store: self.store.clone(),
        };
        session.with_records().await
    }

    /// The same moment on another region file or with other closures, as if they were on record. It
    /// is for a question: see that nothing is written with it.
    pub(crate) async fn supposing(
        &self,
        file: RegionFile,
        closures: Vec<KeptClosure>,
    ) -> Result<Self, WorkshopError> {
        let costs = costs_of(&file, &self.catalogue)?;
        let mut terrain = Terrain::new(file, &self.catalogue, self.minute())?;
        let now = self.terrain.region.printers.iter().map(|one| &one.name);
        let leave = now.filter(|name| terrain.printer_of(name).is_none());
        terrain.leaving = leave.cloned().collect();
        let session = self.on(terrain, Vec::new());
        let session = Self {
            costs,
            closures: closures.into(),
            store: self.store.clone(),
            ..session
        };
        session.with_known().await
    }

    /// With the region as it is known from the store: the newest file, what is closed, and its
    /// printers.
    async fn with_records(mut self) -> Result<Self, WorkshopError> {
        let Some((store, region)) = self.store() else {
            return Ok(self);
        };
        let plan_revision = store.plan_revision(region).await?;
        let newer = store.region_file_after(region, self.file_revision).await?;
        let closures = store.closures(region).await?;
        if let Some((revision, document)) = newer {
            let file = RegionFile::parse(&document, &self.catalogue)?;
            self.costs = costs_of(&file, &self.catalogue)?;
            self.terrain = Terrain::new(file, &self.catalogue, self.minute())?;
            self.file_revision = revision;
        }
        self.closures = closures.into();
        self.plan_revision = plan_revision;
        self.with_known().await
    }

    /// Whether no plan was made since it was read.
    pub(crate) async fn is_newest(&self) -> Result<bool, WorkshopError> {
        let (store, region) = self.writable()?;
        Ok(store.plan_revision(region).await? == self.plan_revision)
    }

    /// Whether the floor is of the same plan.
    pub(crate) fn is_as_new(&self, floor: &Floor) -> bool {
        floor.revision == self.plan_revision
    }

    /// With its closures in the calendars, and the printers as they are known from the store: what
    /// is out of use, what runs taught.
    async fn with_known(mut self) -> Result<Self, WorkshopError> {
        let closures = self.closures.iter().map(|kept| kept.closure.clone());
        let closures: Vec<SiteClosure> = closures.collect();
        self.terrain.shut(&closures);
        let Some((store, region)) = self.store() else {
            return Ok(self);
        };
        let outages = store.outages(region).await?;
        let runs = store.finished_runs(region).await?;
        let spools = Spools {
            ledger: store.ledger(region).await?,
            running: store.running(region, &self.terrain.names()).await?,
        };
        self.terrain.learn_from(&runs);
        Ok(self.without_printers(outages).with_spools(spools))
    }

    fn with_spools(mut self, spools: Spools) -> Self {
        let now = self.minute();
        self.terrain.stocked(&spools, &self.costs.rates, now);
        self.spools = Arc::new(spools);
        self
    }

    /// The same moment as if a plate had not ended, and did not run but for `again`.
    pub(crate) fn without_run(self, plate: u64, again: Option<RunningPlate>) -> Self {
        let mut spools = (*self.spools).clone();
        spools.ledger.uses.retain(|taken| taken.plate != plate);
        spools.running.retain(|run| run.plate.seq.0 != plate);
        spools.running.extend(again);
        self.with_spools(spools)
    }

    /// The same moment once spools are as `change` makes them, and `started` runs too.
    pub(crate) fn after(&self, change: &StockChange, started: Option<RunningPlate>) -> Self {
        let ledger = self.spools.ledger.clone();
        let running = self.spools.running.iter().cloned().chain(started).collect();
        let spools = Spools {
            ledger: change.made_in(ledger, &mut IdSource::Os),
            running,
        };
        self.with_outages(&[]).with_spools(spools)
    }

    /// The same moment with further printers out of use.
    pub(crate) fn with_outages(&self, more: &[Outage]) -> Self {
        self.with_only(self.outages.iter().chain(more).cloned().collect())
    }

    /// The same moment with these printers out of use and no others.
    pub(crate) fn with_only(&self, outages: Vec<Outage>) -> Self {
        let session = Self {
            catalogue: self.catalogue.clone(),
            costs: self.costs.clone(),
            terrain: self.terrain.clone(),
            now: self.now,
            outages: Vec::new(),
            closures: self.closures.clone(),
            file_revision: self.file_revision,
            plan_revision: self.plan_revision,
            spools: self.spools.clone(),
            shelf: self.shelf.clone(),
            store: self.store.clone(),
        };
        session.without_printers(outages)
    }

    /// The same moment on other ground, for a question. It has no store: nothing can be written.
    pub(crate) fn on(&self, terrain: Terrain, outages: Vec<Outage>) -> Self {
        Self {
            catalogue: self.catalogue.clone(),
            costs: self.costs.clone(),
            terrain,
            now: self.now,
            outages,
            closures: self.closures.clone(),
            file_revision: self.file_revision,
            plan_revision: self.plan_revision,
            spools: self.spools.clone(),
            shelf: self.shelf.clone(),
            store: None,
        }
    }

    /// The same without a store: nothing can be written with it.
    pub(crate) fn only_asking(self) -> Self {
        Self {
            store: None,
            ..self
        }
    }

    fn without_printers(mut self, outages: Vec<Outage>) -> Self {
        self.terrain.take_out(&outages);
        self.outages = outages;
        self
    }

    /// Opens a data directory to write in it; an empty one starts with the region `fallback`.
    ///
    /// # Errors
    /// As [`Session::look`].
    pub async fn open(dir: &Path, fallback: &str, now: EventMs) -> Result<Self, WorkshopError> {
        let store = Store::open_dir(dir).await?;
        Self::on_store(store, fallback, now).await
    }

    /// Works on a store that is open already; an empty one starts with the region `fallback`.
    ///
    /// # Errors
    /// As [`Session::look`].
    pub async fn on_store(
        store: Store,
        fallback: &str,
        now: EventMs,
    ) -> Result<Self, WorkshopError> {
        if let Some(region) = store.region(None).await? {
            let session = Self::with(Some((store, region.id)), &region.document, now)?;
            return session.with_records().await;
        }
        let session = Self::with(None, fallback, now)?;
        let id = RegionId::fresh(&mut IdSource::Os, now);
        let name = session.terrain.file.name.clone();
        store
            .add_region(
                &StoredRegion {
                    id,
                    name,
                    document: fallback.to_owned(),
                },
                now,
            )
            .await?;
        // Somebody else may have done the same just now: the first one made counts.
        let first = store.region(None).await?.map_or(id, |region| region.id);
        Ok(Self {
            store: Some((store, first)),
            ..session
        })
    }

    /// Whether a data directory holds a region. Makes none.
    ///
    /// # Errors
    /// [`WorkshopError::Store`] for a folder that is not ours.
    pub async fn is_in(dir: &Path) -> Result<bool, WorkshopError> {
        if !has_something(dir) {
            return Ok(false);
        }
        let store = Store::open_dir(dir).await?;
        Ok(store.region(None).await?.is_some())
    }

    /// Begins a region in a data directory that has none; `None` where one is there. What is wrong
    /// with the file is found before anything is written.
    ///
    /// # Errors
    /// As [`Session::look`].
    pub async fn begin(
        dir: &Path,
        document: &str,
        now: EventMs,
    ) -> Result<Option<Self>, WorkshopError> {
        let session = Self::with(None, document, now)?;
        if Self::is_in(dir).await? {
            return Ok(None);
        }
        drop(session);
        let session = Self::open(dir, document, now).await?;
        let (store, region) = session.writable()?;
        // Somebody else may have begun one just now.
        let first = store.region_documents(region).await?;
        let ours = first.last().is_some_and(|first| first == document);
        Ok(ours.then_some(session))
    }

    /// The region file as text: as somebody wrote it, or as the last change made it. Nothing for a
    /// session that only asks.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn document(&self) -> Result<Option<String>, WorkshopError> {
        let Some((store, region)) = self.store() else {
            return Ok(None);
        };
        Ok(store.region_documents(region).await?.into_iter().next())
    }

    fn with(
        store: Option<(Store, RegionId)>,
        document: &str,
        now: EventMs,
    ) -> Result<Self, WorkshopError> {
        let catalogue = Catalogue::built_in();
        let file = RegionFile::parse(document, &catalogue)?;
        let costs = costs_of(&file, &catalogue)?;
        let terrain = Terrain::new(file, &catalogue, Minute::at_or_after(now))?;
        Ok(Self {
            catalogue,
            costs,
            terrain,
            now,
            outages: Vec::new(),
            closures: Arc::default(),
            file_revision: 0,
            plan_revision: 0,
            spools: Arc::default(),
            shelf: Shelf::default(),
            store,
        })
    }

    /// Now, rounded up to a minute of planning.
    #[must_use]
    pub fn minute(&self) -> Minute {
        Minute::at_or_after(self.now)
    }

    /// The store and the region in it, if this session has one.
    #[must_use]
    pub fn store(&self) -> Option<(&Store, RegionId)> {
        self.store.as_ref().map(|(store, region)| (store, *region))
    }

    /// The store and the region, for a use case that writes.
    ///
    /// # Errors
    /// [`WorkshopError::OutOfRange`] for a session that only looks.
    pub(crate) fn writable(&self) -> Result<(&Store, RegionId), WorkshopError> {
        let range = "opened for writing";
        self.store().ok_or(WorkshopError::OutOfRange {
            what: "the session",
            range,
        })
    }

    /// What is planned at present, each plate with the time of its host's program if it has one,
    /// and as likely to last as is known now.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn floor(&self) -> Result<Floor, WorkshopError> {
        match self.store() {
            Some((store, region)) => {
                let floor = store.floor(region, &self.terrain.names()).await?;
                Ok(as_known(self, with_programs(&self.terrain, floor)))
            }
            None => Ok(Floor {
                next_seq: 1,
                ..Floor::default()
            }),
        }
    }

    /// The room of every printer in the region, without the edge of its bed that is kept free; those at
    /// a meeting are there for its spares only.
    #[must_use]
    pub fn beds(&self) -> Vec<Bed> {
        let printers = self.terrain.region.printers.iter().enumerate();
        printers
            .filter(|(p, _)| !self.terrain.is_at_a_meeting(PrinterIx(*p)))
            .map(|(_, p)| {
                let [x, y, z] = p.bed_mm;
                Bed {
                    name: p.name.clone(),
                    size_mm: [x - 2.0 * CLEARANCE_MM, y - 2.0 * CLEARANCE_MM, z],
                }
            })
            .collect()
    }
}

/// Whether there is a folder with something in it, or anything else that is no folder.
fn has_something(dir: &Path) -> bool {
    dir.exists() && (!dir.is_dir() || dir.read_dir().is_ok_and(|mut d| d.next().is_some()))
}

fn costs_of(file: &RegionFile, catalogue: &Catalogue) -> Result<Arc<Costs>, WorkshopError> {
    let costs = Costs::of(file, catalogue);
    let costs = costs.map_err(|error| RegionFileError::Prices(error.to_string()))?;
    Ok(Arc::new(costs))
}
