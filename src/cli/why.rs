//! `dutyfit show MATERIAL --why PROPERTY`.

use crate::catalog::{known_surface, meant};
use crate::cli::args::{AskArgs, Common, Format};
use crate::cli::find::Workspace;
use crate::cli::output::{Output, Screen, Stop};
use crate::cli::{ANSWERED, Answer};
use crate::problem::Fault;
use crate::property::Ask;
use crate::quantity::{Unit, parse_amount};
use crate::render::WhyShown;

/// The whole way from the readings of a material to the interval of one property.
pub(super) fn run(
    common: &Common,
    ws: &Workspace,
    material: &str,
    property: &str,
    args: &AskArgs,
    screen: Screen,
) -> Answer {
    let ask = ask(ws, material, property, args)?;
    let text = ws.evidence.why(material, &ask).map(|why| {
        let shown = WhyShown {
            why: &why,
            origin: ws.origin,
        };
        match common.format {
            Format::Text => shown.text(screen.page()),
            Format::Json => shown.json(),
            Format::Markdown => shown.markdown(),
        }
    });
    Ok(Output {
        text: text.unwrap_or_default(),
        bytes: None,
        aside: false,
        warnings: String::new(),
        code: ANSWERED,
        skipped: ws.skipped.clone(),
    })
}

/// The question of the command line.
///
/// # Errors
/// `usage::unknown-property`, `counterface::unknown` and the faults of quantities.
fn ask(ws: &Workspace, material: &str, property: &str, args: &AskArgs) -> Result<Ask, Stop> {
    let properties = ws.evidence.properties();
    let Some(row) = properties.get(property) else {
        return Err(Stop::Usage(Fault::new(
            "usage::unknown-property",
            format!("there is no property `{property}`"),
            meant(property, properties.iter().map(|p| p.id.as_str())),
        )));
    };
    let mut ask = Ask::of(row.id.clone());
    if let Some(t) = &args.at {
        ask.temperature_c = amount(t, "degC", "--at")?;
    }
    ask.lies = args.lies.map(Into::into);
    if let Some(m) = args.moisture {
        ask.moisture = m.into();
    }
    ask.face = args.face.map(Into::into);
    if let Some(s) = &args.on {
        known_surface(s, &ws.surfaces)?;
        ask.counterface = Some(s.clone());
    }
    if let Some(s) = &args.under {
        ask.stress_mpa = Some(above_zero(s, amount(s, "MPa", "--under")?, "--under")?);
    }
    ask.life_h = match &args.after {
        Some(t) => Some(above_zero(t, amount(t, "h", "--after")?, "--after")?),
        None => ws.evidence.longest_life(material, &ask),
    };
    Ok(ask)
}

/// A quantity of the command line; a bare number is in the unit itself where that cannot be mistaken.
pub(super) fn amount(text: &str, unit: &str, option: &str) -> Result<f64, Stop> {
    let parsed = Unit::parse(unit)?;
    let bare = unit == "degC" && text.trim().parse::<f64>().is_ok();
    let text = if bare {
        format!("{} {unit}", text.trim())
    } else {
        text.to_owned()
    };
    Ok(parse_amount(&text, &parsed, option)?)
}

pub(super) fn above_zero(text: &str, x: f64, option: &str) -> Result<f64, Stop> {
    if x > 0.0 {
        Ok(x)
    } else {
        Err(Stop::Usage(Fault::new(
            "usage::not-above-zero",
            format!("`{text}` is not above zero, and `{option}` must be"),
            format!("write for example `{option} 5` with its unit"),
        )))
    }
}
