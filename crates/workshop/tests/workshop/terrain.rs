//! A region whose hosts have few hands and one printer of which travels.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use bytes::Bytes;
use partpledge_planning_model::PlateSeq;
use partpledge_units::local::{parse_date, parse_rfc3339};
use partpledge_units::time::Minute;
use partpledge_workshop::laying_out::room;
use partpledge_workshop::plan_room::checked;
use partpledge_workshop::sending::{Sent, send};
use partpledge_workshop::{Actor, Books, Role, Session};

/// The valley with one start in a window at every host, and Heron at another school in the second week.
fn valley() -> String {
    let text = partpledge_testbed::ambrel_valley();
    let hands = text.replace("boxing_min = ", "starts_a_window = 1\nboxing_min = ");
    let stay = |host: &str, from: &str, to: &str| {
        format!("[[printers.stays]]\nhost = \"{host}\"\nfrom = \"{from}\"\nto = \"{to}\"\n")
    };
    let travels = stay("brindlemoor", "2027-03-08", "2027-03-12")
        + &stay("otterquay", "2027-03-15", "2027-03-19");
    let (before, heron) = hands.split_once("name = \"Heron\"").unwrap();
    let (own, rest) = heron.split_once("[[").unwrap();
    format!("{before}name = \"Heron\"{own}{travels}\n[[{rest}")
}

async fn session(dir: &tempfile::TempDir) -> Session {
    let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
    Session::open(&dir.path().join("data"), &valley(), now)
        .await
        .unwrap()
}

#[tokio::test]
async fn a_printer_that_travels_is_told_where_it_stands() {
    let dir = tempfile::tempdir().unwrap();
    let session = session(&dir).await;
    let terrain = &session.terrain;
    let heron = terrain.printer_of("Heron").unwrap();
    let noon = |day: &str| -> Minute {
        let date = parse_date(day).unwrap();
        terrain.zone.minute(date, date.at(12, 0, 0, 0).time())
    };
    let host = |day: &str| terrain.host_at(heron, noon(day));
    assert_eq!(host("2027-03-12"), "Brindlemoor School");
    assert_eq!(host("2027-03-15"), "Otterquay High");
    // On its way it is still counted where it was last.
    assert_eq!(host("2027-03-13"), "Brindlemoor School");
    // What is kept free at the edge of a bed is no room for a part.
    let bed = session.beds().swap_remove(heron.0).size_mm;
    let [x, y, z] = terrain.region.printers[heron.0].bed_mm;
    let room = room(session.catalogue.class(&terrain.classes[heron.0]).unwrap()).bed;
    let wanted = [x - 2.0 * room.edge_mm, y - 2.0 * room.edge_mm, z];
    let apart = bed.iter().zip(wanted).map(|(is, was)| (is - was).abs());
    assert!(apart.fold(0.0, f64::max) < 1e-9, "{bed:?}, not {wanted:?}");
    let stays = &terrain.region.printers[heron.0].stays;
    assert_eq!(stays.len(), 2);
    let midnight = |day: &str| {
        let date = parse_date(day).unwrap();
        terrain.zone.minute(date, date.at(0, 0, 0, 0).time())
    };
    assert_eq!(stays[0].until, midnight("2027-03-13"), "its last day is in");
}

#[tokio::test]
async fn a_host_with_one_pair_of_hands_starts_one_plate_a_window() {
    let dir = tempfile::tempdir().unwrap();
    let session = session(&dir).await;
    for round in 0..9 {
        let file = partpledge_testbed::files().swap_remove(round % 3);
        let key = format!("request-{round}");
        let sent = Sent {
            bytes: Bytes::from(file.bytes),
            file_name: file.name,
            team: "Newt Works",
            part: None,
            copies: file.copies,
            material: file.material,
            need_by: None,
            unit: None,
            replaces: None,
            statement: Some(&partpledge_workshop::review::Statement::own()),
            again: true,
            dimensions: None,
            over_limit: None,
            key: &key,
        };
        let actor = Actor::new(Role::Team("Newt Works".to_owned()));
        send(&session, &actor, &sent).await.unwrap();
    }
    let books = Books::open(&session).await.unwrap();
    let (plates, plan) = (&books.floor.plates, &books.floor.plan);
    let region = &session.terrain.region;
    let mut seen: Vec<(usize, Minute)> = Vec::new();
    for place in &plan.assignments {
        let site = region.printers[place.printer.0].site_at(place.start);
        let windows = region.sites[site.0].staffed.as_slice();
        let window = windows
            .iter()
            .find(|w| w.from <= place.start && place.start < w.until);
        seen.push((site.0, window.unwrap().from));
    }
    let many = seen.len();
    seen.sort_unstable();
    seen.dedup();
    assert_eq!(seen.len(), many, "one start a window: {plan:?}");
    assert!(books.floor.kept.len() >= 9 && many >= 3);
    // A later plate of the team waits behind others' first ones.
    let turn = |seq: PlateSeq| {
        let kept = books.floor.kept.iter().find(|kept| kept.plate.seq == seq);
        kept.unwrap().plate.wish.turn
    };
    assert_eq!(turn(PlateSeq(1)), 0);
    assert!(turn(books.floor.kept.last().unwrap().plate.seq) >= 8);
    assert!(plates.iter().all(|plate| plate.grams > 0));
    assert_eq!(checked(&session, plates, plan, plan).unwrap(), []);
}
