//! Finding the model in the package: through its relationship, never by its usual path.

use partpledge_words::said;
use quick_xml::events::Event;
use quick_xml::name::ResolveResult;
use quick_xml::reader::NsReader;

use crate::archive::{Archive, leads_outside};
use crate::error::ReadError;
use crate::points::{shown, xml_told};

use super::bad;
use super::xml::{attributes, text_of};

/// Relationship type of the primary model (core specification 2.1, C.2; verified).
const START_PART: &str = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel";
/// Namespace of relationship parts (ECMA-376 part 2, open packaging conventions; from memory).
const RELATIONSHIPS: &str = "http://schemas.openxmlformats.org/package/2006/relationships";
const RELS: &str = "_rels/.rels";

/// Target of the relationship to the primary model; `None` when nothing names one.
pub(super) fn root_model(archive: &mut Archive<'_>) -> Result<Option<String>, ReadError> {
    let Some(index) = archive.find(RELS) else {
        return Ok(None);
    };
    let text = text_of(archive.read(index)?, RELS)?;
    let mut reader = NsReader::from_str(&text);
    loop {
        let event = reader
            .read_event()
            .map_err(|error| bad(RELS, xml_told(&error)))?;
        let tag = match event {
            Event::DocType(_) => {
                return Err(ReadError::XmlEntities {
                    entry: RELS.to_owned(),
                });
            }
            Event::Eof => return Ok(None),
            Event::Start(tag) | Event::Empty(tag) => tag,
            _ => continue,
        };
        let (namespace, name) = reader.resolver().resolve_element(tag.name());
        let ours = matches!(&namespace, ResolveResult::Bound(ns) if ns.as_ref() == RELATIONSHIPS);
        if !ours || name.as_ref() != "Relationship" {
            continue;
        }
        let [kind, target, mode] = attributes(&tag, ["Type", "Target", "TargetMode"], RELS)?;
        if kind.as_deref() != Some(START_PART) {
            continue;
        }
        if mode.as_deref() == Some("External") {
            return Err(bad(RELS, said!("errors-read-elsewhere")));
        }
        return Ok(Some(target.unwrap_or_default().into_owned()));
    }
}

/// The archive's own name for a part name of the package.
pub(super) fn canonical(archive: &Archive<'_>, target: &str) -> Result<String, ReadError> {
    let path = target.strip_prefix('/').unwrap_or(target);
    // "Here" is the root of the package, where the relationships belong.
    let path = path.strip_prefix("./").unwrap_or(path);
    let plain = percent_decoded(path);
    if path.is_empty() || leads_outside(path) || leads_outside(&plain) {
        return Err(ReadError::PathOutside {
            entry: shown(target.as_bytes()),
        });
    }
    match archive.find(path).or_else(|| archive.find(&plain)) {
        Some(index) => Ok(archive.names()[index].clone()),
        None => Err(bad(path, said!("errors-read-not-in-archive"))),
    }
}

/// `%20` and the like turned into bytes; what is no such code, or no UTF-8, stays as it is.
fn percent_decoded(path: &str) -> String {
    let bytes = path.as_bytes();
    let mut out = Vec::with_capacity(bytes.len());
    let mut at = 0;
    while let Some(&byte) = bytes.get(at) {
        let code = bytes
            .get(at + 1..at + 3)
            .and_then(|two| std::str::from_utf8(two).ok());
        let decoded = code.and_then(|two| u8::from_str_radix(two, 16).ok());
        if let (b'%', Some(decoded)) = (byte, decoded) {
            out.push(decoded);
            at += 3;
        } else {
            out.push(byte);
            at += 1;
        }
    }
    String::from_utf8(out).unwrap_or_else(|_| path.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percent_codes_become_letters() {
        assert_eq!(
            percent_decoded("3D/My%20arm%C3%A5.model"),
            "3D/My armå.model"
        );
        assert_eq!(percent_decoded("50%.model"), "50%.model");
        assert_eq!(percent_decoded("a%2"), "a%2");
        assert_eq!(percent_decoded("%ff"), "%ff");
    }
}
