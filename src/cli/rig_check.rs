//! `dutyfit rig-check`.

use crate::advise::rig_check::{rig_check, rigs};
use crate::catalog::meant;
use crate::cli::args::{Common, Format, RigCheckArgs};
use crate::cli::find::Workspace;
use crate::cli::output::{Output, Screen, Stop};
use crate::cli::{ANSWERED, Answer, NO};
use crate::problem::Fault;
use crate::render::RigCheckShown;

pub(super) fn run(common: &Common, args: &RigCheckArgs, screen: Screen) -> Answer {
    let ws = Workspace::open(common)?;
    let rig = args.rig.as_deref();
    if let Some(rig) = rig {
        let known = rigs(&ws.evidence);
        if !known.contains(rig) {
            return Err(Stop::Usage(Fault::new(
                "usage::unknown-rig",
                format!("no run was made on a rig `{rig}`"),
                meant(rig, known.iter().copied()),
            )));
        }
    }
    let check = rig_check(&ws.evidence, rig);
    let shown = RigCheckShown {
        check: &check,
        rig,
        origin: ws.origin,
    };
    Ok(Output {
        text: match common.format {
            Format::Text => shown.text(screen.page()),
            Format::Json => shown.json(),
            Format::Markdown => shown.markdown(),
        },
        code: if check.calls() { NO } else { ANSWERED },
        skipped: ws.skipped.clone(),
        ..Output::default()
    })
}
