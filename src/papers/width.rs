//! The widths of a table's columns: as wide as their text where there is room, else divided by need.

use crate::label::Length;

/// What a column would like.
#[derive(Clone, Copy, Debug)]
pub struct Wish {
    /// The width of its widest word: narrower, words are broken.
    pub least: Length,
    /// The width of its longest text in one line.
    pub whole: Length,
    /// Whether it takes room that is left over.
    pub takes_more: bool,
}

/// Columns are spread out by no more than this, so that a row of short cells can be read across.
const MOST_SPREAD: Length = Length::of_mm(14);

/// Divides a room among columns. The widths never add up to more than it.
pub fn divide(wishes: &[Wish], room: Length) -> Vec<Length> {
    let whole: Length = wishes.iter().map(|wish| wish.whole).sum();
    if whole <= room {
        return spread(wishes, room - whole);
    }
    let least: Length = wishes.iter().map(|wish| wish.least).sum();
    if least <= room {
        // What is left over the least goes where text would otherwise wrap most.
        let wanted = (whole - least).micrometres().max(1);
        let spare = (room - least).micrometres();
        let share = |wish: &Wish| {
            let want = (wish.whole - wish.least).micrometres();
            wish.least + Length::of_micrometres(spare * want / wanted)
        };
        return wishes.iter().map(share).collect();
    }
    // Not even the widest words fit: the wide columns give way until the others are untouched.
    let fair = fair_share(wishes, room);
    wishes.iter().map(|wish| wish.least.min(fair)).collect()
}

fn spread(wishes: &[Wish], spare: Length) -> Vec<Length> {
    let takers = wishes.iter().filter(|wish| wish.takes_more).count();
    let takers = i64::try_from(takers.max(1)).expect("a table has few columns");
    let each = (spare / takers).min(MOST_SPREAD);
    let more = |wish: &Wish| match wish.takes_more {
        true => wish.whole + each,
        false => wish.whole,
    };
    wishes.iter().map(more).collect()
}

/// Returns the width at which columns are capped so that together they fill the room.
fn fair_share(wishes: &[Wish], room: Length) -> Length {
    let mut leasts: Vec<Length> = wishes.iter().map(|wish| wish.least).collect();
    leasts.sort_unstable();
    let mut left = room;
    let mut columns = i64::try_from(leasts.len()).expect("a table has few columns");
    for least in leasts {
        let fair = left / columns;
        if least > fair {
            return fair;
        }
        left = left - least;
        columns -= 1;
    }
    room
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn wish(least: i64, whole: i64) -> Wish {
        Wish {
            least: Length::of_mm(least),
            whole: Length::of_mm(whole),
            takes_more: true,
        }
    }

    #[test]
    fn a_short_column_is_not_squeezed_for_a_long_one() {
        let widths = divide(&[wish(20, 20), wish(10, 400)], Length::of_mm(170));
        assert_eq!(widths, [Length::of_mm(20), Length::of_mm(150)]);
        let widths = divide(&[wish(20, 20), wish(400, 400)], Length::of_mm(170));
        assert_eq!(widths, [Length::of_mm(20), Length::of_mm(150)]);
    }

    proptest! {
        #[test]
        fn columns_never_take_more_than_the_room(
            wishes in proptest::collection::vec((1_i64..90, 0_i64..300, any::<bool>()), 1..12),
            room in 60_i64..260,
        ) {
            let wishes: Vec<Wish> = wishes
                .into_iter()
                .map(|(least, more, takes_more)| Wish {
                    takes_more, ..wish(least, least + more)
                })
                .collect();
            let widths = divide(&wishes, Length::of_mm(room));
            prop_assert!(widths.iter().copied().sum::<Length>() <= Length::of_mm(room));
            prop_assert!(widths.iter().all(|width| *width > Length::ZERO));
        }
    }
}
