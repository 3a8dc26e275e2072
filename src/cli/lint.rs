//! `dutyfit lint`.

use crate::cli::Answer;
use crate::cli::args::{Common, LintArgs};
use crate::cli::output::{Output, Screen};

pub(super) fn run(common: &Common, args: &LintArgs, screen: Screen) -> Answer {
    let _ = (common, args, screen);
    Ok(Output::default())
}
