//! `dutyfit set-aside`.

use crate::catalog::{AsideOrder, Catalog, Change, load_catalog, meant, set_aside};
use crate::cli::args::{Common, Format, SetAsideArgs};
use crate::cli::output::{Output, Screen, Stop};
use crate::cli::told::told;
use crate::cli::{Answer, day, store};
use crate::problem::Fault;
use crate::render::AsideShown;
use std::collections::BTreeSet;

pub(super) fn run(common: &Common, args: &SetAsideArgs, screen: Screen) -> Answer {
    let date = day::given_or_today(args.date.as_deref())?;
    let reason = args.reason.as_deref().unwrap_or("").trim();
    if reason.is_empty() && !args.undo {
        return Err(Stop::Usage(Fault::new(
            "usage::no-reason",
            "the reason is blank",
            "say what went wrong, for example `--reason \"slipped in the grips\"`",
        )));
    }
    let mut store = store::open(common)?;
    let source = store.source();
    let catalog = store::sound(&source)?;
    let (test, material) = find(&catalog, &args.run)?;
    let name = format!("catalog/readings/{test}.csv");
    let Some(was) = store.read(&name)? else {
        return Err(unknown(&catalog, &args.run));
    };
    let file = source.shown(&name);
    let order = AsideOrder {
        run: &args.run,
        specimen: args.specimen,
        back: args.undo,
        reason,
        date: &date,
    };
    let (becomes, aside) = set_aside(&file, &was, order).map_err(Stop::Problems)?;
    let changed = source.changed([(name.clone(), becomes.clone())]);
    store.commit(vec![Change {
        name,
        was: Some(was),
        becomes,
    }])?;
    drop(store);
    let after = load_catalog(&changed, None)?;
    let told = told(
        common,
        changed,
        &catalog,
        after,
        std::slice::from_ref(&args.run),
    )?;
    let shown = AsideShown {
        run: &args.run,
        test,
        material: &material,
        file: &file,
        back: args.undo,
        aside: &aside,
        told: &told,
    };
    Ok(Output {
        text: match common.format {
            Format::Text => shown.text(screen.page()),
            Format::Json => shown.json(),
            Format::Markdown => shown.markdown(),
        },
        ..Output::default()
    })
}

/// Test and material of a run.
fn find(catalog: &Catalog, id: &str) -> Result<(&'static str, String), Stop> {
    catalog
        .runs
        .iter()
        .find(|r| r.id == id)
        .map(|r| (r.test, r.material.clone().unwrap_or_default()))
        .ok_or_else(|| unknown(catalog, id))
}

fn unknown(catalog: &Catalog, id: &str) -> Stop {
    let runs: BTreeSet<&str> = catalog.runs.iter().map(|r| r.id.as_str()).collect();
    Stop::Usage(Fault::new(
        "usage::unknown-run",
        format!("there is no run `{id}` in this catalog"),
        meant(id, runs),
    ))
}
