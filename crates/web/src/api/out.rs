//! What the interface says and is told, field by field, in the words of the command line's JSON.

use partpledge_records::stored::{PledgeDocument, StoredFinding};
use partpledge_records::{KeptPlate, ListedRequest, StoredToken};
use partpledge_units::local::{Zone, rfc3339_utc};
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::Tongue;
use partpledge_workshop::books::Promised;
use partpledge_workshop::boxes::box_of;
use partpledge_workshop::{Actor, Books, Session};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::boxes::BoxOut;
use super::measured::{CriticalDimensionOut, PieceOut, dimensions_out, pieces};
use crate::words;

/// Which part of a list.
#[derive(Deserialize)]
pub(crate) struct Paging {
    /// What the list before gave as `next`.
    pub(crate) cursor: Option<String>,
    /// How many at most.
    pub(crate) limit: Option<usize>,
}

/// A time of planning in the region's own clock.
pub(crate) fn at(zone: &Zone, minute: Minute) -> String {
    zone.rfc3339(minute)
}

fn ms(zone: &Zone, at: EventMs) -> String {
    zone.rfc3339(Minute::at_or_before(at))
}

/// In whose name a token asks.
#[derive(Serialize, ToSchema)]
#[schema(as = Me)]
pub(crate) struct MeOut {
    pub(crate) schema: u32,
    /// `student`, `mentor`, `operator` or `coordinator`.
    pub(crate) role: &'static str,
    /// The team, or the code of the host; nothing for a coordinator.
    pub(crate) at: String,
    /// What its owner calls the token.
    pub(crate) token: String,
    /// It ends then.
    #[schema(format = DateTime)]
    pub(crate) ends_at: String,
}

impl MeOut {
    pub(crate) fn new(token: &StoredToken) -> Self {
        Self {
            schema: 1,
            role: token.held.kind.as_str(),
            at: token.held.scope.clone(),
            token: token.name.clone(),
            ends_at: rfc3339_utc(token.ends_at),
        }
    }
}

/// Something about a part that is wrong or risky, or was done to it.
#[derive(Serialize, ToSchema)]
#[schema(as = Finding)]
pub(crate) struct FindingOut {
    /// Stable name.
    code: String,
    /// `blocking`, `warning` or `note`.
    severity: String,
    /// Where, in the part's own mm.
    place_mm: Option<[f64; 3]>,
    /// What was measured, in `unit`.
    measured: Option<f64>,
    /// The limit, in `unit`.
    limit: Option<f64>,
    unit: String,
    why: String,
    what_to_do: String,
    /// Where the rule comes from.
    source: String,
}

impl From<StoredFinding> for FindingOut {
    fn from(found: StoredFinding) -> Self {
        Self {
            code: found.code,
            severity: found.severity,
            place_mm: found.place_mm,
            measured: found.measured,
            limit: found.limit,
            unit: found.unit,
            why: found.why.in_tongue(Tongue::English),
            what_to_do: found.what_to_do.in_tongue(Tongue::English),
            source: found.source,
        }
    }
}

/// A plate of a pledge.
#[derive(Serialize, ToSchema)]
#[schema(as = PledgedPlate)]
struct PledgedPlateOut {
    plate: u64,
    host: String,
    printer: String,
    copies: u32,
    #[schema(format = DateTime)]
    start: String,
    #[schema(format = DateTime)]
    end: String,
    #[schema(format = DateTime)]
    arrives: String,
}

/// How a box travels.
#[derive(Serialize, ToSchema)]
#[schema(as = Leg)]
struct LegOut {
    kind: String,
    from: String,
    to: String,
    #[schema(format = DateTime)]
    leaves: String,
    #[schema(format = DateTime)]
    arrives: String,
}

/// Another answer to the same question.
#[derive(Serialize, ToSchema)]
#[schema(as = Alternative)]
struct AlternativeOut {
    kind: String,
    what: String,
    #[schema(format = DateTime)]
    arrival: String,
    #[schema(minimum = 0, maximum = 1)]
    probability: f64,
}

/// A pledge, given or offered.
#[derive(Serialize, ToSchema)]
#[schema(as = Pledge)]
pub(crate) struct PledgeOut {
    /// Whether it was given; otherwise it is an offer as things stand now. Nothing is kept for anybody:
    /// others may be faster, and after `expires_at` its first plate can't start as offered any more.
    given: bool,
    /// Hand-over promised.
    #[schema(format = DateTime)]
    arrival: String,
    /// Chance of that very hand-over.
    #[schema(minimum = 0, maximum = 1)]
    probability: f64,
    /// Hand-over if nothing goes wrong.
    #[schema(format = DateTime)]
    nominal_arrival: String,
    place: String,
    plates: Vec<PledgedPlateOut>,
    legs: Vec<LegOut>,
    /// Why not earlier.
    reasons: Vec<String>,
    alternatives: Vec<AlternativeOut>,
    #[schema(format = DateTime)]
    asked_at: String,
    #[schema(format = DateTime)]
    expires_at: String,
    plan_revision: i64,
    /// `kept`, `broken`, `withdrawn` or `superseded`, once it has ended.
    ended: Option<String>,
    #[schema(format = DateTime)]
    ended_at: Option<String>,
}

impl PledgeOut {
    /// As it was given.
    fn given(zone: &Zone, promised: &Promised) -> Self {
        let end = promised.end.as_ref();
        Self {
            given: true,
            ended: end.map(|end| end.kind.as_str().to_owned()),
            ended_at: end.map(|end| ms(zone, end.recorded_at)),
            ..Self::offered(zone, &promised.document)
        }
    }

    /// As it could be given.
    pub(crate) fn offered(zone: &Zone, document: &PledgeDocument) -> Self {
        let at = |minute: i64| zone.rfc3339(Minute(minute));
        let plates = document.plates.iter().map(|p| PledgedPlateOut {
            plate: p.plate,
            host: p.host.clone(),
            printer: p.printer.clone(),
            copies: p.copies,
            start: at(p.start_min),
            end: at(p.end_min),
            arrives: at(p.arrives_min),
        });
        let legs = document.legs.iter().map(|leg| LegOut {
            kind: leg.kind.clone(),
            from: leg.from.clone(),
            to: leg.to.clone(),
            leaves: at(leg.leaves_min),
            arrives: at(leg.arrives_min),
        });
        let others = document.alternatives.iter().map(|other| AlternativeOut {
            kind: other.kind.clone(),
            what: other.what.in_tongue(Tongue::English),
            arrival: at(other.arrival_min),
            probability: other.probability,
        });
        Self {
            given: false,
            arrival: at(document.arrival_min),
            probability: document.probability,
            nominal_arrival: at(document.nominal_min),
            place: document.place.clone(),
            plates: plates.collect(),
            legs: legs.collect(),
            reasons: (document.reasons.iter())
                .map(|reason| reason.in_tongue(Tongue::English))
                .collect(),
            alternatives: others.collect(),
            asked_at: at(document.asked_min),
            expires_at: at(document.expires_min),
            plan_revision: document.plan_revision,
            ended: None,
            ended_at: None,
        }
    }
}

/// Where one copy is.
#[derive(Serialize, ToSchema)]
#[schema(as = Copy)]
struct CopyOut {
    number: i64,
    /// The plate that it is on, or was.
    plate: u64,
    /// `pledged`, `on a plate`, `running`, `inspected`, `boxed`, `handed over`, and others.
    state: &'static str,
}

/// A request in a list.
#[derive(Serialize, ToSchema)]
#[schema(as = PartRow)]
pub(crate) struct PartRow {
    pub(crate) number: i64,
    /// As people say the number: `AV-0417`.
    name: String,
    part: String,
    team: String,
    file: String,
    material: String,
    copies: i64,
    /// Where it stands.
    state: &'static str,
    #[schema(format = DateTime)]
    asked_at: String,
    #[schema(format = DateTime)]
    need_by: Option<String>,
    /// Hand-over promised, if it is.
    #[schema(format = DateTime)]
    arrival: Option<String>,
    /// How the pledge ended, if it has.
    ended: Option<String>,
}

impl PartRow {
    pub(crate) fn new(session: &Session, books: &Books, listed: &ListedRequest) -> Self {
        let zone = &session.terrain.zone;
        let request = &listed.request;
        let promised = books.pledge_of(request.id);
        let end = promised.and_then(|promised| promised.end.as_ref());
        Self {
            number: request.number,
            name: words::number(&session.terrain.file.name, request.number),
            part: listed.part.clone(),
            team: request.team.clone(),
            file: listed.file_name.clone(),
            material: request.material.clone(),
            copies: request.copies,
            state: request.state.as_str(),
            asked_at: ms(zone, request.asked_at),
            need_by: request.need_by.map(|by| ms(zone, by)),
            arrival: promised.map(|promised| at(zone, promised.pledge.arrival)),
            ended: end.map(|end| end.kind.as_str().to_owned()),
        }
    }
}

/// A team's requests, in order of number.
#[derive(Serialize, ToSchema)]
#[schema(as = Parts)]
pub(crate) struct PartsOut {
    pub(crate) schema: u32,
    pub(crate) items: Vec<PartRow>,
    /// The cursor of what comes after; nothing at the end.
    pub(crate) next: Option<String>,
}

/// Why there is no pledge.
#[derive(Serialize, ToSchema)]
#[schema(as = NoPledge)]
pub(crate) struct NoPledgeOut {
    pub(crate) code: String,
    pub(crate) message: String,
    pub(crate) what_to_do: String,
}

/// A request with its verdict, its pledge and where it is.
#[derive(Serialize, ToSchema)]
#[schema(as = Part)]
pub(crate) struct PartOut {
    schema: u32,
    #[serde(flatten)]
    row: PartRow,
    /// The number of the request whose place it takes.
    replaces: Option<i64>,
    #[schema(format = DateTime)]
    first_answer_at: Option<String>,
    /// The verdict: what is wrong or risky, or was mended.
    findings: Vec<FindingOut>,
    pledge: Option<PledgeOut>,
    no_pledge: Option<NoPledgeOut>,
    /// Where it is, copy by copy.
    copies_now: Vec<CopyOut>,
    /// Sizes that must be right, measured on each copy.
    critical_dimensions: Vec<CriticalDimensionOut>,
    /// What was measured of them, piece by piece.
    pieces: Vec<PieceOut>,
    /// Boxes of it; their codes are only for the team.
    boxes: Vec<BoxOut>,
    /// Whether it can still be called back.
    may_withdraw: bool,
}

impl PartOut {
    pub(crate) fn new(
        session: &Session,
        books: &Books,
        listed: &ListedRequest,
        findings: Vec<StoredFinding>,
        no_pledge: Option<NoPledgeOut>,
    ) -> Self {
        let zone = &session.terrain.zone;
        let request = &listed.request;
        let promised = books.pledge_of(request.id);
        let replaced = request.replaces.and_then(|id| books.request(id));
        let copies = books.copies(request.id).iter().map(|copy| CopyOut {
            number: copy.number,
            plate: copy.plate,
            state: copy.state.as_str(),
        });
        Self {
            schema: 1,
            row: PartRow::new(session, books, listed),
            replaces: replaced.map(|old| old.request.number),
            first_answer_at: request.first_answer_at.map(|at| ms(zone, at)),
            findings: findings.into_iter().map(FindingOut::from).collect(),
            pledge: promised.map(|promised| PledgeOut::given(zone, promised)),
            no_pledge,
            copies_now: copies.collect(),
            critical_dimensions: dimensions_out(books.dimensions(request.id)),
            pieces: pieces(books, listed),
            boxes: Vec::new(),
            may_withdraw: books.may_withdraw(request.id),
        }
    }
}

impl PartOut {
    /// With its boxes, as somebody may see them.
    pub(crate) fn with_boxes(
        self,
        (session, books): (&Session, &Books),
        listed: &ListedRequest,
        actor: &Actor,
    ) -> Self {
        let zone = &session.terrain.zone;
        let one = |kept: &KeptPlate| {
            let line = box_of(session, books, kept)?;
            Some(
                BoxOut::new(zone, &line)
                    .with_doubt(books)
                    .with_code(books.box_code(actor, kept)),
            )
        };
        let boxes = books.plates_of(listed.request.id).filter_map(one);
        Self {
            boxes: boxes.collect(),
            ..self
        }
    }
}

/// What could be promised now for a part that has no pledge.
#[derive(Serialize, ToSchema)]
#[schema(as = Offer)]
pub(crate) struct OfferOut {
    pub(crate) schema: u32,
    pub(crate) offer: PledgeOut,
}

/// What a deed came to.
#[derive(Serialize, ToSchema)]
#[schema(as = Done)]
pub(crate) struct DoneOut {
    pub(crate) schema: u32,
    /// Whether it was done before, under the same key.
    pub(crate) before: bool,
    /// Plates that were given another place.
    pub(crate) moved: Vec<u64>,
    /// Plates that will come later than promised.
    pub(crate) late: Vec<u64>,
}

impl From<partpledge_workshop::bench::Done> for DoneOut {
    fn from(done: partpledge_workshop::bench::Done) -> Self {
        Self {
            schema: 1,
            before: done.before,
            moved: done.moved.iter().map(|seq| seq.0).collect(),
            late: done.late.iter().map(|seq| seq.0).collect(),
        }
    }
}
