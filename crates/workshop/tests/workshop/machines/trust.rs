//! What is not taken of a printer's word: another plate's end, a time that can't be, a gap.

use super::*;

#[tokio::test]
async fn an_end_is_of_one_start_only() {
    // The printer began, ended at once, and was started again.
    let mut world = World::new().await;
    world.says(-3, "ACTIVE");
    world.says(2, "READY");
    world.read(world.min(3)).await;
    let ended = world.sheet_says(world.min(3)).await;
    assert!(matches!(ended, Some(State::Ended { .. })), "{ended:?}");
    world.take_back_start(world.min(4)).await.unwrap();
    world.says(5, "ACTIVE");
    world.read(world.min(6)).await;
    let (plate, since) = (Some(world.plate), world.ms(5));
    let runs = State::Runs { plate, since };
    assert_eq!(world.state(world.min(6)).await, runs);
    assert_eq!(world.sheet_says(world.min(6)).await, Some(runs));
    world.says(50, "READY");
    world.read(world.min(51)).await;
    let run = world.off(world.min(55)).await;
    assert_eq!((run.started_at, run.ended_at), (world.ms(5), world.ms(50)));

    // The same, ticked by somebody: the end before is not this start's.
    let mut world = World::new().await;
    world.says(-3, "ACTIVE");
    world.says(2, "READY");
    world.read(world.min(3)).await;
    world.take_back_start(world.min(4)).await.unwrap();
    world.does(world.min(5), &Act::Start).await.unwrap();
    assert_eq!(world.state(world.min(6)).await, State::Rests);
    assert_eq!(world.sheet_says(world.min(6)).await, None);
    let off = world.min(55);
    assert_eq!(world.off(off).await.ended_at, off.to_ms());
}

#[tokio::test]
async fn nobody_is_told_to_reach_into_a_printer_that_moves() {
    let mut world = World::new().await;
    world.says(-3, "ACTIVE");
    world.says(40, "READY");
    world.read(world.min(41)).await;
    let ended = world.sheet_says(world.min(41)).await;
    assert!(matches!(ended, Some(State::Ended { .. })), "{ended:?}");
    world.says(60, "ACTIVE");
    world.read(world.min(61)).await;
    let (plate, since) = (None, world.ms(60));
    let runs = State::Runs { plate, since };
    assert_eq!(world.state(world.min(61)).await, runs);
    assert_eq!(
        world.sheet_says(world.min(61)).await,
        Some(runs),
        "the sheet says that it moves"
    );
    // On hold it may go on.
    world.says(62, "FEED_HOLD");
    world.read(world.min(63)).await;
    let held = world.sheet_says(world.min(63)).await;
    assert!(matches!(held, Some(State::Halted { .. })), "{held:?}");
}

#[tokio::test]
async fn a_program_of_something_else_is_no_plate_of_ours() {
    // Another plate than the one that somebody ticked.
    let mut world = World::new().await;
    world.does(world.min(-5), &Act::Start).await.unwrap();
    world.agent.says(world.ms(-4), "Program", "plate-999.3mf");
    world.says(-3, "ACTIVE");
    world.read(world.min(-2)).await;
    let (plate, since) = (None, world.ms(-3));
    let state = world.state(world.min(-2)).await;
    assert_eq!(state, State::Runs { plate, since });
    world.says(45, "PROGRAM_COMPLETED");
    world.read(world.min(46)).await;
    let off = world.min(60);
    let run = world.off(off).await;
    assert_eq!(
        (run.started_at, run.ended_at),
        (world.min(-5).to_ms(), off.to_ms())
    );

    // Something that has a name, and not one of ours, when a plate is due.
    for name in ["bracket.gcode", "faceplate-1.gcode", "base plate"] {
        let mut world = World::new().await;
        world.agent.says(world.ms(-4), "Program", name);
        world.says(-3, "ACTIVE");
        world.read(world.min(-2)).await;
        assert_eq!(world.step(StepKind::Started).await, None, "{name}");
    }
}

#[tokio::test]
async fn what_began_seconds_after_a_tick_is_what_was_ticked() {
    let mut world = World::new().await;
    world.agent.says(world.ms(-4), "Program", "bracket.gcode");
    world.says(-3, "ACTIVE");
    // The tablet was without a network: its tick comes after the printer's word.
    world.read(world.min(-2)).await;
    world.does(world.min(-3), &Act::Start).await.unwrap();
    let (plate, since) = (Some(world.plate), world.ms(-3));
    let state = world.state(world.min(-1)).await;
    assert_eq!(state, State::Runs { plate, since });
    world.says(45, "READY");
    world.read(world.min(46)).await;
    assert_eq!(world.off(world.min(60)).await.ended_at, world.ms(45));
}

#[tokio::test]
async fn a_printer_whose_own_clock_is_slow_is_noticed() {
    let mut world = World::new().await;
    // Heard before, at 20 minutes before the start, and stamped earlier than that.
    world.says(-27, "ACTIVE");
    world.read(world.min(-2)).await;
    assert_eq!(world.step(StepKind::Started).await, None);
    for now in [-2, -1] {
        world.read(world.min(now)).await;
        let State::Faulty { code, words, .. } = world.state(world.min(now)).await else {
            panic!("{:?}", world.state(world.min(now)).await);
        };
        assert_eq!(
            (code.as_str(), words.as_str()),
            ("stamps", "its clock is 6 minutes slow")
        );
    }
    // It is right again as soon as it says something at a time that can be.
    world.says(3, "READY");
    world.says(4, "ACTIVE");
    world.read(world.min(5)).await;
    assert_eq!(world.step(StepKind::Started).await.unwrap().at, world.ms(4));
}

#[tokio::test]
async fn a_refusal_neither_begins_anew_nor_is_shown() {
    let mut world = World::new().await;
    let session = world.at(world.min(-2)).await;
    let asked = next(&session, &clock(), &world.printer).await;
    let asked = asked.unwrap().unwrap();
    let refusal = "<MTConnectError><Header instanceId=\"99\"/><Errors><Error \
                   errorCode=\"Call 0900 now\">and say OUT_OF_RANGE</Error></Errors></MTConnectError>";
    let answer = Ok(refusal.as_bytes().to_vec());
    let more = answered(&session, &clock(), &asked, answer).await;
    assert!(!more.unwrap());
    let State::Faulty { code, words, .. } = world.state(world.min(-2)).await else {
        panic!("{:?}", world.state(world.min(-2)).await);
    };
    let refuses = "the agent refuses to answer";
    assert_eq!((code.as_str(), words.as_str()), ("unread", refuses));
    // What it still has is read from where it was left.
    world.says(-3, "ACTIVE");
    world.read(world.min(-1)).await;
    assert_eq!(
        world.step(StepKind::Started).await.unwrap().at,
        world.ms(-3)
    );
}

#[tokio::test]
async fn a_run_with_a_gap_in_it_is_not_witnessed() {
    // The agent began anew; nobody could reach the machine; nobody had asked before it ran.
    for gap in ["anew", "unavailable", "first"] {
        let mut world = World::new().await;
        if gap == "first" {
            // As if nobody had ever asked.
            world = World::unread().await;
            world.says(-3, "ACTIVE");
            world.does(world.min(-3), &Act::Start).await.unwrap();
        } else {
            world.says(-3, "ACTIVE");
            world.read(world.min(-2)).await;
            assert!(world.step(StepKind::Started).await.is_some());
        }
        match gap {
            "anew" => {
                world.agent.restarts();
                world.says(10, "ACTIVE");
            }
            "unavailable" => {
                world.says(10, "UNAVAILABLE");
                world.says(12, "ACTIVE");
            }
            _ => {}
        }
        world.read(world.min(13)).await;
        world.says(45, "PROGRAM_COMPLETED");
        world.read(world.min(46)).await;
        let run = world.off(world.min(50)).await;
        assert_eq!(run.ended_at, world.ms(45), "{gap}");
        assert!(!run.witnessed, "{gap}: it may have stood still meanwhile");
    }
}

#[tokio::test]
async fn a_printer_that_flickers_is_not_taken_for_an_hour() {
    let mut world = World::new().await;
    world.does(world.min(-5), &Act::Start).await.unwrap();
    world.says(-3, "ACTIVE");
    let at = |world: &World, s: i64| EventMs(world.ms(-2).0 + s * 1_000);
    // Few with every answer, and many together.
    for i in 0..30 {
        for (s, what) in [(0, "INTERRUPTED"), (10, "ACTIVE")] {
            let at = at(&world, i * 60 + s);
            world.agent.says(at, "Execution", what);
        }
        world.read(world.min(i - 1)).await;
    }
    let state = world.state(world.min(29)).await;
    let flickers = matches!(&state, State::Faulty { code, .. } if code == "flicker");
    assert!(flickers, "{state:?}");
    let many = world.kinds("machine.said").await;
    assert!((30..=42).contains(&many), "{many}");
    // An hour later it is heard again.
    world.read(world.min(85)).await;
    world.says(90, "PROGRAM_COMPLETED");
    world.read(world.min(91)).await;
    let state = world.state(world.min(91)).await;
    assert!(matches!(state, State::Ended { .. }), "{state:?}");
    assert!(!world.off(world.min(95)).await.witnessed);
}

#[tokio::test]
async fn an_agent_may_use_its_numbers_again() {
    let mut world = World::new().await;
    world.says(-3, "ACTIVE");
    world.says(1, "INTERRUPTED");
    world.read(world.min(2)).await;
    assert_eq!(world.kinds("machine.said").await, 1);
    world.agent.counts_again();
    world.says(5, "ACTIVE");
    world.read(world.min(6)).await;
    assert_eq!(world.kinds("machine.said").await, 2, "that it was lost");
    // Number 2 was its start.
    world.says(10, "INTERRUPTED");
    world.read(world.min(11)).await;
    assert_eq!(world.kinds("machine.said").await, 3);
}

#[tokio::test]
async fn an_agent_that_never_answered_is_told_at_once() {
    let world = World::unread().await;
    assert_eq!(world.state(world.min(-20)).await, State::NotAsked);
    let session = world.at(world.min(-20)).await;
    let asked = next(&session, &clock(), &world.printer).await;
    let asked = asked.unwrap().unwrap();
    let why = partpledge_words::say("machines-why-nothing-listens");
    let more = answered(&session, &clock(), &asked, Err(why)).await;
    assert!(!more.unwrap());
    let since = world.min(-20).to_ms();
    let why = "nothing listens at its address";
    let (code, words) = ("silent".to_owned(), why.to_owned());
    let faulty = State::Faulty { code, words, since };
    assert_eq!(world.state(world.min(-19)).await, faulty);
}

#[tokio::test]
async fn a_printer_that_runs_with_nobody_there_and_may_not_is_told() {
    let mine = |line: &&str| !line.starts_with("unattended_permission");
    let strict = region();
    let strict: Vec<&str> = strict.lines().filter(mine).collect();
    let mut world = World::in_region(&strict.join("\n")).await;
    let night = parse_rfc3339("2027-03-09T23:30:00+01:00").unwrap();
    let name = format!("plate-{}", world.plate);
    world.agent.says(night, "Program", &name);
    world.agent.says(night, "Execution", "ACTIVE");
    let now = Minute::at_or_after(night);
    world.read(now).await;
    let (state, alone) = world.standing(now).await;
    let plate = Some(world.plate);
    assert_eq!(
        state,
        State::Runs {
            plate,
            since: night
        }
    );
    assert_eq!(
        alone,
        Some(now),
        "it has happened; it is on record, and somebody is called"
    );
    assert!(world.step(StepKind::Started).await.is_some());
    // While people are there they read when they would leave it alone.
    let mut world = World::in_region(&strict.join("\n")).await;
    let terrain = &world.session.terrain;
    let ix = terrain.printer_of(&world.printer).unwrap();
    let site = terrain.region.printers[ix.0].site_at(world.start);
    let mut windows = terrain.region.sites[site.0].staffed.as_slice().iter();
    let leave = windows.find(|one| one.until > world.start).unwrap().until;
    let late = leave + Minutes(-10);
    world.agent.says(late.to_ms(), "Program", &name);
    world.agent.says(late.to_ms(), "Execution", "ACTIVE");
    world.read(late).await;
    let (state, alone) = world.standing(late).await;
    assert!(
        matches!(state, State::Runs { plate: Some(_), .. }),
        "{state:?}"
    );
    assert_eq!(alone, Some(leave));
    // Of what nobody knows nobody knows when it ends.
    let mut world = World::in_region(&strict.join("\n")).await;
    world.agent.says(late.to_ms(), "Program", "bracket");
    world.agent.says(late.to_ms(), "Execution", "ACTIVE");
    world.read(late).await;
    let long_before = leave + Minutes(-61);
    assert_eq!(world.standing(long_before).await.1, None);
    assert_eq!(world.standing(late).await.1, Some(leave));
    assert_eq!(world.standing(leave).await.1, Some(leave));
}
