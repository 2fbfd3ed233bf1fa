//! Plates of one host that want the same spool at the same time.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use std::collections::BTreeMap;

use super::support::busy::Busy;
use partpledge_planning_model::Assignment;
use partpledge_stock::Roll;
use partpledge_units::time::EventMs;
use partpledge_workshop::bench::spools::{SpoolAct, act_on_spools};
use partpledge_workshop::run_sheet::run_sheet;
use partpledge_workshop::spools::clashes::{clashes, clashes_at};
use partpledge_workshop::{Actor, Books, Role, Session};

/// Hosts, by material, with most printers that print it at one time.
fn most_at_once(session: &Session, books: &Books) -> BTreeMap<(String, String), usize> {
    let region = &session.terrain.region;
    let mut shelves: BTreeMap<(String, String), Vec<Assignment>> = BTreeMap::new();
    for plate in &books.floor.plates {
        let place = *books.floor.plan.of(plate.seq).unwrap();
        let site = region.printers[place.printer.0].site_at(place.start);
        let host = session.terrain.file.hosts[site.0].school.clone();
        let shelf = (host, plate.material.clone());
        shelves.entry(shelf).or_default().push(place);
    }
    let most = |places: Vec<Assignment>| {
        let at = |start| {
            let on = places.iter().filter(|p| p.start <= start && start < p.end);
            on.count()
        };
        places
            .iter()
            .map(|place| at(place.start))
            .max()
            .unwrap_or(0)
    };
    let all = shelves.into_iter();
    all.map(|(shelf, places)| (shelf, most(places))).collect()
}

async fn receive(session: &Session, host: &str, material: &str, net_g: i64) {
    let roll = Roll {
        host: host.to_owned(),
        material: material.to_owned(),
        colour: "grey".to_owned(),
        net_g,
        tare_g: None,
        donor: String::new(),
        received_at: EventMs(0),
    };
    let what = SpoolAct::Receive {
        roll,
        spools: 1,
        delivery: None,
    };
    let actor = Actor::new(Role::Coordinator);
    act_on_spools(session, &actor, &what, None).await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn two_plates_at_one_time_need_two_spools_and_a_third_plate_a_third() {
    let busy = Busy::after(3).await;
    let session = busy.again().await;
    let books = Books::open(&session).await.unwrap();
    let most = most_at_once(&session, &books);
    let ((host, material), most) = most.into_iter().max_by_key(|(_, n)| *n).unwrap();
    assert!(most >= 2, "something is printed side by side");
    assert_eq!(clashes(&session, &books), [], "nobody counts spools yet");
    for spools in 1..=most {
        receive(&session, &host, &material, 5_000).await;
        let session = busy.again().await;
        let books = Books::open(&session).await.unwrap();
        let found = clashes_at(&session, &books, &host);
        assert_eq!(found.is_empty(), spools == most, "{spools}: {found:?}");
        for clash in found.values() {
            assert_eq!((&clash.host, &clash.material), (&host, &material));
            let held = clash.held.as_ref().unwrap();
            assert!(held.plate != clash.plate && held.printer != clash.printer);
            // The other one has the spool when this one is to be started, in the plan as it is.
            let seq = partpledge_planning_model::PlateSeq;
            let other = books.floor.plan.of(seq(held.plate)).unwrap();
            let own = books.floor.plan.of(seq(clash.plate)).unwrap();
            assert!(other.start <= own.start && own.start < other.end);
            // The sheet of that day tells it with the very plate.
            let day = session.terrain.zone.date(clash.start);
            let sheet = run_sheet(&session, &books, &host, day).await.unwrap();
            let advice = &sheet.spools[&clash.plate];
            assert_eq!(advice.clash.as_ref(), Some(clash));
        }
    }
    let session = busy.again().await;
    let books = Books::open(&session).await.unwrap();
    assert_eq!(clashes(&session, &books), []);
}
