//! Recalls, for programs: what one would be about, opening and lifting it, what a team found.

use std::collections::BTreeMap;

use axum::http::StatusCode;
use partpledge_units::ids::RequestId;
use partpledge_units::local::{Zone, parse_rfc3339};
use partpledge_units::time::{EventMs, Minute};
use partpledge_workshop::Books;
use partpledge_workshop::bench::{answer_recall, lift_recall, recall_and_stop};
use partpledge_workshop::recalls::{Fate, Target, Which, affected, of_old_file, recalls};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::call::{Answer, Call, done, fresh};
use super::out::{DoneOut, at};
use super::problem::Problem;
use super::team::own;

fn word(fate: Fate) -> &'static str {
    match fate {
        Fate::AtHost => "at-host",
        Fate::InBox => "in-box",
        Fate::OnTheWay => "on-the-way",
        Fate::WithTeam => "with-team",
        Fate::BeingMade => "being-made",
        Fate::Good => "good",
        Fate::Bad => "not-good",
        Fate::Lifted => "lifted",
        Fate::Gone => "gone",
    }
}

/// A recalled copy.
#[derive(Serialize, ToSchema)]
#[schema(as = RecalledCopy)]
struct CopyOut {
    /// The share of a plate that it was made on; its box goes by this.
    share: u64,
    /// Its number within the request.
    number: i64,
    /// `at-host`, `in-box`, `on-the-way` or `with-team` while it is to be checked, `being-made` while it
    /// is printed or reworked and not to be checked yet; then `good`, `not-good`, `lifted`, or `gone` if
    /// it is lost or made again for another reason.
    stands: &'static str,
}

/// What is recalled of one request.
#[derive(Serialize, ToSchema)]
#[schema(as = RecalledPart)]
struct PartOut {
    /// Number of the request.
    number: i64,
    team: String,
    copies: Vec<CopyOut>,
}

fn part_out(books: &Books, request: RequestId, copies: &[(Which, Fate)]) -> Option<PartOut> {
    let listed = books.request(request)?;
    let copy = |((share, number), fate): &(Which, Fate)| CopyOut {
        share: *share,
        number: *number,
        stands: word(*fate),
    };
    Some(PartOut {
        number: listed.request.number,
        team: listed.request.team.clone(),
        copies: copies.iter().map(copy).collect(),
    })
}

/// A recall.
#[derive(Serialize, ToSchema)]
#[schema(as = Recall)]
struct RecallOut {
    /// Its number in the log; it is lifted by this.
    entry: i64,
    /// `printer-drifted` or `file-replaced`.
    why: &'static str,
    printer: Option<String>,
    #[schema(format = DateTime)]
    from: Option<String>,
    #[schema(format = DateTime)]
    until: Option<String>,
    /// Number of the part with the old file, and of the newest one with a newer file.
    part: Option<i64>,
    newer: Option<i64>,
    #[schema(format = DateTime)]
    at: String,
    #[schema(format = DateTime)]
    lifted: Option<String>,
    /// Whether something is still to be checked.
    open: bool,
    /// How many copies stand how, by the words of `stands`.
    counts: BTreeMap<&'static str, usize>,
    parts: Vec<PartOut>,
}

/// Recalls, the last first.
#[derive(Serialize, ToSchema)]
#[schema(as = Recalls)]
pub(crate) struct RecallsOut {
    schema: u32,
    items: Vec<RecallOut>,
}

fn ms(zone: &Zone, when: EventMs) -> String {
    at(zone, Minute::at_or_before(when))
}

/// `GET /api/v1/region/recalls`.
pub(crate) async fn list(call: Call) -> Answer {
    let (session, books) = call.looked().await?;
    let zone = &session.terrain.zone;
    let one = |recall: partpledge_workshop::recalls::Recall| {
        let mut counts = BTreeMap::new();
        for (_, fate) in recall.requests.iter().flat_map(|one| &one.copies) {
            *counts.entry(word(*fate)).or_default() += 1;
        }
        let (mut printer, mut times) = (None, (None, None));
        let mut parts = (None, None);
        match &recall.target {
            Target::Printer { name, from, until } => {
                printer = Some(name.clone());
                times = (Some(ms(zone, *from)), Some(ms(zone, *until)));
            }
            Target::Version { number, newer } => parts = (Some(*number), Some(*newer)),
        }
        let own = recall.requests.iter();
        RecallOut {
            entry: recall.entry,
            why: recall.target.code(),
            printer,
            from: times.0,
            until: times.1,
            part: parts.0,
            newer: parts.1,
            at: ms(zone, recall.at),
            lifted: recall.lifted.map(|when| ms(zone, when)),
            open: recall.open(),
            counts,
            parts: own
                .filter_map(|one| part_out(&books, one.request, &one.copies))
                .collect(),
        }
    };
    let out = RecallsOut {
        schema: 1,
        items: recalls(&books).into_iter().map(one).collect(),
    };
    Ok(fresh(call.headers(), &out))
}

/// What is to be recalled: a printer with a stretch of time, or a part with an old file.
#[derive(Deserialize, ToSchema)]
#[schema(as = NewRecall)]
#[serde(deny_unknown_fields)]
pub(crate) struct RecallIn {
    /// The printer that has drifted.
    printer: Option<String>,
    #[schema(format = DateTime)]
    from: Option<String>,
    #[schema(format = DateTime)]
    until: Option<String>,
    /// Number of a part whose file a newer one has replaced.
    part: Option<i64>,
    /// Until then the printer can't be used; without it, it prints on.
    #[schema(format = DateTime)]
    out_until: Option<String>,
}

impl RecallIn {
    fn target(&self, books: &Books) -> Result<Target, Problem> {
        let time = |name, text: &Option<String>| {
            let read = text.as_deref().and_then(|text| parse_rfc3339(text).ok());
            read.ok_or_else(|| Problem::bad(name, "a time like 2027-03-11T15:40:00+01:00"))
        };
        match (&self.printer, self.part) {
            (Some(name), None) => Ok(Target::Printer {
                name: name.clone(),
                from: time("from", &self.from)?,
                until: time("until", &self.until)?,
            }),
            (None, Some(_)) if self.out_until.is_some() => {
                Err(Problem::bad("out_until", "said of a printer only"))
            }
            (None, Some(number)) => Ok(of_old_file(books, number)?),
            _ => Err(Problem::bad(
                "The recall",
                "about a printer or about a part",
            )),
        }
    }
}

/// What a recall would be about.
#[derive(Serialize, ToSchema)]
#[schema(as = RecallPreview)]
pub(crate) struct PreviewOut {
    schema: u32,
    parts: Vec<PartOut>,
}

/// `POST /api/v1/region/recalls/if`.
pub(crate) async fn what_if(call: Call) -> Answer {
    let (session, books) = call.looked().await?;
    let told: RecallIn = call.json().await?;
    let target = told.target(&books)?;
    let found = affected(&session, &books, &target)?;
    let parts = found.iter();
    let out = PreviewOut {
        schema: 1,
        parts: parts
            .filter_map(|(listed, copies)| part_out(&books, listed.request.id, copies))
            .collect(),
    };
    Ok(done(StatusCode::OK, &out))
}

/// `POST /api/v1/region/recalls`.
pub(crate) async fn add(call: Call) -> Answer {
    let (key, actor) = (call.key()?, call.actor());
    let (session, books) = call.looked().await?;
    let told: RecallIn = call.json().await?;
    let target = told.target(&books)?;
    let out = match &told.out_until {
        Some(text) => Some(super::asking::time("out_until", text, session.minute())?),
        None => None,
    };
    let did = recall_and_stop(&session, &actor, (&target, out), Some(&key)).await?;
    Ok(done(StatusCode::OK, &DoneOut::from(did)))
}

/// `POST /api/v1/region/recalls/{entry}/lift`.
pub(crate) async fn lift(call: Call) -> Answer {
    let (key, actor) = (call.key()?, call.actor());
    let entry: i64 = call.number("entry")?;
    // Also with a key that is known from another: no entry has such a number.
    if entry < 1 {
        return Err(Problem::not_there());
    }
    let session = call.site.session().await?;
    let did = lift_recall(&session, &actor, entry, Some(&key)).await?;
    Ok(done(StatusCode::OK, &DoneOut::from(did)))
}

/// What a team found of the recalled copies that it has.
#[derive(Deserialize, ToSchema)]
#[schema(as = RecallAnswer)]
#[serde(deny_unknown_fields)]
pub(crate) struct AnswerIn {
    /// Whether they are good; otherwise they are made again, unless their file was replaced or they are in
    /// the wrong unit.
    good: bool,
    /// What they were checked for: `printer-drifted` or `file-replaced`. Without it, what was asked first.
    #[serde(default)]
    about: String,
}

/// `POST /api/v1/parts/{number}/recall`.
pub(crate) async fn answer(call: Call) -> Answer {
    let (key, actor) = (call.key()?, call.actor());
    let (session, _, listed) = own(&call).await?;
    let site = call.site.clone();
    let told: AnswerIn = call.json().await?;
    let id = listed.request.id;
    let work = async move {
        let said = (id, told.about.as_str(), told.good);
        answer_recall(&session, &actor, said, Some(&key)).await
    };
    let did = site.heavy(Box::pin(work)).await?;
    Ok(done(StatusCode::OK, &DoneOut::from(did)))
}
