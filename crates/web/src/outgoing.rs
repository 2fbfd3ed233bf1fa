//! How this server asks others: no redirect is followed, no proxy is asked, and connections are made only
//! to addresses that may be asked.

use std::fmt;
use std::io::{self, ErrorKind};
use std::net::IpAddr;
use std::time::Duration;

use ureq::unversioned::resolver::{DefaultResolver, ResolvedSocketAddrs, Resolver};
use ureq::unversioned::transport::{DefaultConnector, NextTimeout};

/// Looks names up, and keeps of what it finds only where may be asked. The connection is made to one of
/// those very numbers: a name that means something else a moment later changes nothing.
struct Within<F> {
    may: F,
    names: DefaultResolver,
}

impl<F> fmt::Debug for Within<F> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.debug_struct("Within").finish_non_exhaustive()
    }
}

impl<F: Fn(IpAddr) -> bool + Send + Sync + 'static> Resolver for Within<F> {
    fn resolve(
        &self,
        uri: &ureq::http::Uri,
        config: &ureq::config::Config,
        timeout: NextTimeout,
    ) -> Result<ResolvedSocketAddrs, ureq::Error> {
        let found = self.names.resolve(uri, config, timeout)?;
        let mut kept = self.empty();
        for one in found.iter().filter(|one| (self.may)(one.ip())) {
            kept.push(*one);
        }
        if kept.is_empty() {
            return Err(io::Error::from(ErrorKind::PermissionDenied).into());
        }
        Ok(kept)
    }
}

/// What asks, for so long from looking up the name to the last byte; an answer is taken whatever its
/// status. Where no address may be asked, there is an error of [`ErrorKind::PermissionDenied`].
pub(crate) fn asker(
    patience: Duration,
    may: impl Fn(IpAddr) -> bool + Send + Sync + 'static,
) -> ureq::Agent {
    let config = ureq::Agent::config_builder()
        .max_redirects(0)
        .http_status_as_error(false)
        .timeout_global(Some(patience))
        .proxy(None)
        .build();
    let names = DefaultResolver::default();
    let within = Within { may, names };
    ureq::Agent::with_parts(config, DefaultConnector::default(), within)
}

/// Why nothing came back: what others wrote may stand in an error, so that only its kind is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Silence {
    /// It took too long.
    Late,
    /// Nobody knows the name.
    UnknownName,
    /// Its address is none that may be asked.
    NotAsked,
    /// Nobody listens there.
    NothingListens,
    /// The connection broke off.
    BrokeOff,
    /// Its certificate is not to be trusted, or there is no way to speak to it in secret.
    NotSecret,
    /// Too many bytes came.
    Large,
    /// What answers is no HTTP.
    NotHttp,
    /// The address is none.
    BadAddress,
    /// Anything else.
    NoConnection,
}

impl From<&ureq::Error> for Silence {
    fn from(error: &ureq::Error) -> Self {
        use ureq::Error;
        match error {
            Error::Timeout(_) => Self::Late,
            Error::HostNotFound => Self::UnknownName,
            Error::Io(error) => match error.kind() {
                ErrorKind::PermissionDenied => Self::NotAsked,
                ErrorKind::ConnectionRefused => Self::NothingListens,
                ErrorKind::TimedOut => Self::Late,
                // As the library for TLS tells of a certificate.
                ErrorKind::InvalidData => Self::NotSecret,
                _ => Self::BrokeOff,
            },
            Error::ConnectionFailed => Self::NothingListens,
            Error::BodyExceedsLimit(_) => Self::Large,
            Error::Protocol(_) | Error::Http(_) => Self::NotHttp,
            Error::BadUri(_) => Self::BadAddress,
            Error::Tls(_) | Error::Rustls(_) => Self::NotSecret,
            _ => Self::NoConnection,
        }
    }
}
