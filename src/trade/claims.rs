//! Words on a label that need ground: which claims castlot looks for, and how it finds them in a text.
//!
//! The list is what growers' labels are most often pulled up for (common practice, no source), with the claims that the
//! law of fertilisers and of pesticides keeps for registered products (trade usage; no text of a law is cited here).
//! Finding one says nothing of whether it is true.

use super::claims_table::{CHEMICAL, MANURE, PEAT, TABLE, WEEDKILLER, Way};
use super::phrase::{Phrase, Token, tokens};

/// What a claim says is not in a product, where the deliveries upstream can tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Constituent {
    /// Peat.
    Peat,
    /// Manure of any animal.
    Manure,
    /// Weedkiller, carried over in hay, straw or manure.
    Weedkiller,
    /// Chemicals: weedkiller or wormer, as far as deliveries tell.
    Chemical,
}

/// What a claim is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// Something the deliveries upstream can be asked about.
    Constituent(Constituent),
    /// Anything else.
    Other,
}

/// A claim in a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClaimFound {
    /// The claim's name, as castlot.toml writes it.
    pub name: String,
    /// The words that make it, as they stand in the text.
    pub words: String,
    /// What it is about.
    pub about: About,
}

/// One claim: its name, what it is about, and the phrases that make it.
#[derive(Clone, Debug)]
struct Claim {
    name: String,
    about: About,
    phrases: Vec<Phrase>,
}

/// The claims that are looked for.
#[derive(Clone, Debug)]
pub struct Claims {
    all: Vec<Claim>,
}

/// A word before `tested` that names the test.
const NAMED_TESTS: &[&str] = &["bean", "pea", "cress"];

impl Claims {
    /// Makes the list of claims that castlot knows, and those of a farm: each with its name and its words; the name
    /// itself is looked for where there are none.
    pub fn with<'a>(own: impl IntoIterator<Item = (&'a str, &'a [String])>) -> Self {
        let mut all: Vec<Claim> = TABLE
            .iter()
            .map(|(name, about, ways)| Claim {
                name: (*name).to_owned(),
                about: *about,
                phrases: ways.iter().flat_map(Way::phrases).collect(),
            })
            .collect();
        for (name, words) in own {
            let known = all.iter().position(|claim| claim.name == name);
            let claim = match known {
                Some(place) => &mut all[place],
                None => {
                    all.push(Claim {
                        name: name.to_owned(),
                        about: About::Other,
                        phrases: if words.is_empty() {
                            own_phrases(name)
                        } else {
                            Vec::new()
                        },
                    });
                    all.last_mut().expect("it was just put there")
                }
            };
            claim
                .phrases
                .extend(words.iter().flat_map(|words| own_phrases(words)));
        }
        Self { all }
    }

    /// Finds the claims in a text, each once, in the order of the list.
    pub fn found(&self, text: &str) -> Vec<ClaimFound> {
        let tokens = tokens(text);
        let found = self.all.iter().filter_map(|claim| {
            let (first, last) = claim.found(&tokens)?;
            Some(ClaimFound {
                name: claim.name.clone(),
                words: text[tokens[first].start..tokens[last].end]
                    .split_whitespace()
                    .collect::<Vec<_>>()
                    .join(" "),
                about: claim.about,
            })
        });
        found.collect()
    }
}

impl Claim {
    fn found(&self, tokens: &[Token]) -> Option<(usize, usize)> {
        (0..tokens.len()).find_map(|at| {
            let end = self.phrases.iter().filter_map(|phrase| {
                let end = phrase.at(tokens, at)?;
                let denied = !phrase.denies() && (is_denied(tokens, at) || is_free(tokens, end));
                (!denied && !self.is_named_test(tokens, at)).then_some(end)
            });
            // The longest phrase that begins here tells most.
            end.max().map(|end| (at, end - 1))
        })
    }

    fn is_named_test(&self, tokens: &[Token], at: usize) -> bool {
        let before = at.checked_sub(1).map(|before| &*tokens[before].text);
        self.name == "tested" && before.is_some_and(|before| NAMED_TESTS.contains(&before))
    }
}

/// The phrases of a farm's own words; `lead-free` is found in all ways in which that can be said.
fn own_phrases(words: &str) -> Vec<Phrase> {
    let read: Vec<String> = tokens(words).into_iter().map(|token| token.text).collect();
    match read.as_slice() {
        [] => Vec::new(),
        [thing @ .., free] if free == "free" && !thing.is_empty() => {
            Phrase::free_of(&thing.join(" "))
        }
        [head @ .., last] => {
            let plural = format!("{last}|{last}s");
            vec![Phrase::of(&[head, &[plural]].concat().join(" "))]
        }
    }
}

/// Words that deny what follows them.
const DENIALS: &[&str] = &[
    "not", "no", "never", "nor", "neither", "non", "cannot", "without", "isnt", "doesnt", "dont",
];
const ARTICLES: &[&str] = &["a", "an", "any", "the"];

/// Tells whether the words before deny a claim: `not sterile`, `not food or feed`, `not a fertiliser`.
fn is_denied(tokens: &[Token], at: usize) -> bool {
    let mut at = at;
    while let Some(before) = at.checked_sub(1) {
        let word = &*tokens[before].text;
        if tokens[before].ends {
            return false;
        }
        if DENIALS.contains(&word) {
            return true;
        }
        if ARTICLES.contains(&word) {
            at = before;
        } else if matches!(word, "or" | "nor") && before > 0 {
            // The denial is before the first of several things.
            at = before - 1;
        } else {
            return false;
        }
    }
    false
}

/// Tells whether `free` follows: `fertiliser-free` does not say that it is one.
fn is_free(tokens: &[Token], end: usize) -> bool {
    tokens.get(end).is_some_and(|token| token.text == "free") && !tokens[end - 1].ends
}

impl Constituent {
    /// Tells whether a text names the thing itself, and not that it is free of it.
    pub fn is_named_in(self, text: &str) -> bool {
        let things = match self {
            Self::Peat => PEAT,
            Self::Manure => MANURE,
            Self::Weedkiller => WEEDKILLER,
            Self::Chemical => CHEMICAL,
        };
        let tokens = tokens(text);
        let names = things.split('/').map(Phrase::of).collect::<Vec<_>>();
        let free = things
            .split('/')
            .flat_map(Phrase::free_of)
            .collect::<Vec<_>>();
        let at_all = |phrases: &[Phrase]| {
            let starts = 0..tokens.len();
            starts
                .filter(|at| {
                    phrases
                        .iter()
                        .any(|phrase| phrase.at(&tokens, *at).is_some())
                })
                .count()
        };
        at_all(&names) > at_all(&free)
    }
}

#[cfg(test)]
#[path = "claims_test.rs"]
mod tests;
