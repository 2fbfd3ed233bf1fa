//! A zip of several part files.

use partpledge_units::length::LengthUnit;
use partpledge_words::said;

use crate::archive::{Archive, is_zip};
use crate::detect::read_bare;
use crate::error::ReadError;
use crate::foreign;
use crate::limits::Limits;
use crate::model::{FileKind, LeftOut, ModelFile, RawPart};
use crate::names::{ending, stem, tell_apart};
use crate::points::{check_point, shown};
use crate::three_mf;

/// Reads every STL, OBJ and 3MF in the zip. Damaged parts, CAD files and parts in other forms are
/// listed as left out, and make the error if nothing else is there; texts, pictures and the like
/// are passed over.
pub(crate) fn read(archive: &mut Archive<'_>) -> Result<ModelFile, ReadError> {
    let limits = archive.limits();
    let mut members: Vec<(ModelFile, String)> = Vec::new();
    let mut left_out = Vec::new();
    let mut triangles = 0_u64;
    let mut vertices = 0_u64;
    for (index, name) in archive.names().to_vec().into_iter().enumerate() {
        if is_junk(&name) {
            continue;
        }
        match read_member(archive, index, &name, triangles) {
            Ok(None) => {}
            Ok(Some(file)) => {
                let count = |part: &RawPart| part.mesh.triangles.len() as u64;
                triangles += file.parts.iter().map(count).sum::<u64>();
                let corners = |part: &RawPart| part.mesh.vertices.len() as u64;
                vertices += file.parts.iter().map(corners).sum::<u64>();
                limits.check_vertices(vertices)?;
                members.push((file, stem(&name)));
            }
            Err(why) if condemns_the_set(&why) => return Err(member(&name, why)),
            Err(why) => left_out.push(LeftOut {
                name: shown(name.as_bytes()),
                why,
            }),
        }
    }
    if members.is_empty() {
        let first = left_out.into_iter().next();
        return Err(first.map_or(ReadError::NoModelInArchive, |out| {
            member(&out.name, out.why)
        }));
    }
    gather(members, left_out, &limits)
}

fn member(name: &str, why: ReadError) -> ReadError {
    ReadError::Member {
        member: shown(name.as_bytes()),
        source: Box::new(why),
    }
}

/// One entry; `None` for what is neither a part nor looks like one.
fn read_member(
    archive: &mut Archive<'_>,
    index: usize,
    name: &str,
    triangles_so_far: u64,
) -> Result<Option<ModelFile>, ReadError> {
    match ending(name).as_str() {
        "zip" => {
            return Err(ReadError::NestedArchive {
                entry: shown(name.as_bytes()),
            });
        }
        "stl" | "obj" | "3mf" => {}
        _ => {
            // Parts in another form are told; texts, pictures and the like are passed over.
            return match foreign::by_ending(name) {
                Some(why) if why.code() != "other-file" => Err(why),
                _ => Ok(None),
            };
        }
    }
    let limits = archive.limits();
    let limits = Limits {
        max_triangles: limits.max_triangles.saturating_sub(triangles_so_far),
        ..limits
    };
    let bytes = archive.read(index)?;
    if !is_zip(&bytes) {
        return read_bare(&bytes, name, &limits).map(Some);
    }
    let left = limits.max_inflated_bytes.saturating_sub(archive.inflated());
    let mut inner = Archive::open(
        &bytes,
        &Limits {
            max_inflated_bytes: left,
            ..limits
        },
    )?;
    let file = three_mf::read(&mut inner, name);
    archive.add_inflated(inner.inflated());
    match file? {
        Some(file) => Ok(Some(file)),
        None => Err(ReadError::NestedArchive {
            entry: shown(name.as_bytes()),
        }),
    }
}

/// Trouble that is no accident of one member, or that a smaller set would cure.
fn condemns_the_set(why: &ReadError) -> bool {
    matches!(
        why,
        ReadError::TooManyTriangles { .. }
            | ReadError::TooManyVertices { .. }
            | ReadError::TooComplex { .. }
            | ReadError::TooManyPlaced { .. }
            | ReadError::TooManyEntries { .. }
            | ReadError::ArchiveBomb { .. }
            | ReadError::PathOutside { .. }
            | ReadError::NestedArchive { .. }
            | ReadError::XmlEntities { .. }
    )
}

/// Folders, and what operating systems leave in archives.
fn is_junk(name: &str) -> bool {
    name.ends_with('/')
        || name
            .split('/')
            .any(|step| step == "__MACOSX" || step.starts_with('.'))
}

/// One list of parts. A unit is declared when all members declare the same one; otherwise those
/// that declare one are turned into millimetres.
fn gather(
    members: Vec<(ModelFile, String)>,
    left_out: Vec<LeftOut>,
    limits: &Limits,
) -> Result<ModelFile, ReadError> {
    let first = members[0].0.declared_unit;
    let agreed = members.iter().all(|(file, _)| file.declared_unit == first);
    let mut parts = Vec::new();
    for (file, name) in members {
        let many = file.parts.len() > 1;
        let scale = if agreed {
            1.0
        } else {
            file.declared_unit.map_or(1.0, LengthUnit::mm)
        };
        for mut part in file.parts {
            for p in &mut part.mesh.vertices {
                *p = p.map(|c| c * scale);
                check_point(*p, limits, &|| {
                    said!("errors-read-at-corner-in", entry = name)
                })?;
            }
            part.name = if many {
                format!("{name}: {}", part.name)
            } else {
                name.clone()
            };
            parts.push(part);
        }
    }
    tell_apart(&mut parts);
    Ok(ModelFile {
        kind: FileKind::Zip,
        declared_unit: if agreed { first } else { None },
        parts,
        left_out,
    })
}
