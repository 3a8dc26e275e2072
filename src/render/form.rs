//! Empty sheets for programs and for pages, and the list of tests.

use crate::bench::BenchTest;
use crate::catalog::Form;
use crate::render::document::{Document, Row};
use crate::render::json::written;
use crate::render::page::Page;
use crate::render::words::markdown;
use serde::Serialize;

/// An empty sheet.
pub(crate) struct FormShown<'a> {
    /// It.
    pub(crate) form: &'a Form,
}

/// All tests that have a sheet.
pub(crate) struct FormList<'a> {
    /// They.
    pub(crate) tests: &'a [&'static dyn BenchTest],
}

/// `dutyfit.form/1`: the empty sheet of a test.
#[derive(Debug, Serialize, schemars::JsonSchema)]
pub(crate) struct FormFile {
    /// `dutyfit.form/1`.
    #[schemars(extend("const" = "dutyfit.form/1"))]
    format: &'static str,
    /// Test id.
    test: &'static str,
    /// Title.
    title: &'static str,
    /// How to measure.
    measure: Vec<&'static str>,
    /// What goes wrong.
    beware: Vec<&'static str>,
    /// Columns in their order, needed ones first.
    columns: Vec<ColumnOut>,
    /// Lines, with what is filled in beforehand.
    rows: Vec<Vec<String>>,
}

/// A column.
#[derive(Debug, Serialize, schemars::JsonSchema)]
struct ColumnOut {
    /// Header with its unit.
    header: String,
    /// Whether it must be filled.
    needed: bool,
    /// What it is.
    about: String,
    /// The words it takes, where they are a closed list.
    words: Vec<String>,
}

/// `dutyfit.forms/1`: the tests that have a sheet.
#[derive(Debug, Serialize, schemars::JsonSchema)]
pub(crate) struct FormsFile {
    /// `dutyfit.forms/1`.
    #[schemars(extend("const" = "dutyfit.forms/1"))]
    format: &'static str,
    /// Tests.
    tests: Vec<TestOut>,
}

/// A test.
#[derive(Debug, Serialize, schemars::JsonSchema)]
struct TestOut {
    /// Id.
    test: &'static str,
    /// Title.
    title: &'static str,
    /// Properties it gives.
    gives: Vec<&'static str>,
}

impl FormShown<'_> {
    /// As JSON, `dutyfit.form/1`.
    pub(crate) fn json(&self) -> String {
        let howto = self.form.test.howto();
        written(&FormFile {
            format: "dutyfit.form/1",
            test: self.form.test.id(),
            title: self.form.test.title(),
            measure: howto.measure.to_vec(),
            beware: howto.beware.to_vec(),
            columns: self
                .form
                .columns
                .iter()
                .map(|c| ColumnOut {
                    header: c.header.clone(),
                    needed: c.needed,
                    about: c.about.clone(),
                    words: c.words.clone(),
                })
                .collect(),
            rows: self.form.rows.clone(),
        })
    }

    /// For a page: the advice, and what each column is.
    pub(crate) fn markdown(&self) -> String {
        let test = self.form.test;
        let howto = test.howto();
        let mut out = format!("## {}\n\n", markdown(test.title()));
        for m in howto.measure {
            out.push_str(&format!("- {}\n", markdown(m)));
        }
        for b in howto.beware {
            out.push_str(&format!("- Beware: {}\n", markdown(b)));
        }
        out.push('\n');
        let mut doc = Document::default();
        let rows = self
            .form
            .columns
            .iter()
            .map(|c| Row {
                cells: vec![
                    c.header.clone().into(),
                    if c.needed { "yes" } else { "" }.to_owned().into(),
                    c.about.clone().into(),
                    c.words.join(", ").into(),
                ],
                shorter: None,
            })
            .collect();
        doc.table(&["column", "needed", "what", "words"], &[], rows);
        out.push_str(&doc.markdown());
        out
    }
}

impl FormList<'_> {
    fn document(&self) -> Document {
        let mut doc = Document::default();
        doc.answer(
            "Empty sheets, printed by `dutyfit form TEST`; `--out FILE.xlsx` makes a spreadsheet.",
        );
        let rows = self
            .tests
            .iter()
            .map(|t| {
                let gives = if t.gives().is_empty() {
                    t.title().to_owned()
                } else {
                    t.gives().join(", ")
                };
                Row {
                    cells: vec![t.id().to_owned().into(), gives.into()],
                    shorter: None,
                }
            })
            .collect();
        doc.table(&["test", "gives"], &[], rows);
        doc
    }

    /// For a screen.
    pub(crate) fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// For a page.
    pub(crate) fn markdown(&self) -> String {
        self.document().markdown()
    }

    /// As JSON, `dutyfit.forms/1`.
    pub(crate) fn json(&self) -> String {
        written(&FormsFile {
            format: "dutyfit.forms/1",
            tests: self
                .tests
                .iter()
                .map(|t| TestOut {
                    test: t.id(),
                    title: t.title(),
                    gives: t.gives().to_vec(),
                })
                .collect(),
        })
    }
}
