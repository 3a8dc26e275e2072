//! What codes mean: one with its example, or all with a line each.

use crate::problem::{CodeKind, Explained, Side};
use crate::render::document::{Document, Row};
use crate::render::json::written;
use crate::render::page::Page;
use schemars::JsonSchema;
use serde::Serialize;

/// `dutyfit.codes/1`: codes of faults and doubts, explained.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CodesFile<'a> {
    /// Always `dutyfit.codes/1`.
    #[schemars(extend("const" = "dutyfit.codes/1"))]
    format: &'static str,
    /// The codes.
    codes: &'a [Explained],
}

/// One code, explained.
#[derive(Debug)]
pub struct CodeShown<'a>(pub &'a Explained);

/// All codes, a line each.
#[derive(Debug)]
pub struct CodeList<'a>(pub &'a [Explained]);

impl CodeShown<'_> {
    /// As text.
    pub fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As JSON, `dutyfit.codes/1` with one code.
    pub fn json(&self) -> String {
        CodeList(std::slice::from_ref(self.0)).json()
    }

    /// As Markdown.
    pub fn markdown(&self) -> String {
        self.document().markdown()
    }

    fn document(&self) -> Document {
        let e = self.0;
        let mut doc = Document::default();
        doc.answer(format!("{} ({}): {}", e.code, kind(e.kind), e.means));
        doc.paragraph(format!("Why it matters: {}", e.why));
        doc.paragraph(format!("How to mend it: {}", e.mend));
        let Some(example) = &e.example else {
            return doc;
        };
        for file in &example.files {
            let at = match file.at {
                Some((0, _)) | None => String::new(),
                Some((line, column)) => format!(", found at line {line}, column {column}"),
            };
            doc.heading(format!("For example in {}{at}", file.name));
            doc.verbatim(
                file.lines
                    .iter()
                    .map(|(side, line)| format!("{} {line}", mark(*side)).trim_end().to_owned())
                    .collect(),
            );
        }
        if let Some(typed) = example.typed {
            doc.heading("For example, typed");
            let mut lines = vec![format!("- dutyfit {typed}")];
            lines.extend(example.mended.map(|m| format!("+ dutyfit {m}")));
            doc.verbatim(lines);
        }
        doc
    }
}

impl CodeList<'_> {
    /// As text.
    pub fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As JSON, `dutyfit.codes/1`.
    pub fn json(&self) -> String {
        written(&CodesFile {
            format: "dutyfit.codes/1",
            codes: self.0,
        })
    }

    /// As Markdown.
    pub fn markdown(&self) -> String {
        self.document().markdown()
    }

    fn document(&self) -> Document {
        let mut doc = Document::default();
        for (of, title) in [
            (
                CodeKind::Error,
                "Errors: the line, file or case cannot be used",
            ),
            (
                CodeKind::Doubt,
                "Doubts: it can be used, but deserves a second look",
            ),
            (
                CodeKind::Command,
                "Faults of what was typed, or of a file named there",
            ),
        ] {
            doc.heading(title);
            let rows = self
                .0
                .iter()
                .filter(|e| e.kind == of)
                .map(|e| Row {
                    cells: vec![e.code.into(), e.means.clone().into()],
                    shorter: None,
                })
                .collect();
            doc.table(&["code", "what it means"], &[], rows);
        }
        doc
    }
}

fn kind(of: CodeKind) -> &'static str {
    match of {
        CodeKind::Error => "error",
        CodeKind::Doubt => "doubt",
        CodeKind::Command => "error of a command line",
    }
}

fn mark(side: Side) -> char {
    match side {
        Side::Both => ' ',
        Side::Bad => '-',
        Side::Mended => '+',
    }
}
