//! The page: wrapped paragraphs, aligned rows, and colour as a help only.

use tabled::builder::Builder;
use tabled::grid::util::string::get_line_width;
use tabled::settings::object::{Cell as At, Columns};
use tabled::settings::{Alignment, Color, Padding, Style};

/// Narrowest last column before its text goes below its row.
const LEAST_LAST_COLUMN: usize = 24;
/// Spaces between columns.
pub(super) const GAP: usize = 2;

/// What answers are set on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Page {
    /// Columns.
    pub width: usize,
    /// Whether colour codes may be written.
    pub colour: bool,
}

/// What a piece of text is. The word says it; the colours (blue, yellow and
/// magenta against each other) only help, and are told apart without red and green.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tone {
    Plain,
    Good,
    Near,
    Open,
    Bad,
    Loud,
}

impl Tone {
    fn style(self) -> anstyle::Style {
        use anstyle::AnsiColor::{BrightCyan, Magenta, Yellow};
        match self {
            Tone::Plain => anstyle::Style::new(),
            Tone::Good => BrightCyan.on_default().bold(),
            Tone::Near => Yellow.on_default(),
            Tone::Open => anstyle::Style::new().dimmed(),
            Tone::Bad => Magenta.on_default(),
            Tone::Loud => anstyle::Style::new().bold().invert(),
        }
    }
}

/// One cell of a row.
#[derive(Clone, Debug)]
pub(super) struct Cell {
    text: String,
    tone: Tone,
}

impl Cell {
    pub(super) fn toned(text: impl Into<String>, tone: Tone) -> Self {
        Cell {
            text: text.into(),
            tone,
        }
    }

    pub(super) fn text(&self) -> &str {
        &self.text
    }

    pub(super) fn map(self, f: impl Fn(&str) -> String) -> Self {
        Cell {
            text: f(&self.text),
            ..self
        }
    }
}

impl<S: Into<String>> From<S> for Cell {
    fn from(text: S) -> Self {
        Cell::toned(text, Tone::Plain)
    }
}

impl Page {
    /// Text in its tone.
    pub(super) fn paint(self, text: &str, tone: Tone) -> String {
        if self.colour && tone != Tone::Plain {
            let style = tone.style();
            format!("{style}{text}{style:#}")
        } else {
            text.to_owned()
        }
    }

    /// A paragraph broken at spaces; the first line begins with `first`, the others with `rest`.
    pub(super) fn paragraph(self, first: &str, rest: &str, text: &str) -> String {
        let mut out = String::new();
        let mut line = first.to_owned();
        let mut begun = false;
        for word in text.split_whitespace() {
            let gap = usize::from(begun);
            if begun && get_line_width(&line) + gap + get_line_width(word) > self.width {
                out.push_str(line.trim_end());
                out.push('\n');
                rest.clone_into(&mut line);
                begun = false;
            }
            if begun {
                line.push(' ');
            }
            line.push_str(word);
            begun = true;
        }
        out.push_str(line.trim_end());
        out.push('\n');
        out
    }

    /// Aligned rows; the last column is broken to fit, the columns in `right` stand to the right.
    pub(super) fn rows(self, rows: &[Vec<Cell>], right: &[usize]) -> String {
        let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
        if columns == 0 {
            return String::new();
        }
        let last = columns.saturating_sub(1);
        let widest = |c: usize| {
            rows.iter()
                .filter_map(|r| r.get(c))
                .map(|cell| get_line_width(&cell.text))
                .max()
                .unwrap_or(0)
        };
        let before: usize = (0..last).map(|c| widest(c) + GAP).sum();
        let room = self.width.saturating_sub(before);
        if room < LEAST_LAST_COLUMN && widest(last) > room {
            return self.stacked(rows, right, last);
        }
        let mut builder = Builder::default();
        for row in rows {
            builder.push_record((0..columns).map(|c| {
                let text = row.get(c).map_or("", |cell| cell.text.as_str());
                if c == last {
                    Page {
                        width: room,
                        ..self
                    }
                    .paragraph("", "", text)
                    .trim_end()
                    .to_owned()
                } else {
                    text.to_owned()
                }
            }));
        }
        let mut table = builder.build();
        table.with(Style::empty()).with(Padding::new(0, GAP, 0, 0));
        for c in right {
            table.modify(Columns::one(*c), Alignment::right());
        }
        if self.colour {
            for (r, row) in rows.iter().enumerate() {
                for (c, cell) in row.iter().enumerate() {
                    if cell.tone != Tone::Plain {
                        let style = cell.tone.style();
                        table.modify(
                            At::new(r, c),
                            Color::new(
                                style.render().to_string(),
                                style.render_reset().to_string(),
                            ),
                        );
                    }
                }
            }
        }
        trimmed(&table.to_string())
    }

    /// On a narrow page the last column goes below its row.
    fn stacked(self, rows: &[Vec<Cell>], right: &[usize], last: usize) -> String {
        let heads: Vec<Vec<Cell>> = rows
            .iter()
            .map(|r| r.iter().take(last).cloned().collect())
            .collect();
        let heads = Page {
            width: usize::MAX,
            ..self
        }
        .rows(&heads, right);
        let mut out = String::new();
        for (head, row) in heads.lines().zip(rows) {
            out.push_str(head);
            out.push('\n');
            if let Some(cell) = row.get(last).filter(|c| !c.text.is_empty()) {
                out.push_str(&self.paragraph("    ", "    ", &cell.text));
            }
        }
        out
    }
}

pub(super) fn trimmed(text: &str) -> String {
    let mut out = String::new();
    for line in text.lines() {
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

/// Rows of a Markdown table; the first is its head. Cells must be escaped already.
pub(super) fn markdown_table(rows: &[Vec<String>]) -> String {
    let Some(head) = rows.first() else {
        return String::new();
    };
    let mut builder = Builder::default();
    for row in rows {
        builder.push_record((0..head.len()).map(|c| row.get(c).cloned().unwrap_or_default()));
    }
    let mut table = builder.build();
    table.with(Style::markdown());
    trimmed(&table.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: Page = Page {
        width: 40,
        colour: false,
    };

    #[test]
    fn the_last_column_is_broken_to_the_page() {
        let rows = vec![
            vec![
                "1".into(),
                "petg-a".into(),
                "a clamp load of 610 N left of 300".into(),
            ],
            vec!["10".into(), "x".into(), "short".into()],
        ];
        let text = PAGE.rows(&rows, &[0]);
        assert_eq!(
            text,
            " 1  petg-a  a clamp load of 610 N left\n            of 300\n10  x       short\n"
        );
        assert!(text.lines().all(|l| l.len() <= 40));
    }

    #[test]
    fn a_narrow_page_puts_the_last_column_below() {
        let page = Page {
            width: 24,
            colour: false,
        };
        let rows = vec![vec![
            "1".into(),
            "petg-a".into(),
            "a clamp load of 610 N left".into(),
        ]];
        assert_eq!(
            page.rows(&rows, &[]),
            "1  petg-a\n    a clamp load of 610\n    N left\n"
        );
    }

    #[test]
    fn colour_is_only_a_help() {
        let rows = vec![vec![Cell::toned("fit", Tone::Good), "x".into()]];
        let plain = PAGE.rows(&rows, &[]);
        let coloured = Page {
            colour: true,
            ..PAGE
        }
        .rows(&rows, &[]);
        assert_eq!(plain, "fit  x\n");
        assert_eq!(anstream::adapter::strip_str(&coloured).to_string(), plain);
        assert_ne!(plain, coloured);
    }
}
