//! How a product is used and kept: a line or two for a label or a page. Common practice, no source, unless noted.

use crate::farm::PackKind;

/// Returns how a product is used.
pub fn how_to_use(kind: PackKind) -> &'static str {
    match kind {
        PackKind::Bag => {
            "Mix one part into four parts of soil or potting mix, or spread a thin layer round plants and water it in."
        }
        PackKind::Tub => {
            "Take out what you need and close the lid again. Ready for the hook, or to start a worm bed."
        }
        PackKind::Bottle => {
            "Shake, thin with about ten parts of water, and pour it on the soil round the roots the same day."
        }
    }
}

/// Returns how a product is kept. Out of sun and rain: Public Health Scotland 2024.
pub fn how_to_store(kind: PackKind) -> &'static str {
    match kind {
        PackKind::Bag => {
            "Keep under cover, cool and out of the sun, with its air holes open. Not in a hot greenhouse."
        }
        PackKind::Tub => {
            "Keep cool and dark, lid on, air holes open. Damp, never wet; never in the sun or a hot car."
        }
        PackKind::Bottle => "Keep cool and dark, upright, cap eased. Use it soon; it is alive.",
    }
}

/// Returns how a product is kept, in the few words that a small label has room for.
pub fn how_to_store_in_short(kind: PackKind) -> &'static str {
    match kind {
        PackKind::Bag => "Keep under cover, cool and out of the sun, air holes open.",
        PackKind::Tub => "Keep cool and dark, lid on, air holes open.",
        PackKind::Bottle => "Keep cool and dark, upright, cap eased.",
    }
}

/// Returns what a buyer does when something is wrong with a pack.
pub fn in_trouble(kind: PackKind) -> &'static str {
    match kind {
        PackKind::Bag => "Trouble? Keep the bag, quote the lot.",
        PackKind::Tub => "Trouble? Keep the tub, quote the lot.",
        PackKind::Bottle => "Trouble? Keep the bottle, quote the lot.",
    }
}
