//! `serve`: the whole walk in a browser on this machine.

use partpledge_web::Site;

use crate::args::Args;
use crate::{clock, output};

use super::open;

pub(crate) async fn run(args: &Args, port: u16) -> anyhow::Result<u8> {
    let session = open(args).await?;
    let site = Site::new(session, clock::going(args.at.as_deref())?)?;
    let bound = partpledge_web::bind(port).await?;
    output::say(&format!(
        "Serving on http://{} (this machine only). Stop with Ctrl-C.",
        bound.local_addr()?
    ));
    partpledge_web::serve(bound, site, async {
        let _ = tokio::signal::ctrl_c().await;
    })
    .await?;
    Ok(output::FINE)
}
