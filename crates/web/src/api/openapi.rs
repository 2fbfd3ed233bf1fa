//! The description of the interface: an OpenAPI 3.1 document made from the table, and a page for
//! people.

use std::collections::BTreeMap;

use axum::extract::State;
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Response};
use serde_json::{Map, Value, json};

use super::call::fresh;
use super::measured::CriticalDimensionIn;
use super::problem::{PROBLEM_JSON, ProblemOut};
use super::table::{Described, Gives, Query, ROUTES, Route, Takes, of};
use crate::pages::api::ApiPage;
use crate::site::Site;
use crate::who::{Head, Visitor};

/// Where it lies; anybody may read it.
pub(crate) const PATH: &str = "/api/v1/openapi.json";

/// Statuses of problems that every address may answer with, and one that takes something.
const ALWAYS: [&str; 9] = [
    "400", "401", "403", "404", "405", "422", "429", "500", "503",
];
const TAKING: [&str; 3] = ["409", "413", "415"];

/// Schemas by name.
#[derive(Default)]
struct Schemas(BTreeMap<String, Value>);

impl Schemas {
    /// A reference to a type, whose schema is kept with those that it refers to.
    fn of(&mut self, described: Described) -> Value {
        let mut keep = |name: String, schema| {
            // Made by a derive from plain types: nothing in it can't be written.
            let schema = serde_json::to_value(schema).unwrap_or_default();
            self.0.entry(name).or_insert(schema);
        };
        let name = described.name.clone();
        keep(described.name, described.schema);
        for (name, schema) in described.others {
            keep(name, schema);
        }
        json!({ "$ref": format!("#/components/schemas/{name}") })
    }
}

/// A field of a form that is a JSON list itself, as text.
struct ListField {
    form: &'static str,
    field: &'static str,
    /// The type of each item.
    item: fn() -> Described,
}

const LISTS: [ListField; 1] = [ListField {
    form: "PartForm",
    field: "critical_dimensions",
    item: of::<CriticalDimensionIn>,
}];

impl Schemas {
    /// Says what such a field holds (JSON Schema 2020-12, part "Validation", 8.5 `contentSchema`): no derive
    /// writes that.
    fn lists(&mut self) {
        for list in LISTS {
            let item = self.of((list.item)());
            let form = self.0.get_mut(list.form);
            let Some(field) = form.map(|form| &mut form["properties"][list.field]) else {
                continue;
            };
            field["contentMediaType"] = json!("application/json");
            field["contentSchema"] = json!({ "type": "array", "items": item });
        }
    }
}

fn path_parameters(path: &str) -> Vec<Value> {
    let names = path.split('/').filter_map(|step| {
        let name = step.strip_prefix('{')?;
        name.strip_suffix('}')
    });
    let one = |name: &str| {
        let (schema, says) = match name {
            "number" => (
                json!({ "type": "integer", "minimum": 1 }),
                "Number of the request",
            ),
            "table" => (
                json!({ "type": "string", "enum": ["schools", "teams", "hours", "printers"] }),
                "Which table",
            ),
            "entry" => (
                json!({ "type": "integer", "minimum": 1 }),
                "Number of the closure",
            ),
            "seq" => (
                json!({ "type": "integer", "minimum": 1 }),
                "Number of the plate",
            ),
            _ => (
                json!({ "type": "string", "minLength": 1 }),
                "Code of the host's school",
            ),
        };
        json!({ "name": name, "in": "path", "required": true, "schema": schema, "description": says })
    };
    names.map(one).collect()
}

fn query_parameters(query: &Query) -> Vec<Value> {
    let one = |name: &str, says: &str, schema: Value| json!({ "name": name, "in": "query", "description": says, "schema": schema });
    match query {
        Query::None => Vec::new(),
        Query::Paging => vec![
            one(
                "cursor",
                "What the list before gave as `next`",
                json!({ "type": "string", "pattern": "^[0-9]{1,18}$" }),
            ),
            one(
                "limit",
                "How many at most; 50 when not said",
                json!({ "type": "integer", "minimum": 1, "maximum": 200 }),
            ),
        ],
        Query::Day => vec![one(
            "day",
            "The day; today when not said",
            json!({ "type": "string", "format": "date" }),
        )],
        Query::Week => vec![one(
            "week",
            "A day of the week; today when not said",
            json!({ "type": "string", "format": "date" }),
        )],
        Query::Days => vec![one(
            "days",
            "How many days; 7 when not said",
            json!({ "type": "integer", "minimum": 1, "maximum": 28 }),
        )],
    }
}

fn parameters(route: &Route) -> Vec<Value> {
    let mut all = path_parameters(route.path);
    all.extend(query_parameters(&route.query));
    if route.keyed {
        all.push(json!({
            "name": "Idempotency-Key", "in": "header", "required": true,
            "description": "Another one for each deed; sent again with the same, it is done once",
            "schema": { "type": "string", "pattern": "^[A-Za-z0-9-]{8,64}$" },
        }));
    }
    all
}

fn responses(route: &Route, schemas: &mut Schemas) -> Value {
    let (status, kind, schema) = match &route.gives {
        Gives::Json(of) => ("200", "application/json", schemas.of(of())),
        Gives::Made(of) => ("201", "application/json", schemas.of(of())),
        Gives::Other(kind) => ("200", *kind, json!({})),
    };
    let mut all = Map::new();
    let well =
        json!({ "description": "Done, or shown", "content": { kind: { "schema": schema } } });
    all.insert(status.to_owned(), well);
    if route.method == "GET" {
        let same = json!({ "description": "Still as If-None-Match has it" });
        all.insert("304".to_owned(), same);
    }
    let taking: &[&str] = if route.method == "POST" {
        &TAKING
    } else {
        &["409"]
    };
    for status in ALWAYS.iter().chain(taking) {
        let problem = json!({ "$ref": "#/components/responses/Problem" });
        all.insert((*status).to_owned(), problem);
    }
    Value::Object(all)
}

fn operation(route: &Route, schemas: &mut Schemas) -> Value {
    let mut out = json!({
        "operationId": route.id, "summary": route.summary, "tags": [route.tag],
        "parameters": parameters(route), "responses": responses(route, schemas),
    });
    let body = match &route.takes {
        Takes::Nothing => None,
        Takes::Json(of) => Some(("application/json", schemas.of(of()))),
        Takes::Form(of) => Some(("multipart/form-data", schemas.of(of()))),
    };
    if let Some((kind, schema)) = body {
        out["requestBody"] = json!({ "required": true, "content": { kind: { "schema": schema } } });
    }
    out
}

/// The document.
pub(crate) fn describe() -> Value {
    let mut schemas = Schemas::default();
    let mut paths: BTreeMap<&str, Map<String, Value>> = BTreeMap::new();
    for route in ROUTES {
        let operation = operation(route, &mut schemas);
        let method = route.method.to_ascii_lowercase();
        paths
            .entry(route.path)
            .or_default()
            .insert(method, operation);
    }
    schemas.lists();
    let problem = schemas.of(of::<ProblemOut>());
    let own = json!({
        "operationId": "openapi", "summary": "This document", "tags": ["all"], "security": [],
        "responses": {
            "200": {
                "description": "OpenAPI 3.1",
                "content": { "application/json": { "schema": { "type": "object" } } },
            },
            "304": { "description": "Still as If-None-Match has it" },
            "405": { "$ref": "#/components/responses/Problem" },
        },
    });
    paths.entry(PATH).or_default().insert("get".to_owned(), own);
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Partpledge", "version": "1",
            "description": "A part file in, a kept promise out. Times carry the region's offset; lengths are mm.",
        },
        "servers": [{ "url": "/" }],
        "security": [{ "token": [] }],
        "paths": paths,
        "components": {
            "schemas": schemas.0,
            "responses": {
                "Problem": {
                    "description": "What is the matter and what to do about it (RFC 9457)",
                    "content": { PROBLEM_JSON: { "schema": problem } },
                },
            },
            "securitySchemes": {
                "token": {
                    "type": "http", "scheme": "bearer",
                    "description": "A token from the account page, for one of your roles",
                },
            },
        },
    })
}

/// `GET /api/v1/openapi.json`.
pub(crate) async fn document(asked: HeaderMap) -> Response {
    fresh(&asked, &describe())
}

/// `GET /api`: how to make a token, and three examples.
pub(crate) async fn page(
    State(site): State<Site>,
    visitor: Visitor,
    headers: HeaderMap,
) -> Response {
    let rows = ROUTES.iter().map(|route| {
        let method = route.method;
        (format!("{method} {}", route.path), route.summary)
    });
    let made = crate::routes::page(&ApiPage {
        head: Head::new(site.base(), &visitor, ""),
        address: site.link(&headers, ""),
        signed_in: visitor.signed().is_some(),
        rows: rows.collect(),
    });
    ([(header::CACHE_CONTROL, "no-store")], made).into_response()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_address_is_described_and_every_description_has_an_address() {
        let document = describe();
        let paths = document["paths"].as_object().unwrap();
        let mut described = Vec::new();
        for (path, item) in paths {
            for method in item.as_object().unwrap().keys() {
                described.push((method.to_uppercase(), path.clone()));
            }
        }
        let mut served: Vec<(String, String)> = super::super::addresses()
            .into_iter()
            .map(|(method, path)| (method.to_owned(), path.to_owned()))
            .collect();
        described.sort();
        served.sort();
        assert_eq!(described, served);
    }

    #[test]
    fn every_reference_leads_somewhere_and_ids_are_used_once() {
        let document = describe();
        let text = document.to_string();
        let mut references = 0;
        for (i, _) in text.match_indices("\"$ref\":\"#/") {
            let rest = &text[i + 9..];
            let pointer = &rest[..rest.find('"').unwrap()];
            assert!(document.pointer(pointer).is_some(), "{pointer}");
            references += 1;
        }
        assert!(references > 50, "{references}");
        let mut ids: Vec<&str> = ROUTES.iter().map(|route| route.id).collect();
        let many = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), many);
    }
}
