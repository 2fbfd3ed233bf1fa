//! The invented crew of the bench that students run in the demo region.

/// Code of the host's school.
pub const HUB: &str = "otterquay";

/// Nicknames, and what each is signed off for on the bench's class of printers: tasks by their words.
/// Nobody of them exists.
pub const CREW: [(&str, &[&str]); 6] = [
    ("Moss", &["load", "start", "clear", "inspect"]),
    ("Pebble", &["load", "start", "clear", "pack"]),
    ("Fern", &["inspect", "pack", "plan"]),
    (
        "Comet",
        &["load", "start", "clear", "inspect", "pack", "plan"],
    ),
    ("Biscuit", &["inspect", "pack"]),
    ("Juniper", &["pack", "plan"]),
];

/// Class of the printers there.
pub const HUB_CLASS: &str = "standard";
