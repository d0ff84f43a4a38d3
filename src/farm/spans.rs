//! A fact about each pack of a run, kept as stretches of serials that share it.
//!
//! A run may have a million packs, and nearly all of them have the same to tell: so what is kept grows with what
//! happened to them, and not with how many there are.

use super::code::Serial;
use super::packs::SerialRange;

/// A value for each serial from 1 on.
#[derive(Clone, Debug, PartialEq)]
pub struct Spans<T> {
    /// The last serial of each stretch, in order, and its value; neighbours differ.
    stretches: Vec<(u32, T)>,
}

impl<T: Copy + PartialEq> Spans<T> {
    /// Gives so many serials one value.
    pub fn new(count: u32, value: T) -> Self {
        let all = (count > 0).then_some((count, value));
        Self {
            stretches: all.into_iter().collect(),
        }
    }

    /// Returns how many serials there are.
    pub fn count(&self) -> u32 {
        self.stretches.last().map_or(0, |(last, _)| *last)
    }

    /// Returns the value of a serial; `None` where there is no such serial.
    pub fn at(&self, serial: Serial) -> Option<T> {
        let stretch = self.stretches.get(self.place(serial.number()))?;
        Some(stretch.1)
    }

    /// Returns all stretches in order.
    pub fn iter(&self) -> impl Iterator<Item = (SerialRange, T)> {
        let firsts = std::iter::once(1).chain(self.stretches.iter().map(|(last, _)| last + 1));
        firsts
            .zip(&self.stretches)
            .map(|(first, (last, value))| (range(first, *last), *value))
    }

    /// Returns the stretches of a range, as far as there are such serials.
    pub fn within(&self, wanted: SerialRange) -> Vec<(SerialRange, T)> {
        let mut found = Vec::new();
        let mut first = wanted.first().number();
        for (last, value) in &self.stretches[self.place(first)..] {
            let end = (*last).min(wanted.last().number());
            found.push((range(first, end), *value));
            if end == wanted.last().number() {
                break;
            }
            first = end + 1;
        }
        found
    }

    /// Gives the serials of a range another value, as far as there are such.
    pub fn set(&mut self, wanted: SerialRange, value: T) {
        let first = wanted.first().number();
        let last = wanted.last().number().min(self.count());
        if first > last {
            return;
        }
        let (from, to) = (self.place(first), self.place(last));
        let (before, after) = (self.stretches[from].1, self.stretches[to]);
        let begins = from
            .checked_sub(1)
            .map_or(1, |place| self.stretches[place].0 + 1);
        let kept = (begins < first).then_some((first - 1, before));
        let rest = (after.0 > last).then_some(after);
        let new = kept.into_iter().chain([(last, value)]).chain(rest);
        self.stretches.splice(from..=to, new);
        // The later of two neighbours that are alike stands for both.
        self.stretches.reverse();
        self.stretches.dedup_by_key(|(_, value)| *value);
        self.stretches.reverse();
    }

    /// Returns the place of the stretch that a serial is in.
    fn place(&self, number: u32) -> usize {
        self.stretches.partition_point(|(last, _)| *last < number)
    }
}

fn range(first: u32, last: u32) -> SerialRange {
    let serial = |number| Serial::new(number).expect("serials begin with 1");
    SerialRange::new(serial(first), serial(last)).expect("a stretch ends at or after its beginning")
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_run_of_four_thousand_million_packs_is_a_few_stretches() {
        let mut spans = Spans::new(u32::MAX, 'a');
        spans.set(range(7, 4_000_000_000), 'b');
        let told: Vec<_> = spans.iter().map(|(r, v)| format!("{r}{v}")).collect();
        assert_eq!(told, ["1-6a", "7-4000000000b", "4000000001-4294967295a"]);
    }

    proptest! {
        /// Held against one value a serial.
        #[test]
        fn stretches_say_the_same_as_a_value_for_each(
            count in 0..12_u32,
            sets in prop::collection::vec((1..14_u32, 0..14_u32, 0..3_u8), 0..12),
            (from, more) in (1..14_u32, 0..14_u32),
        ) {
            let mut spans = Spans::new(count, 0);
            let mut each = vec![0; count as usize];
            for (first, more, value) in sets {
                spans.set(range(first, first + more), value);
                let named = each.iter_mut().zip(1..).filter(|(_, n)| (first..=first + more).contains(n));
                named.for_each(|(slot, _)| *slot = value);
            }
            prop_assert_eq!(spans.count(), count);
            let told: Vec<u8> = spans.iter().flat_map(|(r, v)| r.serials().map(move |_| v)).collect();
            prop_assert_eq!(&told, &each);
            let values: Vec<u8> = spans.iter().map(|(_, value)| value).collect();
            prop_assert!(values.windows(2).all(|pair| pair[0] != pair[1]));
            let asked = range(from, from + more);
            let told: Vec<(u32, u8)> = spans.within(asked).iter()
                .flat_map(|(r, v)| r.serials().map(|serial| (serial.number(), *v))).collect();
            let wanted: Vec<(u32, u8)> = (1..).zip(each.iter().copied())
                .filter(|(n, _)| (from..=from + more).contains(n)).collect();
            prop_assert_eq!(told, wanted);
            for serial in asked.serials() {
                prop_assert_eq!(spans.at(serial), each.get(serial.number() as usize - 1).copied());
            }
        }
    }
}
