//! Several plates of one request: when the last of them is handed over.

use partpledge_planning_model::SiteIx;
use partpledge_units::time::Minute;

use super::spread::Spread;

/// Hand-overs of a plate, reprints and all.
pub(crate) struct Whole {
    pub(crate) site: SiteIx,
    pub(crate) feared: Spread,
    /// The same if nobody stays away, when others of the request are made at the same site.
    pub(crate) calm: Option<Spread>,
}

/// The chance of having the last of several plates by each minute.
///
/// Runs of different plates know nothing of each other, so their chances multiply. Plates at one
/// site share who comes and what leaves: that is feared once for all of them, by the plate that it
/// hurts most (derived here; the truth lies between this and fearing it for each).
pub(crate) fn together(mut plates: Vec<Whole>) -> Vec<(Minute, f64)> {
    if plates.len() == 1 {
        return plates.remove(0).feared.summed();
    }
    let all = plates.iter().flat_map(|plate| plate.feared.iter());
    let mut minutes: Vec<Minute> = all.map(|(at, _)| at).collect();
    minutes.sort_unstable();
    minutes.dedup();
    plates.sort_by_key(|plate| plate.site);
    let mut out = Vec::with_capacity(minutes.len());
    let mut least = 0.0_f64;
    for at in minutes {
        let sites = plates.chunk_by(|a, b| a.site == b.site);
        // A chance never falls as time goes on; the share that absence leaves may.
        least = least.max(sites.map(|site| of_site(site, at)).product());
        if least > 0.0 {
            out.push((at, least));
        }
    }
    out
}

fn of_site(plates: &[Whole], at: Minute) -> f64 {
    let (mut all, mut worst) = (1.0, 1.0_f64);
    for plate in plates {
        let feared = plate.feared.by(at);
        let calm = plate.calm.as_ref().map_or(feared, |calm| calm.by(at));
        all *= calm;
        worst = worst.min(if calm > 0.0 { feared / calm } else { 0.0 });
    }
    all * worst
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spread(chance: f64) -> Spread {
        let mut out = Spread::default();
        out.add(Minute(1), chance);
        out
    }

    fn whole(site: usize, feared: f64, calm: Option<f64>) -> Whole {
        Whole {
            site: SiteIx(site),
            feared: spread(feared),
            calm: calm.map(spread),
        }
    }

    #[test]
    fn plates_at_different_sites_are_two_coins() {
        let both = together(vec![whole(0, 0.5, None), whole(1, 0.4, None)]);
        assert_eq!(both.len(), 1);
        assert!((both[0].1 - 0.2).abs() < 1e-12);
    }

    #[test]
    fn absence_is_feared_once_for_plates_at_one_site() {
        // Each is good with 0.8, and somebody comes with 0.9: 0.72 alone.
        let alike = || whole(0, 0.72, Some(0.8));
        let both = together(vec![alike(), alike()]);
        assert!((both[0].1 - 0.9 * 0.64).abs() < 1e-12);
    }
}
