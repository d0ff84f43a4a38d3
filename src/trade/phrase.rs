//! Phrases, and how they are found in a text: by whole words, whatever their case, hyphens and line breaks.

/// A word of a text, in lower case.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Token {
    /// The word, without apostrophes.
    pub text: String,
    /// Where it begins in the text, in bytes.
    pub start: usize,
    /// Where it ends.
    pub end: usize,
    /// Whether a sentence ends after it.
    pub ends: bool,
}

/// Reads a text into its words.
pub fn tokens(text: &str) -> Vec<Token> {
    let mut tokens: Vec<Token> = Vec::new();
    let mut word = String::new();
    let mut start = 0;
    let mut letters = text.char_indices().peekable();
    while let Some((at, letter)) = letters.next() {
        // A soft hyphen or an apostrophe stands within a word, and is no part of it.
        if matches!(letter, '\u{AD}' | '\'' | '’') && !word.is_empty() {
            continue;
        }
        if letter.is_alphanumeric() {
            if word.is_empty() {
                start = at;
            }
            word.extend(letter.to_lowercase());
            continue;
        }
        push(&mut tokens, &mut word, start, at);
        let sentence = matches!(letter, '.' | '!' | '?' | ';')
            && letters.peek().is_none_or(|(_, next)| next.is_whitespace());
        if (sentence || letter == '•')
            && let Some(last) = tokens.last_mut()
        {
            last.ends = true;
        }
    }
    push(&mut tokens, &mut word, start, text.len());
    tokens
}

fn push(tokens: &mut Vec<Token>, word: &mut String, start: usize, end: usize) {
    if !word.is_empty() {
        tokens.push(Token {
            text: std::mem::take(word),
            start,
            end,
            ends: false,
        });
    }
}

/// One place in a phrase.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Place {
    /// One of these words; with `true` any ending may follow.
    OneOf(Vec<(String, bool)>),
    /// Any word at all.
    Any,
}

/// A phrase: words that follow one another within a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Phrase {
    places: Vec<Place>,
    /// Whether it is itself the denial of something.
    denies: bool,
}

/// The most words between the two of a near phrase.
const NEAR: usize = 4;

impl Phrase {
    /// Reads a phrase: a word after the other; `a|b` is either, `*` at the end of a word any ending.
    pub fn of(text: &str) -> Self {
        Self {
            places: text.split(' ').map(Place::of).collect(),
            denies: false,
        }
    }

    /// Returns the ways to say that something has nothing of a thing: `peat-free`, `free from peat`, `no peat`.
    pub fn free_of(thing: &str) -> Vec<Self> {
        let joined: Vec<String> = thing
            .split('|')
            .flat_map(|word| {
                ["free", "less"].map(|end| format!("{}{end}", word.trim_end_matches('*')))
            })
            .collect();
        let mut ways = vec![
            format!("{thing} free|less"),
            format!("free of|from {thing}"),
            format!("free of|from any|all|added {thing}"),
            format!("no|without|zero|0|nil|non {thing}"),
            format!("no|without|zero|never any|added {thing}"),
        ];
        if !thing.contains(' ') {
            ways.push(joined.join("|"));
        }
        let denial = |way: String| Self {
            denies: true,
            ..Self::of(&way)
        };
        ways.into_iter().map(denial).collect()
    }

    /// Returns the phrases of one word and, a few words on, another.
    pub fn near(first: &str, then: &str) -> Vec<Self> {
        let between = |count: usize| {
            let mut places = vec![Place::of(first)];
            places.extend(std::iter::repeat_n(Place::Any, count));
            places.push(Place::of(then));
            Self {
                places,
                denies: false,
            }
        };
        (0..=NEAR).map(between).collect()
    }

    /// Tells whether it is the denial of something, so that no word before can deny it.
    pub fn denies(&self) -> bool {
        self.denies
    }

    /// Returns the place after its last word, where it stands at a place in the text.
    pub fn at(&self, tokens: &[Token], at: usize) -> Option<usize> {
        let end = at + self.places.len();
        let here = tokens.get(at..end)?;
        let within = here[..here.len() - 1].iter().all(|token| !token.ends);
        let fits = here
            .iter()
            .zip(&self.places)
            .all(|(token, place)| place.fits(&token.text));
        (within && fits).then_some(end)
    }
}

impl Place {
    fn of(words: &str) -> Self {
        let word = |word: &str| match word.strip_suffix('*') {
            Some(stem) => (stem.to_owned(), true),
            None => (word.to_owned(), false),
        };
        Self::OneOf(words.split('|').map(word).collect())
    }

    fn fits(&self, text: &str) -> bool {
        match self {
            Self::Any => true,
            Self::OneOf(words) => words.iter().any(|(word, open)| match open {
                true => text.starts_with(word.as_str()),
                false => text == word,
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> Vec<String> {
        tokens(text).into_iter().map(|token| token.text).collect()
    }

    #[test]
    fn hyphens_of_every_kind_and_line_breaks_part_words_and_apostrophes_do_not() {
        for text in [
            "Peat-free",
            "PEAT\u{2011}FREE",
            "peat\nfree",
            "peat\u{A0}free",
            "peat–free",
        ] {
            assert_eq!(words(text), ["peat", "free"]);
        }
        assert_eq!(
            words("doesn't brewers’ N:P:K"),
            ["doesnt", "brewers", "n", "p", "k"]
        );
        assert_eq!(words("ste\u{AD}rile"), ["sterile"]);
        assert_eq!(words("'peat'"), ["peat"]);
    }

    #[test]
    fn a_phrase_does_not_go_past_the_end_of_a_sentence() {
        let phrase = Phrase::of("plant food");
        assert!(phrase.at(&tokens("Plant food."), 0).is_some());
        assert!(
            phrase
                .at(&tokens("Do not plant. Food for thought."), 2)
                .is_none()
        );
        assert!(Phrase::of("n p k").at(&tokens("N.P.K."), 0).is_some());
    }

    #[test]
    fn a_word_that_goes_on_is_another_unless_the_phrase_leaves_it_open() {
        assert!(Phrase::of("safe").at(&tokens("safety"), 0).is_none());
        assert!(Phrase::of("steril*").at(&tokens("sterilised"), 0).is_some());
        assert!(Phrase::of("steril*").at(&tokens("unsterile"), 0).is_none());
    }
}
