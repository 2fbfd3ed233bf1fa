//! A zip of several part files, and careful opening of any archive.

use std::io::{Cursor, Read};

use partpledge_units::length::LengthUnit;
use zip::ZipArchive;

use crate::detect::read_bare;
use crate::error::ReadError;
use crate::limits::Limits;
use crate::model::{FileKind, ModelFile, RawPart};
use crate::names::{ending, stem};
use crate::three_mf;

/// Entries below this size may be packed as tightly as they like.
const RATIO_FROM_BYTES: u64 = 1_000_000;

/// An archive whose directory keeps the limits, with what has been unpacked counted.
pub(crate) struct Archive<'a> {
    zip: ZipArchive<Cursor<&'a [u8]>>,
    limits: &'a Limits,
    inflated: u64,
}

impl<'a> Archive<'a> {
    /// Reads the directory and refuses what leads out of the archive.
    pub(crate) fn open(bytes: &'a [u8], limits: &'a Limits) -> Result<Self, ReadError> {
        let zip = ZipArchive::new(Cursor::new(bytes)).map_err(|e| bad(&e))?;
        if zip.len() > limits.max_entries {
            return Err(ReadError::TooManyEntries {
                entries: zip.len(),
                limit: limits.max_entries,
            });
        }
        let mut archive = Self {
            zip,
            limits,
            inflated: 0,
        };
        for name in archive.names()? {
            if leads_outside(&name) {
                return Err(ReadError::PathOutside { entry: name });
            }
        }
        Ok(archive)
    }

    /// All entries' names, in the order of the directory.
    pub(crate) fn names(&mut self) -> Result<Vec<String>, ReadError> {
        (0..self.zip.len())
            .map(|i| {
                let entry = self.zip.by_index_raw(i).map_err(|e| bad(&e))?;
                entry
                    .name()
                    .map(std::borrow::Cow::into_owned)
                    .map_err(|e| bad(&e))
            })
            .collect()
    }

    /// Unpacks the entry of that name, whatever the letters' case (OPC compares that way).
    pub(crate) fn read(&mut self, name: &str) -> Result<Option<Vec<u8>>, ReadError> {
        let names = self.names()?;
        let exact = names.iter().position(|n| n == name);
        let Some(i) = exact.or_else(|| names.iter().position(|n| n.eq_ignore_ascii_case(name)))
        else {
            return Ok(None);
        };
        let allowed = self.limits.max_inflated_bytes - self.inflated;
        let ratio = self.limits.max_ratio;
        let entry = self.zip.by_index(i).map_err(|e| bad(&e))?;
        let bomb = || ReadError::ArchiveBomb {
            entry: name.to_owned(),
            limit: allowed,
            ratio,
        };
        let by_ratio = entry
            .compressed_size()
            .saturating_mul(ratio)
            .max(RATIO_FROM_BYTES);
        let most = allowed.min(by_ratio);
        if entry.size() > most {
            return Err(bomb());
        }
        // The directory may lie about the size: stop one byte past what is allowed.
        let mut out = Vec::new();
        entry
            .take(most + 1)
            .read_to_end(&mut out)
            .map_err(|e| ReadError::BadArchive {
                what: format!("'{name}' is damaged ({e})"),
            })?;
        if out.len() as u64 > most {
            return Err(bomb());
        }
        self.inflated += out.len() as u64;
        Ok(Some(out))
    }
}

fn bad(error: &zip::result::ZipError) -> ReadError {
    ReadError::BadArchive {
        what: error.to_string(),
    }
}

/// `..`, a leading slash, a drive or a backslash: none belongs in an archive of parts.
pub(crate) fn leads_outside(name: &str) -> bool {
    name.starts_with('/')
        || name.contains('\\')
        || name.contains('\0')
        || name.split('/').any(|step| step == "..")
        || name.as_bytes().get(1) == Some(&b':')
}

/// Reads every STL, OBJ and 3MF in the zip; other entries are left alone.
pub(crate) fn read(bytes: &[u8], limits: &Limits) -> Result<ModelFile, ReadError> {
    let mut archive = Archive::open(bytes, limits)?;
    let mut members: Vec<(ModelFile, String)> = Vec::new();
    let mut triangles = 0_u64;
    for name in archive.names()? {
        if is_junk(&name) {
            continue;
        }
        let member = |source| ReadError::Member {
            member: name.clone(),
            source: Box::new(source),
        };
        let file = match ending(&name).as_str() {
            "zip" => return Err(ReadError::NestedArchive { entry: name }),
            "stl" | "obj" => {
                let inner = archive.read(&name)?.unwrap_or_default();
                if inner.is_empty() {
                    return Err(member(ReadError::Empty));
                }
                read_bare(&inner, &name, limits).map_err(member)?
            }
            "3mf" => {
                let inner = archive.read(&name)?.unwrap_or_default();
                let file = three_mf::read(&inner, &name, limits).map_err(member)?;
                file.ok_or_else(|| ReadError::NestedArchive {
                    entry: name.clone(),
                })?
            }
            _ => continue,
        };
        triangles += file
            .parts
            .iter()
            .map(|part| part.mesh.triangles.len() as u64)
            .sum::<u64>();
        if triangles > limits.max_triangles {
            return Err(ReadError::TooManyTriangles {
                triangles,
                limit: limits.max_triangles,
            });
        }
        members.push((file, stem(&name)));
    }
    if members.is_empty() {
        return Err(ReadError::NoTriangles);
    }
    Ok(gather(members))
}

fn is_junk(name: &str) -> bool {
    name.ends_with('/')
        || name.starts_with("__MACOSX/")
        || name
            .rsplit('/')
            .next()
            .is_some_and(|last| last.starts_with('.'))
}

/// One list of parts. A unit is declared when all members declare the same one; otherwise those
/// that declare one are turned into millimetres.
fn gather(members: Vec<(ModelFile, String)>) -> ModelFile {
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
            part.mesh
                .vertices
                .iter_mut()
                .flatten()
                .for_each(|c| *c *= scale);
            let name = if many {
                format!("{name}: {}", part.name)
            } else {
                name.clone()
            };
            parts.push(RawPart {
                name,
                mesh: part.mesh,
            });
        }
    }
    ModelFile {
        kind: FileKind::Zip,
        declared_unit: if agreed { first } else { None },
        parts,
    }
}
