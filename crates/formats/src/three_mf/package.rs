//! Finding the model in the package: through its relationship, never by its usual path.

use quick_xml::events::Event;
use quick_xml::reader::NsReader;

use crate::error::ReadError;
use crate::zip_set::{Archive, leads_outside};

use super::xml::{attribute, text_of};

/// Relationship type of the primary model (core specification 2.1, C.2; verified).
const START_PART: &str = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel";

/// Path of the primary model; `None` when this is no package at all.
pub(super) fn root_model(archive: &mut Archive<'_>) -> Result<Option<String>, ReadError> {
    let rels = "_rels/.rels";
    let Some(bytes) = archive.read(rels)? else {
        return Ok(None);
    };
    let text = text_of(&bytes, rels)?;
    let mut reader = NsReader::from_str(&text);
    loop {
        let bad = |what: String| ReadError::BadModel {
            entry: rels.to_owned(),
            what,
        };
        match reader.read_event().map_err(|e| bad(e.to_string()))? {
            Event::DocType(_) => {
                return Err(ReadError::XmlEntities {
                    entry: rels.to_owned(),
                });
            }
            Event::Start(tag) | Event::Empty(tag)
                if tag.local_name().as_ref() == "Relationship" =>
            {
                if attribute(&tag, "Type", rels)?.as_deref() != Some(START_PART) {
                    continue;
                }
                let target = attribute(&tag, "Target", rels)?.unwrap_or_default();
                return part_path(&target).map(Some);
            }
            Event::Eof => return Err(bad("no relationship names the 3D model".to_owned())),
            _ => {}
        }
    }
}

/// A part name of the package as a path in the archive.
pub(super) fn part_path(target: &str) -> Result<String, ReadError> {
    let path = target.strip_prefix('/').unwrap_or(target);
    if leads_outside(path) || path.is_empty() {
        return Err(ReadError::PathOutside {
            entry: target.to_owned(),
        });
    }
    Ok(path.to_owned())
}
