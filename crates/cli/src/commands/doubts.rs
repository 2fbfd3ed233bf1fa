//! What stands against the figures of a file: what must change in its parts, a unit that we are not
//! sure of, parts that could not be read. `judge` tells more; nobody shall take figures without these.

use partpledge_printability::{Finding, Severity};
use partpledge_workshop::WorkshopError;
use partpledge_workshop::intake::{JudgedFile, JudgedPart};
use serde_json::{Map, Value};

use crate::{output, wire};

/// Findings that figures are not to be had without: what blocks, and a guessed unit.
fn weigh(finding: &Finding) -> bool {
    let unit = matches!(finding.code, "unit-doubtful" | "unit-guessed");
    unit || finding.severity == Severity::Blocking
}

/// Those of a part.
pub(crate) fn of(part: &JudgedPart) -> Vec<Finding> {
    let findings = part.findings.iter().filter(|finding| weigh(finding));
    findings.cloned().collect()
}

/// As [`of`], for a bed that was named: whether the region's printers take it is not asked.
pub(crate) fn on_a_bed(part: &JudgedPart) -> Vec<Finding> {
    let mut found = of(part);
    found.retain(|finding| finding.code != "fits-no-printer");
    found
}

/// The exit code that findings make.
pub(crate) fn code<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> u8 {
    let mut findings = findings.into_iter();
    if findings.any(|finding| finding.severity == Severity::Blocking) {
        output::NOT_POSSIBLE
    } else {
        output::FINE
    }
}

/// The exit code that a file's parts and what is missing of it make.
pub(crate) fn code_of_file(judged: &JudgedFile) -> u8 {
    let findings = judged.parts.iter().flat_map(|part| &part.findings);
    code_of_left_out(judged).max(code(findings))
}

/// The exit code that what is missing of a file makes: input that can't be read.
pub(crate) fn code_of_left_out(judged: &JudgedFile) -> u8 {
    if judged.left_out.is_empty() {
        output::FINE
    } else {
        output::BAD_INPUT
    }
}

/// Findings, a line or two each.
pub(crate) fn findings_text(findings: &[Finding]) -> String {
    let line = |finding: &Finding| {
        let mark = match finding.severity {
            Severity::Blocking => "must change",
            Severity::Warning => "worth changing",
            Severity::Note => "good to know",
        };
        let (why, code, what) = (&finding.why, finding.code, &finding.what_to_do);
        format!("\n    {mark}: {why} [{code}]\n      {what}")
    };
    findings.iter().map(line).collect()
}

/// The unit that was taken, and from where.
pub(crate) fn unit_text(judged: &JudgedFile) -> String {
    let unit = &judged.unit;
    format!(
        "(in {}, from the {})",
        unit.used.symbol(),
        unit.source.word()
    )
}

/// Parts that could not be read, two lines each.
pub(crate) fn left_out_text(judged: &JudgedFile) -> String {
    let line = |member: &partpledge_formats::LeftOut| {
        let (name, why) = (&member.name, &member.why);
        let (code, what) = (why.code(), why.what_to_do());
        format!("\n  left out: {name}: {why} [{code}]\n    {what}")
    };
    judged.left_out.iter().map(line).collect()
}

/// Puts the unit and what was left out at the end of an answer.
pub(crate) fn insert(map: &mut Map<String, Value>, judged: &JudgedFile) {
    map.insert("unit".to_owned(), wire::unit(&judged.unit));
    if let Some(left) = wire::left_out(judged) {
        map.insert("left_out".to_owned(), left);
    }
}

/// Whether every part of a file could be read: no promise is given for a set that lacks one.
///
/// # Errors
/// The name of the first that could not, and why.
pub(crate) fn whole(judged: &JudgedFile) -> Result<(), (String, WorkshopError)> {
    match judged.left_out.first() {
        None => Ok(()),
        Some(member) => Err((member.name.clone(), member.why.clone().into())),
    }
}
