//! Stored forms of what a file was judged to be, and of how a request is to be made.

use partpledge_words::Said;
use serde::{Deserialize, Serialize};

use super::{read, write};
use crate::error::StoreError;

/// A finding as stored; its words are said to the reader and to programs when they are shown.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StoredFinding {
    /// Stable name.
    pub code: String,
    /// `blocking`, `warning` or `note`.
    pub severity: String,
    /// Where, in the part's own mm.
    pub place_mm: Option<[f64; 3]>,
    /// What was measured, in `unit`.
    pub measured: Option<f64>,
    /// The limit, in `unit`.
    pub limit: Option<f64>,
    /// Unit of the numbers.
    pub unit: String,
    /// What is the matter and why it matters.
    pub why: Said,
    /// What to do about it.
    pub what_to_do: Said,
    /// Where the rule comes from.
    pub source: String,
}

/// Facts of one part as stored.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StoredFacts {
    /// As read.
    pub triangles: usize,
    /// After welding.
    pub vertices: usize,
    /// Connected by edge.
    pub shells: usize,
    /// Closed and consistent.
    pub watertight: bool,
    /// `None` unless closed and consistent.
    pub volume_mm3: Option<f64>,
    /// Surface.
    pub area_mm2: f64,
    /// Box around it.
    pub size_mm: [f64; 3],
}

/// What was mended in one part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StoredRepairs {
    /// Each step in words.
    pub steps: Vec<String>,
    /// Facts afterwards.
    #[serde(flatten)]
    pub facts: StoredFacts,
}

/// How a request is to be made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StoredProcess {
    /// Form of this document.
    pub schema: u32,
    /// Code of the process sheet.
    pub sheet: String,
    /// Infill, percent.
    pub infill_percent: f64,
    /// `best` or `as-sent`.
    pub orient: String,
    /// How each part stands, as it was decided when the request came; empty in requests from before
    /// this was kept. What is promised stands like this, whatever would be chosen today.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub standing: Vec<StoredStanding>,
    /// Code of the school at which the team fetches it, if that is not its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fetch_at: Option<String>,
}

/// A way to stand that was decided.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StoredStanding {
    /// Its name, for people.
    pub name: String,
    /// Row-major rotation from the part's own axes to the bed's, z up.
    pub rotation: [f64; 9],
}

/// The findings of a file, part by part.
///
/// # Errors
/// [`StoreError::Damaged`].
pub fn findings_from_text(text: &str) -> Result<Vec<Vec<StoredFinding>>, StoreError> {
    read("findings", text)
}

/// The findings of a file, part by part, as text.
///
/// # Errors
/// [`StoreError::Damaged`] when a number is not one.
pub fn findings_to_text(parts: &[Vec<StoredFinding>]) -> Result<String, StoreError> {
    write(&parts)
}

/// The facts of a file's parts.
///
/// # Errors
/// [`StoreError::Damaged`].
pub fn facts_from_text(text: &str) -> Result<Vec<StoredFacts>, StoreError> {
    read("facts", text)
}

/// The facts of a file's parts, as text.
///
/// # Errors
/// [`StoreError::Damaged`] when a number is not one.
pub fn facts_to_text(parts: &[StoredFacts]) -> Result<String, StoreError> {
    write(&parts)
}

/// What was mended, part by part, as text.
///
/// # Errors
/// [`StoreError::Damaged`] when a number is not one.
pub fn repairs_to_text(parts: &[Option<StoredRepairs>]) -> Result<String, StoreError> {
    write(&parts)
}

/// The sheet's code in a stored process; `None` when it says none.
pub(crate) fn sheet_of(text: &str) -> Option<String> {
    let process: serde_json::Value = serde_json::from_str(text).ok()?;
    Some(process.get("sheet")?.as_str()?.to_owned())
}

impl StoredProcess {
    /// As text.
    ///
    /// # Errors
    /// [`StoreError::Damaged`] when a number is not one.
    pub fn to_text(&self) -> Result<String, StoreError> {
        write(self)
    }

    /// From text.
    ///
    /// # Errors
    /// [`StoreError::Damaged`].
    pub fn from_text(text: &str) -> Result<Self, StoreError> {
        read("process", text)
    }

    /// Whether the same was chosen: sheet, infill, orientation and where it is fetched. How the parts
    /// stand follows from that and the file.
    #[must_use]
    pub fn is_made_as(&self, other: &Self) -> bool {
        let chosen = |one: &Self| Self {
            schema: 0,
            standing: Vec::new(),
            ..one.clone()
        };
        chosen(self) == chosen(other)
    }
}
