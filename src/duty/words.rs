//! Finding the rule book's words in what a case says.

use crate::duty::Case;
use std::ops::Range;

/// The words of a case, text by text, in lower case.
pub(super) struct Text(Vec<Vec<String>>);

impl Text {
    /// Title, notes, harm, chemicals, surface and what the part's inputs say.
    pub(super) fn of(case: &Case) -> Self {
        let s = &case.setting;
        let mut texts = vec![
            tokens(&case.title),
            tokens(&case.note),
            tokens(&s.harm.damages),
            tokens(&s.harm.note),
        ];
        texts.extend(s.chemicals.iter().map(|c| tokens(c)));
        texts.extend(s.counterface.iter().map(|c| tokens(c)));
        texts.extend(s.notes.iter().map(|n| tokens(n)));
        texts.extend(case.part.words().iter().map(|w| tokens(w)));
        Text(texts)
    }

    /// Whether a word or phrase stands in one of the texts as whole words, with
    /// a simple plural on its last word; a phrase also written together.
    pub(super) fn holds(&self, phrase: &str) -> bool {
        let phrase = Phrase::of(phrase);
        self.0.iter().any(|text| !phrase.places(text).is_empty())
    }
}

/// A word or phrase to look for.
pub(super) struct Phrase {
    words: Vec<String>,
    together: String,
}

impl Phrase {
    /// The phrase of some text.
    pub(super) fn of(text: &str) -> Self {
        let words = tokens(text);
        let together = words.concat();
        Phrase { words, together }
    }

    /// Where it stands among the words of a text.
    pub(super) fn places(&self, text: &[String]) -> Vec<Range<usize>> {
        let Some((last, first)) = self.words.split_last() else {
            return Vec::new();
        };
        let apart = text
            .windows(self.words.len())
            .enumerate()
            .filter(|(_, w)| {
                w.split_last()
                    .is_some_and(|(l, f)| f == first && plural_of(l, last))
            })
            .map(|(i, w)| i..i + w.len());
        let together = text
            .iter()
            .enumerate()
            .filter(|(_, t)| self.words.len() > 1 && plural_of(t, &self.together))
            .map(|(i, _)| i..i + 1);
        apart.chain(together).collect()
    }
}

/// Runs of letters and digits, in lower case; everything else parts them.
pub(super) fn tokens(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|t| !t.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// Whether `token` is `word` or its simple plural (s, es, y to ies, f to ves).
fn plural_of(token: &str, word: &str) -> bool {
    if token == word {
        return true;
    }
    let tail = |stem: &str, ending: &str| token.strip_prefix(stem) == Some(ending);
    tail(word, "s")
        || tail(word, "es")
        || word.strip_suffix('y').is_some_and(|s| tail(s, "ies"))
        || word.strip_suffix('f').is_some_and(|s| tail(s, "ves"))
}

/// Whether a word written in `not_about` is the rule book's word.
pub(super) fn same(written: &str, word: &str) -> bool {
    let (a, b) = (tokens(written), tokens(word));
    match (a.split_last(), b.split_last()) {
        (Some((la, fa)), Some((lb, fb))) => fa == fb && plural_of(la, lb),
        _ => false,
    }
}
