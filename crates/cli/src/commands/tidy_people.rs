//! `tidy-people`: erase whom the season's end erases, and clear up what is over. The server does the
//! same every minute.

use partpledge_workshop::Actor;

use crate::args::Args;
use crate::output;

use super::open;

pub(crate) async fn run(args: &Args) -> anyhow::Result<u8> {
    let session = open(args).await?;
    let people = session.people(session.now)?;
    let tidied = people.tidy(&Actor::at_the_machine()).await?;
    output::say(&format!(
        "People of teams erased: {}. Sign-ins that were over: {}. Codes that had ended: {}.",
        tidied.erased, tidied.sign_ins, tidied.codes
    ));
    if people.erased_from()?.is_none() {
        output::say(
            "The region's file names no season_ends, so nobody is erased unasked: add it, such as \
             season_ends = \"2027-06-12\".",
        );
    }
    Ok(output::FINE)
}
