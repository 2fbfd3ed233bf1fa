//! What timing a motion program again promises about any bytes.
//!
//! Shared by the fuzz target and, through `#[path]`, by the stable tests that replay the corpus.

use std::sync::LazyLock;

use partpledge_catalogue::Catalogue;
use partpledge_toolpath::program::{RetimeError, Retimed, Retiming};

/// Read once: reading it takes longer than most programs.
static CATALOGUE: LazyLock<Catalogue> = LazyLock::new(Catalogue::built_in);

/// Times the bytes on two classes, whole and in pieces, and checks what comes of it; the code of
/// the refusal or "timed".
///
/// # Panics
/// When the answer breaks a promise of `partpledge_toolpath::program`.
pub fn retime_and_check(bytes: &[u8]) -> &'static str {
    let whole = retime(bytes, "compact", usize::MAX);
    let in_pieces = retime(bytes, "compact", 7);
    let swift = retime(bytes, "swift", 512);
    match (&whole, &swift) {
        (Ok(told), Ok(swift)) => {
            assert_eq!(in_pieces.as_ref(), Ok(told), "the cuts of the file show");
            check(told);
            check(swift);
            let counted = |told: &Retimed| (told.blocks, told.moves, told.layers, told.not_timed);
            assert_eq!(
                counted(told),
                counted(swift),
                "what is counted is the program's alone"
            );
            // The smaller class is slower in every limit but its heaters' and has no faster one.
            let moving_s = |told: &Retimed| told.laying_s + told.travel_s + told.filament_alone_s;
            let slack_s = swift.cuts_at_most_s + 1e-9 * moving_s(told);
            assert!(
                moving_s(told) >= moving_s(swift) - slack_s,
                "less is faster"
            );
            "timed"
        }
        (Err(error), Err(other)) => {
            assert_eq!(error.code(), other.code(), "refused for another reason");
            let words = error.to_string();
            assert!(
                words.len() < 200 && !words.chars().any(char::is_control),
                "{words:?}"
            );
            assert!(error.what_to_do().ends_with('.'), "advice is a sentence");
            error.code()
        }
        (one, other) => panic!("timed on one class only: {one:?} {other:?}"),
    }
}

fn retime(bytes: &[u8], class: &str, piece: usize) -> Result<Retimed, RetimeError> {
    let (class, material) = (CATALOGUE.class(class), CATALOGUE.material("PLA"));
    let (Some(class), Some(material)) = (class, material) else {
        panic!("the built-in catalogue has both");
    };
    let mut retiming = Retiming::new(class, material).expect("both classes take PLA");
    for piece in bytes.chunks(piece) {
        retiming.feed(piece)?;
    }
    retiming.finish()
}

fn check(told: &Retimed) {
    let parts_s = [
        told.laying_s,
        told.travel_s,
        told.filament_alone_s,
        told.dwell_s,
        told.heating_s,
    ];
    let some = |s: &f64| s.is_finite() && *s >= 0.0;
    assert!(parts_s.iter().all(some), "times that are none: {told:?}");
    let sum_s: f64 = parts_s.iter().sum();
    assert!(
        (sum_s - told.time_s).abs() <= 1e-9 * sum_s,
        "the parts are not the whole"
    );
    let numbers = [
        told.filament_mm,
        told.mass_g,
        told.laid_mass_g,
        told.climbing_mm,
    ];
    assert!(
        numbers.iter().all(|n| n.is_finite()),
        "numbers that are none: {told:?}"
    );
    assert!(told.laid_filament_mm >= 0.0 && told.moves > 0);
    let boxes = [told.laid, told.moved];
    for extent in boxes.iter().flatten() {
        assert!(extent.size_mm().iter().all(some), "a box inside out");
    }
    assert!(told.words.len() <= 201, "memory grows with the words");
    for word in &told.words {
        let plain = word.word.len() <= 60 && word.word.bytes().all(|b| (b' '..=b'~').contains(&b));
        assert!(plain && word.count > 0, "{:?}", word.word);
    }
    for finding in &told.findings {
        let (measured, limit, _) = finding.numbers();
        assert!(measured.is_finite() && limit.is_finite(), "{finding:?}");
        assert!(finding.why().ends_with('.') && finding.what_to_do().ends_with('.'));
    }
}
