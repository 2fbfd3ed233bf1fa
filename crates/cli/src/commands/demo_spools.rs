//! The demo's spools: told of once, before anything is planned, in the days before.

use partpledge_stock::{Deed, Roll};
use partpledge_testbed::SPOOLS;
use partpledge_units::time::EventMs;
use partpledge_workshop::bench::spools::{SpoolAct, act_on_spools};
use partpledge_workshop::{Actor, Role, Session, WorkshopError};

const DAY_MS: i64 = 24 * 3_600_000;

/// What the benches did with the first of them, days ago: opened, weighed with the reel, dried.
fn deeds() -> [(i64, SpoolAct); 6] {
    let opened = |spool| SpoolAct::Do(spool, Deed::Opened);
    let weighed = |spool, grams| SpoolAct::Weigh {
        spool,
        grams,
        with_reel: true,
        tare_g: None,
        sure: false,
    };
    [
        (30, opened(1)),
        (30, opened(4)),
        (25, opened(7)),
        (9, weighed(1, 790)),
        (9, weighed(4, 860)),
        (2, SpoolAct::Do(1, Deed::Dried)),
    ]
}

/// Has the benches tell of their spools, unless something is on record already: what is planned
/// stays as it was planned.
pub(super) async fn tell(session: &Session) -> Result<(), WorkshopError> {
    let planned = !session.floor().await?.plates.is_empty();
    if planned || session.spools.ledger.entry > 0 {
        return Ok(());
    }
    let actor = Actor::new(Role::Coordinator);
    let ago = |days: i64| EventMs(session.now.0 - days * DAY_MS);
    for (row, number) in SPOOLS.iter().zip(1..) {
        let then = session.at(ago(row.days_ago)).await?;
        let roll = Roll {
            host: row.host.to_owned(),
            material: row.material.to_owned(),
            colour: row.colour.to_owned(),
            net_g: row.net_g,
            tare_g: Some(row.tare_g),
            donor: row.donor.to_owned(),
            received_at: then.now,
        };
        let what = SpoolAct::Receive {
            roll,
            spools: row.spools,
            delivery: None,
        };
        let key = format!("demo:spools:{number}");
        act_on_spools(&then, &actor, &what, Some(&key)).await?;
    }
    for ((days, what), number) in deeds().iter().zip(1..) {
        let key = format!("demo:spool-deeds:{number}");
        act_on_spools(&session.at(ago(*days)).await?, &actor, what, Some(&key)).await?;
    }
    Ok(())
}
