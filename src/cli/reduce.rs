//! `dutyfit reduce`.

use crate::belief::summarise_run;
use crate::bench::{self, BenchTest, Run, reduce_run};
use crate::catalog::{
    Ask, KeptMaps, Maps, Skipped, meant, parse_map, read_sheet_file, skip_bad_lines,
};
use crate::cli::Answer;
use crate::cli::args::{Common, FilledArgs, Format, ReduceArgs};
use crate::cli::output::{Output, Screen, Stop};
use crate::policy::Policy;
use crate::problem::Fault;
use crate::property::Properties;
use crate::render::{ReducedSheet, SheetRun, joined, notices, reduced_json};
use std::sync::Arc;

pub(super) fn run(common: &Common, args: &ReduceArgs, screen: Screen) -> Answer {
    let maps = Maps::new(&given_maps(&args.sheet)?, KeptMaps::default());
    let ask = Ask {
        maps: &maps,
        given: &args.sheet.sets,
        test: named_test(&args.sheet)?,
    };
    let mut file = read_sheet_file(&args.file, ask).map_err(Stop::sheet)?;
    let skipped = if common.skip_bad {
        skip_bad_lines(std::mem::take(&mut file.problems)).map_err(Stop::Sheet)?
    } else {
        file = file.whole().map_err(Stop::Sheet)?;
        Skipped::default()
    };
    let (properties, policy) = (Properties::default(), Policy::default());
    let sheets: Vec<ReducedSheet<'_>> = file
        .sheets
        .into_iter()
        .map(|s| ReducedSheet {
            file: s.file,
            test: s.test,
            runs: reduced(s.test, &s.runs, &properties, &policy),
            properties: &properties,
            working: args.working,
        })
        .collect();
    let text = match (common.format, sheets.as_slice()) {
        (Format::Text, [one]) => one.text(screen.page()),
        (Format::Json, [one]) => one.json(),
        (Format::Markdown, [one]) => one.markdown(),
        (Format::Json, many) => reduced_json(many),
        (format, many) => {
            let texts: Vec<(String, String)> = many
                .iter()
                .map(|s| {
                    let text = match format {
                        Format::Markdown => s.markdown(),
                        _ => s.text(screen.page()),
                    };
                    (s.file.clone(), text)
                })
                .collect();
            joined(&texts, format == Format::Markdown)
        }
    };
    Ok(Output {
        text,
        warnings: notices(&file.notices),
        skipped,
        ..Output::default()
    })
}

/// Each run with what it says by itself.
pub(super) fn reduced(
    test: &'static dyn BenchTest,
    runs: &[Arc<Run>],
    properties: &Properties,
    policy: &Policy,
) -> Vec<SheetRun> {
    runs.iter()
        .map(|run| {
            let reduced = reduce_run(test, run, properties);
            let summaries = summarise_run(&reduced, properties, policy);
            SheetRun { reduced, summaries }
        })
        .collect()
}

/// The maps of the command line.
///
/// # Errors
/// `usage::map`.
pub(super) fn given_maps(args: &FilledArgs) -> Result<Vec<(String, String)>, Stop> {
    let read: Result<_, Fault> = args.maps.iter().map(|m| parse_map(m)).collect();
    Ok(read?)
}

/// The test that `--test` names.
///
/// # Errors
/// `usage::unknown-test` with the nearest name.
pub(super) fn named_test(args: &FilledArgs) -> Result<Option<&'static dyn BenchTest>, Stop> {
    args.test.as_deref().map(find_test).transpose()
}

/// A test by its id.
///
/// # Errors
/// `usage::unknown-test` with the nearest name.
pub(super) fn find_test(id: &str) -> Result<&'static dyn BenchTest, Stop> {
    bench::find(id).ok_or_else(|| {
        Stop::Usage(Fault::new(
            "usage::unknown-test",
            format!("there is no test `{id}`"),
            meant(id, bench::tests().iter().map(|t| t.id())),
        ))
    })
}
