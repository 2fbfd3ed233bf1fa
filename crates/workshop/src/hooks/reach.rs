//! How far messages may go: out into the world, or also to this machine and its own network.
//!
//! A coordinator writes addresses down, not whoever runs the server: without this they could have
//! the server knock at doors that only it can reach.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr};

/// Longest address.
const LONGEST_ADDRESS: usize = 500;

/// How far messages may go.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Reach {
    /// Only out of this server's own network.
    #[default]
    Far,
    /// Also to this machine and its network: whoever runs the server allowed it.
    Near,
}

impl Reach {
    /// Whether a message may go to that machine.
    #[must_use]
    pub fn allows(self, ip: IpAddr) -> bool {
        self == Self::Near || is_far(ip)
    }
}

/// Whether an address may be told: over TLS; with [`Reach::Near`] also without it on this machine
/// itself. A name is looked up only when something is sent, and looked at again then.
///
/// ```
/// use partpledge_workshop::hooks::{Reach, may_be_told};
/// assert!(may_be_told("https://board.example/told", Reach::Far));
/// assert!(may_be_told("http://127.0.0.1:9000/", Reach::Near));
/// assert!(!may_be_told("http://127.0.0.1:9000/", Reach::Far));
/// assert!(!may_be_told("https://10.0.0.1/", Reach::Far));
/// assert!(!may_be_told("http://board.example/told", Reach::Near));
/// ```
#[must_use]
pub fn may_be_told(address: &str, reach: Reach) -> bool {
    let plain = |c: char| c.is_ascii_graphic() && !matches!(c, '"' | '<' | '>' | '\\' | '@' | '#');
    if address.len() > LONGEST_ADDRESS || !address.chars().all(plain) {
        return false;
    }
    if let Some(rest) = address.strip_prefix("https://") {
        let name = name_in(rest);
        return match numeric(name) {
            Some(ip) => reach.allows(ip),
            None => !name.is_empty() && (reach == Reach::Near || !is_this_machine(name)),
        };
    }
    let Some(rest) = address.strip_prefix("http://") else {
        return false;
    };
    let name = name_in(rest);
    reach == Reach::Near && matches!(name, "127.0.0.1" | "localhost" | "[::1]")
}

/// The host's name in what follows the scheme, without its port; empty when that is no port.
fn name_in(rest: &str) -> &str {
    let host = rest.split(['/', '?']).next().unwrap_or("");
    match host.rsplit_once(':') {
        // The colons of a bare IPv6 address.
        Some((_, last)) if last.ends_with(']') => host,
        Some((name, port)) if port.parse::<u16>().is_ok() => name,
        Some(_) => "",
        None => host,
    }
}

fn numeric(name: &str) -> Option<IpAddr> {
    let bare = name.trim_start_matches('[').trim_end_matches(']');
    bare.parse().ok()
}

/// RFC 6761, 6.3: these names are always this machine.
fn is_this_machine(name: &str) -> bool {
    let name = name.trim_end_matches('.').to_ascii_lowercase();
    name == "localhost" || name.ends_with(".localhost")
}

/// Whether a number stands for a machine out in the world: not this one, not its network, none of
/// the ranges that lead nowhere or to many. What carries an IPv4 address within it counts as that.
///
/// # Source
/// RFC 6890 and the registries of special-purpose addresses that it set up, from memory.
///
/// ```
/// use partpledge_workshop::hooks::is_far;
/// assert!(is_far("1.1.1.1".parse().unwrap()));
/// assert!(!is_far("::ffff:127.0.0.1".parse().unwrap()));
/// ```
#[must_use]
pub fn is_far(ip: IpAddr) -> bool {
    match ip {
        IpAddr::V4(ip) => is_far_4(ip),
        IpAddr::V6(ip) => is_far_6(ip),
    }
}

fn is_far_4(ip: Ipv4Addr) -> bool {
    let near = match ip.octets() {
        // This machine and net, the link, local networks, what is for tests and examples.
        [0 | 10 | 127, ..]
        | [169, 254, ..]
        | [192, 168, ..]
        | [192, 0, 0 | 2, _]
        | [192, 88, 99, _]
        | [198, 18 | 19, ..]
        | [198, 51, 100, _]
        | [203, 0, 113, _] => true,
        [100, second, ..] => second & 0xc0 == 0x40, // shared by a carrier's customers, RFC 6598
        [172, second, ..] => second & 0xf0 == 0x10,
        [first, ..] => first >= 224, // many, reserved, everybody
    };
    !near
}

fn is_far_6(ip: Ipv6Addr) -> bool {
    let all = ip.segments();
    let inner = |high: u16, low: u16| {
        let ([a, b], [c, d]) = (high.to_be_bytes(), low.to_be_bytes());
        is_far_4(Ipv4Addr::new(a, b, c, d))
    };
    match all {
        // Mapped, translated (RFC 6052) and 6to4 (RFC 3056): an IPv4 address within.
        [0, 0, 0, 0, 0, 0xffff, high, low]
        | [0x64, 0xff9b, 0, 0, 0, 0, high, low]
        | [0x2002, high, low, ..] => inner(high, low),
        [0x2001, second, ..] if second < 0x200 || second == 0xdb8 => false,
        [0x3fff, second, ..] if second < 0x1000 => false, // for examples, RFC 9637
        // 2000::/3 is all that is given out; the link, local networks and many are not in it.
        [first, ..] => first & 0xe000 == 0x2000,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_tls_and_this_machine_are_told() {
        for no in [
            "",
            "ftp://board.example/",
            "https://",
            "https://:443/",
            "https://a.example:x/",
            "http://localhost.evil.example/",
            "http://localhost:x/",
            "http://127.0.0.1.evil.example/",
            "https://a.example/ b",
            "https://user@a.example/",
            "http://10.0.0.1/",
        ] {
            assert!(!may_be_told(no, Reach::Near), "{no}");
            assert!(!may_be_told(no, Reach::Far), "{no}");
        }
        assert!(may_be_told("http://[::1]:80/x", Reach::Near));
        assert!(may_be_told("https://[2606:4700::1]/x", Reach::Far));
        assert!(may_be_told("https://board.example:8443?x", Reach::Far));
    }

    #[test]
    fn this_machine_and_its_network_are_told_only_when_it_is_allowed() {
        for near in [
            "https://127.0.0.1/",
            "https://localhost:8443/",
            "https://board.LOCALHOST./",
            "https://192.168.1.5/told",
            "https://169.254.169.254/",
            "https://[::1]:8443/",
            "https://[fd00::5]/",
            "http://127.0.0.1:9000/",
        ] {
            assert!(!may_be_told(near, Reach::Far), "{near}");
            assert!(may_be_told(near, Reach::Near), "{near}");
        }
    }

    #[test]
    fn numbers_of_our_own_network_are_near_however_they_are_written() {
        for near in [
            "0.0.0.0",
            "10.1.2.3",
            "100.64.0.1",
            "100.127.255.255",
            "127.8.9.1",
            "169.254.169.254",
            "172.16.0.1",
            "172.31.255.255",
            "192.168.0.1",
            "198.18.0.1",
            "224.0.0.1",
            "255.255.255.255",
            "::",
            "::1",
            "::127.0.0.1",
            "::ffff:10.0.0.1",
            "64:ff9b::7f00:1",
            "2001::1",
            "2002:7f00:1::",
            "fc00::1",
            "fe80::1",
            "fec0::1",
            "ff02::1",
        ] {
            assert!(!is_far(near.parse().unwrap()), "{near}");
            assert!(Reach::Near.allows(near.parse().unwrap()), "{near}");
        }
        for far in [
            "1.1.1.1",
            "100.63.0.1",
            "100.128.0.1",
            "172.15.0.1",
            "172.32.0.1",
            "192.167.0.1",
            "223.255.255.255",
            "::ffff:1.1.1.1",
            "64:ff9b::101:101",
            "2001:4860::1",
            "2606:4700::1",
        ] {
            assert!(is_far(far.parse().unwrap()), "{far}");
        }
    }
}
