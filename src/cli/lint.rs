//! `dutyfit lint`.

use crate::catalog::lint;
use crate::cli::args::{Common, Format, LintArgs};
use crate::cli::find::source;
use crate::cli::output::{Output, Screen};
use crate::cli::{ANSWERED, Answer, NO};
use crate::problem::Severity;
use crate::render;

pub(super) fn run(common: &Common, _args: &LintArgs, screen: Screen) -> Answer {
    let found = lint(&source(common)?, common.as_of.as_deref())?;
    let bad = found.iter().any(|p| p.severity == Severity::Error);
    Ok(Output {
        text: match common.format {
            Format::Text => render::problems(&found, None, screen.colour),
            Format::Json => render::json::problems("dutyfit.lint/1", &found),
            Format::Markdown => render::problems_markdown(&found),
        },
        code: if bad { NO } else { ANSWERED },
        ..Output::default()
    })
}
