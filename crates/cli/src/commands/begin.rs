//! `begin`: a region of one's own, from a region file, in a folder that has none.

use std::path::Path;

use partpledge_catalogue::region::{Wrong, line_of, written};
use partpledge_catalogue::{Catalogue, RegionFile};
use partpledge_workshop::Session;
use serde_json::json;

use crate::args::Args;
use crate::{clock, output};

use super::{look, next, region_file};

pub(crate) async fn run(args: &Args, path: &Path, json: bool) -> anyhow::Result<u8> {
    let text = match region_file::read(path, json)? {
        Ok(text) => text,
        Err(code) => return Ok(code),
    };
    let file = match written(&text, &Catalogue::built_in()) {
        Ok(file) => file,
        Err(wrong) => return Ok(region_file::wrong(path, &wrong, json)),
    };
    // Days are written so that they sort as texts.
    let today = region_file::today(args)?;
    if file.season_ends.as_ref().is_some_and(|ends| *ends < today) {
        let over = Wrong {
            line: line_of(&text, "season_ends"),
            field: "season_ends".to_owned(),
            what_to_do: "That day is over. Write the last day of the season that begins."
                .to_owned(),
        };
        return Ok(region_file::wrong(path, &[over], json));
    }
    let now = clock::now(args.at.as_deref())?;
    if let Some(session) = Session::begin(&args.data, &text, now).await? {
        said(args, &session, json);
        return Ok(output::FINE);
    }
    let there = look(args).await?.terrain.file.name;
    let message = format!("{} holds the region {there} already.", args.data.display());
    let change = next(args, "change FILE");
    let what_to_do = format!(
        "A region is never overwritten. Give another folder with --data; or change the one that is there: \
         `{change}`."
    );
    let about = ("region-there", message.as_str(), what_to_do.as_str());
    Ok(region_file::refused(json, None, about))
}

fn counts(file: &RegionFile) -> [(&'static str, usize); 4] {
    [
        ("schools", file.schools.len()),
        ("teams", file.teams.len()),
        ("hosts", file.hosts.len()),
        ("printers", file.printers.len()),
    ]
}

fn said(args: &Args, session: &Session, json: bool) {
    let file = &session.terrain.file;
    let are_examples = session.costs.are_examples;
    let data = args.data.display().to_string();
    if json {
        let mut answer = json!({
            "schema": 1,
            "region": file.name,
            "data": data,
            "currency": file.currency,
            "prices": if are_examples { "examples" } else { "own" },
            "prices_currency": session.costs.currency.to_string(),
        });
        for (what, n) in counts(file) {
            answer[what] = n.into();
        }
        output::say_json(vec![answer]);
        return;
    }
    let many = |(what, n): (&str, usize)| match n {
        1 => format!("1 {}", what.trim_end_matches('s')),
        n => format!("{n} {what}"),
    };
    let counts = counts(file).map(many).join(", ");
    let prices = if are_examples {
        let currency = session.costs.currency;
        format!(
            "Prices are the built-in examples, in {currency}, until you put your own in [prices]."
        )
    } else {
        format!("Prices are its own, in {}.", file.currency)
    };
    let serve = next(args, "serve");
    output::say(&format!(
        "{} begins in {data}: {counts}. {prices}\nNow: `{serve}`. It prints a link for the region's \
         first coordinator.",
        file.name
    ));
}
