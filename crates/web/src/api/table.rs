//! Every address of the interface: what it is for, takes and gives.

use std::future::Future;
use std::pin::Pin;

use utoipa::openapi::RefOr;
use utoipa::openapi::schema::Schema;
use utoipa::{PartialSchema, ToSchema};

use super::call::{Answer, Call};
use super::{
    asking, closures, data, doubts, host, hub, notices, otherwise, out, places, recalls, region,
    season_days, so_far, spares, team,
};

/// A type as the document describes it: its name, its schema, those that it refers to.
pub(crate) struct Described {
    pub(crate) name: String,
    pub(crate) schema: RefOr<Schema>,
    pub(crate) others: Vec<(String, RefOr<Schema>)>,
}

pub(crate) fn of<T: ToSchema + PartialSchema>() -> Described {
    let mut others = Vec::new();
    T::schemas(&mut others);
    Described {
        name: T::name().into_owned(),
        schema: T::schema(),
        others,
    }
}

/// What is sent.
pub(crate) enum Takes {
    Nothing,
    Json(fn() -> Described),
    Form(fn() -> Described),
}

/// What comes back when all is well.
pub(crate) enum Gives {
    Json(fn() -> Described),
    /// Made by it, with its address in `Location`.
    Made(fn() -> Described),
    /// Another kind of content.
    Other(&'static str),
}

/// What stands behind the question mark.
pub(crate) enum Query {
    None,
    Paging,
    Day,
    Days,
    Week,
}

impl Query {
    /// The names that may stand there.
    pub(crate) fn names(&self) -> &'static [&'static str] {
        match self {
            Self::None => &[],
            Self::Paging => &["cursor", "limit"],
            Self::Day => &["day"],
            Self::Days => &["days"],
            Self::Week => &["week"],
        }
    }
}

type Answering = Pin<Box<dyn Future<Output = Answer> + Send>>;

/// An address.
pub(crate) struct Route {
    pub(crate) method: &'static str,
    pub(crate) path: &'static str,
    /// Its name in the document.
    pub(crate) id: &'static str,
    /// Whose it mostly is.
    pub(crate) tag: &'static str,
    pub(crate) summary: &'static str,
    pub(crate) query: Query,
    /// Whether it needs an Idempotency-Key.
    pub(crate) keyed: bool,
    pub(crate) takes: Takes,
    pub(crate) gives: Gives,
    pub(crate) answer: fn(Call) -> Answering,
}

/// A question that changes nothing.
macro_rules! get {
    ($path:literal, $tag:literal, $id:literal, $summary:literal, $query:ident, $gives:expr, $answer:path) => {
        Route {
            method: "GET",
            path: $path,
            id: $id,
            tag: $tag,
            summary: $summary,
            query: Query::$query,
            keyed: false,
            takes: Takes::Nothing,
            gives: $gives,
            answer: |call| Box::pin($answer(call)),
        }
    };
}

/// A deed; with a key, sent twice, it is one.
macro_rules! post {
    ($path:literal, $tag:literal, $id:literal, $summary:literal, $keyed:literal, $takes:expr, $gives:expr, $answer:path) => {
        Route {
            method: "POST",
            path: $path,
            id: $id,
            tag: $tag,
            summary: $summary,
            query: Query::None,
            keyed: $keyed,
            takes: $takes,
            gives: $gives,
            answer: |call| Box::pin($answer(call)),
        }
    };
}

/// All of them.
#[rustfmt::skip]
pub(crate) const ROUTES: &[Route] = &[
    get!("/api/v1/me", "all", "me", "In whose name this token asks", None, Gives::Json(of::<out::MeOut>), team::me),
    get!("/api/v1/places", "all", "places", "The schools on a map, as GeoJSON", None, Gives::Other("application/geo+json"), places::places),
    get!("/api/v1/notices", "all", "notices", "What was told to the token's owner in its role, in order of number", Paging, Gives::Json(of::<notices::NoticesOut>), notices::list),
    post!("/api/v1/notices/seen", "all", "sawNotices", "Its owner has seen their notices up to a number; sent again, nothing changes", false, Takes::Json(of::<notices::SeenIn>), Gives::Json(of::<notices::UnseenOut>), notices::seen),
    get!("/api/v1/parts", "team", "parts", "Your team's parts, in order of number", Paging, Gives::Json(of::<out::PartsOut>), team::list),
    post!("/api/v1/parts", "team", "sendPart", "Send a part file: it is judged, kept, and promised if it can be", true, Takes::Form(of::<team::PartForm>), Gives::Made(of::<out::PartOut>), team::send_part),
    get!("/api/v1/parts/{number}", "team", "part", "A part with its verdict, its pledge and where it is", None, Gives::Json(of::<out::PartOut>), team::one),
    get!("/api/v1/parts/{number}/offer", "team", "offer", "What could be promised now for a part that has no pledge", None, Gives::Json(of::<out::OfferOut>), team::offer),
    post!("/api/v1/parts/{number}/take", "team", "take", "Take the pledge that could be given now", false, Takes::Nothing, Gives::Json(of::<out::PartOut>), team::take),
    get!("/api/v1/parts/{number}/otherwise", "team", "otherWays", "Quicker ways to have a part that nobody has started", None, Gives::Json(of::<otherwise::OtherWaysOut>), otherwise::look),
    post!("/api/v1/parts/{number}/otherwise", "team", "takeOtherWay", "Take one of the quicker ways: a part in its place is promised", true, Takes::Json(of::<otherwise::TakenIn>), Gives::Json(of::<out::PartOut>), otherwise::take),
    get!("/api/v1/parts/{number}/spare", "team", "spares", "What spares of a part could be had at a meeting today: one copy", None, Gives::Json(of::<spares::OffersOut>), spares::look),
    post!("/api/v1/parts/{number}/spare", "team", "askForSpare", "Ask for spares of a part at a meeting: a part of its own is promised", true, Takes::Json(of::<spares::SpareIn>), Gives::Json(of::<out::PartOut>), spares::take),
    post!("/api/v1/parts/{number}/withdraw", "team", "withdraw", "Call a part back, while nothing of it has been started", true, Takes::Nothing, Gives::Json(of::<out::PartOut>), team::withdraw),
    post!("/api/v1/parts/{number}/came", "team", "came", "We have it", true, Takes::Nothing, Gives::Json(of::<out::DoneOut>), team::came),
    post!("/api/v1/parts/{number}/box", "team", "doubtBox", "A box of it is lost, or has the wrong parts in it", true, Takes::Json(of::<doubts::DoubtIn>), Gives::Json(of::<out::DoneOut>), doubts::say),
    post!("/api/v1/parts/{number}/recall", "team", "answerRecall", "What you found of the recalled copies that you have", true, Takes::Json(of::<recalls::AnswerIn>), Gives::Json(of::<out::DoneOut>), recalls::answer),
    post!("/api/v1/parts/{number}/wrong-unit", "team", "wrongUnit", "It came out in the wrong unit: the same file is asked for in the right one", true, Takes::Json(of::<team::WrongUnitIn>), Gives::Made(of::<out::PartOut>), team::wrong_unit),
    get!("/api/v1/run-sheets/{code}", "bench", "runSheet", "A host's day at the bench", Day, Gives::Json(of::<host::RunSheetOut>), host::sheet),
    post!("/api/v1/run-sheets/{code}/deeds", "bench", "deed", "Something that was done at the bench", true, Takes::Json(of::<host::DeedIn>), Gives::Json(of::<out::DoneOut>), host::deed),
    get!("/api/v1/run-sheets/{code}/boxes", "bench", "boxes", "Boxes that are to be handed over, made at a host or going there", None, Gives::Json(of::<host::BoxesOut>), host::boxes),
    get!("/api/v1/hubs/{code}", "bench", "hub", "A bench that students run: its crew, who is there, today’s jobs", None, Gives::Json(of::<hub::HubOut>), hub::one),
    post!("/api/v1/hubs/{code}/present", "bench", "sayPresent", "Who of the crew is at the bench now", true, Takes::Json(of::<hub::PresentIn>), Gives::Json(of::<out::DoneOut>), hub::present),
    get!("/api/v1/hubs/{code}/figures", "bench", "hubFigures", "A hub’s figures of a week, and what moved them", Week, Gives::Json(of::<hub::FiguresOut>), hub::week),
    get!("/api/v1/plates", "bench", "plates", "Plates that are planned or run", Paging, Gives::Json(of::<host::PlatesOut>), host::plates),
    get!("/api/v1/plates/{seq}", "bench", "plate", "A plate", None, Gives::Json(of::<host::OnePlateOut>), host::plate),
    get!("/api/v1/plates/{seq}/plate.3mf", "bench", "plate3mf", "A plate's parts where they lie, as 3MF", None, Gives::Other("model/3mf"), host::three_mf),
    post!("/api/v1/plates/{seq}/program", "bench", "program", "The program that the printer will run for a plate", true, Takes::Form(of::<host::ProgramForm>), Gives::Json(of::<out::DoneOut>), host::program),
    get!("/api/v1/region/promises", "region", "promises", "Open promises and how they stand", Paging, Gives::Json(of::<region::PromisesOut>), region::promises),
    get!("/api/v1/region/risks", "region", "risks", "Promises at risk, and what could be done", None, Gives::Json(of::<region::RisksOut>), region::at_risk),
    get!("/api/v1/region/plan", "region", "plan", "The plan", None, Gives::Json(of::<region::PlanOut>), region::plan),
    get!("/api/v1/region/capacity", "region", "capacity", "Room in the next days", Days, Gives::Json(of::<region::CapacityOut>), region::room),
    get!("/api/v1/region/outages", "region", "outages", "Printers that can't be used now or later", None, Gives::Json(of::<region::OutagesOut>), region::outages),
    post!("/api/v1/region/outages", "region", "putOut", "A printer can't be used for a while; plates get other places", true, Takes::Json(of::<asking::OutageIn>), Gives::Json(of::<out::DoneOut>), asking::put_out),
    post!("/api/v1/region/outages/end", "region", "putBack", "A printer can be used again, sooner than was said", true, Takes::Json(of::<asking::BackIn>), Gives::Json(of::<out::DoneOut>), asking::put_back),
    get!("/api/v1/region/closures", "region", "closures", "Schools that are closed now or later", None, Gives::Json(of::<closures::ClosuresOut>), closures::list),
    post!("/api/v1/region/closures/if", "region", "ifClosed", "What closing schools would do; nothing is written", false, Takes::Json(of::<closures::ClosureIn>), Gives::Json(of::<asking::WhatIfOut>), closures::what_if),
    post!("/api/v1/region/closures", "region", "closeSchools", "Schools are closed for a while; plates get other places", true, Takes::Json(of::<closures::ClosureIn>), Gives::Json(of::<out::DoneOut>), closures::add),
    post!("/api/v1/region/closures/{entry}/lift", "region", "openSchools", "Lift a closure: its schools are open again", true, Takes::Nothing, Gives::Json(of::<out::DoneOut>), closures::open_again),
    get!("/api/v1/region/data/{table}", "region", "table", "Schools, teams, hours or printers, as CSV", None, Gives::Other("text/csv"), data::out),
    post!("/api/v1/region/data/{table}/check", "region", "checkTable", "What a table would change; nothing is written", false, Takes::Form(of::<data::TableForm>), Gives::Json(of::<data::CheckOut>), data::check),
    post!("/api/v1/region/data/{table}", "region", "putTable", "Change the region by a table, as the check showed it", true, Takes::Form(of::<data::TableForm>), Gives::Json(of::<out::DoneOut>), data::put_in),
    get!("/api/v1/region/calendar", "region", "season", "The season's days: closures, meetings, rounds, relays", None, Gives::Json(of::<season_days::SeasonOut>), season_days::season),
    get!("/api/v1/region/season", "all", "seasonSoFar", "The season so far: what was handed over, how fast, what it took", None, Gives::Json(of::<so_far::SoFarOut>), so_far::season),
    post!("/api/v1/region/if", "region", "whatIf", "What would be, if; nothing is written", false, Takes::Json(of::<asking::QuestionIn>), Gives::Json(of::<asking::WhatIfOut>), asking::what_if),
    post!("/api/v1/region/move", "region", "move", "Take the choice that a risk offers", true, Takes::Json(of::<region::MoveIn>), Gives::Json(of::<out::DoneOut>), region::decide),
    get!("/api/v1/region/boxes", "region", "doubtedBoxes", "Boxes that are said to be lost or wrong, until it is decided", None, Gives::Json(of::<doubts::DoubtsOut>), doubts::list),
    post!("/api/v1/region/boxes", "region", "decideBox", "Decide about such a box: make it again, or it is right", true, Takes::Json(of::<doubts::RulingIn>), Gives::Json(of::<out::DoneOut>), doubts::decide),
    get!("/api/v1/region/recalls", "region", "recalls", "Recalls, and what has become of each copy", None, Gives::Json(of::<recalls::RecallsOut>), recalls::list),
    post!("/api/v1/region/recalls/if", "region", "ifRecalled", "Which copies a recall would be about; nothing is written", false, Takes::Json(of::<recalls::RecallIn>), Gives::Json(of::<recalls::PreviewOut>), recalls::what_if),
    post!("/api/v1/region/recalls", "region", "recallCopies", "Recall what a printer made while it drifted, or what was made of an old file", true, Takes::Json(of::<recalls::RecallIn>), Gives::Json(of::<out::DoneOut>), recalls::add),
    post!("/api/v1/region/recalls/{entry}/lift", "region", "liftRecall", "Lift a recall: what nobody has checked is as it was", true, Takes::Nothing, Gives::Json(of::<out::DoneOut>), recalls::lift),
];
