//! README.md and the transcripts in `tests/cmd/` are executed as they stand.

#[test]
fn transcripts() {
    let cases = trycmd::TestCases::new();
    cases
        .env("NO_COLOR", "1")
        .case("tests/cmd/*.md")
        .case("README.md");
    // Filling a sheet is an editor's work: a transcript copies the filled one in its place.
    if let Some(cp) = ["/bin/cp", "/usr/bin/cp"]
        .into_iter()
        .map(std::path::Path::new)
        .find(|p| p.exists())
    {
        cases.register_bin("cp", cp);
    } else {
        cases.skip("tests/cmd/week.md");
    }
}

/// The week's sheets are forms as they are printed, filled.
#[test]
fn the_filled_sheets_of_the_week_are_printed_forms() {
    let form = crate::support::dutyfit(&["form", "flexure"]).exits(0).out;
    let printed = |text: &str| -> Vec<String> {
        text.lines()
            .take_while(|l| l.starts_with("\"#") || l.starts_with("material,"))
            .map(str::to_owned)
            .collect()
    };
    let wanted = printed(&form);
    assert!(wanted.len() > 5, "{form}");
    for sheet in [
        include_str!("cmd/week.in/filled/monday.csv"),
        include_str!("cmd/week.in/filled/tuesday.csv"),
        include_str!("cmd/week.in/filled/thursday.csv"),
    ] {
        assert_eq!(printed(sheet), wanted);
    }
}
