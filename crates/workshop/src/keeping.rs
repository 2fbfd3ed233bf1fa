//! What is kept of a judged file: the original always, and what it was judged to be.

use bytes::Bytes;
use partpledge_mesh::Facts;
use partpledge_printability::Finding;
use partpledge_records::NewVersion;
use partpledge_records::stored::{
    StoredFacts, StoredFinding, StoredRepairs, facts_to_text, findings_to_text, repairs_to_text,
};
use partpledge_units::ids::{IdSource, VersionId};

use crate::ENGINE;
use crate::error::WorkshopError;
use crate::intake::{JudgedFile, JudgedPart};
use crate::session::Session;

/// A file with what it was judged to be, as it is kept.
#[derive(Clone, Debug)]
pub struct Original {
    /// The file.
    pub bytes: Bytes,
    /// Its name, without folders.
    pub file_name: String,
    /// Symbol of the unit used.
    pub unit: String,
    /// Where the unit came from.
    pub unit_source: String,
    /// JSON of the facts.
    pub facts: String,
    /// JSON of the findings.
    pub findings: String,
    /// JSON of the repairs.
    pub repairs: String,
}

impl Original {
    /// A file that has just been judged.
    ///
    /// # Errors
    /// [`WorkshopError::Store`] when a number in it is not one.
    pub fn of(bytes: Bytes, file_name: &str, judged: &JudgedFile) -> Result<Self, WorkshopError> {
        let parts = &judged.parts;
        let facts: Vec<StoredFacts> = parts.iter().map(|p| stored_facts(&p.facts)).collect();
        let findings: Vec<Vec<StoredFinding>> = parts.iter().map(stored_findings).collect();
        let repairs: Vec<Option<StoredRepairs>> = parts.iter().map(stored_repairs).collect();
        Ok(Self {
            bytes,
            file_name: file_name.to_owned(),
            unit: judged.unit.used.symbol().to_owned(),
            unit_source: judged.unit.source.word().to_owned(),
            facts: facts_to_text(&facts)?,
            findings: findings_to_text(&findings)?,
            repairs: repairs_to_text(&repairs)?,
        })
    }
}

fn stored_facts(facts: &Facts) -> StoredFacts {
    StoredFacts {
        triangles: facts.triangles,
        vertices: facts.vertices,
        shells: facts.shells.len(),
        watertight: facts.watertight,
        volume_mm3: facts.volume_mm3,
        area_mm2: facts.area_mm2,
        size_mm: facts.size_mm,
    }
}

fn stored_findings(part: &JudgedPart) -> Vec<StoredFinding> {
    let one = |finding: &Finding| StoredFinding {
        code: finding.code.to_owned(),
        severity: finding.severity.word().to_owned(),
        place_mm: finding.place_mm,
        measured: finding.measured,
        limit: finding.limit,
        unit: finding.unit.to_owned(),
        why: finding.why.clone(),
        what_to_do: finding.what_to_do.clone(),
        source: finding.source.to_owned(),
    };
    part.findings.iter().map(one).collect()
}

fn stored_repairs(part: &JudgedPart) -> Option<StoredRepairs> {
    let repaired = part.repaired.as_ref()?;
    Some(StoredRepairs {
        steps: repaired.steps.iter().map(ToString::to_string).collect(),
        facts: stored_facts(&repaired.facts),
    })
}

/// Keeps the file, which is on disk before any row names it, and its version.
///
/// # Errors
/// [`WorkshopError::Store`].
pub async fn keep(
    session: &Session,
    (team, part): (&str, &str),
    original: &Original,
    ids: &mut IdSource,
) -> Result<VersionId, WorkshopError> {
    let (store, region) = session.writable()?;
    let blob = store.put_blob(original.bytes.clone()).await?;
    let new = NewVersion {
        team: team.to_owned(),
        part: part.to_owned(),
        blob,
        file_name: original.file_name.clone(),
        unit: original.unit.clone(),
        unit_source: original.unit_source.clone(),
        facts: original.facts.clone(),
        findings: original.findings.clone(),
        repairs: original.repairs.clone(),
        engine: ENGINE.to_owned(),
    };
    Ok(store.add_version(region, &new, ids, session.now).await?)
}
