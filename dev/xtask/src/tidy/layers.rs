//! The layers: each crate sees only those above it, and ARCHITECTURE.md lists them in that order.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::failure::Failure;
use crate::house::House;
use crate::program::capture;

/// Rooms that stay pure: no async, SQL, HTTP or JSON.
const STAGES: [&str; 14] = [
    "crates/units",
    "crates/formats",
    "crates/mesh",
    "crates/sections",
    "crates/toolpath",
    "crates/printability",
    "crates/orientation",
    "crates/plates",
    "crates/planning-model",
    "crates/planning",
    "crates/plan-check",
    "crates/hubs",
    "crates/machines",
    "crates/season",
];
/// What a stage may not depend on.
const IMPURE: [&str; 6] = [
    "tokio",
    "sqlx",
    "axum",
    "serde_json",
    "serde",
    "object_store",
];

/// A workspace member: its folder, what it needs, and what only its tests need.
#[derive(Debug, Clone)]
struct Member {
    name: String,
    folder: String,
    needs: Vec<String>,
    tests_need: Vec<String>,
}

/// Rules broken by the workspace as it is.
pub(super) fn check(house: &House) -> Result<Vec<String>, Failure> {
    let manifest = read(house, "Cargo.toml")?;
    let order = member_order(&manifest);
    let text = capture(house.cargo().args([
        "metadata",
        "--format-version",
        "1",
        "--no-deps",
        "--locked",
    ]))?;
    let metadata: Value =
        serde_json::from_str(&text).map_err(|e| Failure::new(format!("cargo metadata: {e}")))?;
    let root = house.root.display().to_string();
    let members = members(&metadata, &root);
    let mut broken = order_rules(&order, &members);
    broken.extend(table_rules(
        &order,
        &read(house, "ARCHITECTURE.md").unwrap_or_default(),
    ));
    Ok(broken)
}

fn read(house: &House, name: &str) -> Result<String, Failure> {
    let path = house.root.join(name);
    std::fs::read_to_string(&path).map_err(|e| Failure::io("cannot read", &path, &e))
}

/// The `members` list of the workspace, in its order.
fn member_order(manifest: &str) -> Vec<String> {
    let list = manifest
        .split("members = [")
        .nth(1)
        .and_then(|rest| rest.split(']').next());
    let lines = list.unwrap_or_default().lines();
    lines
        .filter_map(|line| line.split('"').nth(1))
        .map(str::to_owned)
        .collect()
}

fn members(metadata: &Value, root: &str) -> Vec<Member> {
    let packages = metadata["packages"].as_array().cloned().unwrap_or_default();
    let member = |package: &Value| {
        let path = package["manifest_path"].as_str()?;
        let folder = path
            .strip_prefix(root)?
            .trim_start_matches('/')
            .strip_suffix("/Cargo.toml")?;
        let all = package["dependencies"].as_array()?;
        let (tests, code): (Vec<&Value>, Vec<&Value>) =
            all.iter().partition(|need| need["kind"] == "dev");
        let names = |needs: Vec<&Value>| {
            needs
                .iter()
                .filter_map(|need| need["name"].as_str().map(str::to_owned))
                .collect()
        };
        Some(Member {
            name: package["name"].as_str()?.to_owned(),
            folder: folder.to_owned(),
            needs: names(code),
            tests_need: names(tests),
        })
    };
    packages.iter().filter_map(member).collect()
}

fn order_rules(order: &[String], members: &[Member]) -> Vec<String> {
    let place: BTreeMap<&str, usize> = members
        .iter()
        .filter_map(|m| {
            Some((
                m.name.as_str(),
                order.iter().position(|folder| *folder == m.folder)?,
            ))
        })
        .collect();
    let mut broken = Vec::new();
    for member in members {
        let Some(own) = place.get(member.name.as_str()) else {
            broken.push(format!("{} is not in the list of members", member.folder));
            continue;
        };
        for need in &member.needs {
            if place.get(need.as_str()).is_some_and(|other| other >= own) {
                broken.push(format!(
                    "{} needs {need}, which stands below it",
                    member.name
                ));
            }
            if STAGES.contains(&member.folder.as_str()) && IMPURE.contains(&need.as_str()) {
                broken.push(format!(
                    "{} is a stage and must not need {need}",
                    member.name
                ));
            }
        }
        let mut any = member.needs.iter().chain(&member.tests_need);
        if member.folder == "crates/plan-check" && any.any(|n| n == "partpledge-planning") {
            broken.push("plan-check must never see planning, not even in tests".to_owned());
        }
    }
    broken
}

/// The table's first column must be the members' folder names, in order.
fn table_rules(order: &[String], architecture: &str) -> Vec<String> {
    let rows: Vec<&str> = architecture
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.split('`').next())
        .collect();
    let names: Vec<&str> = order
        .iter()
        .filter_map(|folder| folder.rsplit('/').next())
        .collect();
    if rows == names {
        return Vec::new();
    }
    vec![format!(
        "the table in ARCHITECTURE.md lists {rows:?}, the workspace {names:?}"
    )]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn member(name: &str, folder: &str, needs: &[&str]) -> Member {
        let needs = needs.iter().map(ToString::to_string).collect();
        Member {
            name: name.to_owned(),
            folder: folder.to_owned(),
            needs,
            tests_need: Vec::new(),
        }
    }

    fn order() -> Vec<String> {
        member_order("[workspace]\nmembers = [\n  \"crates/units\",\n  \"crates/mesh\",\n]\n")
    }

    #[test]
    fn a_crate_may_only_need_those_above_it() {
        let units = member("u", "crates/units", &[]);
        let fine = [units.clone(), member("m", "crates/mesh", &["u"])];
        assert_eq!(order_rules(&order(), &fine), Vec::<String>::new());
        let upside_down = [
            member("u", "crates/units", &["m"]),
            member("m", "crates/mesh", &[]),
        ];
        assert_eq!(order_rules(&order(), &upside_down).len(), 1);
        let impure = [units, member("m", "crates/mesh", &["tokio"])];
        assert_eq!(order_rules(&order(), &impure).len(), 1);
    }

    #[test]
    fn the_checker_never_sees_the_planner_not_even_in_tests() {
        let order = ["crates/planning".to_owned(), "crates/plan-check".to_owned()];
        let planning = member("partpledge-planning", "crates/planning", &[]);
        let mut checker = member("c", "crates/plan-check", &[]);
        let alone = [planning.clone(), checker.clone()];
        assert_eq!(order_rules(&order, &alone), Vec::<String>::new());
        checker.tests_need = vec!["partpledge-planning".to_owned()];
        assert_eq!(order_rules(&order, &[planning, checker]).len(), 1);
    }

    #[test]
    fn the_table_lists_the_members_in_order() {
        let table = "| crate | takes |\n|---|---|\n| `units` | x |\n| `mesh` | y |\n";
        assert_eq!(table_rules(&order(), table), Vec::<String>::new());
        assert_eq!(
            table_rules(&order(), "| `mesh` | y |\n| `units` | x |\n").len(),
            1
        );
        assert_eq!(table_rules(&order(), "").len(), 1);
    }
}
