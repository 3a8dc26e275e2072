//! Words from closed lists and ids: checked, with the nearest one as a hint.

use crate::catalog::lines::SURFACES;
use crate::problem::Fault;

/// Most names that are all listed.
const MOST: usize = 60;
/// How many are listed where there are more.
const FEW: usize = 20;

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

/// ``write `x` if that is what was meant``, or the list of what is allowed.
pub(crate) fn meant<'c>(word: &str, candidates: impl IntoIterator<Item = &'c str>) -> String {
    let all: Vec<&str> = candidates.into_iter().collect();
    match nearest(word, all.iter().copied()) {
        Some(n) => format!("write `{n}` if that is what was meant"),
        None => match all.as_slice() {
            [] => "take it out".to_owned(),
            [one] => format!("write `{one}`"),
            [head @ .., last] if all.len() <= MOST => {
                let head: Vec<String> = head.iter().map(|w| format!("`{w}`")).collect();
                format!("write {} or `{last}`", head.join(", "))
            }
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
