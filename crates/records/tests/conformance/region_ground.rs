//! Schools closed for a while, and region files in place of older ones.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_planning_model::Plan;
use partpledge_records::{
    BackInUse, CodeKind, GroundChange, Happening, Held, NewCode, NewRegionFile, Outage, RoleKind,
    SiteClosure, StockChange, StoreError, TakenBack,
};
use partpledge_units::ids::IdSource;
use partpledge_units::time::Minute;

use crate::floor::deed;
use crate::ground::Ground;
use crate::sample::{NOW, give_one, names, slot};

fn happening(ground: GroundChange, revision: i64, key: &str) -> Happening {
    let plan = Plan {
        assignments: vec![slot(1)],
    };
    Happening {
        kind: "region.closed",
        payload: Vec::new(),
        deed: deed(Some(key)),
        revision,
        steps: Vec::new(),
        copies: Vec::new(),
        requests: Vec::new(),
        closed: Vec::new(),
        reprints: Vec::new(),
        ends: Vec::new(),
        outages: Vec::new(),
        box_code: None,
        to_look: None,
        moment: None,
        runs: Vec::new(),
        notes: Vec::new(),
        program: None,
        last_notes: Vec::new(),
        measured: Vec::new(),
        takes_back: None,
        stock: StockChange::default(),
        ground,
        plan: Some((
            plan,
            partpledge_words::said!("common-as-written", text = "snow"),
        )),
    }
}

fn snow() -> SiteClosure {
    SiteClosure {
        schools: vec!["brindlemoor".to_owned(), "dunmarrow".to_owned()],
        from: Minute(30_000_000),
        until: Minute(30_001_440),
        reason: "snow".to_owned(),
    }
}

fn closing() -> GroundChange {
    GroundChange {
        closure: Some(snow()),
        ..GroundChange::default()
    }
}

fn file(from: i64, document: &str) -> GroundChange {
    GroundChange {
        file: Some(NewRegionFile {
            from,
            document: document.to_owned(),
            reason: partpledge_words::said!("common-as-written", text = "one more team"),
            gone: Vec::new(),
        }),
        ..GroundChange::default()
    }
}

pub(crate) async fn a_closure_is_kept_with_its_schools_until_it_is_lifted(store: &Ground) {
    let (region, _) = give_one(store).await;
    let ids = &mut IdSource::seeded(61);
    let what = happening(closing(), 1, "close-1");
    let entry = store.happen(region, &what, &names(), ids).await.unwrap();
    let entry = entry.unwrap();
    let again = store.happen(region, &what, &names(), ids).await.unwrap();
    assert_eq!(again, None, "sent twice, it is one closure");
    let kept = store.closures(region).await.unwrap();
    let [only] = kept.as_slice() else {
        panic!("{kept:?}");
    };
    let told = deed(None).received_at;
    assert_eq!((only.entry, only.at, &only.closure), (entry, told, &snow()));
    assert_eq!(store.floor(region, &names()).await.unwrap().revision, 2);
    let lifting = Happening {
        takes_back: Some(TakenBack {
            undoes: entry,
            ..TakenBack::default()
        }),
        ..happening(GroundChange::default(), 2, "lift-1")
    };
    store.happen(region, &lifting, &names(), ids).await.unwrap();
    assert_eq!(store.closures(region).await.unwrap(), []);
}

pub(crate) async fn a_newer_region_file_takes_the_place_of_the_one_it_was_made_from(
    store: &Ground,
) {
    let (region, _) = give_one(store).await;
    let ids = &mut IdSource::seeded(62);
    assert_eq!(store.region_file_after(region, 0).await.unwrap(), None);
    let first = happening(file(0, "x = 2"), 1, "file-1");
    store.happen(region, &first, &names(), ids).await.unwrap();
    let newest = store.region_file_after(region, 0).await.unwrap();
    assert_eq!(newest, Some((1, "x = 2".to_owned())));
    assert_eq!(store.region_file_after(region, 1).await.unwrap(), None);
    // Made from the file before: nothing of it is written, not the plan either.
    let late = happening(file(0, "x = 3"), 2, "file-2");
    let refused = store.happen(region, &late, &names(), ids).await;
    let moved = StoreError::RegionMoved {
        expected: 0,
        current: 1,
    };
    let refused = refused.unwrap_err();
    assert_eq!(refused.to_string(), moved.to_string());
    assert_eq!(refused.code(), "region-moved");
    assert_eq!(store.floor(region, &names()).await.unwrap().revision, 2);
    // Codes for what is taken out work no more; others do.
    for team in ["Newt Works", "Silt Sisters"] {
        let new = NewCode {
            kind: CodeKind::Join,
            hash: team.to_owned(),
            held: Held::new(RoleKind::Student, team),
            person: None,
            made_by: None,
            expires_at: None,
            uses: None,
        };
        store.add_code(region, &new, ids, NOW).await.unwrap();
    }
    let mut second = happening(file(1, "x = 3"), 2, "file-3");
    let gone = Held::new(RoleKind::Student, "Newt Works");
    second.ground.file.as_mut().unwrap().gone = vec![gone];
    store.happen(region, &second, &names(), ids).await.unwrap();
    for (team, works) in [("Newt Works", false), ("Silt Sisters", true)] {
        let code = store.code(region, CodeKind::Join, team).await.unwrap();
        assert_eq!(code.unwrap().works(NOW), works, "{team}");
    }
    let all = store.region_documents(region).await.unwrap();
    assert_eq!(all, ["x = 3", "x = 2", "x = 1"], "newest first");
    let newest = store.region_file_after(region, 0).await.unwrap();
    assert_eq!(newest, Some((2, "x = 3".to_owned())));
    let listed = store.region_files(region).await.unwrap();
    let revisions: Vec<i64> = listed.iter().map(|one| one.revision).collect();
    assert_eq!(revisions, [2, 1], "newest first");
    assert_eq!(
        (listed[0].actor.as_str(), listed[0].reason.to_string()),
        ("host:brindlemoor", "one more team".to_owned())
    );
}

pub(crate) async fn what_the_ground_was_can_not_be_edited(store: &Ground) {
    let (region, _) = give_one(store).await;
    let ids = &mut IdSource::seeded(63);
    let what = GroundChange {
        file: file(0, "x = 2").file,
        ..closing()
    };
    let what = happening(what, 1, "both-1");
    store.happen(region, &what, &names(), ids).await.unwrap();
    for table in ["site_closures", "region_files"] {
        for change in ["UPDATE {} SET reason = 'x'", "DELETE FROM {}"] {
            let error = store.run(&change.replace("{}", table)).await.unwrap_err();
            assert!(error.to_string().contains("append-only"), "{error}");
        }
    }
}

pub(crate) async fn tables_from_before_closures_are_brought_up_to_date(store: &Ground) {
    let (region, given) = give_one(store).await;
    for sql in [
        "DROP TABLE site_closures",
        "DROP TABLE region_files",
        "ALTER TABLE person_roles DROP COLUMN until",
        "DELETE FROM schema_steps WHERE step >= 12",
    ] {
        store.run(sql).await.unwrap();
    }
    let again = store.reopened().await;
    assert_eq!(again.closures(region).await.unwrap(), []);
    assert_eq!(again.region_file_after(region, 0).await.unwrap(), None);
    assert_eq!(again.pledges(region).await.unwrap(), [given]);
}

fn outage(printer: &str, from: i64, until: i64) -> Outage {
    Outage {
        printer: printer.to_owned(),
        from: Minute(from),
        until: Minute(until),
        reason: "the power went".to_owned(),
    }
}

fn out(outages: Vec<Outage>, revision: i64, key: &str) -> Happening {
    Happening {
        kind: "printer.out-of-use",
        outages,
        ..happening(GroundChange::default(), revision, key)
    }
}

/// Teal works again.
fn back(at: i64, revision: i64, key: &str) -> Happening {
    let teal = BackInUse {
        printer: "Teal".to_owned(),
        at: Minute(at),
    };
    Happening {
        kind: "printer.back-in-use",
        ..happening(
            GroundChange {
                back: Some(teal),
                ..GroundChange::default()
            },
            revision,
            key,
        )
    }
}

pub(crate) async fn a_printer_that_works_again_ends_what_was_told_of_it_before(store: &Ground) {
    let (region, _) = give_one(store).await;
    let ids = &mut IdSource::seeded(65);
    let both = out(vec![outage("Teal", 100, 900)], 1, "out-1");
    store.happen(region, &both, &names(), ids).await.unwrap();
    let other = out(vec![outage("Heron", 100, 900)], 2, "out-2");
    store.happen(region, &other, &names(), ids).await.unwrap();
    let told = store.told_of_use(region, "Teal", Minute(300)).await;
    let told = told.unwrap();
    assert_eq!((told.out.len(), told.last.is_some()), (1, true));
    let ending = back(400, 3, "back-1");
    let entry = store.happen(region, &ending, &names(), ids).await.unwrap();
    let entry = entry.unwrap();
    let again = store.happen(region, &ending, &names(), ids).await.unwrap();
    assert_eq!(again, None, "sent twice, it is one deed");
    // Out again later: what ended before does not end that.
    let later = out(vec![outage("Teal", 500, 700)], 4, "out-3");
    store.happen(region, &later, &names(), ids).await.unwrap();
    let was = [
        outage("Teal", 100, 400),
        outage("Heron", 100, 900),
        outage("Teal", 500, 700),
    ];
    for looked in [&**store, &store.reopened().await] {
        assert_eq!(looked.outages(region).await.unwrap(), was);
        let floor = looked.floor(region, &names()).await.unwrap();
        assert_eq!(floor.outages, was);
    }
    let as_told = [
        outage("Teal", 100, 900),
        outage("Heron", 100, 900),
        outage("Teal", 500, 700),
    ];
    let without = store.outages_without(region, entry).await.unwrap();
    assert_eq!(without, as_told);
    let undone = Happening {
        takes_back: Some(TakenBack {
            undoes: entry,
            ..TakenBack::default()
        }),
        ..happening(GroundChange::default(), 5, "undo-1")
    };
    store.happen(region, &undone, &names(), ids).await.unwrap();
    assert_eq!(store.outages(region).await.unwrap(), as_told);
    // One that ended in the minute in which it began was none.
    let at_once = back(500, 6, "back-2");
    store.happen(region, &at_once, &names(), ids).await.unwrap();
    assert_eq!(
        store.outages(region).await.unwrap(),
        [outage("Teal", 100, 500), outage("Heron", 100, 900)]
    );
    for change in [
        "UPDATE outage_ends SET at_min = 2",
        "DELETE FROM outage_ends",
    ] {
        let refused = store.run(change).await.unwrap_err().to_string();
        assert!(refused.contains("append-only"), "{refused}");
    }
}
