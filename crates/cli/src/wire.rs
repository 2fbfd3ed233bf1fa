//! The command line's JSON, field by field as the contract has it.

use partpledge_catalogue::Costs;
use partpledge_costing::{Cost, NO_PAYMENTS};
use partpledge_mesh::Facts;
use partpledge_orientation::Choice;
use partpledge_printability::{Finding, UnitJudgement, lesson};
use partpledge_records::stored::{PledgeDocument, PledgedAlternative};
use partpledge_toolpath::Estimate;
use partpledge_toolpath::strength::CAUTION;
use partpledge_units::local::Zone;
use partpledge_units::money::Money;
use partpledge_units::time::Minute;
use partpledge_workshop::intake::{JudgedFile, JudgedPart};
use partpledge_workshop::taking::{Taking, own_axes};
use serde_json::{Map, Value, json};

/// Facts of one part.
pub(crate) fn facts(facts: &Facts) -> Map<String, Value> {
    object(json!({
        "triangles": facts.triangles,
        "vertices": facts.vertices,
        "shells": facts.shells.len(),
        "watertight": facts.watertight,
        "volume_mm3": facts.volume_mm3,
        "area_mm2": facts.area_mm2,
        "size_mm": facts.size_mm,
    }))
}

fn object(value: Value) -> Map<String, Value> {
    match value {
        Value::Object(map) => map,
        _ => Map::new(),
    }
}

pub(crate) fn unit(unit: &UnitJudgement) -> Value {
    json!({
        "used": unit.used.symbol(),
        "guessed": unit.guessed.symbol(),
        "confidence": unit.confidence,
        "source": unit.source.word(),
    })
}

pub(crate) fn findings(findings: &[Finding]) -> Value {
    let one = |finding: &Finding| {
        json!({
            "code": finding.code,
            "severity": finding.severity.word(),
            "place_mm": finding.place_mm,
            "measured": finding.measured,
            "limit": finding.limit,
            "unit": finding.unit,
            "why": finding.why.to_string(),
            "what_to_do": finding.what_to_do.to_string(),
            "source": finding.source,
            "lesson": lesson(finding.code).map(|lesson| lesson.text().to_string()),
        })
    };
    Value::Array(findings.iter().map(one).collect())
}

pub(crate) fn repairs(part: &JudgedPart) -> Value {
    part.repaired.as_ref().map_or(Value::Null, |repaired| {
        let mut map = facts(&repaired.facts);
        let steps = repaired
            .steps
            .iter()
            .map(ToString::to_string)
            .map(Value::String);
        map.insert("steps".to_owned(), Value::Array(steps.collect()));
        Value::Object(map)
    })
}

fn part(part: &JudgedPart) -> Map<String, Value> {
    let mut map = facts(&part.facts);
    if part.repaired.is_some() {
        map.insert("repaired".to_owned(), repairs(part));
    }
    if let Some(united) = part.united_mm3 {
        map.insert("united_volume_mm3".to_owned(), json!(united));
    }
    map.insert("findings".to_owned(), findings(&part.findings));
    map.insert("ways".to_owned(), ways(&part.ways));
    map
}

/// Ways to stand, the recommended one first.
fn ways(ways: &[Choice]) -> Value {
    let one = |(i, way): (usize, &Choice)| {
        json!({
            "name": way.name,
            "rotation": way.rotation,
            "recommended": i == 0,
            "on_front": way.on_front,
            "score": way.score,
            "time_s": way.time_s,
            "support_mm3": way.support_mm3,
            "overhang_area_mm2": way.overhang_area_mm2,
            "height_mm": way.height_mm,
            "contact_area_mm2": way.contact_area_mm2,
            "tip_over_deg": way.tip_over_angle_deg,
            "stepped_area_mm2": way.stepped_area_mm2,
            "scarred_area_mm2": way.scarred_area_mm2,
            "beds": {
                "as_it_lies": way.bed_fit.as_it_lies,
                "turned": way.bed_fit.turned,
                "turn_deg": way.bed_fit.turn_deg,
                "any_turn": way.bed_fit.any_turn,
            },
            "load": way.load.map(|load| json!({
                "across_deg": load.across_deg,
                "least_section_mm2": load.least_section_mm2,
            })),
            "reasons": way.reasons,
        })
    };
    Value::Array(ways.iter().enumerate().map(one).collect())
}

/// What `judge` says of a file.
pub(crate) fn judged(file: &str, judged: &JudgedFile) -> Value {
    let mut map = object(json!({ "schema": 1, "file": file }));
    if let [only] = judged.parts.as_slice() {
        map.extend(part(only));
    } else {
        map.extend(totals(&judged.parts));
        let parts = judged.parts.iter().map(|p| {
            let mut map = object(json!({ "name": p.name }));
            map.extend(part(p));
            Value::Object(map)
        });
        let found: Vec<Finding> = judged
            .parts
            .iter()
            .flat_map(|p| p.findings.clone())
            .collect();
        map.insert("findings".to_owned(), findings(&found));
        map.insert("parts".to_owned(), Value::Array(parts.collect()));
    }
    map.insert("unit".to_owned(), unit(&judged.unit));
    if let Some(left) = left_out(judged) {
        map.insert("left_out".to_owned(), left);
    }
    Value::Object(map)
}

/// Members of a zip that could not be read, if there are any.
pub(crate) fn left_out(judged: &JudgedFile) -> Option<Value> {
    let left = judged.left_out.iter().map(|member| {
        json!({
            "name": member.name, "code": member.why.code(), "message": member.why.to_string(),
            "what_to_do": member.why.what_to_do(),
        })
    });
    (!judged.left_out.is_empty()).then(|| Value::Array(left.collect()))
}

/// Sums over the parts of a file; the size is that of the box around all of them.
fn totals(parts: &[JudgedPart]) -> Map<String, Value> {
    let sum = |of: fn(&Facts) -> usize| parts.iter().map(|p| of(&p.facts)).sum::<usize>();
    let volume: Option<f64> = parts.iter().map(|p| p.facts.volume_mm3).sum();
    let corner = |k: usize, high: bool| {
        parts
            .iter()
            .map(move |p| p.facts.low_mm[k] + if high { p.facts.size_mm[k] } else { 0.0 })
    };
    let size: [f64; 3] = std::array::from_fn(|k| {
        corner(k, true).fold(f64::MIN, f64::max) - corner(k, false).fold(f64::MAX, f64::min)
    });
    object(json!({
        "triangles": sum(|f| f.triangles),
        "vertices": sum(|f| f.vertices),
        "shells": sum(|f| f.shells.len()),
        "watertight": parts.iter().all(|p| p.facts.watertight),
        "volume_mm3": volume,
        "area_mm2": parts.iter().map(|p| p.facts.area_mm2).sum::<f64>(),
        "size_mm": size,
    }))
}

/// What `estimate` says of one copy of a part.
pub(crate) fn estimate(estimate: &Estimate, part: &JudgedPart) -> Map<String, Value> {
    object(json!({
        "layers": estimate.layer_s.len(),
        "print_time_s": estimate.print_time_s,
        "warmup_s": estimate.warmup_s,
        "filament_mm": estimate.filament_mm,
        "mass_g": estimate.mass_g,
        "walls_mm": estimate.walls_mm,
        "skins_mm": estimate.skins_mm,
        "infill_mm": estimate.infill_mm,
        "support_mm": estimate.support_mm,
        "support_g": estimate.support_g,
        "orientation": { "name": part.standing.name, "rotation": part.standing.rotation },
        "spread": { "p10": estimate.spread.p10_s, "p90": estimate.spread.p90_s },
    }))
}

pub(crate) fn range([low, high]: [f64; 2]) -> Value {
    json!({ "low": low, "high": high })
}

/// A cost in whole minor units, with the digits that a minor unit is.
pub(crate) fn cost(cost: &Cost, costs: &Costs) -> Value {
    let range = |[low, high]: [Money; 2]| json!({ "low": low.minor, "high": high.minor });
    json!({
        "currency": costs.currency.to_string(),
        "decimals": costs.rates.decimals,
        "low": cost.total[0].minor,
        "high": cost.total[1].minor,
        "filament": cost.filament.minor,
        "energy": range(cost.energy),
        "wear": range(cost.wear),
        "labour": cost.labour.minor,
        "per_good_part": range(cost.per_good_part),
        "note": NO_PAYMENTS,
    })
}

/// What one copy takes beside time, and bears; layers are counted from 1, ways are in the part's own axes.
pub(crate) fn taking(taking: &Taking, part: &JudgedPart, costs: &Costs) -> Map<String, Value> {
    let axis = |[x, y]: [f64; 2]| own_axes(&part.standing.rotation, [x, y, 0.0]);
    let weak = taking.weak.map(|weak| {
        let (pull, bending) = (weak.pull, weak.bending);
        json!({
            "layer": pull.layer + 1,
            "height_mm": pull.height_mm,
            "area_mm2": pull.area_mm2,
            "pull_n": range(pull.load_n),
            "bending_nm": {
                "axis": axis(bending.axis),
                "low": bending.moment_nm[0],
                "high": bending.moment_nm[1],
                "layer": bending.layer + 1,
                "height_mm": bending.height_mm,
                "arm_mm": bending.arm_mm,
                "modulus_mm3": bending.modulus_mm3,
                "load_n": range(bending.load_n),
                "slender": bending.slender,
            },
            "caution": CAUTION,
        })
    });
    let lighter = taking.lighter.iter().map(|v| {
        json!({
            "walls": v.walls,
            "infill_percent": v.infill_percent,
            "mass_g": v.mass_g,
            "print_time_s": v.print_time_s,
            "mass_ratio": v.mass_ratio,
            "time_ratio": v.time_ratio,
            "stiffness_ratio": v.stiffness_ratio,
            "pull_ratio": v.pull_ratio,
        })
    });
    object(json!({
        "energy_wh": range(taking.energy_wh),
        "cost": cost(&taking.cost, costs),
        "weakest_layer": weak,
        "lighter": lighter.collect::<Vec<_>>(),
    }))
}

/// What `pledge` says.
pub(crate) fn pledge(document: &PledgeDocument, zone: &Zone, given: bool) -> Value {
    let at = |minute: i64| Value::String(zone.rfc3339(Minute(minute)));
    let plates: Vec<Value> = document
        .plates
        .iter()
        .map(|p| {
            json!({
                "plate": p.plate, "host": p.host, "printer": p.printer, "copies": p.copies,
                "start": at(p.start_min), "end": at(p.end_min), "arrives": at(p.arrives_min),
            })
        })
        .collect();
    let last = document
        .plates
        .iter()
        .max_by_key(|p| (p.arrives_min, p.plate));
    let legs: Vec<Value> = document
        .legs
        .iter()
        .map(|leg| {
            json!({
                "kind": leg.kind, "from": leg.from, "to": leg.to,
                "leaves": at(leg.leaves_min), "arrives": at(leg.arrives_min),
            })
        })
        .collect();
    let alternatives = alternatives(&document.alternatives, zone);
    json!({
        "schema": 1,
        "team": document.team,
        "part": document.part,
        "copies": document.copies,
        "material": document.material,
        "given": given,
        "arrival": at(document.arrival_min),
        "probability": document.probability,
        "nominal_arrival": at(document.nominal_min),
        "place": document.place,
        "plates": plates,
        "host": last.map(|p| p.host.clone()),
        "printer": last.map(|p| p.printer.clone()),
        "plate": last.map(|p| p.plate),
        "legs": legs,
        "reasons": document.reasons.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "alternatives": alternatives,
        "asked_at": at(document.asked_min),
        "expires_at": at(document.expires_min),
        "plan_revision": document.plan_revision,
    })
}

fn alternatives(list: &[PledgedAlternative], zone: &Zone) -> Vec<Value> {
    let one = |other: &PledgedAlternative| {
        json!({
            "kind": other.kind,
            "what": other.what.to_string(),
            "arrival": zone.rfc3339(Minute(other.arrival_min)),
            "probability": other.probability,
        })
    };
    list.iter().map(one).collect()
}

/// A pledge that is not possible, with the reason and what could be had instead.
pub(crate) fn no_pledge(
    file: &str,
    error: &partpledge_workshop::WorkshopError,
    (instead, zone): (&[PledgedAlternative], &Zone),
    asked_at: &str,
) -> Value {
    json!({
        "schema": 1,
        "file": file,
        "arrival": null,
        "probability": null,
        "place": null,
        "plates": [],
        "host": null,
        "printer": null,
        "plate": null,
        "legs": [],
        "reasons": [error.to_string()],
        "alternatives": alternatives(instead, zone),
        "asked_at": asked_at,
        "expires_at": null,
        "plan_revision": null,
        "error": { "code": error.code(), "message": error.to_string(), "what_to_do": error.what_to_do() },
    })
}
