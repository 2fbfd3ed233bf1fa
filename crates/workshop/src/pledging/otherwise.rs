//! What a team could change to have its part earlier: another plastic, some copies first, or
//! fetching it itself. Each is a quote of its own, played like any other; what would not be
//! earlier is not played.

use partpledge_catalogue::{Catalogue, Material, ProcessSheet};
use partpledge_planning::{Ask, Ground, Occupied, Quote, Way, best_slot, quote_before};
use partpledge_planning_model::{PlaceIx, Plan, Plate, PrinterIx, SiteIx, Wish};
use partpledge_records::Floor;
use partpledge_records::stored::{Change, PledgedAlternative};
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::dates::Form;
use partpledge_words::{Said, said};

use super::{LEVEL, Request, WORLDS, counter, prepare};
use crate::estimating::{LaidPart, Process};
use crate::plating::{Layouts, Order, ways_on};
use crate::session::Session;
use crate::terrain::Terrain;

/// An hour earlier is worth a change, less is not. Common practice, no source.
const WORTH: Minutes = Minutes(60);

/// A question, the answer to which is too late or not there.
pub(super) struct Otherwise<'a> {
    pub(super) session: &'a Session,
    pub(super) request: &'a Request<'a>,
    pub(super) floor: &'a Floor,
    /// Plates that are planned or were asked for lately.
    pub(super) known: &'a [Plate],
    /// Where the team is.
    pub(super) to: PlaceIx,
    /// How its parts lie on beds, as far as that was worked out for it.
    pub(super) layouts: &'a Layouts,
    /// Ways to make what was asked for.
    pub(super) ways: &'a [Way],
    /// What could be promised for it, if anything.
    pub(super) arrival: Option<Minute>,
}

/// What came of looking for something else.
#[derive(Default)]
pub(super) struct Others {
    /// Changes that bring it earlier, or at all.
    pub(super) changes: Vec<PledgedAlternative>,
    /// All of it on the plates of two promises, if those had it there earlier.
    pub(super) whole: Option<Way>,
}

/// Some copies first, and the rest.
struct Halves {
    first: Quote,
    rest: Option<Quote>,
    /// The plates of both.
    both: Way,
}

impl Halves {
    /// When all copies are there.
    fn all(&self) -> Option<Minute> {
        let rest = self.rest.as_ref()?;
        Some(rest.arrival.max(self.first.arrival))
    }
}

impl Otherwise<'_> {
    /// Changes that bring it earlier, or at all; a change that can't be quoted is none.
    pub(super) fn all(&self) -> Others {
        let halves = || self.halves();
        let others = || rayon::join(|| self.other_material(), || self.fetched());
        let (halves, (material, fetched)) = rayon::join(halves, others);
        let first = halves.as_ref().and_then(|halves| self.fewer_first(halves));
        let sooner = |halves: &Halves| Some(halves.all()? < self.arrival?);
        Others {
            changes: [material, first, fetched].into_iter().flatten().collect(),
            whole: halves
                .filter(|halves| sooner(halves) == Some(true))
                .map(|halves| halves.both),
        }
    }

    /// Hand-overs before this are worth saying.
    fn before(&self) -> Minute {
        self.arrival
            .map_or(Minute(i64::MAX), |at| at - WORTH + Minutes(1))
    }

    /// A quote that holds before `before`, with the ways it was asked for.
    fn quoted(
        &self,
        ways: Vec<Way>,
        (known, plan): (&[Plate], &Plan),
        before: Minute,
    ) -> Option<(Quote, Vec<Way>)> {
        let ask = Ask {
            ways,
            level: LEVEL,
            now: self.session.minute(),
            seed: self.request.seed,
            worlds: WORLDS,
        };
        let ground = Ground::new(&self.session.terrain.region);
        let quote = quote_before(&ground, known, plan, (&ask, before)).ok()?;
        (quote.arrival < before).then_some((quote, ask.ways))
    }

    fn ways(&self, process: &Process, copies: u32, next_seq: u64) -> Option<Vec<Way>> {
        let parts: Vec<&LaidPart> = self.request.parts.iter().collect();
        let order = Order {
            parts: &parts,
            copies,
            process,
            to: self.to,
            release: self.session.minute() + prepare(self.session, self.to),
            next_seq,
            wish: Wish::default(),
        };
        let ways = ways_on(self.session, &order, self.layouts).ok()?;
        match &self.request.fetch_at {
            Some(school) => {
                let counter = counter(self.session, school).ok()?;
                Some(fetched_at(&self.session.terrain, &ways, counter))
            }
            None => Some(ways),
        }
    }

    /// The printer that makes the last of it, and its host then.
    fn on(&self, quote: &Quote) -> (&str, &str) {
        let slots = quote.assignments.iter();
        let last = slots.max_by_key(|a| (a.arrives, a.plate));
        last.map_or(("", ""), |last| {
            let terrain = &self.session.terrain;
            let printer = terrain.region.printers[last.printer.0].name.as_str();
            (printer, terrain.host_at(last.printer, last.start))
        })
    }

    /// The plastic with which it comes earliest, among those whose sheet lays the very same lines.
    fn other_material(&self) -> Option<PledgedAlternative> {
        let own = &self.request.process.material.code;
        let catalogue = &self.session.catalogue;
        let others = catalogue.materials.iter().filter(|m| m.code != *own);
        let mut best: Option<PledgedAlternative> = None;
        for material in others {
            let Some(process) = in_other_material(catalogue, material, self.request.process) else {
                continue;
            };
            let ways = self.ways(&process, self.request.copies, self.floor.next_seq)?;
            let before = best
                .as_ref()
                .map_or(self.before(), |b| Minute(b.arrival_min));
            if let Some((quote, _)) = self.quoted(ways, (self.known, &self.floor.plan), before) {
                let (printer, host) = self.on(&quote);
                let code = &material.code;
                let what = said!(
                    "reasons-in-other-plastic",
                    material = code,
                    own = own,
                    printer = printer,
                    host = host
                );
                let change = Change::Material(material.code.clone());
                best = Some(found(change, what, &quote));
            }
        }
        best
    }

    /// Half of the copies first, the rest when they can be had after that.
    fn halves(&self) -> Option<Halves> {
        let copies = self.request.copies;
        let first = copies / 2;
        if first == 0 {
            return None;
        }
        let own = self.request.process;
        let next = self.floor.next_seq;
        let ways = self.ways(own, first, next)?;
        let present = (self.known, &self.floor.plan);
        let (quote, ways) = self.quoted(ways, present, self.before())?;
        let mut plan = self.floor.plan.clone();
        quote.assignments.iter().for_each(|place| plan.put(*place));
        let mut plates = ways[quote.way].plates.clone();
        let known: Vec<Plate> = self.known.iter().chain(&plates).cloned().collect();
        let after = next + plates.len() as u64;
        let rest = self.ways(own, copies - first, after)?;
        let rest = self.quoted(rest, (&known, &plan), Minute(i64::MAX));
        if let Some((quote, ways)) = &rest {
            plates.extend(ways[quote.way].plates.iter().cloned());
        }
        let wish = self.ways.iter().flat_map(|way| &way.plates).next();
        let wish = wish.map(|plate| plate.wish).unwrap_or_default();
        for plate in &mut plates {
            plate.wish = wish;
        }
        Some(Halves {
            first: quote,
            rest: rest.map(|(quote, _)| quote),
            both: Way {
                label: format!("on {} plates", plates.len()),
                plates,
            },
        })
    }

    fn fewer_first(&self, halves: &Halves) -> Option<PledgedAlternative> {
        let copies = self.request.copies;
        let (n, quote) = (copies / 2, &halves.first);
        let change = Change::FewerFirst {
            first: n,
            by_min: quote.arrival.0,
        };
        let zone = &self.session.terrain.zone;
        let by = zone.moment(quote.arrival, Form::Short);
        match (&halves.rest, halves.all()) {
            (Some(rest), Some(all)) => {
                let what = if all == quote.arrival {
                    said!("reasons-fewer-first-both", n = n, copies = copies, by = by)
                } else {
                    said!(
                        "reasons-fewer-first-rest-by",
                        n = n,
                        copies = copies,
                        by = by,
                        all = zone.moment(all, Form::Short)
                    )
                };
                Some(PledgedAlternative {
                    arrival_min: all.0,
                    ..found(change, what, rest)
                })
            }
            _ if self.arrival.is_none() => {
                let what = said!(
                    "reasons-fewer-first-no-rest",
                    n = n,
                    copies = copies,
                    by = by
                );
                Some(found(change, what, quote))
            }
            _ => None,
        }
    }

    /// Made at one host and fetched at its own counter: the host where that is earliest.
    fn fetched(&self) -> Option<PledgedAlternative> {
        let terrain = &self.session.terrain;
        // A spare is for the meeting that its team is at.
        if terrain.spares_at(self.to).is_some() {
            return None;
        }
        let ground = Ground::new(&terrain.region);
        let occupied = Occupied::by(&ground, &self.floor.plates, &self.floor.plan);
        let hosts = terrain.file.hosts.iter().enumerate();
        let all_season = hosts.filter(|(_, host)| !host.prints_spares());
        let places = all_season.filter_map(|(h, host)| {
            let mut schools = terrain.file.schools.iter();
            let place = PlaceIx(schools.position(|school| school.code == host.school)?);
            (place != self.to).then_some((SiteIx(h), place, &host.school))
        });
        let soonest = places.filter_map(|(site, place, school)| {
            let ways = fetched_at(terrain, self.ways, (site, place));
            // Looked at one by one: two plates may want the same time, and the quote finds out.
            let first = |plate: &Plate| best_slot(&ground, &occupied, plate, self.session.minute());
            let by = |way: &Way| {
                way.plates
                    .iter()
                    .map(|plate| Some(first(plate)?.arrives))
                    .collect::<Option<Vec<Minute>>>()?
                    .into_iter()
                    .max()
            };
            let soonest = ways.iter().filter_map(by).min()?;
            (soonest < self.before()).then_some((soonest, site, school, ways))
        });
        let (_, site, school, ways) = soonest.min_by_key(|(at, site, ..)| (*at, *site))?;
        let present = (self.known, &self.floor.plan);
        let quoted = self.quoted(ways, present, self.before());
        quoted.map(|(quote, _)| {
            let host = &terrain.region.sites[site.0].name;
            let (printer, _) = self.on(&quote);
            let what = said!("reasons-fetched", host = host, printer = printer);
            found(Change::Fetch(school.clone()), what, &quote)
        })
    }
}

/// The ways that a host can make alone, on printers that stay there, handed over at its own school.
pub(super) fn fetched_at(
    terrain: &Terrain,
    ways: &[Way],
    (site, place): (SiteIx, PlaceIx),
) -> Vec<Way> {
    let here = |printer: PrinterIx| {
        let printer = &terrain.region.printers[printer.0];
        printer.site == site && printer.stays.is_empty()
    };
    let plate = |plate: &Plate| Plate {
        makings: plate
            .makings
            .iter()
            .filter(|m| here(m.printer))
            .copied()
            .collect(),
        to: place,
        ..plate.clone()
    };
    let way = |way: &Way| Way {
        label: way.label.clone(),
        plates: way.plates.iter().map(plate).collect(),
    };
    let mut ways: Vec<Way> = ways.iter().map(way).collect();
    ways.retain(|way| way.plates.iter().all(|plate| !plate.makings.is_empty()));
    ways
}

fn found(change: Change, what: Said, quote: &Quote) -> PledgedAlternative {
    let kind = match change {
        Change::Material(_) => "material",
        Change::FewerFirst { .. } => "fewer-first",
        Change::Fetch(_) => "fetch",
    };
    PledgedAlternative {
        kind: kind.to_owned(),
        what,
        arrival_min: quote.arrival.0,
        probability: quote.probability,
        change: Some(change),
    }
}

/// The process for another plastic that lays the very same lines, if there is one.
pub(crate) fn in_other_material(
    catalogue: &Catalogue,
    material: &Material,
    own: &Process,
) -> Option<Process> {
    let sheets = catalogue
        .sheets
        .iter()
        .filter(|s| s.material == material.code);
    let mut sheets = sheets.map(|sheet| ProcessSheet {
        infill_percent: own.sheet.infill_percent,
        ..sheet.clone()
    });
    Some(Process {
        material: material.clone(),
        sheet: sheets.find(|s| same_lines(s, &own.sheet))?,
    })
}

/// Whether two sheets lay the same lines and differ only in heat, speed and waits: then a part that
/// is laid for one needs no laying for the other.
fn same_lines(a: &ProcessSheet, b: &ProcessSheet) -> bool {
    let as_b = ProcessSheet {
        code: b.code.clone(),
        material: b.material.clone(),
        name: b.name.clone(),
        wall_speed_mm_s: b.wall_speed_mm_s,
        skin_speed_mm_s: b.skin_speed_mm_s,
        infill_speed_mm_s: b.infill_speed_mm_s,
        bridge_speed_mm_s: b.bridge_speed_mm_s,
        support_speed_mm_s: b.support_speed_mm_s,
        first_layer_speed_mm_s: b.first_layer_speed_mm_s,
        max_flow_mm3_s: b.max_flow_mm3_s,
        min_layer_time_s: b.min_layer_time_s,
        pull_back_s: b.pull_back_s,
        ..a.clone()
    };
    as_b == *b
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn petg_is_laid_as_pla_is_and_asa_with_its_brim_is_not() {
        let catalogue = Catalogue::built_in();
        let sheet = |code| catalogue.sheet(code).unwrap();
        assert!(same_lines(sheet("petg-plain"), sheet("pla-plain")));
        assert!(!same_lines(sheet("asa-plain"), sheet("pla-plain")));
        assert!(!same_lines(sheet("petg-fine"), sheet("pla-plain")));
    }
}
