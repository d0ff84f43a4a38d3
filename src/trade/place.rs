//! Countries, as far as the trade's tables tell them apart.

/// Where advice and rules differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    Britain,
    Europe,
    States,
    NewZealand,
    Australia,
    Elsewhere,
}

/// The states of the European Union, by ISO 3166.
const UNION: &[&str] = &[
    "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE", "IT",
    "LT", "LU", "LV", "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK",
];

impl Place {
    /// Returns the place of a country.
    pub(super) fn of(country: &str) -> Self {
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
