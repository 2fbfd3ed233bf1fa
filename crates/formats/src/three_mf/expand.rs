//! Build items into parts: components placed, mirrored ones turned right side out.

use std::collections::BTreeMap;

use partpledge_words::said;

use crate::error::ReadError;
use crate::limits::Limits;
use crate::model::{RawMesh, RawPart};
use crate::names::{stem, tell_apart};
use crate::points::{check_point, shown};

use super::transform::Transform;
use super::{MOST_PLACED, Model, Object, Placed, Purpose, bad};

type Models = BTreeMap<String, Model>;

/// One part for each build item that has triangles to print.
pub(super) fn parts(
    models: &Models,
    root: &str,
    file_name: &str,
    limits: &Limits,
) -> Result<Vec<RawPart>, ReadError> {
    let reader = Expander { models, limits };
    let build = &models[root].build;
    let mut counted = BTreeMap::new();
    let mut total = Load::default();
    for item in build {
        total.add(reader.load(root, item, 0, &mut counted)?);
        total.check(limits)?;
    }
    let mut out = Vec::new();
    for (i, item) in build.iter().enumerate() {
        let mut mesh = RawMesh::default();
        reader.place(root, item, &Transform::IDENTITY, &mut mesh)?;
        if mesh.triangles.is_empty() {
            continue;
        }
        let (_, object) = reader.object(root, item)?;
        let name = match (object.name.is_empty(), build.len()) {
            (false, _) => object.name.clone(),
            (true, 1) => stem(file_name),
            (true, _) => format!("part {}", i + 1),
        };
        out.push(RawPart { name, mesh });
    }
    tell_apart(&mut out);
    Ok(out)
}

/// What expanding would give.
#[derive(Clone, Copy, Default)]
struct Load {
    triangles: u64,
    vertices: u64,
    placed: u64,
    /// Levels of components below.
    height: usize,
}

impl Load {
    fn add(&mut self, other: Self) {
        self.triangles = self.triangles.saturating_add(other.triangles);
        self.vertices = self.vertices.saturating_add(other.vertices);
        self.placed = self.placed.saturating_add(other.placed);
    }

    fn check(&self, limits: &Limits) -> Result<(), ReadError> {
        limits.check_triangles(self.triangles)?;
        limits.check_vertices(self.vertices)?;
        let (placed, limit) = (self.placed, MOST_PLACED);
        if placed > limit {
            return Err(ReadError::TooManyPlaced { placed, limit });
        }
        Ok(())
    }
}

struct Expander<'a> {
    models: &'a Models,
    limits: &'a Limits,
}

impl<'a> Expander<'a> {
    /// The object that is placed, and the package part it is in.
    fn object(
        &self,
        here: &'a str,
        placed: &'a Placed,
    ) -> Result<(&'a str, &'a Object), ReadError> {
        let path = placed.path.as_deref().unwrap_or(here);
        let object = self
            .models
            .get(path)
            .and_then(|model| model.objects.get(&placed.object));
        match object {
            Some(object) => Ok((path, object)),
            None => Err(bad(
                path,
                said!("errors-read-object-missing", object = placed.object),
            )),
        }
    }

    /// Counts before anything is copied; each object is counted once and remembered.
    ///
    /// `place` goes no deeper than what passed here: the depth reached so far plus the height of
    /// what is below stays within the limit, remembered or not.
    fn load(
        &self,
        here: &'a str,
        placed: &'a Placed,
        depth: usize,
        counted: &mut BTreeMap<(&'a str, u32), Option<Load>>,
    ) -> Result<Load, ReadError> {
        let limit = self.limits.max_depth;
        let too_deep = ReadError::TooDeep {
            object: placed.object,
            limit,
        };
        let (path, object) = self.object(here, placed)?;
        let key = (path, placed.object);
        let load = match counted.get(&key) {
            Some(&Some(load)) => load,
            Some(None) => return Err(too_deep), // being counted: it contains itself
            None if depth > limit => return Err(too_deep),
            None => {
                counted.insert(key, None);
                let mut sum = Load {
                    triangles: object.mesh.triangles.len() as u64,
                    vertices: object.mesh.vertices.len() as u64,
                    placed: 1,
                    height: 0,
                };
                for component in &object.components {
                    let below = self.load(path, component, depth + 1, counted)?;
                    sum.height = sum.height.max(below.height + 1);
                    sum.add(below);
                }
                counted.insert(key, Some(sum));
                sum
            }
        };
        if depth + load.height > limit {
            Err(too_deep)
        } else {
            Ok(load)
        }
    }

    fn place(
        &self,
        here: &'a str,
        placed: &'a Placed,
        outer: &Transform,
        out: &mut RawMesh,
    ) -> Result<(), ReadError> {
        let (path, object) = self.object(here, placed)?;
        if object.purpose == Purpose::NotPrinted {
            return Ok(());
        }
        let transform = placed.transform.then(outer);
        // Counted by `load`: no more than the limit, which fits with room to spare.
        let base = u32::try_from(out.vertices.len())
            .map_err(|_| bad(path, said!("errors-read-corners-uncounted")))?;
        for &p in &object.mesh.vertices {
            let p = transform.apply(p);
            check_point(p, self.limits, &|| {
                said!(
                    "errors-read-at-corner-of",
                    object = placed.object,
                    entry = shown(path.as_bytes())
                )
            })?;
            out.vertices.push(p);
        }
        let mirrored = transform.mirrors();
        out.triangles
            .extend(object.mesh.triangles.iter().map(|&[a, b, c]| {
                let [b, c] = if mirrored { [c, b] } else { [b, c] };
                [base + a, base + b, base + c]
            }));
        for component in &object.components {
            self.place(path, component, &transform, out)?;
        }
        Ok(())
    }
}
