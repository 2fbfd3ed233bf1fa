//! Passkeys through the pages, with a device made of software; and every answer that must be refused.

use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use p256::ecdsa::signature::Signer as _;
use p256::ecdsa::{Signature, SigningKey};
use partpledge_records::{Held, RoleKind};
use partpledge_units::time::EventMs;
use partpledge_web::{Front, Site};
use partpledge_workshop::Actor;
use partpledge_workshop::people::inviting::NewAdult;
use partpledge_workshop::people::passkeys::Here;
use partpledge_workshop::people::{PeopleError, Problem};
use serde_json::{Value, json};
use sha2::{Digest as _, Sha256};

use super::{Served, cookie_in, leads_to, served, served_as, status};

const PASSWORD: &str = "four words by the weir";
const ORIGIN: &str = "http://localhost";
/// Somebody was there, and has unlocked the device (Web Authentication Level 3, 6.1).
const UNLOCKED: u8 = 0b101;
const NOT_UNLOCKED: u8 = 0b001;

fn b64(bytes: &[u8]) -> String {
    URL_SAFE_NO_PAD.encode(bytes)
}

fn encoded(text: &str) -> String {
    url::form_urlencoded::byte_serialize(text.as_bytes()).collect()
}

/// Something wrong with a device, by another one.
type Bend = fn(&mut Device, &Device);
/// Something wrong with a device, or with what it is asked.
type BendAsked = fn(&mut Device, &mut Value);

/// A passkey on a device, that signs whatever it is told to.
#[derive(Clone)]
struct Device {
    key: SigningKey,
    id: [u8; 16],
    handle: String,
    origin: &'static str,
    flags: u8,
    counter: u32,
}

impl Device {
    fn new(seed: u8) -> Self {
        Self {
            key: SigningKey::from_bytes(&[seed; 32].into()).unwrap(),
            id: [seed; 16],
            handle: String::new(),
            origin: ORIGIN,
            flags: UNLOCKED,
            counter: 0,
        }
    }

    /// What the browser says that it was asked.
    fn client_data(&self, kind: &str, options: &Value) -> String {
        let (challenge, origin) = (&options["challenge"], self.origin);
        json!({ "type": kind, "challenge": challenge, "origin": origin, "crossOrigin": false })
            .to_string()
    }

    fn head(&self, name: &Value, flags: u8) -> Vec<u8> {
        let mut data = Sha256::digest(name.as_str().unwrap()).to_vec();
        data.push(flags);
        data.extend(self.counter.to_be_bytes());
        data
    }

    /// As 6.5 has it, without attestation: the only CBOR here, byte by byte (RFC 8949, RFC 9053).
    fn makes(&mut self, options: &Value) -> String {
        let user = options["user"]["id"].as_str().unwrap();
        user.clone_into(&mut self.handle);
        let mut data = self.head(&options["rp"]["id"], self.flags | 0b100_0000);
        data.extend([0; 16]);
        data.extend([0, 16]);
        data.extend(self.id);
        let point = self.key.verifying_key().to_encoded_point(false);
        data.extend([0xa5, 1, 2, 3, 0x26, 0x20, 1, 0x21, 0x58, 0x20]);
        data.extend(*point.x().unwrap());
        data.extend([0x22, 0x58, 0x20]);
        data.extend(*point.y().unwrap());
        let mut object = b"\xa3\x63fmt\x64none\x67attStmt\xa0\x68authData\x58".to_vec();
        object.push(u8::try_from(data.len()).unwrap());
        object.extend(data);
        let client_data = self.client_data("webauthn.create", options);
        json!({
            "id": b64(&self.id), "rawId": b64(&self.id), "type": "public-key",
            "clientExtensionResults": {},
            "response": {
                "clientDataJSON": b64(client_data.as_bytes()),
                "attestationObject": b64(&object),
            },
        })
        .to_string()
    }

    fn shows(&self, options: &Value) -> String {
        let data = self.head(&options["rpId"], self.flags);
        let client_data = self.client_data("webauthn.get", options);
        let mut signed = data.clone();
        signed.extend(Sha256::digest(&client_data));
        let signature: Signature = self.key.sign(&signed);
        json!({
            "id": b64(&self.id), "rawId": b64(&self.id), "type": "public-key",
            "clientExtensionResults": {},
            "response": {
                "clientDataJSON": b64(client_data.as_bytes()),
                "authenticatorData": b64(&data),
                "signature": b64(signature.to_der().as_bytes()),
                "userHandle": self.handle,
            },
        })
        .to_string()
    }
}

fn json_in(answer: &str) -> Value {
    let (head, body) = answer.split_once("\r\n\r\n").unwrap();
    assert!(head.contains("content-type: application/json"), "{answer}");
    assert!(head.contains("cache-control: no-store"), "{answer}");
    serde_json::from_str(body).unwrap()
}

/// A mentor who signs in with a password: their cookie.
async fn mentor(site: &Served, email: &str) -> String {
    let people = site.session.people(site.session.now).unwrap();
    let held = Held::new(RoleKind::Mentor, "Newt Works");
    let link = people.invite(&Actor::at_the_machine(), &held).await;
    let new = NewAdult {
        name: "Wren",
        email,
        password: PASSWORD,
    };
    let token = people.accept(&link.unwrap(), &new, "").await.unwrap();
    format!("partpledge_here={}", token.token)
}

impl Served {
    async fn ask_to_add(&self, cookie: &str, (name, password): (&str, &str)) -> String {
        let form = format!("name={}&password={}", encoded(name), encoded(password));
        self.post_with("/account/passkeys/ask", cookie, &form).await
    }

    /// What a device is asked so that it makes a passkey.
    async fn to_make(&self, cookie: &str) -> Value {
        let asked = self.ask_to_add(cookie, ("School laptop", PASSWORD)).await;
        assert_eq!(status(&asked), "200", "{asked}");
        json_in(&asked)
    }

    async fn add(&self, cookie: &str, answer: &str) -> String {
        let form = format!("name=School+laptop&answer={}", encoded(answer));
        self.post_with("/account/passkeys", cookie, &form).await
    }

    /// What a device is asked to sign in.
    async fn to_show(&self) -> Value {
        let asked = self.post("/sign-in/passkey/ask", "", "").await;
        assert_eq!(status(&asked), "200", "{asked}");
        json_in(&asked)
    }

    async fn sign_in(&self, answer: &str) -> String {
        let form = format!("answer={}", encoded(answer));
        self.post("/sign-in/passkey", "", &form).await
    }

    /// A device with a passkey of whoever has that cookie.
    async fn device(&self, cookie: &str, seed: u8) -> Device {
        let mut device = Device::new(seed);
        let answer = device.makes(&self.to_make(cookie).await);
        let added = self.add(cookie, &answer).await;
        assert_eq!(status(&added), "200", "{added}");
        assert!(added.contains("Your passkey is added."), "{added}");
        device
    }
}

fn not_added(answer: &str, why: &str) {
    assert_eq!(status(answer), "422", "{why}: {answer}");
    assert!(answer.contains("That passkey was not added"), "{why}");
    assert!(!answer.contains("/remove"), "{why}");
}

const BENT_ASKED: [(&str, BendAsked); 4] = [
    ("another origin", |device, _| {
        device.origin = "http://localhost:81";
    }),
    ("another challenge", |_, options| {
        options["challenge"] = json!(b64(&[7; 16]));
    }),
    ("another site's name", |_, options| {
        options["rp"]["id"] = json!("evil.example");
    }),
    ("not unlocked", |device, _| device.flags = NOT_UNLOCKED),
];

const BENT: [(&str, Bend); 6] = [
    ("another origin", |device, _| {
        device.origin = "http://localhost:81";
    }),
    ("another's key", |device, others| {
        device.key = others.key.clone();
    }),
    ("as another person", |device, others| {
        others.handle.clone_into(&mut device.handle);
    }),
    ("not unlocked", |device, _| device.flags = NOT_UNLOCKED),
    ("a counter that stands still", |device, _| {
        device.counter = 5;
    }),
    ("a counter that goes back", |device, _| device.counter = 4),
];

#[tokio::test(flavor = "multi_thread")]
async fn a_passkey_is_added_after_the_password_and_only_as_it_was_asked_for() {
    let site = served().await;
    let wren = mentor(&site, "wren@example.org").await;
    let rail = mentor(&site, "rail@example.org").await;
    for (name, password, field) in [
        ("School laptop", "wrong", "passkey_password"),
        (" ", PASSWORD, "passkey_name"),
    ] {
        let asked = site.ask_to_add(&wren, (name, password)).await;
        assert_eq!(status(&asked), "422", "{asked}");
        assert_eq!(json_in(&asked)["field"], field);
    }
    let options = site.to_make(&wren).await;
    assert_eq!(options["rp"]["id"], "localhost");
    assert_eq!(options["user"]["name"], "wren@example.org");
    let chosen = &options["authenticatorSelection"];
    assert_eq!(chosen["residentKey"], "required");
    assert_eq!(chosen["userVerification"], "required");
    assert_eq!(options["attestation"], "none");

    for (why, bend) in BENT_ASKED {
        let good = site.to_make(&wren).await;
        let (mut device, mut options) = (Device::new(1), good.clone());
        bend(&mut device, &mut options);
        not_added(&site.add(&wren, &device.makes(&options)).await, why);
        if why == "another challenge" {
            continue;
        }
        let right = Device::new(1).makes(&good);
        not_added(&site.add(&wren, &right).await, "its challenge is used up");
    }
    not_added(&site.add(&wren, "{}").await, "no answer");
    let theirs = Device::new(1).makes(&site.to_make(&wren).await);
    not_added(&site.add(&rail, &theirs).await, "asked for by another");
    let now = site.session.now;
    let long_ago = site.session.people(EventMs(now.0 - 5 * 60_000)).unwrap();
    let signed = long_ago
        .signed_in(
            wren.split_once('=').unwrap().1,
            partpledge_workshop::people::Asked::ByThePage,
        )
        .await
        .unwrap()
        .unwrap();
    let here = Here::at(ORIGIN).unwrap();
    let what = (&here, "School laptop", PASSWORD);
    let options = long_ago.ask_for_passkey(&signed, what, "").await.unwrap();
    let late = Device::new(1).makes(&serde_json::from_str(&options).unwrap());
    not_added(&site.add(&wren, &late).await, "five minutes later");

    let device = site.device(&wren, 1).await;
    let account = site.get_with("/account", &wren).await;
    assert!(
        account.contains("<b>School laptop</b>: added "),
        "{account}"
    );
    let options = site.to_make(&wren).await;
    assert_eq!(options["excludeCredentials"][0]["id"], b64(&device.id));
    let other = site
        .add(&rail, &Device::new(1).makes(&site.to_make(&rail).await))
        .await;
    not_added(&other, "known already, and another's");
    let copy = site.get_with("/account/export.json", &wren).await;
    assert!(copy.contains("\"name\": \"School laptop\""), "{copy}");
    assert!(
        !copy.contains(&b64(&device.id)),
        "nothing but name and dates"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_passkey_signs_in_and_every_other_answer_is_refused_alike() {
    let site = served().await;
    let wren = mentor(&site, "wren@example.org").await;
    let rail = mentor(&site, "rail@example.org").await;
    let (mut device, others) = (site.device(&wren, 1).await, site.device(&rail, 2).await);
    let options = site.to_show().await;
    assert_eq!(options["userVerification"], "required");
    assert_eq!(
        options["allowCredentials"],
        json!([]),
        "no name is asked for"
    );
    device.counter = 5;
    let answer = device.shows(&options);
    let came = site.sign_in(&answer).await;
    assert_eq!((status(&came), leads_to(&came)), ("303", Some("/parts")));
    let cookie = cookie_in(&came).unwrap();
    let account = site.get_with("/account", &cookie).await;
    assert!(account.contains("wren@example.org") && account.contains(", last used "));

    let no = async |why: &str, answer: &str| {
        let refused = site.sign_in(answer).await;
        assert_eq!(
            (status(&refused), cookie_in(&refused)),
            ("422", None),
            "{why}"
        );
        let body = refused.split_once("\r\n\r\n").unwrap().1;
        assert!(
            body.contains("this passkey doesn’t work here"),
            "{why}: {body}"
        );
        body.to_owned()
    };
    device.counter = 6;
    let unknown = no(
        "not known",
        &Device {
            handle: device.handle.clone(),
            ..Device::new(3)
        }
        .shows(&site.to_show().await),
    )
    .await;
    assert_eq!(no("a challenge that was used", &answer).await, unknown);
    assert_eq!(no("no answer", "").await, unknown);
    for (why, bend) in BENT {
        let mut device = device.clone();
        bend(&mut device, &others);
        assert_eq!(no(why, &device.shows(&site.to_show().await)).await, unknown);
    }
    let here = Here::at(ORIGIN).unwrap();
    let now = site.session.now;
    let long_ago = site.session.people(EventMs(now.0 - 5 * 60_000)).unwrap();
    let old = long_ago.ask_to_sign_in(&here, "").await.unwrap();
    let old = device.shows(&serde_json::from_str(&old).unwrap());
    assert_eq!(no("five minutes later", &old).await, unknown);

    // Asked by one server, answered to another.
    let second = site.session.people(now).unwrap();
    let answer = device.shows(&site.to_show().await);
    let came = second.sign_in_by_passkey((&here, &answer), "").await;
    assert_eq!(came.unwrap().held.scope, "Newt Works");
    let again = second.sign_in_by_passkey((&here, &answer), "").await;
    assert!(matches!(again, Err(PeopleError::Typed(p)) if p == [Problem::NoPasskey]));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_passkey_is_gone_once_removed_and_with_another_password() {
    let site = served().await;
    let wren = mentor(&site, "wren@example.org").await;
    let rail = mentor(&site, "rail@example.org").await;
    let device = site.device(&wren, 1).await;
    let account = site.get_with("/account", &wren).await;
    let (_, id) = account.split_once("/account/passkeys/").unwrap();
    let (id, _) = id.split_once('/').unwrap();
    let path = format!("/account/passkeys/{id}/remove");
    assert_eq!(status(&site.post_with(&path, &rail, "").await), "404");
    let removed = site.post_with(&path, &wren, "").await;
    assert_eq!(leads_to(&removed), Some("/account#passkeys"));
    let gone = site.sign_in(&device.shows(&site.to_show().await)).await;
    assert_eq!(status(&gone), "422");

    let device = site.device(&wren, 1).await;
    let form = format!("old={}&new=three+herons+and+a+punt", encoded(PASSWORD));
    let changed = site.post_with("/account/password", &wren, &form).await;
    assert!(changed.contains("your passkeys are removed"), "{changed}");
    assert!(!changed.contains("<b>School laptop</b>"), "{changed}");
    let gone = site.sign_in(&device.shows(&site.to_show().await)).await;
    assert_eq!(status(&gone), "422");
}

#[tokio::test(flavor = "multi_thread")]
async fn wrong_passkeys_are_counted_for_their_person_and_asking_for_an_address() {
    let site = served().await;
    let wren = mentor(&site, "wren@example.org").await;
    let device = site.device(&wren, 1).await;
    let wrong = Device {
        origin: "http://evil.example",
        ..device.clone()
    };
    // What went well is not counted.
    for _ in 0..3 {
        let came = site.sign_in(&device.shows(&site.to_show().await)).await;
        assert_eq!(status(&came), "303");
    }
    for _ in 0..10 {
        let refused = site.sign_in(&wrong.shows(&site.to_show().await)).await;
        assert_eq!(status(&refused), "422");
    }
    let full = site.sign_in(&device.shows(&site.to_show().await)).await;
    assert_eq!(status(&full), "429");
    assert!(full.contains("Wait until 11:00"), "{full}");
    let mut asked = String::new();
    for n in 12..=61 {
        asked = site.post("/sign-in/passkey/ask", "", "").await;
        let expected = if n == 61 { "429" } else { "200" };
        assert_eq!(status(&asked), expected, "{n}");
    }
    let said = json_in(&asked)["text"].as_str().unwrap().to_owned();
    assert!(said.contains("Wait until 11:00"), "{said}");
}

#[tokio::test(flavor = "multi_thread")]
async fn passkeys_belong_to_the_name_of_the_server_and_are_not_offered_without_one() {
    let site = served().await;
    let wren = mentor(&site, "wren@example.org").await;
    let get = async |path: &str, host: &str| {
        let head = format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nCookie: {wren}");
        String::from_utf8_lossy(&site.ask(&head, b"").await).into_owned()
    };
    for path in ["/sign-in", "/account"] {
        let here = get(path, "localhost:8717").await;
        assert!(here.contains("data-passkey"), "{path}");
        let number = get(path, "127.0.0.1:8717").await;
        assert!(!number.contains("data-passkey"), "{path}");
    }
    let account = get("/account", "127.0.0.1:8717").await;
    assert!(account.contains("There are no passkeys at this address."));
    let head = "POST /sign-in/passkey/ask HTTP/1.1\r\nHost: 127.0.0.1";
    let answer = String::from_utf8_lossy(&site.ask(head, b"").await).into_owned();
    assert_eq!(status(&answer), "422");

    let front = Front::named("https://parts.example").unwrap();
    let site = served_as(|site: Site| site.behind(front)).await;
    let head = "POST /sign-in/passkey/ask HTTP/1.1\r\nHost: parts.example\r\n\
                Origin: https://parts.example";
    let answer = String::from_utf8_lossy(&site.ask(head, b"").await).into_owned();
    assert_eq!(json_in(&answer)["rpId"], "parts.example");
}
