//! `dutyfit parts`.

use crate::catalog::meant;
use crate::cli::Answer;
use crate::cli::args::{Common, Format, PartsArgs};
use crate::cli::output::{Output, Screen, Stop};
use crate::duty::{part, parts};
use crate::problem::Fault;
use crate::render::{PartList, PartShown};

pub(super) fn run(common: &Common, args: &PartsArgs, screen: Screen) -> Answer {
    let text = match &args.part {
        None => match common.format {
            Format::Text => PartList.text(screen.page()),
            Format::Json => PartList.json(),
            Format::Markdown => PartList.markdown(),
        },
        Some(id) => {
            let kind = part(id).ok_or_else(|| {
                Stop::Usage(Fault::new(
                    "usage::unknown-part",
                    format!("there is no part kind `{id}`"),
                    meant(id, parts().iter().map(|p| p.id)),
                ))
            })?;
            let shown = PartShown(kind);
            match common.format {
                Format::Text => shown.text(screen.page()),
                Format::Json => shown.json(),
                Format::Markdown => shown.markdown(),
            }
        }
    };
    Ok(Output {
        text,
        ..Output::default()
    })
}
