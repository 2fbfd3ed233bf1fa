//! Spares that a bench at a meeting did not make.

use partpledge_units::local::parse_rfc3339;
use partpledge_workshop::sending::spares::{Spare, ask_for, close_benches};

use super::*;

#[tokio::test(flavor = "multi_thread")]
async fn a_team_hears_that_its_spare_was_not_printed_and_not_that_it_called_it_back() {
    let world = World::with(partpledge_testbed::meeting()).await;
    let sender = world.person("Otter", RoleKind::Student, TEAM).await;
    let sent = world.send(&sender, 0, "send-00001").await;
    let at = async |text: &str| {
        let at = parse_rfc3339(text).unwrap();
        world.session.at(at).await.unwrap()
    };
    let day = at("2027-03-13T09:00:00+01:00").await;
    let listed = world
        .books()
        .await
        .request(sent.request.id)
        .unwrap()
        .clone();
    let spare = Spare {
        at: "sluice-hall",
        copies: 1,
        material: None,
        no_later: Minute(i64::MAX),
    };
    let number = ask_for(&day, &sender, &listed, (&spare, "spare-0001"))
        .await
        .unwrap();
    world.look(&day).await;
    let evening = at("2027-03-14T05:00:00+01:00").await;
    let clock = Actor::new(Role::Clock);
    assert_eq!(close_benches(&evening, &clock).await.unwrap(), 1);
    world.look(&evening).await;
    assert_eq!(
        world.kinds(&sender).await.last().unwrap(),
        "part.spare-not-made"
    );
    let told = world.last(&sender).await;
    assert!(
        told.contains("at Sluice Hall closed") && told.contains("did not keep"),
        "{told}"
    );
    let link = world.notices(&sender).await[0].said.link.clone();
    assert_eq!(link, format!("/parts/{number}"));
}
