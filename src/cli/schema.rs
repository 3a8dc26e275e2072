//! `dutyfit schema`.

use crate::cli::Answer;
use crate::cli::args::SchemaArgs;
use crate::cli::output::Output;

pub(super) fn run(args: &SchemaArgs) -> Answer {
    let _ = args;
    Ok(Output::default())
}
