//! `dutyfit` alone: five lines to start from.

use crate::cli::Answer;
use crate::cli::args::Common;
use crate::cli::output::Output;

pub(super) fn run(common: &Common) -> Answer {
    let workspace = if common.demo {
        "Workspace: the demo inside the program; all its numbers are invented.".to_owned()
    } else if common.handbook {
        "Workspace: handbook ranges inside the program; no measured material.".to_owned()
    } else if common.catalog().is_dir() {
        format!("Workspace: {}", common.catalog().display())
    } else {
        format!(
            "Workspace: none at {}; without one, --demo shows the demo inside the program,\nand --handbook goes by published ranges of polymers.",
            common.catalog().display()
        )
    };
    Ok(Output {
        text: format!(
            "dutyfit says which of your tested printing materials suits a part, and why.\n\
             \x20 dutyfit --demo shortlist greenhouse-washer    a ranked shortlist for a part\n\
             \x20 dutyfit --handbook shortlist bolt-washer      an order without a catalog\n\
             \x20 dutyfit reduce sheet.csv                      a filled bench sheet to properties\n\
             \x20 dutyfit --help                                all commands and options\n\
             {workspace}\n"
        ),
        ..Output::default()
    })
}
