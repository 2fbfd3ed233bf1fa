//! Speed benches, as ratios against a reference in the same run: machines are noisy, ratios less so.
//!
//! - `stages`: each stage from bytes to lines on a generated part, beside the time to sort as many
//!   random numbers as the part has coordinates, single-threaded.
//! - `mesh FILE RUNS`: seconds from bytes to facts, one line a run, for `dev/python/bench_mesh.py`.
//! - `ring N FILE`: writes a knurled ring of `2 N²` triangles as a binary STL.
//! - `ways DIR`: the ways up of 50 STL files under a folder; `standing FILE`: those of one file, to be
//!   compared.
//! - `region FILE [--seconds S] [--seed N] [--out FILE]`: plans an instance of `planning/region`.
//! - `tardiness FILE JOBS BEST SECONDS`: published instances of one machine against best values.
//! - `quote [exact ASKS | fast ASKS | replan | path | guard]`: exact quotes in a large region with a digest of
//!   the answers, fast ones, replans after an event, the path to a pledge on disk; a guard for `check`.
//! - `nest FILE [--seconds S] [--seed N] [--bed WxD] [--gap MM] [--edge MM]`: a published nesting set, or footprints,
//!   on a strip or on plates; `footprints LIST`: shadows of listed parts, for `dev/python/bench_nest.py`.
//! - `triangles FILE`: every part's triangles as read and as welded, for comparison with other
//!   libraries.
//! - `estimate FILE LAYERS RUNS`: seconds from mesh to estimate, for `dev/python/bench_estimate.py`.
//! - `conserved LIST`: volume laid without voids, and layers added up, against the volume of the mesh.
//! - `season [--seasons N] [--harder N] [--exact N] [--out DIR]`: seasons of the demo region, kept
//!   against stated; `season agreement [--requests N]
//!   [--seed N] [--worlds N] [--differences]`: the fast quote against the exact one.
//! - `sections LIST MOST`: areas of sections of listed parts, for `dev/python/compare_sections.py`.

mod conserved;
mod estimate;
mod mesh;
mod nest;
mod outside;
mod parts;
mod quote;
mod region;
mod season;
mod stages;
mod standing;
mod tardiness;
mod triangles;
mod ways;

use std::process::ExitCode;
use std::time::Instant;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = args.iter().map(String::as_str).collect();
    let result = match words.as_slice() {
        [] | ["stages"] => {
            stages::stages();
            Ok(())
        }
        ["mesh", file, runs] => mesh::run(file, runs),
        ["ring", n, file] => mesh::ring(n, file),
        ["standing", file] => return standing::run(Some(file)),
        ["ways", dir] => return ways::run(Some(dir)),
        ["region", file, options @ ..] => region::run(file, options),
        ["nest", file, options @ ..] => nest::run(file, options),
        ["footprints", list] => nest::footprints(list),
        ["tardiness", file, jobs, best, seconds] => tardiness::run([file, jobs, best, seconds]),
        ["quote", words @ ..] => quote::run(words),
        ["triangles", file] => triangles::run(file),
        ["estimate", file, layers, runs] => estimate::run(file, layers, runs),
        ["season", options @ ..] => season::run(options),
        ["conserved", list] => return conserved::run(list),
        ["sections", list, most] => outside::sections(list, most),
        _ => Err(
            "there are: stages, mesh FILE RUNS, ring N FILE, ways DIR, standing FILE, triangles FILE, \
             region FILE [--seconds S] [--seed N] [--out FILE], \
             tardiness FILE JOBS BEST SECONDS, \
             quote [exact ASKS | fast ASKS | replan | path | guard], season [agreement] [OPTIONS], \
             nest FILE [--seconds S] [--seed N] [--bed WxD] [--gap MM] [--edge MM], footprints LIST, \
             sections LIST MOST, conserved LIST, estimate FILE LAYERS RUNS"
                .to_owned(),
        ),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::from(2)
        }
    }
}

/// A stopwatch for what is awaited.
pub(crate) struct Clock(Instant);

impl Clock {
    #[expect(clippy::disallowed_methods, reason = "a bench is about the clock")]
    pub(crate) fn start() -> Self {
        Self(Instant::now())
    }

    pub(crate) fn seconds(&self) -> f64 {
        self.0.elapsed().as_secs_f64()
    }
}

/// Runs it and gives its result and the seconds it took.
#[expect(clippy::disallowed_methods, reason = "a bench is about the clock")]
pub(crate) fn timed<T>(run: impl FnOnce() -> T) -> (T, f64) {
    let start = Instant::now();
    let result = run();
    (result, start.elapsed().as_secs_f64())
}

/// Runs it and gives its result and the seconds of processor time that this thread took, which others on
/// a busy machine don't add to; wall time where the system doesn't tell.
pub(crate) fn cpu_timed<T>(run: impl FnOnce() -> T) -> (T, f64) {
    let on_cpu_s = || {
        let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
        text.split(' ')
            .next()?
            .parse::<f64>()
            .ok()
            .map(|ns| ns / 1e9)
    };
    let start = on_cpu_s();
    let (result, wall_s) = timed(run);
    let cpu_s = start.zip(on_cpu_s()).map(|(start, end)| end - start);
    (result, cpu_s.unwrap_or(wall_s))
}
