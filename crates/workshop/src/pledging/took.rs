//! What a copy takes is kept with the version that was promised.

use std::collections::BTreeSet;

use partpledge_planning_model::Plate;
use partpledge_records::EstimateKey;
use partpledge_records::stored::StoredEstimate;
use partpledge_toolpath::Estimate;
use partpledge_units::ids::{IdSource, VersionId};

use super::Request;
use crate::ENGINE;
use crate::error::WorkshopError;
use crate::estimating::timed;
use crate::session::Session;

/// Keeps what one copy of each part takes on every class that could make it; what is there stays.
pub(super) async fn keep_estimates(
    session: &Session,
    request: &Request<'_>,
    version: VersionId,
    plates: &[Plate],
    ids: &mut IdSource,
) -> Result<(), WorkshopError> {
    let (store, region) = session.writable()?;
    let makings = plates.iter().flat_map(|plate| &plate.makings);
    let codes: BTreeSet<&String> = makings
        .map(|making| &session.terrain.classes[making.printer.0])
        .collect();
    for class in codes
        .into_iter()
        .filter_map(|code| session.catalogue.class(code))
    {
        for (i, part) in request.parts.iter().enumerate() {
            let key = EstimateKey {
                version,
                orientation: format!("part {}: {}", i + 1, part.standing.name),
                sheet: request.process.key(),
                class: class.code.clone(),
                engine: ENGINE.to_owned(),
            };
            if store.estimate(region, &key).await?.is_none() {
                let took = stored(&timed(part, request.process, class)?);
                store
                    .keep_estimate(region, &key, &took.to_text()?, ids, session.now)
                    .await?;
            }
        }
    }
    Ok(())
}

fn stored(took: &Estimate) -> StoredEstimate {
    StoredEstimate {
        schema: 1,
        layers: took.layer_s.len(),
        print_time_s: took.print_time_s,
        warmup_s: took.warmup_s,
        filament_mm: took.filament_mm,
        mass_g: took.mass_g,
        walls_mm: took.walls_mm,
        skins_mm: took.skins_mm,
        infill_mm: took.infill_mm,
        support_mm: took.support_mm,
        support_g: took.support_g,
        p10_s: took.spread.p10_s,
        p90_s: took.spread.p90_s,
    }
}
