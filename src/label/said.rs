//! A small set of fields: which of them a text, or a label, says.

use std::fmt;

use super::field::Field;

/// A set of fields, in one number, because every run of text of every label has one.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
pub struct Said(u128);

impl Said {
    /// Whether a field is in it.
    pub fn has(self, field: Field) -> bool {
        self.0 & bit(field) != 0
    }

    /// Puts a field in.
    pub fn add(&mut self, field: Field) {
        self.0 |= bit(field);
    }

    /// Puts all fields of another set in.
    pub fn join(&mut self, other: Self) {
        self.0 |= other.0;
    }

    /// Its fields, in their own order.
    pub fn fields(self) -> impl Iterator<Item = Field> {
        let all = Field::ALL.iter().copied();
        all.filter(move |field| self.has(*field))
    }
}

impl FromIterator<Field> for Said {
    fn from_iter<I: IntoIterator<Item = Field>>(fields: I) -> Self {
        let mut said = Self::default();
        fields.into_iter().for_each(|field| said.add(field));
        said
    }
}

impl fmt::Debug for Said {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_set().entries(self.fields()).finish()
    }
}

fn bit(field: Field) -> u128 {
    const { assert!(Field::ALL.len() <= 128, "fields have outgrown their set") };
    1 << field as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_holds_the_fields_put_in_and_no_others() {
        let mut said: Said = [Field::Net, Field::HoldOn].into_iter().collect();
        said.join([Field::Lot].into_iter().collect());
        let fields: Vec<_> = said.fields().collect();
        assert_eq!(fields, [Field::Lot, Field::Net, Field::HoldOn]);
        assert!(!said.has(Field::Code));
        assert_eq!(format!("{said:?}"), "{Lot, Net, HoldOn}");
    }
}
