//! Where advice and custom differ: countries, as far as the tables of this folder tell them apart.

/// A part of the world with one custom.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// The United Kingdom.
    Britain,
    /// The European Union.
    Europe,
    /// The United States.
    States,
    /// New Zealand.
    NewZealand,
    /// Australia.
    Australia,
    /// Everywhere else.
    Elsewhere,
}

/// Everywhere.
pub const EVERYWHERE: &[Place] = &[
    Place::Britain,
    Place::Europe,
    Place::States,
    Place::NewZealand,
    Place::Australia,
    Place::Elsewhere,
];

/// The states of the European Union, by ISO 3166.
const UNION: &[&str] = &[
    "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE", "IT",
    "LT", "LU", "LV", "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK",
];

impl Place {
    /// Returns the place of a country (ISO 3166, two letters).
    pub fn of(country: &str) -> Self {
        match country {
            "GB" => Self::Britain,
            "US" => Self::States,
            "NZ" => Self::NewZealand,
            "AU" => Self::Australia,
            other if UNION.contains(&other) => Self::Europe,
            _ => Self::Elsewhere,
        }
    }
}
