//! Nozzle and bed warming up while the program goes on, and the waits for them.

use partpledge_catalogue::class::ROOM_C;

/// One heater.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Heat {
    c_per_s: f64,
    /// Temperature when it was last set, and when that was.
    from_c: f64,
    since_s: f64,
    set_c: f64,
    /// Highest temperature asked.
    pub(crate) highest_c: Option<f64>,
}

impl Heat {
    pub(crate) fn cold(c_per_s: f64) -> Self {
        Self {
            c_per_s,
            from_c: ROOM_C,
            since_s: 0.0,
            set_c: ROOM_C,
            highest_c: None,
        }
    }

    /// Sets it at a moment of the program.
    ///
    /// It warms at the class's even rate. Cooling has no rate in the class: a lower setting is
    /// taken as reached at once, and waits for it as none.
    pub(crate) fn set(&mut self, target_c: f64, now_s: f64) {
        let warmed_c = self.from_c + self.c_per_s * (now_s - self.since_s).max(0.0);
        self.from_c = warmed_c.min(self.set_c).min(target_c.max(ROOM_C));
        self.since_s = now_s;
        self.set_c = target_c.max(ROOM_C);
        self.highest_c = Some(self.highest_c.map_or(target_c, |high| high.max(target_c)));
    }

    /// Seconds until it is as warm as set.
    pub(crate) fn wait_s(&self, now_s: f64) -> f64 {
        let warm_s = (self.set_c - self.from_c).max(0.0) / self.c_per_s;
        (self.since_s + warm_s - now_s).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use partpledge_units::tolerance::close;

    use super::*;

    #[test]
    fn a_heater_set_early_is_waited_for_the_less() {
        let mut nozzle = Heat::cold(2.0);
        nozzle.set(220.0, 0.0);
        assert!(close(nozzle.wait_s(0.0), 100.0, 1e-12, 0.0));
        assert!(close(nozzle.wait_s(60.0), 40.0, 1e-12, 0.0));
        assert!(nozzle.wait_s(200.0) <= 0.0);
        nozzle.set(150.0, 200.0);
        assert!(nozzle.wait_s(200.0) <= 0.0, "cooling is not waited for");
        nozzle.set(220.0, 210.0);
        assert!(close(nozzle.wait_s(210.0), 35.0, 1e-12, 0.0));
        assert_eq!(nozzle.highest_c, Some(220.0));
    }
}
