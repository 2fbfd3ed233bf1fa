//! A model part's XML into objects and build items.

use std::collections::BTreeMap;

use partpledge_units::length::LengthUnit;
use quick_xml::XmlVersion;
use quick_xml::events::{BytesStart, Event};
use quick_xml::name::ResolveResult;
use quick_xml::reader::NsReader;

use crate::error::ReadError;
use crate::limits::Limits;
use crate::model::RawMesh;
use crate::names::clean;
use crate::stl::check_point;

use super::package::part_path;
use super::{IDENTITY, Model, Object, Placed, Purpose, Transform};

/// Namespace of the core specification.
const CORE: &str = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02";
/// Extensions that change nothing about the shape, or that we follow (production).
const KNOWN_EXTENSIONS: [&str; 4] = [
    "http://schemas.microsoft.com/3dmanufacturing/production/2015/06",
    "http://schemas.microsoft.com/3dmanufacturing/material/2015/02",
    "http://schemas.microsoft.com/3dmanufacturing/trianglesets/2021/07",
    CORE,
];

/// XML as text: UTF-8, or UTF-16 by its byte order mark.
pub(super) fn text_of(bytes: &[u8], entry: &str) -> Result<String, ReadError> {
    let bad = |what: &str| ReadError::BadModel {
        entry: entry.to_owned(),
        what: what.to_owned(),
    };
    let wide = |from: fn([u8; 2]) -> u16| {
        let units: Vec<u16> = bytes[2..]
            .chunks_exact(2)
            .map(|b| from([b[0], b[1]]))
            .collect();
        String::from_utf16(&units).map_err(|_| bad("its text is not UTF-16"))
    };
    match bytes {
        [0xff, 0xfe, ..] => wide(u16::from_le_bytes),
        [0xfe, 0xff, ..] => wide(u16::from_be_bytes),
        _ => {
            let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
            String::from_utf8(bytes.to_vec()).map_err(|_| bad("its text is not UTF-8"))
        }
    }
}

/// An attribute by its local name, unescaped.
pub(super) fn attribute(
    tag: &BytesStart<'_>,
    name: &str,
    entry: &str,
) -> Result<Option<String>, ReadError> {
    let bad = |what: String| ReadError::BadModel {
        entry: entry.to_owned(),
        what,
    };
    for found in tag.attributes() {
        let found = found.map_err(|e| bad(e.to_string()))?;
        if found.key.local_name().as_ref() == name && !found.key.as_ref().starts_with("xmlns") {
            let value = found.normalized_value(XmlVersion::Explicit1_0);
            return value
                .map(|v| Some(v.into_owned()))
                .map_err(|e| bad(e.to_string()));
        }
    }
    Ok(None)
}

/// Reads one model part.
pub(super) fn read_model(bytes: &[u8], entry: &str, limits: &Limits) -> Result<Model, ReadError> {
    let text = text_of(bytes, entry)?;
    let mut reader = NsReader::from_str(&text);
    let mut builder = Builder::new(entry, limits);
    loop {
        let event = reader.read_resolved_event();
        let (namespace, event) = event.map_err(|e| builder.bad(e.to_string()))?;
        let core = matches!(&namespace, ResolveResult::Bound(ns) if ns.as_ref() == CORE);
        match event {
            Event::DocType(_) => {
                return Err(ReadError::XmlEntities {
                    entry: entry.to_owned(),
                });
            }
            Event::Start(tag) if core => builder.open(&tag)?,
            Event::Empty(tag) if core => {
                builder.open(&tag)?;
                builder.close(tag.local_name().as_ref())?;
            }
            Event::End(tag) if core => builder.close(tag.local_name().as_ref())?,
            Event::Eof => return builder.finish(),
            _ => {}
        }
    }
}

/// What has been read so far.
struct Builder<'a> {
    entry: &'a str,
    limits: &'a Limits,
    model: Option<Model>,
    object: Option<(u32, Object)>,
    triangles: u64,
}

impl<'a> Builder<'a> {
    fn new(entry: &'a str, limits: &'a Limits) -> Self {
        Self {
            entry,
            limits,
            model: None,
            object: None,
            triangles: 0,
        }
    }

    fn bad(&self, what: impl Into<String>) -> ReadError {
        ReadError::BadModel {
            entry: self.entry.to_owned(),
            what: what.into(),
        }
    }

    fn get(&self, tag: &BytesStart<'_>, name: &str) -> Result<Option<String>, ReadError> {
        attribute(tag, name, self.entry)
    }

    fn need(&self, tag: &BytesStart<'_>, name: &str) -> Result<String, ReadError> {
        self.get(tag, name)?
            .ok_or_else(|| self.bad(format!("<{}> has no '{name}'", tag.local_name().as_ref())))
    }

    fn need_index(&self, tag: &BytesStart<'_>, name: &str) -> Result<u32, ReadError> {
        let text = self.need(tag, name)?;
        text.trim()
            .parse()
            .map_err(|_| self.bad(format!("{name}=\"{text}\" is not a whole number")))
    }

    fn need_number(&self, tag: &BytesStart<'_>, name: &str) -> Result<f64, ReadError> {
        let text = self.need(tag, name)?;
        text.trim()
            .parse()
            .map_err(|_| self.bad(format!("{name}=\"{text}\" is not a number")))
    }

    fn open(&mut self, tag: &BytesStart<'_>) -> Result<(), ReadError> {
        match tag.local_name().as_ref() {
            "model" => self.model = Some(self.read_head(tag)?),
            "object" => self.object = Some((self.need_index(tag, "id")?, self.read_object(tag)?)),
            "vertex" => self.vertex(tag)?,
            "triangle" => self.triangle(tag)?,
            "component" => {
                let placed = self.placed(tag)?;
                if let Some((_, object)) = &mut self.object {
                    object.components.push(placed);
                }
            }
            "item" => {
                let placed = self.placed(tag)?;
                if let Some(model) = &mut self.model {
                    model.build.push(placed);
                }
            }
            _ => {}
        }
        Ok(())
    }

    fn close(&mut self, name: &str) -> Result<(), ReadError> {
        if name != "object" {
            return Ok(());
        }
        let Some((id, object)) = self.object.take() else {
            return Ok(());
        };
        let vertices = object.mesh.vertices.len();
        for (i, triangle) in object.mesh.triangles.iter().enumerate() {
            if let Some(&index) = triangle.iter().find(|&&v| v as usize >= vertices) {
                let place = format!("triangle {} of object {id}", i + 1);
                return Err(ReadError::BadIndex {
                    place,
                    index: i64::from(index),
                    vertices,
                });
            }
        }
        let Some(model) = &mut self.model else {
            return Err(self.bad("an object stands outside the model"));
        };
        if model.objects.insert(id, object).is_some() {
            return Err(self.bad(format!("object {id} is there twice")));
        }
        Ok(())
    }

    fn finish(self) -> Result<Model, ReadError> {
        let missing = self.bad("there is no <model> of the 3MF core specification");
        self.model.ok_or(missing)
    }

    fn read_head(&self, tag: &BytesStart<'_>) -> Result<Model, ReadError> {
        let required = self.get(tag, "requiredextensions")?.unwrap_or_default();
        for prefix in required.split_whitespace() {
            let key = format!("xmlns:{prefix}");
            let bound = tag.attributes().flatten().find(|a| a.key.as_ref() == key);
            let namespace = bound
                .and_then(|a| {
                    a.normalized_value(XmlVersion::Explicit1_0)
                        .ok()
                        .map(|v| v.into_owned())
                })
                .unwrap_or_else(|| prefix.to_owned());
            if !KNOWN_EXTENSIONS.contains(&namespace.as_str()) {
                return Err(ReadError::NeedsExtension {
                    extension: namespace,
                });
            }
        }
        let unit = match self.get(tag, "unit")?.as_deref() {
            None | Some("millimeter") => LengthUnit::Millimetre,
            Some("micron") => LengthUnit::Micron,
            Some("centimeter") => LengthUnit::Centimetre,
            Some("inch") => LengthUnit::Inch,
            Some("foot") => LengthUnit::Foot,
            Some("meter") => LengthUnit::Metre,
            Some(other) => return Err(self.bad(format!("'{other}' is not a unit of 3MF"))),
        };
        Ok(Model {
            unit,
            objects: BTreeMap::new(),
            build: Vec::new(),
        })
    }

    fn read_object(&self, tag: &BytesStart<'_>) -> Result<Object, ReadError> {
        let purpose = match self.get(tag, "type")?.as_deref() {
            None | Some("model" | "surface") => Purpose::Print,
            Some("support" | "solidsupport") => Purpose::Support,
            Some("other") => Purpose::Other,
            Some(other) => return Err(self.bad(format!("'{other}' is not a type of object"))),
        };
        let name = clean(&self.get(tag, "name")?.unwrap_or_default());
        Ok(Object {
            name,
            purpose,
            mesh: RawMesh::default(),
            components: Vec::new(),
        })
    }

    fn vertex(&mut self, tag: &BytesStart<'_>) -> Result<(), ReadError> {
        let p = [
            self.need_number(tag, "x")?,
            self.need_number(tag, "y")?,
            self.need_number(tag, "z")?,
        ];
        let Some((id, object)) = &mut self.object else {
            return Err(self.bad("a vertex stands outside an object"));
        };
        let number = object.mesh.vertices.len() + 1;
        check_point(p, self.limits, &|| {
            format!("vertex {number} of object {id}")
        })?;
        object.mesh.vertices.push(p);
        Ok(())
    }

    fn triangle(&mut self, tag: &BytesStart<'_>) -> Result<(), ReadError> {
        let corners = [
            self.need_index(tag, "v1")?,
            self.need_index(tag, "v2")?,
            self.need_index(tag, "v3")?,
        ];
        self.triangles += 1;
        if self.triangles > self.limits.max_triangles {
            let (triangles, limit) = (self.triangles, self.limits.max_triangles);
            return Err(ReadError::TooManyTriangles { triangles, limit });
        }
        match &mut self.object {
            Some((_, object)) => object.mesh.triangles.push(corners),
            None => return Err(self.bad("a triangle stands outside an object")),
        }
        Ok(())
    }

    fn placed(&self, tag: &BytesStart<'_>) -> Result<Placed, ReadError> {
        let path = self
            .get(tag, "path")?
            .map(|target| part_path(&target))
            .transpose()?;
        let transform = match self.get(tag, "transform")? {
            Some(text) => self.transform(&text)?,
            None => IDENTITY,
        };
        Ok(Placed {
            path,
            object: self.need_index(tag, "objectid")?,
            transform,
        })
    }

    fn transform(&self, text: &str) -> Result<Transform, ReadError> {
        let numbers: Vec<f64> = text
            .split_whitespace()
            .filter_map(|w| w.parse().ok())
            .collect();
        let twelve: Option<Transform> = numbers.try_into().ok();
        twelve
            .filter(|t| t.iter().all(|c: &f64| c.is_finite()))
            .ok_or_else(|| self.bad(format!("transform=\"{text}\" is not twelve numbers")))
    }
}
