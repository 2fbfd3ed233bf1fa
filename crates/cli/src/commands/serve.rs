//! `serve`: the whole walk in a browser, on this machine or behind a server that does TLS.

use anyhow::Context as _;
use partpledge_catalogue::{Catalogue, RegionFile};
use partpledge_web::{Front, Mailer, Site};
use partpledge_workshop::Session;

use crate::args::{Args, Serving};
use crate::{clock, output};

use super::{look, region_file};

/// Names the mail server, with its password: not an argument, since others on this machine can
/// read those.
const SMTP_URL: &str = "PARTPLEDGE_SMTP_URL";

fn mailer(from: &str) -> anyhow::Result<Mailer> {
    let server = std::env::var(SMTP_URL)
        .with_context(|| format!("--smtp-from needs {SMTP_URL}, which names the mail server"))?;
    Ok(Mailer::new(from, &server)?)
}

pub(crate) async fn run(args: &Args, how: &Serving) -> anyhow::Result<u8> {
    let front = how.behind_proxy.as_deref();
    if let Some(name) = front.filter(|name| Front::named(name).is_none()) {
        anyhow::bail!("'{name}' is not like https://parts.example");
    }
    if !Session::is_in(&args.data).await? {
        return Ok(region_file::no_region(args, false));
    }
    let session = look(args).await?;
    let demo = is_demo(&session)?;
    let site = Site::new(session, clock::going(args.at.as_deref())?)?;
    let site = match front.and_then(Front::named) {
        None if demo => site.to_try(),
        None => site,
        Some(front) => site.behind(front),
    };
    let site = if how.tell_own_network {
        site.telling_near()
    } else {
        site
    };
    let site = if how.read_printers {
        site.reading_printers()
    } else {
        site
    };
    let site = match how.smtp_from.as_deref() {
        Some(from) => site.mailing(mailer(from)?),
        None => site,
    };
    let bound = partpledge_web::bind(how.port).await?;
    let here = format!("http://{}", bound.local_addr()?);
    match front {
        None => output::say(&format!(
            "Serving on {here} (this machine only). Stop with Ctrl-C."
        )),
        Some(name) => output::say(&format!(
            "Serving on {here} for {name}, which must do TLS and be the only way here. Stop with Ctrl-C."
        )),
    }
    if !(demo && front.is_none()) {
        first_coordinator(&site, front.unwrap_or(&here)).await?;
    }
    partpledge_web::serve(bound, site, async {
        let _ = tokio::signal::ctrl_c().await;
    })
    .await?;
    Ok(output::FINE)
}

/// Prints the link by which a region without a coordinator gets its first one.
async fn first_coordinator(site: &Site, base: &str) -> anyhow::Result<()> {
    if let Some(token) = site.people()?.set_up().await? {
        output::warn(&format!(
            "This region has no coordinator yet. Whoever opens this link first becomes it; it works \
             once, for a day, and the next start makes another:\n{base}/invited/{token}"
        ));
    }
    Ok(())
}

/// Whether the region on record is the invented one.
pub(super) fn is_demo(session: &Session) -> anyhow::Result<bool> {
    let demo = RegionFile::parse(partpledge_testbed::ambrel_valley(), &Catalogue::built_in())?;
    let file = &session.terrain.file;
    Ok((&file.name, &file.league, &file.zone) == (&demo.name, &demo.league, &demo.zone))
}
