//! A printer as castlot.toml knows it: how fine it prints, how it puts ink on a label, and where it misses.

/// A printer.
///
/// Offsets and stretches are those of the printer's own faults, as read off a ruled test sheet; castlot draws the
/// other way, so that the label comes out where it belongs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Printer {
    /// How it prints.
    pub method: Method,
    /// Dots to the inch.
    pub dpi: Dpi,
    /// How far right and down of its place it prints everything, in micrometres.
    pub offset_um: (i32, i32),
    /// By how much it stretches across and down, in millionths: 30,000 too short is `-30_000`.
    pub stretch_ppm: (i32, i32),
    /// The sheets that are printed on it; any that no other printer names, where it names none.
    pub sheets: Vec<String>,
}

/// How a printer puts ink on a label.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Method {
    /// A sheet printer: ink or toner on paper.
    #[default]
    Page,
    /// A roll printer with a ribbon: whole dots, and the print stays.
    Transfer,
    /// A roll printer that heats the label itself: whole dots, and the print fades in sun and warmth.
    DirectThermal,
}

impl Method {
    /// Tells whether it prints whole dots in black alone.
    pub fn is_thermal(self) -> bool {
        match self {
            Self::Page => false,
            Self::Transfer | Self::DirectThermal => true,
        }
    }
}

/// Dots to the inch, 100 to 2,400.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Dpi(u16);

impl Dpi {
    /// The least a label can be printed at.
    pub const LEAST: u16 = 100;
    /// The most that castlot knows a use for.
    pub const MOST: u16 = 2_400;

    /// Makes a number of dots to the inch; `None` outside of the range.
    pub fn new(dots: u16) -> Option<Self> {
        (Self::LEAST..=Self::MOST)
            .contains(&dots)
            .then_some(Self(dots))
    }

    /// Returns the dots to the inch.
    pub fn dots(self) -> u16 {
        self.0
    }
}

impl Default for Dpi {
    /// What most roll printers have: 203, eight dots to the millimetre.
    fn default() -> Self {
        Self(203)
    }
}
