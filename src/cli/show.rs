//! `dutyfit show`.

use crate::cli::Answer;
use crate::cli::args::{Common, ShowArgs};
use crate::cli::output::{Output, Screen};

pub(super) fn run(common: &Common, args: &ShowArgs, screen: Screen) -> Answer {
    let _ = (common, args, screen);
    Ok(Output::default())
}
