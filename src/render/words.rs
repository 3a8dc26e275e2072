//! Figures and plain words: how a number, a chance, a span or a list is said.

use crate::bench::{Stands, Written};
use crate::duty::LimitSense;
use crate::quantity::Reading;
use crate::quantity::with_unit;
pub(super) use crate::quantity::{amount, figure, significant};

/// Cells as they were written: `nozzle 230 degC, chamber open`.
pub(super) fn as_written(cells: &[Written]) -> String {
    let each: Vec<String> = cells
        .iter()
        .map(|c| {
            let name = c.name.replace('_', " ");
            match &c.stands {
                Stands::Figure(x) => format!("{name} {}", amount(*x, c.unit)),
                Stands::Word(w) => format!("{name} {w}"),
            }
        })
        .collect();
    each.join(", ")
}

/// A share of many parts: `97 of 100`; never rounded up to all or down to none.
pub(super) fn of_hundred(chance: f64) -> String {
    match hundredths(chance) {
        Hundredths::All => "more than 99 of 100".to_owned(),
        Hundredths::None => "fewer than 1 of 100".to_owned(),
        Hundredths::Some(n) => format!("{n} of 100"),
    }
}

/// A chance in two decimals; never rounded up to 1 or down to 0.
pub(super) fn chance(p: Option<f64>) -> String {
    match p.map(hundredths) {
        None => "-".to_owned(),
        Some(Hundredths::All) => ">0.99".to_owned(),
        Some(Hundredths::None) => "<0.01".to_owned(),
        Some(Hundredths::Some(n)) => format!("0.{n:02}"),
    }
}

/// A chance that may be known from one side only; `-` where that side says nothing.
pub(super) fn chance_shown(p: Option<Reading>) -> String {
    match p {
        None | Some(Reading::Between(..)) => "-".to_owned(),
        Some(Reading::Exact(p)) => chance(Some(p)),
        Some(Reading::AtLeast(p)) => match hundredths(p) {
            Hundredths::None => "-".to_owned(),
            Hundredths::All => chance(Some(p)),
            Hundredths::Some(_) => format!(">={}", chance(Some(p))),
        },
        Some(Reading::AtMost(p)) => match hundredths(p) {
            Hundredths::All => "-".to_owned(),
            Hundredths::None => chance(Some(p)),
            Hundredths::Some(_) => format!("<={}", chance(Some(p))),
        },
    }
}

/// A chance in whole hundredths, rounded once and never up: the same in every answer.
enum Hundredths {
    /// More than 99.
    All,
    /// Fewer than 1.
    None,
    /// So many.
    Some(u8),
}

/// What binary fractions may lack of a whole hundredth (0.29 is stored a little low).
const HAIR: f64 = 1e-9;

fn hundredths(p: f64) -> Hundredths {
    if p > 0.99 + HAIR {
        Hundredths::All
    } else if p < 0.01 - HAIR || p.is_nan() {
        Hundredths::None
    } else {
        // Between 1 and 99 here.
        Hundredths::Some((p * 100.0 + HAIR).floor() as u8)
    }
}

/// A figure beside another that it must not look equal to: as many digits as tell them apart.
pub(super) fn apart(x: f64, other: f64) -> String {
    let plain = figure(x);
    if plain != figure(other) {
        return plain;
    }
    (4..=9)
        .filter_map(|digits| Some((significant(x, digits)?, significant(other, digits)?)))
        .find(|(a, b)| a.total_cmp(b).is_ne())
        .map_or(plain, |(a, _)| a.to_string())
}

/// A reading beside a bound that it must not look equal to.
pub(super) fn reading_apart(r: Reading, bound: f64, unit: &str) -> String {
    match r {
        Reading::Exact(x) => with_unit(apart(x, bound), unit),
        Reading::AtLeast(x) => format!(">= {}", with_unit(apart(x, bound), unit)),
        Reading::AtMost(x) => format!("<= {}", with_unit(apart(x, bound), unit)),
        Reading::Between(..) => reading(r, unit),
    }
}

/// A clause as a sentence.
pub(super) fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    let first = chars.next().map(|c| c.to_uppercase().to_string());
    let whole = first.unwrap_or_default() + chars.as_str();
    if whole.ends_with(['.', '?', '!']) {
        whole
    } else {
        whole + "."
    }
}

/// `a` or `an`, by how the word begins.
pub(super) fn article(word: &str) -> &'static str {
    if word.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    }
}

/// What a limit asks: `at least 300 N`, `4 to 12 N`.
pub(super) fn asked(sense: LimitSense, unit: &str) -> String {
    match sense {
        LimitSense::AtLeast(b) => format!("at least {}", amount(b, unit)),
        LimitSense::AtMost(b) => format!("at most {}", amount(b, unit)),
        LimitSense::Between(a, b) => format!("{} to {}", figure(a), amount(b, unit)),
    }
}

/// A figure or bound as people write it.
pub(super) fn reading(r: Reading, unit: &str) -> String {
    match r {
        Reading::Exact(x) => amount(x, unit),
        Reading::AtLeast(x) => format!(">= {}", amount(x, unit)),
        Reading::AtMost(x) => format!("<= {}", amount(x, unit)),
        Reading::Between(a, b) => format!("{} to {}", figure(a), amount(b, unit)),
    }
}

/// `1 specimen`, `3 specimens`.
pub(super) fn count(n: impl Into<u64>, one: &str, many: &str) -> String {
    match n.into() {
        1 => format!("1 {one}"),
        n => format!("{n} {many}"),
    }
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn list<S: AsRef<str>>(items: &[S]) -> String {
    joined(items, "and")
}

/// `a`, `a or b`, `a, b or c`.
pub(super) fn either<S: AsRef<str>>(items: &[S]) -> String {
    joined(items, "or")
}

fn joined<S: AsRef<str>>(items: &[S], word: &str) -> String {
    let all: Vec<&str> = items.iter().map(AsRef::as_ref).collect();
    match all.split_last() {
        None => String::new(),
        Some((only, [])) => (*only).to_owned(),
        Some((last, rest)) => format!("{} {word} {last}", rest.join(", ")),
    }
}

/// The first of a list and how many more: `a, b and 3 more`.
pub(super) fn first_few<S: AsRef<str>>(items: &[S], most: usize) -> String {
    match items.get(most..) {
        None | Some([]) => list(items),
        Some(rest) => {
            let mut said: Vec<String> = items
                .iter()
                .take(most)
                .map(|s| s.as_ref().to_owned())
                .collect();
            said.push(format!("{} more", rest.len()));
            list(&said)
        }
    }
}

/// Hours as people say them: `5 years`, `30 days`, `8 h`.
pub(super) fn hours(h: f64) -> String {
    const DAY: f64 = 24.0;
    const YEAR: f64 = 365.25 * DAY;
    let (n, one, many) = if h >= YEAR {
        (h / YEAR, "year", "years")
    } else if h >= 2.0 * DAY {
        (h / DAY, "day", "days")
    } else {
        (h, "h", "h")
    };
    let n = figure(n);
    let unit = if n == "1" { one } else { many };
    format!("{n} {unit}")
}

/// A limit or aim at both ends of the temperature range, in words: `pull-off@hot` to `hot`.
pub(super) fn end_of(id: &str) -> Option<&str> {
    id.split_once('@').map(|(_, end)| end)
}

/// A failure mode told of several: `takes a set and goes slack` to `take a set and go slack`.
pub(super) fn of_several(failure: &str) -> String {
    let clauses: Vec<String> = failure.split(" and ").map(clause_of_several).collect();
    clauses.join(" and ")
}

fn clause_of_several(clause: &str) -> String {
    let (verb, rest) = match clause.split_once(' ') {
        Some((v, r)) => (v, format!(" {r}")),
        None => (clause, String::new()),
    };
    let plural = match verb {
        "is" => "are".to_owned(),
        "has" => "have".to_owned(),
        "does" => "do".to_owned(),
        "goes" => "go".to_owned(),
        v if ["sses", "shes", "ches", "xes", "zzes"]
            .iter()
            .any(|e| v.ends_with(e)) =>
        {
            v.strip_suffix("es").unwrap_or(v).to_owned()
        }
        v if v.ends_with("ies") => format!("{}y", v.strip_suffix("ies").unwrap_or(v)),
        v if v.ends_with('s') && !v.ends_with("ss") => v.strip_suffix('s').unwrap_or(v).to_owned(),
        v => v.to_owned(),
    };
    plural + &rest
}

/// Text from a file, safe for a terminal: control characters become a visible mark.
pub(super) fn safe(text: &str) -> String {
    text.chars()
        .map(|c| {
            if c == '\n' || c == '\t' {
                ' '
            } else if c.is_control() || is_direction_mark(c) {
                '\u{fffd}'
            } else {
                c
            }
        })
        .collect()
}

/// Marks that change the direction of text and can disguise what is shown.
fn is_direction_mark(c: char) -> bool {
    matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The same with Markdown's own signs escaped.
pub(super) fn markdown(text: &str) -> String {
    let mut out = String::new();
    for c in safe(text).chars() {
        if matches!(
            c,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '#' | '~' | '&' | '!'
        ) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_have_three_digits_and_no_trailing_zeros() {
        let said: Vec<String> = [
            0.0, 1.0, 12.345, 610.4, 1234.5, 0.04567, 2.34e-6, -5.0, 24.9,
        ]
        .map(figure)
        .to_vec();
        assert_eq!(
            said,
            [
                "0", "1", "12.3", "610", "1230", "0.0457", "2.3e-6", "-5", "24.9"
            ]
        );
        assert_eq!(figure(f64::NAN), "-");
    }

    #[test]
    fn chances_are_never_rounded_to_certainty() {
        assert_eq!(chance(Some(0.99996)), ">0.99");
        assert_eq!(chance(Some(0.0004)), "<0.01");
        assert_eq!(of_hundred(0.979), "97 of 100");
        assert_eq!(of_hundred(0.9999), "more than 99 of 100");
        // The same rounding in a sentence and in a column.
        assert_eq!(
            (of_hundred(0.992), chance(Some(0.992))),
            ("more than 99 of 100".into(), ">0.99".into())
        );
        assert_eq!(
            (of_hundred(0.789), chance(Some(0.789))),
            ("78 of 100".into(), "0.78".into())
        );
        assert_eq!(
            (of_hundred(0.29), chance(Some(0.99))),
            ("29 of 100".into(), "0.99".into())
        );
    }

    #[test]
    fn a_chance_known_from_one_side_says_which() {
        assert_eq!(chance_shown(Some(Reading::AtLeast(0.08))), ">=0.08");
        assert_eq!(chance_shown(Some(Reading::AtLeast(0.001))), "-");
        assert_eq!(chance_shown(Some(Reading::AtMost(0.2))), "<=0.20");
        assert_eq!(chance_shown(Some(Reading::AtLeast(0.999))), ">0.99");
    }

    #[test]
    fn a_figure_that_misses_its_bound_does_not_look_equal_to_it() {
        assert_eq!(apart(1196.0, 1200.0), "1196");
        assert_eq!(apart(12.5, 22.0), "12.5");
        assert_eq!(apart(22.0, 22.0), "22");
        assert_eq!(
            reading_apart(Reading::AtLeast(30.0), 22.0, "MPa"),
            ">= 30 MPa"
        );
    }

    #[test]
    fn several_materials_take_the_plural_verb() {
        assert_eq!(
            of_several("creeps away under the bolt"),
            "creep away under the bolt"
        );
        assert_eq!(
            of_several("is too soft at the hot end"),
            "are too soft at the hot end"
        );
        assert_eq!(
            of_several("takes a set and goes slack"),
            "take a set and go slack"
        );
        assert_eq!(of_several("presses through"), "press through");
        assert_eq!(of_several("carries too little"), "carry too little");
    }

    #[test]
    fn control_characters_never_pass() {
        assert_eq!(safe("a\u{1b}[31mred\u{7}"), "a\u{fffd}[31mred\u{fffd}");
        assert_eq!(safe("abc\u{202e}cba"), "abc\u{fffd}cba");
        assert_eq!(markdown("a|b*c_<script>"), "a\\|b\\*c\\_\\<script\\>");
    }
}
