//! A model part's elements into objects and build items, each only where it belongs.

use std::collections::BTreeMap;

use partpledge_units::length::LengthUnit;
use partpledge_words::{Said, said};
use quick_xml::events::BytesStart;
use quick_xml::name::NamespaceResolver;

use crate::error::ReadError;
use crate::limits::Limits;
use crate::model::RawMesh;
use crate::names::clean;
use crate::points::{check_point, shown};

use super::transform::Transform;
use super::xml::{attributes, check_extensions, path_attribute};
use super::{Counts, MOST_PLACED, Model, Object, Placed, Purpose, bad};

/// Where the reading stands. Elements elsewhere, or of other namespaces, are skipped with all
/// that is in them.
#[derive(Clone, Copy, PartialEq, Eq)]
enum At {
    Model,
    Resources,
    Object,
    Mesh,
    Vertices,
    Triangles,
    Components,
    Build,
    Leaf,
}

/// What has been read so far.
pub(super) struct Builder<'a> {
    entry: &'a str,
    limits: &'a Limits,
    counts: &'a mut Counts,
    model: Option<Model>,
    object: Option<(u32, Object)>,
    stack: Vec<At>,
    skipping: usize,
}

impl<'a> Builder<'a> {
    pub(super) fn new(entry: &'a str, limits: &'a Limits, counts: &'a mut Counts) -> Self {
        let stack = Vec::new();
        Self {
            entry,
            limits,
            counts,
            model: None,
            object: None,
            stack,
            skipping: 0,
        }
    }

    fn bad(&self, what: Said) -> ReadError {
        bad(self.entry, what)
    }

    /// An element begins; `core` says that it is of the core specification's namespace.
    pub(super) fn open(
        &mut self,
        tag: &BytesStart<'_>,
        core: bool,
        resolver: &NamespaceResolver,
    ) -> Result<(), ReadError> {
        if self.skipping > 0 || !core && !self.stack.is_empty() {
            self.skipping += 1;
            return Ok(());
        }
        let name = tag.local_name();
        let at = match (self.stack.last(), name.as_ref()) {
            (None, "model") if core && self.model.is_none() => {
                self.head(tag, resolver)?;
                At::Model
            }
            (None, _) => {
                return Err(self.bad(said!("errors-read-not-one-model", tag = "<model>")));
            }
            (Some(At::Model), "resources") => At::Resources,
            (Some(At::Model), "build") => At::Build,
            (Some(At::Resources), "object") => {
                self.object(tag)?;
                At::Object
            }
            (Some(At::Object), "mesh") => At::Mesh,
            (Some(At::Object), "components") => At::Components,
            (Some(At::Mesh), "vertices") => At::Vertices,
            (Some(At::Mesh), "triangles") => At::Triangles,
            (Some(At::Vertices), "vertex") => {
                self.vertex(tag)?;
                At::Leaf
            }
            (Some(At::Triangles), "triangle") => {
                self.triangle(tag)?;
                At::Leaf
            }
            (Some(At::Components), "component") => {
                let placed = self.placed(tag, resolver)?;
                self.object
                    .iter_mut()
                    .for_each(|(_, o)| o.components.push(placed.clone()));
                At::Leaf
            }
            (Some(At::Build), "item") => {
                let placed = self.placed(tag, resolver)?;
                self.model
                    .iter_mut()
                    .for_each(|model| model.build.push(placed.clone()));
                At::Leaf
            }
            _ => {
                self.skipping = 1;
                return Ok(());
            }
        };
        self.stack.push(at);
        Ok(())
    }

    /// The element that began last ends.
    pub(super) fn close(&mut self) -> Result<(), ReadError> {
        if self.skipping > 0 {
            self.skipping -= 1;
            return Ok(());
        }
        if self.stack.pop() == Some(At::Object) {
            self.end_object()
        } else {
            Ok(())
        }
    }

    /// The model, once the text has ended.
    pub(super) fn finish(self) -> Result<Model, ReadError> {
        if !self.stack.is_empty() {
            let what = said!(
                "errors-read-ends-before",
                entry = shown(self.entry.as_bytes()),
                tag = "</model>"
            );
            return Err(ReadError::Truncated { what });
        }
        self.model.ok_or_else(|| {
            bad(
                self.entry,
                said!("errors-read-no-model-in-it", tag = "<model>"),
            )
        })
    }

    fn head(
        &mut self,
        tag: &BytesStart<'_>,
        resolver: &NamespaceResolver,
    ) -> Result<(), ReadError> {
        let [required, unit] = attributes(tag, ["requiredextensions", "unit"], self.entry)?;
        check_extensions(required.as_deref().unwrap_or_default(), resolver)?;
        let unit = match unit.as_deref() {
            None | Some("millimeter") => LengthUnit::Millimetre,
            Some("micron") => LengthUnit::Micron,
            Some("centimeter") => LengthUnit::Centimetre,
            Some("inch") => LengthUnit::Inch,
            Some("foot") => LengthUnit::Foot,
            Some("meter") => LengthUnit::Metre,
            Some(other) => {
                return Err(self.bad(said!("errors-read-no-unit", text = shown(other.as_bytes()))));
            }
        };
        self.model = Some(Model {
            unit,
            objects: BTreeMap::new(),
            build: Vec::new(),
        });
        Ok(())
    }

    /// Counts an object, component or build item.
    fn count_thing(&mut self) -> Result<(), ReadError> {
        self.counts.things += 1;
        let (placed, limit) = (self.counts.things, MOST_PLACED);
        if placed > limit {
            return Err(ReadError::TooManyPlaced { placed, limit });
        }
        Ok(())
    }

    fn object(&mut self, tag: &BytesStart<'_>) -> Result<(), ReadError> {
        self.count_thing()?;
        let [id, kind, name] = attributes(tag, ["id", "type", "name"], self.entry)?;
        let id = self.index("id", id.as_deref())?;
        let purpose = match kind.as_deref() {
            None | Some("model" | "surface") => Purpose::Print,
            Some("support" | "solidsupport" | "other") => Purpose::NotPrinted,
            Some(other) => {
                let what = said!("errors-read-no-type", text = shown(other.as_bytes()));
                return Err(self.bad(what));
            }
        };
        let name = clean(&name.unwrap_or_default());
        let (mesh, components) = (RawMesh::default(), Vec::new());
        self.object = Some((
            id,
            Object {
                name,
                purpose,
                mesh,
                components,
            },
        ));
        Ok(())
    }

    fn end_object(&mut self) -> Result<(), ReadError> {
        let (Some((id, object)), Some(model)) = (self.object.take(), &mut self.model) else {
            return Ok(());
        };
        let vertices = object.mesh.vertices.len();
        for (i, triangle) in object.mesh.triangles.iter().enumerate() {
            if let Some(&index) = triangle.iter().find(|&&v| v as usize >= vertices) {
                let place = said!("errors-read-at-triangle-of", n = i + 1, object = id);
                return Err(ReadError::BadIndex {
                    place,
                    index: i64::from(index),
                    vertices,
                });
            }
        }
        if model.objects.insert(id, object).is_some() {
            return Err(self.bad(said!("errors-read-object-twice", object = id)));
        }
        Ok(())
    }

    fn vertex(&mut self, tag: &BytesStart<'_>) -> Result<(), ReadError> {
        let [x, y, z] = attributes(tag, ["x", "y", "z"], self.entry)?;
        let p = [
            self.number("x", x.as_deref())?,
            self.number("y", y.as_deref())?,
            self.number("z", z.as_deref())?,
        ];
        self.counts.vertices += 1;
        self.limits.check_vertices(self.counts.vertices)?;
        if let Some((id, object)) = &mut self.object {
            let number = object.mesh.vertices.len() + 1;
            check_point(p, self.limits, &|| {
                said!("errors-read-at-vertex-of", n = number, object = *id)
            })?;
            object.mesh.vertices.push(p);
        }
        Ok(())
    }

    fn triangle(&mut self, tag: &BytesStart<'_>) -> Result<(), ReadError> {
        let [a, b, c] = attributes(tag, ["v1", "v2", "v3"], self.entry)?;
        let corners = [
            self.index("v1", a.as_deref())?,
            self.index("v2", b.as_deref())?,
            self.index("v3", c.as_deref())?,
        ];
        self.counts.triangles += 1;
        self.limits.check_triangles(self.counts.triangles)?;
        self.object
            .iter_mut()
            .for_each(|(_, object)| object.mesh.triangles.push(corners));
        Ok(())
    }

    fn placed(
        &mut self,
        tag: &BytesStart<'_>,
        resolver: &NamespaceResolver,
    ) -> Result<Placed, ReadError> {
        self.count_thing()?;
        let [object, transform] = attributes(tag, ["objectid", "transform"], self.entry)?;
        let transform = match transform {
            None => Transform::IDENTITY,
            Some(text) => Transform::parse(&text).ok_or_else(|| {
                let text = shown(text.as_bytes());
                self.bad(said!("errors-read-transform", text = text))
            })?,
        };
        let object = self.index("objectid", object.as_deref())?;
        Ok(Placed {
            path: path_attribute(tag, resolver, self.entry)?,
            object,
            transform,
        })
    }

    fn index(&self, name: &str, value: Option<&str>) -> Result<u32, ReadError> {
        let text = value.ok_or_else(|| self.bad(said!("errors-read-lacks", name = name)))?;
        text.trim().parse().map_err(|_| {
            self.bad(said!(
                "errors-read-not-whole",
                name = name,
                text = shown(text.as_bytes())
            ))
        })
    }

    fn number(&self, name: &str, value: Option<&str>) -> Result<f64, ReadError> {
        let text = value.ok_or_else(|| self.bad(said!("errors-read-lacks", name = name)))?;
        text.trim().parse().map_err(|_| {
            self.bad(said!(
                "errors-read-not-number",
                name = name,
                text = shown(text.as_bytes())
            ))
        })
    }
}
