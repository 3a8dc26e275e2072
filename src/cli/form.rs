//! `dutyfit form`.

use crate::bench;
use crate::catalog::{
    Catalog, Form, MOST_SPECIMENS, Prefill, form_book, headers_in_use, load_catalog, meant,
    run_pieces,
};
use crate::cli::args::{Common, FormArgs, Format};
use crate::cli::output::{Output, Screen, Stop};
use crate::cli::reduce::find_test;
use crate::cli::{Answer, find};
use crate::problem::Fault;
use crate::render::{FormList, FormShown};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

pub(super) fn run(common: &Common, args: &FormArgs, screen: Screen) -> Answer {
    let Some(id) = &args.test else {
        let list = FormList {
            tests: bench::tests(),
        };
        return Ok(Output {
            text: match common.format {
                Format::Text => list.text(screen.page()),
                Format::Json => list.json(),
                Format::Markdown => list.markdown(),
            },
            ..Output::default()
        });
    };
    let test = find_test(id)?;
    if args.specimens.is_some_and(|n| n == 0 || n > MOST_SPECIMENS) {
        return Err(Stop::Usage(Fault::new(
            "usage::specimens",
            format!("a sheet has 1 to {MOST_SPECIMENS} specimens"),
            "write for example `--specimens 5`",
        )));
    }
    // A sheet can be printed without a catalog; with one it takes its units.
    let source = match find::source(common) {
        Ok(source) => Some(source),
        Err(stop) if args.like.is_some() || common.catalog.is_some() => return Err(stop),
        Err(_) => None,
    };
    let units = source
        .as_ref()
        .map_or_else(BTreeMap::new, |s| headers_in_use(s, test));
    let catalog = match (&source, &args.like) {
        (Some(source), Some(_)) => load_catalog(source, common.as_of.as_deref())?,
        _ => Catalog::default(),
    };
    let like = match &args.like {
        Some(id) => {
            let pieces = run_pieces(&catalog, id);
            match pieces.first() {
                Some(r) if r.test == test.id() => pieces,
                Some(r) => {
                    return Err(Stop::Usage(Fault::new(
                        "usage::other-test",
                        format!("the run `{id}` is a {} run", r.test),
                        format!("write `dutyfit form {} --like {id}`", r.test),
                    )));
                }
                None => return Err(unknown_run(&catalog, id, test.id())),
            }
        }
        None => Vec::new(),
    };
    let form = Form::new(
        test,
        &Prefill {
            material: args.material.as_deref(),
            specimens: args.specimens,
            like,
            units,
        },
    );
    let ending = common
        .out
        .as_deref()
        .and_then(Path::extension)
        .map(|e| e.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("xlsx") => Ok(Output {
            bytes: Some(form_book(&form)?),
            ..Output::default()
        }),
        Some("ods" | "xls") => Err(Stop::Usage(Fault::new(
            "usage::form-kind",
            "an empty sheet is written as CSV or XLSX",
            "name a file that ends in `.csv` or `.xlsx`",
        ))),
        _ => Ok(Output {
            text: match common.format {
                Format::Text => form.csv(),
                Format::Json => FormShown { form: &form }.json(),
                Format::Markdown => FormShown { form: &form }.markdown(),
            },
            ..Output::default()
        }),
    }
}

fn unknown_run(catalog: &Catalog, id: &str, test: &str) -> Stop {
    let runs: BTreeSet<&str> = catalog
        .runs
        .iter()
        .filter(|r| r.test == test)
        .map(|r| r.id.as_str())
        .collect();
    Stop::Usage(Fault::new(
        "usage::unknown-run",
        format!("there is no {test} run `{id}` in this catalog"),
        meant(id, runs),
    ))
}
