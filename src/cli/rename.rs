//! `dutyfit rename`.

use crate::catalog::{Source, load_catalog, renamed};
use crate::cli::args::{Common, Format, RenameArgs};
use crate::cli::output::{Output, Screen, Stop};
use crate::cli::{Answer, store};
use crate::problem::Severity;
use crate::render::RenamedShown;

pub(super) fn run(common: &Common, args: &RenameArgs, screen: Screen) -> Answer {
    let mut store = store::open(common)?;
    let source = store.source();
    sound(&source)?;
    let found = renamed(&source, &args.old, &args.new)?;
    let after = found.changes.iter();
    let after = after.map(|c| (c.name.clone(), c.becomes.clone()));
    sound(&source.changed(after))?;
    let shown = RenamedShown {
        from: &args.old,
        to: &args.new,
        files: found.files,
    };
    store.commit(found.changes)?;
    Ok(Output {
        text: match common.format {
            Format::Text => shown.text(screen.page()),
            Format::Json => shown.json(),
            Format::Markdown => shown.markdown(),
        },
        ..Output::default()
    })
}

/// Stops where the catalog cannot be read as a whole.
fn sound(source: &Source) -> Result<(), Stop> {
    let catalog = load_catalog(source, None)?;
    if catalog
        .problems
        .iter()
        .any(|p| p.severity == Severity::Error)
    {
        return Err(Stop::Problems(catalog.problems));
    }
    Ok(())
}
