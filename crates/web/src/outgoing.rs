//! How this server asks others: no redirect is followed, no proxy is asked, and connections are made only
//! to addresses that may be asked.

use std::fmt;
use std::io::{Error, ErrorKind};
use std::net::IpAddr;
use std::time::Duration;

use ureq::unversioned::resolver::{DefaultResolver, ResolvedSocketAddrs, Resolver};
use ureq::unversioned::transport::{DefaultConnector, NextTimeout};

/// Looks names up, and keeps of what it finds only where may be asked. The connection is made to one of
/// those very numbers: a name that means something else a moment later changes nothing.
struct Within<F> {
    may: F,
    /// Why nothing is left.
    why: &'static str,
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
            return Err(Error::new(ErrorKind::PermissionDenied, self.why).into());
        }
        Ok(kept)
    }
}

/// What asks, for so long from looking up the name to the last byte; an answer is taken whatever its
/// status. Where no address may be asked, an error of [`ErrorKind::PermissionDenied`] says why.
pub(crate) fn asker(
    patience: Duration,
    may: impl Fn(IpAddr) -> bool + Send + Sync + 'static,
    why: &'static str,
) -> ureq::Agent {
    let config = ureq::Agent::config_builder()
        .max_redirects(0)
        .http_status_as_error(false)
        .timeout_global(Some(patience))
        .proxy(None)
        .build();
    let names = DefaultResolver::default();
    let within = Within { may, why, names };
    ureq::Agent::with_parts(config, DefaultConnector::default(), within)
}
