//! `pledge`: when and where, and how sure; with `--give`, on record.

use std::path::Path;

use bytes::Bytes;
use partpledge_records::stored::{PledgeDocument, PledgedAlternative};
use partpledge_units::chance::in_ten;
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{Minute, Minutes};
use partpledge_workshop::estimating::LaidPart;
use partpledge_workshop::keeping::Original;
use partpledge_workshop::pledging::{Request, ask, give, instead};
use partpledge_workshop::{Actor, Session, WorkshopError};

use crate::args::{Args, PartArgs};
use crate::{clock, output, wire};

use super::walk::{self, Walked};
use super::{doubts, file_name, look, next, open, read_bytes};

/// What `pledge` was asked.
pub(crate) struct PledgeArgs<'a> {
    pub(crate) file: &'a Path,
    pub(crate) team: Option<&'a str>,
    pub(crate) give: bool,
    pub(crate) need_by: Option<&'a str>,
    pub(crate) idempotency_key: Option<&'a str>,
    pub(crate) part: &'a PartArgs,
}

pub(crate) async fn run(args: &Args, asked: &PledgeArgs<'_>) -> anyhow::Result<u8> {
    let json = asked.part.json;
    let file = asked.file.display().to_string();
    still_to_come(args, asked).await?;
    match answer(args, asked).await {
        Ok((document, session)) => {
            let zone = &session.terrain.zone;
            if json {
                output::say_json(vec![wire::pledge(&document, zone, asked.give)]);
            } else {
                output::say(&ticket(&document, &session, asked.give));
            }
            if asked.give && !output::heard() {
                output::warn(&unheard(args, asked, &document));
            }
            Ok(output::FINE)
        }
        Err(NotNow { error, member, .. }) if error.is_bad_input() => {
            let file = member.map_or_else(|| file.clone(), |member| format!("{file}: {member}"));
            if json {
                output::say_json(vec![output::error_json(Some(&file), &error)]);
            } else {
                output::say(&output::error_text(Some(&file), &error));
            }
            Ok(output::BAD_INPUT)
        }
        Err(NotNow { error, instead, .. }) => {
            if json {
                let session = look(args).await?;
                let asked_at = session.terrain.zone.rfc3339(session.minute());
                output::say_json(vec![wire::no_pledge(
                    &file,
                    &error,
                    (&instead, &session.terrain.zone),
                    &asked_at,
                )]);
            } else {
                output::say(&format!(
                    "No pledge yet. {}",
                    output::error_text(Some(&file), &error)
                ));
                let session = look(args).await?;
                say_instead(&instead, &session);
            }
            Ok(output::NOT_POSSIBLE)
        }
    }
}

/// Whether the time that the team would like it by is one that can be met; or it was promised under this key
/// while it could, and is only told again.
async fn still_to_come(args: &Args, asked: &PledgeArgs<'_>) -> anyhow::Result<()> {
    // What is no time is told with the file.
    if let Some(text) = asked.need_by
        && let Ok(at) = parse_rfc3339(text)
        && Minute::at_or_after(at) <= Minute::at_or_after(clock::now(args.at.as_deref())?)
        && !was_given(args, asked).await?
    {
        anyhow::bail!("--need-by {text} is over; give a time that is still to come");
    }
    Ok(())
}

/// Whether something was given under that key.
async fn was_given(args: &Args, asked: &PledgeArgs<'_>) -> Result<bool, WorkshopError> {
    let Some(key) = asked.idempotency_key.filter(|_| asked.give) else {
        return Ok(false);
    };
    if !Session::is_in(&args.data).await? {
        return Ok(false);
    }
    let session = look(args).await?;
    let Some((store, region)) = session.store() else {
        return Ok(false);
    };
    Ok(store.pledge_of_key(region, key).await?.is_some())
}

/// The promise is recorded and its ticket went nowhere: how to see it.
fn unheard(args: &Args, asked: &PledgeArgs<'_>, document: &PledgeDocument) -> String {
    let (copies, part, team) = (document.copies, &document.part, &document.team);
    let again = if asked.idempotency_key.is_some() {
        "the same call with the same key tells it again and promises nothing twice"
    } else {
        "the same call would promise it a second time"
    };
    format!(
        "The promise of {copies} x {part} for {team} is recorded, but its ticket could not be written.\n  \
         See it among the parts of {team} with `{}`; {again}.",
        next(args, "serve")
    )
}

fn say_instead(instead: &[PledgedAlternative], session: &Session) {
    for other in instead {
        let at = session.terrain.zone.short(Minute(other.arrival_min));
        let in_ten = in_ten(other.probability);
        output::say(&format!("  or: {}: {at} ({in_ten} in 10)", other.what));
    }
}

/// No answer, and what could be had if something was changed.
struct NotNow {
    error: WorkshopError,
    /// The member of a zip that it is about.
    member: Option<String>,
    instead: Vec<PledgedAlternative>,
}

impl<E: Into<WorkshopError>> From<E> for NotNow {
    fn from(error: E) -> Self {
        Self {
            error: error.into(),
            member: None,
            instead: Vec::new(),
        }
    }
}

async fn answer(args: &Args, asked: &PledgeArgs<'_>) -> Result<(PledgeDocument, Session), NotNow> {
    // The file comes first: a bad one must leave nothing behind, not even an empty folder.
    let bytes = read_bytes(asked.file)?;
    let need_by = asked
        .need_by
        .map(parse_rfc3339)
        .transpose()?
        .map(Minute::at_or_after);
    let session = look(args).await?;
    let walked = walk::judge_bytes(&session, bytes, &file_name(asked.file), asked.part)?;
    doubts::whole(&walked.judged).map_err(|(member, error)| NotNow {
        error,
        member: Some(member),
        instead: Vec::new(),
    })?;
    walked
        .judged
        .parts
        .iter()
        .try_for_each(partpledge_workshop::intake::JudgedPart::printable)?;
    let laid = walk::lay_all(&walked)?;
    let session = if asked.give {
        open(args).await?
    } else {
        session
    };
    match pledge(&session, &walked, &laid, asked, need_by).await {
        Ok(document) => Ok((document, session)),
        Err(error @ WorkshopError::NoQuote(_)) => {
            let stem = stem(asked.file);
            let request = request((&session, &stem), &walked, &laid, asked, need_by);
            let instead = instead(&session, &Actor::at_the_machine(), &request, None).await;
            let instead = instead.unwrap_or_default();
            Err(NotNow {
                error,
                member: None,
                instead,
            })
        }
        Err(error) => Err(error.into()),
    }
}

/// Quotes or gives, once the file is judged and laid down.
pub(crate) async fn pledge(
    session: &Session,
    walked: &Walked,
    laid: &[LaidPart],
    asked: &PledgeArgs<'_>,
    need_by: Option<Minute>,
) -> Result<PledgeDocument, WorkshopError> {
    let file_name = file_name(asked.file);
    let stem = stem(asked.file);
    let request = request((session, &stem), walked, laid, asked, need_by);
    let actor = Actor::at_the_machine();
    if !asked.give {
        return ask(session, &actor, &request).await;
    }
    let bytes = Bytes::from(walked.bytes.clone());
    let original = Original::of(bytes, &file_name, &walked.judged)?;
    give(session, &actor, &request, &original, asked.idempotency_key).await
}

/// The file's name without its ending.
fn stem(file: &Path) -> String {
    let stem = file.file_stem().map(|s| s.to_string_lossy().into_owned());
    stem.unwrap_or_default()
}

fn request<'a>(
    (session, part): (&'a Session, &'a str),
    walked: &'a Walked,
    laid: &'a [LaidPart],
    asked: &'a PledgeArgs<'_>,
    need_by: Option<Minute>,
) -> Request<'a> {
    let first = session.terrain.file.teams.first();
    Request {
        parts: laid,
        copies: asked.part.copies,
        process: &walked.process,
        team: asked
            .team
            .unwrap_or(first.map_or("", |team| team.name.as_str())),
        part,
        need_by,
        seed: asked.part.seed,
        orient: asked.part.orient.orient(),
        fetch_at: None,
        no_later: None,
    }
}

/// `1 copy`, `3 copies`.
fn copies(n: u32) -> String {
    if n == 1 {
        "1 copy".to_owned()
    } else {
        format!("{n} copies")
    }
}

/// The ticket for people.
pub(crate) fn ticket(document: &PledgeDocument, session: &Session, given: bool) -> String {
    let zone = &session.terrain.zone;
    let at = |minute: i64| zone.short(Minute(minute));
    let arrival = Minute(document.arrival_min);
    let head = if given {
        "Pledge given"
    } else {
        "We could promise"
    };
    let mut out = format!(
        "{head}: {} by {}, {}\n  {} in 10 ({:.1} %) it is there by then. {} x {}, {}, for {}.",
        zone.day(arrival),
        zone.clock(arrival),
        document.place,
        in_ten(document.probability),
        document.probability * 100.0,
        document.copies,
        document.part,
        document.material,
        document.team,
    );
    for plate in &document.plates {
        out.push_str(&format!(
            "\n  plate {}: {} on {} at {}, {} to {}",
            plate.plate,
            copies(plate.copies),
            plate.printer,
            plate.host,
            at(plate.start_min),
            at(plate.end_min)
        ));
        if let Some((middle, high)) = plate.takes_min {
            let (middle, high) = (Minutes(middle), Minutes(high));
            out.push_str(&format!("; takes {middle}, 9 in 10 under {high}"));
        }
    }
    for leg in &document.legs {
        out.push_str(&format!(
            "\n  {} from {} on {}, at {} on {}",
            leg.kind,
            leg.from,
            at(leg.leaves_min),
            leg.to,
            at(leg.arrives_min)
        ));
    }
    for reason in &document.reasons {
        out.push_str(&format!("\n  why not earlier: {reason}"));
    }
    for other in &document.alternatives {
        out.push_str(&format!(
            "\n  or: {}: {} ({} in 10)",
            other.what,
            at(other.arrival_min),
            in_ten(other.probability)
        ));
    }
    if !given {
        out.push_str(&format!(
            "\n  As things stand now, if it is given by {}. No time is kept for it, and nothing is recorded.",
            at(document.expires_min)
        ));
    }
    out
}
