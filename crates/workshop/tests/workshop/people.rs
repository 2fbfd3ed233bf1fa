//! People: coming in, wrong tries, rights of use cases, leaving.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use partpledge_records::{CodeKind, Held, PersonKind, RoleKind, TokenKind};
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::EventMs;
use partpledge_workshop::people::inviting::NewAdult;
use partpledge_workshop::people::signing_in::NewToken;
use partpledge_workshop::people::{Asked, People, PeopleError, Problem, Signed};
use partpledge_workshop::{Actor, Role, Session, WorkshopError};

const HERE: &str = "192.0.2.7";
const PASSWORD: &str = "four words by the weir";
const MINUTE: i64 = 60_000;
const HOUR: i64 = 60 * MINUTE;
const DAY: i64 = 24 * HOUR;

struct Ground {
    session: Session,
    now: EventMs,
    _dir: tempfile::TempDir,
}

impl Ground {
    async fn new() -> Self {
        Self::of(partpledge_testbed::ambrel_valley()).await
    }

    async fn of(region: &str) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let now = parse_rfc3339("2027-03-09T10:02:00+01:00").unwrap();
        let data = dir.path().join("data");
        let session = Session::open(&data, region, now).await.unwrap();
        Self {
            session,
            now,
            _dir: dir,
        }
    }

    fn people(&self) -> People<'_> {
        self.after(0)
    }

    fn after(&self, ms: i64) -> People<'_> {
        self.session.people(EventMs(self.now.0 + ms)).unwrap()
    }

    async fn adult(&self, email: &str, held: &Held) -> Signed {
        let people = self.people();
        let machine = Actor::at_the_machine();
        let token = people.invite(&machine, held).await.unwrap();
        let new = NewAdult {
            name: "Wren",
            email,
            password: PASSWORD,
        };
        let token = people.accept(&token, &new, HERE).await.unwrap();
        self.signed(&token).await
    }

    async fn signed(&self, token: &NewToken) -> Signed {
        let found = self
            .people()
            .signed_in(&token.token, Asked::BySomebody)
            .await
            .unwrap();
        found.unwrap()
    }
}

fn mentor() -> Held {
    Held::new(RoleKind::Mentor, "Newt Works")
}

fn coordinator() -> Held {
    Held::new(RoleKind::Coordinator, "")
}

fn typed<T: std::fmt::Debug>(result: Result<T, PeopleError>) -> Vec<Problem> {
    match result {
        Err(PeopleError::Typed(problems)) => problems,
        other => panic!("{other:?}"),
    }
}

fn refused<T: std::fmt::Debug>(result: Result<T, WorkshopError>) -> &'static str {
    result.unwrap_err().code()
}

#[tokio::test]
async fn the_first_coordinator_comes_by_a_link_that_works_once() {
    let ground = Ground::new().await;
    let people = ground.people();
    let old = people.set_up().await.unwrap().unwrap();
    let token = people.set_up().await.unwrap().unwrap();
    let new = NewAdult {
        name: " ",
        email: "nowhere",
        password: "short",
    };
    assert_eq!(
        typed(people.accept(&old, &new, HERE).await),
        [Problem::NoCode],
        "a newer one took its place"
    );
    assert_eq!(
        typed(people.accept(&token, &new, HERE).await),
        [
            Problem::NameMissing,
            Problem::EmailBad,
            Problem::PasswordShort
        ]
    );
    let new = NewAdult {
        name: "Wren",
        email: "Wren@Example.org ",
        password: PASSWORD,
    };
    let signed = people.accept(&token, &new, HERE).await.unwrap();
    assert_eq!(signed.held, coordinator());
    assert_eq!(
        typed(people.accept(&token, &new, HERE).await),
        [Problem::NoCode]
    );
    assert_eq!(people.set_up().await.unwrap(), None, "there is one now");
    let again = (" wren@example.ORG", PASSWORD);
    people.sign_in(again, HERE).await.unwrap();
    assert_eq!(
        typed(people.leave(&ground.signed(&signed).await).await),
        [Problem::LastCoordinator]
    );
}

#[tokio::test]
async fn an_unknown_address_and_a_wrong_password_get_the_same_answer() {
    let ground = Ground::new().await;
    ground.adult("wren@example.org", &mentor()).await;
    let people = ground.people();
    for who in [
        ("wren@example.org", "wrong words by the weir"),
        ("no@example.org", PASSWORD),
    ] {
        assert_eq!(typed(people.sign_in(who, HERE).await), [Problem::NoMatch]);
    }
}

#[tokio::test]
async fn ten_wrong_passwords_shut_an_account_for_the_hour_and_no_other() {
    let ground = Ground::new().await;
    ground.adult("wren@example.org", &mentor()).await;
    ground.adult("rail@example.org", &mentor()).await;
    let people = ground.people();
    let right = ("wren@example.org", PASSWORD);
    for _ in 0..12 {
        people.sign_in(right, HERE).await.unwrap();
    }
    for _ in 0..10 {
        typed(people.sign_in(("wren@example.org", "wrong"), HERE).await);
    }
    let PeopleError::TooMany { again_at } = people.sign_in(right, HERE).await.unwrap_err() else {
        panic!("shut, even for the right one");
    };
    assert!(again_at > ground.now && again_at.0 <= ground.now.0 + HOUR);
    people
        .sign_in(("rail@example.org", PASSWORD), HERE)
        .await
        .unwrap();
    ground.after(HOUR).sign_in(right, HERE).await.unwrap();
}

#[tokio::test]
async fn whom_the_day_shuts_out_is_told_the_end_of_the_day_not_of_the_hour() {
    let ground = Ground::new().await;
    let wrong = ("wren@example.org", "wrong");
    for hour in 0..5 {
        for _ in 0..10 {
            typed(ground.after(hour * HOUR).sign_in(wrong, HERE).await);
        }
    }
    let then = ground.after(5 * HOUR);
    let PeopleError::TooMany { again_at } = then.sign_in(wrong, HERE).await.unwrap_err() else {
        panic!("50 a day");
    };
    assert_eq!(again_at.0, (ground.now.0.div_euclid(DAY) + 1) * DAY);
    let PeopleError::TooMany { again_at: told } = ground
        .after(8 * HOUR)
        .sign_in(wrong, HERE)
        .await
        .unwrap_err()
    else {
        panic!("shut still");
    };
    assert_eq!(told, again_at);
    let after = ground.after(again_at.0 - ground.now.0);
    typed(after.sign_in(wrong, HERE).await);
}

#[tokio::test]
async fn who_tries_the_demo_never_comes_in_as_a_student_who_joined() {
    let ground = Ground::new().await;
    let people = ground.people();
    let lead = Actor::new(Role::Mentor("Newt Works".to_owned()));
    let code = people.join_code(&lead, "Newt Works").await.unwrap();
    for name in ["Try-out", " try OUT", "Coordinator"] {
        let joined = people.join((&code, name), HERE).await;
        assert_eq!(typed(joined), [Problem::NameOfRole], "{name}");
    }
    let joined = people.join((&code, "Otter"), HERE).await.unwrap();
    let otter = ground.signed(&joined.token).await.person.id;
    let role = Role::Team("Newt Works".to_owned());
    let first = people.try_as(&role).await.unwrap();
    let again = people.try_as(&role).await.unwrap();
    let (first, again) = (ground.signed(&first).await, ground.signed(&again).await);
    assert_eq!(first.person.id, again.person.id);
    assert_ne!(first.person.id, otter);
}

#[tokio::test]
async fn guessing_codes_from_one_address_ends_and_a_class_that_joins_does_not_shut_itself_out() {
    let ground = Ground::new().await;
    let people = ground.people();
    let lead = Actor::new(Role::Mentor("Newt Works".to_owned()));
    for class in 0..4 {
        let code = people.join_code(&lead, "Newt Works").await.unwrap();
        for one in 0..20 {
            let name = format!("S{class} {one}");
            people.join((&code, &name), HERE).await.unwrap();
        }
        assert_eq!(
            typed(people.join((&code, "late"), HERE).await),
            [Problem::NoCode]
        );
    }
    for _ in 0..56 {
        assert_eq!(
            typed(people.join(("KMTR-7WQX", "X"), HERE).await),
            [Problem::NoCode]
        );
    }
    let shut = people.join(("KMTR-7WQX", "X"), HERE).await;
    assert!(matches!(shut, Err(PeopleError::TooMany { .. })), "{shut:?}");
    let elsewhere = people.join(("KMTR-7WQX", "X"), "198.51.100.1").await;
    assert_eq!(typed(elsewhere), [Problem::NoCode]);
}

#[tokio::test]
async fn a_student_joins_comes_back_and_is_gone_when_the_mentor_says_so() {
    let ground = Ground::new().await;
    let (people, team) = (ground.people(), "Newt Works");
    let lead = ground.adult("wren@example.org", &mentor()).await.actor();
    let code = people.join_code(&lead, team).await.unwrap();
    assert_eq!(
        typed(people.join(("", "a@b.c"), HERE).await),
        [Problem::NoCode, Problem::NamePersonal]
    );
    let typed_code = code.to_lowercase().replace('-', " ");
    let joined = people.join((&typed_code, "Otter"), HERE).await.unwrap();
    assert_eq!(
        typed(people.join((&code, "otter"), HERE).await),
        [Problem::NicknameTaken]
    );
    let student = ground.signed(&joined.token).await;
    assert_eq!(
        (student.person.kind, &student.person.email),
        (PersonKind::Student, &None)
    );
    assert!(student.actor().must_be_of(team).is_ok());
    assert_eq!(
        refused(people.team(&student.actor(), team).await),
        "not-allowed"
    );
    let back = people.come_back(&joined.return_code, HERE).await.unwrap();
    assert_eq!(ground.signed(&back).await.person.id, student.person.id);
    let (_, fresh) = people
        .new_return_code(&lead, team, student.person.id)
        .await
        .unwrap();
    assert_eq!(
        typed(people.come_back(&joined.return_code, HERE).await),
        [Problem::NoCode]
    );
    assert!(
        people
            .signed_in(&back.token, Asked::BySomebody)
            .await
            .unwrap()
            .is_none(),
        "signed out everywhere"
    );
    people.come_back(&fresh, HERE).await.unwrap();
    let other = Actor::new(Role::Mentor("Bogwheel".to_owned()));
    for team in ["Newt Works", "Bogwheel"] {
        let done = people.remove_student(&other, team, student.person.id).await;
        assert_eq!(refused(done), "not-yours");
    }
    people
        .remove_student(&lead, team, student.person.id)
        .await
        .unwrap();
    assert_eq!(
        typed(people.come_back(&fresh, HERE).await),
        [Problem::NoCode]
    );
    let stopped = people.team(&lead, team).await.unwrap().codes[0].id;
    assert_eq!(
        refused(people.stop_team_code(&other, "Bogwheel", stopped).await),
        "not-yours"
    );
    people.stop_team_code(&lead, team, stopped).await.unwrap();
    assert_eq!(
        typed(people.join((&code, "Vole"), HERE).await),
        [Problem::NoCode]
    );
}

#[tokio::test]
async fn a_sign_in_ends_when_it_is_idle_and_at_its_end_and_sooner_for_students() {
    let ground = Ground::new().await;
    let adult = ground.people().try_as(&Role::Coordinator).await.unwrap();
    let team = Role::Team("Newt Works".to_owned());
    let student = ground.people().try_as(&team).await.unwrap();
    let there = async |token: &NewToken, ms: i64| {
        let people = ground.after(ms);
        people
            .signed_in(&token.token, Asked::BySomebody)
            .await
            .unwrap()
            .is_some()
    };
    assert!(there(&student, 44 * MINUTE).await);
    assert!(there(&student, 88 * MINUTE).await, "used meanwhile");
    assert!(!there(&student, 88 * MINUTE + 45 * MINUTE).await, "idle");
    assert!(!there(&student, 0).await, "and gone for good");
    for hours in (0..7 * 24).step_by(11) {
        assert!(there(&adult, hours * HOUR).await, "{hours}");
    }
    assert!(!there(&adult, 7 * DAY).await);
    assert!(
        ground
            .people()
            .signed_in("no such token", Asked::BySomebody)
            .await
            .unwrap()
            .is_none()
    );
}

#[tokio::test]
async fn a_second_role_is_taken_up_worn_and_ended() {
    let ground = Ground::new().await;
    let people = ground.people();
    let signed = ground.adult("wren@example.org", &mentor()).await;
    let bench = Held::new(RoleKind::Operator, "brindlemoor");
    let lead = signed.actor();
    assert!(matches!(
        people.invite(&lead, &bench).await,
        Err(PeopleError::Failed(WorkshopError::NotAllowed { .. }))
    ));
    let token = people
        .invite(&Actor::at_the_machine(), &bench)
        .await
        .unwrap();
    people.accept_as(&token, &signed, HERE).await.unwrap();
    let mut again = people.sign_ins(&signed).await.unwrap();
    assert_eq!(again.pop().unwrap().held, bench, "worn at once");
    people.wear(&signed, &mentor()).await.unwrap();
    assert_eq!(
        refused(people.wear(&signed, &coordinator()).await),
        "not-yours"
    );
    let chief = ground
        .adult("rail@example.org", &coordinator())
        .await
        .actor();
    people
        .end_role(&chief, signed.person.id, &bench)
        .await
        .unwrap();
    assert_eq!(refused(people.wear(&signed, &bench).await), "not-yours");
    let last = people
        .end_role(&chief, chief.person().unwrap(), &coordinator())
        .await;
    assert_eq!(typed(last), [Problem::LastCoordinator]);
    let ghost = Held::new(RoleKind::Mentor, "No such team");
    assert_eq!(
        typed(people.invite(&chief, &ghost).await),
        [Problem::RoleBad]
    );
    let student = Held::new(RoleKind::Student, "Newt Works");
    assert_eq!(
        typed(people.invite(&chief, &student).await),
        [Problem::RoleBad]
    );
}

/// A coordinator, and a mentor who may stand in.
async fn chief_and_heron(ground: &Ground) -> (Signed, Signed) {
    let chief = ground.adult("rail@example.org", &coordinator()).await;
    (chief, ground.adult("heron@example.org", &mentor()).await)
}

#[tokio::test]
async fn only_adults_stand_in_and_not_for_long() {
    let ground = Ground::new().await;
    let people = ground.people();
    let (chief, heron) = chief_and_heron(&ground).await;
    let (by_chief, id) = (chief.actor(), heron.person.id);
    // The ninth of March, 10:02; sixty days on is the eighth of May.
    for day in ["", "2027-02-30", "2027-03-08", "2027-05-09"] {
        let bad = people.stand_in(&by_chief, id, day).await;
        assert_eq!(typed(bad), [Problem::StandInDay], "{day}");
    }
    let by_itself = people.stand_in(&heron.actor(), id, "2027-03-12").await;
    assert!(matches!(by_itself, Err(PeopleError::Failed(_))));
    let lasting = people.stand_in(&by_chief, chief.person.id, "2027-03-12");
    assert_eq!(typed(lasting.await), [Problem::StandInWho]);
    people.stand_in(&by_chief, id, "2027-05-08").await.unwrap();
    let until = people.stand_in(&by_chief, id, "2027-03-12").await.unwrap();
    assert_eq!(until, parse_rfc3339("2027-03-13T00:00:00+01:00").unwrap());
    // The region has to keep one who stays: who stands in doesn't count.
    let role = coordinator();
    let last = people.end_role(&by_chief, chief.person.id, &role).await;
    assert_eq!(typed(last), [Problem::LastCoordinator]);
}

#[tokio::test]
async fn who_stands_in_does_what_a_coordinator_does_but_chooses_no_coordinators() {
    let ground = Ground::new().await;
    let people = ground.people();
    let (chief, heron) = chief_and_heron(&ground).await;
    let (first, id) = (chief.person.id, heron.person.id);
    people
        .stand_in(&chief.actor(), id, "2027-03-12")
        .await
        .unwrap();
    let deputy = Actor::person_as(id, Role::Coordinator);
    people.everybody(&deputy).await.unwrap();
    people.invite(&deputy, &mentor()).await.unwrap();
    let tern = ground.adult("tern@example.org", &mentor()).await.person.id;
    people.reset_link(&deputy, tern).await.unwrap();
    let reset = people.reset_link(&deputy, first).await;
    let not_theirs = [
        people.invite(&deputy, &coordinator()).await.err(),
        people.stand_in(&deputy, tern, "2027-03-12").await.err(),
        people.stand_in(&deputy, id, "2027-05-01").await.err(),
        people.erase(&deputy, first).await.err(),
        people.end_role(&deputy, first, &coordinator()).await.err(),
        reset.map_err(PeopleError::from).err(),
    ];
    for (i, refused) in not_theirs.into_iter().enumerate() {
        let Some(PeopleError::Failed(WorkshopError::NotAllowed { .. })) = refused else {
            panic!("{i}: {refused:?}");
        };
    }
    // They may stop sooner, by themselves.
    people.end_role(&deputy, id, &coordinator()).await.unwrap();
}

#[tokio::test]
async fn links_made_while_standing_in_lead_nowhere_afterwards_and_never_to_a_coordinator() {
    let ground = Ground::new().await;
    let people = ground.people();
    let (chief, heron) = chief_and_heron(&ground).await;
    let (by_chief, id) = (chief.actor(), heron.person.id);
    let tern = ground.adult("tern@example.org", &mentor()).await.person.id;
    let until = people.stand_in(&by_chief, id, "2027-03-12").await.unwrap();
    let deputy = Actor::person_as(id, Role::Coordinator);
    // Tern comes to stand in too: no link from before gets anybody in as Tern.
    let (_, kept) = people.reset_link(&deputy, tern).await.unwrap();
    people
        .stand_in(&by_chief, tern, "2027-03-12")
        .await
        .unwrap();
    let reset = people.reset(&kept, PASSWORD, HERE).await;
    assert_eq!(typed(reset), [Problem::NoCode]);
    // With the role the links end, and others' stay.
    let theirs = people.invite(&deputy, &mentor()).await.unwrap();
    let chiefs = people.invite(&by_chief, &mentor()).await.unwrap();
    let late = ground.after(until.0 - ground.now.0);
    late.tidy(&Actor::new(Role::Clock)).await.unwrap();
    let link = people.link_for(CodeKind::Invite, &theirs, HERE).await;
    assert_eq!(typed(link), [Problem::NoCode]);
    people
        .link_for(CodeKind::Invite, &chiefs, HERE)
        .await
        .unwrap();
    // An invitation to coordinate is not theirs to stop.
    people.stand_in(&by_chief, id, "2027-03-12").await.unwrap();
    people.invite(&by_chief, &coordinator()).await.unwrap();
    let mut found = people.everybody(&by_chief).await.unwrap().invitations;
    found.retain(|code| code.held == coordinator());
    let stopped = people.stop_invitation(&deputy, found[0].id).await;
    assert_eq!(refused(stopped), "not-allowed");
}

#[tokio::test]
async fn standing_in_is_over_with_the_day_before_anybody_clears_up() {
    let ground = Ground::new().await;
    let people = ground.people();
    let (chief, heron) = chief_and_heron(&ground).await;
    let (by_chief, id) = (chief.actor(), heron.person.id);
    let until = people.stand_in(&by_chief, id, "2027-03-12").await.unwrap();
    let over = until.0 - ground.now.0;
    let signed_in = async |ms| {
        let people = ground.after(ms);
        let heron = people.sign_in(("heron@example.org", PASSWORD), HERE).await;
        let token = heron.unwrap().token;
        let signed = people.signed_in(&token, Asked::BySomebody).await;
        let signed = signed.unwrap().unwrap();
        people.wear(&signed, &coordinator()).await.unwrap();
        let people = ground.after(ms + 1);
        let later = people.signed_in(&token, Asked::BySomebody).await;
        later.unwrap().is_some()
    };
    assert!(signed_in(over - 2).await);
    assert!(!signed_in(over - 1).await);
    // Who signs in after that is in as what they still are.
    let people_then = ground.after(over);
    let token = people_then
        .sign_in(("heron@example.org", PASSWORD), HERE)
        .await
        .unwrap()
        .token;
    let then = people_then.signed_in(&token, Asked::BySomebody).await;
    let then = then.unwrap().unwrap();
    assert_eq!(then.sign_in.held, mentor());
    let worn = people_then.wear(&then, &coordinator()).await;
    assert_eq!(refused(worn), "not-yours");
    let clock = Actor::new(Role::Clock);
    ground.after(over - 1).tidy(&clock).await.unwrap();
    let found = people.everybody(&by_chief).await.unwrap();
    assert_eq!(found.standing, [(id, until)]);
    let late = ground.after(over);
    late.tidy(&clock).await.unwrap();
    let (_, roles) = people.somebody(&by_chief, id).await.unwrap();
    assert_eq!(roles, [mentor()]);
    // Whoever began to ask while they stood in, and asks on after it, may choose no coordinators.
    let deputy = Actor::person_as(id, Role::Coordinator);
    let still = [
        late.invite(&deputy, &coordinator()).await.err(),
        late.stand_in(&deputy, id, "2027-03-20").await.err(),
        late.erase(&deputy, chief.person.id).await.err(),
    ];
    for refused in still {
        let Some(PeopleError::Failed(WorkshopError::NotAllowed { .. })) = refused else {
            panic!("{refused:?}");
        };
    }
    // Invited for good while standing in, somebody stays.
    people.stand_in(&by_chief, id, "2027-03-12").await.unwrap();
    let token = people.invite(&by_chief, &coordinator()).await.unwrap();
    let heron = people.sign_in(("heron@example.org", PASSWORD), HERE).await;
    let heron = ground.signed(&heron.unwrap()).await;
    people.accept_as(&token, &heron, HERE).await.unwrap();
    ground.after(over).tidy(&clock).await.unwrap();
    let (_, roles) = people.somebody(&by_chief, id).await.unwrap();
    assert!(roles.contains(&coordinator()));
}

#[tokio::test]
async fn a_new_password_signs_out_everywhere_else() {
    let ground = Ground::new().await;
    let people = ground.people();
    let signed = ground.adult("wren@example.org", &mentor()).await;
    let other = people
        .sign_in(("wren@example.org", PASSWORD), HERE)
        .await
        .unwrap();
    let new = "three herons and a punt";
    let wrong = people
        .change_password(&signed, ("not it at all", new), HERE)
        .await;
    assert_eq!(typed(wrong), [Problem::PasswordWrong]);
    let short = people
        .change_password(&signed, (PASSWORD, "short"), HERE)
        .await;
    assert_eq!(typed(short), [Problem::PasswordShort]);
    people
        .change_password(&signed, (PASSWORD, new), HERE)
        .await
        .unwrap();
    assert!(
        people
            .signed_in(&other.token, Asked::BySomebody)
            .await
            .unwrap()
            .is_none()
    );
    assert_eq!(people.sign_ins(&signed).await.unwrap().len(), 1);
    let lead = signed.actor();
    assert_eq!(
        refused(people.reset_link(&lead, signed.person.id).await),
        "not-allowed"
    );
    let chief = Actor::new(Role::Coordinator);
    let (_, token) = people.reset_link(&chief, signed.person.id).await.unwrap();
    people.reset(&token, PASSWORD, HERE).await.unwrap();
    assert_eq!(
        typed(people.reset(&token, new, HERE).await),
        [Problem::NoCode]
    );
    assert!(people.sign_ins(&signed).await.unwrap().is_empty());
    people
        .sign_in(("wren@example.org", PASSWORD), HERE)
        .await
        .unwrap();
}

#[tokio::test]
async fn who_is_signed_out_everywhere_has_no_token_that_works() {
    let ground = Ground::new().await;
    let people = ground.people();
    let (api, chief) = (TokenKind::Api, Actor::new(Role::Coordinator));
    let works = async |token: &str| people.bearer((api, token), HERE).await.is_ok();

    let adult = ground.adult("wren@example.org", &mentor()).await;
    let made = async |days| {
        let held = mentor();
        let made = people.make_token(&adult, (api, &held), ("board", days));
        made.await.unwrap()
    };
    let token = made(366).await;
    assert!(works(&token).await);
    let new = "three herons and a punt";
    let changed = people.change_password(&adult, (PASSWORD, new), HERE).await;
    changed.unwrap();
    assert!(!works(&token).await, "another password");
    // The browser in which it was changed stays in.
    let token = made(1).await;
    let (_, link) = people.reset_link(&chief, adult.person.id).await.unwrap();
    people.reset(&link, PASSWORD, HERE).await.unwrap();
    assert!(!works(&token).await, "a link to another password");

    let (lead, team) = (adult.actor(), "Newt Works");
    let code = people.join_code(&lead, team).await.unwrap();
    let joined = people.join((&code, "Otter"), HERE).await.unwrap();
    let student = ground.signed(&joined.token).await;
    let held = Held::new(RoleKind::Student, team);
    let make = async |days| {
        people
            .make_token(&student, (api, &held), ("club", days))
            .await
    };
    assert_eq!(typed(make(31).await), [Problem::TokenDays]);
    let token = make(30).await.unwrap();
    assert!(works(&token).await);
    let anew = people.new_return_code(&lead, team, student.person.id).await;
    anew.unwrap();
    assert!(!works(&token).await, "another return code");
    assert!(people.tokens(&student).await.unwrap().is_empty());
    // Her page was open while the mentor signed her out everywhere.
    let late = make(30).await.unwrap_err();
    let PeopleError::Failed(late) = late else {
        panic!("{late:?}");
    };
    assert_eq!(late.code(), "not-allowed");
    assert!(people.tokens(&student).await.unwrap().is_empty());
}

#[tokio::test]
async fn a_link_is_over_after_its_time() {
    let ground = Ground::new().await;
    let token = ground
        .people()
        .invite(&Actor::at_the_machine(), &mentor())
        .await
        .unwrap();
    let find = async |ms: i64| {
        ground
            .after(ms)
            .link_for(CodeKind::Invite, &token, HERE)
            .await
    };
    assert_eq!(find(6 * DAY).await.unwrap().held, mentor());
    assert_eq!(typed(find(7 * DAY).await), [Problem::NoCode]);
}

#[tokio::test]
async fn a_team_is_erased_with_its_codes_and_a_mentor_with_another_role_stays() {
    let ground = Ground::new().await;
    let people = ground.people();
    let one = ground.adult("wren@example.org", &mentor()).await;
    let two = ground.adult("rail@example.org", &mentor()).await;
    let bench = Held::new(RoleKind::Operator, "brindlemoor");
    let token = people
        .invite(&Actor::at_the_machine(), &bench)
        .await
        .unwrap();
    people.accept_as(&token, &two, HERE).await.unwrap();
    let lead = one.actor();
    let code = people.join_code(&lead, "Newt Works").await.unwrap();
    let joined = people.join((&code, "Otter"), HERE).await.unwrap();
    let own = people
        .own_data(&ground.signed(&joined.token).await)
        .await
        .unwrap();
    assert_eq!(
        (
            own.person.name.as_str(),
            own.roles.len(),
            own.sign_ins.len()
        ),
        ("Otter", 1, 1)
    );
    let asked = people.erasing(&lead, "Newt Works").await.unwrap();
    let done = people.erase_team(&lead, "Newt Works").await.unwrap();
    assert_eq!(
        (done, done.students, done.mentors, done.stay),
        (asked, 1, 1, 1)
    );
    assert!(
        people
            .signed_in(&joined.token.token, Asked::BySomebody)
            .await
            .unwrap()
            .is_none()
    );
    assert_eq!(
        typed(people.join((&code, "Vole"), HERE).await),
        [Problem::NoCode]
    );
    let gone = people.sign_in(("wren@example.org", PASSWORD), HERE).await;
    assert_eq!(typed(gone), [Problem::NoMatch]);
    let stays = people
        .sign_in(("rail@example.org", PASSWORD), HERE)
        .await
        .unwrap();
    assert_eq!(stays.held, bench);
}

#[tokio::test]
async fn people_of_teams_are_erased_some_days_after_the_season_and_others_stay() {
    let region = partpledge_testbed::ambrel_valley();
    let lines: Vec<&str> = region.lines().collect();
    let kept = lines.iter().filter(|line| !line.starts_with("season_ends"));
    let kept = kept.copied().collect::<Vec<_>>().join("\n");
    let ends = "season_ends = \"2027-03-20\"\nkeep_people_days = 10\nname = ";
    let ground = Ground::of(&kept.replacen("name = ", ends, 1)).await;
    let people = ground.people();
    ground.adult("wren@example.org", &mentor()).await;
    ground.adult("rail@example.org", &coordinator()).await;
    let team = Role::Team("Newt Works".to_owned());
    people.try_as(&team).await.unwrap();
    let clock = Actor::new(Role::Clock);
    let day = |text: &str| parse_rfc3339(text).unwrap().0 - ground.now.0;
    let before = ground.after(day("2027-03-30T23:59:00+02:00"));
    assert_eq!(before.tidy(&clock).await.unwrap().erased, 0);
    let later = ground.after(day("2027-03-31T00:01:00+02:00"));
    let tidied = later.tidy(&clock).await.unwrap();
    assert_eq!(
        (tidied.erased, tidied.sign_ins),
        (2, 0),
        "adult and student of the team"
    );
    assert!(later.has_coordinator().await.unwrap());
    // A new season's student, whom an old date must not hit.
    later.try_as(&team).await.unwrap();
    assert_eq!(later.tidy(&clock).await.unwrap().erased, 0);
    assert_eq!(refused(later.tidy(&Actor::new(team)).await), "not-allowed");
}

#[tokio::test]
async fn use_cases_look_at_who_asks() {
    let ground = Ground::new().await;
    let session = &ground.session;
    let books = partpledge_workshop::Books::open(session).await.unwrap();
    let team = Actor::new(Role::Team("Newt Works".to_owned()));
    let nobody = Actor::new(Role::Nobody);
    let question = partpledge_workshop::what_if::Question::SiteClosed {
        host: "brindlemoor".to_owned(),
        day: partpledge_units::local::parse_date("2027-03-10").unwrap(),
    };
    let asked = partpledge_workshop::what_if::ask(session, &team, &books, &question);
    assert_eq!(refused(asked), "not-allowed");
    let moved = partpledge_workshop::risks::take(session, &team, (1, 0), None).await;
    assert_eq!(refused(moved), "not-allowed");
    let shares = partpledge_workshop::shares::shares(session, &nobody, &books).await;
    assert_eq!(refused(shares), "not-allowed");
    let moved = partpledge_workshop::bench::catch_up(session, &team).await;
    assert_eq!(refused(moved), "not-allowed");
}

#[tokio::test]
async fn a_page_that_lies_open_keeps_nobody_signed_in_and_whoever_works_stays() {
    let ground = Ground::new().await;
    let lead = Actor::new(Role::Mentor("Newt Works".to_owned()));
    let code = ground.people().join_code(&lead, "Newt Works").await;
    let code = code.unwrap();
    let join = async |name: &str| ground.people().join((&code, name), HERE).await.unwrap();
    let (gone, there) = (join("Otter").await, join("Grebe").await);
    for minute in 1..=100 {
        let people = ground.after(minute * MINUTE);
        let open = people.signed_in(&gone.token.token, Asked::ByThePage).await;
        assert_eq!(
            open.unwrap().is_some(),
            minute < 45,
            "after {minute} minutes"
        );
        let open = people.signed_in(&there.token.token, Asked::ByThePage).await;
        assert!(open.unwrap().is_some(), "after {minute} minutes");
        if minute % 40 == 0 {
            let asked = people
                .signed_in(&there.token.token, Asked::BySomebody)
                .await;
            assert!(asked.unwrap().is_some());
        }
    }
}
