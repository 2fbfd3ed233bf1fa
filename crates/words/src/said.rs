//! A sentence as data: which message, and what goes into it.

use std::borrow::Cow;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::bundles;
use crate::tongue::Tongue;
use crate::value::{ToValue, Value};

/// A message and what goes into it. Shown, it speaks the tongue that is spoken then.
///
/// Kept as `{"id": "...", "with": [...]}`; a bare text, as earlier releases kept it, is read as such.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(from = "Kept")]
pub struct Said {
    id: Cow<'static, str>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    with: Vec<(Cow<'static, str>, Value)>,
}

/// As it is read back.
#[derive(Deserialize)]
#[serde(untagged)]
enum Kept {
    Text(String),
    Said {
        id: String,
        #[serde(default)]
        with: Vec<(Cow<'static, str>, Value)>,
    },
}

impl From<Kept> for Said {
    fn from(kept: Kept) -> Self {
        match kept {
            Kept::Text(text) => Self::written(&text),
            Kept::Said { id, with } => {
                let id = Cow::Owned(id);
                Self { id, with }
            }
        }
    }
}

/// The message called `id`, to be given what goes into it.
#[must_use]
pub fn say(id: &'static str) -> Said {
    Said {
        id: Cow::Borrowed(id),
        with: Vec::new(),
    }
}

impl Said {
    /// A text that was written by somebody, or in English before there were messages.
    #[must_use]
    pub fn written(text: &str) -> Self {
        say("common-as-written").with("text", text)
    }

    /// With `value` as `name` in it.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: impl ToValue) -> Self {
        self.with.push((Cow::Borrowed(name), value.to_value()));
        self
    }

    /// The name of its message.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.id
    }

    /// What goes into it, by name.
    pub(crate) fn values(&self) -> impl Iterator<Item = (&str, &Value)> {
        self.with.iter().map(|(name, value)| (name.as_ref(), value))
    }

    /// Its text in `tongue`. A message that is in no file is its own name: the tests see to it that
    /// there is none in the code, and what is stored may be of a newer release.
    #[must_use]
    pub fn in_tongue(&self, tongue: Tongue) -> String {
        bundles::text(self, tongue, |value| value.text(tongue))
    }
}

impl fmt::Display for Said {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.in_tongue(Tongue::spoken()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_is_read_back_the_same() {
        let said = say("common-and").with("before", "a").with("last", 3);
        let kept = serde_json::to_string(&said).unwrap();
        assert_eq!(serde_json::from_str::<Said>(&kept).unwrap(), said);
        assert_eq!(said.in_tongue(Tongue::English), "a and 3");
        assert_eq!(said.in_tongue(Tongue::German), "a und 3");
        let text: Said = serde_json::from_str("\"as it was kept before\"").unwrap();
        assert_eq!(text.in_tongue(Tongue::German), "as it was kept before");
    }

    #[test]
    fn marks_stand_around_what_a_message_says_and_not_around_what_goes_into_it() {
        let said = say("common-and").with("before", "a").with("last", 3);
        assert_eq!(said.in_tongue(Tongue::Marked), "a⟦ and 3⟧");
    }

    #[test]
    fn what_no_file_has_is_its_own_name() {
        let newer: Said = serde_json::from_str(r#"{"id":"of-a-newer-release"}"#).unwrap();
        assert_eq!(newer.in_tongue(Tongue::German), "of-a-newer-release");
    }
}
