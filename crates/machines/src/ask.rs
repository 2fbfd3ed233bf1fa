//! What an agent is asked for.

/// How many observations are asked for at a time.
pub const COUNT: i64 = 1_000;

/// Only the three kinds that are looked at: `//DataItem[@type="EXECUTION" or @type="PROGRAM" or
/// @type="AVAILABILITY"]`, as an address has it (RFC 3986). Agents that know of no `path` say more, and
/// the rest is passed over.
const PATH: &str = "%2F%2FDataItem%5B%40type%3D%22EXECUTION%22%20or%20%40type%3D%22PROGRAM%22%20or%20\
                    %40type%3D%22AVAILABILITY%22%5D";

/// A question to an agent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ask {
    /// What holds now.
    Current,
    /// What came from that number on.
    Since(i64),
}

impl Ask {
    /// The address of the question, at an agent's own.
    ///
    /// ```
    /// use partpledge_machines::Ask;
    /// let asked = Ask::Since(7).at("http://10.0.0.5:5000/");
    /// assert!(asked.starts_with("http://10.0.0.5:5000/sample?from=7&count=1000&path=%2F%2FDataItem"));
    /// assert!(Ask::Current.at("http://10.0.0.5:5000").starts_with("http://10.0.0.5:5000/current?path="));
    /// ```
    #[must_use]
    pub fn at(self, agent: &str) -> String {
        let agent = agent.trim_end_matches('/');
        match self {
            Self::Current => format!("{agent}/current?path={PATH}"),
            Self::Since(next) => format!("{agent}/sample?from={next}&count={COUNT}&path={PATH}"),
        }
    }
}
