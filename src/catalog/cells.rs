//! Cells that are neither a figure nor a plain word: dates, annealing, the set-aside log.

use crate::problem::Fault;
use crate::quantity::{Unit, parse_amount};

/// Whether a text is a day as the catalog writes them, `2026-05-02`: days then sort as their texts do.
pub(crate) fn is_day(text: &str) -> bool {
    text.len() == 10 && text.parse::<jiff::civil::Date>().is_ok()
}

/// Checks a date, `2026-05-02`.
///
/// # Errors
/// `date::malformed`.
pub(crate) fn check_date(text: &str) -> Result<(), Fault> {
    if is_day(text) {
        Ok(())
    } else {
        Err(Fault::new(
            "date::malformed",
            format!("`{text}` is not a date as the catalog writes them"),
            either_day(text).unwrap_or_else(|| {
                "write year, month and day, for example `2026-05-02`".to_owned()
            }),
        ))
    }
}

/// What `5/6/2026` may mean.
fn either_day(text: &str) -> Option<String> {
    let parts: Vec<&str> = text.split(['/', '.']).collect();
    let [a, b, year] = parts.as_slice() else {
        return None;
    };
    let (a, b): (u32, u32) = (a.trim().parse().ok()?, b.trim().parse().ok()?);
    let mut days: Vec<String> = [(b, a), (a, b)]
        .iter()
        .map(|(month, day)| format!("{}-{month:02}-{day:02}", year.trim()))
        .filter(|d| is_day(d))
        .map(|d| format!("`{d}`"))
        .collect();
    days.dedup();
    (!days.is_empty()).then(|| format!("write {}", days.join(" or ")))
}

/// Reads `80 degC 4 h` into its normal form; `None` where it says that nothing was done.
///
/// # Errors
/// `annealed::malformed`.
pub(super) fn read_annealed(text: &str) -> Result<Option<String>, Fault> {
    if matches!(text, "no" | "none") {
        return Ok(None);
    }
    let parts: Vec<&str> = text.split_whitespace().collect();
    let read = || -> Option<(f64, f64)> {
        let [t, t_unit, h, h_unit] = parts.as_slice() else {
            return None;
        };
        let degrees = Unit::parse("degC").ok()?;
        let hours = Unit::parse("h").ok()?;
        Some((
            parse_amount(&format!("{t} {t_unit}"), &degrees, "annealed").ok()?,
            parse_amount(&format!("{h} {h_unit}"), &hours, "annealed").ok()?,
        ))
    };
    match read() {
        Some((t, h)) if h >= 0.0 => Ok(Some(format!("{t} degC {h} h"))),
        _ => Err(Fault::new(
            "annealed::malformed",
            format!("`{text}` does not say how warm and how long"),
            "write for example `80 degC 4 h`, or leave the cell blank",
        )),
    }
}

/// What a set-aside log says at a date: the reason, if the line is out then.
///
/// The log reads `2026-05-02 out: slipped; 2026-05-09 in: the grip was fine`;
/// the latest entry up to `as_of` counts.
///
/// # Errors
/// `set-aside::malformed`, `date::malformed`.
pub(super) fn read_set_aside(log: &str, as_of: Option<&str>) -> Result<Option<String>, Fault> {
    let malformed = |entry: &str| {
        Fault::new(
            "set-aside::malformed",
            format!("`{entry}` is not an entry of a set-aside log"),
            "write for example `2026-05-02 out: slipped`, entries apart by `;`",
        )
    };
    let mut entries: Vec<(&str, bool, String)> = Vec::new();
    for entry in log.split(';').map(str::trim).filter(|e| !e.is_empty()) {
        let dated = entry
            .split_once(' ')
            .filter(|(d, _)| d.len() == 10 && d.as_bytes().get(4) == Some(&b'-'));
        let Some((date, rest)) = dated else {
            // A reason may hold a `;` of its own.
            let Some((_, _, reason)) = entries.last_mut() else {
                return Err(malformed(entry));
            };
            reason.push_str("; ");
            reason.push_str(entry);
            continue;
        };
        check_date(date)?;
        let (word, reason) = rest.split_once(':').unwrap_or((rest, ""));
        let out = match word.trim() {
            "out" => true,
            "in" => false,
            _ => return Err(malformed(entry)),
        };
        entries.push((date, out, reason.trim().to_owned()));
    }
    // Of equal dates the last written counts.
    let state = entries
        .into_iter()
        .filter(|(date, _, _)| as_of.is_none_or(|d| *date <= d))
        .max_by(|a, b| a.0.cmp(b.0));
    Ok(state.and_then(|(_, out, reason)| out.then_some(reason)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_latest_entry_up_to_the_date_counts() {
        let log = "2026-05-02 out: slipped; twice; 2026-05-09 in: the grip was fine";
        assert_eq!(read_set_aside(log, None), Ok(None));
        assert_eq!(
            read_set_aside(log, Some("2026-05-08")),
            Ok(Some("slipped; twice".to_owned()))
        );
        assert_eq!(read_set_aside(log, Some("2026-05-01")), Ok(None));
        assert!(read_set_aside("slipped", None).is_err());
    }

    #[test]
    fn annealing_has_one_form() {
        assert_eq!(
            read_annealed("80 degC 240 min"),
            Ok(Some("80 degC 4 h".to_owned()))
        );
        assert!(read_annealed("oven").is_err());
    }
}
