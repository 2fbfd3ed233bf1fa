//! The region's tables out and in, for programs: checked first, done as it was shown.

use axum::http::StatusCode;
use partpledge_workshop::bench::{Changed, change_region};
use partpledge_workshop::region_data::{self, Change, Line, Proposal, Table, Told, propose};
use serde::Serialize;
use utoipa::ToSchema;

use super::call::{Answer, Call, done};
use super::out::DoneOut;
use super::problem::Problem;
use crate::routes::csv;

/// A table to be put in.
#[derive(ToSchema)]
#[schema(as = TableForm)]
#[expect(
    dead_code,
    reason = "only described here; the form is read part by part"
)]
pub(crate) struct TableForm {
    /// The table as CSV (RFC 4180), in UTF-8; its columns are those that it comes out with.
    #[schema(value_type = String, format = Binary)]
    file: Vec<u8>,
    /// `yes` takes out of the region what the file leaves out.
    removes: Option<String>,
    /// As the check gave it; only what was shown is done.
    digest: Option<String>,
}

/// A line, or what the file leaves out.
#[derive(Serialize, ToSchema)]
#[schema(as = TableLine)]
struct LineOut {
    /// Its number in the file; nothing for what is not in it.
    line: Option<u64>,
    key: String,
    /// `same`, `added`, `changed`, `removed` or `wrong`.
    change: &'static str,
    /// Columns that would be others or are wrong.
    columns: Vec<String>,
    /// What to do about each column that is wrong.
    what_to_do: Vec<String>,
}

/// Something that is needed as it is.
#[derive(Serialize, ToSchema)]
#[schema(as = Needed)]
struct NeededOut {
    what: String,
    why: String,
}

/// What a table would do. Nothing is written.
#[derive(Serialize, ToSchema)]
#[schema(as = TableCheck)]
pub(crate) struct CheckOut {
    schema: u32,
    /// Whether it can be done.
    can_be_done: bool,
    /// To be sent with the deed.
    digest: String,
    /// Revision of the region that it was held against.
    region_revision: i64,
    lines: Vec<LineOut>,
    /// What is wrong with the region as a whole.
    whole: Vec<String>,
    needed: Vec<NeededOut>,
    /// Plates that would have another place.
    moved: Vec<u64>,
}

fn line_out(line: &Line) -> LineOut {
    let (change, columns, what_to_do) = match &line.change {
        Change::Same => ("same", Vec::new(), Vec::new()),
        Change::Added(_) => ("added", Vec::new(), Vec::new()),
        Change::Removed => ("removed", Vec::new(), Vec::new()),
        Change::Changed(cells) => {
            let columns = cells.iter().map(|cell| cell.column.to_string());
            ("changed", columns.collect(), Vec::new())
        }
        Change::Wrong(faults) => {
            let says = faults.iter().map(|fault| fault.what_to_do.clone());
            let columns = faults.iter().map(|fault| fault.column.to_owned());
            ("wrong", columns.collect(), says.collect())
        }
    };
    LineOut {
        line: line.number,
        key: line.key.clone(),
        change,
        columns,
        what_to_do,
    }
}

impl From<Proposal> for CheckOut {
    fn from(proposal: Proposal) -> Self {
        let needed = proposal.refused.iter().map(|(what, why)| NeededOut {
            what: what.clone(),
            why: why.clone(),
        });
        let moved = proposal.answer.iter().flat_map(|answer| &answer.moved);
        Self {
            schema: 1,
            can_be_done: proposal.can_be_done(),
            region_revision: proposal.revision,
            lines: proposal.review.lines.iter().map(line_out).collect(),
            whole: proposal.review.whole.clone(),
            needed: needed.collect(),
            moved: moved.map(|seq| seq.0).collect(),
            digest: proposal.digest,
        }
    }
}

fn table(call: &Call) -> Result<Table, Problem> {
    Table::named(call.name("table")).ok_or_else(Problem::not_there)
}

/// `GET /api/v1/region/data/{table}`.
pub(crate) async fn out(call: Call) -> Answer {
    let (table, actor) = (table(&call)?, call.actor());
    let session = call.site.session().await?;
    Ok(csv(table, region_data::table(&session, &actor, table)?))
}

/// The form as it is told, and the digest in it.
async fn told(call: Call) -> Result<(Told, String), Problem> {
    let table = table(&call)?;
    let site = call.site.clone();
    let _turn = site.turn_to_send(call.actor().person()).await;
    let (form, _, bytes) = call.form().await?;
    let told = Told {
        table,
        bytes: bytes.to_vec(),
        removes: form.get("removes") == "yes",
    };
    Ok((told, form.get("digest").to_owned()))
}

/// `POST /api/v1/region/data/{table}/check`.
pub(crate) async fn check(call: Call) -> Answer {
    let (site, actor) = (call.site.clone(), call.actor());
    let (told, _) = told(call).await?;
    let (session, books) = site.books().await?;
    let work = async move { propose(&session, &actor, &books, &told).await };
    let proposal = site.heavy(Box::pin(work)).await?;
    Ok(done(StatusCode::OK, &CheckOut::from(proposal)))
}

/// `POST /api/v1/region/data/{table}`.
pub(crate) async fn put_in(call: Call) -> Answer {
    let (key, site, actor) = (call.key()?, call.site.clone(), call.actor());
    let (told, digest) = told(call).await?;
    let session = site.session().await?;
    let work = async move {
        let what = (&told, digest.as_str());
        change_region(&session, &actor, what, Some(&key)).await
    };
    let did = site.heavy(Box::pin(work)).await?;
    let Changed::Done(did) = did else {
        let title = "It is not as it was shown, or can’t be done.";
        let detail = "Check the file again, and send the digest that the check gives.";
        let status = StatusCode::CONFLICT;
        return Err(Problem::new(status, "not-as-shown", title, detail));
    };
    // What other pages stand on is read anew.
    let _ = site.session().await;
    Ok(done(StatusCode::OK, &DoneOut::from(did)))
}
