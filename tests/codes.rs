//! Every code is explained, and every explanation is true: its example raises the code at the place it
//! names, and the mended one does not.

use crate::support::{Bench, Ran, dutyfit};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;

/// Codes that no text shows, and why; `what_no_text_can_show_is_raised_by_its_own_command` raises them.
const NO_EXAMPLE: &[(&str, &str)] = &[
    ("book::broken", "a spreadsheet file is no text"),
    ("book::encrypted", "a spreadsheet file is no text"),
    ("book::old", "a spreadsheet file is no text"),
    ("book::unknown", "a spreadsheet file is no text"),
    (
        "catalog::none",
        "the command line says `usage::no-catalog` before; for users of the library",
    ),
    ("cell::error", "a spreadsheet file is no text"),
    ("cell::percent", "a spreadsheet file is no text"),
    ("file::too-large", "the file is too large to show"),
    ("file::unreadable", "it is the file and not a line in it"),
    ("json::not-utf8", "the byte that is wrong cannot be shown"),
    ("json::too-deep", "the nesting is too deep to show"),
    ("number::time", "a spreadsheet file is no text"),
    ("sheet::not-utf8", "the byte that is wrong cannot be shown"),
];

/// Codes that nothing typed raises today, and why they are there.
const NOT_TYPED: &[(&str, &str)] = &[
    (
        "append::unit",
        "sheets and catalog share their kinds of unit; `tests/append.rs` raises it",
    ),
    (
        "cell::not-reckoned",
        "no crate here writes a formula without its result",
    ),
    (
        "describe::answers-ended",
        "only a dialogue raises it; `tests/describe/terminal.rs` does",
    ),
    (
        "describe::first-question",
        "only a dialogue raises it; `tests/describe/dialogue.rs` does",
    ),
    (
        "describe::part-stays",
        "only a dialogue raises it; `tests/describe/dialogue.rs` does",
    ),
    (
        "describe::there-already",
        "the file must be written while the dialogue runs",
    ),
    (
        "describe::written-already",
        "only a dialogue raises it; `tests/describe/dialogue.rs` does",
    ),
    (
        "sheet::several",
        "only the library reads one sheet of a file of several",
    ),
    (
        "record::unit",
        "sheets and catalog share their kinds of unit",
    ),
    (
        "run::not-here",
        "the file must change while the command runs",
    ),
    (
        "sheet::two-tests",
        "no two tests of today share all their columns",
    ),
];

const MATERIALS: &str = "\
material,polymer,price [per kg]
petg-a,petg,25
pa-a,pa-12,60
";
const PRINTS: &str = "print,material,lot\npetg-a-p1,petg-a,l1\npa-a-p1,pa-a,l1\n";
const RIGS: &str = "rig,kind,channel,from,resolution\nframe-1,frame,force,2026-01-10,0.1\n";

/// A workspace in which nothing is wrong.
fn base() -> Bench {
    Bench::new()
        .file("catalog/materials.csv", MATERIALS)
        .file("catalog/prints.csv", PRINTS)
        .file("catalog/rigs.csv", RIGS)
}

/// All codes, as `lint --explain` gives them.
fn explained() -> Vec<Value> {
    let ran = dutyfit(&["lint", "--explain", "--format", "json"]).exits(0);
    let all = ran.json()["codes"].as_array().expect("a list").clone();
    assert!(all.len() > 150);
    all
}

fn text<'v>(v: &'v Value, name: &str) -> &'v str {
    v[name].as_str().unwrap_or_default()
}

/// The base with the files of an example as they stand on one side.
fn workspace(example: &Value, side: &str) -> Bench {
    let mut bench = base();
    for file in example["files"].as_array().expect("a list") {
        let lines: Vec<&str> = file["lines"]
            .as_array()
            .expect("a list")
            .iter()
            .filter(|l| l[0] == "both" || l[0] == side)
            .filter_map(|l| l[1].as_str())
            .collect();
        if !lines.is_empty() {
            bench = bench.file(text(file, "name"), lines.join("\n") + "\n");
        }
    }
    bench
}

/// What was typed, taken apart at spaces outside quotes.
fn words(typed: &str) -> Vec<String> {
    let mut all = vec![String::new()];
    let mut quoted = false;
    for c in typed.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => all.push(String::new()),
            c => all.last_mut().expect("one").push(c),
        }
    }
    all
}

fn typed(bench: &Bench, line: &str) -> Ran {
    let words = words(line);
    let mut args: Vec<&str> = words.iter().map(String::as_str).collect();
    if !args.contains(&"--format") {
        args.extend(["--format", "json"]);
    }
    let named = args.iter().any(|a| matches!(*a, "--catalog" | "--demo"));
    if named {
        dutyfit(&args)
    } else {
        bench.run(&args)
    }
}

/// Problems of `lint`, or of a command that could not answer.
fn problems(ran: &Ran) -> Vec<Value> {
    if let Some((_, said)) = ran.err.split_once("error[") {
        // Whoever did not ask for JSON gets words.
        let code = said.split(']').next().unwrap_or_default();
        return vec![serde_json::json!({ "code": code, "severity": "error" })];
    }
    let text = if ran.out.is_empty() {
        &ran.err
    } else {
        &ran.out
    };
    let found: Value = serde_json::from_str(text).unwrap_or_default();
    if let Some(runs) = found["runs"].as_array() {
        // What `reduce` refuses is no Problem, but has its code.
        let specimens = runs
            .iter()
            .filter_map(|r| r["specimens"].as_array())
            .flatten();
        let refused = specimens.filter_map(|s| s["refused"].as_array()).flatten();
        return refused
            .map(|r| serde_json::json!({ "code": r["code"], "severity": "error" }))
            .collect();
    }
    found["problems"].as_array().cloned().unwrap_or_default()
}

fn place(p: &Value) -> String {
    let at = &p["at"];
    format!("{} {}:{}", text(at, "file"), at["line"], at["column"])
}

/// What is untrue about one explanation with an example.
fn untruths(code: &Value) -> Vec<String> {
    let name = text(code, "code");
    let example = &code["example"];
    let mut wrong = Vec::new();
    let run = |side: &str, line: &str| {
        let bench = workspace(example, side);
        let line = if line.is_empty() { "lint" } else { line };
        typed(&bench, line)
    };
    let bad = run("bad", text(example, "typed"));
    let found: Vec<Value> = problems(&bad)
        .into_iter()
        .filter(|p| p["code"] == name)
        .collect();
    let wanted = example["files"].as_array().expect("a list").iter();
    let wanted: Option<String> = wanted
        .filter(|f| !f["at"].is_null())
        .map(|f| format!("{} {}:{}", text(f, "name"), f["at"][0], f["at"][1]))
        .next();
    match (found.as_slice(), wanted) {
        ([], _) => wrong.push(format!(
            "{name}: not raised; {:?} {}",
            problems(&bad)
                .iter()
                .map(|p| format!("{} {} {}", place(p), text(p, "code"), text(p, "what")))
                .collect::<Vec<_>>(),
            bad.err
        )),
        (_, None) if code["kind"] == "command" => {}
        ([first, ..], None) => wrong.push(format!("{name}: @ {}", place(first))),
        (all, Some(at)) if all.iter().all(|p| place(p) != at) => {
            wrong.push(format!("{name}: @ {}", place(&all[0])));
        }
        _ => {}
    }
    let severity = if code["kind"] == "doubt" {
        "doubt"
    } else {
        "error"
    };
    if found.iter().any(|p| p["severity"] != severity) {
        wrong.push(format!("{name}: is no {severity}"));
    }
    let mended = run("mended", text(example, "mended"));
    if code["kind"] == "command" {
        if mended.code > 1 {
            wrong.push(format!("{name}: mended {}", mended.err));
        }
    } else {
        let left: Vec<String> = problems(&mended)
            .iter()
            .filter(|p| p["code"] == name || p["severity"] == "error")
            .map(|p| format!("{} {} {}", place(p), text(p, "code"), text(p, "what")))
            .collect();
        if !left.is_empty() {
            wrong.push(format!("{name}: mended {left:?}"));
        }
    }
    wrong
}

#[test]
fn every_example_raises_its_code_where_it_says_and_the_mended_one_does_not() {
    let wrong: Vec<String> = explained()
        .iter()
        .filter(|c| !c["example"].is_null())
        .flat_map(untruths)
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_code_of_the_program_is_explained_and_every_explanation_is_of_one() {
    let mut used = BTreeSet::new();
    scan(Path::new("src"), &mut used);
    let known: BTreeSet<String> = explained()
        .iter()
        .map(|c| text(c, "code").to_owned())
        .collect();
    let missing: Vec<&String> = used.difference(&known).collect();
    assert!(missing.is_empty(), "not explained: {missing:#?}");
    let dead: Vec<&String> = known.difference(&used).collect();
    assert!(dead.is_empty(), "explained, and nowhere raised: {dead:#?}");
}

#[test]
fn every_explanation_is_whole() {
    for c in explained() {
        let name = text(&c, "code");
        for field in ["means", "why", "mend"] {
            let said = text(&c, field);
            assert!(said.ends_with(['.', '?']), "{name} {field}: {said}");
        }
        let by_hand = NO_EXAMPLE.iter().chain(NOT_TYPED).any(|(n, _)| *n == name);
        assert_eq!(
            c["example"].is_null(),
            by_hand,
            "{name}: an example, or a reason why not"
        );
    }
}

/// What lint lists in the base with one more file.
fn with(file: &str, content: impl AsRef<[u8]>) -> BTreeSet<String> {
    let bench = base().file(file, content);
    let lint = bench.run(&["lint", "--format", "json"]);
    problems(&lint)
        .iter()
        .map(|p| text(p, "code").to_owned())
        .collect()
}

/// What `reduce` refuses a file for.
fn reduced(name: &str, content: &[u8]) -> BTreeSet<String> {
    let bench = Bench::new().file(name, content);
    let ran = bench.run(&["reduce", name, "--format", "json"]);
    problems(&ran)
        .iter()
        .map(|p| text(p, "code").to_owned())
        .collect()
}

/// Spreadsheet files, each with a fault of its own.
fn books() -> Vec<(&'static str, Vec<u8>)> {
    use rust_xlsxwriter::{Format, Formula, Workbook};
    let old = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1".to_vec();
    let mut locked = old.clone();
    locked.extend("EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes));
    let mut archive = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    archive
        .start_file("letter.txt", zip::write::SimpleFileOptions::default())
        .expect("a file in an archive");
    let archive = archive.finish().expect("an archive").into_inner();
    let sheet = |fill: &dyn Fn(&mut rust_xlsxwriter::Worksheet)| {
        let mut book = Workbook::new();
        let page = book.add_worksheet();
        for (c, head) in (0..).zip(["mass [g]", "volume [cm3]"]) {
            page.write(0, c, head).expect("a cell");
        }
        page.write(1, 1, 2).expect("a cell");
        fill(page);
        book.save_to_buffer().expect("a book")
    };
    let percent = Format::new().set_num_format("0 %");
    let time = Format::new().set_num_format("hh:mm");
    vec![
        ("old.xls", old),
        ("locked.xlsx", locked),
        ("broken.xlsx", b"PK\x03\x04 and no more".to_vec()),
        ("letter.xlsx", archive),
        (
            "error.xlsx",
            sheet(&|page| {
                let f = Formula::new("=1/0").set_result("#DIV/0!");
                page.write(1, 0, f).expect("a cell");
            }),
        ),
        (
            "percent.xlsx",
            sheet(&|page| {
                page.write_with_format(1, 0, 2.54, &percent)
                    .expect("a cell");
            }),
        ),
        (
            "time.xlsx",
            sheet(&|page| {
                page.write_with_format(1, 0, 0.25, &time).expect("a cell");
            }),
        ),
    ]
}

#[test]
fn what_no_text_can_show_is_raised_by_its_own_command() {
    let mut seen = BTreeSet::new();
    seen.extend(with("cases/large.json", " ".repeat((1 << 20) + 1)));
    seen.extend(with("cases/latin.json", b"{ \"title\": \"Stra\xdfe\" }"));
    seen.extend(with("cases/deep.json", "[".repeat(200)));
    seen.extend(with("cases/folder.json/in-it", ""));
    seen.extend(with(
        "catalog/readings/density.csv",
        b"run,note\nd-1,Stra\xdfe\n",
    ));
    let nowhere = dutyfit::catalog::Source::Folder("no/such/folder".into());
    let found = dutyfit::catalog::load_catalog(&nowhere, None).expect("a catalog of Problems");
    seen.extend(found.problems.into_iter().map(|p| p.code));
    for (name, content) in books() {
        seen.extend(reduced(name, &content));
    }
    for (code, why) in NO_EXAMPLE {
        assert!(seen.contains(*code), "{code} ({why}): {seen:?}");
    }
}

/// Every `"area::name"` in the source.
fn scan(at: &Path, into: &mut BTreeSet<String>) {
    for entry in std::fs::read_dir(at).expect("a folder").flatten() {
        let path = entry.path();
        if path.is_dir() {
            scan(&path, into);
        } else if path.extension().is_some_and(|e| e == "rs") {
            let source = std::fs::read_to_string(&path).expect("a file");
            into.extend(source.split('"').filter(|s| is_code(s)).map(str::to_owned));
        }
    }
}

fn is_code(text: &str) -> bool {
    let kebab = |s: &str| {
        s.starts_with(|c: char| c.is_ascii_lowercase())
            && s.bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
    };
    text.split_once("::")
        .is_some_and(|(area, name)| kebab(area) && kebab(name))
}
