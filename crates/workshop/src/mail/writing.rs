//! How a message reads.

use partpledge_records::{MessageKind, Notice};

/// Notices that are written out in one message; how many more there are is said.
const MOST: usize = 40;

/// What a message is called: no names, since it shows on locked screens.
pub(super) fn subject(kind: MessageKind, many: usize) -> String {
    let notices = match many {
        1 => "1 notice".to_owned(),
        many => format!("{many} notices"),
    };
    match kind {
        MessageKind::Digest => format!("Partpledge: {notices}"),
        MessageKind::Urgent => format!("Partpledge, urgent: {notices}"),
    }
}

/// What a message says. `site` is the name by which other machines reach the server; without it
/// there are no links.
pub(super) fn body(kind: MessageKind, notices: &[Notice], site: Option<&str>) -> String {
    let mut out = match kind {
        MessageKind::Digest => "Good morning. This is what you have not seen yet.\n".to_owned(),
        MessageKind::Urgent => "This is urgent, so you get it at once.\n".to_owned(),
    };
    for one in notices.iter().take(MOST) {
        out += &format!("\n- {}\n", one.said.says);
        if let Some(site) = site {
            out += &format!("  {site}{}\n", one.said.link);
        }
    }
    if let Some(more) = notices.len().checked_sub(MOST).filter(|more| *more > 0) {
        out += &format!("\nThere are {more} more on the page of your notices.\n");
    }
    let account = site.map_or_else(String::new, |site| format!(" {site}/account"));
    out + &format!("\nYou choose on your account page what we send you.{account}\n")
}
