//! Why something failed or is no good, as it was chosen at the bench and is stored: in words.

use partpledge_words::{Said, clause, said, say};

/// Why a run was stopped that nobody has permitted to go on alone; as it is stored. That is no fault of the
/// printer's.
pub const PEOPLE_LEAVE: &str = "People leave before it is done";

/// Why a plate failed, to be chosen from; as it is stored. Trade words that a student at the bench can
/// tell apart.
pub const REASONS: [&str; 9] = [
    "It came loose from the bed",
    "Layers are shifted",
    "Plastic stopped coming",
    "The spool ran out or tangled",
    "It lifted at the corners",
    "The printer stopped by itself",
    "The power went",
    "The copies are not good enough",
    PEOPLE_LEAVE,
];

/// Why a printer on which nothing was started can't be used, to be chosen from; as it is stored.
pub const OUT_REASONS: [&str; 4] = [
    "Plastic stopped coming",
    "The printer stopped by itself",
    "The power went",
    "Something else",
];

/// Why a printer whose copies are recalled can't be used; as it is stored.
pub const DRIFTED: &str = "Its sizes have drifted";

/// Why a printer can't be used, whatever is planned on it, to be chosen from; as it is stored.
pub const PRINTER_REASONS: [&str; 6] = [
    "Plastic stopped coming",
    "The printer stopped by itself",
    "The power went",
    DRIFTED,
    "It is being cleaned or mended",
    "Something else",
];

/// A reason in words of the tongue being spoken. What somebody typed is shown as it is.
#[must_use]
pub fn reason_says(stored: &str) -> String {
    match stored {
        "It came loose from the bed" => say!("bench-came-loose"),
        "Layers are shifted" => say!("bench-layers-shifted"),
        "Plastic stopped coming" => say!("bench-plastic-stopped"),
        "The spool ran out or tangled" => say!("bench-spool-out"),
        "It lifted at the corners" => say!("bench-lifted"),
        "The printer stopped by itself" => say!("bench-printer-stopped"),
        "The power went" => say!("bench-power-went"),
        "The copies are not good enough" => say!("bench-copies-not-good"),
        PEOPLE_LEAVE => say!("bench-people-leave"),
        "It failed" => say!("bench-it-failed"),
        DRIFTED => say!("bench-drifted"),
        "It is being cleaned or mended" => say!("bench-being-mended"),
        "out of use" => say!("bench-out-of-use"),
        "Stringy or rough" => say!("bench-stringy"),
        "Layers came apart" => say!("bench-layers-apart"),
        "A hole or a gap in it" => say!("bench-hole"),
        "It broke coming off" => say!("bench-broke"),
        "The wrong size" => say!("bench-wrong-size"),
        "Something else" => say!("bench-something-else"),
        typed => typed.to_owned(),
    }
}

/// The same inside a sentence, to be kept and read in any tongue.
#[must_use]
pub(crate) fn reason_clause(stored: &str) -> Said {
    match stored {
        "It came loose from the bed" => say("why-reason-loose"),
        "Layers are shifted" => say("why-reason-shifted"),
        "Plastic stopped coming" => say("why-reason-stopped-coming"),
        "The spool ran out or tangled" => say("why-reason-spool"),
        "It lifted at the corners" => say("why-reason-corners"),
        "The printer stopped by itself" => say("why-reason-stopped"),
        "The power went" => say("why-reason-power"),
        "The copies are not good enough" => say("why-reason-not-good"),
        PEOPLE_LEAVE => say("why-reason-people-leave"),
        DRIFTED => say("why-reason-drifted"),
        "It is being cleaned or mended" => say("why-reason-mended"),
        "out of use" => say("why-reason-out"),
        "It failed" => say("why-reason-failed"),
        "Something else" => say("why-reason-other"),
        typed => said!("common-as-written", text = clause(typed)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reason_that_can_be_chosen_is_said_alone_and_inside_a_sentence() {
        for reason in REASONS
            .iter()
            .chain(&OUT_REASONS)
            .chain(&PRINTER_REASONS)
            .chain(&["It failed", "out of use"])
        {
            assert_eq!(reason_says(reason), **reason);
            let inside = reason_clause(reason);
            assert_ne!(inside.id(), "common-as-written", "{reason}");
            let small = said!("common-as-written", text = clause(reason));
            assert_eq!(inside.to_string(), small.to_string());
        }
    }
}
