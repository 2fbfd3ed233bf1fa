//! What joining does to promises: seasons in which the copies of one request may go on a plate of another
//! one, beside the same seasons without.

use std::fmt::Write as _;
use std::path::Path;

use partpledge_season::reliability::{Shares, by_decile, shares};
use partpledge_season::{Given, Quoting, Scenario, SeasonReport, Setting};

use super::{APART, played};

/// Seasons played, unless others are asked for: a thousand pledges that joined, a standard error of 0.7 points.
pub(super) const SEASONS: u64 = 60;

/// What is played.
pub(super) struct Options<'a> {
    pub(super) seasons: u64,
    /// Worlds of the quotes for plates of their own; none: luck summed.
    pub(super) worlds: u64,
    /// Whether the region is asked for small parts only.
    pub(super) small: bool,
    /// Where the tables are kept, if anywhere.
    pub(super) out: Option<&'a str>,
}

impl Options<'_> {
    /// Name and heading of the file with the tables.
    fn file(&self) -> (&'static str, &'static str) {
        if self.small {
            return (
                "joining-small.md",
                "Seasons of small parts in which plates are shared: all numbers",
            );
        }
        (
            "joining.md",
            "Seasons in which plates are shared: all numbers",
        )
    }
}

/// A group of pledges, and who is in it.
pub(super) type Group = (&'static str, fn(&Given) -> bool);

/// Who may have come to harm.
pub(super) const GROUPS: [Group; 5] = [
    ("all", |_| true),
    ("joined a plate", |one| one.joined),
    ("were on it before", |one| one.carries),
    ("either", |one| one.joined || one.carries),
    ("neither", |one| !one.joined && !one.carries),
];

/// Plays seasons with plates shared and without; fails when what is kept is not what was stated.
pub(super) fn run(setting: &Setting, options: &Options<'_>) -> Result<(), String> {
    let quoting = match options.worlds {
        0 => Quoting::Fast,
        worlds => Quoting::Worlds(worlds),
    };
    let base = Scenario::base();
    let sharing = Setting {
        shared: Some(super::setting::SHARED),
        ..setting.clone()
    };
    let (with, s) = crate::timed(|| played(&sharing, &base, quoting, options.seasons));
    eprintln!("plates shared: {} seasons, {s:.0} s", with.len());
    let (without, s) = crate::timed(|| played(setting, &base, quoting, options.seasons));
    eprintln!("plates of their own: {} seasons, {s:.0} s", without.len());
    let text = tables(&setting.levels, &with, &without);
    print!("{text}");
    if let Some(dir) = options.out {
        let (name, heading) = options.file();
        let path = Path::new(dir).join(name);
        let whole = format!("# {heading}\n\n{text}");
        std::fs::write(&path, whole).map_err(|error| format!("{}: {error}", path.display()))?;
    }
    judge(&with)
}

fn judge(with: &[SeasonReport]) -> Result<(), String> {
    let far = GROUPS.iter().filter_map(|(name, is_in)| {
        let (apart, _) = apart(with, *is_in)?;
        (apart.abs() > APART).then(|| format!("{name}: {:+.1} points apart", 100.0 * apart))
    });
    let far: Vec<String> = far.collect();
    if far.is_empty() {
        return Ok(());
    }
    Err(format!("not as wanted: {}", far.join("; ")))
}

/// Kept less stated of a group with its standard error, by what whole seasons differ.
pub(super) fn apart(
    reports: &[SeasonReport],
    is_in: impl Fn(&Given) -> bool,
) -> Option<(f64, f64)> {
    let each = reports.iter().map(|report| {
        let own = report.given.iter().filter(|one| is_in(one));
        shares(own).map_or((0.0, 0.0), |own| {
            let many = own.pledges as f64;
            (many * (own.kept - own.stated), many)
        })
    });
    let each: Vec<(f64, f64)> = each.collect();
    let many: f64 = each.iter().map(|season| season.1).sum();
    if many < 1.0 {
        return None;
    }
    let mean = each.iter().map(|season| season.0).sum::<f64>() / many;
    // Of a ratio of two sums (Cochran 1977, Sampling Techniques, 6.3, from memory).
    let squares: f64 = each.iter().map(|s| (s.0 - mean * s.1).powi(2)).sum();
    let seasons = each.len() as f64;
    let of_few = seasons / (seasons - 1.0).max(1.0);
    Some((mean, (squares * of_few).sqrt() / many))
}

fn tables(levels: &[f64], with: &[SeasonReport], without: &[SeasonReport]) -> String {
    let mut out = String::from(
        "| who | asked | pledges | % of all | stated % | kept % | apart | standard error |\n\
         |---|---|---|---|---|---|---|---|\n",
    );
    let all = |level| (with.iter().flat_map(|r| &r.given)).filter(move |one| at(level, one));
    let each_level = || std::iter::once(None).chain(levels.iter().copied().map(Some));
    for (name, is_in) in GROUPS {
        for level in each_level() {
            out += &row(name, level, (with, is_in)).unwrap_or_default();
        }
    }
    for level in each_level() {
        out += &row("all, without sharing", level, (without, |_| true)).unwrap_or_default();
    }
    out += "\nKept less stated in points, by decile of stated chance (mean stated % in brackets)\n\n\
            | who | asked | 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9 | 10 |\n\
            |---|---|---|---|---|---|---|---|---|---|---|---|\n";
    for (name, is_in) in GROUPS {
        for level in each_level() {
            let own: Vec<&Given> = all(level).filter(|one| is_in(one)).collect();
            let deciles = by_decile(&own);
            let cells: Vec<String> = deciles.iter().map(decile).collect();
            let _ = writeln!(out, "| {name} | {} | {} |", asked(level), cells.join(" | "));
        }
    }
    out + &lead_times(with, without)
}

fn row(
    name: &str,
    level: Option<f64>,
    (reports, is_in): (&[SeasonReport], fn(&Given) -> bool),
) -> Option<String> {
    let all = (reports.iter().flat_map(|report| &report.given)).filter(|one| at(level, one));
    let own = shares(all.clone().filter(|one| is_in(one)))?;
    let (apart, error) = apart(reports, |one| at(level, one) && is_in(one))?;
    Some(format!(
        "| {name} | {} | {} | {:.1} | {:.1} | {:.1} | {:+.1} | {:.1} |\n",
        asked(level),
        own.pledges,
        100.0 * own.pledges as f64 / all.count() as f64,
        100.0 * own.stated,
        100.0 * own.kept,
        100.0 * apart,
        100.0 * error,
    ))
}

fn decile(own: &Shares) -> String {
    format!(
        "{:+.1} ({:.1})",
        100.0 * (own.kept - own.stated),
        100.0 * own.stated
    )
}

fn at(level: Option<f64>, one: &Given) -> bool {
    level.is_none_or(|level| (one.level - level).abs() < 1e-9)
}

fn asked(level: Option<f64>) -> String {
    level.map_or_else(|| "all".into(), |level| format!("{level:.2}"))
}

/// The same requests, which come at the same minutes, with plates shared and without.
fn lead_times(with: &[SeasonReport], without: &[SeasonReport]) -> String {
    let mut out = String::from(
        "\nMean hours from asking, of the same requests in seasons with plates shared and without\n\n\
         | who | pledges | quoted, shared | quoted, without | waited, shared | waited, without |\n\
         |---|---|---|---|---|---|\n",
    );
    let pairs = with
        .iter()
        .zip(without)
        .flat_map(|(with, without)| pairs(with, without));
    let pairs: Vec<(&Given, &Given)> = pairs.collect();
    for (name, is_in) in GROUPS {
        let own = pairs.iter().filter(|(shared, _)| is_in(shared));
        let (mut sums, mut many) = ([0.0; 4], 0.0);
        for (shared, alone) in own {
            let Some((came, came_alone)) = shared.kept.came.zip(alone.kept.came) else {
                continue;
            };
            let asked = shared.kept.asked;
            let until = [shared.kept.pledged, alone.kept.pledged, came, came_alone];
            for (sum, until) in sums.iter_mut().zip(until) {
                *sum += (until - asked).0 as f64 / 60.0;
            }
            many += 1.0;
        }
        let cells = sums.map(|sum| format!("{:.1}", sum / many));
        let _ = writeln!(out, "| {name} | {many} | {} |", cells.join(" | "));
    }
    out
}

/// Requests that have a pledge in both; those of one minute and team are told apart by their order.
fn pairs<'r>(with: &'r SeasonReport, without: &'r SeasonReport) -> Vec<(&'r Given, &'r Given)> {
    let same = |a: &Given, b: &Given| {
        (a.kept.asked, a.team) == (b.kept.asked, b.team) && (a.level - b.level).abs() < 1e-9
    };
    let mut others = without.given.iter().peekable();
    let mut out = Vec::new();
    for one in &with.given {
        while others
            .next_if(|other| other.kept.asked < one.kept.asked)
            .is_some()
        {}
        if let Some(other) = others.next_if(|other| same(one, other)) {
            out.push((one, other));
        }
    }
    out
}
