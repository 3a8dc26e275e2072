//! The questions that are the same for every part: where it is used, how long, what if it fails.
//!
//! One row an entry. What answers an entry takes is read from the schema of a case file, so that a
//! new entry of a case is one row here; a test holds the rows against that schema.

use crate::catalog::{CaseJson, SURFACES};
use crate::describe::question::{Choice, Section, Takes};
use crate::describe::schema::{entries, resolved};
use crate::duty::{LiesOnBed, PartKind};
use serde_json::Value;

/// One entry of a case that every part has.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    /// Where it stands in the case file.
    pub(super) key: &'static str,
    /// Where in the dialogue.
    pub(super) section: Section,
    /// The question.
    pub(super) ask: &'static str,
    /// Why it is asked and what it decides.
    pub(super) why: &'static str,
    /// An answer that would do.
    pub(super) example: &'static str,
    /// What the case file is taken to say without it; empty where that is nothing.
    pub(super) default: &'static str,
}

use Section::{Harm, Use};

/// The rows, in the order of asking.
pub(super) const ROWS: &[Row] = &[
    Row {
        key: "surroundings.temperature",
        section: Use,
        ask: "How cold and how warm does it get in use?",
        why: "plastics soften and creep in the heat and turn brittle in the cold: every limit is judged at both ends",
        example: "-10..45 degC",
        default: "23 degC",
    },
    Row {
        key: "surroundings.storage",
        section: Use,
        ask: "How cold and how warm does it get in storage or transport, where that goes further?",
        why: "a part that is not loaded there must still not soften: a car in the sun reaches 80 degC",
        example: "60 degC",
        default: "",
    },
    Row {
        key: "surroundings.moisture",
        section: Use,
        ask: "How moist is it?",
        why: "some polymers take up water and lose stiffness and strength: only readings taken that moist count",
        example: "room",
        default: "room",
    },
    Row {
        key: "surroundings.counterface",
        section: Use,
        ask: "What does it stand, slide or rub on?",
        why: "friction and wear belong to a pair: only readings on this surface count",
        example: "steel-smooth",
        default: "",
    },
    Row {
        key: "surroundings.sun",
        section: Use,
        ask: "How much sun does it get?",
        why: "sunlight makes some polymers brittle in a season",
        example: "outdoors",
        default: "none",
    },
    Row {
        key: "surroundings.place",
        section: Use,
        ask: "Is it indoors or outdoors?",
        why: "weather wets and dries, heats and freezes what stands outdoors, even where no sun reaches it",
        example: "outdoors",
        default: "outdoors where the sun is, else indoors",
    },
    Row {
        key: "surroundings.chemicals",
        section: Use,
        ask: "Which oils, fuels, cleaners or other chemicals touch it? Part them by commas, or `none`.",
        why: "some crack or swell some polymers, and no bench test here shows it",
        example: "grease, dish soap",
        default: "none",
    },
    Row {
        key: "life",
        section: Use,
        ask: "How long must it last?",
        why: "what is under load all the time creeps, and goes on creeping for years",
        example: "5 year",
        default: "1 year",
    },
    Row {
        key: "cycles",
        section: Use,
        ask: "How often does the load come and go in that life?",
        why: "a load that comes back often breaks what would have carried it once",
        example: "2000",
        default: "",
    },
    Row {
        key: "lies",
        section: Use,
        ask: "How will it lie on the bed when it is printed?",
        why: "prints are weaker across their layers than in their plane",
        example: "flat",
        default: "open",
    },
    Row {
        key: "harm.hurts",
        section: Harm,
        ask: "Who could be hurt if it fails?",
        why: "where somebody could be hurt the factor on loads is higher, more specimens are asked, and the chance must be better",
        example: "nobody",
        default: "nobody",
    },
    Row {
        key: "harm.damages",
        section: Harm,
        ask: "What could be damaged if it fails?",
        why: "answers repeat it, and its words count for cautions",
        example: "a pane of glass",
        default: "",
    },
    Row {
        key: "harm.replaceable",
        section: Harm,
        ask: "Can it be replaced?",
        why: "what nobody can reach has to be right the first time",
        example: "yes",
        default: "yes",
    },
    Row {
        key: "harm.inspected",
        section: Harm,
        ask: "Can somebody look at it in use, and see cracks, sag or wear in time?",
        why: "a hidden part that goes slowly fails without a warning",
        example: "yes",
        default: "yes",
    },
    Row {
        key: "class",
        section: Harm,
        ask: "How bad is a failure? Left out, the part kind's own class holds; who is hurt can only raise it.",
        why: "decides the factor on loads, the chance that is asked, and how many specimens an answer must rest on",
        example: "damage",
        default: "",
    },
    Row {
        key: "note",
        section: Harm,
        ask: "Anything else that whoever reads the case should know?",
        why: "it is kept in the case, and its words count for cautions",
        example: "two of them share the load",
        default: "",
    },
];

/// What an entry of every case takes, by its key.
pub(super) fn takes(key: &str, kind: &PartKind, own_surfaces: &[String]) -> Takes {
    match key {
        "surroundings.counterface" => {
            let all = SURFACES.iter().copied();
            let own = own_surfaces.iter().map(String::as_str);
            return Takes::Word(all.chain(own).map(|w| choice(w, "")).collect());
        }
        "lies" => return Takes::Word(lying(kind)),
        _ => {}
    }
    let schema = schemars::schema_for!(CaseJson).to_value();
    let mut object = &schema;
    let mut name = key;
    if let Some((home, inside)) = key.split_once('.') {
        let about = schema.pointer(&format!("/properties/{home}"));
        object = about.map_or(&schema, |a| resolved(&schema, a));
        name = inside;
    }
    entries(&schema, object)
        .into_iter()
        .find(|e| e.name == name)
        .and_then(|e| e.takes)
        .unwrap_or(Takes::Text)
}

fn choice(word: &str, what: &str) -> Choice {
    Choice {
        word: word.to_owned(),
        what: what.to_owned(),
    }
}

/// The ways to lie on the bed, as the part kind tells them.
fn lying(kind: &PartKind) -> Vec<Choice> {
    let general = [
        "On its largest face.",
        "On an edge.",
        "Standing.",
        "Not decided.",
    ];
    let [flat, edge, upright, open] = match kind.lying {
        Some(l) => [
            l.flat.to_owned(),
            l.edge.to_owned(),
            l.upright.to_owned(),
            format!("not decided; taken as {}", lies_word(l.open)),
        ],
        None => general.map(str::to_owned),
    };
    [
        ("flat", flat),
        ("edge", edge),
        ("upright", upright),
        ("open", open),
    ]
    .into_iter()
    .map(|(word, what)| choice(word, &what))
    .collect()
}

/// The word of a way to lie on the bed.
fn lies_word(lies: LiesOnBed) -> &'static str {
    match lies {
        LiesOnBed::Flat => "flat",
        LiesOnBed::Edge => "edge",
        LiesOnBed::Upright => "upright",
        LiesOnBed::Open => "open",
    }
}

/// The row of a key.
pub(super) fn row(key: &str) -> Option<&'static Row> {
    ROWS.iter().find(|r| r.key == key)
}

/// The value that a row's default stands for, as the file would hold it.
pub(super) fn default_value(row: &Row, takes: &Takes) -> Option<Value> {
    // A default that hangs on other answers is no value of its own.
    let words = row.default.contains(' ') && matches!(takes, Takes::Word(_));
    if row.default.is_empty() || words || row.default == "none" && *takes == Takes::List {
        return None;
    }
    Some(match takes {
        Takes::YesNo => (row.default == "yes").into(),
        _ => row.default.into(),
    })
}
