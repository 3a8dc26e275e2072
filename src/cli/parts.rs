//! `dutyfit parts`.

use crate::cli::Answer;
use crate::cli::args::{Common, Format, PartsArgs};
use crate::cli::find::kind_called;
use crate::cli::output::{Output, Screen};
use crate::describe::PartSheet;
use crate::duty::parts;
use crate::render::{PartList, PartShown};

pub(super) fn run(common: &Common, args: &PartsArgs, screen: Screen) -> Answer {
    let text = match &args.part {
        None => {
            let list = PartList(parts().iter().map(PartSheet::of).collect());
            match common.format {
                Format::Text => list.text(screen.page()),
                Format::Json => list.json(),
                Format::Markdown => list.markdown(),
            }
        }
        Some(name) => {
            let shown = PartShown(PartSheet::of(kind_called(name)?));
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
