//! What the adults of a bench that students run are told: deeds that wait for one of them.

use partpledge_records::KeptLook;
use partpledge_stock::Deed as SpoolDeed;
use partpledge_workshop::bench::spools::act_on_spools_at;
use partpledge_workshop::hub::{CrewDeed, Hub, lead};

use super::*;

const HUB: &str = "otterquay";

/// That many spools of the hub.
async fn spools(world: &World, many: i64) {
    let roll = Roll {
        host: HUB.to_owned(),
        material: "PETG".to_owned(),
        colour: "orange".to_owned(),
        net_g: 800,
        tare_g: None,
        donor: String::new(),
        received_at: EventMs(0),
    };
    let came = SpoolAct::Receive {
        roll,
        spools: many,
        delivery: None,
    };
    act_on_spools(&world.session, &Actor::at_the_machine(), &came, None)
        .await
        .unwrap();
}

/// A spool was put on a printer of the hub ten minutes before, by nobody knows whom; the tablet had no
/// network and tells it now.
async fn told_later(world: &World, tablet: &Actor, (spool, session): (i64, &Session)) {
    let mut printers = world.session.terrain.file.printers.iter();
    let printer = printers.find(|one| one.host == HUB).unwrap();
    let load = SpoolAct::Do(spool, SpoolDeed::Loaded(printer.name.clone()));
    let then = EventMs(session.now.0 - 600_000);
    act_on_spools_at(session, tablet, &load, None, Some(then))
        .await
        .unwrap();
}

async fn waits(session: &Session) -> Vec<KeptLook> {
    let hub = Hub::open(session, HUB).await.unwrap().unwrap();
    hub.book.to_look
}

#[tokio::test(flavor = "multi_thread")]
async fn adults_of_a_hub_are_told_of_deeds_that_wait_for_one_of_them_and_nobody_else_is() {
    let world = World::new().await;
    let team = world.session.terrain.file.teams.iter();
    let own = team.filter(|team| team.school == HUB).collect::<Vec<_>>();
    let own = own[0].name.clone();
    let tablet = world.person("Crake", RoleKind::Operator, HUB).await;
    let mentor = world.person("Wren", RoleKind::Mentor, &own).await;
    let others = [
        world.person("Otter", RoleKind::Student, &own).await,
        world.person("Heron", RoleKind::Mentor, TEAM).await,
        world
            .person("Dunlin", RoleKind::Operator, "brindlemoor")
            .await,
        world.person("Rail", RoleKind::Coordinator, "").await,
    ];
    spools(&world, 4).await;
    let later = world.at(world.session.minute() + Minutes(60)).await;
    for spool in [1, 2] {
        told_later(&world, &tablet, (spool, &later)).await;
    }
    assert_eq!(waits(&later).await.len(), 2);
    assert_eq!(world.look(&later).await, 2);
    assert_eq!(world.look(&later).await, 0, "told once");
    // The adult who signed the tablet in has not seen what the crew did with it.
    for adult in [&tablet, &mentor] {
        let all = world.notices(adult).await;
        assert_eq!(all.len(), 1, "{all:?}");
        let told = &all[0].said;
        assert_eq!(
            (told.kind.as_str(), told.link.as_str(), told.urgent),
            ("hub.to-look", "/hubs/otterquay", true)
        );
        let says = "At the bench of Otterquay High, 2 deeds wait for an adult.";
        assert!(told.says.to_string().starts_with(says), "{}", told.says);
    }
    for other in &others {
        assert_eq!(world.kinds(other).await, [""; 0]);
    }
    // What an adult has looked at before anybody was told is no news; the next deed is.
    told_later(&world, &tablet, (3, &later)).await;
    let looked = CrewDeed::Looked(waits(&later).await[2].entry);
    lead(&later, &tablet, (HUB, &looked), None).await.unwrap();
    assert_eq!(world.look(&later).await, 0);
    told_later(&world, &tablet, (4, &later)).await;
    assert_eq!(world.look(&later).await, 2);
    let says = world.last(&mentor).await;
    assert!(says.contains(", 1 deed waits for an adult."), "{says}");
}
