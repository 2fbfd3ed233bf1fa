//! A host's own motion program for a plate: its time in place of our estimate, on its class.
//!
//! The estimate stays on record as it was worked out; whoever reads the floor finds the program's
//! time in its stead. Promises given stay as they were given.

use bytes::Bytes;
use partpledge_catalogue::PrinterClass;
use partpledge_planning_model::{Making, Plate, PlateSeq, PrinterIx};
use partpledge_records::{BlobHash, Floor, KeptPlate, NotUsed, PlateProgram, StepKind};
use partpledge_toolpath::program::{ProgramFinding, RetimeError, Retimed, Retiming};
use partpledge_units::time::Minutes;
use partpledge_words::say;

use crate::actor::Actor;
use crate::bench::{Done, program_received};
use crate::books::Books;
use crate::error::WorkshopError;
use crate::session::Session;
use crate::terrain::Terrain;

/// How much of a program is looked at in one go.
const PIECE_BYTES: usize = 256 * 1024;
/// Longest name of a file that is kept, in characters.
const LONGEST_NAME: usize = 120;
/// Longer than any plan looks ahead, min: a hundred years.
const LONGEST_MIN: i64 = 100 * 366 * 1_440;
/// Drives to the reference point; printers measure their bed after it (common practice, no
/// source). The word is that of ISO 6983-1, from memory.
const HOMING: &str = "G28";

/// Takes the time of the host's own program for a plate that waits to be started. It counts on
/// printers of the class that the plate is planned on now; the plan is made anew in the same
/// transaction, and the program is on disk when this returns. Sent twice under one key, it is
/// done once.
///
/// # Errors
/// [`WorkshopError::ProgramRefused`] when it is no program, asks for what the class can't do,
/// lays nothing, or takes so long that no printer has the time; [`WorkshopError::NotWaiting`] for
/// a plate that was started; as [`act`](crate::bench::act) otherwise. Nothing is changed then.
pub async fn program_for_plate(
    session: &Session,
    actor: &Actor,
    plate: u64,
    (bytes, file_name): (&Bytes, &str),
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    let timing = |books: &Books, kept: &KeptPlate| {
        let class = class_of(session, books, kept)?;
        let told = retimed(session, class, (&kept.plate, bytes))?;
        let levelling_s = levelling_s(class, &told);
        Ok(PlateProgram {
            plate: kept.on().0,
            class: class.code.clone(),
            blob: BlobHash::of(bytes),
            file_name: short_name(file_name),
            worked_out_min: (Minutes::covering_s(told.time_s + levelling_s).0)
                .clamp(1, LONGEST_MIN),
            levelling_min: Minutes::covering_s(levelling_s).0,
            mass_g: told.mass_g,
            layers: u64::try_from(told.layers).unwrap_or(u64::MAX),
            not_used: not_used(&told),
            received_at: session.now,
        })
    };
    Box::pin(program_received(
        session,
        actor,
        plate,
        (bytes, timing),
        key,
    ))
    .await
}

/// The class of the printer that a plate waits for.
fn class_of<'a>(
    session: &'a Session,
    books: &Books,
    kept: &KeptPlate,
) -> Result<&'a PrinterClass, WorkshopError> {
    let seq = kept.on();
    if books.whole(kept).is_none() || books.step(seq.0, StepKind::Started).is_some() {
        return Err(WorkshopError::NotWaiting { plate: seq.0 });
    }
    let place = books.place(kept);
    let code = place.and_then(|place| session.terrain.classes.get(place.printer.0));
    let class = code.and_then(|code| session.catalogue.class(code));
    class.ok_or_else(|| {
        let why = say!("programs-no-place");
        refused("no-place", why, &say!("programs-send-later"))
    })
}

/// What a program takes on a class, or why its time can't be used.
fn retimed(
    session: &Session,
    class: &PrinterClass,
    (plate, bytes): (&Plate, &Bytes),
) -> Result<Retimed, WorkshopError> {
    let material = session.catalogue.material(&plate.material);
    let material = material.ok_or_else(|| WorkshopError::Unknown {
        what: "material",
        name: plate.material.clone(),
        known: String::new(),
    })?;
    let mut retiming = Retiming::new(class, material)?;
    for piece in bytes.chunks(PIECE_BYTES) {
        retiming.feed(piece).map_err(|error| no_program(&error))?;
    }
    let told = retiming.finish().map_err(|error| no_program(&error))?;
    if let Some(first) = told.findings.first() {
        let why = first.why();
        let why = why.strip_suffix('.').unwrap_or(&why).to_owned();
        let what_to_do = match first {
            // A zero elsewhere is no fault, but then we can't tell whether it stays on the bed.
            ProgramFinding::OutsideBed { .. } => say!("programs-zero-elsewhere"),
            other => other.what_to_do(),
        };
        return Err(refused(first.code(), why, &what_to_do));
    }
    if told.laid_filament_mm <= 0.0 {
        let (why, what_to_do) = (
            say!("programs-lays-nothing"),
            say!("programs-choose-printing"),
        );
        return Err(refused("lays-nothing", why, &what_to_do));
    }
    Ok(told)
}

fn no_program(error: &RetimeError) -> WorkshopError {
    let what_to_do = match error {
        RetimeError::Binary { .. } => say!("programs-save-as-text"),
        RetimeError::NoMotion { .. } => say!("programs-choose-motion"),
        RetimeError::FeedMode { .. } => say!("programs-write-speeds"),
    };
    refused(error.code(), error.to_string(), &what_to_do)
}

pub(crate) fn refused(code: &'static str, why: String, what_to_do: &str) -> WorkshopError {
    WorkshopError::ProgramRefused {
        code,
        why,
        what_to_do: what_to_do.to_owned(),
    }
}

/// Measuring the bed is no motion of the program: the class's time for it, if the program drives
/// to the reference point.
fn levelling_s(class: &PrinterClass, told: &Retimed) -> f64 {
    if told.words.iter().any(|word| word.word == HOMING) {
        class.levelling_s
    } else {
        0.0
    }
}

/// Under what moves and lines are kept that no word of the program stands for.
const NOT_TIMED: &str = "moves from a place that nobody knows";
const PASSED_OVER: &str = "lines too long to be read";

/// What was not used of a program, as people read it: a word of the program itself is as it is.
#[must_use]
pub fn not_used_says(kept: &str) -> String {
    match kept {
        NOT_TIMED => return say!("programs-not-timed"),
        PASSED_OVER => return say!("programs-lines-passed-over"),
        "axis without a number" => return say!("programs-axis-no-number"),
        "arc not timed" => return say!("programs-arc-not-timed"),
        "(other text)" => return say!("programs-other-text"),
        _ => {}
    }
    match kept.split_once(' ') {
        Some((word, "(broken line)")) => say!("programs-broken-line", word = word),
        Some((word, "(no temperature)")) => say!("programs-no-temperature", word = word),
        Some((word, "(no time)")) => say!("programs-no-time", word = word),
        Some((word, "(not above zero)")) => say!("programs-not-above-zero", word = word),
        _ => kept.to_owned(),
    }
}

/// All that the time does not hold.
fn not_used(told: &Retimed) -> Vec<NotUsed> {
    let words = told.words.iter().map(|word| NotUsed {
        word: word.word.clone(),
        count: word.count,
    });
    let more = [
        (NOT_TIMED, told.not_timed),
        (PASSED_OVER, told.lines_passed_over),
    ];
    let more = more.into_iter().filter(|(_, count)| *count > 0);
    let more = more.map(|(word, count)| NotUsed {
        word: word.to_owned(),
        count,
    });
    words.chain(more).collect()
}

fn short_name(file_name: &str) -> String {
    let base = file_name.rsplit(['/', '\\']).next().unwrap_or(file_name);
    let plain = base.chars().filter(|c| !c.is_control());
    plain.take(LONGEST_NAME).collect()
}

/// Whether the time of a plate on a printer is that of a program.
pub(crate) fn counts(terrain: &Terrain, floor: &Floor, plate: u64, printer: PrinterIx) -> bool {
    let class = terrain.classes.get(printer.0);
    floor
        .program_of(plate)
        .is_some_and(|program| Some(&program.class) == class)
}

/// The floor with the times of programs in place of our own, on their classes.
pub(crate) fn with_programs(terrain: &Terrain, mut floor: Floor) -> Floor {
    for program in floor.programs.clone() {
        let makings = floor.own_makings(PlateSeq(program.plate));
        let makings = by_program(terrain, makings, &program);
        let Floor {
            kept, plates, past, ..
        } = &mut floor;
        let all = plates.iter_mut().chain(past.iter_mut());
        for plate in all.filter(|plate| plate.seq.0 == program.plate) {
            plate.makings.clone_from(&makings);
        }
        for row in kept.iter_mut().filter(|row| row.on().0 == program.plate) {
            row.plate.makings.clone_from(&makings);
        }
    }
    floor
}

/// Makings with a program's time in place of ours on its class. What is expected and kept grows
/// or shrinks alike.
pub(crate) fn by_program(terrain: &Terrain, own: &[Making], program: &PlateProgram) -> Vec<Making> {
    let one = |making: &Making| {
        if terrain.classes.get(making.printer.0) == Some(&program.class) {
            taking(*making, program.worked_out_min)
        } else {
            *making
        }
    };
    own.iter().map(one).collect()
}

fn taking(own: Making, worked_out_min: i64) -> Making {
    let was = i128::from(own.worked_out.0.max(1));
    let scaled = |time: Minutes| {
        let up = (i128::from(time.0) * i128::from(worked_out_min) + was - 1) / was;
        // A program may dwell for ages; such a time has no place in any plan.
        Minutes(i64::try_from(up).unwrap_or(i64::MAX).clamp(1, LONGEST_MIN))
    };
    let nominal = scaled(own.nominal);
    Making {
        worked_out: Minutes(worked_out_min),
        nominal,
        reserved: scaled(own.reserved).max(nominal),
        likely: scaled(own.likely),
        ..own
    }
}

#[cfg(test)]
mod tests {
    use partpledge_planning_model::Footprint;

    use super::*;

    #[test]
    fn what_is_expected_and_kept_grows_with_the_time_of_the_program() {
        let footprint = Footprint([1.0; 3]);
        let own = Making {
            nominal: Minutes(110),
            likely: Minutes(115),
            ..Making::new(PrinterIx(0), footprint, Minutes(100), Minutes(130))
        };
        let longer = taking(own, 151);
        let times = [longer.nominal, longer.reserved, longer.likely].map(|m| m.0);
        assert_eq!((longer.worked_out.0, times), (151, [167, 197, 174]));
        let ages = taking(own, i64::MAX);
        assert_eq!(
            (ages.nominal.0, ages.reserved.0),
            (LONGEST_MIN, LONGEST_MIN)
        );
    }

    #[test]
    fn what_was_not_used_is_said_in_english_as_it_is_kept() {
        use partpledge_words::{Tongue, within};
        let kept = [
            NOT_TIMED,
            PASSED_OVER,
            "axis without a number",
            "arc not timed",
            "(other text)",
            "X (broken line)",
            "M104 (no temperature)",
            "G4 (no time)",
            "F (not above zero)",
        ];
        for kept in kept {
            assert_eq!(not_used_says(kept), kept);
            let german = within(Tongue::German, || not_used_says(kept));
            assert_ne!(german, kept, "it has a message of its own");
        }
        assert_eq!(not_used_says("M106"), "M106");
    }

    #[test]
    fn a_file_name_is_kept_short_and_plain() {
        assert_eq!(short_name("C:\\jobs\\plate\n 3.txt"), "plate 3.txt");
        assert_eq!(short_name(&"å".repeat(500)).chars().count(), LONGEST_NAME);
    }
}
