//! How large something is in the room it has, and where it stands there.

use super::length::{Area, Length, Point, Size};
use super::template::{Align, Stand};

/// A size as wide as it is high.
pub fn square(side: Length) -> Size {
    Size {
        width: side,
        height: side,
    }
}

/// The largest size of these proportions that fits a room.
pub fn fitted((width, height): (i64, i64), room: Size) -> Size {
    let (across, down) = (room.width.micrometres(), room.height.micrometres());
    let (across, down) =
        match i128::from(across) * i128::from(height) <= i128::from(down) * i128::from(width) {
            true => (across, scaled(across, height, width)),
            false => (scaled(down, width, height), down),
        };
    Size {
        width: Length::of_micrometres(across),
        height: Length::of_micrometres(down),
    }
}

/// `length × of ÷ to`, where that is no more than some length of a label; a hair at least.
fn scaled(length: i64, of: i64, to: i64) -> i64 {
    let scaled = i128::from(length) * i128::from(of) / i128::from(to.max(1));
    i64::try_from(scaled).unwrap_or(length).max(1)
}

/// Where something of a size stands in its room.
pub fn stand_in(room: Area, size: Size, (align, stand): (Align, Stand)) -> Area {
    let spare_x = room.size.width - size.width;
    let spare_y = room.size.height - size.height;
    let x = match align {
        Align::Left => Length::ZERO,
        Align::Centre => spare_x / 2,
        Align::Right => spare_x,
    };
    let y = match stand {
        Stand::Top => Length::ZERO,
        Stand::Middle => spare_y / 2,
        Stand::Bottom => spare_y,
    };
    Area {
        at: Point {
            x: room.at.x + x,
            y: room.at.y + y,
        },
        size,
    }
}
