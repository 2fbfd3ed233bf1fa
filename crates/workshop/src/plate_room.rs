//! A plate as it lies on its bed, worked out again from the original file: plan view and 3MF.

use std::sync::{Arc, OnceLock};

use bytes::Bytes;
use partpledge_plates::{Effort, Layout};
use partpledge_records::{KeptPlate, StepKind, StoredCopy, StoredRequest, Version};

use crate::books::Books;
use crate::error::WorkshopError;
use crate::estimating::{LaidPart, Process, lay};
use crate::intake::Stands;
use crate::laying_out::{lay_out, plate_3mf, room};
use crate::sending::judged;
use crate::session::Session;
use crate::shelf::{Label, LaidFile, OpenedFile};

/// A plate on its bed.
#[derive(Clone, Debug)]
pub struct LaidPlate {
    /// Printer's name.
    pub printer: String,
    /// Width and depth of its bed, mm.
    pub bed_mm: [f64; 2],
    /// What lies on it, by item of the layout.
    pub items: Vec<LaidItem>,
    /// Where everything lies.
    pub layout: Layout,
}

/// Copies of one part on a plate.
#[derive(Clone, Debug)]
pub struct LaidItem {
    /// The file that the part is of.
    pub file: Arc<LaidFile>,
    /// Position of the part in it.
    pub part: usize,
    /// Number under which the request's share of the plate is kept.
    pub share: u64,
    /// Copies of it on the plate.
    pub copies: usize,
}

impl LaidItem {
    /// The part, laid down.
    #[must_use]
    pub fn part(&self) -> &LaidPart {
        &self.file.parts[self.part]
    }
}

/// What a request's file is kept under, and what it was opened for.
pub(crate) fn label(
    session: &Session,
    request: &StoredRequest,
) -> Result<(Label, Process, Stands), WorkshopError> {
    let (process, stands) = Process::of_request(&session.catalogue, request)?;
    let label = Label {
        version: request.version,
        process: process.key(),
        stands: stands.clone(),
    };
    Ok((label, process, stands))
}

/// The version of a request and its original file.
async fn on_record(
    session: &Session,
    request: &StoredRequest,
) -> Result<(Version, Bytes), WorkshopError> {
    let (store, region) = session.writable()?;
    let gone = |what: &'static str| {
        WorkshopError::Store(partpledge_records::StoreError::Damaged {
            what,
            why: "it is gone".to_owned(),
        })
    };
    let version = store.version(region, request.version).await?;
    let version = version.ok_or_else(|| gone("part version"))?;
    let bytes = store.blob(&version.blob).await?;
    Ok((version, bytes.ok_or_else(|| gone("original file"))?))
}

/// The file of a request as it was sent.
///
/// # Errors
/// [`WorkshopError::Store`] when it is gone.
pub async fn original(session: &Session, request: &StoredRequest) -> Result<Bytes, WorkshopError> {
    Ok(on_record(session, request).await?.1)
}

/// The file of a request, read and judged again from its original.
///
/// # Errors
/// [`WorkshopError::Store`] when the original is gone, and whatever judging gives.
pub async fn opened_file(
    session: &Session,
    request: &StoredRequest,
) -> Result<Arc<OpenedFile>, WorkshopError> {
    let (label, process, stands) = label(session, request)?;
    if let Some(known) = session.shelf.opened(&label) {
        return Ok(known);
    }
    let (version, bytes) = on_record(session, request).await?;
    // The unit that was settled on when it came, so that nothing changes size later. A 3MF
    // declares its own.
    let unit = partpledge_units::length::LengthUnit::ALL
        .into_iter()
        .find(|unit| unit.symbol() == version.unit && version.unit_source != "file");
    let name = version.file_name.as_str();
    let mut judged = judged(session, (&bytes, name), unit, (&process, &stands))?;
    // They are large, and quick to cut again when they are wanted.
    for part in &mut judged.parts {
        part.sections = None;
    }
    let opened = OpenedFile {
        judged,
        process,
        orient: stands.orient,
    };
    Ok(session.shelf.keep_opened(&label, opened))
}

/// The file of a request with its parts laid down again.
///
/// # Errors
/// As [`opened_file`], and whatever cutting gives.
pub async fn laid_file(
    session: &Session,
    request: &StoredRequest,
) -> Result<Arc<LaidFile>, WorkshopError> {
    let (label, process, stands) = label(session, request)?;
    if let Some(known) = session.shelf.laid(&label) {
        return Ok(known);
    }
    let opened = opened_file(session, request).await?;
    let parts = &opened.judged.parts;
    let parts = parts
        .iter()
        .map(|part| lay(part, &process.sheet))
        .collect::<Result<Vec<_>, _>>()?;
    let laid = LaidFile {
        parts,
        process,
        orient: stands.orient,
        weak: OnceLock::new(),
    };
    Ok(session.shelf.keep_laid(&label, laid))
}

/// The printer that a plate runs on, ran on or is planned on.
#[must_use]
pub fn printer_of(session: &Session, books: &Books, kept: &KeptPlate) -> Option<String> {
    if let Some(step) = books.step(kept.plate.seq.0, StepKind::Started) {
        return Some(step.printer.clone());
    }
    let place = books.place(kept)?;
    Some(
        session.terrain.region.printers[place.printer.0]
            .name
            .clone(),
    )
}

/// A plate as it lies on the bed of its printer. `None` while it has none.
///
/// # Errors
/// As [`laid_file`]; [`WorkshopError::Layout`].
pub async fn laid_plate(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
) -> Result<Option<LaidPlate>, WorkshopError> {
    let Some(printer) = printer_of(session, books, kept) else {
        return Ok(None);
    };
    let class = session
        .terrain
        .printer_of(&printer)
        .and_then(|p| session.catalogue.class(&session.terrain.classes[p.0]));
    let Some(class) = class else {
        return Ok(None);
    };
    let items = items(session, books, kept).await?;
    let parts: Vec<(&LaidPart, usize)> = items
        .iter()
        .map(|item| (item.part(), item.copies))
        .collect();
    let bed_mm = [class.bed_mm[0], class.bed_mm[1]];
    let plates = lay_out(&parts, &room(class), Effort::default())?;
    let layout = plates.into_iter().next();
    Ok(layout.map(|layout| LaidPlate {
        printer,
        bed_mm,
        items,
        layout,
    }))
}

/// Everything on the plate that a row lies on: its own request's parts first.
pub(crate) async fn items(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
) -> Result<Vec<LaidItem>, WorkshopError> {
    let mut out = Vec::new();
    for row in books.company(kept) {
        let Some(listed) = books.request(row.request) else {
            continue;
        };
        let copies = books.copies(row.request);
        out.extend(share_of(session, row, (&listed.request, copies)).await?);
    }
    Ok(out)
}

/// What a request has on a plate.
pub(crate) async fn share_of(
    session: &Session,
    row: &KeptPlate,
    (request, copies): (&StoredRequest, &[StoredCopy]),
) -> Result<Vec<LaidItem>, WorkshopError> {
    let file = laid_file(session, request).await?;
    let share = share(row, (request, copies), file.parts.len());
    let on_it = (0..file.parts.len()).filter(|&part| share[part] > 0);
    let item = |part| LaidItem {
        file: file.clone(),
        part,
        share: row.plate.seq.0,
        copies: share[part],
    };
    Ok(on_it.map(item).collect())
}

/// How many of each part a plate carries: copies are numbered part by part.
fn share(
    kept: &KeptPlate,
    (request, copies): (&StoredRequest, &[StoredCopy]),
    parts: usize,
) -> Vec<usize> {
    let mut share = vec![0; parts];
    for copy in copies {
        // A plate that was lost has no copies any more; it is drawn as it was laid out.
        let on_it = copy.plate == kept.plate.seq.0;
        let part = usize::try_from((copy.number - 1) / request.copies.max(1)).unwrap_or(0);
        if on_it && part < parts {
            share[part] += 1;
        }
    }
    if share.iter().all(|&n| n == 0) && parts > 0 {
        share[0] = usize::try_from(kept.plate.copies).unwrap_or(1);
    }
    share
}

impl LaidPlate {
    /// The plate as a 3MF for the host's own toolpath program.
    #[must_use]
    pub fn three_mf(&self) -> Vec<u8> {
        let parts: Vec<&LaidPart> = self.items.iter().map(LaidItem::part).collect();
        plate_3mf(&parts, &self.layout)
    }
}
