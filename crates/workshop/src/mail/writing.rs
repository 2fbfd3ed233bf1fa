//! How a message reads.

use partpledge_records::{MessageKind, Notice};
use partpledge_words::say;

/// Notices that are written out in one message; how many more there are is said.
const MOST: usize = 40;

/// What a message is called: no names, since it shows on locked screens.
pub(super) fn subject(kind: MessageKind, many: usize) -> String {
    match kind {
        MessageKind::Digest => say!("mail-subject", n = many),
        MessageKind::Urgent => say!("mail-subject-urgent", n = many),
    }
}

/// What a message says. `site` is the name by which other machines reach the server; without it
/// there are no links.
pub(super) fn body(kind: MessageKind, notices: &[Notice], site: Option<&str>) -> String {
    let mut out = match kind {
        MessageKind::Digest => say!("mail-morning"),
        MessageKind::Urgent => say!("mail-urgent"),
    };
    out.push('\n');
    for one in notices.iter().take(MOST) {
        out += &format!("\n- {}\n", one.said.says);
        if let Some(site) = site {
            out += &format!("  {site}{}\n", one.said.link);
        }
    }
    if let Some(more) = notices.len().checked_sub(MOST).filter(|more| *more > 0) {
        out += &format!("\n{}\n", say!("mail-more", n = more));
    }
    let account = site.map_or_else(String::new, |site| format!(" {site}/account"));
    out + &format!("\n{}{account}\n", say!("mail-choose"))
}
