//! What browsers and devices are asked, and whether their answers are good: Web Authentication (W3C, Level
//! 3), done by the crate `webauthn_rp`. Here is only what we ask for, and how it is kept.

use std::net::IpAddr;

use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use partpledge_records::{Backup, Passkey, Person};
use uuid::Uuid;
use webauthn_rp::bin::{Decode, Encode};
use webauthn_rp::request::auth::AuthenticationVerificationOptions;
use webauthn_rp::request::register::{
    CredProtect, Nickname, PublicKeyCredentialUserEntity, RegistrationVerificationOptions,
    UserHandle16, Username,
};
use webauthn_rp::request::{AsciiDomain, PublicKeyCredentialDescriptor, RpId, TimedCeremony as _};
use webauthn_rp::response::register::{CompressedPubKey, DynamicState, StaticState};
use webauthn_rp::response::{
    self, AuthTransports, AuthenticatorAttachment, CredentialId, SentChallenge,
};
use webauthn_rp::{
    AuthenticatedCredential, DiscoverableAuthentication16, DiscoverableAuthenticationServerState,
    DiscoverableCredentialRequestOptions, PublicKeyCredentialCreationOptions, Registration,
    RegistrationServerState,
};

/// The server as browsers know it. Passkeys belong to its name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Here {
    name: RpId,
    origin: String,
}

impl Here {
    /// The server at an origin such as `https://parts.example`; `None` where browsers make no passkeys: at a
    /// number instead of a name, and without TLS, but for `http://localhost`.
    ///
    /// # Source
    /// Web Authentication Level 3, 5.1.2 (the name is a domain) and 5 (secure contexts alone).
    ///
    /// ```
    /// use partpledge_workshop::people::passkeys::Here;
    /// assert!(Here::at("https://parts.example").is_some());
    /// assert!(Here::at("http://localhost:8717").is_some());
    /// assert!(Here::at("http://127.0.0.1:8717").is_none());
    /// assert!(Here::at("http://parts.example").is_none());
    /// ```
    #[must_use]
    pub fn at(origin: &str) -> Option<Self> {
        let (scheme, rest) = origin.split_once("://")?;
        let host = match rest.rsplit_once(':') {
            Some((host, port)) if port.bytes().all(|b| b.is_ascii_digit()) => host,
            _ => rest,
        };
        let is_name = host.parse::<IpAddr>().is_err() && !host.contains([':', '[', '/']);
        let fit = match scheme {
            "https" => is_name,
            "http" => host == "localhost",
            _ => false,
        };
        let name = fit.then(|| AsciiDomain::try_from(host.to_owned()).ok())??;
        Some(Self {
            name: RpId::Domain(name),
            origin: origin.to_owned(),
        })
    }
}

/// An answer that is not good: what is wrong with it, for the log and for tests.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub(super) struct Refused(String);

fn refused(why: impl std::fmt::Display) -> Refused {
    Refused(why.to_string())
}

/// Something that a browser is asked.
pub(super) struct Begun {
    /// Names it.
    pub(super) challenge: String,
    /// To be kept until it is answered.
    pub(super) state: String,
    /// For the browser, as JSON.
    pub(super) options: String,
}

/// A passkey that has just been made.
pub(super) struct Made {
    pub(super) credential: String,
    pub(super) public_key: String,
    pub(super) counter: u32,
    pub(super) backup: Backup,
}

fn text(bytes: &[u8]) -> String {
    URL_SAFE_NO_PAD.encode(bytes)
}

fn bytes(text: &str) -> Result<Vec<u8>, Refused> {
    URL_SAFE_NO_PAD.decode(text).map_err(refused)
}

fn challenge(sent: SentChallenge) -> String {
    format!("{:032x}", sent.0)
}

/// Whom devices keep a passkey for: the id, which says nothing of anybody by itself.
fn handle(person: &Person) -> Result<UserHandle16, Refused> {
    let id = Uuid::parse_str(&person.id.to_string()).map_err(refused)?;
    let Ok(handle) = UserHandle16::decode(id.into_bytes());
    Ok(handle)
}

fn credential_id(passkey: &Passkey) -> Result<CredentialId<Vec<u8>>, Refused> {
    CredentialId::<Vec<u8>>::decode(bytes(&passkey.credential)?).map_err(refused)
}

fn kept(backup: response::Backup) -> Backup {
    match backup {
        response::Backup::NotEligible => Backup::Never,
        response::Backup::Eligible => Backup::Possible,
        response::Backup::Exists => Backup::Done,
    }
}

fn told(backup: Backup) -> response::Backup {
    match backup {
        Backup::Never => response::Backup::NotEligible,
        Backup::Possible => response::Backup::Eligible,
        Backup::Done => response::Backup::Exists,
    }
}

/// Asks for a new passkey for somebody: one that the device finds by itself, and gives only to who unlocks
/// it. No attestation is asked for: what kind of device it is is nobody's business here.
pub(super) fn ask_to_add(
    here: &Here,
    person: &Person,
    known: &[Passkey],
) -> Result<Begun, Refused> {
    let handle = handle(person)?;
    // Shown on the device, beside the site's name, and kept there.
    let email = person.email.clone().unwrap_or_default();
    let name = Username::try_from(email).or_else(|_| Username::try_from(person.id.to_string()));
    let user = PublicKeyCredentialUserEntity {
        name: name.map_err(refused)?,
        id: &handle,
        display_name: Nickname::try_from(person.name.as_str()).ok(),
    };
    let not_again = known.iter().map(|passkey| {
        Ok(PublicKeyCredentialDescriptor {
            id: credential_id(passkey)?,
            // Where a passkey was is not kept.
            transports: AuthTransports::decode(0).map_err(refused)?,
        })
    });
    let not_again = not_again.collect::<Result<Vec<_>, Refused>>()?;
    let mut options = PublicKeyCredentialCreationOptions::passkey(&here.name, user, not_again);
    // Browsers would turn down every device that does not know the extension; whether it was unlocked we
    // look at with each answer.
    options.extensions.cred_protect = CredProtect::None;
    let (server, client) = options.start_ceremony().map_err(refused)?;
    Ok(Begun {
        challenge: challenge(server.sent_challenge()),
        state: text(&server.encode().map_err(refused)?),
        options: serde_json::to_string(&client).map_err(refused)?,
    })
}

/// What a browser brings of a new passkey.
pub(super) struct Brought(Registration);

impl Brought {
    pub(super) fn read(json: &str) -> Result<Self, Refused> {
        let read = Registration::from_json_relaxed(json.as_bytes());
        read.map(Self).map_err(refused)
    }

    pub(super) fn challenge(&self) -> Result<String, Refused> {
        Ok(challenge(self.0.challenge_relaxed().map_err(refused)?))
    }

    /// The passkey, if it is what was asked for.
    pub(super) fn made(&self, here: &Here, state: &str) -> Result<Made, Refused> {
        let state = bytes(state)?;
        let asked = RegistrationServerState::<16>::decode(&state).map_err(refused)?;
        let origins = [here.origin.as_str()];
        let options = RegistrationVerificationOptions::<&str, &str> {
            allowed_origins: &origins,
            // Devices may say more than they were asked.
            error_on_unsolicited_extensions: false,
            ..RegistrationVerificationOptions::default()
        };
        let made = asked.verify(&here.name, &self.0, &options);
        let made = made.map_err(refused)?;
        let state = made.dynamic_state();
        Ok(Made {
            credential: text(made.id().as_ref()),
            public_key: text(&made.static_state().encode().map_err(refused)?),
            counter: state.sign_count,
            backup: kept(state.backup),
        })
    }
}

/// Asks whoever sits there for a passkey of theirs.
pub(super) fn ask_to_sign_in(here: &Here) -> Result<Begun, Refused> {
    let options = DiscoverableCredentialRequestOptions::passkey(&here.name);
    let (server, client) = options.start_ceremony().map_err(refused)?;
    Ok(Begun {
        challenge: challenge(server.sent_challenge()),
        state: text(&server.encode().map_err(refused)?),
        options: serde_json::to_string(&client).map_err(refused)?,
    })
}

/// What a browser shows of a passkey to sign in.
pub(super) struct Shown(DiscoverableAuthentication16);

impl Shown {
    pub(super) fn read(json: &str) -> Result<Self, Refused> {
        let read = DiscoverableAuthentication16::from_json_relaxed(json.as_bytes());
        read.map(Self).map_err(refused)
    }

    pub(super) fn challenge(&self) -> Result<String, Refused> {
        Ok(challenge(self.0.challenge_relaxed().map_err(refused)?))
    }

    /// Which passkey it says it is.
    pub(super) fn credential(&self) -> String {
        text(self.0.raw_id().as_ref())
    }

    /// Whether it is that passkey of that person: its counter now, and whether it is copied.
    pub(super) fn is(
        &self,
        here: &Here,
        state: &str,
        (person, passkey): (&Person, &Passkey),
    ) -> Result<(u32, Backup), Refused> {
        let state = bytes(state)?;
        let asked = DiscoverableAuthenticationServerState::decode(&state).map_err(refused)?;
        let (handle, id) = (handle(person)?, credential_id(passkey)?);
        let public_key = bytes(&passkey.public_key)?;
        let kept = StaticState::<CompressedPubKey<[u8; 32], [u8; 32], [u8; 48], Vec<u8>>>::decode(
            &public_key,
        );
        let now = DynamicState {
            // None was kept without.
            user_verified: true,
            backup: told(passkey.backup),
            sign_count: passkey.counter,
            authenticator_attachment: AuthenticatorAttachment::None,
        };
        let kept = kept.map_err(refused)?;
        let known = AuthenticatedCredential::new((&id).into(), &handle, kept, now);
        let mut known = known.map_err(refused)?;
        let origins = [here.origin.as_str()];
        let options = AuthenticationVerificationOptions::<&str, &str> {
            allowed_origins: &origins,
            error_on_unsolicited_extensions: false,
            ..AuthenticationVerificationOptions::default()
        };
        let verified = asked.verify(&here.name, &self.0, &mut known, &options);
        verified.map_err(refused)?;
        let now = known.dynamic_state();
        Ok((now.sign_count, self::kept(now.backup)))
    }
}
