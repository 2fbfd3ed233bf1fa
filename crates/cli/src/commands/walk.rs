//! The steps that several commands share: read and judge a file, lay its parts down.

use std::path::Path;

use partpledge_formats::Limits;
use partpledge_toolpath::EstimateError;
use partpledge_workshop::estimating::{LaidPart, Process, lay};
use partpledge_workshop::intake::{IntakeOptions, JudgedFile, JudgedPart, Stands, judge_file};
use partpledge_workshop::{Session, WorkshopError};

use crate::args::PartArgs;

use super::{file_name, read_bytes};

/// A file read and judged, with the process asked for.
pub(crate) struct Walked {
    pub(crate) bytes: Vec<u8>,
    pub(crate) judged: JudgedFile,
    pub(crate) process: Process,
}

/// Material and sheet as asked for.
pub(crate) fn process(session: &Session, part: &PartArgs) -> Result<Process, WorkshopError> {
    Process::choose(
        &session.catalogue,
        part.material.as_deref(),
        part.sheet.as_deref(),
        part.infill,
    )
}

/// Reads and judges a file.
pub(crate) fn judge(
    session: &Session,
    path: &Path,
    part: &PartArgs,
) -> Result<Walked, WorkshopError> {
    let bytes = read_bytes(path)?;
    judge_bytes(session, bytes, &file_name(path), part)
}

/// Judges bytes that have been read.
pub(crate) fn judge_bytes(
    session: &Session,
    bytes: Vec<u8>,
    name: &str,
    part: &PartArgs,
) -> Result<Walked, WorkshopError> {
    let process = process(session, part)?;
    let beds = session.beds();
    let stands = Stands {
        load: part.load,
        ..Stands::decide(part.orient.orient())
    };
    let options = IntakeOptions {
        unit: part.unit.map(crate::args::Unit::length),
        stands: &stands,
        sheet: &process.sheet,
        material: &process.material,
        beds: &beds,
        limits: Limits::command_line(),
    };
    let judged = judge_file(&bytes, name, &options)?;
    Ok(Walked {
        bytes,
        judged,
        process,
    })
}

/// Lays every part down.
pub(crate) fn lay_all(walked: &Walked) -> Result<Vec<LaidPart>, WorkshopError> {
    walked
        .judged
        .parts
        .iter()
        .map(|part| lay(part, &walked.process.sheet).map_err(|error| said_of(part, error)))
        .collect()
}

/// Why a part could not be laid or timed: what must change in it, where that is known.
pub(crate) fn said_of(part: &JudgedPart, error: WorkshopError) -> WorkshopError {
    let of_the_part = matches!(
        error,
        WorkshopError::Slice(_) | WorkshopError::Estimate(EstimateError::NothingLaid { .. })
    );
    match part.printable() {
        Err(blocked) if of_the_part => blocked,
        _ => error,
    }
}
