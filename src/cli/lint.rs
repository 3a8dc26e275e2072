//! `dutyfit lint`.

use crate::catalog::{Source, load_catalog};
use crate::cli::args::{Common, LintArgs};
use crate::cli::output::{Output, Screen};
use crate::cli::{ANSWERED, Answer, NO};
use crate::problem::Severity;

pub(super) fn run(common: &Common, _args: &LintArgs, screen: Screen) -> Answer {
    let source = if common.demo {
        Source::Demo
    } else {
        Source::Folder(common.catalog.clone())
    };
    let catalog = load_catalog(&source, common.as_of.as_deref())?;
    let bad = catalog
        .problems
        .iter()
        .any(|p| p.severity == Severity::Error);
    Ok(Output {
        text: crate::render::problems(&catalog.problems, None, screen.colour),
        code: if bad { NO } else { ANSWERED },
        ..Output::default()
    })
}
