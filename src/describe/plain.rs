//! The questions of a plain case: limits and aims on properties, one after the other.

use crate::describe::draft::Said;
use crate::describe::question::{Choice, OnEnter, Question, Section, Takes};
use crate::duty::PartKind;
use crate::problem::Fault;
use crate::property::{Properties, Property, Sense, handbook_range, polymers};
use crate::quantity::{Reading, Unit, parse_amount, parse_bounded_amount};
use serde_json::{Map, Value, json};

/// Whether a part kind takes its limits and aims as they are stated.
pub(super) fn is_plain(kind: &PartKind) -> bool {
    kind.id == "plain"
}

/// Text said at a key.
fn text<'s>(said: &'s [(String, Said)], key: &str) -> Option<&'s str> {
    said.iter().find_map(|(k, s)| match s {
        Said::Value(v) if k == key => v.as_str(),
        _ => None,
    })
}

fn is_said(said: &[(String, Said)], key: &str) -> bool {
    said.iter().any(|(k, _)| k == key)
}

/// The inputs of a plain case as told so far; empty before its first limit is whole.
pub(super) fn inputs(said: &[(String, Said)]) -> Vec<(String, Value)> {
    let value = |key: &str| {
        said.iter().find_map(|(k, s)| match s {
            Said::Value(v) if k == key => Some(v.clone()),
            _ => None,
        })
    };
    let rows = |home: &str, needs: &[&str]| -> Vec<Value> {
        (1..)
            .map_while(|n| {
                let property = value(&format!("{home}.{n}.property"))?;
                let mut row = Map::new();
                row.insert("property".to_owned(), property);
                for name in needs {
                    match value(&format!("{home}.{n}.{name}"))? {
                        // A bound is told as a side with its figure.
                        Value::Object(sides) => row.extend(sides),
                        v => {
                            row.insert((*name).to_owned(), v);
                        }
                    }
                }
                Some(Value::Object(row))
            })
            .collect()
    };
    let limits = rows("limits", &["bound"]);
    if limits.is_empty() {
        return Vec::new();
    }
    let aims = rows("aims", &["zero", "one"]);
    let mut out = vec![("limits".to_owned(), json!(limits))];
    if !aims.is_empty() {
        out.push(("aims".to_owned(), json!(aims)));
    }
    out
}

/// The next question on limits and aims; `None` where all is said.
pub(super) fn next(said: &[(String, Said)], properties: &Properties) -> Option<Question> {
    limits(said, properties).or_else(|| aims(said, properties))
}

fn limits(said: &[(String, Said)], properties: &Properties) -> Option<Question> {
    let mut n = 1;
    loop {
        let key = |name: &str| format!("limits.{n}.{name}");
        let Some(property) = text(said, &key("property")) else {
            return Some(asked(
                key("property"),
                "Which property must it have?",
                "a material that misses the bound on it is ruled out",
                Takes::Word(choices(properties)),
                "tensile-strength",
                OnEnter::Nothing,
            ));
        };
        let row = properties.get(property);
        if !is_said(said, &key("bound")) {
            return Some(asked(
                key("bound"),
                "How much of it, and on which side?",
                "the next part must meet it; strengths are judged at both ends of the temperatures",
                Takes::Bound,
                &row.map_or_else(String::new, bound_example),
                OnEnter::Nothing,
            ));
        }
        if !is_said(said, &key("more")) {
            return Some(more(key("more"), "Is there another limit?"));
        }
        if !goes_on(said, &key("more")) {
            return None;
        }
        n += 1;
    }
}

fn aims(said: &[(String, Said)], properties: &Properties) -> Option<Question> {
    let mut n = 1;
    loop {
        let key = |name: &str| format!("aims.{n}.{name}");
        if !is_said(said, &key("property")) {
            return Some(asked(
                key("property"),
                "Which property would you rather have more or less of?",
                "among the materials that meet the limits, aims decide the order",
                Takes::Word(choices(properties)),
                "price",
                OnEnter::LeaveOut,
            ));
        }
        let property = text(said, &key("property"))?;
        let (zero, one) = properties.get(property).map(ends).unwrap_or_default();
        if !is_said(said, &key("zero")) {
            return Some(asked(
                key("zero"),
                "Which figure of it is just acceptable?",
                "a material with this figure gets nothing for the aim",
                Takes::Quantity,
                &zero,
                OnEnter::Assume(zero.clone()),
            ));
        }
        if !is_said(said, &key("one")) {
            return Some(asked(
                key("one"),
                "From which figure on is it good enough?",
                "a material with this figure gets all that the aim can give",
                Takes::Quantity,
                &one,
                OnEnter::Assume(one.clone()),
            ));
        }
        if !is_said(said, &key("more")) {
            return Some(more(key("more"), "Is there another aim?"));
        }
        if !goes_on(said, &key("more")) {
            return None;
        }
        n += 1;
    }
}

fn goes_on(said: &[(String, Said)], key: &str) -> bool {
    said.iter()
        .any(|(k, s)| k == key && *s == Said::Value(true.into()))
}

fn asked(
    key: String,
    ask: &str,
    why: &str,
    takes: Takes,
    example: &str,
    on_enter: OnEnter,
) -> Question {
    Question {
        key,
        section: Section::Inputs,
        ask: ask.to_owned(),
        why: why.to_owned(),
        takes,
        example: example.to_owned(),
        on_enter,
        instead: Vec::new(),
        swing: None,
    }
}

fn more(key: String, ask: &str) -> Question {
    let why = "as many as the use has; fewer and true ones are better than many";
    asked(
        key,
        ask,
        why,
        Takes::YesNo,
        "no",
        OnEnter::Take("no".to_owned()),
    )
}

fn choices(properties: &Properties) -> Vec<Choice> {
    properties
        .iter()
        .map(|p| Choice {
            word: p.id.to_string(),
            what: p.title.to_string(),
        })
        .collect()
}

/// The lowest and highest figure that a handbook gives any polymer; what is plausible where it
/// gives none.
fn range(p: &Property) -> (f64, f64) {
    let ranges = polymers()
        .iter()
        .filter_map(|polymer| handbook_range(&[polymer.id.to_owned()], "", p.id.as_str()))
        .filter(|r| r.unit == p.unit)
        .map(|r| (r.low, r.high));
    let (low, high) = ranges.fold((f64::INFINITY, f64::NEG_INFINITY), |a, b| {
        (a.0.min(b.0), a.1.max(b.1))
    });
    if low < high { (low, high) } else { p.plausible }
}

/// The two ends of an aim's scale: the worse and the better end of the usual range.
fn ends(p: &Property) -> (String, String) {
    let (low, high) = range(p);
    let said = |x| crate::quantity::amount(x, &p.unit);
    match p.sense {
        Sense::Less => (said(high), said(low)),
        Sense::More | Sense::Either => (said(low), said(high)),
    }
}

fn bound_example(p: &Property) -> String {
    let (low, high) = range(p);
    let middle = if low > 0.0 {
        (low * high).sqrt()
    } else {
        0.5 * (low + high)
    };
    let side = match p.sense {
        Sense::Less => "at most",
        Sense::More | Sense::Either => "at least",
    };
    format!("{side} {}", crate::quantity::amount(middle, &p.unit))
}

/// Words for a bound's sides, before its figure.
const SIDES: &[(&str, &str)] = &[
    ("at least", ">="),
    ("no less than", ">="),
    ("more than", ">="),
    ("above", ">="),
    ("over", ">="),
    ("min", ">="),
    ("at most", "<="),
    ("no more than", "<="),
    ("less than", "<="),
    ("below", "<="),
    ("under", "<="),
    ("up to", "<="),
    ("max", "<="),
    ("between", ""),
];

/// A bound as typed: the side of a plain case's limit with its figure as text.
///
/// # Errors
/// `describe::which-side` where it names none and the property has no better one; `unit::...`,
/// `number::...`.
pub(super) fn bound(typed: &str, property: &Property) -> Result<Value, Fault> {
    let lower = typed.to_lowercase();
    let mut figure = typed.trim().to_owned();
    for (word, sign) in SIDES {
        if let Some(rest) = lower.strip_prefix(word) {
            // Both are cut at the same place: lower case of these words keeps its length.
            let rest = typed.get(typed.len() - rest.len()..).unwrap_or(rest);
            figure = format!("{sign}{}", rest.trim());
            break;
        }
    }
    let figure = figure.replace(" and ", "..").replace(" to ", "..");
    let unit = Unit::parse(&property.unit)?;
    let name = property.id.as_str();
    let bare = |t: &str| t.trim_start_matches(['<', '>', '=']).trim().to_owned();
    let side = |key: &str| Ok(json!({ key: bare(&figure) }));
    match parse_bounded_amount(&figure, &unit, name)? {
        Reading::AtLeast(_) => side("at_least"),
        Reading::AtMost(_) => side("at_most"),
        Reading::Between(..) => Ok(json!({ "between": figure })),
        Reading::Exact(_) => match property.sense {
            Sense::More => side("at_least"),
            Sense::Less => side("at_most"),
            Sense::Either => Err(Fault::new(
                "describe::which-side",
                format!("`{typed}` does not say on which side `{name}` is good"),
                format!("write `at least {typed}`, `at most {typed}` or a range"),
            )),
        },
    }
}

/// A figure of an aim's scale as typed.
///
/// # Errors
/// `unit::...`, `number::...`.
pub(super) fn figure(typed: &str, property: &Property) -> Result<Value, Fault> {
    let unit = Unit::parse(&property.unit)?;
    parse_amount(typed, &unit, property.id.as_str())?;
    Ok(typed.into())
}

/// The property that a bound's key is about.
pub(super) fn property_of<'p>(
    said: &[(String, Said)],
    key: &str,
    properties: &'p Properties,
) -> Option<&'p Property> {
    let (row, _) = key.rsplit_once('.')?;
    properties.get(text(said, &format!("{row}.property"))?)
}

/// Where the answer to a key of limits or aims stands in the case file: `inputs.limits[0].at_least`.
pub(super) fn row_path(key: &str) -> Option<String> {
    let mut pieces = key.split('.');
    let home = pieces.next().filter(|h| ["limits", "aims"].contains(h))?;
    let n: usize = pieces.next()?.parse().ok()?;
    Some(format!("inputs.{home}[{}]", n.checked_sub(1)?))
}
