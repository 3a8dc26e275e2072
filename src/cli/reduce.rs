//! `dutyfit reduce`.

use crate::belief::summarise_run;
use crate::bench::reduce_run;
use crate::catalog::read_sheet_file;
use crate::cli::Answer;
use crate::cli::args::{Common, Format, ReduceArgs};
use crate::cli::output::{Output, Screen};
use crate::policy::Policy;
use crate::property::Properties;
use crate::render::{ReducedSheet, SheetRun};

pub(super) fn run(common: &Common, args: &ReduceArgs, screen: Screen) -> Answer {
    let (test, runs) = read_sheet_file(&args.file)?;
    let (properties, policy) = (Properties::default(), Policy::default());
    let runs = runs
        .iter()
        .map(|run| {
            let reduced = reduce_run(test, run, &properties);
            let summaries = summarise_run(&reduced, &properties, &policy);
            SheetRun { reduced, summaries }
        })
        .collect();
    let sheet = ReducedSheet {
        test,
        runs,
        properties: &properties,
        working: args.working,
    };
    let text = match common.format {
        Format::Text => sheet.text(screen.page()),
        Format::Json => sheet.json(),
        Format::Markdown => sheet.markdown(),
    };
    Ok(Output {
        text,
        ..Output::default()
    })
}
