//! What the farm was told it may do: permissions of castlot.toml, each as the farm noted it.
//!
//! castlot only keeps the note; what it covers is between the farm and whoever gave it.

use jiff::civil::Date;

use super::kinds::Material;

/// A permission, as the farm noted it.
#[derive(Clone, Debug, PartialEq)]
pub struct Permission {
    /// What it covers, in the farm's words.
    pub covers: String,
    /// Its number or the reference of the letter.
    pub number: Option<String>,
    /// The first day it holds.
    pub from: Date,
    /// The last day it holds; open where there is none.
    pub until: Option<Date>,
    /// Who was asked.
    pub asked: String,
    /// What it answers for.
    pub answers: Vec<Material>,
}

impl Permission {
    /// Tells whether it is noted as holding on a day.
    pub fn holds_on(&self, day: Date) -> bool {
        self.from <= day && self.until.is_none_or(|until| day <= until)
    }

    /// Tells whether it answers for a material on a day.
    pub fn answers_for(&self, material: Material, day: Date) -> bool {
        self.answers.contains(&material) && self.holds_on(day)
    }
}

/// Names of deliveries that the farm itself calls kitchen waste, or says are none.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct KitchenNames {
    /// Words of the names that are kitchen waste, beside those castlot knows.
    pub are: Vec<String>,
    /// Words of the names that are none, whatever else they hold.
    pub are_not: Vec<String>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_permission_holds_from_its_first_day_to_its_last() {
        let mut permission = Permission {
            covers: "horse manure".to_owned(),
            number: None,
            from: date(2026, 2, 1),
            until: Some(date(2026, 12, 15)),
            asked: "the inspector".to_owned(),
            answers: vec![Material::Manure],
        };
        let holds = |permission: &Permission, day| permission.answers_for(Material::Manure, day);
        assert!(!holds(&permission, date(2026, 1, 31)));
        assert!(holds(&permission, date(2026, 2, 1)) && holds(&permission, date(2026, 12, 15)));
        assert!(!holds(&permission, date(2026, 12, 16)));
        assert!(!permission.answers_for(Material::KitchenWaste, date(2026, 3, 1)));
        permission.until = None;
        assert!(holds(&permission, date(2036, 1, 1)));
    }
}
