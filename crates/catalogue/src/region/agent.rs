//! The agent by which a printer says itself what it does: see `docs/machines.md`.

use serde::{Deserialize, Serialize};

/// Longest address and name, characters.
const LONGEST: usize = 200;

/// Where a printer's MTConnect agent answers, and which of its devices the printer is.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct AgentEntry {
    /// `http://10.0.0.5:5000`.
    pub address: String,
    /// The device's name or `uuid` there.
    pub device: String,
}

impl AgentEntry {
    /// What is wrong with it, if something is: its address or its device.
    #[must_use]
    pub fn fault(&self) -> Option<&'static str> {
        let plain = |c: char| !c.is_control();
        let named = !self.device.trim().is_empty() && self.device.chars().all(plain);
        if !is_agent_address(&self.address) {
            return Some("agent address");
        }
        (!named || self.device.chars().count() > LONGEST).then_some("agent device")
    }
}

/// Whether an agent may be asked there: over http or https, with no name or password in it, and nothing
/// that belongs to a question.
///
/// ```
/// use partpledge_catalogue::region::is_agent_address;
/// assert!(is_agent_address("http://10.0.0.5:5000"));
/// assert!(is_agent_address("https://printers.school.example/agent/"));
/// for no in ["10.0.0.5", "ftp://10.0.0.5", "http://", "http://a:b@10.0.0.5", "http://h/?x", "http://h:x/"] {
///     assert!(!is_agent_address(no), "{no}");
/// }
/// ```
#[must_use]
pub fn is_agent_address(text: &str) -> bool {
    let rest = text.strip_prefix("http://");
    let Some(rest) = rest.or_else(|| text.strip_prefix("https://")) else {
        return false;
    };
    let (at, path) = rest.split_once('/').unwrap_or((rest, ""));
    let in_path = |c: char| c.is_ascii_alphanumeric() || matches!(c, '/' | '-' | '_' | '.' | '~');
    text.len() <= LONGEST && is_host(at) && path.chars().all(in_path)
}

/// A name or number, with a port perhaps.
fn is_host(at: &str) -> bool {
    let (host, port) = match at.strip_prefix('[') {
        Some(six) => match six.split_once(']') {
            Some((host, "")) => (host, None),
            Some((host, rest)) => (host, rest.strip_prefix(':').or(Some(""))),
            None => return false,
        },
        None => match at.split_once(':') {
            Some((host, port)) => (host, Some(port)),
            None => (at, None),
        },
    };
    let six = at.starts_with('[');
    let fine = |c: char| {
        (six && (c.is_ascii_hexdigit() || matches!(c, ':' | '.')))
            || (!six && (c.is_ascii_alphanumeric() || matches!(c, '-' | '.')))
    };
    let number = |port: &str| port.parse::<u16>().is_ok_and(|port| port > 0);
    !host.is_empty() && host.chars().all(fine) && port.is_none_or(number)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_plain_address_is_taken() {
        for yes in [
            "http://heron.local:5000",
            "http://[fd00::5]:5000/",
            "http://[fd00::5]",
            "https://a/b/c",
        ] {
            assert!(is_agent_address(yes), "{yes}");
        }
        for no in [
            "",
            "http:///x",
            "http://:5000",
            "http://h:",
            "http://h:0",
            "http://h:99999",
            "http://[fd00::5",
            "http://[fd00::5]x",
            "http://[]",
            "http://h/a b",
            "http://h/a#b",
            "http://h/%2f",
            "http://user@h/",
            "http://h\u{e5}/",
            "HTTP://h/",
        ] {
            assert!(!is_agent_address(no), "{no}");
        }
        assert!(!is_agent_address(&format!(
            "http://{}",
            "a".repeat(LONGEST)
        )));
        let agent = |address: &str, device: &str| AgentEntry {
            address: address.to_owned(),
            device: device.to_owned(),
        };
        assert_eq!(agent("http://h", "p1").fault(), None);
        assert_eq!(agent("h", "p1").fault(), Some("agent address"));
        for device in ["", " ", "a\nb"] {
            assert_eq!(agent("http://h", device).fault(), Some("agent device"));
        }
    }
}
