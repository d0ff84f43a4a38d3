//! The white that a code needs around it: what stands in it, and how a picture is kept out of it.

use super::item::Item;
use super::length::{Area, Point, Size};

/// White for a code to stand on, where a picture lies beneath it.
pub fn ground(items: &[Item], quiet: Area) -> Option<Item> {
    let shows = |item: &Item| matches!(item, Item::Picture(_)) && crowds(item, quiet);
    items.iter().any(shows).then_some(Item::Ground(quiet))
}

/// Whether anything shows in the quiet zone of the code among these items that is at this place.
///
/// What is drawn before a ground that covers the whole zone shows no more, if it is a picture: words and rules must not
/// stand there at all, because a ground would take them away.
pub fn is_crowded(items: &[Item], code: usize) -> bool {
    let quiet = items[code].area();
    let covers = |item: &Item| matches!(item, Item::Ground(area) if area.holds(quiet));
    let ground = items[..code].iter().rposition(covers);
    let hidden = |at: usize, item: &Item| {
        matches!(item, Item::Picture(_)) && ground.is_some_and(|ground| at < ground)
    };
    let mut others = items.iter().enumerate().filter(|(at, _)| *at != code);
    others.any(|(at, item)| crowds(item, quiet) && !hidden(at, item))
}

/// Whether an item's ink stands in a quiet zone; a frame may stand around it.
fn crowds(item: &Item, quiet: Area) -> bool {
    match item {
        Item::Frame { area, stroke } => {
            let inside = Area {
                at: Point {
                    x: area.at.x + *stroke,
                    y: area.at.y + *stroke,
                },
                size: Size {
                    width: area.size.width - *stroke * 2,
                    height: area.size.height - *stroke * 2,
                },
            };
            area.overlaps(quiet) && !inside.holds(quiet)
        }
        Item::Fill(_) | Item::Text(_) | Item::Qr(_) | Item::Bars(_) | Item::Picture(_) => {
            item.area().overlaps(quiet)
        }
        // White is what a quiet zone wants.
        Item::Ground(_) => false,
    }
}
