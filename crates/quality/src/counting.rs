//! Which runs say something about a printer's times.

/// The shortest time that a whole run may take, as a share of the estimate. Whoever was there
/// from then on until they noted the end has seen the printer stop. Factors from 0.85 to 1.3 are
/// seen with 6 % between runs: 0.85 less three times that. Common practice, no source.
pub const EARLIEST_END_SHARE: f64 = 0.70;
/// Real over estimated time outside this is no time of a run: the start or the end was noted at
/// another moment. Common practice, no source.
pub const BELIEVED: std::ops::RangeInclusive<f64> = 0.5..=2.0;

/// A run that has ended.
#[derive(Clone, Debug, PartialEq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is something that is known of its end, or not"
)]
pub struct Run {
    /// Name of the printer.
    pub printer: String,
    /// Code of the process sheet.
    pub sheet: String,
    /// Worked out from the lines, warming up included, before any correction, min.
    pub worked_out_min: f64,
    /// From start to end as noted, min.
    pub took_min: f64,
    /// Whether the end was noted when it came: by the machine, or by somebody who was there.
    pub witnessed: bool,
    /// Whether that was noted by hand: an upper bound, if nobody stood there ([`crate::ticks`]). A
    /// machine's own word is exact.
    pub ticked: bool,
    /// Whether it ran to its end. A run that failed or was stopped tells nothing of a whole one's time.
    pub whole: bool,
    /// Whether the time worked out is that of the host's own motion program, not of our lines.
    pub by_program: bool,
    /// Copies on the plate.
    pub copies: u32,
    /// Copies that came out good.
    pub good: u32,
}

/// Why the time of a run does not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotCounted {
    /// It failed or was stopped early.
    Stopped,
    /// Nobody was there when it ended.
    Unwitnessed,
    /// Set against the time of another program, it says nothing of our estimate.
    ByProgram,
    /// Far from any time that a printer takes: see [`BELIEVED`].
    Unbelieved,
    /// Noted by hand so late that it says next to nothing: see [`crate::ticks`].
    NotedLate,
}

/// The logarithm of real over estimated time, if the run counts.
///
/// Whether it came out good is another matter: every run counts for the yield.
///
/// # Errors
/// [`NotCounted`] with the first rule that it breaks, in the order listed there.
///
/// ```
/// use partpledge_quality::{NotCounted, Run, time_counts};
/// let run = Run {
///     printer: "Curlew".into(), sheet: "pla-plain".into(), worked_out_min: 100.0, took_min: 110.0,
///     witnessed: true, ticked: false, whole: true,
///     by_program: false, copies: 4, good: 4,
/// };
/// assert!((time_counts(&run).unwrap() - 1.1_f64.ln()).abs() < 1e-12);
/// let next_morning = Run { took_min: 700.0, witnessed: false, ..run };
/// assert_eq!(time_counts(&next_morning), Err(NotCounted::Unwitnessed));
/// ```
pub fn time_counts(run: &Run) -> Result<f64, NotCounted> {
    if !run.whole {
        return Err(NotCounted::Stopped);
    }
    if !run.witnessed {
        return Err(NotCounted::Unwitnessed);
    }
    if run.by_program {
        return Err(NotCounted::ByProgram);
    }
    let ratio = run.took_min / run.worked_out_min;
    // A NaN (nothing estimated) is in no range.
    if !BELIEVED.contains(&ratio) {
        return Err(NotCounted::Unbelieved);
    }
    Ok(ratio.ln())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_counts_only_when_it_is_that_of_a_whole_run_seen_to_its_end() {
        let good = Run {
            printer: "a".into(),
            sheet: "s".into(),
            worked_out_min: 100.0,
            took_min: 120.0,
            witnessed: true,
            ticked: true,
            whole: true,
            by_program: false,
            copies: 1,
            good: 1,
        };
        let with = |change: fn(&mut Run)| {
            let mut run = good.clone();
            change(&mut run);
            time_counts(&run)
        };
        assert!(with(|_| ()).is_ok());
        assert_eq!(with(|run| run.whole = false), Err(NotCounted::Stopped));
        assert_eq!(
            with(|run| run.witnessed = false),
            Err(NotCounted::Unwitnessed)
        );
        assert_eq!(
            with(|run| run.by_program = true),
            Err(NotCounted::ByProgram)
        );
        assert_eq!(with(|run| run.took_min = 1.0), Err(NotCounted::Unbelieved));
        assert_eq!(
            with(|run| run.took_min = 201.0),
            Err(NotCounted::Unbelieved)
        );
        let nothing = with(|run| {
            run.worked_out_min = 0.0;
            run.took_min = 0.0;
        });
        assert_eq!(nothing, Err(NotCounted::Unbelieved));
    }
}
