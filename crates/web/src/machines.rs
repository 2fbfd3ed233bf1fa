//! Asking printers' agents what their machines do: how it is fetched. What becomes of an answer is the
//! workshop's.
//!
//! Without `serve --read-printers` nobody is ever asked.

use std::net::IpAddr;
use std::sync::Arc;
use std::time::Duration;

use partpledge_words::{Said, say};
use partpledge_workshop::machines::{answered, next, printers};
use partpledge_workshop::{Actor, Role, WorkshopError};
use tokio::sync::Semaphore;
use tokio::task::JoinSet;

use crate::outgoing::{Silence, asker};
use crate::site::Site;

/// How long an agent may take for an answer, from looking up its name to its last byte. Common
/// practice, no source.
const PATIENCE: Duration = Duration::from_secs(5);
/// Most answers of one agent in one go; what is left comes with the next.
const ROUNDS: usize = 10;
/// Agents that are asked at the same time.
const AT_ONCE: usize = 16;
/// Most bytes that are taken of an answer: one more than can be read, so that it is told as too large.
const MOST_BYTES: u64 = 2 * 1024 * 1024 + 1;

/// Agents stand in the own network, or farther away. Not the link's own addresses, where some machines keep their keys, nor everybody's.
fn may_be_agent(ip: IpAddr) -> bool {
    match ip.to_canonical() {
        IpAddr::V4(ip) => {
            !(ip.is_link_local() || ip.is_multicast() || ip.is_broadcast() || ip.is_unspecified())
        }
        IpAddr::V6(ip) => !(ip.is_unicast_link_local() || ip.is_multicast() || ip.is_unspecified()),
    }
}

/// Asks once; the answer, whatever its status: agents say in it why they refuse.
fn fetch(address: &str) -> Result<Vec<u8>, Said> {
    let agent = asker(PATIENCE, may_be_agent);
    let asked = agent.get(address).header("user-agent", "partpledge");
    let mut answer = asked.call().map_err(|error| why(&error))?;
    let body = answer.body_mut().with_config().limit(MOST_BYTES);
    let bytes = body.read_to_vec();
    bytes.map_err(|error| why(&error))
}

/// Why no answer came, in words of ours: coordinators read them.
fn why(error: &ureq::Error) -> Said {
    match Silence::from(error) {
        Silence::Late => say("machines-why-late"),
        Silence::UnknownName => say("machines-why-unknown"),
        Silence::NotAsked => say("machines-why-not-asked"),
        Silence::NothingListens => say("machines-why-nothing-listens"),
        Silence::BrokeOff | Silence::NotSecret => say("machines-why-broke-off"),
        Silence::Large => say("machines-why-large"),
        Silence::NotHttp => say("machines-why-not-http"),
        Silence::BadAddress => say("machines-why-bad-address"),
        Silence::NoConnection => say("machines-why-no-connection"),
    }
}

/// Asks the agents of all printers, if whoever runs the server allowed it; how many were asked. Each is
/// asked apart from the others, so that one that is slow holds up nobody.
///
/// # Errors
/// [`WorkshopError`] of the store; what an agent answers is no error but written down.
pub(crate) async fn read_all(site: &Site) -> Result<usize, WorkshopError> {
    if !site.reads_printers() {
        return Ok(0);
    }
    let clock = Actor::new(Role::Clock);
    let turns = Arc::new(Semaphore::new(AT_ONCE));
    let mut going = JoinSet::new();
    for printer in printers(&site.session().await?, &clock)? {
        let (site, turns) = (site.clone(), turns.clone());
        going.spawn(async move {
            let _turn = turns.acquire_owned().await;
            read_one(&site, &printer).await
        });
    }
    let mut asked = 0;
    let mut broken = Ok(());
    while let Some(one) = going.join_next().await {
        asked += 1;
        // What is wrong with one is tried again in a minute, and stops no other.
        broken = broken.and(one.map_err(|_| WorkshopError::BrokeOff).flatten());
    }
    broken.map(|()| asked)
}

async fn read_one(site: &Site, printer: &str) -> Result<(), WorkshopError> {
    for _ in 0..ROUNDS {
        let session = site.session().await?;
        let clock = Actor::new(Role::Clock);
        let Some(asked) = next(&session, &clock, printer).await? else {
            return Ok(());
        };
        let address = asked.address.clone();
        // Asking waits for the network: apart from the threads that answer.
        let answer = tokio::task::spawn_blocking(move || fetch(&address)).await;
        let answer = answer.map_err(|_| WorkshopError::BrokeOff)?;
        // Its clock is held against ours as it answers, however long what follows waits.
        let session = site.session().await?;
        let work = async move { answered(&session, &clock, &asked, answer).await };
        if !site.heavy(work).await? {
            return Ok(());
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_own_network_is_asked_and_the_links_own_addresses_are_not() {
        for yes in [
            "127.0.0.1",
            "10.0.0.5",
            "192.168.1.9",
            "fd00::5",
            "8.8.8.8",
            "::1",
        ] {
            assert!(may_be_agent(yes.parse().unwrap()), "{yes}");
        }
        for no in [
            "169.254.169.254",
            "::ffff:169.254.169.254",
            "fe80::1",
            "224.0.0.1",
            "ff02::1",
            "0.0.0.0",
            "::",
            "255.255.255.255",
        ] {
            assert!(!may_be_agent(no.parse().unwrap()), "{no}");
        }
    }
}
