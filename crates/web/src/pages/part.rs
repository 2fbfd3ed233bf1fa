//! The page of a request: verdict, ticket, findings on a drawing, what else is possible.

use askama::Template;
use partpledge_drawing::View;
use partpledge_records::stored::{PledgeDocument, StoredFinding, StoredRepairs};
use partpledge_records::{ListedRequest, PledgeKind, State};
use partpledge_units::time::Minute;
use partpledge_workshop::risks::Outcome;
use partpledge_workshop::shelf::OpenedFile;
use partpledge_workshop::{Books, Session};

use crate::figures::part::{CallOut, Kind, Mark, call_outs, standing_point, view};
use crate::pages::ticket::{Stage, Ticket, leg, stage, ticket};
use crate::pages::verdict::verdict;
use crate::who::Head;
use crate::words;

/// Most parts of one file that are drawn large.
const MOST_DRAWN: usize = 6;
/// Most numbers on one drawing.
const MOST_NUMBERED: usize = 12;

/// A finding in the list.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Found {
    pub(crate) n: usize,
    pub(crate) kind: Kind,
    pub(crate) heading: String,
    pub(crate) measured: Option<String>,
    pub(crate) limit: Option<String>,
    pub(crate) why: String,
    pub(crate) what_to_do: String,
    pub(crate) source: String,
}

/// A part with its drawing.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Drawn {
    pub(crate) k: usize,
    pub(crate) name: String,
    pub(crate) picture: String,
    pub(crate) alt: String,
    pub(crate) size: String,
    pub(crate) standing: String,
    pub(crate) calls: Vec<CallOut>,
    pub(crate) turn: Option<String>,
}

/// Everything found about a file, numbered through.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Judgement {
    pub(crate) found: Vec<Found>,
    pub(crate) drawn: Vec<Drawn>,
    /// Parts that are not drawn large.
    pub(crate) more_parts: usize,
}

/// A choice that was offered, in a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Other {
    pub(crate) what: String,
    pub(crate) when: String,
    pub(crate) in_ten: i64,
}

/// A plate of the request.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct PlateRow {
    pub(crate) plate: u64,
    pub(crate) copies: usize,
    pub(crate) printer: String,
    pub(crate) host: String,
    pub(crate) from: String,
    pub(crate) until: String,
    pub(crate) state: String,
}

/// An earlier or later request of the same part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Version {
    pub(crate) number: i64,
    pub(crate) n: usize,
    pub(crate) sent: String,
    pub(crate) what: String,
    pub(crate) here: bool,
}

/// The page of a request.
#[derive(Template)]
#[template(path = "part.html")]
pub(crate) struct PartPage {
    pub(crate) head: Head,
    pub(crate) self_url: String,
    pub(crate) number: i64,
    pub(crate) title: String,
    pub(crate) name: String,
    pub(crate) version: usize,
    pub(crate) detail: String,
    pub(crate) lead: String,
    pub(crate) ticket: Option<Ticket>,
    /// What could be promised, for a part that has no pledge yet.
    pub(crate) offer: Option<String>,
    pub(crate) may_change: bool,
    pub(crate) may_withdraw: bool,
    pub(crate) may_say_it_came: bool,
    pub(crate) judgement: Judgement,
    pub(crate) since: Option<String>,
    pub(crate) plates: Vec<PlateRow>,
    pub(crate) legs: Vec<String>,
    pub(crate) reasons: Vec<String>,
    pub(crate) others: Vec<Other>,
    pub(crate) history: Vec<Version>,
    pub(crate) cautions: Vec<String>,
    pub(crate) key: String,
}

/// The part in 3D.
#[derive(Template)]
#[template(path = "turn.html")]
pub(crate) struct TurnPage {
    pub(crate) head: Head,
    pub(crate) number: i64,
    pub(crate) part: String,
    pub(crate) drawn: Drawn,
    pub(crate) marks: Vec<Mark>,
    pub(crate) found: Vec<Found>,
    pub(crate) mesh: String,
}

/// What is stored of a judged file.
pub(crate) struct Stored {
    pub(crate) findings: Vec<Vec<StoredFinding>>,
    pub(crate) repairs: Vec<Option<StoredRepairs>>,
}

/// What has become of the findings of the version before: `Since the version before: two of three
/// findings are mended, one is new.`
pub(crate) fn since(before: &Stored, now: &Stored) -> Option<String> {
    let codes = |stored: &Stored| {
        let all = stored.findings.iter().enumerate();
        let all = all.flat_map(|(i, part)| part.iter().map(move |f| (i, f.code.clone())));
        let mut all: Vec<(usize, String)> = all.collect();
        all.sort();
        all
    };
    let (old, new) = (codes(before), codes(now));
    let missing = |from: &[(usize, String)], of: &[(usize, String)]| {
        of.iter().filter(|code| !from.contains(code)).count()
    };
    let (mended, fresh) = (missing(&new, &old), missing(&old, &new));
    let mended = match (mended, old.len()) {
        (_, 0) => None,
        (0, _) => Some("nothing that we found is mended".to_owned()),
        (1, 1) => Some("the one finding is mended".to_owned()),
        (n, all) if n == all => Some(format!(
            "all {} are mended",
            words::spelled(n, "finding", "findings")
        )),
        (n, all) => {
            let some = words::spelled(n, "", "");
            let of = words::spelled(all, "finding", "findings");
            let are = if n == 1 { "is" } else { "are" };
            Some(format!("{some}of {of} {are} mended"))
        }
    };
    let fresh = (fresh > 0).then(|| format!("{} new", words::spelled(fresh, "is", "are")));
    let says: Vec<String> = [mended, fresh].into_iter().flatten().collect();
    (!says.is_empty()).then(|| format!("Since the version before: {}.", says.join(", ")))
}

/// Where each number of a part points, on the part as it stands.
pub(crate) fn marks(stored: &Stored, opened: &OpenedFile) -> Vec<Vec<Mark>> {
    let list = numbered(stored);
    let parts = opened.judged.parts.iter().enumerate();
    parts
        .map(|(i, part)| {
            let own = list.iter().filter(|(of, _, _)| *of == i);
            let placed = own.filter_map(|(_, found, at)| {
                let at_mm = standing_point(part, (*at)?);
                Some(Mark {
                    n: found.n,
                    kind: found.kind,
                    label: found.heading.clone(),
                    at_mm,
                })
            });
            placed.take(MOST_NUMBERED).collect()
        })
        .collect()
}

/// From where a part is looked at.
pub(crate) fn view_of(stored: &Stored, opened: &OpenedFile, k: usize) -> View {
    let marks = marks(stored, opened);
    let mesh = opened.judged.parts[k].standing_mesh();
    view(&mesh, marks.get(k).map_or(&[], Vec::as_slice))
}

/// Findings of all parts, worst first, numbered through; then what was mended. With the part each
/// is of, and its place as sent.
fn numbered(stored: &Stored) -> Vec<(usize, Found, Option<[f64; 3]>)> {
    let mut list: Vec<(usize, Kind, &StoredFinding)> = Vec::new();
    for (i, part) in stored.findings.iter().enumerate() {
        for finding in part {
            let kind = match finding.severity.as_str() {
                "blocking" => Kind::Must,
                "warning" => Kind::Worth,
                _ if mended(&finding.code) => Kind::Fixed,
                _ => Kind::Know,
            };
            list.push((i, kind, finding));
        }
    }
    list.sort_by_key(|(i, kind, _)| (*kind, *i));
    let found = list.into_iter().enumerate();
    found
        .map(|(n, (i, kind, finding))| (i, found_of(n + 1, kind, finding), finding.place_mm))
        .collect()
}

/// Findings that say what we mended.
fn mended(code: &str) -> bool {
    matches!(code, "inside-out" | "mixed-facing" | "doubled-triangles")
}

fn found_of(n: usize, kind: Kind, finding: &StoredFinding) -> Found {
    let unit = words::unit(&finding.unit);
    let number = |value: f64| {
        let whole = partpledge_units::tolerance::close(value, value.round(), 0.0, 1e-9);
        let digits = usize::from(value.abs() < 100.0 && !whole);
        format!("{value:.digits$} {unit}").trim().to_owned()
    };
    let shown = finding.unit != "confidence";
    Found {
        n,
        kind,
        heading: words::heading(&finding.code).to_owned(),
        measured: finding.measured.filter(|_| shown).map(number),
        limit: finding.limit.filter(|_| shown).map(number),
        why: finding.why.clone(),
        what_to_do: finding.what_to_do.clone(),
        source: finding.source.clone(),
    }
}

/// Everything found about a file; the drawings only when it could be opened again.
pub(crate) fn judgement(number: i64, stored: &Stored, opened: Option<&OpenedFile>) -> Judgement {
    let found: Vec<Found> = numbered(stored)
        .into_iter()
        .map(|(_, found, _)| found)
        .collect();
    let Some(opened) = opened else {
        return Judgement {
            found,
            ..Judgement::default()
        };
    };
    let marks = marks(stored, opened);
    let parts = opened.judged.parts.iter().zip(&marks).enumerate();
    let drawn: Vec<Drawn> = parts
        .take(MOST_DRAWN)
        .map(|(k, (part, marks))| {
            let mesh = part.standing_mesh();
            let calls = call_outs(&mesh, view(&mesh, marks), marks);
            let size = mesh.bounds().map_or([0.0; 3], |(low, high)| {
                std::array::from_fn(|k| high[k] - low[k])
            });
            let [x, y, z] = size;
            Drawn {
                k: k + 1,
                name: part.name.clone(),
                picture: format!("/parts/{number}/part-{}.png", k + 1),
                alt: format!("Drawing of {} in clay", part.name),
                size: format!("{x:.1} × {y:.1} × {z:.1} mm, {z:.1} mm high as it stands"),
                standing: standing(&part.standing.name),
                calls,
                turn: Some(format!("/parts/{number}/turn?part={}", k + 1)),
            }
        })
        .collect();
    Judgement {
        more_parts: opened.judged.parts.len() - drawn.len(),
        found,
        drawn,
    }
}

fn standing(name: &str) -> String {
    if name == "as sent" {
        "It will be printed standing as you drew it.".to_owned()
    } else {
        format!("It will be printed like this: {name}.")
    }
}

/// What the page of a request is made of.
pub(crate) struct Parts<'a> {
    pub(crate) session: &'a Session,
    pub(crate) books: &'a Books,
    pub(crate) listed: &'a ListedRequest,
    pub(crate) outcome: Option<Outcome>,
    pub(crate) judgement: Judgement,
    /// What could be promised now, or why nothing can; only asked without a pledge.
    pub(crate) offer: Option<Result<PledgeDocument, (String, String)>>,
    /// What has changed since the version before, in a sentence.
    pub(crate) since: Option<String>,
    pub(crate) own: bool,
    pub(crate) key: String,
}

impl PartPage {
    pub(crate) fn new(head: Head, at: Parts<'_>) -> Self {
        let (session, books, listed) = (at.session, at.books, at.listed);
        let request = &listed.request;
        let promised = books.pledge_of(request.id);
        let ended = promised.is_some_and(|promised| promised.end.is_some());
        let history = history(session, books, listed);
        let version = history.iter().find(|v| v.here).map_or(1, |v| v.n);
        let open = !ended && request.state != State::Withdrawn;
        let (title, lead) = verdict(&at);
        let boxed = promised.is_some() && stage(books, listed) == Stage::Boxed;
        let material = session.catalogue.material(&request.material);
        Self {
            self_url: format!("/parts/{}", request.number),
            number: request.number,
            title,
            lead,
            name: listed.part.clone(),
            version,
            detail: detail(listed),
            ticket: promised
                .map(|promised| ticket(session, books, (listed, promised), at.outcome.as_ref())),
            offer: offered(session, &at),
            may_change: at.own && open,
            may_withdraw: at.own && books.may_withdraw(request.id),
            may_say_it_came: at.own && open && boxed,
            plates: plates(session, books, listed),
            legs: promised.map_or_else(Vec::new, |p| legs(session, &p.document)),
            reasons: promised.map_or_else(Vec::new, |p| p.document.reasons.clone()),
            others: promised
                .filter(|_| open)
                .map_or_else(Vec::new, |p| others(session, &p.document)),
            history,
            cautions: material.map_or_else(Vec::new, |m| m.cautions.clone()),
            judgement: at.judgement,
            since: at.since,
            key: at.key,
            head,
        }
    }
}

/// `2 copies in PETG`.
pub(crate) fn detail(listed: &ListedRequest) -> String {
    let copies = words::copies(listed.request.copies);
    format!("{copies} in {}", listed.request.material)
}

fn offered(session: &Session, at: &Parts<'_>) -> Option<String> {
    let offer = at.offer.as_ref()?.as_ref().ok()?;
    let zone = &session.terrain.zone;
    let by = words::by(zone, Minute(offer.arrival_min), session.minute());
    Some(format!(
        "{}, {}: {} in 10.",
        words::capital(&by),
        offer.place,
        words::in_ten(offer.probability)
    ))
}

fn plates(session: &Session, books: &Books, listed: &ListedRequest) -> Vec<PlateRow> {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let row = |kept: &partpledge_records::KeptPlate| {
        let printer = partpledge_workshop::plate_room::printer_of(session, books, kept)?;
        let ix = session.terrain.printer_of(&printer)?;
        let place = books.floor.plan.of(kept.plate.seq);
        let time = |minute: Option<Minute>| {
            minute.map_or_else(|| "–".to_owned(), |m| words::time(zone, m, now))
        };
        let state = match (kept.state, books.runs(kept)) {
            (partpledge_records::PlateState::Open, true) => "running",
            (partpledge_records::PlateState::Open, false) => "planned",
            (partpledge_records::PlateState::Off, _) => "off the bed",
            (partpledge_records::PlateState::Lost, _) => "failed",
            (partpledge_records::PlateState::Withdrawn, _) => "called back",
        };
        let on_it = books.copies_on(kept).count();
        let many = usize::try_from(kept.plate.copies).unwrap_or(0);
        Some(PlateRow {
            plate: kept.plate.seq.0,
            copies: if on_it == 0 { many } else { on_it },
            host: session.terrain.host_of(ix).to_owned(),
            printer,
            from: time(place.map(|p| p.start)),
            until: time(place.map(|p| p.end)),
            state: state.to_owned(),
        })
    };
    books.plates_of(listed.request.id).filter_map(row).collect()
}

fn legs(session: &Session, document: &PledgeDocument) -> Vec<String> {
    let zone = &session.terrain.zone;
    let one = |found: &partpledge_records::stored::PledgedLeg| {
        let kind = match found.kind.as_str() {
            "counter" => partpledge_planning_model::LegKind::Counter,
            "courier" => partpledge_planning_model::LegKind::Courier,
            _ => partpledge_planning_model::LegKind::Meeting,
        };
        if kind == partpledge_planning_model::LegKind::Counter {
            return format!("You get it {} at {}.", leg(kind), found.from);
        }
        format!(
            "The box leaves {} {} on {} and is there on {}.",
            found.from,
            leg(kind),
            zone.short(Minute(found.leaves_min)),
            zone.short(Minute(found.arrives_min))
        )
    };
    let mut out: Vec<String> = Vec::new();
    for text in document.legs.iter().map(one) {
        if !out.contains(&text) {
            out.push(text);
        }
    }
    out
}

fn others(session: &Session, document: &PledgeDocument) -> Vec<Other> {
    let zone = &session.terrain.zone;
    let one = |other: &partpledge_records::stored::PledgedAlternative| {
        let at = Minute(other.arrival_min);
        Other {
            what: other.what.clone(),
            when: format!("{}, {}", zone.day(at), zone.clock(at)),
            in_ten: words::in_ten(other.probability),
        }
    };
    document.alternatives.iter().map(one).collect()
}

/// Every request of the same part, oldest first.
fn history(session: &Session, books: &Books, listed: &ListedRequest) -> Vec<Version> {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let same = books
        .requests
        .iter()
        .filter(|r| r.part_id == listed.part_id);
    let mut versions: Vec<partpledge_units::ids::VersionId> = Vec::new();
    same.map(|other| {
        let request = &other.request;
        if !versions.contains(&request.version) {
            versions.push(request.version);
        }
        let version = versions.iter().position(|v| *v == request.version);
        let sent = Minute(request.asked_at.0.div_euclid(60_000));
        let promised = books.pledge_of(request.id);
        let what = match promised.map(|p| p.end.as_ref().map(|end| end.kind)) {
            Some(None | Some(PledgeKind::Given)) => "pledged",
            Some(Some(PledgeKind::Kept)) => "kept",
            Some(Some(PledgeKind::Broken)) => "broken",
            Some(Some(PledgeKind::Superseded)) => "replaced",
            Some(Some(PledgeKind::Withdrawn)) => "called back",
            None => request.state.as_str(),
        };
        Version {
            number: request.number,
            n: version.unwrap_or(0) + 1,
            sent: format!("{}, {}", words::day(zone, sent, now), zone.clock(sent)),
            what: what.to_owned(),
            here: request.id == listed.request.id,
        }
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::tally;
    use crate::pages::samples::{AWKWARD, head, sound};
    use crate::pages::ticket::Stop;

    fn found(n: usize, kind: Kind) -> Found {
        Found {
            n,
            kind,
            heading: AWKWARD.to_owned(),
            measured: Some("0.7 mm".to_owned()),
            limit: None,
            why: AWKWARD.to_owned(),
            what_to_do: AWKWARD.to_owned(),
            source: AWKWARD.to_owned(),
        }
    }

    fn judged() -> Judgement {
        let kinds = [Kind::Must, Kind::Worth, Kind::Know, Kind::Fixed];
        let numbered = || (1..).zip(kinds);
        let call = |(n, kind): (usize, Kind)| CallOut {
            n,
            kind,
            label: AWKWARD.to_owned(),
            x: 44.0,
            y: 44.0 + 66.0 * n as f64,
            to_x: 300.0,
            to_y: 300.0,
        };
        let drawn = Drawn {
            k: 1,
            name: AWKWARD.to_owned(),
            picture: "/parts/7/part-1.png".to_owned(),
            alt: AWKWARD.to_owned(),
            size: "70.0 × 44.0 × 30.0 mm".to_owned(),
            standing: AWKWARD.to_owned(),
            calls: numbered().map(call).collect(),
            turn: Some("/parts/7/turn?part=1".to_owned()),
        };
        Judgement {
            found: numbered().map(|(n, kind)| found(n, kind)).collect(),
            drawn: vec![drawn.clone(), drawn],
            more_parts: 3,
        }
    }

    fn tag(state: &'static str) -> Ticket {
        let stop = |kind, end| Stop {
            kind,
            end,
            name: "Printing",
            time: AWKWARD.to_owned(),
        };
        Ticket {
            state,
            says: "Pledge given",
            number: "AV-0007".to_owned(),
            given: AWKWARD.to_owned(),
            day: "Thursday 11 March".to_owned(),
            clock: "15:40".to_owned(),
            place: AWKWARD.to_owned(),
            picture: "/parts/7/picture.png".to_owned(),
            in_ten: 9,
            odds: AWKWARD.to_owned(),
            strokes: tally(9),
            journey: vec![
                stop("done", false),
                stop("here", false),
                stop("night", false),
                stop("next", true),
            ],
        }
    }

    fn page(ticket: Option<Ticket>) -> PartPage {
        let line = |here| Version {
            number: 7,
            n: 2,
            sent: AWKWARD.to_owned(),
            what: AWKWARD.to_owned(),
            here,
        };
        PartPage {
            head: head(),
            self_url: "/parts/7".to_owned(),
            number: 7,
            title: AWKWARD.to_owned(),
            name: AWKWARD.to_owned(),
            version: 2,
            detail: AWKWARD.to_owned(),
            lead: AWKWARD.to_owned(),
            ticket,
            offer: Some(AWKWARD.to_owned()),
            may_change: true,
            may_withdraw: true,
            may_say_it_came: true,
            judgement: judged(),
            since: Some(AWKWARD.to_owned()),
            plates: vec![PlateRow {
                plate: 214,
                copies: 2,
                printer: AWKWARD.to_owned(),
                host: AWKWARD.to_owned(),
                from: "13:10".to_owned(),
                until: "17:15".to_owned(),
                state: "running".to_owned(),
            }],
            legs: vec![AWKWARD.to_owned()],
            reasons: vec![AWKWARD.to_owned()],
            others: vec![Other {
                what: AWKWARD.to_owned(),
                when: AWKWARD.to_owned(),
                in_ten: 8,
            }],
            history: vec![line(false), line(true)],
            cautions: vec![AWKWARD.to_owned()],
            key: "k".to_owned(),
        }
    }

    #[test]
    fn the_verdict_renders_with_every_kind_of_finding_and_ticket() {
        for state in ["given", "risk", "kept", "broken", "withdrawn"] {
            let made = page(Some(tag(state))).render().unwrap();
            sound(&made);
            assert!(
                made.contains("class=\"state state--stamp\"><svg"),
                "{state}: glyph and word"
            );
            assert_eq!(made.contains("ticket--broken"), state == "broken");
            for n in 1..=4 {
                assert!(
                    made.contains(&format!("href=\"#f{n}\"")),
                    "number {n} on the drawing"
                );
                assert!(
                    made.contains(&format!("id=\"f{n}\"")),
                    "number {n} in the list"
                );
            }
        }
    }

    #[test]
    fn the_verdict_renders_with_next_to_nothing() {
        let bare = PartPage {
            offer: None,
            may_change: false,
            may_withdraw: false,
            may_say_it_came: false,
            judgement: Judgement::default(),
            since: None,
            plates: Vec::new(),
            legs: Vec::new(),
            reasons: Vec::new(),
            others: Vec::new(),
            history: Vec::new(),
            cautions: Vec::new(),
            ..page(None)
        };
        let bare = bare.render().unwrap();
        sound(&bare);
        assert!(
            !bare.contains("<button"),
            "nothing to press that is not possible"
        );
        assert!(bare.contains("We can’t draw this part just now."));
    }

    #[test]
    fn the_turning_part_names_every_number() {
        let judged = judged();
        let mark = |found: &Found| Mark {
            n: found.n,
            kind: found.kind,
            label: found.heading.clone(),
            at_mm: [1.0, 2.0, 3.5],
        };
        let turn = TurnPage {
            head: head(),
            number: 7,
            part: AWKWARD.to_owned(),
            drawn: judged.drawn[0].clone(),
            marks: judged.found.iter().map(mark).collect(),
            found: judged.found,
            mesh: "/parts/7/part-1.stl".to_owned(),
        };
        let made = turn.render().unwrap();
        sound(&made);
        assert_eq!(made.matches("data-callout").count(), 4);
        assert!(made.contains("data-z=\"3.5\"") && made.contains("data-kind=\"must\""));
    }

    #[test]
    fn what_is_mended_and_what_is_new_is_said() {
        let with = |codes: &[&str]| Stored {
            findings: vec![
                codes
                    .iter()
                    .map(|code| StoredFinding {
                        code: (*code).to_owned(),
                        severity: "warning".to_owned(),
                        place_mm: None,
                        measured: None,
                        limit: None,
                        unit: String::new(),
                        why: String::new(),
                        what_to_do: String::new(),
                        source: String::new(),
                    })
                    .collect(),
            ],
            repairs: Vec::new(),
        };
        let says = |old: &[&str], new: &[&str]| since(&with(old), &with(new));
        let lead = "Since the version before: ";
        assert_eq!(says(&[], &[]), None);
        assert_eq!(
            says(&["a"], &[]),
            Some(format!("{lead}the one finding is mended."))
        );
        let three = ["a", "b", "c"];
        assert_eq!(
            says(&three, &["b"]),
            Some(format!("{lead}two of three findings are mended."))
        );
        assert_eq!(
            says(&three, &["a", "b", "d"]),
            Some(format!(
                "{lead}one of three findings is mended, one is new."
            ))
        );
        assert_eq!(
            says(&three, &[]),
            Some(format!("{lead}all three findings are mended."))
        );
        assert_eq!(
            says(&["a"], &["a"]),
            Some(format!("{lead}nothing that we found is mended."))
        );
        assert_eq!(says(&[], &["a", "b"]), Some(format!("{lead}two are new.")));
    }
}
