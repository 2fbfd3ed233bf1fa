//! Why something failed or is no good, as it was chosen at the bench and is stored: in words of the
//! tongue being spoken.

use partpledge_words::say;

/// A reason in words. What somebody typed is shown as it is.
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
        "It failed" => say!("bench-it-failed"),
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
