//! A team sends a part: judged, kept, and promised if it can be.

mod choosing;
mod on_record;
pub mod spares;

use bytes::Bytes;
use partpledge_formats::Limits;
use partpledge_records::stored::StoredProcess;
use partpledge_records::{
    BlobHash, Deed, ListedRequest, NewNote, NewRequest, NoteKind, PledgeEnd, State, StoreError,
    StoredRequest,
};
use partpledge_units::ids::{IdSource, RequestId};
use partpledge_units::length::LengthUnit;
use partpledge_units::time::Minute;

use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::estimating::{Process, lay};
use crate::intake::{IntakeOptions, JudgedFile, JudgedPart, Orient, Stands, judge_file};
use crate::keeping::{Original, keep};
use crate::measuring::{self, CriticalDimension};
use crate::plate_room::laid_file;
use crate::pledging::{Request, ask, give_received, instead};
use crate::review::{Statement, clean, guess, limits};
use crate::session::Session;
use crate::shelf::LaidFile;

pub use choosing::{Choices, Chosen, choices, choose, may_choose};
pub use on_record::OnRecord;
use on_record::copies;

/// Most copies that may be asked for at once.
pub const MOST_COPIES: u32 = 100;
/// Longest name of a part, in characters.
const LONGEST_NAME: usize = 60;
/// Tries when the same team sends at the same moment.
const TRIES: u32 = 20;
/// Seed of the worlds of every pledge that is asked for on a page: the same question on the same
/// plan has the same answer.
const SEED: u64 = 1;

/// What a team sends.
#[derive(Clone, Debug)]
pub struct Sent<'a> {
    /// The file.
    pub bytes: Bytes,
    /// Its name.
    pub file_name: &'a str,
    /// The team.
    pub team: &'a str,
    /// What the part is called; its file's name without ending when nothing is said.
    pub part: Option<&'a str>,
    /// Copies wanted.
    pub copies: u32,
    /// Material code.
    pub material: &'a str,
    /// When the team would like it.
    pub need_by: Option<Minute>,
    /// The unit, if the team says so.
    pub unit: Option<LengthUnit>,
    /// The request whose place it takes: the same part, changed.
    pub replaces: Option<&'a ListedRequest>,
    /// Why the team may have it made; `None` where nobody was asked.
    pub statement: Option<&'a Statement>,
    /// Sizes that must be right; `None` for those of the request whose place it takes, if it takes one.
    pub dimensions: Option<&'a [CriticalDimension]>,
    /// Whether the team knows that it has sent the very same a short while ago.
    pub again: bool,
    /// A mentor's reason for going beyond the region's limits.
    pub over_limit: Option<&'a str>,
    /// The sender's key: sent twice, it is one request.
    pub key: &'a str,
}

/// A request received, with what happened next.
#[derive(Debug)]
pub struct Received {
    /// The request.
    pub request: StoredRequest,
    /// Why there is no pledge, if the part could be printed and yet none was given; nothing for one
    /// that is held for review.
    pub no_pledge: Option<WorkshopError>,
}

/// A part whose file has no name that can be used. It is kept, and compared: the same for everybody.
const UNNAMED: &str = "part";

/// A part file's name made into the name of a part: no ending, no underscores, not too long.
///
/// ```
/// assert_eq!(partpledge_workshop::sending::part_name("C:\\stuff\\float_arm.v2.stl"), "float arm.v2");
/// assert_eq!(partpledge_workshop::sending::part_name(".stl"), "part");
/// let long = format!("{}.stl", "bracket_".repeat(9));
/// assert!(partpledge_workshop::sending::part_name(&long).ends_with("bracket bra…"));
/// ```
#[must_use]
pub fn part_name(file_name: &str) -> String {
    let base = file_name.rsplit(['/', '\\']).next().unwrap_or(file_name);
    let stem = base.rsplit_once('.').map_or(base, |(stem, _)| stem);
    let clean = |c: char| {
        if c == '_' || c == '-' || c.is_control() {
            ' '
        } else {
            c
        }
    };
    let words: String = stem.chars().map(clean).collect();
    let name: String = words.split_whitespace().collect::<Vec<_>>().join(" ");
    let short: String = name.chars().take(LONGEST_NAME).collect();
    if short.trim().is_empty() {
        UNNAMED.to_owned()
    } else if short.len() < name.len() {
        // It is seen that more followed.
        let cut: String = name.chars().take(LONGEST_NAME - 1).collect();
        format!("{}…", cut.trim())
    } else {
        short.trim().to_owned()
    }
}

/// Judges a file for a material as a server may.
///
/// # Errors
/// [`WorkshopError::Read`], [`WorkshopError::UnitConflict`].
pub fn judged(
    session: &Session,
    (bytes, file_name): (&[u8], &str),
    unit: Option<LengthUnit>,
    (process, stands): (&Process, &Stands),
) -> Result<JudgedFile, WorkshopError> {
    let beds = session.beds();
    let options = IntakeOptions {
        unit,
        stands,
        sheet: &process.sheet,
        material: &process.material,
        beds: &beds,
        limits: Limits::server(),
    };
    judge_file(bytes, file_name, &options)
}

/// Receives a part: the file is judged and kept, the request written down, and a pledge given if
/// the part can be printed, nobody has to look at it first and a day can be promised. Everything acknowledged is on disk.
///
/// A request whose place it takes ends, and so do those whose place that one took: called back if
/// they had no pledge or have not been started; what runs already is left to run.
///
/// # Errors
/// [`WorkshopError::NotYours`], [`WorkshopError::NotAllowed`] for another team's;
/// [`WorkshopError::SentBefore`], [`WorkshopError::OverLimit`], [`WorkshopError::TakenDown`],
/// [`WorkshopError::BadDimension`];
/// [`WorkshopError::Contended`]; [`WorkshopError::Read`] and others for a file that can't be read at all: nothing is kept then.
pub async fn send(
    session: &Session,
    actor: &Actor,
    sent: &Sent<'_>,
) -> Result<Received, WorkshopError> {
    actor.must_be_of(sent.team)?;
    if let Some(old) = sent.replaces {
        actor.must_be_of(&old.request.team)?;
    }
    session.terrain.place_of(sent.team)?;
    let blob = BlobHash::of(&sent.bytes);
    let looked = look(session, actor, sent, &blob).await?;
    let process = Process::choose(&session.catalogue, Some(sent.material), None, None)?;
    let how = (&process, &Stands::decide(Orient::Best));
    let judged = judged(session, (&sent.bytes, sent.file_name), sent.unit, how)?;
    let dimensions = dimensions(&looked.books, sent);
    measuring::check(&dimensions, &judged)?;
    let part = called(sent);
    let printable = judged.parts.iter().all(|p| p.printable().is_ok());
    let held = if printable {
        held(session, &looked.books, (sent, &part), (&judged, &blob))
    } else {
        None
    };
    let mut ids = IdSource::Os;
    let original = Original::of(sent.bytes.clone(), sent.file_name, &judged)?;
    let version = keep(session, (sent.team, &part), &original, &mut ids).await?;
    let standing = judged.parts.iter().map(JudgedPart::decided).collect();
    let is_held = held.is_some();
    let new = NewRequest {
        team: sent.team.to_owned(),
        version,
        material: sent.material.to_owned(),
        copies: sent.copies,
        need_by: sent.need_by.map(Minute::to_ms),
        process: process.stored(Orient::Best, standing).to_text()?,
        printable,
        held: is_held,
        notes: (sent.statement.map(Statement::note).into_iter())
            .chain(held)
            .collect(),
        dimensions,
        replaces: sent.replaces.map(|old| old.request.id),
        counted_to: None,
    };
    let request = receive(session, actor, (sent, &blob), looked, new).await?;
    let mut no_pledge = None;
    if printable && request.state != State::HeldForReview {
        let given = promise(session, actor, (&request, &part), &judged, &process).await;
        no_pledge = given.err();
    }
    // Sent again, it ends what is still to end: the first time may have broken off before this.
    if no_pledge.is_none() {
        replace(session, actor, &request, printable && !is_held).await?;
    }
    Ok(Received { request, no_pledge })
}

/// Writes a request down. If the team has sent another while the file was judged, what it has open is
/// counted again first, so that two at the same moment are not both the last one allowed.
async fn receive(
    session: &Session,
    actor: &Actor,
    (sent, blob): (&Sent<'_>, &BlobHash),
    mut looked: Looked,
    mut new: NewRequest,
) -> Result<StoredRequest, WorkshopError> {
    let (store, region) = session.writable()?;
    let deed = Deed {
        actor: actor.reference(),
        occurred_at: session.now,
        received_at: session.now,
        idempotency_key: Some(sent.key.to_owned()),
    };
    let reason = clean(sent.over_limit.unwrap_or_default());
    let over = NewNote::new(NoteKind::OverLimit, "", &reason);
    for _ in 0..TRIES {
        new.counted_to = looked.counted_to;
        new.notes.retain(|note| *note != over);
        // After what the sender stated.
        let at = usize::from(sent.statement.is_some());
        new.notes.splice(at..at, looked.over.then(|| over.clone()));
        let received = store.receive(region, &new, &deed, &mut IdSource::Os).await;
        match received {
            Ok((request, _)) => return Ok(request),
            Err(StoreError::RequestsMoved { .. }) => {
                looked = look(session, actor, sent, blob).await?;
            }
            Err(error) => return Err(error.into()),
        }
    }
    Err(WorkshopError::Contended(TRIES))
}

/// The critical dimensions that it is to have: as told, or those of the request whose place it takes.
fn dimensions(books: &Books, sent: &Sent<'_>) -> Vec<CriticalDimension> {
    match (sent.dimensions, sent.replaces) {
        (Some(told), _) => told.to_vec(),
        (None, Some(old)) => books.dimensions(old.request.id).to_vec(),
        (None, None) => Vec::new(),
    }
}

/// What the part is called.
fn called(sent: &Sent<'_>) -> String {
    match (sent.replaces, sent.part.map(str::trim)) {
        (Some(old), _) => old.part.clone(),
        (None, Some(name)) if !name.is_empty() => part_name(&format!("{name}.")),
        (None, _) => part_name(sent.file_name),
    }
}

/// What was found in the books before a file is taken.
struct Looked {
    books: Books,
    /// Whether it goes beyond the region's limits, with a mentor's reason.
    over: bool,
    /// The team's last request that was counted; `None` when nothing was.
    counted_to: Option<i64>,
}

/// A file that was not taken down with a request of the team.
///
/// # Errors
/// [`WorkshopError::TakenDown`].
pub(crate) fn not_down(books: &Books, team: &str, blob: &BlobHash) -> Result<(), WorkshopError> {
    match books.file_down(team, blob) {
        Some(listed) => Err(WorkshopError::TakenDown {
            number: listed.request.number,
        }),
        None => Ok(()),
    }
}

/// Looks at the books before a file is taken. What was sent before under its key was looked at then.
async fn look(
    session: &Session,
    actor: &Actor,
    sent: &Sent<'_>,
    blob: &BlobHash,
) -> Result<Looked, WorkshopError> {
    if sent.copies == 0 || sent.copies > MOST_COPIES {
        let range = "from 1 to 100";
        return Err(WorkshopError::OutOfRange {
            what: "copies",
            range,
        });
    }
    let (store, region) = session.writable()?;
    let books = Books::open(session).await?;
    if store.request_of_key(region, sent.key).await?.is_some() {
        return Ok(Looked {
            books,
            over: false,
            counted_to: None,
        });
    }
    not_down(&books, sent.team, blob)?;
    if !sent.again && sent.replaces.is_none() {
        let (whose, what) = ((sent.team, blob, sent.unit), (sent.material, sent.copies));
        if let Some(number) = limits::same_again(session, &books, whose, what).await? {
            return Err(WorkshopError::SentBefore { number });
        }
    }
    let asked = (sent.team, sent.copies, sent.replaces);
    let over = limits::within(session, (&books, actor), asked, sent.over_limit)?;
    let counted_to = Some(limits::counted_to(&books, sent.team));
    Ok(Looked {
        books,
        over,
        counted_to,
    })
}

/// The note with which a request is held, if the region wants to look at it first.
fn held(
    session: &Session,
    books: &Books,
    (sent, part): (&Sent<'_>, &str),
    (judged, blob): (&JudgedFile, &BlobHash),
) -> Option<NewNote> {
    let sides = judged.parts.iter().filter_map(|part| part.mesh.bounds());
    let sides = sides.flat_map(|(low, high)| [0, 1, 2].map(|axis| high[axis] - low[axis]));
    let seen = guess::Seen {
        file_name: sent.file_name,
        part,
        team: sent.team,
        copies: sent.copies,
        longest_mm: sides.fold(0.0, f64::max),
    };
    let before = guess::refused_before(books, (sent.team, part), blob);
    guess::held(&session.terrain.file, &seen, before)
}

/// Gives the pledge of a request that was received before; those whose place it takes end.
pub(crate) async fn give_passed(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
) -> Result<(), WorkshopError> {
    let laid = laid_file(session, &listed.request).await?;
    let request = asked_of(listed, &laid);
    give_received(session, actor, &request, &listed.request).await?;
    replace(session, actor, &listed.request, true).await
}

/// Asks for the very same again, from the file that is on record.
///
/// # Errors
/// As [`send`].
pub async fn send_again(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
    key: &str,
) -> Result<Received, WorkshopError> {
    actor.must_be_of(&listed.request.team)?;
    let books = Books::open(session).await?;
    let record = OnRecord::open(session, &books, listed).await?;
    Box::pin(send(session, actor, &record.sent(key))).await
}

/// Gives the pledge of a request that was received.
async fn promise(
    session: &Session,
    actor: &Actor,
    (request, part): (&StoredRequest, &str),
    judged: &JudgedFile,
    process: &Process,
) -> Result<(), WorkshopError> {
    let laid = judged
        .parts
        .iter()
        .map(|part| lay(part, &process.sheet))
        .collect::<Result<Vec<_>, _>>()?;
    let asked = asked(request, part, &laid, process, Orient::Best);
    give_received(session, actor, &asked, request).await?;
    Ok(())
}

fn asked<'a>(
    request: &'a StoredRequest,
    part: &'a str,
    laid: &'a [crate::estimating::LaidPart],
    process: &'a Process,
    orient: Orient,
) -> Request<'a> {
    Request {
        parts: laid,
        copies: copies(request),
        process,
        team: &request.team,
        part,
        need_by: request.need_by.map(Minute::at_or_after),
        seed: SEED,
        orient,
        fetch_at: request.process.as_deref().and_then(fetched_at),
        no_later: None,
    }
}

/// What is asked of the planner for a request on record.
fn asked_of<'a>(listed: &'a ListedRequest, laid: &'a LaidFile) -> Request<'a> {
    let (request, part) = (&listed.request, &listed.part);
    asked(request, part, &laid.parts, &laid.process, laid.orient)
}

/// Code of the school at which a team fetches its part, if a stored process says so.
fn fetched_at(process: &str) -> Option<String> {
    StoredProcess::from_text(process).ok()?.fetch_at
}

/// Old requests make room for the changed one: the one it was sent for, and all before that, since one
/// in between may have been held or without a day and left an older one its promise.
async fn replace(
    session: &Session,
    actor: &Actor,
    request: &StoredRequest,
    in_its_place: bool,
) -> Result<(), WorkshopError> {
    if request.replaces.is_none() {
        return Ok(());
    }
    let books = Books::open(session).await?;
    for old in books.replaced_by(request) {
        // A changed file that can't be printed, or is looked at first, does not cost the team the
        // pledge that it has.
        let stays = !in_its_place && books.pledge_of(old).is_some();
        if !books.may_withdraw(old) || stays {
            continue;
        }
        ended_or_begun(session, actor, old, PledgeEnd::Superseded).await?;
    }
    Ok(())
}

/// Makes good what a server that was stopped left between two promises: else both would be made. What a
/// promised request was to take the place of ends; what a team has chosen in the place of one that somebody
/// started meanwhile is called back. How many have ended.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the server itself; as
/// [`end_request`](crate::bench::end_request), of the first that could not be ended, when all were tried.
pub async fn make_room(session: &Session, actor: &Actor) -> Result<usize, WorkshopError> {
    actor.must_be_the_clock()?;
    let books = Books::open(session).await?;
    let open = |id| {
        books
            .pledge_of(id)
            .is_some_and(|promised| promised.end.is_none())
    };
    let (mut ended, mut failed) = (0, None);
    for listed in &books.requests {
        let request = &listed.request;
        let Some(old) = request.replaces.filter(|_| open(request.id)) else {
            continue;
        };
        let before = books.replaced_by(request).into_iter();
        let stands = before.filter(|old| books.may_withdraw(*old)).count();
        let done = if stands > 0 {
            replace(session, actor, request, true)
                .await
                .map(|()| stands)
        } else if open(old) {
            call_back(session, actor, &books, (request.id, old)).await
        } else {
            continue;
        };
        match done {
            Ok(many) => ended += many,
            Err(error) => failed = failed.or(Some(error)),
        }
    }
    failed.map_or(Ok(ended), Err)
}

/// Ends a request, unless somebody ended or started it since we looked: it is as if they had before.
async fn ended_or_begun(
    session: &Session,
    actor: &Actor,
    request: RequestId,
    end: PledgeEnd,
) -> Result<(), WorkshopError> {
    match crate::bench::end(session, actor, request, end, None).await {
        Err(WorkshopError::Store(StoreError::NoSuchStep { .. })) => Ok(()),
        other => other,
    }
}

/// Calls back what was chosen in the place of a request that was started before it could end. A changed
/// file for one that is being made stays: its team wants both.
async fn call_back(
    session: &Session,
    actor: &Actor,
    books: &Books,
    (new, old): (RequestId, RequestId),
) -> Result<usize, WorkshopError> {
    let made = choosing::made_instead_of(session, old).await?;
    if made.first().is_none_or(|first| first.id != new) || !books.may_withdraw(new) {
        return Ok(0);
    }
    for made in &made {
        ended_or_begun(session, actor, made.id, PledgeEnd::Withdrawn).await?;
    }
    Ok(made.len())
}

/// A request that waits for a promise and nothing else.
///
/// # Errors
/// [`WorkshopError::Store`] for one that is held, refused, called back or promised.
fn must_wait(request: &StoredRequest) -> Result<(), WorkshopError> {
    let (from, to) = (request.state, State::Pledged);
    if from == State::Ready {
        Ok(())
    } else {
        Err(StoreError::NoSuchStep { from, to }.into())
    }
}

/// Asks again for a request that could be printed and has no pledge: what could be promised now.
/// Nothing is written.
///
/// # Errors
/// [`WorkshopError::Store`] for one that does not wait for a promise; as [`ask`].
pub async fn offer(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
) -> Result<partpledge_records::stored::PledgeDocument, WorkshopError> {
    actor.must_see_part_of(&listed.request.team)?;
    must_wait(&listed.request)?;
    let laid = laid_file(session, &listed.request).await?;
    let request = asked_of(listed, &laid);
    ask(session, actor, &request).await
}

/// What could be had instead when nothing can be offered for a request: see
/// [`instead`]. Nothing is written.
///
/// # Errors
/// As [`instead`].
pub async fn offer_instead(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
) -> Result<Vec<partpledge_records::stored::PledgedAlternative>, WorkshopError> {
    actor.must_see_part_of(&listed.request.team)?;
    let laid = laid_file(session, &listed.request).await?;
    let request = asked_of(listed, &laid);
    instead(session, actor, &request, None).await
}

/// Takes what [`offer`] offers, if it is still to be had; those whose place the request takes end then,
/// as when it is promised at once. Taken twice, it is one promise.
///
/// # Errors
/// [`WorkshopError::TakenDown`]; [`WorkshopError::OverLimit`] when the team has more open by now than
/// the region lets it; [`WorkshopError::Store`] for one that does not wait for a promise; as
/// [`give_received`].
pub async fn take_offer(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
) -> Result<(), WorkshopError> {
    actor.must_be_of(&listed.request.team)?;
    let books = Books::open(session).await?;
    not_down(&books, &listed.request.team, &listed.blob)?;
    let now = books.request(listed.request.id).unwrap_or(listed);
    let promised = books.pledge_of(now.request.id);
    if promised.is_some_and(|promised| promised.end.is_none()) {
        return replace(session, actor, &now.request, true).await;
    }
    must_wait(&now.request)?;
    limits::still_within(session, &books, now)?;
    give_passed(session, actor, now).await
}
