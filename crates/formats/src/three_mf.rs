//! 3MF (ISO/IEC 25422): the core specification, and models in several package parts.

mod build;
mod expand;
mod package;
mod transform;
mod xml;

use std::collections::{BTreeMap, BTreeSet};

use partpledge_units::length::LengthUnit;
use partpledge_words::Said;

use crate::archive::Archive;
use crate::error::ReadError;
use crate::model::{FileKind, ModelFile, RawMesh};
use crate::points::shown;

use transform::Transform;

/// What an object is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Purpose {
    /// To be printed.
    Print,
    /// Support drawn by the designer, or shapes for other uses: not printed.
    NotPrinted,
}

/// Another object, placed.
#[derive(Clone, Debug)]
struct Placed {
    /// Package part it is in; `None` for the same one.
    path: Option<String>,
    /// Object id there.
    object: u32,
    /// Where.
    transform: Transform,
}

/// An object of a model.
#[derive(Clone, Debug)]
struct Object {
    name: String,
    purpose: Purpose,
    mesh: RawMesh,
    components: Vec<Placed>,
}

/// One model part of the package.
#[derive(Clone, Debug)]
struct Model {
    unit: LengthUnit,
    objects: BTreeMap<u32, Object>,
    build: Vec<Placed>,
}

impl Model {
    /// Everything that may name another package part.
    fn placed_mut(&mut self) -> impl Iterator<Item = &mut Placed> {
        let components = self
            .objects
            .values_mut()
            .flat_map(|object| &mut object.components);
        components.chain(&mut self.build)
    }

    /// Turns all lengths into another unit.
    fn convert(&mut self, unit: LengthUnit) {
        if self.unit == unit {
            return;
        }
        let scale = self.unit.mm() / unit.mm();
        for object in self.objects.values_mut() {
            object
                .mesh
                .vertices
                .iter_mut()
                .flatten()
                .for_each(|c| *c *= scale);
        }
        for placed in self.placed_mut() {
            placed.transform.scale_move(scale);
        }
        self.unit = unit;
    }
}

/// Most objects, and most placings of them: stops bombs made of nothing.
const MOST_PLACED: u64 = 1_000_000;

/// Counts over all model parts of a package.
#[derive(Clone, Copy, Debug, Default)]
struct Counts {
    vertices: u64,
    triangles: u64,
    /// Objects, components and build items.
    things: u64,
}

/// Reads a 3MF; `None` when no relationship of the archive names a 3D model (a plain zip).
pub(crate) fn read(
    archive: &mut Archive<'_>,
    file_name: &str,
) -> Result<Option<ModelFile>, ReadError> {
    let Some(target) = package::root_model(archive)? else {
        return Ok(None);
    };
    let root = package::canonical(archive, &target)?;
    let mut counts = Counts::default();
    let mut models: BTreeMap<String, Model> = BTreeMap::new();
    let mut waiting = BTreeSet::from([root.clone()]);
    // The root is the only one that waits at first, so it is read first.
    while let Some(path) = waiting.pop_first() {
        let mut model = xml::read_model(archive, &path, &mut counts)?;
        for placed in model.placed_mut() {
            if let Some(target) = &placed.path {
                let found = package::canonical(archive, target)?;
                if found != path && !models.contains_key(&found) {
                    waiting.insert(found.clone());
                }
                placed.path = Some(found);
            }
        }
        if let Some(unit) = models.get(&root).map(|root| root.unit) {
            model.convert(unit);
        }
        models.insert(path, model);
    }
    let unit = models[&root].unit;
    let has_objects = models.values().any(|model| !model.objects.is_empty());
    if has_objects && models[&root].build.is_empty() {
        return Err(ReadError::EmptyBuild);
    }
    let parts = expand::parts(&models, &root, file_name, &archive.limits())?;
    if parts.is_empty() {
        return Err(ReadError::NoTriangles);
    }
    let left_out = Vec::new();
    Ok(Some(ModelFile {
        kind: FileKind::ThreeMf,
        declared_unit: Some(unit),
        parts,
        left_out,
    }))
}

/// [`ReadError::BadModel`] with a clean place.
fn bad(entry: &str, what: Said) -> ReadError {
    ReadError::BadModel {
        entry: shown(entry.as_bytes()),
        what,
    }
}
