//! `dutyfit parts`.

use crate::cli::Answer;
use crate::cli::args::{Common, PartsArgs};
use crate::cli::output::{Output, Screen};

pub(super) fn run(common: &Common, args: &PartsArgs, screen: Screen) -> Answer {
    let _ = (common, args, screen);
    Ok(Output::default())
}
