//! Which buyer or market somebody means: the whole of a name in the diary, or a part that no other name has.

use super::failure::Failure;
use super::phrase::listed;

/// What a name that was typed comes to.
#[derive(Debug, PartialEq, Eq)]
pub enum Whom<'a> {
    /// One name.
    One(&'a str),
    /// No name has it in it.
    Nobody,
    /// Several have.
    Several(Vec<&'a str>),
}

/// Looks a name up among others; capitals and spaces at its ends do not count.
pub fn whom<'a>(asked: &str, names: impl IntoIterator<Item = &'a String>) -> Whom<'a> {
    let asked = asked.trim().to_lowercase();
    let names = names.into_iter().map(String::as_str);
    let mut parts: Vec<&str> = names
        .filter(|name| name.to_lowercase().contains(&asked))
        .collect();
    let whole = parts.iter().find(|name| name.to_lowercase() == asked);
    match (whole, parts.as_slice()) {
        (Some(one), _) | (None, [one]) => Whom::One(one),
        (None, []) => Whom::Nobody,
        (None, [_, _, ..]) => {
            parts.sort_unstable();
            Whom::Several(parts)
        }
    }
}

/// Says that a name may mean several.
pub fn which(asked: &str, names: &[&str]) -> Failure {
    let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    let asked = asked.trim();
    Failure::refused(format!(
        "`{asked}` stands in more than one name: {}",
        listed(&names)
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_of_a_name_will_do_where_no_other_has_it() {
        let names = ["a nursery".to_owned(), "a nursery by the quay".to_owned()];
        assert_eq!(
            whom("THE QUAY", &names),
            Whom::One("a nursery by the quay"),
            "in any case"
        );
        assert_eq!(whom(" A Nursery ", &names), Whom::One("a nursery"), "whole");
        let both = vec!["a nursery", "a nursery by the quay"];
        assert_eq!(whom("nurs", &names), Whom::Several(both));
        assert_eq!(whom("school", &names), Whom::Nobody);
    }
}
