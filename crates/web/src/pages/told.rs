//! Which other programs are told what happens.

use askama::Template;
use partpledge_words::say;

use super::entry::wrong_with;
use super::send::Wrong;
use crate::who::Head;

/// An address that is told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ToldRow {
    pub(crate) id: String,
    pub(crate) address: String,
    /// Of what.
    pub(crate) kinds: String,
    /// What the last tries came to.
    pub(crate) tries: Vec<String>,
}

/// The page.
#[derive(Template)]
#[template(path = "told.html")]
pub(crate) struct ToldPage {
    pub(crate) head: Head,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) rows: Vec<ToldRow>,
    /// Kinds with their words.
    pub(crate) kinds: Vec<(&'static str, String)>,
    /// The address as typed.
    pub(crate) typed: String,
}

/// What can be told, in words.
pub(crate) fn kind_words(kind: &str) -> String {
    match kind {
        "pledge.given" => say!("send-told-pledge-given"),
        "pledge.kept" => say!("send-told-pledge-kept"),
        "pledge.broken" => say!("send-told-pledge-broken"),
        "pledge.withdrawn" => say!("send-told-pledge-withdrawn"),
        "run.started" => say!("send-told-run-started"),
        "run.off" => say!("send-told-run-off"),
        "run.failed" => say!("send-told-run-failed"),
        "step.taken-back" => say!("send-told-step-taken-back"),
        "box.left" => say!("send-told-box-left"),
        "box.handed-over" => say!("send-told-box-handed-over"),
        "box.missed-leg" => say!("send-told-box-missed-leg"),
        "box.doubted" => say!("send-told-box-doubted"),
        "box.made-again" => say!("send-told-box-made-again"),
        "box.all-right" => say!("send-told-box-all-right"),
        "request.handed-over" => say!("send-told-request-handed-over"),
        "request.wrong-unit" => say!("send-told-request-wrong-unit"),
        "spare.not-made" => say!("send-told-spare-not-made"),
        "recall.opened" => say!("send-told-recall-opened"),
        "recall.checked" => say!("send-told-recall-checked"),
        "recall.lifted" => say!("send-told-recall-lifted"),
        "printer.out-of-use" => say!("send-told-printer-out-of-use"),
        "printer.back-in-use" => say!("send-told-printer-back-in-use"),
        "printer.taken-back" => say!("send-told-printer-taken-back"),
        "plan.chosen" => say!("send-told-plan-chosen"),
        "region.closed" => say!("send-told-region-closed"),
        "region.opened" => say!("send-told-region-opened"),
        "region.changed" => say!("send-told-region-changed"),
        other => other.to_owned(),
    }
}

impl ToldPage {
    fn wrong_with(&self, field: &str) -> Option<&str> {
        wrong_with(&self.wrong, field)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn who_is_told_renders_from_its_samples() {
        let row = ToldRow {
            id: "1".to_owned(),
            address: AWKWARD.to_owned(),
            kinds: AWKWARD.to_owned(),
            tries: vec![AWKWARD.to_owned()],
        };
        for rows in [Vec::new(), vec![row]] {
            let page = ToldPage {
                head: head(),
                wrong: vec![Wrong {
                    field: "address",
                    text: AWKWARD.to_owned(),
                }],
                rows,
                kinds: vec![("run.off", "a plate is off the bed".to_owned())],
                typed: AWKWARD.to_owned(),
            };
            sound(&page.render().unwrap());
        }
    }
}
