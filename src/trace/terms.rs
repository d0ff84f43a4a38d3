//! The terms of a mass balance, which add up in whole units: what was there and came in is what went, is left, or is
//! not accounted for.

/// The terms of a balance, in whole units: `opening + came_in` is the sum of all the others.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Terms {
    /// There when the span of time began.
    pub opening: i64,
    /// Delivered, made, or put in.
    pub came_in: i64,
    /// Fed, bedded, mixed, packed, taken out of a bed, opened and used again.
    pub used: i64,
    /// Sold and not back.
    pub sold: i64,
    /// Thrown out.
    pub thrown: i64,
    /// Missing when counted; negative where a count found more.
    pub lost: i64,
    /// What was left of a bed when it was cleared: what rotted away, dried, or was never weighed.
    pub written_off: i64,
    /// Back with a complaint and kept apart.
    pub apart: i64,
    /// In store, or in the bed by what was written down.
    pub in_store: i64,
    /// What is left over: negative where more went out than came in.
    pub unaccounted: i64,
}

impl Terms {
    /// Adds others, term by term.
    pub fn plus(self, other: Self) -> Self {
        self.each(other, i64::saturating_add)
    }

    /// Tells whether they add up.
    pub fn close(&self) -> bool {
        let out = [
            self.used,
            self.sold,
            self.thrown,
            self.lost,
            self.written_off,
            self.apart,
            self.in_store,
            self.unaccounted,
        ];
        i128::from(self.opening) + i128::from(self.came_in)
            == out.into_iter().map(i128::from).sum::<i128>()
    }

    /// Sets the last term so that they add up.
    pub(super) fn closed(mut self) -> Self {
        let out = [
            self.used,
            self.sold,
            self.thrown,
            self.lost,
            self.written_off,
            self.apart,
            self.in_store,
        ];
        let out = out.into_iter().fold(0, i64::saturating_add);
        self.unaccounted = self
            .opening
            .saturating_add(self.came_in)
            .saturating_sub(out);
        self
    }

    /// Returns what happened since an earlier day: what was there then opens it.
    pub(super) fn since(self, before: Self) -> Self {
        let span = self.each(before, i64::saturating_sub);
        Self {
            opening: before.in_store.saturating_add(before.apart),
            in_store: self.in_store,
            apart: self.apart,
            ..span
        }
    }

    fn each(self, other: Self, of: fn(i64, i64) -> i64) -> Self {
        Self {
            opening: of(self.opening, other.opening),
            came_in: of(self.came_in, other.came_in),
            used: of(self.used, other.used),
            sold: of(self.sold, other.sold),
            thrown: of(self.thrown, other.thrown),
            lost: of(self.lost, other.lost),
            written_off: of(self.written_off, other.written_off),
            apart: of(self.apart, other.apart),
            in_store: of(self.in_store, other.in_store),
            unaccounted: of(self.unaccounted, other.unaccounted),
        }
    }
}
