//! Crews of benches that students run: what is kept of them, and what is not.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_records::{
    AdultPresent, CrewChange, CrewPresent, CrewSign, Deed, GroundChange, Happening, Held,
    NewPerson, PersonKind, RoleKind, StockChange, StoreError, ToLook,
};
use partpledge_units::ids::{CrewId, IdSource, PersonId, RegionId};
use partpledge_units::time::EventMs;

use crate::ground::Ground;
use crate::sample;

const NOW: EventMs = sample::NOW;
const BENCH: &str = "otterquay";

fn at(ms: i64) -> EventMs {
    EventMs(NOW.0 + ms)
}

fn deed(ms: i64, key: Option<&str>) -> Deed {
    Deed {
        actor: "mentor/somebody".to_owned(),
        occurred_at: at(ms),
        received_at: at(ms),
        idempotency_key: key.map(str::to_owned),
    }
}

struct World {
    region: RegionId,
    ids: IdSource,
}

impl World {
    async fn new(ground: &Ground) -> Self {
        let mut ids = IdSource::seeded(11);
        let region = sample::region(ground, &mut ids).await;
        Self { region, ids }
    }

    async fn change(
        &mut self,
        ground: &Ground,
        what: &CrewChange,
        ms: i64,
    ) -> Result<Option<i64>, StoreError> {
        let deed = deed(ms, None);
        let what = (BENCH, what);
        ground
            .change_crew(self.region, what, &deed, &mut self.ids)
            .await
    }

    async fn student(&mut self, ground: &Ground, name: &str) -> PersonId {
        let held = Held::new(RoleKind::Student, "Bogwheel");
        let new = NewPerson {
            kind: PersonKind::Student,
            name: name.to_owned(),
            email: None,
            secret: None,
        };
        let (who, joined) = ((&new, &held), deed(0, None));
        let added = ground.add_person(self.region, who, &joined, &mut self.ids);
        added.await.unwrap()
    }

    async fn join(&mut self, ground: &Ground, name: &str, person: Option<PersonId>) -> CrewId {
        let joins = CrewChange::Join {
            name: name.to_owned(),
            person,
        };
        self.change(ground, &joins, 0).await.unwrap();
        let members = ground.crew(self.region, BENCH).await.unwrap().members;
        members.iter().find(|one| one.name == name).unwrap().id
    }
}

fn sign(member: CrewId, until: Option<i64>) -> CrewSign {
    CrewSign {
        member,
        task: "start".to_owned(),
        class: "standard".to_owned(),
        until: until.map(at),
    }
}

pub(crate) async fn what_is_said_of_a_crew_is_kept_in_order_and_once(ground: &Ground) {
    let mut world = World::new(ground).await;
    let newt = world.join(ground, "Newt", None).await;
    let first = CrewChange::Sign(vec![
        sign(newt, Some(900)),
        CrewSign {
            task: "pack".to_owned(),
            class: String::new(),
            ..sign(newt, Some(900))
        },
    ]);
    let what = (BENCH, &first);
    for done in [true, false] {
        let deed = deed(1, Some("sign-0001"));
        let entry = ground
            .change_crew(world.region, what, &deed, &mut world.ids)
            .await;
        assert_eq!(
            entry.unwrap().is_some(),
            done,
            "sent twice, it is said once"
        );
    }
    let away = CrewChange::Sign(vec![sign(newt, None)]);
    world.change(ground, &away, 2).await.unwrap();
    let store = ground.reopened().await;
    let book = store.crew(world.region, BENCH).await.unwrap();
    let said: Vec<_> = book
        .signs
        .iter()
        .map(|one| (one.at, one.said.until))
        .collect();
    assert_eq!(
        said,
        [
            (at(1), Some(at(900))),
            (at(1), Some(at(900))),
            (at(2), None)
        ]
    );
    assert!(
        book.signs.iter().all(|one| one.actor == "mentor/somebody"),
        "who signed is kept"
    );
    assert_eq!(
        store.crew(world.region, "dunmarrow").await.unwrap().signs,
        []
    );
    let events = store.events_after(world.region, 0).await.unwrap();
    let kinds: Vec<_> = events
        .iter()
        .map(|(_, event)| event.kind.as_str())
        .collect();
    assert_eq!(kinds, ["crew.joined", "crew.signed-off", "crew.withdrawn"]);
    let told = store
        .events_of_kind(world.region, "crew.withdrawn")
        .await
        .unwrap();
    assert_eq!(told, events[2..]);
}

pub(crate) async fn a_nickname_is_had_once_and_is_gone_with_its_owner(ground: &Ground) {
    let mut world = World::new(ground).await;
    let person = world.student(ground, "Teal").await;
    let newt = world.join(ground, "Newt", None).await;
    let teal = world.join(ground, "Teal", Some(person)).await;
    let again = CrewChange::Join {
        name: "NEWT".to_owned(),
        person: None,
    };
    let taken = world.change(ground, &again, 5).await.unwrap_err();
    assert!(
        matches!(taken, StoreError::Taken { what: "nickname" }),
        "{taken}"
    );
    assert_eq!(
        ground.crews_of(world.region, person).await.unwrap()[0].id,
        teal
    );
    for id in [newt, teal] {
        let signs = CrewChange::Sign(vec![sign(id, Some(900))]);
        world.change(ground, &signs, 6).await.unwrap();
    }
    world
        .change(ground, &CrewChange::Leave(newt), 7)
        .await
        .unwrap();
    let gone = deed(8, None);
    ground
        .erase_person(world.region, person, &gone, &mut world.ids)
        .await
        .unwrap();
    let book = ground.crew(world.region, BENCH).await.unwrap();
    for (id, left) in [(newt, 7), (teal, 8)] {
        let member = book.members.iter().find(|one| one.id == id).unwrap();
        assert_eq!((member.name.as_str(), member.person), ("", None));
        assert_eq!(member.left_at, Some(at(left)));
    }
    assert_eq!(
        book.signs.len(),
        2,
        "what was signed stays, and leads to no name"
    );
    let signs = CrewChange::Sign(vec![sign(newt, Some(900))]);
    for late in [CrewChange::Leave(newt), signs] {
        let refused = world.change(ground, &late, 9).await.unwrap_err();
        assert!(
            matches!(refused, StoreError::NoSuch { what: "crew", .. }),
            "{refused}"
        );
    }
    world.change(ground, &again, 10).await.unwrap();
    let many = ground
        .erase_crews(world.region, (at(10), at(20)))
        .await
        .unwrap();
    assert_eq!(many, 0, "who came later stays");
    let many = ground
        .erase_crews(world.region, (at(11), at(20)))
        .await
        .unwrap();
    assert_eq!(many, 1);
    let book = ground.crew(world.region, BENCH).await.unwrap();
    assert!(book.members.iter().all(|member| member.name.is_empty()));
}

pub(crate) async fn who_was_there_is_forgotten_and_never_in_the_log(ground: &Ground) {
    let mut world = World::new(ground).await;
    let newt = world.join(ground, "Newt", None).await;
    let adult = PersonId::fresh(&mut world.ids, NOW);
    let there = CrewPresent {
        at: at(10),
        until: at(50),
        crew: vec![newt],
    };
    let nobody = CrewPresent {
        at: at(30),
        until: at(80),
        crew: Vec::new(),
    };
    let here = AdultPresent {
        at: at(20),
        until: at(60),
        person: adult,
    };
    // Told late, it stands where it belongs.
    world
        .change(ground, &CrewChange::Present(nobody.clone()), 40)
        .await
        .unwrap();
    world
        .change(ground, &CrewChange::Present(there.clone()), 41)
        .await
        .unwrap();
    let said = Deed {
        actor: format!("host:{BENCH}/{adult}"),
        ..deed(42, None)
    };
    let comes = CrewChange::Adult(here.clone());
    let region = world.region;
    ground
        .change_crew(region, (BENCH, &comes), &said, &mut world.ids)
        .await
        .unwrap();
    let book = ground.crew(world.region, BENCH).await.unwrap();
    assert_eq!(book.present, [there, nobody.clone()]);
    assert_eq!(book.adults, [here]);
    let events = ground.events_after(world.region, 1).await.unwrap();
    for (_, event) in &events {
        for said in [&event.payload, &event.actor] {
            for who in [newt.to_string(), "Newt".to_owned(), adult.to_string()] {
                assert!(!said.contains(&who), "{}: {said}", event.kind);
            }
        }
    }
    let actors: Vec<_> = events.iter().map(|(_, event)| &event.actor).collect();
    assert_eq!(
        actors,
        ["mentor/somebody", "mentor/somebody", "host:otterquay"],
        "an adult by the role alone"
    );
    assert_eq!(
        ground.forget_present(world.region, at(61)).await.unwrap(),
        2
    );
    let book = ground.crew(world.region, BENCH).await.unwrap();
    assert_eq!((book.present, book.adults), (vec![nobody], vec![]));
}

pub(crate) async fn what_an_adult_has_to_look_at_stands_with_its_deed(ground: &Ground) {
    let mut world = World::new(ground).await;
    let what = Happening {
        kind: "run.looked-at",
        payload: Vec::new(),
        deed: Deed {
            occurred_at: at(3),
            ..deed(9, Some("look-0001"))
        },
        revision: 0,
        steps: Vec::new(),
        copies: Vec::new(),
        requests: Vec::new(),
        closed: Vec::new(),
        reprints: Vec::new(),
        ends: Vec::new(),
        last_notes: Vec::new(),
        measured: Vec::new(),
        notes: Vec::new(),
        box_code: None,
        to_look: Some(ToLook {
            host: BENCH.to_owned(),
            plate: 7,
            deed: "start",
            why: "not-told",
        }),
        moment: None,
        program: None,
        outages: Vec::new(),
        runs: Vec::new(),
        takes_back: None,
        stock: StockChange::default(),
        ground: GroundChange::default(),
        plan: None,
    };
    for _ in 0..2 {
        let names = sample::names();
        ground
            .happen(world.region, &what, &names, &mut world.ids)
            .await
            .unwrap();
    }
    let looks = ground.crew(world.region, BENCH).await.unwrap().to_look;
    let [look] = &looks[..] else {
        panic!("once: {looks:?}");
    };
    assert_eq!((look.plate, look.at), (7, at(3)));
    assert_eq!(
        (look.deed.as_str(), look.why.as_str()),
        ("start", "not-told")
    );
    let looked = CrewChange::Looked(look.entry);
    world.change(ground, &looked, 20).await.unwrap();
    assert_eq!(ground.crew(world.region, BENCH).await.unwrap().to_look, []);
    let again = world.change(ground, &looked, 21).await.unwrap_err();
    assert!(
        matches!(again, StoreError::NoSuch { what: "look", .. }),
        "{again}"
    );
}

pub(crate) async fn sign_offs_are_never_edited(ground: &Ground) {
    let mut world = World::new(ground).await;
    let newt = world.join(ground, "Newt", None).await;
    let signs = CrewChange::Sign(vec![sign(newt, Some(900))]);
    world.change(ground, &signs, 1).await.unwrap();
    for change in ["UPDATE crew_signs SET until = 1", "DELETE FROM crew_signs"] {
        let error = ground.run(change).await.unwrap_err().to_string();
        assert!(error.contains("append-only"), "{error}");
    }
}
