//! `dutyfit init`.

use crate::catalog::{Change, FileFault, Store, make_folder, new_workspace, shown};
use crate::cli::args::{Common, Format, InitArgs};
use crate::cli::output::{Output, Screen, Stop};
use crate::cli::{Answer, store};
use crate::problem::Fault;
use crate::render::{InitShown, schema};

/// Kinds of file that a person writes, and that have a schema.
const WRITTEN: &[&str] = &["case", "weights", "policy"];

pub(super) fn run(common: &Common, args: &InitArgs, screen: Screen) -> Answer {
    store::refuse_demo(common)?;
    let mut files = new_workspace();
    for kind in WRITTEN {
        let text = schema(kind).unwrap_or_default();
        files.push((format!("schemas/{kind}.schema.json"), text));
    }
    let there: Vec<String> = files
        .iter()
        .filter(|(name, _)| args.folder.join(name).exists())
        .map(|(name, _)| format!("`{name}`"))
        .collect();
    if let Some(first) = there.first() {
        let more = if there.len() > 1 {
            " and others stand"
        } else {
            " stands"
        };
        return Err(Stop::Usage(Fault::new(
            "usage::workspace-there",
            format!("{first}{more} in `{}` already", shown(&args.folder)),
            "name an empty folder or a new one; nothing was written",
        )));
    }
    make(args, &files)?;
    let shown = InitShown {
        folder: shown(&args.folder),
        files: files.into_iter().map(|(name, _)| name).collect(),
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

fn make(args: &InitArgs, files: &[(String, String)]) -> Result<(), FileFault> {
    let catalog = args.folder.join("catalog");
    make_folder(&catalog.join("readings"))?;
    let changes = files.iter().map(|(name, text)| Change {
        name: name.clone(),
        was: None,
        becomes: text.clone().into_bytes(),
    });
    Store::open(&catalog)?.commit(changes.collect())
}
