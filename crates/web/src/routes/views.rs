//! A part looked at closely: in 3D, and layer by layer.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use partpledge_records::ListedRequest;
use partpledge_words::say;
use partpledge_workshop::showing::{ShownPart, shown_part};
use partpledge_workshop::{Session, WorkshopError, plate_room};
use serde::Deserialize;

use super::parts::{stored, with_files};
use super::{Trouble, failed, looked, not_here, page};
use crate::pages::judgement::{judgement, marks};
use crate::pages::layer::{Layer, LayerPage, LayerSvg};
use crate::pages::turn::{TurnPage, axes, stills};
use crate::site::Site;
use crate::who::{Head, Visitor};

/// Which part of a file, and which of its layers; as typed, since a slip is no reason for an error.
#[derive(Deserialize)]
pub(crate) struct Which {
    #[serde(default)]
    part: Option<String>,
    #[serde(default)]
    layer: Option<String>,
}

impl Which {
    /// Position of the part; `None` for what is no number of a part.
    fn at(&self) -> Option<usize> {
        match self.part.as_deref() {
            None | Some("") => Some(0),
            Some(text) => text.parse::<usize>().ok()?.checked_sub(1),
        }
    }

    /// The layer asked for, kept between the first and the last; the middle one otherwise.
    fn layer_of(&self, part: &ShownPart) -> usize {
        let last = part.heights_mm.len().max(1);
        let asked = self.layer.as_deref().and_then(|text| text.parse().ok());
        asked.unwrap_or(last.div_ceil(2)).clamp(1, last)
    }
}

fn no_part(site: &Site) -> Trouble {
    not_here(site, &say!("parts-not-in-file"))
}

async fn part_of(
    session: &Session,
    listed: &ListedRequest,
    which: &Which,
) -> Result<Option<(usize, Arc<ShownPart>)>, WorkshopError> {
    let Some(k) = which.at() else {
        return Ok(None);
    };
    let shown = shown_part(session, &listed.request, k).await?;
    Ok(shown.map(|shown| (k, shown)))
}

/// `GET /parts/{number}/turn?part=K&layer=N`.
pub(crate) async fn turn(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Query(which): Query<Which>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let listed = with_files(&site, &books, &visitor, &number)?.clone();
    let made = books.came(listed.request.id).is_some();
    let work = async move { turn_page(&session, (&listed, made), &visitor, &which).await };
    let shown = site.heavy(work).await;
    let shown = shown.map_err(|error| failed(&site, &error))?;
    shown
        .map(|shown| page(&shown))
        .ok_or_else(|| no_part(&site))
}

async fn turn_page(
    session: &Session,
    (listed, made): (&ListedRequest, bool),
    visitor: &Visitor,
    which: &Which,
) -> Result<Option<TurnPage>, WorkshopError> {
    let number = listed.request.number;
    let stored = stored(session, listed).await?;
    let opened = plate_room::opened_file(session, &listed.request).await?;
    let Some((k, shown)) = part_of(session, listed, which).await? else {
        return Ok(None);
    };
    let judged = judgement((number, made), &stored, Some(&opened));
    let Some(drawn) = judged.drawn.get(k).cloned() else {
        return Ok(None);
    };
    let marks = marks(&stored, &opened).get(k).cloned().unwrap_or_default();
    let lies = |n: usize| {
        let mark = marks.iter().find(|mark| mark.n == n)?;
        Some(shown.layer_at(mark.at_mm[2]))
    };
    let has_layers = !shown.heights_mm.is_empty();
    let found = judged.found.into_iter().filter_map(|found| {
        let layer = lies(found.n)?;
        Some((found, has_layers.then_some(layer)))
    });
    let (low, high) = shown.mesh.bounds().unwrap_or_default();
    let n = which.layer_of(&shown);
    Ok(Some(TurnPage {
        head: Head::new(session, visitor, ""),
        number,
        part: listed.part.clone(),
        k: k + 1,
        mesh: format!("/parts/{number}/part-{}-light.stl", k + 1),
        found: found.collect(),
        drawn,
        axes: axes(std::array::from_fn(|i| high[i] - low[i])),
        stills: stills(number, k + 1),
        layer: Layer::of((number, "turn"), k + 1, &shown, n),
        marks,
    }))
}

/// The layer asked for; `None` for no such part, `Some(None)` for a part without layers.
async fn layer_of(
    site: &Site,
    visitor: &Visitor,
    number: &str,
    which: Which,
) -> Result<(Session, ListedRequest, Layer), Trouble> {
    let (session, books) = looked(site).await?;
    let listed = with_files(site, &books, visitor, number)?.clone();
    let made = site.heavy(async move {
        let part = part_of(&session, &listed, &which).await?;
        let number = listed.request.number;
        let layer = part.map(|(k, shown)| {
            let n = which.layer_of(&shown);
            Layer::of((number, "layer"), k + 1, &shown, n)
        });
        Ok((session, listed, layer))
    });
    let (session, listed, layer) = made.await.map_err(|error| failed(site, &error))?;
    let layer = layer.ok_or_else(|| no_part(site))?;
    let layer = layer.ok_or_else(|| not_here(site, &say!("parts-no-layers")))?;
    Ok((session, listed, layer))
}

/// `GET /parts/{number}/layer?part=K&layer=N`.
pub(crate) async fn layer(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Query(which): Query<Which>,
) -> Result<Response, Trouble> {
    let (session, listed, layer) = layer_of(&site, &visitor, &number, which).await?;
    Ok(page(&LayerPage {
        head: Head::new(&session, &visitor, ""),
        number: listed.request.number,
        part: listed.part,
        layer,
    }))
}

/// `GET /parts/{number}/layer.svg?part=K&layer=N`.
pub(crate) async fn layer_svg(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Query(which): Query<Which>,
) -> Result<Response, Trouble> {
    let (_, _, layer) = layer_of(&site, &visitor, &number, which).await?;
    let svg = page(&LayerSvg { layer });
    let kind = [(header::CONTENT_TYPE, "image/svg+xml")];
    Ok((kind, svg).into_response())
}
