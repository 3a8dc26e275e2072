//! A workspace's files to one catalog.

mod fill;

use self::fill::{fill_densities, fill_hammers};
use crate::belief::{Material, MaterialKind};
use crate::bench::{self, BenchTest, Run};
use crate::catalog::csv_text::{CsvText, KeptCsv, LineAt};
use crate::catalog::lines::{Known, ReadRun, read_lines};
use crate::catalog::materials::read_materials;
use crate::catalog::own::read_own;
use crate::catalog::prints::read_prints;
use crate::catalog::rigs::{Rigs, read_rigs};
use crate::catalog::source::{LARGEST_CSV, LARGEST_JSON, Unread};
use crate::catalog::stated::{Referred, read_stated};
use crate::catalog::text::json_text;
use crate::catalog::words::meant;
use crate::catalog::{Catalog, FileFault, Source, read_policy};
use crate::policy::Policy;
use crate::problem::{Fault, Place, Problem, Severity};
use crate::property::{Properties, Property};
use std::borrow::Cow;
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

/// The tables beside the readings.
const TABLES: &[&str] = &[
    "materials.csv",
    "prints.csv",
    "stated.csv",
    "rigs.csv",
    "properties.csv",
];

/// Loads a catalog; `as_of` (ISO date) leaves out later lines and set-aside entries.
///
/// Lines that are wrong are left out of the catalog and stand in its Problems.
///
/// # Errors
/// [`FileFault`] where a file cannot be read at all, and where materials.csv is missing.
pub fn load_catalog(source: &Source, as_of: Option<&str>) -> Result<Catalog, FileFault> {
    load(source, as_of, &|_| None)
}

/// The catalog after some files of readings changed (`catalog/readings/tensile.csv`): only they
/// and the tables are read again, and what the others gave is taken from `before`, which was
/// loaded from the same source without a date.
///
/// # Errors
/// As [`load_catalog`].
pub(crate) fn load_changed(
    source: &Source,
    before: &Catalog,
    changed: &BTreeSet<&str>,
) -> Result<Catalog, FileFault> {
    load(source, None, &|path| {
        (!changed.contains(path)).then_some(before)
    })
}

/// Loads a catalog; `kept` gives the one that holds a readings file as it is.
fn load<'k>(
    source: &Source,
    as_of: Option<&str>,
    kept: &dyn Fn(&str) -> Option<&'k Catalog>,
) -> Result<Catalog, FileFault> {
    let mut loader = Loader {
        source,
        problems: Vec::new(),
    };
    if !source.is_there() {
        let at = Place::file(source.shown("catalog/").trim_end_matches('/'));
        return Ok(Catalog {
            problems: vec![
                Fault::new(
                    "catalog::none",
                    "there is no catalog here",
                    "name its folder with `--catalog DIR`, or use the demo inside the program with `--demo`",
                )
                .at(at),
            ],
            ..Catalog::default()
        });
    }
    let _held = source.hold()?;
    loader.check_names()?;
    let policy = loader.policy()?;
    let mut material_lines = HashMap::new();
    let materials = loader.materials(&mut material_lines)?;
    let (own, _) = split(loader.table("properties.csv", read_own)?);
    let properties = Properties::with_own(&own);
    let ids: BTreeSet<&str> = material_lines.keys().map(String::as_str).collect();
    let references = of_kind(&materials, MaterialKind::Reference);
    let surfaces = of_kind(&materials, MaterialKind::Surface);
    let mut print_lines = HashMap::new();
    let (prints, print_places) = split(loader.table("prints.csv", |f, b| {
        read_prints(f, b, &ids, &mut print_lines)
    })?);
    let referred = Referred {
        materials: &ids,
        surfaces: &surfaces,
        properties: &properties,
        as_of,
    };
    let (stated, stated_places) =
        split(loader.table("stated.csv", |f, b| read_stated(f, b, &referred))?);
    let rigs = loader.rigs()?;
    let tables = Tables {
        ids,
        references,
        surfaces,
        prints: prints
            .iter()
            .map(|p| (p.id.as_str(), (p.material.as_str(), p.lot.as_deref())))
            .collect(),
        print_lines,
        rigs,
        own: properties.own().collect(),
    };
    let (mut runs, run_places) = loader.readings(&tables, as_of, kept)?;
    fill_hammers(&mut runs, &tables.rigs, as_of);
    fill_densities(&mut runs, &stated, &materials, &properties);
    let spoilt_rigs = tables.rigs.spoilt().clone();
    let (materials, material_places) = split(materials);
    Ok(Catalog {
        materials,
        runs,
        stated,
        prints,
        own_properties: own,
        policy,
        problems: loader.problems,
        places: Places {
            materials: material_places,
            runs: run_places,
            stated: stated_places,
            prints: print_places,
            spoilt_rigs,
        },
        demo: matches!(source, Source::Demo),
    })
}

/// Where the lines of a catalog stand, in the order of its lists.
#[derive(Clone, Debug, Default)]
pub(crate) struct Places {
    pub(crate) materials: Vec<Place>,
    pub(super) runs: Vec<RunAt>,
    pub(crate) stated: Vec<Place>,
    pub(crate) prints: Vec<Place>,
    /// Rigs of which a line is wrong.
    pub(crate) spoilt_rigs: BTreeSet<String>,
}

/// Where a run begins in its sheet, and each of its specimens by number: most are never asked for.
#[derive(Clone, Debug)]
pub(super) struct RunAt {
    sheet: Arc<KeptCsv>,
    run: LineAt,
    specimens: Arc<[(u32, LineAt)]>,
}

impl Places {
    /// The places of all runs.
    pub(super) fn of_runs(&self) -> Vec<RunPlace> {
        self.runs.iter().map(RunAt::place).collect()
    }
}

impl RunAt {
    /// The file.
    pub(super) fn file(&self) -> &str {
        self.sheet.file()
    }

    /// The first line of each specimen, by its number.
    pub(super) fn lines(&self) -> impl Iterator<Item = (u32, usize)> {
        self.specimens.iter().map(|(n, at)| (*n, at.line))
    }

    /// The run's place, and its specimens'.
    pub(super) fn place(&self) -> RunPlace {
        let of = |(n, at): &(u32, LineAt)| (*n, self.sheet.place(*at));
        RunPlace {
            run: self.sheet.place(self.run),
            specimens: self.specimens.iter().map(of).collect(),
        }
    }
}

/// Where a run begins, and each of its specimens by number.
#[derive(Clone, Debug)]
pub(crate) struct RunPlace {
    pub(crate) run: Place,
    pub(crate) specimens: HashMap<u32, Place>,
}

/// Ids of the materials of a kind.
fn of_kind(materials: &[(Material, Place)], kind: MaterialKind) -> Vec<&str> {
    materials
        .iter()
        .filter(|(m, _)| m.kind == kind)
        .map(|(m, _)| m.id.as_str())
        .collect()
}

/// What readings refer to.
struct Tables<'a> {
    ids: BTreeSet<&'a str>,
    references: Vec<&'a str>,
    surfaces: Vec<&'a str>,
    prints: HashMap<&'a str, (&'a str, Option<&'a str>)>,
    /// Every print that prints.csv names, wrong lines among them.
    print_lines: HashMap<String, usize>,
    rigs: Rigs,
    own: Vec<&'a Property>,
}

/// Items with their places, and Problems.
type Table<T> = (Vec<(T, Place)>, Vec<Problem>);

fn split<T>(items: Vec<(T, Place)>) -> (Vec<T>, Vec<Place>) {
    items.into_iter().unzip()
}

struct Loader<'s> {
    source: &'s Source,
    problems: Vec<Problem>,
}

impl Loader<'_> {
    /// A file's bytes, if it is there; one that is too large is a Problem.
    fn bytes(&mut self, name: &str, largest: u64) -> Result<Option<Cow<'static, [u8]>>, FileFault> {
        match self.source.read(name, largest) {
            Ok(bytes) => Ok(bytes),
            Err(Unread::Fault(f)) => Err(f),
            Err(Unread::Problems(p)) => {
                self.problems.extend(p);
                Ok(None)
            }
        }
    }

    fn table<T>(
        &mut self,
        name: &str,
        read: impl FnOnce(&str, &[u8]) -> Table<T>,
    ) -> Result<Vec<(T, Place)>, FileFault> {
        let path = format!("catalog/{name}");
        let Some(bytes) = self.bytes(&path, LARGEST_CSV)? else {
            return Ok(Vec::new());
        };
        let (items, problems) = read(&self.source.shown(&path), &bytes);
        self.problems.extend(problems);
        Ok(items)
    }

    fn materials(
        &mut self,
        seen: &mut HashMap<String, usize>,
    ) -> Result<Vec<(Material, Place)>, FileFault> {
        let before = self.problems.len();
        let path = "catalog/materials.csv";
        let Some(bytes) = self.bytes(path, LARGEST_CSV)? else {
            return if self.problems.len() > before {
                Ok(Vec::new())
            } else {
                Err(FileFault {
                    file: self.source.shown(path),
                    what: "there is no such file".to_owned(),
                    fix: "a catalog begins with materials.csv, a line a material".to_owned(),
                })
            };
        };
        let (items, problems) = read_materials(&self.source.shown(path), &bytes, seen);
        self.problems.extend(problems);
        Ok(items)
    }

    fn rigs(&mut self) -> Result<Rigs, FileFault> {
        let path = "catalog/rigs.csv";
        let Some(bytes) = self.bytes(path, LARGEST_CSV)? else {
            return Ok(Rigs::default());
        };
        let (rigs, problems) = read_rigs(&self.source.shown(path), &bytes);
        self.problems.extend(problems);
        Ok(rigs)
    }

    fn policy(&mut self) -> Result<Policy, FileFault> {
        let Some(bytes) = self.bytes("policy.json", LARGEST_JSON)? else {
            return Ok(Policy::default());
        };
        let file = self.source.shown("policy.json");
        let read = json_text(&file, &bytes)
            .map_err(|p| vec![*p])
            .and_then(|text| read_policy(&file, text));
        Ok(read.unwrap_or_else(|p| {
            self.problems.extend(p);
            Policy::default()
        }))
    }

    /// Doubts files whose names nobody reads: they may be misspelt.
    fn check_names(&mut self) -> Result<(), FileFault> {
        for name in self.source.list("catalog", "csv")? {
            if !TABLES.contains(&name.as_str()) {
                let fault = Fault::new(
                    "catalog::unknown-file",
                    format!("`{name}` is no table of a catalog, and nothing of it is read"),
                    meant(&name, TABLES.iter().copied()),
                );
                self.problems.push(Problem {
                    severity: Severity::Doubt,
                    ..fault.at(Place::file(self.source.shown(&format!("catalog/{name}"))))
                });
            }
        }
        Ok(())
    }

    fn readings<'k>(
        &mut self,
        tables: &Tables<'_>,
        as_of: Option<&str>,
        kept: &dyn Fn(&str) -> Option<&'k Catalog>,
    ) -> Result<(Vec<Arc<Run>>, Vec<RunAt>), FileFault> {
        let names = self.source.list("catalog/readings", "csv")?;
        let stem = |n: &str| n.strip_suffix(".csv").map(str::to_owned);
        for name in &names {
            if stem(name).is_none_or(|s| bench::find(&s).is_none()) {
                let tests = bench::tests().iter().map(|t| t.id());
                self.problems.push(
                    Fault::new(
                        "readings::unknown-test",
                        format!("`{name}` is not called after a test"),
                        format!(
                            "{}, with `.csv` behind it",
                            meant(&stem(name).unwrap_or_default(), tests)
                        ),
                    )
                    .at(Place::file(
                        self.source.shown(&format!("catalog/readings/{name}")),
                    )),
                );
            }
        }
        let (mut runs, mut places) = (Vec::new(), Vec::new());
        let mut taken: HashMap<String, (Arc<str>, usize)> = HashMap::new();
        for test in bench::tests() {
            let path = format!("catalog/readings/{}.csv", test.id());
            if let Some(before) = kept(&path) {
                let file: Arc<str> = self.source.shown(&path).into();
                for (run, at) in before.runs.iter().zip(&before.places.runs) {
                    if run.test == test.id() {
                        if !taken.contains_key(&run.id) {
                            taken.insert(run.id.clone(), (Arc::clone(&file), at.run.line));
                        }
                        runs.push(Arc::clone(run));
                        places.push(at.clone());
                    }
                }
                let of_it = before.problems.iter().filter(|p| p.at.file == *file);
                self.problems.extend(of_it.cloned());
                continue;
            }
            if names.contains(&format!("{}.csv", test.id()))
                && let Some(bytes) = self.bytes(&path, LARGEST_CSV)?
            {
                let file = self.source.shown(&path);
                let (read, sheet) = self.sheet(&file, bytes, *test, tables, as_of, &taken);
                let file: Arc<str> = file.into();
                for ReadRun { run, at, specimens } in read {
                    if !taken.contains_key(&run.id) {
                        taken.insert(run.id.clone(), (Arc::clone(&file), at.line));
                    }
                    runs.push(Arc::new(run));
                    places.push(RunAt {
                        sheet: Arc::clone(&sheet),
                        run: at,
                        specimens: specimens.into(),
                    });
                }
            }
        }
        Ok((runs, places))
    }

    fn sheet(
        &mut self,
        file: &str,
        bytes: Cow<'static, [u8]>,
        test: &'static dyn BenchTest,
        tables: &Tables<'_>,
        as_of: Option<&str>,
        taken: &HashMap<String, (Arc<str>, usize)>,
    ) -> (Vec<ReadRun>, Arc<KeptCsv>) {
        let csv = match CsvText::open(file, &bytes) {
            Ok(csv) => csv,
            Err(p) => {
                self.problems.push(*p);
                return <_>::default();
            }
        };
        let known = Known {
            materials: &tables.ids,
            print: &|id| match tables.prints.get(id) {
                Some(p) => Some(Some(*p)),
                None => tables.print_lines.contains_key(id).then_some(None),
            },
            references: &tables.references,
            surfaces: &tables.surfaces,
            // A run of unknown day is held to what was known at the day asked for.
            rig: &|name, date| tables.rigs.at(name, date.or(as_of), test),
            taken,
            own: &tables.own,
            as_of,
        };
        let (runs, problems) = read_lines(&csv, test, Some(&known));
        self.problems.extend(problems);
        let kept = csv.kept(&bytes);
        (runs, Arc::new(kept.with(bytes)))
    }
}
