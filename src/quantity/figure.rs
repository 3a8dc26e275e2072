//! A figure as people write it, the same in answers, faults and doubts.

/// A figure for people: three significant digits, no trailing zeros; `-` for no figure.
pub fn figure(x: f64) -> String {
    if !x.is_finite() {
        return "-".to_owned();
    }
    let size = x.abs();
    if size > 0.0 && !(1e-3..1e7).contains(&size) {
        return scientific(x);
    }
    let Some(rounded) = significant(x, 3) else {
        return "-".to_owned();
    };
    // Display of f64 is the shortest text that reads back: no trailing zeros.
    let text = rounded.to_string();
    if text == "-0" { "0".to_owned() } else { text }
}

fn scientific(x: f64) -> String {
    let text = format!("{x:.1e}");
    text.replace(".0e", "e")
}

/// `x` rounded to `digits` significant digits; `None` for what is no figure.
pub fn significant(x: f64, digits: usize) -> Option<f64> {
    if !x.is_finite() {
        return None;
    }
    format!("{x:.*e}", digits.saturating_sub(1)).parse().ok()
}

/// `x` counted in `10^power`, its last digit standing at `10^place`: 1838 at place 1 is `1840`,
/// 0.000132 at place -6 in millionths (power -6) is `132`; `-` for no figure.
pub fn placed(x: f64, place: i32, power: i32) -> String {
    if !x.is_finite() {
        return "-".to_owned();
    }
    let counted = x / 10_f64.powi(power);
    let step = place.saturating_sub(power);
    let text = match usize::try_from(-step) {
        Ok(decimals) => format!("{counted:.decimals$}"),
        Err(_) => {
            let unit = 10_f64.powi(step);
            format!("{:.0}", (counted / unit).round() * unit)
        }
    };
    let nothing = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if nothing {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

/// A figure with its unit; a pure number stands alone, a percentage close.
pub fn amount(x: f64, unit: &str) -> String {
    with_unit(figure(x), unit)
}

/// A figure that is written already, with its unit.
pub(crate) fn with_unit(n: String, unit: &str) -> String {
    match unit {
        "1" | "" => n,
        "%" => format!("{n} %"),
        _ => format!("{n} {unit}"),
    }
}
