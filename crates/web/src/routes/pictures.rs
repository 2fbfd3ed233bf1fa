//! Pictures of parts in clay, and their meshes for the 3D view.

use axum::body::Body;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use partpledge_drawing::{Canvas, View, draw};
use partpledge_formats::RawMesh;
use partpledge_formats::write::stl_binary;
use partpledge_mesh::Mesh;
use partpledge_workshop::intake::JudgedPart;
use partpledge_workshop::shelf::OpenedFile;
use partpledge_workshop::{ENGINE, Session, WorkshopError, plate_room};

use super::parts::{found, stored};
use super::{Trouble, failed, looked, not_here};
use crate::figures::finding::About;
use crate::figures::part::{CANVAS, SMALL};
use crate::pages::judgement::{Stored, finding_of, view_of};
use crate::site::Site;
use crate::who::Visitor;

/// What is asked for.
#[derive(Clone, Copy)]
enum Wanted {
    Picture(usize, Canvas),
    /// Of a part, one of the ways it could stand.
    Way(usize, usize),
    Mesh(usize),
    /// The picture of the finding with that number.
    Finding(usize),
}

fn wanted(file: &str) -> Option<Wanted> {
    if file == "picture.png" {
        return Some(Wanted::Picture(1, SMALL));
    }
    let (stem, kind) = file.split_once('.')?;
    let number = |text: &str| text.parse().ok().filter(|k| *k >= 1);
    if let Some(n) = stem.strip_prefix("finding-") {
        return (kind == "svg").then_some(Wanted::Finding(number(n)?));
    }
    let stem = stem.strip_prefix("part-")?;
    if let Some((k, way)) = stem.split_once("-way-") {
        return (kind == "png").then_some(Wanted::Way(number(k)?, number(way)?));
    }
    let k = number(stem)?;
    match kind {
        "png" => Some(Wanted::Picture(k, CANVAS)),
        "stl" => Some(Wanted::Mesh(k)),
        _ => None,
    }
}

/// `GET /parts/{number}/picture.png`, `part-1.png`, `part-1-way-2.png`, `part-1.stl`,
/// `finding-1.svg`.
pub(crate) async fn file(
    State(site): State<Site>,
    visitor: Visitor,
    Path((number, file)): Path<(String, String)>,
    asked: HeaderMap,
) -> Result<Response, Trouble> {
    let none = || not_here(&site, "There is no such file.");
    let wanted = wanted(&file).ok_or_else(none)?;
    let (session, books) = looked(&site).await?;
    let listed = found(&site, &books, &visitor, &number)?.clone();
    // What is drawn depends on the version and on the engine only, and neither changes.
    let etag = format!("\"{}-{ENGINE}-{file}\"", listed.request.version);
    if asked
        .get(header::IF_NONE_MATCH)
        .is_some_and(|has| has.as_bytes() == etag.as_bytes())
    {
        return Ok((StatusCode::NOT_MODIFIED, [(header::ETAG, etag)]).into_response());
    }
    let made = site.heavy(async move {
        let stored = stored(&session, &listed).await?;
        let opened = plate_room::opened_file(&session, &listed.request).await?;
        Ok::<_, WorkshopError>(match wanted {
            Wanted::Finding(n) => finding_svg(&session, &stored, &opened, n)
                .map(|svg| ("image/svg+xml", svg.into_bytes())),
            Wanted::Picture(k, canvas) => part_of(&opened, k).and_then(|part| {
                png(
                    &part.standing_mesh(),
                    view_of(&stored, &opened, k - 1),
                    canvas,
                )
            }),
            // All ways from the same side, so that they can be compared.
            Wanted::Way(k, way) => part_of(&opened, k).and_then(|part| {
                let way = part.ways.get(way - 1)?;
                png(&part.mesh.turned(&way.rotation), View::default(), SMALL)
            }),
            Wanted::Mesh(k) => part_of(&opened, k).map(|part| {
                let mesh = part.standing_mesh();
                let raw = RawMesh {
                    vertices: mesh.vertices,
                    triangles: mesh.triangles,
                };
                ("model/stl", stl_binary(&raw))
            }),
        })
    });
    let made = made.await.map_err(|error| failed(&site, &error))?;
    let (kind, bytes) = made.ok_or_else(none)?;
    // A request pins its version for good; who may see it is asked again after an hour.
    let keep = [
        (header::CONTENT_TYPE, kind),
        (header::CACHE_CONTROL, "private, max-age=3600"),
    ];
    Ok((keep, [(header::ETAG, etag)], Body::from(bytes)).into_response())
}

/// The `k`-th part of a file, from 1.
fn part_of(opened: &OpenedFile, k: usize) -> Option<&JudgedPart> {
    opened.judged.parts.get(k - 1)
}

/// A picture in clay.
fn png(mesh: &Mesh, view: View, canvas: Canvas) -> Option<(&'static str, Vec<u8>)> {
    draw(mesh, view, canvas).map(|drawing| ("image/png", drawing.png()))
}

/// The picture of a finding.
fn finding_svg(
    session: &Session,
    stored: &Stored,
    opened: &OpenedFile,
    n: usize,
) -> Option<String> {
    let (k, finding) = finding_of(stored, n)?;
    let part = opened.judged.parts.get(k)?;
    let sheet = &opened.process.sheet;
    let lines = (sheet.line_width_mm, sheet.layer_height_mm);
    About::new(part, finding, lines, &session.beds()).svg()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_pictures_and_meshes_of_parts_are_files() {
        assert!(matches!(wanted("picture.png"), Some(Wanted::Picture(1, _))));
        assert!(matches!(wanted("part-3.png"), Some(Wanted::Picture(3, _))));
        assert!(matches!(wanted("part-2.stl"), Some(Wanted::Mesh(2))));
        assert!(matches!(wanted("finding-2.svg"), Some(Wanted::Finding(2))));
        assert!(matches!(
            wanted("part-2-way-3.png"),
            Some(Wanted::Way(2, 3))
        ));
        for none in [
            "finding-0.svg",
            "finding-1.png",
            "part-0.png",
            "part-1-way-0.png",
            "part-1-way-1.stl",
            "part-1-way-.png",
            "part-1.obj",
            "part-.png",
            "part--1.png",
            "..",
            "x",
            "part-1",
        ] {
            assert!(wanted(none).is_none(), "{none}");
        }
    }
}
