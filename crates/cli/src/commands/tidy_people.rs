//! `tidy-people`: erase whom the season's end erases, and clear up what is over. The server does the
//! same every minute.

use partpledge_workshop::{Actor, Session};

use crate::args::Args;
use crate::output;

use super::{look, region_file};

pub(crate) async fn run(args: &Args) -> anyhow::Result<u8> {
    if !Session::is_in(&args.data).await? {
        return Ok(region_file::no_region(args, false));
    }
    let session = look(args).await?;
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
