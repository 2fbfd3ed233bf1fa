//! The length units that model files come in.

/// A unit of length that a model file may use. All work inside is in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LengthUnit {
    /// 0.001 mm.
    Micron,
    /// 1 mm.
    Millimetre,
    /// 10 mm.
    Centimetre,
    /// 25.4 mm.
    Inch,
    /// 304.8 mm.
    Foot,
    /// 1000 mm.
    Metre,
}

impl LengthUnit {
    /// All of them, smallest first.
    pub const ALL: [Self; 6] = [
        Self::Micron,
        Self::Millimetre,
        Self::Centimetre,
        Self::Inch,
        Self::Foot,
        Self::Metre,
    ];

    /// Millimetres in one of this unit (exact by definition; inch of 1959).
    #[must_use]
    pub fn mm(self) -> f64 {
        match self {
            Self::Micron => 0.001,
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
            Self::Inch => 25.4,
            Self::Foot => 304.8,
            Self::Metre => 1000.0,
        }
    }

    /// Its symbol, as the command line takes and shows it.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Micron => "um",
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Inch => "in",
            Self::Foot => "ft",
            Self::Metre => "m",
        }
    }
}
