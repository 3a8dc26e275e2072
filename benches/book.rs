//! Speed and memory of a large bench book: 10 000 materials, 1 000 000 lines of readings.
//!
//! The catalog is made once, in a folder of its own, from the demo's: its materials again and
//! again under new names, each with its prints, stated values and a share of its runs (all
//! tests, single lines and curves, rigs with calibrations, bounds and outcome words), figures
//! moved a little from specimen to specimen. Each row then runs in a process of its own, so that
//! its peak memory is its own.
//!
//! A second table records a sheet of three tensile lines, the largest file there is, into a copy:
//! the sheet once more, which is refused after all checks (check); what it would mean, without writing it
//! (dry); the whole (record). There is no case to judge. What writing takes is the rest of record
//! above dry, and what telling takes that of dry above check.
//!
//! `cargo bench --bench book` prints the table; `cargo bench --bench book -- --materials 500
//! --lines 50000 --threads 1 --rounds 5 --keep DIR` changes the sizes and keeps the catalog.

#![expect(
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::expect_used,
    reason = "a bench reads the clock, its arguments and its own memory, writes a folder and prints a table"
)]

use dutyfit::catalog::{Source, load_catalog};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

/// What is asked for.
struct Size {
    materials: usize,
    lines: usize,
    threads: usize,
    rounds: usize,
    keep: Option<PathBuf>,
}

fn main() {
    let args: Vec<String> = std::env::args().collect();
    if let [_, mode, folder, threads] = args.as_slice()
        && mode == "--load"
    {
        load(Path::new(folder), threads.parse().expect("a number"));
        return;
    }
    let size = size(&args);
    let scratch = tempfile::tempdir().expect("a scratch folder");
    let folder = size
        .keep
        .clone()
        .unwrap_or_else(|| scratch.path().join("book"));
    let lines = if folder.join("catalog/materials.csv").exists() {
        count_lines(&folder)
    } else {
        let lines = write_book(&folder, &size);
        sync(&folder);
        lines
    };
    println!(
        "{} materials, {lines} lines of readings, {:.1} MB",
        size.materials,
        megabytes(&folder)
    );
    println!(
        "{:>8} {:>8} {:>9} {:>8} {:>8} {:>9} {:>13} {:>9}",
        "threads", "load s", "reduce s", "both s", "cpu s", "runs", "observations", "peak MB"
    );
    let this = std::env::current_exe().expect("this program");
    for _ in 0..size.rounds {
        let out = Command::new(&this)
            .arg("--load")
            .arg(&folder)
            .arg(size.threads.to_string())
            .output()
            .expect("the row");
        print!("{}", String::from_utf8_lossy(&out.stdout));
        print!("{}", String::from_utf8_lossy(&out.stderr));
    }
    record(&folder, &scratch.path().join("copy"), &size);
}

/// Records a sheet into a copy of the book, a row a round.
fn record(book: &Path, copy: &Path, size: &Size) {
    for f in files(book) {
        let to = copy.join(f.strip_prefix(book).expect("inside"));
        fs::create_dir_all(to.parent().expect("a folder")).expect("a folder");
        fs::copy(&f, to).expect("a copy");
    }
    sync(copy);
    let materials = Table::read(&copy.join("catalog/materials.csv"), "materials.csv");
    let material = &materials.lines.last().expect("a material")[0];
    println!(
        "{:>8} {:>8} {:>8} {:>8}",
        "threads", "check s", "dry s", "record s"
    );
    for round in 1..=size.rounds {
        let mut sheet = "date,material,direction,width [mm],thickness [mm],force [N]\n".to_owned();
        for k in 0..3 {
            let force = 600.0 + 10.0 * k as f64 + round as f64;
            let _ = writeln!(sheet, "2026-05-{round:02},{material},flat,10,4,{force}");
        }
        let file = copy.join("sheet.csv");
        fs::write(&file, sheet).expect("a sheet");
        let run = |dry: bool, code: i32| {
            let mut program = Command::new(env!("CARGO_BIN_EXE_dutyfit"));
            program.arg("record").arg(&file);
            program.args(["--test", "tensile", "--date", "2026-05-31", "--catalog"]);
            program.arg(copy.join("catalog"));
            program.args(dry.then_some("--dry-run"));
            program.env("RAYON_NUM_THREADS", size.threads.to_string());
            let start = Instant::now();
            let out = program.output().expect("dutyfit");
            let taken = start.elapsed().as_secs_f64();
            let said = String::from_utf8_lossy(&out.stderr);
            assert_eq!(out.status.code(), Some(code), "{said}");
            taken
        };
        let (dry, whole, check) = (run(true, 0), run(false, 0), run(true, 2));
        println!("{:>8} {check:>8.2} {dry:>8.2} {whole:>8.2}", size.threads);
    }
}

fn size(args: &[String]) -> Size {
    let after = |name: &str| {
        let at = args.iter().position(|a| a == name)?;
        args.get(at + 1)
    };
    let number = |name: &str, usual: usize| {
        after(name).map_or(usual, |n| n.parse().expect("a whole number"))
    };
    Size {
        materials: number("--materials", 10_000),
        lines: number("--lines", 1_000_000),
        threads: number("--threads", 2),
        rounds: number("--rounds", 3),
        keep: after("--keep").map(PathBuf::from),
    }
}

/// One row: everything until beliefs can be asked.
fn load(folder: &Path, threads: usize) {
    rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build_global()
        .expect("threads");
    let start = Instant::now();
    let source = Source::Folder(folder.join("catalog"));
    let catalog = load_catalog(&source, None).expect("a catalog");
    let loaded = start.elapsed().as_secs_f64();
    let wrong = catalog
        .problems
        .iter()
        .filter(|p| p.severity == dutyfit::problem::Severity::Error)
        .count();
    assert_eq!(wrong, 0, "{:?}", catalog.problems.first());
    let evidence = catalog.evidence();
    let both = start.elapsed().as_secs_f64();
    let observations: usize = evidence
        .runs()
        .iter()
        .flat_map(|r| &r.specimens)
        .map(|s| s.observations.len())
        .sum();
    println!(
        "{threads:>8} {loaded:>8.2} {:>9.2} {both:>8.2} {:>8} {:>9} {observations:>13} {:>9}",
        both - loaded,
        shown(cpu_s(), 2),
        evidence.runs().len(),
        shown(peak_mb(), 0),
    );
}

fn shown(figure: Option<f64>, decimals: usize) -> String {
    figure.map_or_else(|| "?".to_owned(), |x| format!("{x:.decimals$}"))
}

/// Processor time of this process, s, where the system tells it (in ticks of 10 ms).
fn cpu_s() -> Option<f64> {
    let stat = fs::read_to_string("/proc/self/stat").ok()?;
    let after_name = stat.rsplit(')').next()?;
    let mut fields = after_name.split_whitespace().skip(11);
    let user: f64 = fields.next()?.parse().ok()?;
    let system: f64 = fields.next()?.parse().ok()?;
    Some((user + system) / 100.0)
}

/// Peak resident memory of this process, MB, where the system tells it.
fn peak_mb() -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    let kb: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kb / 1024.0)
}

/// All CSV files of a book.
fn files(folder: &Path) -> Vec<PathBuf> {
    [folder.join("catalog"), folder.join("catalog/readings")]
        .iter()
        .flat_map(|f| fs::read_dir(f).expect("a folder"))
        .map(|e| e.expect("an entry").path())
        .filter(|p| p.extension().is_some_and(|e| e == "csv"))
        .collect()
}

fn megabytes(folder: &Path) -> f64 {
    let bytes: u64 = files(folder)
        .iter()
        .map(|f| fs::metadata(f).expect("a file").len())
        .sum();
    bytes as f64 / 1e6
}

fn count_lines(folder: &Path) -> usize {
    files(folder)
        .iter()
        .filter(|f| f.parent().is_some_and(|p| p.ends_with("readings")))
        .map(|f| {
            let text = fs::read_to_string(f).expect("a sheet");
            text.lines().count() - 2
        })
        .sum()
}

/// What was written lies on the disk before anything is measured.
fn sync(folder: &Path) {
    for f in files(folder) {
        let file = fs::File::open(f).expect("a file");
        file.sync_all().expect("written");
    }
}

/// Lines of a table by their material.
type ByMaterial = BTreeMap<String, Vec<Vec<String>>>;

/// A table of the demo: the comment line, the header, the lines.
struct Table {
    name: String,
    top: String,
    header: Vec<String>,
    lines: Vec<Vec<String>>,
}

impl Table {
    fn read(path: &Path, name: &str) -> Self {
        let text = fs::read_to_string(path).expect("a demo table");
        let (comment, rest) = text.split_once('\n').expect("a comment line");
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(rest.as_bytes());
        let mut all = reader.records().map(|r| {
            let record = r.expect("a line");
            record.iter().map(str::to_owned).collect::<Vec<_>>()
        });
        let header = all.next().expect("a header");
        Table {
            name: name.to_owned(),
            top: format!("{comment}\n{}\n", header.join(",")),
            header,
            lines: all.collect(),
        }
    }

    /// The column of a field, unit or not.
    fn column(&self, field: &str) -> Option<usize> {
        self.header
            .iter()
            .position(|h| h.split('[').next().map(str::trim) == Some(field))
    }
}

/// Raw columns whose figures differ from specimen to specimen.
const MOVED: &[&str] = &[
    "force",
    "deflection",
    "energy",
    "depth",
    "pull",
    "rise",
    "hardness",
    "friction_force",
    "mass_wet",
];

/// A share in 0..1 that depends on nothing but its numbers (SplitMix64's last steps).
fn share(a: usize, b: usize) -> f64 {
    let mut x = (a as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ (b as u64).wrapping_add(0xD1B5);
    x = (x ^ (x >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    x ^= x >> 31;
    (x >> 11) as f64 / (1_u64 << 53) as f64
}

/// A figure moved by a factor, with as many decimals as it had.
fn moved(cell: &str, factor: f64) -> String {
    let Ok(x) = cell.parse::<f64>() else {
        return cell.to_owned();
    };
    let decimals = cell.split_once('.').map_or(0, |(_, d)| d.len());
    format!("{:.decimals$}", x * factor)
}

fn push_line(out: &mut String, cells: &[String]) {
    for (k, cell) in cells.iter().enumerate() {
        if k > 0 {
            out.push(',');
        }
        if cell.contains([',', '"', '\n']) {
            let _ = write!(out, "\"{}\"", cell.replace('"', "\"\""));
        } else {
            out.push_str(cell);
        }
    }
    out.push('\n');
}

/// The demo's materials again and again under new names; how many lines of readings that is.
fn write_book(folder: &Path, size: &Size) -> usize {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalog");
    let catalog = folder.join("catalog");
    fs::create_dir_all(catalog.join("readings")).expect("a folder");
    for name in ["rigs.csv", "properties.csv"] {
        fs::copy(demo.join(name), catalog.join(name)).expect("a copy");
    }
    let materials = Table::read(&demo.join("materials.csv"), "materials.csv");
    let kind = materials.column("kind").expect("a kind");
    // Surfaces and reference specimens keep their names and stand once.
    let (candidates, others): (Vec<_>, Vec<_>) = materials
        .lines
        .iter()
        .partition(|l| l[kind].is_empty() || l[kind] == "candidate");
    let of_material = |t: &Table| -> ByMaterial {
        let column = t.column("material").expect("a material");
        let mut all: ByMaterial = BTreeMap::new();
        for l in &t.lines {
            all.entry(l[column].clone()).or_default().push(l.clone());
        }
        all
    };
    let mut text = materials.top.clone();
    for l in &others {
        push_line(&mut text, l);
    }
    for i in 0..size.materials {
        let mut l = candidates[i % candidates.len()].clone();
        l[0] = renamed(&l[0], i);
        push_line(&mut text, &l);
    }
    fs::write(catalog.join("materials.csv"), text).expect("materials");

    for name in ["prints.csv", "stated.csv"] {
        let table = Table::read(&demo.join(name), name);
        let by = of_material(&table);
        let at = table.column("material").expect("a material");
        let mut text = table.top.clone();
        for i in 0..size.materials {
            let from = &candidates[i % candidates.len()][0];
            for mut l in by.get(from).into_iter().flatten().cloned() {
                l[at] = renamed(from, i);
                if name == "prints.csv" {
                    l[0] = renamed(&l[0], i);
                }
                push_line(&mut text, &l);
            }
        }
        fs::write(catalog.join(name), text).expect("a table");
    }

    let sheets: Vec<(Table, ByMaterial)> = fs::read_dir(demo.join("readings"))
        .expect("readings")
        .map(|e| e.expect("a sheet").path())
        .map(|p| {
            let name = p.file_name().and_then(|n| n.to_str()).expect("a name");
            let table = Table::read(&p, name);
            let by = of_material(&table);
            (table, by)
        })
        .collect();
    let whole: usize = (0..size.materials)
        .map(|i| &candidates[i % candidates.len()][0])
        .map(|m| {
            let of = |by: &BTreeMap<String, Vec<_>>| by.get(m).map_or(0, Vec::len);
            sheets.iter().map(|(_, by)| of(by)).sum::<usize>()
        })
        .sum();
    let kept = size.lines as f64 / whole as f64;
    sheets
        .iter()
        .map(|(table, by)| write_sheet(&catalog, table, by, &candidates, size, kept))
        .sum()
}

/// One test's readings; where fewer lines are wanted than the demo has, runs are left out, and
/// where more, runs are made again.
fn write_sheet(
    catalog: &Path,
    table: &Table,
    by: &ByMaterial,
    candidates: &[&Vec<String>],
    size: &Size,
    kept: f64,
) -> usize {
    let at = |field: &str| table.column(field).expect("a common column");
    let (run, specimen, material, print) = (at("run"), at("specimen"), at("material"), at("print"));
    let figures: Vec<usize> = MOVED.iter().filter_map(|m| table.column(m)).collect();
    let mut text = table.top.clone();
    let mut count = 0;
    for i in 0..size.materials {
        let from = &candidates[i % candidates.len()][0];
        for line in by.get(from).into_iter().flatten() {
            let number: usize = line[run]
                .bytes()
                .fold(7, |n, b| (n * 31 + usize::from(b)) % 1_000_003);
            let times = kept + share(i, number);
            for again in 0..times as usize {
                let mut l = line.clone();
                let nth: usize = l[specimen].parse().expect("a number");
                let factor = 0.97 + 0.06 * share(number + 1_000_003 * again, nth + 64 * i);
                for f in &figures {
                    l[*f] = moved(&l[*f], factor);
                }
                l[run] = if again == 0 {
                    renamed(&l[run], i)
                } else {
                    format!("{}-{again}", renamed(&l[run], i))
                };
                l[material] = renamed(from, i);
                if !l[print].is_empty() {
                    l[print] = renamed(&l[print], i);
                }
                push_line(&mut text, &l);
                count += 1;
            }
        }
    }
    fs::write(catalog.join("readings").join(&table.name), text).expect("a sheet");
    count
}

/// The name of the `i`-th copy.
fn renamed(name: &str, i: usize) -> String {
    format!("{name}-{i}")
}
