//! `serve`: the region's pledges in a browser on this machine.

use std::sync::Arc;

use partpledge_web::Site;

use crate::args::Args;
use crate::clock::WallClock;
use crate::output;

use super::open;

pub(crate) async fn run(args: &Args, port: u16) -> anyhow::Result<u8> {
    let session = open(args).await?;
    let site = Site::new(session, Arc::new(WallClock))?;
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
