//! `dutyfit sheet`.

use crate::advise::summary::{
    Choice, Group, Listed, Preset, Subject, Table, choose, preset, presets, summarise,
};
use crate::catalog::{Origin, Skipped, known_surface, meant};
use crate::cli::Answer;
use crate::cli::args::{Common, SheetArgs, Written};
use crate::cli::find::{self, Workspace};
use crate::cli::output::{Output, Screen, Stop};
use crate::problem::Fault;
use crate::property::{Ask, Direction, Face, Moisture, polymer, polymers};
use crate::quantity::{Unit, parse_amount};
use crate::render::{self, SummarySheet};

/// The preset that is laid out as a block.
const POST: &str = "post";

pub(super) fn run(common: &Common, args: &SheetArgs, screen: Screen) -> Answer {
    let ws = Workspace::open(common)?;
    let choice = choice(&ws, args)?;
    let chosen = choose(&ws.evidence, &choice);
    if chosen.materials.is_empty() {
        return Err(Stop::Usage(if ws.candidates.is_empty() {
            Fault::new(
                "usage::no-materials",
                "there is no material in this catalog yet",
                "add a line to materials.csv for each material that you print",
            )
        } else {
            Fault::new(
                "usage::nothing-to-show",
                "no material is left to show",
                "widen the selection, or take something out of `--without`",
            )
        }));
    }
    let preset = named_preset(args)?;
    let life_h = args.life.as_deref().map(life).transpose()?;
    let column = |text: &str| -> Result<Subject, Stop> {
        Ok(subject(&ws, text)?.settled(&ws.evidence, life_h))
    };
    let written: Vec<&str> = if args.columns.is_empty() {
        preset.columns.to_vec()
    } else {
        args.columns.iter().map(String::as_str).collect()
    };
    let mut columns: Vec<Subject> = Vec::new();
    for text in written {
        let subject = column(text)?;
        // One that is named twice stands once.
        if !columns.contains(&subject) {
            columns.push(subject);
        }
    }
    let by = args.by.as_deref().map(column).transpose()?;
    let summary = summarise(
        &ws.evidence,
        &Table {
            materials: &chosen.materials,
            columns: &columns,
            by: by.as_ref().map(|s| (s, args.reverse)),
            borrowed: args.borrowed || ws.origin == Origin::Handbook,
        },
    );
    let by = by.map(|s| s.described(&ws.evidence));
    let sheet = SummarySheet {
        summary: &summary,
        choice: &choice,
        chosen: &chosen,
        by: by.as_ref().map(|c| (c, args.reverse)),
        preset: args.columns.is_empty().then_some(preset.name),
        counts: args.counts,
        as_of: common.as_of.as_deref(),
        properties: ws.evidence.properties(),
        currency: find::currency(&ws.policy),
        origin: ws.origin,
    };
    let text = match common.written {
        Written::Csv => sheet.csv(),
        Written::Json => sheet.json(),
        Written::Text | Written::Markdown if preset.name == POST => sheet.post(),
        Written::Text => sheet.text(screen.page()),
        Written::Markdown => sheet.markdown(),
    };
    // Words above it would make CSV none.
    let (skipped, warnings) = match common.written {
        Written::Csv if !ws.skipped.is_empty() => (
            Skipped::default(),
            render::skipped(&ws.skipped, screen.page()),
        ),
        _ => (ws.skipped.clone(), String::new()),
    };
    Ok(Output {
        text,
        skipped,
        warnings,
        ..Output::default()
    })
}

fn choice(ws: &Workspace, args: &SheetArgs) -> Result<Choice, Stop> {
    let mut choice = Choice::default();
    for word in &args.which {
        match Group::from_word(word) {
            Some(g) => choice.groups.push(g),
            None => choice.named.push(material(ws, word)?),
        }
    }
    for id in &args.among {
        choice.named.push(material(ws, id)?);
    }
    for id in &args.without {
        choice.without.push(material(ws, id)?);
    }
    for id in &args.polymer {
        choice.polymers.push(polymer_named(id)?);
    }
    Ok(choice)
}

/// A material of any kind.
fn material(ws: &Workspace, id: &str) -> Result<String, Stop> {
    if ws.evidence.materials().iter().any(|m| m.id == id) {
        return Ok(id.to_owned());
    }
    if polymer(id).is_some() {
        return Err(Stop::Usage(Fault::new(
            "usage::unknown-material",
            format!("there is no material `{id}` in this catalog, but a polymer has that name"),
            format!("write `--polymer {id}` for all materials of that polymer"),
        )));
    }
    ws.material(id)
}

fn polymer_named(id: &str) -> Result<String, Stop> {
    for part in id.split('+').map(str::trim) {
        if part != "other" && polymer(part).is_none() {
            return Err(Stop::Usage(Fault::new(
                "usage::unknown-polymer",
                format!("`{part}` is not a polymer of the table"),
                meant(part, polymers().iter().map(|p| p.id).chain(["other"])),
            )));
        }
    }
    Ok(id.to_owned())
}

fn named_preset(args: &SheetArgs) -> Result<&'static Preset, Stop> {
    let name = args.preset.as_deref().unwrap_or("summary");
    preset(name).ok_or_else(|| {
        Stop::Usage(Fault::new(
            "usage::unknown-preset",
            format!("there is no preset `{name}`"),
            meant(name, presets().iter().map(|p| p.name)),
        ))
    })
}

fn life(text: &str) -> Result<f64, Stop> {
    let h = parse_amount(text, &Unit::parse("h")?, "--life")?;
    if h > 0.0 {
        return Ok(h);
    }
    Err(Stop::Usage(Fault::new(
        "usage::not-above-zero",
        format!("`{text}` is not above zero, and `--life` must be"),
        "write for example `--life \"5 year\"`",
    )))
}

/// A column as it is written: a property with conditions after strokes, or a column of materials.csv.
fn subject(ws: &Workspace, text: &str) -> Result<Subject, Stop> {
    let mut parts = text.split('/').map(str::trim);
    let name = parts.next().unwrap_or_default();
    let properties = ws.evidence.properties();
    let Some(row) = properties.get(name) else {
        if let (Some(listed), None) = (Listed::from_word(name), parts.next()) {
            return Ok(Subject::Listed(listed));
        }
        let fields: Vec<&str> = Listed::words().collect();
        let known = fields
            .iter()
            .copied()
            .chain(properties.iter().map(|p| p.id.as_str()));
        return Err(Stop::Usage(Fault::new(
            "usage::unknown-column",
            format!("there is no column `{name}`"),
            meant(name, known),
        )));
    };
    let mut ask = Ask::of(row.id.clone());
    for part in parts {
        condition(ws, &mut ask, text, part)?;
    }
    let refused = |what: &str| {
        Stop::Usage(Fault::new(
            "usage::column-condition",
            format!("`{text}` names a {what}, and {} has none", row.title),
            format!("write `{}` without it", row.id),
        ))
    };
    match () {
        () if ask.lies.is_some() && row.direction.is_none() => Err(refused("direction")),
        () if ask.counterface.is_some() && !row.by_counterface => Err(refused("surface")),
        () if ask.face.is_some() && !row.by_face => Err(refused("face")),
        () => Ok(Subject::Property(ask)),
    }
}

/// One condition of a column.
fn condition(ws: &Workspace, ask: &mut Ask, column: &str, part: &str) -> Result<(), Stop> {
    if let Some(d) = Direction::from_word(part) {
        ask.lies = Some(d.lies());
    } else if let Some(f) = Face::from_word(part) {
        ask.face = Some(f);
    } else if let Some(m) = Moisture::from_word(part) {
        ask.moisture = m;
    } else if known_surface(part, &ws.surfaces).is_ok() {
        ask.counterface = Some(part.to_owned());
    } else if let Some(t) = amount(part, "degC")? {
        ask.temperature_c = t;
    } else if let Some(h) = amount(part, "h")?.filter(|h| *h > 0.0) {
        ask.life_h = Some(h);
    } else if let Some(s) = amount(part, "MPa")?.filter(|s| *s > 0.0) {
        ask.stress_mpa = Some(s);
    } else {
        return Err(Stop::Usage(Fault::new(
            "usage::column-condition",
            format!("`{part}` in the column `{column}` is no condition that is known here"),
            "write a direction (`flat`, `across`), a face (`top`, `bottom`, `side`), a moisture (`dried`, `room`, `wet`), a surface such as `steel-smooth`, a temperature such as `60degC`, a life such as `5year` or a stress such as `2MPa`",
        )));
    }
    Ok(())
}

/// A quantity, if the text is one of that unit's kind.
fn amount(text: &str, unit: &str) -> Result<Option<f64>, Stop> {
    let unit = Unit::parse(unit)?;
    Ok(parse_amount(text, &unit, "column").ok())
}
