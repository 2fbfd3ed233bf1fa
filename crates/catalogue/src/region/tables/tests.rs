//! Tables out and in again.

use proptest::prelude::*;

use super::*;
use crate::Catalogue;
use crate::region::{
    AdultFor, AgentEntry, Closure, Host, Limits, PaidBy, PrinterEntry, ReviewMode, School,
    StayEntry, Team,
};

fn catalogue() -> Catalogue {
    Catalogue::built_in()
}

/// A region with no school in it.
fn empty() -> RegionFile {
    RegionFile {
        name: "Fenmarch".to_owned(),
        league: "Fenmarch League".to_owned(),
        zone: "Europe/Stockholm".to_owned(),
        currency: "EUR".to_owned(),
        origin: None,
        closures: vec![Closure {
            from: "2027-02-15".to_owned(),
            to: "2027-02-19".to_owned(),
            reason: "half-term".to_owned(),
        }],
        schools: Vec::new(),
        teams: Vec::new(),
        hosts: Vec::new(),
        printers: Vec::new(),
        couriers: Vec::new(),
        relays: Vec::new(),
        events: Vec::new(),
        season_ends: Some("2027-06-12".to_owned()),
        keep_people_days: None,
        review: ReviewMode::All,
        trusted_teams: Vec::new(),
        limits: Limits::default(),
        undecided: crate::region::Undecided::default(),
        wrong_unit_is_paid_by: PaidBy::Region,
        prices: None,
    }
}

/// Names as people write them, and as they should not: formulas, quotes, commas, semicolons.
fn name() -> impl Strategy<Value = String> {
    let odd = prop::sample::select(vec![
        '=', '+', '-', '@', '\'', '"', ',', ';', ' ', 'a', 'Z', '7', 'å', '漢', '.',
    ]);
    let text = prop::collection::vec(odd, 1..12);
    text.prop_map(|chars| {
        let text: String = chars.into_iter().collect();
        text.trim().to_owned()
    })
    .prop_filter("a name is not empty", |text| !text.is_empty())
}

/// Distinct names in number order: the property is not about names that stand twice.
fn names(many: std::ops::Range<usize>) -> impl Strategy<Value = Vec<String>> {
    let one = prop::collection::vec(name(), many);
    one.prop_map(|all| {
        let numbered = all.into_iter().enumerate();
        numbered.map(|(i, name)| format!("{name}{i}")).collect()
    })
}

fn share(to: f64) -> impl Strategy<Value = f64> {
    (0..=1_000_u32).prop_map(move |n| f64::from(n) / 1_000.0 * to)
}

prop_compose! {
    fn host(school: String)(
        bench in name(),
        sat in any::<bool>(),
        boxing_min in 0..=1_440_i64,
        starts in prop::option::of(1..9_u32),
        no_show in share(0.5),
        shut in any::<bool>(),
        adult_for in prop::option::of(prop::sample::subsequence(AdultFor::ALL.to_vec(), 0..=3)),
    ) -> Host {
        let mut hours = vec!["mon-fri 08:15-17:30".to_owned()];
        hours.extend(sat.then(|| "sat 09:00-13:00".to_owned()));
        let closure = Closure {
            from: "2027-03-01".to_owned(),
            to: "2027-03-02".to_owned(),
            reason: "floors are done".to_owned(),
        };
        Host {
            school: school.clone(),
            bench,
            hours,
            boxing_min,
            closures: shut.then_some(closure).into_iter().collect(),
            starts_a_window: starts,
            no_show,
            student_run: adult_for.is_some() || sat,
            adult_for,
            // Of the day of a meeting: see the tests of those benches.
            spares_on: None,
        }
    }
}

prop_compose! {
    fn printer(name: String, hosts: Vec<String>)(
        at in prop::sample::select(hosts.clone()),
        to in prop::sample::select(hosts.clone()),
        travels in any::<bool>(),
        permission in prop::option::of(self::name()),
        class in 0..catalogue().classes.len(),
        start_failure in share(0.9),
        failures_per_hour in share(1.0),
        time_sigma in share(0.5),
        device in prop::option::of(self::name()),
    ) -> PrinterEntry {
        let catalogue = catalogue();
        let class = &catalogue.classes[class];
        let taken = catalogue.materials.iter().filter(|m| class.takes(&m.code));
        let stay = |host: &String, from: &str, to: &str| StayEntry {
            host: host.clone(),
            from: from.to_owned(),
            to: to.to_owned(),
        };
        let stays = [stay(&at, "2027-03-01", "2027-03-05"), stay(&to, "2027-03-08", "2027-03-12")];
        PrinterEntry {
            name: name.clone(),
            host: at.clone(),
            class: class.code.clone(),
            materials: taken.map(|m| m.code.clone()).collect(),
            unattended_permission: permission,
            start_failure,
            failures_per_hour,
            time_sigma,
            stays: if travels { stays.to_vec() } else { Vec::new() },
            battery_area: travels,
            agent: device.map(|device| AgentEntry {
                address: "http://10.0.0.5:5000".to_owned(),
                device,
            }),
            at_home: None,
        }
    }
}

/// A random region in order.
fn region() -> impl Strategy<Value = RegionFile> {
    let schools = (
        names(1..6),
        prop::collection::vec((-50.0..50.0_f64, -50.0..50.0_f64), 6),
    );
    schools.prop_flat_map(|(names_of, at)| {
        let schools: Vec<School> = (names_of.into_iter().zip(at).enumerate())
            .map(|(i, (name, (x_km, y_km)))| School {
                code: format!("s-{i}"),
                name,
                x_km,
                y_km,
            })
            .collect();
        let codes: Vec<String> = schools.iter().map(|s| s.code.clone()).collect();
        let hosts: Vec<_> = codes.iter().cloned().map(host).collect();
        let printers = names(0..5).prop_flat_map({
            let codes = codes.clone();
            move |all| {
                let one = |name: String| printer(format!("P{name}"), codes.clone());
                all.into_iter().map(one).collect::<Vec<_>>()
            }
        });
        let team = (name(), prop::sample::select(codes));
        let teams = prop::collection::vec(team, 0..6);
        (Just(schools), hosts, printers, teams).prop_map(|(schools, hosts, printers, teams)| {
            let numbered = teams.into_iter().enumerate();
            let team = |(i, (name, school)): (usize, (String, String))| Team {
                name: format!("{name} T{i}"),
                school,
            };
            RegionFile {
                schools,
                hosts,
                printers,
                teams: numbered.map(team).collect(),
                ..empty()
            }
        })
    })
}

fn reviewed(file: &RegionFile, table: Table, text: &str, removes: bool) -> Review {
    review(file, table, (text.as_bytes(), removes), &catalogue()).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn what_was_taken_out_and_put_in_again_changes_nothing(file in region(), removes: bool) {
        for table in Table::ALL {
            let csv = to_csv(&file, table);
            let read = review(&file, table, (&csv, removes), &catalogue()).unwrap();
            prop_assert!(read.changes_nothing(), "{:?}", read.lines);
            prop_assert_eq!(read.file.as_ref(), Some(&file));
        }
    }

    #[test]
    fn a_region_is_built_from_its_tables_alone(file in region()) {
        let mut made = empty();
        for table in Table::ALL {
            let csv = to_csv(&file, table);
            let read = review(&made, table, (&csv, true), &catalogue()).unwrap();
            let all_new = read.lines.iter().all(|line| matches!(line.change, Change::Added(_)));
            prop_assert!(all_new, "{:?}", read.lines);
            made = read.file.unwrap();
        }
        // Closures of single hosts stand in no table.
        let mut expected = file;
        expected.hosts.iter_mut().for_each(|host| host.closures.clear());
        prop_assert_eq!(made, expected);
    }

    #[test]
    fn no_cell_is_a_formula_but_plain_numbers(file in region()) {
        for table in Table::ALL {
            let csv = to_csv(&file, table);
            let mut reader = csv::Reader::from_reader(csv.as_slice());
            for record in reader.records() {
                for cell in &record.unwrap() {
                    let formula = cell.starts_with(['=', '+', '-', '@']);
                    prop_assert!(!formula || cell.parse::<f64>().is_ok(), "{}", cell);
                }
            }
        }
    }

    #[test]
    fn a_region_file_is_written_as_it_is_read(file in region()) {
        let text = file.to_toml().unwrap();
        prop_assert_eq!(RegionFile::parse(&text, &catalogue()).unwrap(), file);
    }

    #[test]
    fn no_bytes_panic(bytes in prop::collection::vec(any::<u8>(), 0..200), removes: bool) {
        for table in Table::ALL {
            let mut all = table.columns().join(",").into_bytes();
            all.push(b'\n');
            all.extend(&bytes);
            let read = review(&empty(), table, (&all, removes), &catalogue());
            if let Ok(Review { file: Some(file), .. }) = read {
                prop_assert!(file.check(&catalogue()).is_ok());
            }
        }
    }
}

fn small() -> RegionFile {
    let school = |code: &str| School {
        code: code.to_owned(),
        name: format!("{code} school"),
        x_km: 0.0,
        y_km: 0.0,
    };
    let team = |name: &str, school: &str| Team {
        name: name.to_owned(),
        school: school.to_owned(),
    };
    RegionFile {
        schools: vec![school("alder"), school("elm")],
        teams: vec![team("Alder Axles", "alder"), team("Elm Elks", "elm")],
        trusted_teams: vec!["Elm Elks".to_owned()],
        ..empty()
    }
}

#[test]
fn every_line_says_what_it_comes_to() {
    let text = "\u{feff}name,school\nAlder Axles,elm\nNew Newts,alder\n\n";
    let read = reviewed(&small(), Table::Teams, text, true);
    let said: Vec<_> = read
        .lines
        .iter()
        .map(|l| (l.number, l.key.as_str()))
        .collect();
    assert_eq!(
        said,
        [
            (Some(2), "Alder Axles"),
            (Some(3), "New Newts"),
            (None, "Elm Elks")
        ]
    );
    let changed = CellChange {
        column: "school".into(),
        was: "alder".to_owned(),
        is: "elm".to_owned(),
    };
    assert_eq!(read.lines[0].change, Change::Changed(vec![changed]));
    let cell = |column: &'static str, is: &str| CellChange {
        column: column.into(),
        was: String::new(),
        is: is.to_owned(),
    };
    let cells = vec![cell("name", "New Newts"), cell("school", "alder")];
    assert_eq!(read.lines[1].change, Change::Added(cells));
    assert_eq!(read.lines[2].change, Change::Removed);
    let file = read.file.unwrap();
    assert!(file.trusted_teams.is_empty(), "nobody trusts who is gone");
    let stays = reviewed(&small(), Table::Teams, text, false);
    assert_eq!(stays.file.unwrap().teams.len(), 3, "what is left out stays");
}

#[test]
fn white_space_around_a_name_is_none_of_it() {
    let text = "name,school\n Alder Axles ,elm\nElm Elks\t,elm\nElm Elks,elm\n";
    let read = reviewed(&small(), Table::Teams, text, true);
    let keys: Vec<&str> = read.lines.iter().map(|line| line.key.as_str()).collect();
    assert_eq!(keys, ["Alder Axles", "Elm Elks", "Elm Elks"]);
    let changed = &read.lines[0].change;
    assert!(matches!(changed, Change::Changed(_)), "{changed:?}");
    assert_eq!(read.lines[1].change, Change::Same);
    let twice = &read.lines[2].change;
    assert!(matches!(twice, Change::Wrong(_)), "{twice:?}");
}

#[test]
fn what_is_wrong_is_said_by_line_and_column() {
    let text = "code,name,x_km,y_km\r\n\
                Al der,x,0,0\r\n\
                oak,,1,\"0,5\"\r\n\
                elm,alder school,0,0\r\n\
                birch,Birch\r\n\
                oak,Oak,0,0\r\n";
    let read = reviewed(&small(), Table::Schools, text, false);
    let faults = |line: &Line| -> Vec<&str> {
        match &line.change {
            Change::Wrong(faults) => faults.iter().map(|fault| fault.column).collect(),
            other => panic!("{other:?}"),
        }
    };
    let said: Vec<_> = read
        .lines
        .iter()
        .map(|l| (l.number.unwrap(), faults(l)))
        .collect();
    assert_eq!(
        said,
        [
            (2, vec!["code"]),
            (3, vec!["name", "y_km"]),
            (4, vec!["name"]),
            (5, vec!["code"]),
            (6, vec!["code"]),
        ]
    );
    assert_eq!(read.file, None);
}

#[test]
fn a_region_that_would_not_hold_together_is_refused_as_a_whole() {
    let read = reviewed(
        &small(),
        Table::Schools,
        "code,name,x_km,y_km\nelm,elm school,0,0\n",
        true,
    );
    assert_eq!(read.file, None);
    assert!(
        read.whole[0].starts_with("Alder Axles needs “alder”"),
        "{:?}",
        read.whole
    );
}

#[test]
fn other_files_are_told_apart() {
    let read = |bytes: &[u8]| review(&small(), Table::Teams, (bytes, false), &catalogue());
    let columns = "name,school".to_owned();
    assert_eq!(
        read(b"name;school\na;b\n"),
        Err(TableError::OtherColumns {
            columns: columns.clone()
        })
    );
    assert_eq!(read(b""), Err(TableError::OtherColumns { columns }));
    assert_eq!(read(b"name,school\n\xff\xfe"), Err(TableError::NotUtf8));
    assert_eq!(read(&vec![b'x'; 300_000]), Err(TableError::TooLarge));
}
