//! Words from closed lists and ids: checked, with the nearest one as a hint.

use crate::catalog::lines::SURFACES;
use crate::problem::Fault;
use crate::property::{polymers, polymers_called};
use std::collections::BTreeSet;

/// Most names that are all listed.
const MOST: usize = 60;
/// How many are listed where there are more.
const FEW: usize = 20;
/// Most names that may be meant by one word.
const MOST_NEAR: usize = 8;
/// Letters from which a piece of a name tells it.
const SHORTEST_PIECE: usize = 4;

/// The candidate nearest to `word`, if one is near enough to be meant.
pub(crate) fn nearest<'c>(
    word: &str,
    candidates: impl IntoIterator<Item = &'c str>,
) -> Option<&'c str> {
    let lower = word.to_lowercase();
    candidates
        .into_iter()
        .map(|c| (strsim::damerau_levenshtein(&lower, &c.to_lowercase()), c))
        .min_by_key(|(d, _)| *d)
        .filter(|(d, c)| *d <= 1 + word.chars().count().min(c.chars().count()) / 4)
        .map(|(_, c)| c)
}

/// All candidates that are spelt as nearly like `word` as [`nearest`], in their order; none where it is none.
pub(crate) fn all_nearest<'c>(word: &str, all: &[&'c str]) -> Vec<&'c str> {
    let lower = word.to_lowercase();
    let apart = |c: &str| strsim::damerau_levenshtein(&lower, &c.to_lowercase());
    let Some(least) = nearest(word, all.iter().copied()).map(apart) else {
        return Vec::new();
    };
    all.iter().copied().filter(|c| apart(c) == least).collect()
}

/// The candidates that may be meant by `word`: those spelt nearest to it, if near enough; else those
/// that hold it as a piece, or have a piece that is spelt nearly so. None where too many would do.
fn near<'c>(word: &str, all: &[&'c str]) -> Vec<&'c str> {
    let lower = word.to_lowercase();
    let piece = |c: &str| {
        let c = c.to_lowercase();
        let long = lower.chars().count() >= SHORTEST_PIECE;
        let holds = long && c.contains(lower.as_str());
        let held = c.chars().count() >= SHORTEST_PIECE && lower.contains(c.as_str());
        holds || held || (long && nearest(&lower, c.split(['-', '_', '.', '@', ' '])).is_some())
    };
    let mut found = all_nearest(word, all);
    if found.is_empty() {
        found = all.iter().copied().filter(|c| piece(c)).collect();
    }
    if found.len() <= MOST_NEAR {
        found
    } else {
        Vec::new()
    }
}

/// `` `a`, `b` or `c` ``.
pub(crate) fn one_of(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => format!("`{one}`"),
        [head @ .., last] => {
            let head: Vec<String> = head.iter().map(|w| format!("`{w}`")).collect();
            format!("{} or `{last}`", head.join(", "))
        }
    }
}

/// ``write `x` if that is what was meant``, or the list of what is allowed.
pub(crate) fn meant<'c>(word: &str, candidates: impl IntoIterator<Item = &'c str>) -> String {
    let mut seen = BTreeSet::new();
    let all: Vec<&str> = candidates.into_iter().filter(|c| seen.insert(*c)).collect();
    match near(word, &all).as_slice() {
        near @ [_, ..] => format!("write {} if that is what was meant", one_of(near)),
        [] => match all.as_slice() {
            [] => "take it out".to_owned(),
            _ if all.len() <= MOST => format!("write {}", one_of(&all)),
            _ => {
                let head: Vec<String> = all.iter().take(FEW).map(|w| format!("`{w}`")).collect();
                format!(
                    "write {} or one of {} more names",
                    head.join(", "),
                    all.len() - head.len()
                )
            }
        },
    }
}

/// The hint for a polymer that the table does not have: what it is called here, or the nearest id.
pub(crate) fn polymer_meant(word: &str) -> String {
    match polymers_called(word) {
        [] => meant(word, polymers().iter().map(|p| p.id)),
        ids => format!("write {}, as it is called here", one_of(ids)),
    }
}

/// Checks that a surface is built in or one of the workspace's `own`.
///
/// # Errors
/// `counterface::unknown` with the nearest name.
pub(crate) fn known_surface<S: AsRef<str>>(name: &str, own: &[S]) -> Result<(), Fault> {
    let all = || {
        SURFACES
            .iter()
            .copied()
            .chain(own.iter().map(AsRef::as_ref))
    };
    if all().any(|s| s == name) {
        return Ok(());
    }
    Err(Fault::new(
        "counterface::unknown",
        format!("`{name}` is not a surface that is known here"),
        format!(
            "{}, or declare your own in materials.csv with kind `surface`",
            meant(name, all())
        ),
    ))
}

/// Checks an id: `[a-z0-9-]{1,64}`.
///
/// # Errors
/// `id::malformed`, with an id that would do.
pub(crate) fn check_id(id: &str, what: &str) -> Result<(), Fault> {
    let fits = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if !id.is_empty() && id.len() <= 64 && id.chars().all(fits) {
        return Ok(());
    }
    let mut near = String::new();
    for c in id.chars().flat_map(char::to_lowercase) {
        let c = if fits(c) { c } else { '-' };
        if near.len() < 64 && !(c == '-' && (near.is_empty() || near.ends_with('-'))) {
            near.push(c);
        }
    }
    let near = near.trim_end_matches('-');
    Err(Fault::new(
        "id::malformed",
        format!(
            "`{id}` cannot be the id of a {what}: ids have lower-case letters, digits and `-`, at most 64"
        ),
        if near.is_empty() {
            "write an id such as `petg-a`".to_owned()
        } else {
            format!("write `{near}`")
        },
    ))
}
