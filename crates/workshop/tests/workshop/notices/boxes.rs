//! Boxes: how many copies are in them, which of them came, and what went wrong on the way.

use partpledge_workshop::bench::{Shown, decide_box, doubt_box};
use partpledge_workshop::boxes::{Hitch, NoCode, box_of};
use partpledge_workshop::doubts::{Doubt, Ruling, open_doubt};

use super::*;

impl World {
    /// Somebody decides what was said of a box.
    async fn decides(&self, at: &Session, who: &Actor, seq: u64, ruling: Ruling) {
        let books = self.books().await;
        let doubt = open_doubt(&books, books.plate(seq).unwrap()).unwrap();
        decide_box(at, who, seq, (doubt.entry, ruling), None)
            .await
            .unwrap();
    }
}

fn hand() -> Act {
    Act::HandOver(Shown::Nothing(NoCode::Forgotten))
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_is_called_ready_when_all_copies_are_good_and_here_when_all_have_come() {
    let world = World::new().await;
    let mate = world.person("Heron", RoleKind::Student, TEAM).await;
    let mentor = world.person("Wren", RoleKind::Mentor, TEAM).await;
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    let sent = world.send(&team, 0, "send-00001").await;
    world.look(&world.session).await;
    let plates = world.plates(&sent).await;
    let of = sent.request.copies;
    let (last, before) = plates.split_last().unwrap();
    let mut here = 0;
    for plate in before {
        let packed = world.boxed(*plate).await;
        world.look(&packed).await;
        let told = world.notices(&mate).await;
        let mut ready = told.iter().filter(|one| one.said.kind == "part.ready");
        let says = ready.next().unwrap().said.says.to_string();
        here = world.books().await.plate(plate.0).unwrap().plate.copies;
        let some = format!("{here} of {of} copies of “");
        assert!(says.starts_with(&some), "{says}");
        assert!(!says.contains("ready"), "{says}");
        assert!(says.contains("It is promised for "), "{says}");
    }
    assert!(here > 0);
    let packed = world.at(last.2).await;
    hold(&packed, &mentor, sent.request.id, Some("held-00001"))
        .await
        .unwrap();
    world.look(&packed).await;
    let some = world.kinds(&mate).await;
    assert_eq!(some.last().unwrap(), "part.some-handed-over", "{some:?}");
    let packed = world.boxed(*last).await;
    world.look(&packed).await;
    let told = world.notices(&mate).await;
    let mut ready = told.iter().filter(|one| one.said.kind == "part.ready");
    let says = ready.next().unwrap().said.says.to_string();
    assert!(says.contains("” is ready. All "), "{says}");
    act(&packed, &bench(), last.0, &hand(), None).await.unwrap();
    world.look(&packed).await;
    let all = world.kinds(&mate).await;
    assert_eq!(all.last().unwrap(), "part.handed-over", "{all:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_goes_wrong_with_a_box_is_told_in_plain_words_to_those_who_act() {
    let world = World::new().await;
    let sender = world.person("Otter", RoleKind::Student, TEAM).await;
    let mate = world.person("Heron", RoleKind::Student, TEAM).await;
    let coordinator = world.person("Rail", RoleKind::Coordinator, "").await;
    let sent = world.send(&sender, 0, "send-00001").await;
    let first = world.plates(&sent).await[0];
    let seq = first.0;
    let packed = world.boxed(first).await;
    world.look(&packed).await;
    let books = world.books().await;
    let line = box_of(&packed, &books, books.plate(seq).unwrap()).unwrap();
    let (_, departure, _) = line.goes.unwrap();
    let late = world.at(departure.leaves + Minutes(5)).await;
    let miss = Act::MissLeg {
        leaves: departure.leaves,
        why: Hitch::NobodyCame,
    };
    act(&late, &bench(), seq, &miss, None).await.unwrap();
    world.look(&late).await;
    let told = world.notices(&mate).await;
    let not_gone = told.iter().find(|one| one.said.kind == "part.not-gone");
    let says = not_gone.unwrap().said.says.to_string();
    assert!(says.contains("did not go. Nobody came for it. Now it should"));

    let request = sent.request.id;
    doubt_box(&late, &sender, (request, seq), Doubt::Gone, None)
        .await
        .unwrap();
    world.look(&late).await;
    let told = &world.notices(&coordinator).await[0].said;
    assert_eq!((told.kind.as_str(), told.urgent), ("box.doubted", true));
    assert_eq!(told.link, format!("/review/{}", sent.request.number));
    let says = told.says.to_string();
    assert!(says.starts_with(&format!("Box {seq}, with “")), "{says}");
    assert!(says.contains("nobody can find it"), "{says}");
    world.decides(&late, &coordinator, seq, Ruling::Right).await;
    world.look(&late).await;
    // And, as its time is known again, by when it should come now.
    let told = world.notices(&mate).await;
    let mut says = told.iter().map(|one| one.said.says.to_string());
    let found = |says: &String| says.ends_with("was found. It goes on its way.");
    assert!(says.any(|says| found(&says)), "{told:?}");
    let says = world.last(&mate).await;
    assert!(says.contains("Now it should come by"), "{says}");
    doubt_box(&late, &mate, (request, seq), Doubt::Gone, None)
        .await
        .unwrap();
    world.decides(&late, &coordinator, seq, Ruling::Again).await;
    world.look(&late).await;
    let told = world.notices(&mate).await;
    let again = told.iter().find(|one| one.said.kind == "part.made-again");
    let says = again.unwrap().said.says.to_string();
    assert!(says.contains("We make what was in it again."), "{says}");
    let to_coordinator = world.kinds(&coordinator).await;
    let doubted = to_coordinator.iter().filter(|kind| *kind == "box.doubted");
    assert_eq!(doubted.count(), 1, "what is decided waits for nobody");
}

#[tokio::test(flavor = "multi_thread")]
async fn after_a_promise_has_ended_no_time_of_it_is_told_any_more() {
    let world = World::new().await;
    let mate = world.person("Heron", RoleKind::Student, TEAM).await;
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    let sent = world.send(&team, 0, "send-00001").await;
    let books = world.books().await;
    let arrival = books.pledge_of(sent.request.id).unwrap().pledge.arrival;
    let plates = world.plates(&sent).await;
    for plate in &plates {
        world.boxed(*plate).await;
    }
    let late = world.at(arrival + Minutes(60)).await;
    for (seq, ..) in &plates {
        act(&late, &bench(), *seq, &hand(), None).await.unwrap();
    }
    world.look(&late).await;
    let says = world.last(&mate).await;
    assert!(says.contains("It came later than we promised."), "{says}");
    let (seq, ..) = plates[0];
    let which = (sent.request.id, seq);
    doubt_box(&late, &team, which, Doubt::WrongParts, None)
        .await
        .unwrap();
    let who = Actor::new(Role::Coordinator);
    world.decides(&late, &who, seq, Ruling::Again).await;
    let new = world.plates(&sent).await[0];
    let machine = Actor::at_the_machine();
    let (start, end) = (world.at(new.1).await, world.at(new.2).await);
    act(&start, &machine, new.0, &Act::Start, None)
        .await
        .unwrap();
    let good = world.books().await.plate(new.0).unwrap().plate.copies;
    for what in [Act::TakeOff { good: good.into() }, Act::Box] {
        act(&end, &machine, new.0, &what, None).await.unwrap();
    }
    world.look(&end).await;
    let says = world.last(&mate).await;
    assert!(says.contains("” is ready. All "), "{says}");
    assert!(says.contains(" It goes to ") && !says.contains("promised"));
    act(&end, &machine, new.0, &hand(), None).await.unwrap();
    world.look(&end).await;
    let says = world.last(&mate).await;
    assert!(says.ends_with("is with your team now."), "{says}");
}
