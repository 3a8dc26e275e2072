//! A fresh workspace: whole, clean, and with a next step that works.

use crate::support::{Bench, dutyfit};

fn made() -> Bench {
    let bench = Bench::new();
    let folder = bench.path("shed");
    dutyfit(&["init", folder.to_str().unwrap()]).exits(0);
    bench
}

/// Runs a command in the fresh workspace.
#[track_caller]
fn at(bench: &Bench, args: &[&str]) -> crate::support::Ran {
    let catalog = bench.path("shed/catalog").display().to_string();
    let mut all = args.to_vec();
    all.extend(["--catalog", &catalog]);
    dutyfit(&all)
}

#[test]
fn a_fresh_workspace_is_clean_and_says_what_to_do() {
    let bench = made();
    let lint = at(&bench, &["lint"]).exits(0);
    assert_eq!(lint.out, "nothing is wrong or doubtful\n");
    let shortlist = at(&bench, &["shortlist", "drawer-divider"]).exits(1);
    assert!(
        shortlist
            .out
            .starts_with("There is no material to judge yet"),
        "{}",
        shortlist.out
    );
    assert!(
        shortlist.out.contains("dutyfit form flexure"),
        "{}",
        shortlist.out
    );
    at(&bench, &["shortlist", "drawer-divider", "--format", "json"])
        .exits(1)
        .json();
    at(
        &bench,
        &["shortlist", "drawer-divider", "--format", "markdown"],
    )
    .exits(1);
    let check = at(&bench, &["check", "drawer-divider", "petg"]).exits(2);
    assert!(
        check.err.contains("add a line to materials.csv"),
        "{}",
        check.err
    );
}

#[test]
fn a_first_material_and_reading_answer_the_example() {
    let bench = made();
    let materials = bench.path("shed/catalog/materials.csv");
    let mut text = std::fs::read_to_string(&materials).unwrap();
    let columns = text.matches(',').count();
    text.push_str(&format!("petg-a,,petg,,,25{}\n", ",".repeat(columns - 5)));
    std::fs::write(&materials, text).unwrap();
    std::fs::write(
        bench.path("shed/catalog/readings/flexure.csv"),
        "run,specimen,date,material,print,rig,direction,span [mm],width [mm],thickness [mm],force [N],deflection [mm]\n\
         f-1,1,2026-05-01,petg-a,,,flat,64,10,4,100,5.8\n\
         f-1,2,2026-05-01,petg-a,,,flat,64,10,4,104,5.8\n\
         f-1,3,2026-05-01,petg-a,,,flat,64,10,4,98,5.8\n",
    )
    .unwrap();
    let shortlist = at(&bench, &["shortlist", "drawer-divider"]).exits(0);
    assert!(shortlist.out.starts_with("Use petg-a"), "{}", shortlist.out);
}

#[test]
fn the_schemas_are_those_that_the_program_prints() {
    let bench = made();
    for kind in ["case", "weights", "policy"] {
        let file = bench.path(&format!("shed/schemas/{kind}.schema.json"));
        let printed = dutyfit(&["schema", kind]).exits(0).out;
        assert_eq!(std::fs::read_to_string(file).unwrap(), printed);
    }
}

#[test]
fn the_readme_tells_the_loop_in_ten_lines_of_commands_that_there_are() {
    let bench = made();
    let readme = std::fs::read_to_string(bench.path("shed/README.md")).unwrap();
    let lines = readme
        .lines()
        .filter(|l| l.starts_with(|c: char| c.is_ascii_digit()));
    assert_eq!(lines.count(), 10);
    let help = dutyfit(&["--help"]).exits(0).out;
    for said in readme.split("`dutyfit ").skip(1) {
        let command = said.split([' ', '`']).next().unwrap();
        assert!(
            help.contains(&format!("\n  {command} ")),
            "{command} is no command"
        );
    }
}

#[test]
fn what_stands_there_is_never_overwritten() {
    let bench = Bench::new()
        .file("shed/README.md", "mine")
        .file("shed/notes.txt", "mine");
    let folder = bench.path("shed");
    let before = bench.files();
    let ran = dutyfit(&["init", folder.to_str().unwrap()]).exits(2);
    assert!(ran.err.contains("usage::workspace-there"), "{}", ran.err);
    assert!(ran.err.contains("`README.md` stands"), "{}", ran.err);
    assert_eq!(bench.files(), before);
    std::fs::remove_file(bench.path("shed/README.md")).unwrap();
    dutyfit(&["init", folder.to_str().unwrap()]).exits(0);
    // A second time in the same place.
    let ran = dutyfit(&["init", folder.to_str().unwrap()]).exits(2);
    assert!(ran.err.contains("and others stand"), "{}", ran.err);
    assert_eq!(
        std::fs::read(bench.path("shed/notes.txt")).unwrap(),
        b"mine"
    );
}

#[test]
fn a_file_in_the_way_is_said() {
    let bench = Bench::new().file("shed", "a file");
    let folder = bench.path("shed");
    let ran = dutyfit(&["init", folder.to_str().unwrap()]).exits(4);
    assert!(ran.err.contains("cannot be made"), "{}", ran.err);
    dutyfit(&["init", folder.to_str().unwrap(), "--demo"]).exits(2);
}
