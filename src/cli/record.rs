//! `dutyfit record`.

use crate::bench::{Run, find as test_of};
use crate::catalog::{
    Catalog, NotRecorded, Recorded, Recording, Request, Source, Store, prepare, sheet_bytes, shown,
};
use crate::cli::args::{Common, Format, RecordArgs};
use crate::cli::output::{Output, Screen, Stop};
use crate::cli::reduce::{given_maps, named_test, reduced};
use crate::cli::told::told;
use crate::cli::{Answer, day, find, store};
use crate::property::Properties;
use crate::render::{RecordAnswer, RecordedSheet, ReducedSheet};
use std::sync::Arc;

pub(super) fn run(common: &Common, args: &RecordArgs, screen: Screen) -> Answer {
    let recorded = day::given_or_today(args.date.as_deref())?;
    let maps = given_maps(&args.sheet)?;
    let test = named_test(&args.sheet)?;
    let files: Vec<(String, Vec<u8>)> = args
        .files
        .iter()
        .map(|f| Ok((shown(f), sheet_bytes(f).map_err(Stop::sheet)?)))
        .collect::<Result<_, Stop>>()?;
    let request = Request {
        files: &files,
        maps: &maps,
        given: &args.sheet.sets,
        test,
        recorded: &recorded,
    };
    let mut target = Target::open(common, args.dry_run)?;
    let source = target.source();
    let recording = prepare(&source, &request).map_err(|e| match e {
        NotRecorded::File(f) => Stop::File(f),
        NotRecorded::Problems(p) => Stop::Sheet(p),
        NotRecorded::Catalog(p) => Stop::Problems(p),
    })?;
    let Recording {
        sheets,
        notices,
        changes,
        before,
        after,
    } = recording;
    target.commit(changes)?;
    // What it means takes a while; others may write meanwhile.
    drop(target);
    let properties = Properties::with_own(&after.own_properties);
    let runs: Vec<String> = sheets.iter().flat_map(|s| s.runs.clone()).collect();
    let sheets = sheets
        .into_iter()
        .map(|s| of_sheet(s, &after, &properties))
        .collect();
    let answer = RecordAnswer {
        dry_run: args.dry_run,
        recorded: &recorded,
        sheets,
        notices,
        told: told(common, source, &before, after, &runs)?,
    };
    // As in what is told: the answer does not wait until all is freed.
    rayon::spawn(move || drop(before));
    Ok(Output {
        text: match common.format {
            Format::Text => answer.text(screen.page()),
            Format::Json => answer.json(),
            Format::Markdown => answer.markdown(),
        },
        ..Output::default()
    })
}

/// Where the lines go: nowhere in a dry run, which takes no lock and writes nothing.
enum Target {
    Dry(Source),
    Store(Store),
}

impl Target {
    fn open(common: &Common, dry_run: bool) -> Result<Self, Stop> {
        if dry_run {
            store::refuse_demo(common)?;
            return Ok(Target::Dry(find::source(common)?));
        }
        Ok(Target::Store(store::open(common)?))
    }

    fn source(&self) -> Source {
        match self {
            Target::Dry(source) => source.clone(),
            Target::Store(store) => store.source(),
        }
    }

    fn commit(&mut self, changes: Vec<crate::catalog::Change>) -> Result<(), Stop> {
        match self {
            Target::Dry(_) => Ok(()),
            Target::Store(store) => Ok(store.commit(changes)?),
        }
    }
}

/// What the runs of a sheet say, as they now stand in the catalog.
fn of_sheet<'a>(sheet: Recorded, after: &Catalog, properties: &'a Properties) -> RecordedSheet<'a> {
    let runs: Vec<Arc<Run>> = after
        .runs
        .iter()
        .filter(|r| sheet.runs.contains(&r.id))
        .cloned()
        .collect();
    let reduced = test_of(sheet.test).map(|test| ReducedSheet {
        file: sheet.sheet.clone(),
        test,
        runs: reduced(test, &runs, properties, &after.policy),
        properties,
        working: false,
    });
    RecordedSheet { sheet, reduced }
}
