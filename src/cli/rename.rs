//! `dutyfit rename`.

use crate::catalog::renamed;
use crate::cli::args::{Common, Format, RenameArgs};
use crate::cli::output::{Output, Screen};
use crate::cli::{Answer, store};
use crate::render::RenamedShown;

pub(super) fn run(common: &Common, args: &RenameArgs, screen: Screen) -> Answer {
    let mut store = store::open(common)?;
    let source = store.source();
    store::sound(&source)?;
    let found = renamed(&source, &args.old, &args.new)?;
    let after = found.changes.iter();
    let after = after.map(|c| (c.name.clone(), c.becomes.clone()));
    store::sound(&source.changed(after))?;
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
