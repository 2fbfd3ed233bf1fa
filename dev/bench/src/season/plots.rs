//! Drawings of what was measured, in the house's look: paper, four plot inks with a mark each, direct
//! labels, a table beside them that says the same.

use std::fmt::Write as _;

use partpledge_season::reliability::Shares;

use super::measured::{AtLevel, Measured};

const SHEET: &str = "#FCFDFB";
const INK: &str = "#1B1A33";
const INK_2: &str = "#4A4B62";
const RULE: &str = "#B4BCBA";
const SLIP: &str = "#ECE6F4";
/// Plot inks with their dashes; the marks follow the same order: diamond, circle, square.
const SERIES: [(&str, &str); 3] = [("#582A85", ""), (INK, ""), ("#00696B", "7 4")];

/// A panel of a drawing: where it lies, and what its axes run over.
struct Panel {
    x: f64,
    y: f64,
    width: f64,
    height: f64,
    across: (f64, f64),
    up: (f64, f64),
}

impl Panel {
    fn at(&self, x: f64, y: f64) -> (f64, f64) {
        let share =
            |value: f64, (low, high): (f64, f64)| (value.clamp(low, high) - low) / (high - low);
        (
            self.x + self.width * share(x, self.across),
            self.y + self.height * (1.0 - share(y, self.up)),
        )
    }

    /// Frame, title, and lines across at these heights with their words.
    fn frame(
        &self,
        out: &mut String,
        title: &str,
        heights: &[(f64, String)],
        feet: &[(f64, String)],
    ) {
        let (left, right, foot) = (self.x, self.x + self.width, self.y + self.height);
        text(out, (left, self.y - 12.0), "start", (15, true), title);
        for (height, words) in heights {
            let (_, y) = self.at(self.across.0, *height);
            line(out, (left, y), (right, y), RULE, "");
            text(out, (left - 6.0, y + 4.0), "end", (12, false), words);
        }
        for (across, words) in feet {
            let (x, _) = self.at(*across, self.up.0);
            line(out, (x, foot), (x, foot + 4.0), INK_2, "");
            text(out, (x, foot + 18.0), "middle", (12, false), words);
        }
        line(out, (left, foot), (right, foot), INK, "");
    }
}

fn drawing(width: f64, height: f64, title: &str, body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" \
         height=\"{height}\" role=\"img\" font-family=\"Atkinson Hyperlegible Next, Noto Sans, DejaVu Sans, \
         sans-serif\"><title>{title}</title><rect width=\"{width}\" height=\"{height}\" \
         fill=\"{SHEET}\"/>\n{body}</svg>\n"
    )
}

fn text(
    out: &mut String,
    (x, y): (f64, f64),
    anchor: &str,
    (size, bold): (u32, bool),
    words: &str,
) {
    let weight = if bold { 650 } else { 400 };
    let _ = writeln!(
        out,
        "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\" font-size=\"{size}\" \
         font-weight=\"{weight}\" fill=\"{INK}\">{words}</text>"
    );
}

fn line(out: &mut String, a: (f64, f64), b: (f64, f64), ink: &str, dash: &str) {
    let _ = writeln!(
        out,
        "<line x1=\"{:.1}\" y1=\"{:.1}\" x2=\"{:.1}\" y2=\"{:.1}\" stroke=\"{ink}\" stroke-width=\"1.25\" \
         stroke-dasharray=\"{dash}\"/>",
        a.0, a.1, b.0, b.1
    );
}

/// A series' mark.
fn mark(out: &mut String, (x, y): (f64, f64), series: usize) {
    let ink = SERIES[series].0;
    let _ = match series {
        0 => writeln!(
            out,
            "<path d=\"M{x:.1} {:.1}l5.5 5.5l-5.5 5.5l-5.5 -5.5z\" fill=\"{ink}\"/>",
            y - 5.5
        ),
        1 => writeln!(
            out,
            "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"4.5\" fill=\"{SHEET}\" stroke=\"{ink}\" \
             stroke-width=\"1.75\"/>"
        ),
        _ => writeln!(
            out,
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"9\" height=\"9\" fill=\"{ink}\"/>",
            x - 4.5,
            y - 4.5
        ),
    };
}

fn path(out: &mut String, points: &[(f64, f64)], series: usize) {
    let (ink, dash) = SERIES[series];
    let listed: Vec<String> = points
        .iter()
        .map(|(x, y)| format!("{x:.1},{y:.1}"))
        .collect();
    let _ = writeln!(
        out,
        "<polyline points=\"{}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"1.75\" \
         stroke-dasharray=\"{dash}\"/>",
        listed.join(" ")
    );
    for &point in points {
        mark(out, point, series);
    }
}

/// What the marks stand for, in a row.
fn legend(out: &mut String, (mut x, y): (f64, f64), words: &[String]) {
    for (series, words) in words.iter().enumerate() {
        mark(out, (x, y - 4.0), series);
        text(out, (x + 12.0, y), "start", (13, false), words);
        x += 32.0 + 7.0 * words.len() as f64;
    }
}

fn in_ten(level: f64) -> String {
    format!("asked for {:.1} in 10", 10.0 * level).replace(".0 in", " in")
}

/// Kept against stated by decile, a panel for each scenario.
pub(crate) fn reliability(all: &[Measured]) -> String {
    let mut out = String::new();
    for (i, measured) in all.iter().enumerate() {
        let (column, row) = ((i % 3) as f64, (i / 3) as f64);
        let panel = Panel {
            x: 60.0 + column * 310.0,
            y: 108.0 + row * 330.0,
            width: 240.0,
            height: 240.0,
            across: (0.65, 1.0),
            up: (0.65, 1.0),
        };
        let ticks: Vec<(f64, String)> = [0.7, 0.8, 0.9, 1.0]
            .iter()
            .map(|&v| (v, format!("{:.0} %", 100.0 * v)))
            .collect();
        band(&mut out, &panel, if i == 0 { 0.03 } else { 0.05 }, i > 0);
        panel.frame(&mut out, measured.name, &ticks, &ticks);
        for (series, level) in measured.levels.iter().skip(1).take(3).enumerate() {
            let deciles = if i == 0 {
                &level.deciles
            } else {
                &level.later_deciles
            };
            let points: Vec<(f64, f64)> =
                deciles.iter().map(|d| panel.at(d.stated, d.kept)).collect();
            path(&mut out, &points, series);
        }
    }
    text(
        &mut out,
        (60.0, 32.0),
        "start",
        (19, true),
        "Kept against stated, by tenth of the pledges",
    );
    let levels = all.first().map_or(&[][..], |first| &first.levels[1..]);
    let words: Vec<String> = levels.iter().filter_map(|l| l.level).map(in_ten).collect();
    legend(&mut out, (66.0, 58.0), &words);
    let notes = [
        "Across: stated. Up: kept. Tinted: what is",
        "wanted, 3 points to either side as believed,",
        "at most 5 below in the others. Those after",
        "the first two weeks.",
    ];
    for (i, note) in notes.into_iter().enumerate() {
        text(
            &mut out,
            (680.0, 450.0 + 18.0 * i as f64),
            "start",
            (13, false),
            note,
        );
    }
    drawing(
        980.0,
        740.0,
        "Kept against stated chance by decile and scenario",
        &out,
    )
}

/// What is wanted: so many points about the diagonal, or only below it.
fn band(out: &mut String, panel: &Panel, points: f64, only_below: bool) {
    let (low, high) = panel.across;
    let above = if only_below { 1.0 } else { points };
    let corners = [
        panel.at(low, low - points),
        panel.at(high, high - points),
        panel.at(high, high),
        panel.at(high - above.min(0.35), high),
        panel.at(low, low + above),
    ];
    let listed: Vec<String> = corners
        .iter()
        .map(|(x, y)| format!("{x:.1},{y:.1}"))
        .collect();
    let _ = writeln!(
        out,
        "<polygon points=\"{}\" fill=\"{SLIP}\"/>",
        listed.join(" ")
    );
    line(out, panel.at(low, low), panel.at(high, high), INK_2, "2 3");
}

/// Kept less stated by week, a panel for each scenario.
pub(crate) fn weeks(all: &[Measured]) -> String {
    let mut out = String::new();
    for (i, measured) in all.iter().enumerate() {
        let (column, row) = ((i % 3) as f64, (i / 3) as f64);
        let weeks = measured.levels.first().map_or(1, |level| level.weeks.len());
        let panel = Panel {
            x: 60.0 + column * 310.0,
            y: 108.0 + row * 260.0,
            width: 240.0,
            height: 170.0,
            across: (0.7, weeks as f64 + 0.3),
            up: (-0.15, 0.1),
        };
        let heights =
            [-0.15, -0.10, -0.05, 0.0, 0.05, 0.1].map(|v| (v, format!("{:+.0}", 100.0 * v)));
        let feet: Vec<(f64, String)> = (1..=weeks).map(|w| (w as f64, w.to_string())).collect();
        panel.frame(&mut out, measured.name, &heights, &feet);
        let (left, right) = panel.across;
        line(
            &mut out,
            panel.at(left, -0.05),
            panel.at(right, -0.05),
            INK_2,
            "2 3",
        );
        line(
            &mut out,
            panel.at(panel.across.0, 0.0),
            panel.at(panel.across.1, 0.0),
            INK,
            "",
        );
        for (series, level) in measured.levels.iter().skip(1).take(3).enumerate() {
            let apart = |(w, s): (usize, &Shares)| panel.at(w as f64 + 1.0, s.kept - s.stated);
            let points: Vec<(f64, f64)> = level.weeks.iter().enumerate().map(apart).collect();
            path(&mut out, &points, series);
        }
    }
    text(
        &mut out,
        (60.0, 32.0),
        "start",
        (19, true),
        "Kept less stated, in points, by the week in which it was asked",
    );
    let levels = all.first().map_or(&[][..], |first| &first.levels[1..]);
    let words: Vec<String> = levels.iter().filter_map(|l| l.level).map(in_ten).collect();
    legend(&mut out, (66.0, 58.0), &words);
    drawing(980.0, 580.0, "Kept less stated by week and scenario", &out)
}

/// Quoted lead times against the best constants, of the first scenario.
pub(crate) fn lead_times(measured: &Measured) -> String {
    let mut out = String::new();
    let most = 96.0;
    text(
        &mut out,
        (20.0, 32.0),
        "start",
        (19, true),
        "Mean lead time, hours, kept equally often",
    );
    for (i, level) in measured.levels.iter().enumerate() {
        let Some(lead) = level.lead else { continue };
        let y = 70.0 + i as f64 * 100.0;
        let name = level.level.map_or_else(|| "all pledges".to_owned(), in_ten);
        text(&mut out, (20.0, y), "start", (15, true), &name);
        let rows = [
            ("quoted", lead.quoted_h, SERIES[0].0),
            ("best number for each team", lead.one_a_team_h, SHEET),
            ("best number for all", lead.one_for_all_h, SHEET),
        ];
        for (j, (words, hours, fill)) in rows.into_iter().enumerate() {
            let y = y + 10.0 + j as f64 * 22.0;
            let width = 480.0 * hours / most;
            let _ = writeln!(
                out,
                "<rect x=\"220\" y=\"{y:.1}\" width=\"{width:.1}\" height=\"15\" fill=\"{fill}\" \
                 stroke=\"{INK}\" stroke-width=\"1.25\"/>"
            );
            text(&mut out, (212.0, y + 12.0), "end", (13, false), words);
            text(
                &mut out,
                (226.0 + width, y + 12.0),
                "start",
                (13, false),
                &format!("{hours:.1} h"),
            );
        }
    }
    drawing(
        780.0,
        480.0,
        "Quoted lead times against constant ones",
        &out,
    )
}

/// The same as a table, for `docs/calibration.md`.
pub(crate) fn table(all: &[Measured]) -> String {
    let mut out = String::from(
        "| scenario | asked | pledges | stated % | kept % | apart | after two weeks: stated % | kept % | apart |\n\
         |---|---|---|---|---|---|---|---|---|\n",
    );
    for measured in all {
        for level in &measured.levels {
            let asked = level
                .level
                .map_or_else(|| "all".to_owned(), |l| format!("{l:.2}"));
            let cells = |s: &Shares| {
                let apart = 100.0 * (s.kept - s.stated);
                format!(
                    "{:.1} | {:.1} | {apart:+.1}",
                    100.0 * s.stated,
                    100.0 * s.kept
                )
            };
            let _ = writeln!(
                out,
                "| {} | {asked} | {} | {} | {} |",
                measured.name,
                level.all.pledges,
                cells(&level.all),
                cells(&level.later)
            );
        }
    }
    out
}

/// Deciles, weeks, lead times and fairness as tables.
pub(crate) fn more_tables(all: &[Measured]) -> String {
    let mut out = String::from(
        "\nKept less stated in points, by decile of stated chance (mean stated % in brackets)\n\n",
    );
    out.push_str("| scenario | asked | 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9 | 10 |\n|---|---|---|---|---|---|---|---|---|---|---|---|\n");
    let row = |out: &mut String, measured: &Measured, level: &AtLevel, cells: Vec<String>| {
        let asked = level
            .level
            .map_or_else(|| "all".to_owned(), |l| format!("{l:.2}"));
        let _ = writeln!(
            out,
            "| {} | {asked} | {} |",
            measured.name,
            cells.join(" | ")
        );
    };
    let apart = |s: &Shares| 100.0 * (s.kept - s.stated);
    for measured in all {
        for level in &measured.levels {
            let cells = level
                .deciles
                .iter()
                .map(|d| format!("{:+.1} ({:.1})", apart(d), 100.0 * d.stated));
            row(&mut out, measured, level, cells.collect());
        }
    }
    out.push_str("\nKept less stated in points, by week\n\n| scenario | asked | 1 | 2 | 3 | 4 | 5 | 6 |\n|---|---|---|---|---|---|---|---|\n");
    for measured in all {
        for level in &measured.levels {
            let cells = level.weeks.iter().map(|w| format!("{:+.1}", apart(w)));
            row(&mut out, measured, level, cells.collect());
        }
    }
    out.push_str("\nMean lead times in hours, and Jain's index over teams\n\n| scenario | asked | quoted | waited | best number for all | shorter by % | best for each team | shorter by % | index of waits | of shares kept | of requests in hand |\n|---|---|---|---|---|---|---|---|---|---|---|\n");
    for measured in all {
        for level in &measured.levels {
            let (Some(lead), Some(fair)) = (level.lead, level.fair) else {
                continue;
            };
            let shorter = |than: f64| 100.0 * (1.0 - lead.quoted_h / than);
            let cells = vec![
                format!("{:.1}", lead.quoted_h),
                format!("{:.1}", lead.waited_h),
                format!("{:.1}", lead.one_for_all_h),
                format!("{:.0}", shorter(lead.one_for_all_h)),
                format!("{:.1}", lead.one_a_team_h),
                format!("{:.0}", shorter(lead.one_a_team_h)),
                format!("{:.3}", fair.waited),
                format!("{:.3}", fair.kept),
                format!("{:.3}", fair.got),
            ];
            row(&mut out, measured, level, cells);
        }
    }
    out
}
