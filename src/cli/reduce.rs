//! `dutyfit reduce`.

use crate::cli::Answer;
use crate::cli::args::{Common, ReduceArgs};
use crate::cli::output::{Output, Screen};

pub(super) fn run(common: &Common, args: &ReduceArgs, screen: Screen) -> Answer {
    let _ = (common, args, screen);
    Ok(Output::default())
}
