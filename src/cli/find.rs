//! Finding what was named: workspace, cases, weights, materials; near names for the rest.

use crate::belief::{Evidence, Material, MaterialKind, Stated};
use crate::catalog::{
    Beside, Catalog, Named, Origin, Skipped, Source, Unread, WeightsFile, is_day, json_files,
    load_catalog, load_named_cases, load_weights, meant, one_of, read_case, read_json_text,
    read_weights, shown, skip_bad,
};
use crate::cli::args::{CaseArgs, Common};
use crate::cli::output::Stop;
use crate::describe::{kinds_called, several_parts, unknown_part};
use crate::duty::{Case, PartKind, Preference, part, parts};
use crate::policy::Policy;
use crate::problem::{Fault, Problem, Severity};
use crate::property::{ROOM_C, polymers_called};
use std::path::{Path, PathBuf};

/// A workspace, read and gathered.
pub(super) struct Workspace {
    /// Where it is.
    pub(super) source: Source,
    /// Its evidence.
    pub(super) evidence: Evidence,
    /// Ids of the materials that may be picked, in file order.
    pub(super) candidates: Vec<String>,
    /// Its own surfaces.
    pub(super) surfaces: Vec<String>,
    /// Its policy.
    pub(super) policy: Policy,
    /// Whose figures these are.
    pub(super) origin: Origin,
    /// What its bad lines leave out, where that was asked for.
    pub(super) skipped: Skipped,
}

/// Where the common options say the workspace is.
///
/// # Errors
/// `usage::no-catalog` where there is none, `usage::as-of` for a day that is none.
pub(super) fn source(common: &Common) -> Result<Source, Stop> {
    if let Some(day) = &common.as_of
        && !is_day(day)
    {
        return Err(Stop::Usage(Fault::new(
            "usage::as-of",
            format!("`{day}` is not a day"),
            "write it as `2026-05-31`",
        )));
    }
    if let Some(inside) = inside(common)? {
        return Ok(inside);
    }
    let folder = common.catalog();
    if folder.exists() {
        return Ok(Source::Folder(folder.to_owned()));
    }
    Err(Stop::Usage(Fault::new(
        "usage::no-catalog",
        format!("there is no catalog at `{}`", shown(folder)),
        "name its folder with `--catalog DIR`, or go without one: `--demo` for the demo inside the program, `--handbook` for published ranges of each polymer",
    )))
}

/// The workspace inside the program that was asked for, if one was.
///
/// # Errors
/// `usage::demo-and-catalog` and the like where two sources are named at once.
fn inside(common: &Common) -> Result<Option<Source>, Stop> {
    let two = |code, one: &str, other: &str| {
        Err(Stop::Usage(Fault::new(
            code,
            format!("`{one}` and `{other}` name two sources at once"),
            "leave one of them out",
        )))
    };
    match (common.demo, common.handbook, common.catalog.is_some()) {
        (true, true, _) => two("usage::demo-and-handbook", "--demo", "--handbook"),
        (true, _, true) => two("usage::demo-and-catalog", "--demo", "--catalog"),
        (_, true, true) => two("usage::handbook-and-catalog", "--handbook", "--catalog"),
        (true, false, false) => Ok(Some(Source::Demo)),
        (false, true, false) => Ok(Some(Source::Handbook)),
        (false, false, false | true) => Ok(None),
    }
}

impl Workspace {
    /// Reads the workspace that the common options name.
    ///
    /// # Errors
    /// Its Problems, if any is an error.
    pub(super) fn open(common: &Common) -> Result<Self, Stop> {
        let source = source(common)?;
        let mut catalog = load_catalog(&source, common.as_of.as_deref())?;
        let skipped = if common.skip_bad {
            skip_bad(&mut catalog).map_err(Stop::Problems)?
        } else if has_errors(&catalog.problems) {
            return Err(Stop::Catalog(catalog.problems));
        } else {
            Skipped::default()
        };
        Ok(Workspace {
            skipped,
            ..Workspace::of(source, catalog)
        })
    }

    /// A workspace of a catalog that has been read.
    pub(super) fn of(source: Source, catalog: Catalog) -> Self {
        let candidates = catalog
            .materials
            .iter()
            .filter(|m| m.kind == MaterialKind::Candidate)
            .map(|m| m.id.clone())
            .collect();
        Workspace {
            evidence: catalog.evidence(),
            surfaces: catalog.surfaces(),
            candidates,
            policy: catalog.policy,
            origin: catalog.origin,
            skipped: Skipped::default(),
            source,
        }
    }

    /// What stands beside its cases.
    pub(super) fn beside(&self) -> Beside<'_> {
        Beside {
            policy: &self.policy,
            properties: self.evidence.properties(),
            surfaces: &self.surfaces,
        }
    }

    /// The handbook ranges of a material's polymer as the table holds them, not those carried to
    /// other temperatures; none in any other workspace.
    pub(super) fn ranges(&self, id: &str) -> Vec<&Stated> {
        if self.origin != Origin::Handbook {
            return Vec::new();
        }
        let of = |s: &&Stated| {
            s.polymer.as_deref() == Some(id) && s.condition.temperature_c.total_cmp(&ROOM_C).is_eq()
        };
        self.evidence.stated().iter().filter(of).collect()
    }

    /// A material by its id.
    ///
    /// # Errors
    /// `usage::unknown-material` with the nearest id.
    pub(super) fn material(&self, id: &str) -> Result<String, Stop> {
        if self.candidates.iter().any(|c| c == id) {
            return Ok(id.to_owned());
        }
        let known = self
            .evidence
            .materials()
            .iter()
            .find(|m| m.id == id)
            .map(|_| {
                Fault::new(
                    "usage::not-a-candidate",
                    format!("`{id}` is a reference or a surface, and is never ranked"),
                    meant(id, self.candidates.iter().map(String::as_str)),
                )
            });
        if known.is_none() && self.candidates.is_empty() {
            return Err(Stop::Usage(Fault::new(
                "usage::no-materials",
                format!("there is no material `{id}`, nor any other in this catalog"),
                "add a line to materials.csv for each material that you print",
            )));
        }
        Err(Stop::Usage(known.unwrap_or_else(|| {
            let of = self.of_polymers(polymers_called(id));
            let meant = if of.is_empty() {
                meant(id, self.candidates.iter().map(String::as_str))
            } else {
                format!("write {}", one_of(&of))
            };
            let place = if self.origin == Origin::Handbook {
                "the handbook"
            } else {
                "this catalog"
            };
            Fault::new(
                "usage::unknown-material",
                format!("there is no material `{id}` in {place}"),
                meant,
            )
        })))
    }

    /// The candidates that hold one of some polymers.
    fn of_polymers(&self, polymers: &[&str]) -> Vec<&str> {
        let holds = |m: &&Material| m.polymers.iter().any(|p| polymers.contains(&p.as_str()));
        let all = self.evidence.materials().iter();
        all.filter(|m| m.kind == MaterialKind::Candidate)
            .filter(holds)
            .map(|m| m.id.as_str())
            .collect()
    }
}

/// Whether any Problem is an error.
pub(super) fn has_errors(problems: &[Problem]) -> bool {
    problems.iter().any(|p| p.severity == Severity::Error)
}

/// The word for prices that a workspace has chosen; empty where it has chosen none.
pub(super) fn currency(policy: &Policy) -> &str {
    if policy.currency == Policy::default().currency {
        ""
    } else {
        &policy.currency
    }
}

/// The part kind of a name, or of plain words that mean one kind alone.
///
/// # Errors
/// `usage::unknown-part` with the nearest, `usage::several-parts` where words mean several.
pub(super) fn kind_called(name: &str) -> Result<&'static PartKind, Stop> {
    if let Some(kind) = part(name) {
        return Ok(kind);
    }
    match kinds_called(name).as_slice() {
        [one] => Ok(one),
        [] => Err(Stop::Usage(unknown_part(name))),
        several => Err(Stop::Usage(several_parts(name, several))),
    }
}

/// A case that was found by what it was called.
pub(super) struct Found {
    /// What it was called.
    pub(super) name: String,
    /// File, for the places of its faults.
    pub(super) file: String,
    /// Whether it is a part kind's worked example.
    pub(super) example: bool,
    /// The case, or what is wrong with it.
    pub(super) case: Result<Case, Vec<Problem>>,
}

/// The one case that was asked for.
///
/// # Errors
/// `usage::unknown-case` with the nearest name; the Problems of the case.
pub(super) fn one_case(ws: &Workspace, args: &CaseArgs) -> Result<(Found, Case), Stop> {
    let mut found = find_case(ws, &args.case, &args.sets)?;
    let case = std::mem::replace(&mut found.case, Err(Vec::new()));
    Ok((found, case.map_err(Stop::Problems)?))
}

/// Every case of a folder, if that is what was named.
///
/// # Errors
/// A folder that cannot be listed, or that holds no case.
pub(super) fn folder(ws: &Workspace, args: &CaseArgs) -> Result<Option<Vec<Found>>, Stop> {
    let path = Path::new(&args.case);
    if !path.is_dir() {
        return Ok(None);
    }
    let files = json_files(path)?;
    if files.is_empty() {
        return Err(Stop::Usage(Fault::new(
            "usage::no-cases",
            format!("there is no case in the folder `{}`", shown(path)),
            "name a folder with case files (`*.json`)",
        )));
    }
    // One file that cannot be read keeps no answer from the others.
    let read = |f: &PathBuf| {
        let text = read_json_text(f).map_err(Unread::into_problems);
        found(f, text, &args.sets, ws.beside())
    };
    Ok(Some(files.iter().map(read).collect()))
}

fn find_case(ws: &Workspace, name: &str, sets: &[(String, String)]) -> Result<Found, Stop> {
    let saved = load_named_cases(&ws.source, ws.beside())?;
    if let Some(n) = saved.iter().find(|n| n.name == name) {
        if let Some(f) = &n.fault {
            return Err(Stop::File(f.clone()));
        }
        return Ok(Found {
            name: n.name.clone(),
            file: n.file.clone(),
            example: false,
            case: if n.text.is_empty() {
                Err(n.problems.clone())
            } else {
                read_case(&n.file, &n.text, sets, ws.beside())
            },
        });
    }
    if let Some(kind) = part(name) {
        let file = format!("worked example of {name}");
        return Ok(Found {
            name: name.to_owned(),
            case: read_case(&file, kind.example, sets, ws.beside()),
            file,
            example: true,
        });
    }
    if Path::new(name).is_dir() {
        return Err(Stop::Usage(Fault::new(
            "usage::one-case",
            format!("`{name}` is a folder, and `check` takes one case"),
            "name a case in it, or hold all of them against the materials with `dutyfit shortlist`",
        )));
    }
    if is_path(name) {
        return read_path(Path::new(name), sets, ws.beside());
    }
    if ws.candidates.iter().any(|c| c == name) {
        return Err(Stop::Usage(Fault::new(
            "usage::unknown-case",
            format!("`{name}` is a material, and a case is asked for first"),
            "name a case file, a saved case or a part kind, and then the material",
        )));
    }
    let known = saved
        .iter()
        .map(|n| n.name.as_str())
        .chain(parts().iter().map(|p| p.id));
    Err(Stop::Usage(Fault::new(
        "usage::unknown-case",
        format!("`{name}` is no case file, no saved case and no part kind"),
        meant(name, known),
    )))
}

fn read_path(path: &Path, sets: &[(String, String)], beside: Beside<'_>) -> Result<Found, Stop> {
    let text = match read_json_text(path) {
        Ok(text) => Ok(text),
        Err(Unread::Problems(p)) => Err(p),
        Err(Unread::Fault(f)) => return Err(Stop::File(f)),
    };
    Ok(found(path, text, sets, beside))
}

/// The case of a file's text, or what is wrong with it.
fn found(
    path: &Path,
    text: Result<String, Vec<Problem>>,
    sets: &[(String, String)],
    beside: Beside<'_>,
) -> Found {
    let file = shown(path);
    Found {
        name: path
            .file_stem()
            .map_or_else(|| file.clone(), |s| s.to_string_lossy().into_owned()),
        case: text.and_then(|t| read_case(&file, &t, sets, beside)),
        file,
        example: false,
    }
}

fn is_path(name: &str) -> bool {
    name.contains(['/', '\\'])
        || Path::new(name).extension().is_some_and(|e| e == "json")
        || Path::new(name).exists()
}

/// The weights that hold for a case, and where they come from in words:
/// `--weights` beats the case, the case beats the part's default.
///
/// # Errors
/// `usage::unknown-weights` with the nearest name; the Problems of the file.
pub(super) fn weights(
    ws: &Workspace,
    common: &Common,
    case: &Case,
    default: Option<&Preference>,
) -> Result<(Preference, String), Stop> {
    if let Some(name) = &common.weights {
        let file = find_weights(ws, name)?;
        if let Some(bound) = &file.part
            && bound != case.part.kind()
        {
            return Err(Stop::Usage(Fault::new(
                "usage::weights-part",
                format!(
                    "the weights `{name}` are for the swings of {bound}, and this case is a {}",
                    case.part.kind()
                ),
                "name other weights, or leave `part` out of the file",
            )));
        }
        let title = if file.title.is_empty() {
            name.clone()
        } else {
            file.title
        };
        return Ok((file.preference, title));
    }
    if let Some(p) = &case.preference {
        return Ok((p.clone(), "of the case".to_owned()));
    }
    Ok((
        default
            .cloned()
            .unwrap_or_else(|| Preference::Order(Vec::new())),
        "default of the part".to_owned(),
    ))
}

fn find_weights(ws: &Workspace, name: &str) -> Result<WeightsFile, Stop> {
    let saved: Vec<Named<WeightsFile>> = load_weights(&ws.source)?;
    if let Some(n) = saved.iter().position(|n| n.name == name) {
        let found = saved.into_iter().nth(n);
        return match found {
            Some(Named {
                content: Some(w), ..
            }) => Ok(w),
            Some(Named { fault: Some(f), .. }) => Err(Stop::File(f)),
            Some(n) => Err(Stop::Problems(n.problems)),
            None => Err(Stop::Problems(Vec::new())),
        };
    }
    if is_path(name) {
        let path = Path::new(name);
        let text = read_json_text(path)?;
        return read_weights(&shown(path), &text).map_err(Stop::Problems);
    }
    Err(Stop::Usage(Fault::new(
        "usage::unknown-weights",
        format!("`{name}` is no weights file and no saved weights"),
        meant(name, saved.iter().map(|n| n.name.as_str())),
    )))
}
