//! Pictures of parts in clay, and their meshes for the 3D view.

use axum::body::Body;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use partpledge_drawing::{Canvas, View, draw};
use partpledge_formats::RawMesh;
use partpledge_formats::write::stl_binary;
use partpledge_workshop::{WorkshopError, plate_room};

use super::parts::{found, stored};
use super::{Trouble, failed, looked, not_here};
use crate::figures::part::{CANVAS, SMALL};
use crate::pages::judgement::view_of;
use crate::site::Site;
use crate::who::Visitor;

/// What is asked for.
#[derive(Clone, Copy)]
enum Wanted {
    Picture(usize, Canvas),
    /// Of a part, one of the ways it could stand.
    Way(usize, usize),
    Mesh(usize),
}

fn wanted(file: &str) -> Option<Wanted> {
    if file == "picture.png" {
        return Some(Wanted::Picture(1, SMALL));
    }
    let (stem, kind) = file.split_once('.')?;
    let number = |text: &str| text.parse().ok().filter(|k| *k >= 1);
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

/// `GET /parts/{number}/picture.png`, `part-1.png`, `part-1-way-2.png`, `part-1.stl`.
pub(crate) async fn file(
    State(site): State<Site>,
    visitor: Visitor,
    Path((number, file)): Path<(String, String)>,
) -> Result<Response, Trouble> {
    let none = || not_here(&site, "There is no such file.");
    let wanted = wanted(&file).ok_or_else(none)?;
    let (session, books) = looked(&site).await?;
    let listed = found(&site, &books, &visitor, &number)?.clone();
    let made = site.heavy(async move {
        let stored = stored(&session, &listed).await?;
        let opened = plate_room::opened_file(&session, &listed.request).await?;
        let k = match wanted {
            Wanted::Picture(k, _) | Wanted::Way(k, _) | Wanted::Mesh(k) => k - 1,
        };
        let Some(part) = opened.judged.parts.get(k) else {
            return Ok::<_, WorkshopError>(None);
        };
        let mesh = match wanted {
            Wanted::Way(_, way) => match part.ways.get(way - 1) {
                Some(way) => part.mesh.turned(&way.rotation),
                None => return Ok(None),
            },
            Wanted::Picture(..) | Wanted::Mesh(_) => part.standing_mesh(),
        };
        Ok(match wanted {
            Wanted::Picture(_, canvas) => draw(&mesh, view_of(&stored, &opened, k), canvas)
                .map(|drawing| ("image/png", drawing.png())),
            // All ways from the same side, so that they can be compared.
            Wanted::Way(..) => {
                draw(&mesh, View::default(), SMALL).map(|drawing| ("image/png", drawing.png()))
            }
            Wanted::Mesh(_) => {
                let raw = RawMesh {
                    vertices: mesh.vertices,
                    triangles: mesh.triangles,
                };
                Some(("model/stl", stl_binary(&raw)))
            }
        })
    });
    let made = made.await.map_err(|error| failed(&site, &error))?;
    let (kind, bytes) = made.ok_or_else(none)?;
    // A request pins its version for good; who may see it is asked again after an hour.
    let keep = [
        (header::CONTENT_TYPE, kind),
        (header::CACHE_CONTROL, "private, max-age=3600"),
    ];
    Ok((keep, Body::from(bytes)).into_response())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_pictures_and_meshes_of_parts_are_files() {
        assert!(matches!(wanted("picture.png"), Some(Wanted::Picture(1, _))));
        assert!(matches!(wanted("part-3.png"), Some(Wanted::Picture(3, _))));
        assert!(matches!(wanted("part-2.stl"), Some(Wanted::Mesh(2))));
        assert!(matches!(
            wanted("part-2-way-3.png"),
            Some(Wanted::Way(2, 3))
        ));
        for none in [
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
