//! Invented spools of the demo region: what three hosts have told of.

/// Spools alike at a host.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DemoSpools {
    /// Code of the host's school.
    pub host: &'static str,
    /// Material code.
    pub material: &'static str,
    /// Colour, in words.
    pub colour: &'static str,
    /// How many.
    pub spools: i64,
    /// Filament on each, g.
    pub net_g: i64,
    /// What its empty reel weighs, g.
    pub tare_g: i64,
    /// Who gave them; invented.
    pub donor: &'static str,
    /// Days before the demo's first day on which they came.
    pub days_ago: i64,
}

const fn row(
    host: &'static str,
    (material, colour): (&'static str, &'static str),
    spools: i64,
    days_ago: i64,
) -> DemoSpools {
    DemoSpools {
        host,
        material,
        colour,
        spools,
        net_g: 1_000,
        tare_g: 212,
        donor: "",
        days_ago,
    }
}

/// The first three are opened and used in the demo; see the demo command.
pub const SPOOLS: [DemoSpools; 8] = [
    row("brindlemoor", ("PETG", "orange"), 3, 40),
    row("brindlemoor", ("PLA", "slate grey"), 3, 40),
    row("brindlemoor", ("TPU", "black"), 2, 40),
    DemoSpools {
        donor: "the ferry yard",
        ..row("otterquay", ("PETG", "sea green"), 3, 20)
    },
    row("otterquay", ("PLA", "white"), 4, 20),
    row("dunmarrow", ("PLA", "rust red"), 3, 10),
    row("dunmarrow", ("PETG", "clear"), 2, 10),
    row("dunmarrow", ("TPU", "grey"), 1, 10),
];
