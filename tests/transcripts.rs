//! README.md and the transcripts in `tests/cmd/` are executed as they stand.

#[test]
fn transcripts() {
    trycmd::TestCases::new()
        .env("NO_COLOR", "1")
        .case("tests/cmd/*.md")
        .case("README.md");
}
