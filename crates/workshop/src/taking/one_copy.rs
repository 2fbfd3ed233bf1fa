//! What one copy of each part of a request takes, for its page.

use partpledge_costing::{Cost, Job};
use partpledge_records::StoredRequest;
use partpledge_sections::{Outlines, cut_layers};
use partpledge_toolpath::Estimate;
use partpledge_toolpath::strength::{Build, WeakLayers, joined, weakest};

use super::priced;
use crate::error::WorkshopError;
use crate::estimating::{LaidPart, Process, class_for, timed};
use crate::plate_room::laid_file;
use crate::session::Session;
use crate::showing::{Rings, rings};

/// One copy of a part, printed alone.
#[derive(Clone, Debug, PartialEq)]
pub struct OneCopy {
    /// Name of the part.
    pub name: String,
    /// Name of the class that it is timed on.
    pub class: String,
    /// Time and mass.
    pub took: Estimate,
    /// Electricity, least and greatest, Wh.
    pub energy_wh: [f64; 2],
    /// What it costs.
    pub cost: Cost,
    /// Its weakest layers, unless it has too few layers.
    pub weak: Option<WeakPart>,
}

/// The weakest layers of a part, and what the one that parts first under a pull looks like.
#[derive(Clone, Debug, PartialEq)]
pub struct WeakPart {
    /// Which, and what they might bear.
    pub layers: WeakLayers,
    /// Where that layer and the one on it both have material, mm.
    pub joint: Rings,
    /// Where the inside of that layer is sparse, mm.
    pub hollow: Rings,
}

/// One copy of each part of a request, in the order of its file.
///
/// # Errors
/// As [`laid_file`], and what timing and pricing give.
pub async fn one_copies(
    session: &Session,
    request: &StoredRequest,
) -> Result<Vec<OneCopy>, WorkshopError> {
    let file = laid_file(session, request).await?;
    let process = &file.process;
    let one = |(part, weak): (&LaidPart, &Option<WeakPart>)| {
        let class = class_for(&session.catalogue, None, process, &[part.size_mm])?;
        let took = timed(part, process, class)?;
        let job = Job {
            mass_g: took.mass_g,
            time_s: [took.spread.p10_s, took.spread.p90_s].map(|s| s + took.warmup_s),
            copies: 1,
        };
        let (energy_wh, cost) = priced(&job, process, class, &session.costs)?;
        Ok(OneCopy {
            name: part.name.clone(),
            class: class.name.clone(),
            took,
            energy_wh,
            cost,
            weak: weak.clone(),
        })
    };
    file.parts.iter().zip(file.weak()).map(one).collect()
}

/// The weakest layers of a laid part; `None` for too few layers or a part that can't be cut.
pub(crate) fn weak_part(part: &LaidPart, process: &Process) -> Option<WeakPart> {
    let sheet = &process.sheet;
    let (first_mm, layer_mm) = (sheet.first_layer_height_mm, sheet.layer_height_mm);
    let cuts = cut_layers(&part.mesh, first_mm, layer_mm).ok()?;
    let build = Build::new(&cuts, &part.paths, sheet);
    let layers = weakest(&build, &process.material.strength, None)?;
    let at = layers.pull.layer;
    let joint: Outlines = joined(&build, at).into_owned();
    Some(WeakPart {
        layers,
        joint: rings(&joint),
        hollow: rings(&part.paths.layers[at].sparse),
    })
}
