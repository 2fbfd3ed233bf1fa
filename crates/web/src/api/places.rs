//! The schools as `GeoJSON` (RFC 7946).

use axum::http::{StatusCode, header};
use axum::response::IntoResponse;
use serde_json::{Value, json};

use super::call::{Answer, Call};
use super::problem::Problem;

/// Places are told to the sixth decimal of a degree, a tenth of a metre (RFC 7946, section 11.2).
fn rounded(deg: f64) -> f64 {
    (deg * 1e6).round() / 1e6
}

/// `GET /api/v1/places`.
pub(crate) async fn places(call: Call) -> Answer {
    let session = call.site.session().await?;
    let file = &session.terrain.file;
    let origin = file.origin.ok_or_else(|| {
        let title = "This region has no map.";
        let detail = "The coordinator can give the region file an origin with lat_deg and lon_deg.";
        Problem::new(StatusCode::NOT_FOUND, "no-map", title, detail)
    })?;
    let features = file.schools.iter().map(|school| {
        let coordinates = origin.lon_lat_deg(school.x_km, school.y_km).map(rounded);
        let teams = file.teams.iter().filter(|team| team.school == school.code);
        let teams: Vec<&str> = teams.map(|team| team.name.as_str()).collect();
        let host = file.hosts.iter().any(|host| host.school == school.code);
        json!({
            "type": "Feature",
            "id": school.code,
            "geometry": { "type": "Point", "coordinates": coordinates },
            "properties": {
                "code": school.code, "name": school.name, "host": host, "teams": teams,
            },
        })
    });
    let features: Vec<Value> = features.collect();
    let out = json!({ "type": "FeatureCollection", "features": features });
    let headers = [
        (header::CONTENT_TYPE, "application/geo+json"),
        (header::CACHE_CONTROL, "private, no-cache"),
    ];
    Ok((headers, out.to_string()).into_response())
}
