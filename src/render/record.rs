//! What was recorded, for people, for programs and for pages.

use crate::catalog::Recorded;
use crate::render::Told;
use crate::render::json::{ToldOut, written};
use crate::render::page::Page;
use crate::render::reduce::{ReducedSheet, RunOut};
use crate::render::words::{count, markdown, safe};
use serde::Serialize;

/// What `record` did, or would do.
pub(crate) struct RecordAnswer<'a> {
    /// Whether nothing was written.
    pub(crate) dry_run: bool,
    /// The day of recording.
    pub(crate) recorded: &'a str,
    /// The sheets.
    pub(crate) sheets: Vec<RecordedSheet<'a>>,
    /// What was read otherwise than it stands, and what was done beside.
    pub(crate) notices: Vec<String>,
    /// What the new readings mean.
    pub(crate) told: Told,
}

/// One sheet and what its runs say.
pub(crate) struct RecordedSheet<'a> {
    /// What was added.
    pub(crate) sheet: Recorded,
    /// Its runs, reduced.
    pub(crate) reduced: Option<ReducedSheet<'a>>,
}

/// `dutyfit.record/1`: filled sheets put into the catalog.
#[derive(Debug, Serialize, schemars::JsonSchema)]
pub(crate) struct RecordFile {
    /// `dutyfit.record/1`.
    #[schemars(extend("const" = "dutyfit.record/1"))]
    format: &'static str,
    /// Whether nothing was written.
    dry_run: bool,
    /// The day of recording.
    recorded: String,
    /// How many lines were added.
    lines: usize,
    /// Sheets in their order.
    sheets: Vec<SheetOut>,
    /// What was read otherwise than it stands, and what was done beside.
    notices: Vec<String>,
    /// What the new readings mean.
    told: ToldOut,
}

/// One sheet.
#[derive(Debug, Serialize, schemars::JsonSchema)]
struct SheetOut {
    /// The file, and the sheet in it.
    sheet: String,
    /// Test id.
    test: &'static str,
    /// The file of the catalog that grew.
    into: String,
    /// Lines added.
    lines: usize,
    /// Its runs as they now stand.
    runs: Vec<RunOut>,
}

impl RecordAnswer<'_> {
    fn lines(&self) -> usize {
        self.sheets.iter().map(|s| s.sheet.lines).sum()
    }

    fn first_line(&self) -> String {
        let runs: usize = self.sheets.iter().map(|s| s.sheet.runs.len()).sum();
        let lines = count(self.lines() as u64, "line", "lines");
        let runs = count(runs as u64, "run", "runs");
        match (self.lines(), self.dry_run) {
            (0, _) => "Nothing to record: no line holds a reading or an outcome.".to_owned(),
            (_, true) => {
                format!(
                    "Dry run, nothing is written: {lines} in {runs} would be recorded, and {}.",
                    self.told.headline()
                )
            }
            _ => format!("Recorded {lines} in {runs}; {}.", self.told.headline()),
        }
    }

    fn sheet_line(sheet: &Recorded) -> String {
        format!(
            "{}, {} of {} into {}; means with their 90 % interval, from each run alone.",
            sheet.test,
            count(sheet.lines as u64, "line", "lines"),
            sheet.sheet,
            sheet.into
        )
    }

    /// For a screen.
    pub(crate) fn text(&self, page: Page) -> String {
        let mut out = page.paragraph("", "", &self.first_line());
        for notice in &self.notices {
            out.push_str(&page.paragraph("", "  ", &format!("Note: {}", safe(notice))));
        }
        for s in &self.sheets {
            out.push('\n');
            out.push_str(&page.paragraph("", "  ", &safe(&Self::sheet_line(&s.sheet))));
            if let Some(r) = &s.reduced {
                out.push_str(&r.runs_text(page));
            }
        }
        out.push_str(&self.told.document().text(page));
        out
    }

    /// For a page.
    pub(crate) fn markdown(&self) -> String {
        let mut out = format!("**{}**\n", markdown(&self.first_line()));
        if !self.notices.is_empty() {
            out.push('\n');
        }
        for notice in &self.notices {
            out.push_str(&format!("- {}\n", markdown(notice)));
        }
        for s in &self.sheets {
            out.push_str(&format!("\n{}\n", markdown(&Self::sheet_line(&s.sheet))));
            if let Some(r) = &s.reduced {
                out.push_str(&r.runs_markdown());
            }
        }
        let told = self.told.document().markdown();
        if !told.is_empty() {
            out.push('\n');
            out.push_str(&told);
        }
        out
    }

    /// As JSON, `dutyfit.record/1`.
    pub(crate) fn json(&self) -> String {
        written(&RecordFile {
            format: "dutyfit.record/1",
            dry_run: self.dry_run,
            recorded: self.recorded.to_owned(),
            lines: self.lines(),
            sheets: self
                .sheets
                .iter()
                .map(|s| SheetOut {
                    sheet: s.sheet.sheet.clone(),
                    test: s.sheet.test,
                    into: s.sheet.into.clone(),
                    lines: s.sheet.lines,
                    runs: s
                        .reduced
                        .as_ref()
                        .map(ReducedSheet::runs_out)
                        .unwrap_or_default(),
                })
                .collect(),
            notices: self.notices.clone(),
            told: ToldOut::new(&self.told),
        })
    }
}
