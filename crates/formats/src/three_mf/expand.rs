//! Build items into parts: components placed, mirrored ones turned right side out.

use std::collections::BTreeMap;

use crate::error::ReadError;
use crate::limits::Limits;
use crate::model::{RawMesh, RawPart};
use crate::names::stem;
use crate::stl::check_point;

use super::{Model, Object, Placed, Purpose, Transform};

/// Most objects placed, counted as often as they appear: stops bombs by reference.
const MOST_PLACED: u64 = 1_000_000;

type Models = BTreeMap<String, Model>;

/// One part for each build item that has triangles to print.
pub(super) fn parts(
    models: &Models,
    root: &str,
    file_name: &str,
    limits: &Limits,
) -> Result<Vec<RawPart>, ReadError> {
    let reader = Expander { models, limits };
    let mut counted = BTreeMap::new();
    let mut total = Load::default();
    for item in &models[root].build {
        total = total.plus(reader.load(root, item, 0, &mut counted)?);
        total.check(limits)?;
    }
    let build = &models[root].build;
    let mut out = Vec::new();
    for (i, item) in build.iter().enumerate() {
        let (_, object) = reader.object(root, item)?;
        if object.purpose == Purpose::Other {
            let what = format!(
                "build item {} is of type 'other', which must not be built",
                i + 1
            );
            return Err(ReadError::BadModel {
                entry: root.to_owned(),
                what,
            });
        }
        let mut mesh = RawMesh::default();
        reader.place(root, item, &super::IDENTITY, &mut mesh)?;
        if mesh.triangles.is_empty() {
            continue;
        }
        let name = match (object.name.is_empty(), build.len()) {
            (false, _) => object.name.clone(),
            (true, 1) => stem(file_name),
            (true, _) => format!("part {}", i + 1),
        };
        out.push(RawPart { name, mesh });
    }
    Ok(out)
}

/// What expanding would give.
#[derive(Clone, Copy, Default)]
struct Load {
    triangles: u64,
    placed: u64,
}

impl Load {
    fn plus(self, other: Self) -> Self {
        Self {
            triangles: self.triangles.saturating_add(other.triangles),
            placed: self.placed.saturating_add(other.placed),
        }
    }

    fn check(self, limits: &Limits) -> Result<(), ReadError> {
        let limit = limits.max_triangles;
        if self.triangles > limit || self.placed > MOST_PLACED {
            return Err(ReadError::TooManyTriangles {
                triangles: self.triangles.max(self.placed),
                limit,
            });
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
        let missing = || ReadError::BadModel {
            entry: path.to_owned(),
            what: format!("object {} is not there", placed.object),
        };
        let object = self
            .models
            .get(path)
            .and_then(|model| model.objects.get(&placed.object));
        Ok((path, object.ok_or_else(missing)?))
    }

    /// Counts before anything is copied; each object is counted once and remembered.
    fn load(
        &self,
        here: &'a str,
        placed: &'a Placed,
        depth: usize,
        counted: &mut BTreeMap<(&'a str, u32), Option<Load>>,
    ) -> Result<Load, ReadError> {
        let too_deep = ReadError::TooDeep {
            object: placed.object,
            limit: self.limits.max_depth,
        };
        if depth > self.limits.max_depth {
            return Err(too_deep);
        }
        let (path, object) = self.object(here, placed)?;
        match counted.insert((path, placed.object), None) {
            Some(Some(load)) => {
                counted.insert((path, placed.object), Some(load));
                return Ok(load);
            }
            Some(None) => return Err(too_deep), // being counted: it contains itself
            None => {}
        }
        let mut sum = Load {
            triangles: object.mesh.triangles.len() as u64,
            placed: 1,
        };
        for component in &object.components {
            sum = sum.plus(self.load(path, component, depth + 1, counted)?);
        }
        counted.insert((path, placed.object), Some(sum));
        Ok(sum)
    }

    fn place(
        &self,
        here: &'a str,
        placed: &'a Placed,
        outer: &Transform,
        out: &mut RawMesh,
    ) -> Result<(), ReadError> {
        let (path, object) = self.object(here, placed)?;
        if object.purpose == Purpose::Support {
            return Ok(());
        }
        let transform = then(&placed.transform, outer);
        let base = u32::try_from(out.vertices.len()).unwrap_or(u32::MAX);
        let triangles = &object.mesh.triangles;
        let fits = u64::from(base) + object.mesh.vertices.len() as u64 <= u64::from(u32::MAX);
        if !fits {
            let limit = self.limits.max_triangles;
            return Err(ReadError::TooManyTriangles {
                triangles: u64::from(u32::MAX),
                limit,
            });
        }
        for &p in &object.mesh.vertices {
            let p = apply(&transform, p);
            check_point(p, self.limits, &|| {
                format!("a vertex of object {}", placed.object)
            })?;
            out.vertices.push(p);
        }
        let mirrored = determinant(&transform) < 0.0;
        out.triangles.extend(triangles.iter().map(|&[a, b, c]| {
            let [b, c] = if mirrored { [c, b] } else { [b, c] };
            [base + a, base + b, base + c]
        }));
        for component in &object.components {
            self.place(path, component, &transform, out)?;
        }
        Ok(())
    }
}

/// First `inner`, then `outer` (core specification 4.2: the child's transform comes first).
fn then(inner: &Transform, outer: &Transform) -> Transform {
    let mut out = [0.0; 12];
    for row in 0..4 {
        for col in 0..3 {
            let rotated: f64 = (0..3)
                .map(|k| inner[3 * row + k] * outer[3 * k + col])
                .sum();
            out[3 * row + col] = rotated + if row == 3 { outer[9 + col] } else { 0.0 };
        }
    }
    out
}

fn apply(t: &Transform, p: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|col| p[0] * t[col] + p[1] * t[3 + col] + p[2] * t[6 + col] + t[9 + col])
}

fn determinant(t: &Transform) -> f64 {
    t[0] * (t[4] * t[8] - t[5] * t[7]) - t[1] * (t[3] * t[8] - t[5] * t[6])
        + t[2] * (t[3] * t[7] - t[4] * t[6])
}
