//! A figure as written: exact, bounded from one side, or between two values.

use crate::problem::Fault;
use crate::quantity::Unit;
use serde::{Deserialize, Serialize};

/// A figure of which the value or only a bound is known, in a unit given by the context.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Reading {
    /// The value itself.
    Exact(f64),
    /// The value is this or more (`>=`).
    AtLeast(f64),
    /// The value is this or less (`<=`).
    AtMost(f64),
    /// The value lies between the two, both finite, low first.
    Between(f64, f64),
}

/// What a figure is, in one word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Bound {
    /// The value itself.
    Exact,
    /// The value is this or more.
    AtLeast,
    /// The value is this or less.
    AtMost,
    /// The value lies between two figures.
    Between,
}

impl Reading {
    /// What it is, in one word.
    pub fn bound(self) -> Bound {
        match self {
            Reading::Exact(_) => Bound::Exact,
            Reading::AtLeast(_) => Bound::AtLeast,
            Reading::AtMost(_) => Bound::AtMost,
            Reading::Between(..) => Bound::Between,
        }
    }

    /// The same reading with every figure passed through the increasing function `f`.
    pub fn map(self, f: impl Fn(f64) -> f64) -> Reading {
        match self {
            Reading::Exact(x) => Reading::Exact(f(x)),
            Reading::AtLeast(x) => Reading::AtLeast(f(x)),
            Reading::AtMost(x) => Reading::AtMost(f(x)),
            Reading::Between(a, b) => Reading::Between(f(a), f(b)),
        }
    }

    /// The figure that stands for this reading when the bound is taken as exact;
    /// the middle of a range.
    pub fn as_exact(self) -> f64 {
        match self {
            Reading::Exact(x) | Reading::AtLeast(x) | Reading::AtMost(x) => x,
            Reading::Between(a, b) => 0.5 * (a + b),
        }
    }

    /// Whether this is an exact value.
    pub fn is_exact(self) -> bool {
        matches!(self, Reading::Exact(_))
    }

    /// The bound that all readings share where all are bounds from one side: the lowest of the
    /// `>=`, the highest of the `<=`; `None` for others.
    pub fn shared(all: impl IntoIterator<Item = Reading>) -> Option<Reading> {
        let mut shared: Option<Reading> = None;
        for r in all {
            shared = Some(match (shared, r) {
                (None, Reading::AtLeast(_) | Reading::AtMost(_)) => r,
                (Some(Reading::AtLeast(a)), Reading::AtLeast(b)) => Reading::AtLeast(a.min(b)),
                (Some(Reading::AtMost(a)), Reading::AtMost(b)) => Reading::AtMost(a.max(b)),
                _ => return None,
            });
        }
        shared
    }

    /// Its two ends, low first: equal for an exact value, infinite where it is open.
    pub fn ends(self) -> (f64, f64) {
        match self {
            Reading::Exact(x) => (x, x),
            Reading::AtLeast(x) => (x, f64::INFINITY),
            Reading::AtMost(x) => (f64::NEG_INFINITY, x),
            Reading::Between(a, b) => (a, b),
        }
    }

    /// Every figure in it, one or two.
    pub fn figures(self) -> (f64, Option<f64>) {
        match self {
            Reading::Exact(x) | Reading::AtLeast(x) | Reading::AtMost(x) => (x, None),
            Reading::Between(a, b) => (a, Some(b)),
        }
    }
}

/// A plain number: decimal point, optional exponent; `1,5`, `NaN` and words are refused.
///
/// # Errors
/// `number::empty`, `number::comma`, `number::not-finite`, `number::date`, `number::not-a-number`.
pub fn parse_number(text: &str) -> Result<f64, Fault> {
    let t = text.trim();
    if t.is_empty() {
        return Err(Fault::new(
            "number::empty",
            "there is no figure here",
            "write a number, or leave the whole cell blank",
        ));
    }
    let lower = t.to_ascii_lowercase();
    let bare = lower.trim_start_matches(['+', '-']);
    if matches!(
        bare,
        "nan" | "inf" | "infinity" | "#n/a" | "#value!" | "#div/0!" | "#ref!"
    ) {
        return Err(Fault::new(
            "number::not-finite",
            format!("`{t}` is not a figure"),
            "write the number that was read, an outcome word, or leave the cell blank",
        ));
    }
    if looks_like_date(t) {
        return Err(Fault::new(
            "number::date",
            format!("`{t}` looks like a date: a spreadsheet has turned the figure into one"),
            "type the figure again with the cell formatted as text or number",
        ));
    }
    if t.contains(',') {
        return Err(Fault::new(
            "number::comma",
            format!("`{t}` has a comma, and figures are read with a decimal point"),
            format!("write `{}`", with_point(t)),
        ));
    }
    match t.parse::<f64>() {
        Ok(x) if x.is_finite() => Ok(x),
        Ok(_) => Err(Fault::new(
            "number::not-finite",
            format!("`{t}` is larger than any figure can be"),
            "write the number that was read",
        )),
        Err(_) if states_unit(t).is_some() => {
            let (figure, unit) = states_unit(t).unwrap_or_default();
            Err(Fault::new(
                "number::not-a-number",
                format!("`{t}` has its unit in the cell"),
                format!("write `{figure}`, and the unit in the header, as `force [{unit}]`"),
            ))
        }
        Err(_) => Err(Fault::new(
            "number::not-a-number",
            format!("`{t}` is not a number"),
            "write a number such as `12.4`, a bound such as `>=12.4`, or a range such as `10..12`",
        )),
    }
}

/// The figure and the unit of `16 kN`.
fn states_unit(t: &str) -> Option<(&str, &str)> {
    let end = t.find(|c: char| c.is_ascii_alphabetic() || c == '%')?;
    let (figure, unit) = t.split_at_checked(end)?;
    let figure = figure.trim();
    figure.parse::<f64>().ok()?;
    crate::quantity::Unit::parse(unit).ok()?;
    Some((figure, unit))
}

/// A figure with its decimal comma turned into a point, and without marks between thousands.
fn with_point(t: &str) -> String {
    let one = |t: &str| match (t.rfind(','), t.rfind('.')) {
        (Some(comma), Some(point)) if point > comma => t.replace(',', ""),
        (Some(_), Some(_)) => t.replace('.', "").replace(',', "."),
        _ if t.matches(',').count() > 1 => t.replace(',', ""),
        _ => t.replace(',', "."),
    };
    let ends: Vec<String> = t.split("..").map(one).collect();
    ends.join("..")
}

fn looks_like_date(t: &str) -> bool {
    let month = [
        "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
    ];
    let parts: Vec<&str> = t.split(['-', '/', '.', ' ']).collect();
    let numeric = |p: &str| !p.is_empty() && p.len() <= 4 && p.bytes().all(|b| b.is_ascii_digit());
    let monthly = |p: &str| {
        let l = p.to_ascii_lowercase();
        l.len() >= 3
            && month.iter().any(|m| l.starts_with(m))
            && l.bytes().all(|b| b.is_ascii_alphabetic())
    };
    if parts.len() == 3 && parts.iter().all(|p| numeric(p)) {
        return true;
    }
    (parts.len() == 2 || parts.len() == 3)
        && parts.iter().any(|p| monthly(p))
        && parts.iter().all(|p| numeric(p) || monthly(p))
}

/// A reading without a unit: `12.4`, `>=164`, `<=0.2`, `10..12`.
///
/// # Errors
/// As [`parse_number`], and `number::range-order` where a range has its larger end first.
pub fn parse_reading(text: &str) -> Result<Reading, Fault> {
    let t = text.trim();
    for (mark, make) in [
        (">=", Reading::AtLeast as fn(f64) -> Reading),
        ("\u{2265}", Reading::AtLeast),
        ("<=", Reading::AtMost),
        ("\u{2264}", Reading::AtMost),
    ] {
        if let Some(rest) = t.strip_prefix(mark) {
            return parse_number(rest).map(make);
        }
    }
    if t.starts_with('>') || t.starts_with('<') {
        let sign = &t[..1];
        return Err(Fault::new(
            "number::bound-sign",
            format!("`{t}` begins with `{sign}` alone"),
            format!("write `{sign}={}`", t[1..].trim()),
        ));
    }
    if let Some((a, b)) = t.split_once("..") {
        let (a, b) = (parse_number(a)?, parse_number(b)?);
        if a > b {
            return Err(Fault::new(
                "number::range-order",
                format!("the range `{t}` has its larger end first"),
                format!("write `{b}..{a}`"),
            ));
        }
        return Ok(if a < b {
            Reading::Between(a, b)
        } else {
            Reading::Exact(a)
        });
    }
    parse_number(t).map(Reading::Exact)
}

/// One quantity with its unit, in `unit`: `25.3 kgf` for N gives 248.1...
///
/// `what` names the thing in messages (`force`, `outer_diameter`). A bare
/// number is taken only where `unit` is a pure number.
///
/// # Errors
/// `unit::*` and `number::*` faults that name the unit to write.
pub fn parse_amount(text: &str, unit: &Unit, what: &str) -> Result<f64, Fault> {
    match parse_bounded_amount(text, unit, what)? {
        Reading::Exact(x) => Ok(x),
        _ => Err(Fault::new(
            "number::bound-not-allowed",
            format!(
                "`{}` is a bound or a range, and `{what}` takes one value",
                text.trim()
            ),
            format!("write one value, for example `12 {unit}`"),
        )),
    }
}

/// As [`parse_amount`], but a bound or range may stand: `>=30 MPa`, `10..12 mm`.
///
/// # Errors
/// As [`parse_amount`].
pub fn parse_bounded_amount(text: &str, unit: &Unit, what: &str) -> Result<Reading, Fault> {
    let t = text.trim();
    let (number, written) = split_unit(t);
    if number.is_empty() {
        return Err(Fault::new(
            "number::empty",
            format!("`{t}` has no figure in front, and `{what}` takes a quantity"),
            format!("write for example `12 {unit}`"),
        ));
    }
    let reading = parse_reading(number).map_err(|f| {
        if f.code != "number::comma" {
            return f;
        }
        let unit = match written {
            "" if !unit.is_pure() => unit.to_string(),
            _ => written.to_owned(),
        };
        let whole = format!("{} {unit}", with_point(number));
        Fault {
            fix: format!("write `{}`", whole.trim()),
            ..f
        }
    })?;
    if written.is_empty() {
        return if unit.is_pure() {
            Ok(reading)
        } else {
            Err(Fault::new(
                "unit::missing",
                format!(
                    "`{t}` has no unit, and `{what}` takes {}",
                    unit.dimension().describe()
                ),
                format!("write `{t} {unit}` if that is what was meant"),
            ))
        };
    }
    let from = Unit::parse_as(written, unit)?;
    if let Some(f) = from.conversion_fault(unit, t, what) {
        return Err(f);
    }
    Ok(reading.map(|x| from.convert(x, unit)))
}

/// One quantity or a span of it, in `unit`: `-10..45 degC`, `23 degC`; low first.
///
/// # Errors
/// As [`parse_amount`]; a one-sided bound is refused.
pub fn parse_span(text: &str, unit: &Unit, what: &str) -> Result<(f64, f64), Fault> {
    match parse_bounded_amount(text, unit, what)? {
        Reading::Exact(x) => Ok((x, x)),
        Reading::Between(a, b) => Ok((a, b)),
        _ => Err(Fault::new(
            "number::bound-not-allowed",
            format!(
                "`{}` is open to one side, and `{what}` takes a value or a range",
                text.trim()
            ),
            format!("write for example `10..40 {unit}`"),
        )),
    }
}

/// Splits `25.3 kgf` into figure and unit; the figure part keeps `>=`, `..`.
fn split_unit(t: &str) -> (&str, &str) {
    let mut end = 0;
    let bytes = t.as_bytes();
    let mut i = 0;
    while i < bytes.len() {
        let c = bytes[i];
        let numeric = c.is_ascii_digit()
            || matches!(c, b'.' | b',' | b'+' | b'-' | b'>' | b'<' | b'=' | b' ')
            || (matches!(c, b'e' | b'E')
                && i > 0
                && bytes[i - 1].is_ascii_digit()
                && bytes
                    .get(i + 1)
                    .is_some_and(|n| n.is_ascii_digit() || matches!(n, b'+' | b'-')));
        // `1` and `1/K` are units, though they begin like figures.
        let unit_follows = c == b' ' && end > 0 && {
            let rest = t.get(i..).unwrap_or("").trim_start();
            rest == "1" || rest.starts_with("1/")
        };
        if !numeric || unit_follows {
            break;
        }
        i += 1;
        if c != b' ' {
            end = i;
        }
    }
    // A word such as `nan` is no unit: leave it to the number parser's wording.
    let rest = t.get(end..).unwrap_or("").trim();
    if end == 0
        && t.split_whitespace().next().is_some_and(|w| {
            matches!(
                w.trim_start_matches(['+', '-'])
                    .to_ascii_lowercase()
                    .as_str(),
                "nan" | "inf" | "infinity"
            )
        })
    {
        return (t, "");
    }
    (t.get(..end).unwrap_or("").trim(), rest)
}
