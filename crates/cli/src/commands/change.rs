//! `change`: what a newer region file would change, and with `--save` the change.

use std::path::Path;

use partpledge_catalogue::Catalogue;
use partpledge_catalogue::region::written;
use partpledge_workshop::bench::{Changed, replace_region};
use partpledge_workshop::region_data::{CellChange, Change, Line, Proposal, Put, propose_put};
use partpledge_workshop::{Actor, Books, Session};
use serde_json::{Value, json};

use crate::args::Args;
use crate::output;

use super::{look, next, region_file, typed};

pub(crate) async fn run(args: &Args, path: &Path, save: bool, json: bool) -> anyhow::Result<u8> {
    let text = match region_file::read(path, json)? {
        Ok(text) => text,
        Err(code) => return Ok(code),
    };
    if !Session::is_in(&args.data).await? {
        return Ok(region_file::no_region(args, json));
    }
    if let Err(wrong) = written(&text, &Catalogue::built_in()) {
        return Ok(region_file::wrong(path, &wrong, json));
    }
    let session = look(args).await?;
    let actor = Actor::at_the_machine();
    let books = Books::open(&session).await?;
    let mut proposal = propose_put(&session, &actor, &books, Put::File(&text)).await?;
    let mut saved = false;
    if save && proposal.can_be_done() {
        let shown = (text.as_str(), proposal.digest.as_str());
        match replace_region(&session, &actor, shown, None).await? {
            Changed::Done(_) => saved = true,
            // Somebody changed the region or its plan meanwhile.
            Changed::Ask(other) => proposal = *other,
        }
    }
    if json {
        output::say_json(vec![wire(&proposal, saved)]);
    } else {
        output::say(&in_words((args, path), &proposal, (save, saved)));
    }
    let wanted = saved || !save || proposal.review.changes_nothing();
    if wanted && proposal.refused.is_empty() {
        Ok(output::FINE)
    } else {
        Ok(output::NOT_POSSIBLE)
    }
}

fn moved(proposal: &Proposal) -> Vec<u64> {
    let moved = proposal.answer.iter().flat_map(|answer| &answer.moved);
    moved.map(|seq| seq.0).collect()
}

fn wire(proposal: &Proposal, saved: bool) -> Value {
    let lines = proposal.review.lines.iter().map(|line| {
        let (change, cells) = of_line(line);
        let cells = cells.iter();
        let cells = cells.map(|[field, was, is]| json!({ "field": field, "was": was, "is": is }));
        json!({
            "line": line.number,
            "what": line.key,
            "change": change,
            "fields": cells.collect::<Vec<_>>(),
        })
    });
    let needed = proposal.refused.iter();
    let needed = needed.map(|(what, why)| json!({ "what": what, "why": why }));
    json!({
        "schema": 1,
        "saved": saved,
        "can_be_done": proposal.can_be_done(),
        "region_revision": proposal.revision,
        "lines": lines.collect::<Vec<_>>(),
        "needed": needed.collect::<Vec<_>>(),
        "moved": moved(proposal),
    })
}

/// What becomes of it, and its fields: name, as it was, as it is.
fn of_line(line: &Line) -> (&'static str, Vec<[&str; 3]>) {
    match &line.change {
        Change::Same => ("same", Vec::new()),
        Change::Removed => ("taken out", Vec::new()),
        Change::Wrong(_) => ("wrong", Vec::new()),
        Change::Added(cells) => ("new", of_cells(cells)),
        Change::Changed(cells) => ("changed", of_cells(cells)),
    }
}

fn of_cells(cells: &[CellChange]) -> Vec<[&str; 3]> {
    let cells = cells.iter();
    let cells = cells.map(|cell| [&*cell.column, cell.was.as_str(), cell.is.as_str()]);
    cells.collect()
}

fn in_words(
    (args, path): (&Args, &Path),
    proposal: &Proposal,
    (save, saved): (bool, bool),
) -> String {
    if proposal.review.changes_nothing() {
        return "The region is like this already. There is nothing to do.".to_owned();
    }
    let shown = |text: &str| match text {
        "" => "nothing".to_owned(),
        text => text.to_owned(),
    };
    let mut out = Vec::new();
    for line in &proposal.review.lines {
        let at = line.number.map(|n| format!("line {n}: "));
        let (change, cells) = of_line(line);
        out.push(format!("{}{} {change}", at.unwrap_or_default(), line.key));
        for [field, was, is] in cells {
            out.push(match line.change {
                Change::Added(_) => format!("    {field}: {}", shown(is)),
                _ => format!("    {field}: {} becomes {}", shown(was), shown(is)),
            });
        }
    }
    let moved: Vec<String> = moved(proposal).iter().map(u64::to_string).collect();
    if !moved.is_empty() {
        out.push(format!(
            "Plates that get another place: {}.",
            moved.join(", ")
        ));
    }
    for (what, why) in &proposal.refused {
        out.push(format!("Not like this: {what}. {why}"));
    }
    out.push(match (proposal.can_be_done(), save, saved) {
        (_, _, true) => "The region is changed. A server that runs shows it at once.".to_owned(),
        (true, true, _) => "Nothing is changed: the region or its plan changed meanwhile. Look at \
            this, and call it again."
            .to_owned(),
        (true, false, _) => {
            let call = format!("change {} --save", typed(&path.display().to_string()));
            format!("Nothing is changed yet. To do it: {}", next(args, &call))
        }
        (false, ..) => "Nothing is changed.".to_owned(),
    });
    out.join("\n")
}
