//! Pictures of parts in clay, and their meshes for the 3D view.

use axum::body::Body;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, HeaderName, StatusCode, header};
use axum::response::{IntoResponse, Response};
use partpledge_drawing::{Canvas, View, draw};
use partpledge_formats::RawMesh;
use partpledge_formats::write::stl_binary;
use partpledge_mesh::Mesh;
use partpledge_records::ListedRequest;
use partpledge_words::{Tongue, say};
use partpledge_workshop::shelf::OpenedFile;
use partpledge_workshop::showing::shown_part;
use partpledge_workshop::{ENGINE, Session, WorkshopError, plate_room};

use super::parts::{stored, with_files};
use super::{Trouble, failed, looked, not_here};
use crate::figures::finding::About;
use crate::figures::part::{CANVAS, SMALL};
use crate::pages::judgement::{Stored, finding_of, view_of};
use crate::site::Site;
use crate::who::Visitor;

/// Size of the pictures from one side.
const SIDE: Canvas = Canvas {
    width_px: 360,
    height_px: 300,
    margin_px: 12,
};

/// Says how far a lighter mesh strays from the part, mm; absent when it is the part itself.
const WITHIN: HeaderName = HeaderName::from_static("partpledge-within-mm");

/// What is asked for; parts and findings counted from 1.
#[derive(Clone, Copy)]
enum Wanted {
    Picture(usize, Canvas),
    /// Of a part, one of the ways it could stand.
    Way(usize, usize),
    /// From a side that is named.
    Side(usize, View),
    Mesh(usize),
    /// The mesh, light enough to be turned.
    Light(usize),
    /// The picture of the finding with that number.
    Finding(usize),
}

/// From where a part is looked at from a named side: angles as [`View`] has them.
fn side(name: &str) -> Option<View> {
    let (azimuth_deg, elevation_deg) = match name {
        "front" => (270.0, 0.0),
        "right" => (0.0, 0.0),
        "top" => (270.0, 90.0),
        _ => return None,
    };
    Some(View {
        azimuth_deg,
        elevation_deg,
    })
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
    let Some((k, more)) = stem.split_once('-') else {
        let k = number(stem)?;
        return match kind {
            "png" => Some(Wanted::Picture(k, CANVAS)),
            "stl" => Some(Wanted::Mesh(k)),
            _ => None,
        };
    };
    let k = number(k)?;
    match (more.strip_prefix("way-"), more, kind) {
        (Some(way), _, "png") => Some(Wanted::Way(k, number(way)?)),
        (None, "light", "stl") => Some(Wanted::Light(k)),
        (None, name, "png") => side(name).map(|view| Wanted::Side(k, view)),
        _ => None,
    }
}

/// `GET /parts/{number}/picture.png`, `part-1.png`, `part-1-top.png`, `part-1-way-2.png`,
/// `part-1.stl`, `part-1-light.stl`, `finding-1.svg`.
pub(crate) async fn file(
    State(site): State<Site>,
    visitor: Visitor,
    Path((number, file)): Path<(String, String)>,
    asked: HeaderMap,
) -> Result<Response, Trouble> {
    let none = || not_here(&site, &say!("head-no-file"));
    let wanted = wanted(&file).ok_or_else(none)?;
    let (session, books) = looked(&site).await?;
    let listed = with_files(&site, &books, &visitor, &number)?.clone();
    // What is drawn depends on the version, the engine and the tongue of its words, and none changes.
    let (version, tongue) = (listed.request.version, Tongue::spoken().tag());
    let etag = format!("\"{version}-{ENGINE}-{tongue}-{file}\"");
    if asked
        .get(header::IF_NONE_MATCH)
        .is_some_and(|has| has.as_bytes() == etag.as_bytes())
    {
        return Ok((StatusCode::NOT_MODIFIED, [(header::ETAG, etag)]).into_response());
    }
    let made = site.heavy(async move { made(&session, &listed, wanted).await });
    let made = made.await.map_err(|error| failed(&site, &error))?;
    let made = made.ok_or_else(none)?;
    // A request pins its version for good; who may see it is asked again after an hour, and of
    // whoever signs in at this browser next.
    let keep = [
        (header::CONTENT_TYPE, made.kind),
        (header::CACHE_CONTROL, "private, max-age=3600"),
        (header::VARY, "cookie, accept-language"),
    ];
    let within = made.within_mm.map(|mm| [(WITHIN, format!("{mm:.3}"))]);
    let etag = [(header::ETAG, etag)];
    Ok((keep, etag, within, Body::from(made.bytes)).into_response())
}

/// A file to be sent.
struct Made {
    kind: &'static str,
    bytes: Vec<u8>,
    within_mm: Option<f64>,
}

impl Made {
    fn picture(mesh: &Mesh, view: View, canvas: Canvas) -> Option<Self> {
        draw(mesh, view, canvas).map(|drawing| Self {
            kind: "image/png",
            bytes: drawing.png(),
            within_mm: None,
        })
    }

    fn svg(text: String) -> Self {
        Self {
            kind: "image/svg+xml",
            bytes: text.into_bytes(),
            within_mm: None,
        }
    }

    fn mesh(mesh: Mesh, within_mm: Option<f64>) -> Self {
        let raw = RawMesh {
            vertices: mesh.vertices,
            triangles: mesh.triangles,
        };
        Self {
            kind: "model/stl",
            bytes: stl_binary(&raw),
            within_mm,
        }
    }
}

async fn made(
    session: &Session,
    listed: &ListedRequest,
    wanted: Wanted,
) -> Result<Option<Made>, WorkshopError> {
    let request = &listed.request;
    Ok(match wanted {
        Wanted::Finding(n) => {
            let stored = stored(session, listed).await?;
            let opened = plate_room::opened_file(session, request).await?;
            finding_svg(session, &stored, &opened, n).map(Made::svg)
        }
        Wanted::Picture(k, canvas) => {
            let stored = stored(session, listed).await?;
            let opened = plate_room::opened_file(session, request).await?;
            let part = opened.judged.parts.get(k - 1);
            part.and_then(|part| {
                let view = view_of(&stored, &opened, k - 1);
                Made::picture(&part.standing_mesh(), view, canvas)
            })
        }
        // All ways from the same side, so that they can be compared.
        Wanted::Way(k, way) => {
            let opened = plate_room::opened_file(session, request).await?;
            let part = opened.judged.parts.get(k - 1);
            part.and_then(|part| {
                let way = part.ways.get(way - 1)?;
                Made::picture(&part.mesh.turned(&way.rotation), View::default(), SMALL)
            })
        }
        Wanted::Side(k, view) => {
            let shown = shown_part(session, request, k - 1).await?;
            shown.and_then(|shown| Made::picture(&shown.mesh, view, SIDE))
        }
        Wanted::Mesh(k) => {
            let shown = shown_part(session, request, k - 1).await?;
            shown.map(|shown| Made::mesh(shown.mesh.clone(), None))
        }
        Wanted::Light(k) => {
            let shown = shown_part(session, request, k - 1).await?;
            shown.map(|shown| {
                let light = shown.light().clone();
                Made::mesh(light.mesh, light.within_mm)
            })
        }
    })
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
        assert!(matches!(wanted("part-2-light.stl"), Some(Wanted::Light(2))));
        assert!(matches!(wanted("part-1-top.png"), Some(Wanted::Side(1, _))));
        for none in [
            "part-1-top.stl",
            "part-1-back.png",
            "part-1-light.png",
            "part-1-.png",
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
