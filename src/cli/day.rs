//! The day that something is written down on: the one place that reads the clock.

use crate::catalog::is_day;
use crate::cli::output::Stop;
use crate::problem::Fault;

/// The day that was given, or the computer's.
///
/// # Errors
/// `usage::date` for what is no day.
pub(super) fn given_or_today(date: Option<&str>) -> Result<String, Stop> {
    let Some(date) = date else {
        return Ok(jiff::ZonedDateTime::now().date().to_string());
    };
    if is_day(date) {
        return Ok(date.to_owned());
    }
    Err(Stop::Usage(Fault::new(
        "usage::date",
        format!("`{date}` is not a day"),
        "write it as `2026-05-31`",
    )))
}
