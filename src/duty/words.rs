//! Finding the rule book's words in what a case says.

use crate::duty::Case;
use std::borrow::Cow;
use std::ops::Range;

/// The words of a case, text by text, in lower case.
#[derive(Clone)]
pub(super) struct Text(Vec<Vec<String>>);

impl Text {
    /// Title, notes, harm, chemicals, surface and what the part's inputs say.
    ///
    /// The part kind's own name says nothing of the use: `wheel-tyre` is not yet a vehicle's wheel.
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
        let kind = Phrase::of(case.part.kind());
        Text(texts.into_iter().map(|t| kind.taken_out(t)).collect())
    }

    /// Whether a word or phrase stands in one of the texts as whole words, with
    /// a simple plural on its last word; a phrase also written together.
    pub(super) fn holds(&self, phrase: &str) -> bool {
        let phrase = Phrase::of(phrase);
        self.0.iter().any(|text| !phrase.places(text).is_empty())
    }

    /// The same without some phrases.
    pub(super) fn without(&self, phrases: &[String]) -> Cow<'_, Text> {
        if phrases.is_empty() {
            return Cow::Borrowed(self);
        }
        let phrases: Vec<Phrase> = phrases.iter().map(|p| Phrase::of(p)).collect();
        let texts = self.0.iter().map(|text| {
            phrases
                .iter()
                .fold(text.clone(), |text, phrase| phrase.taken_out(text))
        });
        Cow::Owned(Text(texts.collect()))
    }

    /// The highest voltage that is written anywhere, V.
    pub(super) fn volts(&self) -> Option<f64> {
        self.0
            .iter()
            .flat_map(|text| (0..text.len()).filter_map(|i| volts(text.get(i)?, text.get(i + 1))))
            .reduce(f64::max)
    }
}

/// The voltage of `230v`, or of `230` before `v` or `volts`.
fn volts(token: &str, next: Option<&String>) -> Option<f64> {
    let digits = token.trim_end_matches(|c: char| !c.is_ascii_digit());
    let figure: f64 = digits.parse().ok()?;
    let unit = match token.strip_prefix(digits) {
        Some("") => next?.as_str(),
        Some(unit) => unit,
        None => return None,
    };
    match unit {
        "v" | "vac" | "vdc" | "volt" | "volts" => Some(figure),
        "kv" => Some(1000.0 * figure),
        _ => None,
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

    /// A text without the places where it stands in its plain form.
    fn taken_out(&self, text: Vec<String>) -> Vec<String> {
        let at = self.places(&text);
        text.into_iter()
            .enumerate()
            .map(|(i, t)| {
                // A gap that no word fills, so that its neighbours do not come together.
                if at.iter().any(|r| r.contains(&i)) {
                    String::new()
                } else {
                    t
                }
            })
            .collect()
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
                    .is_some_and(|(l, f)| f == first && form_of(l, last))
            })
            .map(|(i, w)| i..i + w.len());
        let together = text
            .iter()
            .enumerate()
            .filter(|(_, t)| self.words.len() > 1 && form_of(t, &self.together))
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

/// Verbs of the rule book, which count in all their usual forms, and whether the one who does it
/// counts too (`climber`; but a tower does not tow).
const VERBS: &[(&str, bool)] = &[
    ("abseil", true),
    ("anneal", false),
    ("bake", false),
    ("belay", true),
    ("brake", false),
    ("climb", true),
    ("drill", false),
    ("drink", false),
    ("hoist", false),
    ("lift", true),
    ("machine", false),
    ("rappel", true),
    ("sand", false),
    ("solder", false),
    ("steer", false),
    ("tow", false),
    ("weld", true),
];

/// Plurals that follow no rule.
const PLURALS: &[(&str, &str)] = &[
    ("child", "children"),
    ("foot", "feet"),
    ("knife", "knives"),
    ("man", "men"),
    ("person", "people"),
    ("tooth", "teeth"),
    ("woman", "women"),
];

/// Whether `token` is `word`, its plural (s, es, y to ies, f to ves, or irregular), or, for a verb,
/// one of its usual forms.
fn form_of(token: &str, word: &str) -> bool {
    if token == word {
        return true;
    }
    let tail = |stem: &str, ending: &str| token.strip_prefix(stem) == Some(ending);
    tail(word, "s")
        || tail(word, "es")
        || word.strip_suffix('y').is_some_and(|s| tail(s, "ies"))
        || word.strip_suffix('f').is_some_and(|s| tail(s, "ves"))
        || PLURALS.contains(&(word, token))
        || VERBS
            .iter()
            .find(|v| v.0 == word)
            .is_some_and(|(_, doer)| form_of_verb(token, word, *doer))
}

/// Whether `token` is a verb's -ing, -ed or, where the doer counts, -er and -ers; with the last
/// letter dropped or doubled where English does so.
fn form_of_verb(token: &str, verb: &str, doer: bool) -> bool {
    let stem = verb.strip_suffix('e').unwrap_or(verb);
    let rest = token.strip_prefix(stem).map(|r| {
        let double = stem.chars().last().and_then(|c| r.strip_prefix(c));
        double
            .filter(|d| d.starts_with('e') || d.starts_with('i'))
            .unwrap_or(r)
    });
    match rest {
        Some("ing" | "ed") => true,
        Some("er" | "ers") => doer,
        _ => false,
    }
}

/// Whether a word written in `not_about` is the rule book's word.
pub(super) fn same(written: &str, word: &str) -> bool {
    let (a, b) = (tokens(written), tokens(word));
    match (a.split_last(), b.split_last()) {
        (Some((la, fa)), Some((lb, fb))) => fa == fb && form_of(la, lb),
        _ => false,
    }
}
