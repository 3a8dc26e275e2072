//! What bad lines left out, above an answer that was given without them.

use crate::catalog::Skipped;
use crate::problem::Problem;
use crate::render::document::Document;
use crate::render::page::Page;
use crate::render::words::count;

/// How many bad lines are named above an answer.
const FEW: usize = 5;

/// As text.
pub(crate) fn skipped(skipped: &Skipped, page: Page) -> String {
    let mut doc = document(skipped);
    doc.gap();
    doc.text(page)
}

/// As Markdown.
pub(crate) fn skipped_markdown(skipped: &Skipped) -> String {
    document(skipped).markdown() + "\n"
}

fn document(skipped: &Skipped) -> Document {
    let all = &skipped.problems;
    let mut doc = Document::default();
    doc.paragraph(format!(
        "Answered without the lines that are wrong: {}.",
        count(all.len() as u64, "error", "errors")
    ));
    let mut lines: Vec<String> = all.iter().take(FEW).map(named).collect();
    if let Some(rest) = all.get(FEW..).filter(|r| !r.is_empty()) {
        lines.push(format!("{} more", rest.len()));
    }
    doc.list("Left out", lines);
    doc.list("Left out besides", skipped.besides.clone());
    doc
}

fn named(p: &Problem) -> String {
    match p.at.line {
        0 => format!("{}, {}", p.at.file, p.what),
        line => format!("{}:{line}:{}, {}", p.at.file, p.at.column, p.what),
    }
}
