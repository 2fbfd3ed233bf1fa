//! Messages that have markup in them: a link or a bold word in the middle of a sentence.

use std::fmt;

use crate::bundles;
use crate::said::Said;
use crate::tongue::Tongue;
use crate::value::Value;

/// A message whose own markup stands; what goes into it is escaped. For messages called `...-html`.
#[derive(Clone, Debug, PartialEq)]
pub struct Markup(pub Said);

impl fmt::Display for Markup {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&text(&self.0, Tongue::spoken()))
    }
}

fn text(said: &Said, tongue: Tongue) -> String {
    bundles::text(said, tongue, |value| match value {
        Value::Said(inner) if inner.id().ends_with("-html") => text(inner, tongue),
        other => escaped(&other.text(tongue)),
    })
}

fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&#38;"),
            '<' => out.push_str("&#60;"),
            '>' => out.push_str("&#62;"),
            '"' => out.push_str("&#34;"),
            '\'' => out.push_str("&#39;"),
            other => out.push(other),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::say;

    #[test]
    fn a_name_brings_no_markup_into_a_page() {
        let name = "<script>\"&'";
        let said = say("part-lead-html").with("name", name);
        let said = said.with("detail", "&").with("lead", "");
        let shown = Markup(said).to_string();
        assert_eq!(shown, "<b>&#60;script&#62;&#34;&#38;&#39;</b>, &#38;. ");
    }
}
