//! Motion programs that hosts send for plates.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use bytes::Bytes;
use partpledge_planning_model::Plan;
use partpledge_records::{
    BlobHash, FinishedRun, GroundChange, Happening, NotUsed, PlateProgram, Said, StockChange,
    StoreError,
};
use partpledge_units::ids::IdSource;
use partpledge_units::time::EventMs;

use crate::database::WITHOUT_SPOOLS;
use crate::floor::deed;
use crate::ground::Ground;
use crate::sample::{NOW, give_one, names, slot};

fn program(blob: BlobHash, worked_out_min: i64) -> PlateProgram {
    PlateProgram {
        plate: 1,
        class: "swift".to_owned(),
        blob,
        file_name: "bracket \u{201c}new\u{201d}.txt".to_owned(),
        worked_out_min,
        levelling_min: 2,
        mass_g: 0.1 + 0.2,
        layers: 144,
        not_used: vec![NotUsed {
            word: "M106 \"".to_owned(),
            count: u64::from(u32::MAX) + 1,
        }],
        received_at: NOW,
    }
}

fn received(program: PlateProgram, revision: i64, key: &str) -> Happening {
    Happening {
        kind: "program.received",
        payload: vec![("plate", Said::Numbers(vec![1]))],
        deed: deed(Some(key)),
        revision,
        steps: Vec::new(),
        copies: Vec::new(),
        requests: Vec::new(),
        closed: Vec::new(),
        reprints: Vec::new(),
        ends: Vec::new(),
        notes: Vec::new(),
        outages: Vec::new(),
        runs: Vec::new(),
        box_code: None,
        to_look: None,
        moment: None,
        program: Some(program),
        last_notes: Vec::new(),
        measured: Vec::new(),
        takes_back: None,
        stock: StockChange::default(),
        ground: GroundChange::default(),
        plan: Some((
            Plan {
                assignments: vec![slot(1)],
            },
            partpledge_words::said!("common-as-written", text = "a program came"),
        )),
    }
}

pub(crate) async fn a_program_is_kept_with_its_plan_once_and_the_latest_counts(store: &Ground) {
    let (region, _) = give_one(store).await;
    let mut ids = IdSource::seeded(50);
    let blob = store.put_blob(Bytes::from_static(b"G1 X1")).await.unwrap();
    let first = received(program(blob.clone(), 120), 1, "program-1");
    for entry in [Some(2), None] {
        let written = store.happen(region, &first, &names(), &mut ids).await;
        assert_eq!(written.unwrap(), entry, "the same deed, once");
    }
    let floor = store.floor(region, &names()).await.unwrap();
    assert_eq!(floor.revision, 2);
    assert_eq!(floor.programs, [program(blob.clone(), 120)]);
    assert_eq!(floor.plates[0].makings[0].worked_out.0, 90, "ours stays");
    let second = received(program(blob.clone(), 80), 2, "program-2");
    let written = store.happen(region, &second, &names(), &mut ids).await;
    assert_eq!(written.unwrap(), Some(3));
    let again = store.reopened().await;
    let floor = again.floor(region, &names()).await.unwrap();
    assert_eq!(floor.programs, [program(blob, 80)], "the latest");
    assert_eq!(floor.program_of(1).map(|p| p.worked_out_min), Some(80));
    assert_eq!(floor.program_of(2), None);
    for change in [
        "UPDATE plate_programs SET worked_out_min = 1",
        "DELETE FROM plate_programs",
    ] {
        let refused = store.run(change).await.unwrap_err().to_string();
        assert!(refused.contains("append-only"), "{refused}");
    }
}

pub(crate) async fn a_program_on_an_old_plan_or_of_no_plate_leaves_nothing(store: &Ground) {
    let (region, _) = give_one(store).await;
    let mut ids = IdSource::seeded(51);
    let rows = store.rows_of_giving().await;
    let blob = BlobHash::of(b"G1 X1");
    let old = received(program(blob.clone(), 120), 0, "program-1");
    let refused = store.happen(region, &old, &names(), &mut ids).await;
    assert!(matches!(refused.unwrap_err(), StoreError::Stale { .. }));
    let nowhere = PlateProgram {
        plate: 77,
        ..program(blob, 120)
    };
    let what = received(nowhere, 1, "program-1");
    assert!(
        store
            .happen(region, &what, &names(), &mut ids)
            .await
            .is_err()
    );
    assert_eq!(store.rows_of_giving().await, rows);
    let floor = store.floor(region, &names()).await.unwrap();
    assert_eq!((floor.revision, floor.programs.len()), (1, 0));
}

/// Runs from before hosts could send programs were timed by our lines.
pub(crate) async fn tables_from_before_programs_keep_their_runs(ground: &Ground) {
    let (region, _) = give_one(ground).await;
    let mut ids = IdSource::seeded(52);
    let run = FinishedRun {
        plate: 1,
        printer: "Teal".to_owned(),
        sheet: "petg-plain".to_owned(),
        worked_out_min: 90,
        started_at: NOW,
        ended_at: EventMs(NOW.0 + 1),
        copies: 2,
        good: 2,
        whole: true,
        witnessed: true,
        by_itself: true,
        by_program: false,
    };
    let blob = BlobHash::of(b"G1 X1");
    let what = Happening {
        runs: vec![run.clone()],
        program: None,
        last_notes: Vec::new(),
        measured: Vec::new(),
        takes_back: None,
        ..received(program(blob, 1), 1, "run-1")
    };
    ground
        .happen(region, &what, &names(), &mut ids)
        .await
        .unwrap();
    for sql in WITHOUT_SPOOLS {
        ground.run(sql).await.unwrap();
    }
    for sql in [
        "ALTER TABLE plates DROP COLUMN joins",
        "DROP TABLE taken_back",
        "DROP TABLE plate_programs",
        "ALTER TABLE finished_runs DROP COLUMN timed_by",
        "ALTER TABLE person_roles DROP COLUMN until",
        "DELETE FROM schema_steps WHERE step >= 4",
    ] {
        ground.run(sql).await.unwrap();
    }
    let again = ground.reopened().await;
    assert_eq!(again.finished_runs(region).await.unwrap(), [run]);
    let floor = again.floor(region, &names()).await.unwrap();
    assert!(floor.programs.is_empty());
}
