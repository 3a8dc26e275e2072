//! `dutyfit schema`.

use crate::catalog::meant;
use crate::cli::Answer;
use crate::cli::args::SchemaArgs;
use crate::cli::output::{Output, Stop};
use crate::problem::Fault;
use crate::render::{schema, schema_kinds};

pub(super) fn run(args: &SchemaArgs) -> Answer {
    match schema(&args.kind) {
        Some(text) => Ok(Output {
            text,
            ..Output::default()
        }),
        None => Err(Stop::Usage(Fault::new(
            "usage::unknown-schema",
            format!("there is no schema of `{}`", args.kind),
            meant(&args.kind, schema_kinds()),
        ))),
    }
}
