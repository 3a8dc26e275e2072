//! An answer as blocks, written as text or as Markdown. User text is made safe here, once.

use crate::render::grid::Grid;
use crate::render::page::{Cell, Page, Tone, markdown_table};
use crate::render::words::{markdown, safe};

/// Lines that a short answer may take before its cautions, on any page.
const SHORT_ANSWER: usize = 24;
/// Lines that one labelled list may take in a short answer.
const SHORT_LIST: usize = 2;

/// One row of a table.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// Cells.
    pub(super) cells: Vec<Cell>,
    /// What the last cell says where there is little room.
    pub(super) shorter: Option<String>,
}

/// A block of an answer.
#[derive(Clone, Debug)]
pub(super) enum Block {
    /// A heading; text leaves an empty line before it.
    Heading(String),
    /// The sentence that answers, and those that belong to it.
    Answer(String),
    /// A paragraph.
    Paragraph(String),
    /// Aligned rows.
    Table {
        /// Column names.
        head: Vec<&'static str>,
        /// Rows.
        rows: Vec<Row>,
        /// Columns of figures.
        right: Vec<usize>,
    },
    /// A table of many columns, broken into several where the page is narrow.
    Grid(Grid),
    /// Footnotes, each with its mark.
    Notes(Vec<(String, String)>),
    /// A label and what belongs to it, parted by `; ` or `, `.
    List {
        /// Label.
        label: String,
        /// Items.
        items: Vec<String>,
    },
    /// Lines of a file as they stand, each with the mark of a difference before it.
    Verbatim(Vec<String>),
    /// An empty line.
    Gap,
    /// A caution: never shortened.
    Caution {
        /// `CAUTION, severe`; `Note` for the mildest.
        label: String,
        /// Its text.
        text: String,
        /// Whom to ask, what to defer to, what raised it.
        more: Vec<String>,
        /// Whether it stands out.
        loud: bool,
    },
}

/// An answer as blocks.
#[derive(Clone, Debug, Default)]
pub(super) struct Document {
    pub(super) blocks: Vec<Block>,
}

impl Document {
    pub(super) fn heading(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Heading(text.into()));
    }
    pub(super) fn answer(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Answer(text.into()));
    }
    pub(super) fn paragraph(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Paragraph(text.into()));
    }
    /// Adds a list, unless it is empty.
    pub(super) fn list(&mut self, label: impl Into<String>, items: Vec<String>) {
        if !items.is_empty() {
            self.blocks.push(Block::List {
                label: label.into(),
                items,
            });
        }
    }
    /// Adds a table, unless it has no row.
    pub(super) fn table(&mut self, head: &[&'static str], right: &[usize], rows: Vec<Row>) {
        if !rows.is_empty() {
            self.blocks.push(Block::Table {
                head: head.to_vec(),
                rows,
                right: right.to_vec(),
            });
        }
    }

    /// Adds a table of many columns, unless it has no row.
    pub(super) fn grid(&mut self, grid: Grid) {
        if !grid.rows.is_empty() {
            self.blocks.push(Block::Grid(grid));
        }
    }
    /// Adds footnotes, unless there are none.
    pub(super) fn notes(&mut self, notes: Vec<(String, String)>) {
        if !notes.is_empty() {
            self.blocks.push(Block::Notes(notes));
        }
    }
    /// Adds an empty line.
    pub(super) fn gap(&mut self) {
        self.blocks.push(Block::Gap);
    }

    /// Adds lines of a file, which are never broken.
    pub(super) fn verbatim(&mut self, lines: Vec<String>) {
        self.blocks.push(Block::Verbatim(lines));
    }

    /// The whole answer as text.
    pub(super) fn text(&self, page: Page) -> String {
        let mut out = String::new();
        for block in &self.blocks {
            out.push_str(&whole(block, page));
        }
        out
    }

    /// The answer as text of at most [`SHORT_ANSWER`] lines before its cautions: lists are
    /// cut to their first items, then rows to their short form, then the last rows dropped.
    /// What is left out is counted.
    pub(super) fn short_text(&self, page: Page) -> String {
        let parts: Vec<String> = self.blocks.iter().map(|b| brief(b, page)).collect();
        let lines = |of: &dyn Fn(&Block) -> bool| -> usize {
            self.blocks
                .iter()
                .zip(&parts)
                .filter(|(b, _)| of(b))
                .map(|(_, text)| text.lines().count())
                .sum()
        };
        let others = lines(&|b| !matches!(b, Block::Caution { .. } | Block::Table { .. }));
        let room = SHORT_ANSWER.saturating_sub(others);
        let mut out = String::new();
        for (block, part) in self.blocks.iter().zip(&parts) {
            match block {
                Block::Table { head, rows, right } => {
                    out.push_str(&table_within(page, head, rows, right, room));
                }
                _ => out.push_str(part),
            }
        }
        out
    }

    /// The answer as Markdown.
    pub(super) fn markdown(&self) -> String {
        let mut out = String::new();
        for block in &self.blocks {
            if !out.is_empty() && !matches!(block, Block::Gap) {
                out.push('\n');
            }
            match block {
                Block::Gap => {}
                Block::Heading(t) => out.push_str(&format!("## {}\n", markdown(t))),
                Block::Answer(t) => out.push_str(&format!("**{}**\n", markdown(t))),
                Block::Paragraph(t) => out.push_str(&format!("{}\n", markdown(t))),
                Block::Verbatim(lines) => {
                    let lines: Vec<String> = lines.iter().map(|l| safe(l)).collect();
                    out.push_str(&format!("```diff\n{}\n```\n", lines.join("\n")));
                }
                Block::Table { head, rows, .. } => {
                    let mut all = vec![head.iter().map(|h| markdown(h)).collect::<Vec<_>>()];
                    all.extend(
                        rows.iter()
                            .map(|r| r.cells.iter().map(|c| markdown(c.text())).collect()),
                    );
                    out.push_str(&markdown_table(&all));
                }
                Block::Grid(grid) => out.push_str(&grid.markdown()),
                Block::Notes(notes) => {
                    for (mark, text) in notes {
                        out.push_str(&format!("- {} {}\n", markdown(mark), markdown(text)));
                    }
                }
                Block::List { label, items } => {
                    out.push_str(&format!("**{}**\n\n", markdown(label)));
                    for item in items {
                        out.push_str(&format!("- {}\n", markdown(item)));
                    }
                }
                Block::Caution {
                    label, text, more, ..
                } => {
                    out.push_str(&format!("> **{}**: {}\n", markdown(label), markdown(text)));
                    for m in more {
                        out.push_str(&format!(">\n> {}\n", markdown(m)));
                    }
                }
            }
        }
        out
    }
}

fn whole(block: &Block, page: Page) -> String {
    match block {
        Block::Gap => "\n".to_owned(),
        Block::Heading(t) => format!("\n{}\n", page.paragraph("", "", &safe(t)).trim_end()),
        Block::Answer(t) | Block::Paragraph(t) => page.paragraph("", "", &safe(t)),
        Block::Verbatim(lines) => lines.iter().map(|l| format!("  {}\n", safe(l))).collect(),
        Block::Table { head, rows, right } => table(page, head, rows, right, rows.len()),
        Block::Grid(grid) => format!("\n{}\n", grid.text(page)),
        Block::Notes(notes) => notes
            .iter()
            .map(|(mark, text)| {
                let indent = " ".repeat(mark.len() + 1);
                page.paragraph(&format!("{mark} "), &indent, &safe(text))
            })
            .collect(),
        Block::List { label, items } => list(page, label, items, items.len()),
        Block::Caution {
            label,
            text,
            more,
            loud,
        } => caution(page, label, text, more, *loud),
    }
}

fn brief(block: &Block, page: Page) -> String {
    let Block::List { label, items } = block else {
        return whole(block, page);
    };
    (1..=items.len())
        .rev()
        .map(|n| list(page, label, items, n))
        .find(|t| t.lines().count() <= SHORT_LIST)
        .unwrap_or_else(|| list(page, label, items, 1))
}

fn list(page: Page, label: &str, items: &[String], most: usize) -> String {
    let mut said: Vec<String> = items.iter().take(most).map(|i| safe(i)).collect();
    if let Some(rest) = items.get(most..).filter(|r| !r.is_empty()) {
        said.push(format!("{} more with --all", rest.len()));
    }
    // Items that hold commas are parted by semicolons.
    let between = if said.iter().any(|s| s.contains(',')) {
        "; "
    } else {
        ", "
    };
    page.paragraph(
        "",
        "  ",
        &format!("{}: {}", safe(label), said.join(between)),
    )
}

fn caution(page: Page, label: &str, text: &str, more: &[String], loud: bool) -> String {
    // The label is painted after wrapping, so that colour never moves a line break.
    let plain = format!("{}: {}", safe(label), safe(text));
    let mut out = page.paragraph("", "  ", &plain);
    for m in more {
        out.push_str(&page.paragraph("  ", "  ", &safe(m)));
    }
    if loud && let Some(rest) = out.strip_prefix(label) {
        out = page.paint(label, Tone::Loud) + rest;
    }
    out
}

/// A table in which the first `full` rows say all that they have to say.
fn table(page: Page, head: &[&'static str], rows: &[Row], right: &[usize], full: usize) -> String {
    let mut all: Vec<Vec<Cell>> = Vec::new();
    if head.iter().any(|h| !h.is_empty()) {
        all.push(head.iter().map(|h| Cell::toned(*h, Tone::Open)).collect());
    }
    for (i, row) in rows.iter().enumerate() {
        let mut cells: Vec<Cell> = row.cells.iter().map(|c| c.clone().map(safe)).collect();
        if let (true, Some(short), Some(last)) = (i >= full, &row.shorter, cells.last_mut()) {
            *last = Cell::toned(safe(short), Tone::Plain);
        }
        all.push(cells);
    }
    page.rows(&all, right)
}

/// As much of a table as `room` lines hold: rows but the first are shortened from the last
/// one up, then the last rows are left out and counted.
fn table_within(
    page: Page,
    head: &[&'static str],
    rows: &[Row],
    right: &[usize],
    room: usize,
) -> String {
    for full in (1..=rows.len()).rev() {
        let text = table(page, head, rows, right, full);
        if text.lines().count() <= room {
            return text;
        }
    }
    for keep in (1..rows.len()).rev() {
        let (kept, left) = rows.split_at(keep);
        let mut text = table(page, head, kept, right, 1);
        text.push_str(&format!("   and {} more, with --all\n", left.len()));
        if text.lines().count() <= room || keep == 1 {
            return text;
        }
    }
    table(page, head, rows, right, 1)
}
