//! `dutyfit compare`.

use crate::advise::compare::{Wanted, compare};
use crate::catalog::{known_surface, meant};
use crate::cli::args::{Common, CompareArgs, Format};
use crate::cli::find::Workspace;
use crate::cli::output::{Output, Screen, Stop};
use crate::cli::why::{above_zero, amount};
use crate::cli::{ANSWERED, Answer};
use crate::problem::Fault;
use crate::render::CompareShown;
use std::collections::BTreeSet;

pub(super) fn run(common: &Common, args: &CompareArgs, screen: Screen) -> Answer {
    let ws = Workspace::open(common)?;
    let mut materials = Vec::new();
    let mut seen = BTreeSet::new();
    for id in &args.materials {
        if !seen.insert(id.as_str()) {
            return Err(Stop::Usage(Fault::new(
                "usage::compared-with-itself",
                format!("`{id}` is named twice"),
                "name two or more different materials",
            )));
        }
        materials.push(ws.material(id)?);
    }
    let wanted = wanted(&ws, args)?;
    let comparison = compare(&ws.evidence, &materials, &wanted);
    let shown = CompareShown {
        comparison: &comparison,
        origin: ws.origin,
        detail: !args.property.is_empty(),
    };
    Ok(Output {
        text: match common.format {
            Format::Text => shown.text(screen.page()),
            Format::Json => shown.json(),
            Format::Markdown => shown.markdown(),
        },
        code: ANSWERED,
        skipped: ws.skipped.clone(),
        ..Output::default()
    })
}

/// The conditions of the command line.
fn wanted(ws: &Workspace, args: &CompareArgs) -> Result<Wanted, Stop> {
    let properties = ws.evidence.properties();
    let mut wanted = Wanted {
        lies: args.lies.map(Into::into),
        moisture: args.moisture.map(Into::into),
        face: args.face.map(Into::into),
        ..Wanted::default()
    };
    for p in &args.property {
        let Some(row) = properties.get(p) else {
            return Err(Stop::Usage(Fault::new(
                "usage::unknown-property",
                format!("there is no property `{p}`"),
                meant(p, properties.iter().map(|p| p.id.as_str())),
            )));
        };
        if row.auxiliary {
            return Err(Stop::Usage(Fault::new(
                "usage::not-tested",
                format!("no bench test gives `{p}`, so that there are no readings to compare"),
                "name a property that a test gives, or leave `--property` out",
            )));
        }
        wanted.properties.push(row.id.clone());
    }
    if let Some(t) = &args.at {
        wanted.temperature_c = Some(amount(t, "degC", "--at")?);
    }
    if let Some(s) = &args.on {
        known_surface(s, &ws.surfaces)?;
        wanted.counterface = Some(s.clone());
    }
    if let Some(t) = &args.after {
        wanted.life_h = Some(above_zero(t, amount(t, "h", "--after")?, "--after")?);
    }
    Ok(wanted)
}
