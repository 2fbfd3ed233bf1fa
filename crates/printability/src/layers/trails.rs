//! Thin places followed up through the layers.

/// Something thin, in one layer after the other.
#[derive(Clone, Debug)]
pub(super) struct Trail {
    /// The sample in which it begins.
    pub(super) first: usize,
    last: usize,
    /// Where it is thinnest.
    pub(super) at_mm: [f64; 2],
    pub(super) z_mm: f64,
    /// Over how much height it goes on.
    pub(super) height_mm: f64,
    /// Its least width.
    pub(super) size_mm: f64,
    reach_mm: f64,
}

/// Thin places that go on over some height.
pub(super) struct Trails {
    rise_mm: f64,
    lasts_mm: f64,
    open: Vec<Trail>,
    lasting: Vec<Trail>,
}

impl Trails {
    /// For layers that each stand for `rise_mm`; what lasts less than `lasts_mm` is forgotten.
    pub(super) fn new(rise_mm: f64, lasts_mm: f64) -> Self {
        Self {
            rise_mm,
            lasts_mm,
            open: Vec::new(),
            lasting: Vec::new(),
        }
    }

    /// One more thin place in the `sample`-th layer looked at.
    pub(super) fn see(
        &mut self,
        sample: usize,
        z_mm: f64,
        at_mm: [f64; 2],
        (size_mm, reach_mm): (f64, f64),
    ) {
        let near = |trail: &&mut Trail| {
            let [dx, dy] = [trail.at_mm[0] - at_mm[0], trail.at_mm[1] - at_mm[1]];
            trail.last + 1 == sample && dx.hypot(dy) <= 0.5 * reach_mm.max(trail.reach_mm).max(1.0)
        };
        if let Some(trail) = self.open.iter_mut().find(near) {
            trail.last = sample;
            trail.height_mm += self.rise_mm;
            if size_mm < trail.size_mm {
                (trail.size_mm, trail.at_mm, trail.z_mm) = (size_mm, at_mm, z_mm);
            }
            return;
        }
        self.open.push(Trail {
            first: sample,
            last: sample,
            at_mm,
            z_mm,
            height_mm: self.rise_mm,
            size_mm,
            reach_mm,
        });
    }

    /// After a layer: trails that were not seen in it have ended.
    pub(super) fn close(&mut self, sample: usize) {
        let (ended, open): (Vec<_>, Vec<_>) =
            self.open.drain(..).partition(|trail| trail.last < sample);
        self.open = open;
        let lasts = self.lasts_mm;
        let lasting = ended
            .into_iter()
            .filter(|trail| trail.height_mm >= lasts - 1e-9);
        self.lasting.extend(lasting);
    }

    /// All that last, in the order in which they ended.
    pub(super) fn ended(mut self) -> Vec<Trail> {
        self.close(usize::MAX);
        self.lasting
    }
}

/// The thinnest of some trails, the lower one of two, and how many there are.
pub(super) fn thinnest(trails: Vec<Trail>) -> Option<(Trail, usize)> {
    let many = trails.len();
    let thinnest = trails.into_iter().min_by(|a, b| {
        let lower = a.z_mm.total_cmp(&b.z_mm);
        a.size_mm.total_cmp(&b.size_mm).then(lower)
    })?;
    Some((thinnest, many))
}
