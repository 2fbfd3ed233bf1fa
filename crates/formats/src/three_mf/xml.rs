//! Walking a model part's XML while it is being unpacked: no copy of the text is kept.

use std::borrow::Cow;
use std::io::{BufRead, Cursor};

use partpledge_words::said;
use quick_xml::XmlVersion;
use quick_xml::events::{BytesStart, Event};
use quick_xml::name::{NamespaceResolver, QName, ResolveResult};
use quick_xml::reader::NsReader;

use crate::archive::{Archive, damaged_entry};
use crate::detect::from_wide;
use crate::error::ReadError;
use crate::points::{shown, xml_told};

use super::build::Builder;
use super::{Counts, Model, bad};

/// Namespace of the core specification, and of the drafts before it, whose meshes are alike.
const CORE: [&str; 2] = [
    "http://schemas.microsoft.com/3dmanufacturing/core/2015/02",
    "http://schemas.microsoft.com/3dmanufacturing/2013/01",
];
/// Namespace of the production extension: objects in other package parts.
const PRODUCTION: &str = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06";
/// Extensions that a model may require: they change nothing about the shape, or we follow them.
const KNOWN_EXTENSIONS: [&str; 3] = [
    PRODUCTION,
    "http://schemas.microsoft.com/3dmanufacturing/material/2015/02",
    "http://schemas.microsoft.com/3dmanufacturing/trianglesets/2021/07",
];

/// XML as text: UTF-8, or UTF-16 by its byte order mark.
pub(super) fn text_of(bytes: Vec<u8>, entry: &str) -> Result<String, ReadError> {
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return from_wide(&bytes).ok_or_else(|| bad(entry, said!("errors-read-not-utf16")));
    }
    String::from_utf8(bytes).map_err(|_| bad(entry, said!("errors-read-not-utf8")))
}

/// Attributes without a prefix, unescaped: those of the element's own specification.
pub(super) fn attributes<'t, const N: usize>(
    tag: &'t BytesStart<'_>,
    names: [&str; N],
    entry: &str,
) -> Result<[Option<Cow<'t, str>>; N], ReadError> {
    let mut out = [const { None }; N];
    for found in tag.attributes() {
        let found = found.map_err(|error| bad(entry, xml_told(&error)))?;
        let key = found.key.0;
        if let Some(i) = names.iter().position(|&name| name == key) {
            out[i] = Some(unescaped(found.value, key, entry)?);
        }
    }
    Ok(out)
}

fn unescaped<'t>(value: Cow<'t, str>, key: &str, entry: &str) -> Result<Cow<'t, str>, ReadError> {
    // Numbers need no unescaping, and there are millions of them.
    if !value.bytes().any(|b| b == b'&' || b < b' ') {
        return Ok(value);
    }
    let attribute = quick_xml::events::attributes::Attribute {
        key: QName(key),
        value,
    };
    let plain = attribute.normalized_value(XmlVersion::Explicit1_0);
    plain
        .map(|plain| Cow::Owned(plain.into_owned()))
        .map_err(|error| bad(entry, xml_told(&error)))
}

/// The production extension's `path`, by its namespace.
pub(super) fn path_attribute(
    tag: &BytesStart<'_>,
    resolver: &NamespaceResolver,
    entry: &str,
) -> Result<Option<String>, ReadError> {
    for found in tag.attributes().flatten() {
        let (namespace, name) = resolver.resolve_attribute(found.key);
        let ours = matches!(&namespace, ResolveResult::Bound(ns) if ns.as_ref() == PRODUCTION);
        if ours && name.as_ref() == "path" {
            let path = unescaped(found.value, found.key.0, entry)?;
            return Ok(Some(path.into_owned()));
        }
    }
    Ok(None)
}

/// [`ReadError::NeedsExtension`] unless every prefix listed stands for what we know.
pub(super) fn check_extensions(
    required: &str,
    resolver: &NamespaceResolver,
) -> Result<(), ReadError> {
    for prefix in required.split_whitespace() {
        let name = format!("{prefix}:x");
        let (namespace, _) = resolver.resolve_attribute(QName(&name));
        let namespace = match &namespace {
            ResolveResult::Bound(ns) => ns.as_ref(),
            _ => prefix,
        };
        if !KNOWN_EXTENSIONS.contains(&namespace) && !CORE.contains(&namespace) {
            return Err(ReadError::NeedsExtension {
                extension: shown(namespace.as_bytes()),
            });
        }
    }
    Ok(())
}

/// Reads one model part.
pub(super) fn read_model(
    archive: &mut Archive<'_>,
    path: &str,
    counts: &mut Counts,
) -> Result<Model, ReadError> {
    let limits = archive.limits();
    let index = archive
        .find(path)
        .ok_or_else(|| bad(path, said!("errors-read-not-in-archive")))?;
    archive.stream(index, |reader| {
        let mut builder = Builder::new(path, &limits, counts);
        let start = reader
            .fill_buf()
            .map_err(|error| damaged_entry(path, &error))?;
        if start.starts_with(&[0xff, 0xfe]) || start.starts_with(&[0xfe, 0xff]) {
            let mut bytes = Vec::new();
            reader
                .read_to_end(&mut bytes)
                .map_err(|error| damaged_entry(path, &error))?;
            let text = text_of(bytes, path)?;
            walk(Cursor::new(text.as_bytes()), path, &mut builder)?;
        } else {
            walk(reader, path, &mut builder)?;
        }
        builder.finish()
    })
}

fn walk(reader: impl BufRead, path: &str, builder: &mut Builder<'_>) -> Result<(), ReadError> {
    let mut reader = NsReader::from_reader(reader);
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        let event = reader
            .read_event_into(&mut buffer)
            .map_err(|error| match error {
                quick_xml::Error::Io(error) => damaged_entry(path, &error),
                other => bad(path, xml_told(&other)),
            })?;
        match event {
            Event::DocType(_) => {
                return Err(ReadError::XmlEntities {
                    entry: shown(path.as_bytes()),
                });
            }
            Event::Start(tag) => open(&reader, &tag, builder)?,
            Event::Empty(tag) => {
                open(&reader, &tag, builder)?;
                builder.close()?;
            }
            Event::End(_) => builder.close()?,
            Event::Eof => return Ok(()),
            _ => {}
        }
    }
}

fn open<R>(
    reader: &NsReader<R>,
    tag: &BytesStart<'_>,
    builder: &mut Builder<'_>,
) -> Result<(), ReadError> {
    let resolver = reader.resolver();
    let (namespace, _) = resolver.resolve_element(tag.name());
    let core = matches!(&namespace, ResolveResult::Bound(ns) if CORE.contains(&ns.as_ref()));
    builder.open(tag, core, resolver)
}
