//! Finding the part kind by its name, a near one, or plain words for what the part is.

use crate::catalog::{all_nearest, meant, one_of};
use crate::describe::question::Choice;
use crate::duty::{PartKind, parts};
use crate::problem::Fault;

/// What people call a part of each kind, beside its id and its title.
const CALLED: &[(&str, &[&str])] = &[
    (
        "bolt-washer",
        &[
            "washer",
            "spacer",
            "shim",
            "bolt",
            "screw",
            "nut",
            "joint",
            "standoff",
            "trellis",
            "distance piece",
        ],
    ),
    (
        "cantilever-bracket",
        &[
            "bracket",
            "hook",
            "wall hook",
            "shelf",
            "hanger",
            "holder",
            "peg",
            "arm",
            "coat hook",
            "support arm",
            "console",
        ],
    ),
    (
        "clip",
        &[
            "spring clip",
            "clamp",
            "holder clip",
            "pipe clip",
            "cable clip",
            "peg",
            "cloche clip",
            "clothes peg",
        ],
    ),
    (
        "handle-sleeve",
        &[
            "grip",
            "sleeve",
            "handle",
            "handle sleeve",
            "bar end",
            "hand grip",
            "tube cover",
        ],
    ),
    (
        "impact-guard",
        &[
            "guard",
            "bumper",
            "shield",
            "buffer",
            "impact",
            "stone guard",
            "corner guard",
            "knock",
            "blow",
        ],
    ),
    (
        "knob",
        &[
            "hand wheel",
            "handwheel",
            "knob",
            "star grip",
            "dial",
            "crank",
            "wing nut",
        ],
    ),
    (
        "living-hinge",
        &["hinge", "film hinge", "lid", "flap", "fold"],
    ),
    (
        "plain",
        &["other", "anything", "something else", "label", "sign"],
    ),
    (
        "plain-bushing",
        &[
            "bush",
            "bushing",
            "bearing",
            "journal",
            "shaft",
            "sleeve bearing",
            "pivot",
            "axle",
        ],
    ),
    (
        "protective-cap",
        &[
            "cap", "end cap", "tube cap", "cover", "lid", "plug", "bung", "foot cap", "ferrule",
        ],
    ),
    (
        "seal-ring",
        &[
            "seal",
            "gasket",
            "o-ring",
            "oring",
            "o ring",
            "washer for a tap",
            "hose washer",
            "packing",
            "flat gasket",
        ],
    ),
    (
        "sliding-pad",
        &[
            "slide", "slider", "glide", "runner", "pad", "wear pad", "rail", "skid", "drawer",
        ],
    ),
    (
        "small-gear",
        &[
            "gear",
            "pinion",
            "cog",
            "sprocket",
            "toothed wheel",
            "gearwheel",
        ],
    ),
    (
        "snap-hook",
        &[
            "snap", "hook", "snap fit", "latch", "catch", "buckle", "snap-fit", "click",
        ],
    ),
    (
        "strap",
        &[
            "band",
            "ring",
            "belt",
            "tie",
            "loop",
            "rubber band",
            "plant tie",
            "strap",
        ],
    ),
    (
        "support-foot",
        &[
            "foot",
            "feet",
            "leg",
            "rubber foot",
            "furniture foot",
            "stand",
            "doorstop",
            "door wedge",
            "wedge",
        ],
    ),
    (
        "tool-handle",
        &[
            "handle",
            "hand tool",
            "file handle",
            "trowel",
            "lever",
            "rigid handle",
            "haft",
            "stick",
        ],
    ),
    (
        "vibration-pad",
        &[
            "mount",
            "damper",
            "isolator",
            "anti-vibration",
            "machine foot",
            "vibration",
            "silent block",
            "pad under a machine",
        ],
    ),
    (
        "wheel-tyre",
        &[
            "wheel",
            "tyre",
            "tire",
            "roller",
            "castor",
            "caster",
            "trolley wheel",
        ],
    ),
];

/// Every part kind as a choice.
pub(super) fn choices() -> Vec<Choice> {
    parts()
        .iter()
        .map(|p| Choice {
            word: p.id.to_owned(),
            what: p.title.to_owned(),
        })
        .collect()
}

/// The part kinds that a text may mean, the likeliest first: the one of that name; else those that
/// are called so; else those of which a word of the text speaks; none where it speaks of none.
pub fn kinds_called(text: &str) -> Vec<&'static PartKind> {
    let said = tokens(text);
    if said.is_empty() {
        return Vec::new();
    }
    if let Some(kind) = parts().iter().find(|p| tokens(p.id) == said) {
        return vec![kind];
    }
    let whole = ranked(|called| u32::from(called.iter().any(|c| singular(c) == said)) * 100);
    if !whole.is_empty() {
        return whole;
    }
    // An id typed wrong is one word, and its pieces mean nothing by themselves.
    if !text.trim().contains(' ') {
        return Vec::new();
    }
    ranked(|called| {
        let hits = called.iter().filter(|c| {
            let c = singular(c);
            said.windows(c.len()).any(|w| w == c.as_slice())
        });
        hits.map(|c| u32::try_from(c.len()).unwrap_or(1))
            .max()
            .unwrap_or(0)
    })
}

/// The part kinds whose name, or what such a part is called, is nearest to a text: all that are as
/// near; none where none is near enough to be meant.
pub fn kinds_near(text: &str) -> Vec<&'static PartKind> {
    let names: Vec<&str> = parts().iter().flat_map(called).collect();
    let near = all_nearest(text, &names);
    parts()
        .iter()
        .filter(|p| called(p).iter().any(|c| near.contains(c)))
        .collect()
}

/// What somebody is told who named no part that is known.
pub(crate) fn unknown_part(text: &str) -> Fault {
    let ids = || parts().iter().map(|p| p.id);
    let near: Vec<&str> = kinds_near(text).iter().map(|k| k.id).collect();
    Fault::new(
        "usage::unknown-part",
        format!("there is no part kind `{text}`"),
        if near.is_empty() {
            meant(text, ids())
        } else {
            format!("write {} if that is what was meant", one_of(&near))
        },
    )
}

/// What somebody is told whose words may mean several parts.
pub(crate) fn several_parts(text: &str, kinds: &[&PartKind]) -> Fault {
    let ids: Vec<String> = kinds.iter().map(|k| format!("`{}`", k.id)).collect();
    Fault::new(
        "usage::several-parts",
        format!("`{text}` may be several part kinds"),
        format!("write {}; `plain` takes anything else", ids.join(" or ")),
    )
}

/// Part kinds with a rank above 0, the highest first.
fn ranked(rank: impl Fn(&[Vec<String>]) -> u32) -> Vec<&'static PartKind> {
    let mut all: Vec<(u32, &'static PartKind)> = parts()
        .iter()
        .map(|p| {
            let called: Vec<Vec<String>> = called(p).into_iter().map(tokens).collect();
            (rank(&called), p)
        })
        .filter(|(r, _)| *r > 0)
        .collect();
    all.sort_by_key(|(r, _)| std::cmp::Reverse(*r));
    all.into_iter().map(|(_, p)| p).collect()
}

fn called(kind: &PartKind) -> Vec<&'static str> {
    let own = CALLED.iter().find(|(id, _)| *id == kind.id);
    std::iter::once(kind.id)
        .chain(own.into_iter().flat_map(|(_, c)| c.iter().copied()))
        .collect()
}

/// Words in lower case, without a plural's ending.
fn tokens(text: &str) -> Vec<String> {
    let words: Vec<String> = text
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty() && !["a", "an", "the"].contains(w))
        .map(str::to_lowercase)
        .collect();
    singular(&words)
}

fn singular(words: &[String]) -> Vec<String> {
    words
        .iter()
        .map(|w| match w.strip_suffix('s') {
            Some(one) if one.len() > 2 && !one.ends_with('s') => one.to_owned(),
            _ => w.clone(),
        })
        .collect()
}
