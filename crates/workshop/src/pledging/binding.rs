//! The reason that binds a quote when few printers can make it: which room or plastic is short, till when.

use partpledge_planning::{Ground, Occupied, Reason, slots};
use partpledge_planning_model::{Plate, Printer};
use partpledge_records::Floor;
use partpledge_units::time::Minutes;
use partpledge_words::dates::Form;
use partpledge_words::{Said, Value, decimal, said};

use crate::session::Session;

/// A shorter wait is not worth a sentence.
const WORTH_SAYING: Minutes = Minutes(60);

/// `No bed over 220 mm is free, with somebody there, before Thu 11 Mar 10:00.` Nothing when printers
/// are not short, or one is free within the hour.
pub(super) fn sentence(
    session: &Session,
    floor: &Floor,
    (plate, reasons): (&Plate, &[Reason]),
) -> Option<Said> {
    let few = |reason: &Reason| matches!(reason, Reason::FewPrinters { .. });
    if !reasons.iter().any(few) {
        return None;
    }
    let terrain = &session.terrain;
    let ground = Ground::new(&terrain.region);
    let occupied = Occupied::by(&ground, &floor.plates, &floor.plan);
    let now = session.minute();
    let first = slots(&ground, &occupied, plate, now, 1);
    let start = first.iter().map(|slot| slot.start).min()?;
    if start - now < WORTH_SAYING {
        return None;
    }
    let at = terrain.zone.moment(start, Form::Short);
    Some(short_of(&ground, plate, &at))
}

/// What is short before `at`: room on the bed, height, or the plastic.
fn short_of(ground: &Ground<'_>, plate: &Plate, at: &Value) -> Said {
    let makes = |printer: &Printer| {
        let mut makings = plate
            .makings
            .iter()
            .filter(|m| ground.takes(m, &plate.material));
        makings.any(|m| std::ptr::eq(ground.printer(m.printer), printer))
    };
    let printers = ground.region().printers.iter();
    let stocked = printers.filter(|p| p.materials.contains(&plate.material));
    let (able, small): (Vec<&Printer>, Vec<&Printer>) = stocked.partition(|p| makes(p));
    let longest = |p: &&Printer| p.bed_mm[0].max(p.bed_mm[1]);
    let too_short = small.iter().map(longest).fold(0.0, f64::max);
    if small.is_empty() {
        said!("reasons-no-plastic", material = plate.material, at = at)
    } else if able.iter().all(|p| longest(p) > too_short) {
        said!("reasons-no-bed", mm = decimal(too_short, 0), at = at)
    } else {
        said!("reasons-no-room", at = at)
    }
}
