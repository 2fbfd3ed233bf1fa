//! 3MF (ISO/IEC 25422): the core specification, and models in several package parts.

mod expand;
mod package;
mod xml;

use std::collections::BTreeMap;

use partpledge_units::length::LengthUnit;

use crate::error::ReadError;
use crate::limits::Limits;
use crate::model::{FileKind, ModelFile, RawMesh};
use crate::zip_set::Archive;

/// Row-vector affine transform: `p' = p M + t`, the last three numbers being `t`.
pub(crate) type Transform = [f64; 12];

/// No change.
pub(crate) const IDENTITY: Transform = [1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0];

/// What an object is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Purpose {
    /// To be printed.
    Print,
    /// Support drawn by the designer: not printed by us.
    Support,
    /// Must not be built by itself.
    Other,
}

/// Another object, placed.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    /// Package part it is in; `None` for the same one.
    pub(crate) path: Option<String>,
    /// Object id there.
    pub(crate) object: u32,
    /// Where.
    pub(crate) transform: Transform,
}

/// An object of a model.
#[derive(Clone, Debug)]
pub(crate) struct Object {
    pub(crate) name: String,
    pub(crate) purpose: Purpose,
    pub(crate) mesh: RawMesh,
    pub(crate) components: Vec<Placed>,
}

/// One model part of the package.
#[derive(Clone, Debug)]
pub(crate) struct Model {
    pub(crate) unit: LengthUnit,
    pub(crate) objects: BTreeMap<u32, Object>,
    pub(crate) build: Vec<Placed>,
}

/// Reads a 3MF; `None` when the archive has no package relationships (a plain zip).
pub(crate) fn read(
    bytes: &[u8],
    file_name: &str,
    limits: &Limits,
) -> Result<Option<ModelFile>, ReadError> {
    let mut archive = Archive::open(bytes, limits)?;
    let Some(root) = package::root_model(&mut archive)? else {
        return Ok(None);
    };
    let mut models = BTreeMap::new();
    let mut waiting = vec![root.clone()];
    while let Some(path) = waiting.pop() {
        if models.contains_key(&path) {
            continue;
        }
        let Some(text) = archive.read(&path)? else {
            return Err(ReadError::BadModel {
                entry: path,
                what: "it is not in the archive".to_owned(),
            });
        };
        let model = xml::read_model(&text, &path, limits)?;
        let components = model.objects.values().flat_map(|object| &object.components);
        waiting.extend(
            components
                .chain(&model.build)
                .filter_map(|placed| placed.path.clone()),
        );
        models.insert(path, model);
    }
    let unit = models[&root].unit;
    let parts = expand::parts(&models, &root, file_name, limits)?;
    if parts.is_empty() {
        return Err(ReadError::NoTriangles);
    }
    Ok(Some(ModelFile {
        kind: FileKind::ThreeMf,
        declared_unit: Some(unit),
        parts,
    }))
}
