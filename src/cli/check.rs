//! `dutyfit check`.

use crate::cli::Answer;
use crate::cli::args::{CheckArgs, Common};
use crate::cli::output::{Output, Screen};

pub(super) fn run(common: &Common, args: &CheckArgs, screen: Screen) -> Answer {
    let _ = (common, args, screen);
    Ok(Output::default())
}
