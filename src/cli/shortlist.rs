//! `dutyfit shortlist`.

use crate::cli::Answer;
use crate::cli::args::{Common, ShortlistArgs};
use crate::cli::output::{Output, Screen};

pub(super) fn run(common: &Common, args: &ShortlistArgs, screen: Screen) -> Answer {
    let _ = (common, args, screen);
    Ok(Output::default())
}
