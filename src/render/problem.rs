//! Problems drawn for people.

use crate::catalog::FileFault;
use crate::problem::{Fault, Place, Problem, Severity};
use crate::render::page::markdown_table;
use crate::render::words::{count, markdown, safe};
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

/// Width that source lines are trimmed to.
const WIDTH: usize = 100;

/// A fault without a place, such as a wrong argument.
pub fn fault(f: &Fault, colour: bool) -> String {
    let group = Level::ERROR
        .primary_title(safe(&f.what))
        .id(f.code)
        .element(Level::HELP.message(safe(&f.fix)));
    drawn(&[group], colour)
}

/// A file that could not be read or written.
pub fn file_fault(f: &FileFault, colour: bool) -> String {
    let group = Level::ERROR
        .primary_title(safe(&f.what))
        .id("file::unreadable")
        .element(Origin::path(safe(&f.file)))
        .element(Level::HELP.message(safe(&f.fix)));
    drawn(&[group], colour)
}

/// Problems with their places, at most `most` of them, and how many there are.
pub fn problems(all: &[Problem], most: Option<usize>, colour: bool) -> String {
    let shown = most.unwrap_or(all.len()).min(all.len());
    let mut out = String::new();
    for p in all.iter().take(shown) {
        out.push_str(&drawn(&[group(p)], colour));
        out.push('\n');
    }
    out.push_str(&tally(all));
    if shown < all.len() {
        out.push_str(&format!(
            "; the first {shown} are shown, and `dutyfit lint` lists all"
        ));
    }
    out.push('\n');
    out
}

/// All Problems as a page: a table a severity.
pub(crate) fn problems_markdown(all: &[Problem]) -> String {
    let mut out = format!("{}.\n", tally(all));
    for (severity, title) in [(Severity::Error, "Errors"), (Severity::Doubt, "Doubts")] {
        let of: Vec<&Problem> = all.iter().filter(|p| p.severity == severity).collect();
        if of.is_empty() {
            continue;
        }
        let mut rows = vec![
            ["place", "what", "what to write"]
                .map(str::to_owned)
                .to_vec(),
        ];
        rows.extend(of.into_iter().map(|p| {
            let place = match p.at.line {
                0 => p.at.file.clone(),
                line => format!("{}:{line}:{}", p.at.file, p.at.column),
            };
            [place.as_str(), &p.what, &p.fix].map(markdown).to_vec()
        }));
        out.push_str(&format!("\n## {title}\n\n{}", markdown_table(&rows)));
    }
    out
}

/// `2 errors and 1 doubt`.
pub(crate) fn tally(all: &[Problem]) -> String {
    let errors = all.iter().filter(|p| p.severity == Severity::Error).count();
    let doubts = all.len().saturating_sub(errors);
    if all.is_empty() {
        return "nothing is wrong or doubtful".to_owned();
    }
    let errors_said = count(errors as u64, "error", "errors");
    let doubts_said = count(doubts as u64, "doubt", "doubts");
    match (errors, doubts) {
        (_, 0) => errors_said,
        (0, _) => doubts_said,
        _ => format!("{errors_said} and {doubts_said}"),
    }
}

fn drawn(groups: &[Group<'_>], colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let mut text = renderer
        .decor_style(DecorStyle::Unicode)
        .term_width(WIDTH)
        .render(groups);
    text.push('\n');
    text
}

fn group(p: &Problem) -> Group<'_> {
    let level = match p.severity {
        Severity::Error => Level::ERROR,
        Severity::Doubt => Level::WARNING.with_name("doubt"),
    };
    let title = level.primary_title(safe(&p.what)).id(p.code.as_str());
    let at = &p.at;
    let group = match &at.source_line {
        Some(line) if at.line > 0 => title.element(
            Snippet::source(safe(line))
                .line_start(at.line)
                .path(safe(&at.file))
                .annotation(AnnotationKind::Primary.span(span(line, at))),
        ),
        _ => {
            let mut origin = Origin::path(safe(&at.file));
            if at.line > 0 {
                origin = origin.line(at.line).char_column(at.column.max(1));
            }
            title.element(origin)
        }
    };
    if p.fix.is_empty() {
        group
    } else {
        group.element(Level::HELP.message(safe(&p.fix)))
    }
}

/// Bytes of the marked text within the line as it is shown.
fn span(line: &str, at: &Place) -> std::ops::Range<usize> {
    let line = safe(line);
    let byte = |chars: usize| {
        line.char_indices()
            .nth(chars)
            .map_or(line.len(), |(i, _)| i)
    };
    let from = at.column.saturating_sub(1);
    byte(from)..byte(from.saturating_add(at.length.max(1)))
}
