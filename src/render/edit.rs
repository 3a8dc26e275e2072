//! What a command changed in the files: text, Markdown and JSON.

use crate::catalog::{Aside, EXAMPLE, RenamedFile};
use crate::render::Told;
use crate::render::document::{Document, Row};
use crate::render::json::{ToldOut, written};
use crate::render::page::Page;
use crate::render::words::{count, list};
use schemars::JsonSchema;
use serde::Serialize;

/// A run set aside or taken back.
pub(crate) struct AsideShown<'a> {
    /// The run.
    pub(crate) run: &'a str,
    /// Its test.
    pub(crate) test: &'a str,
    /// Its material.
    pub(crate) material: &'a str,
    /// Its file as the user names it.
    pub(crate) file: &'a str,
    /// Whether it was taken back.
    pub(crate) back: bool,
    /// What was written.
    pub(crate) aside: &'a Aside,
    /// What that changed.
    pub(crate) told: &'a Told,
}

/// `dutyfit.set-aside/1`: a run set aside or taken back.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct AsideFile {
    /// `dutyfit.set-aside/1`.
    #[schemars(extend("const" = "dutyfit.set-aside/1"))]
    format: &'static str,
    /// Run id.
    run: String,
    /// Test id.
    test: String,
    /// Material id.
    material: String,
    /// Whether the specimens count from now on.
    counts: bool,
    /// Numbers of the specimens that changed.
    specimens: Vec<u32>,
    /// The file that holds them.
    file: String,
    /// How many of its lines got the entry.
    lines: usize,
    /// The entry of the log.
    entry: String,
    /// Columns that the file got for it.
    new_columns: Vec<&'static str>,
    /// What it changed in every case.
    told: ToldOut,
}

impl AsideShown<'_> {
    /// As text.
    pub(crate) fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub(crate) fn markdown(&self) -> String {
        self.document().markdown()
    }

    /// As JSON.
    pub(crate) fn json(&self) -> String {
        written(&AsideFile {
            format: "dutyfit.set-aside/1",
            run: self.run.to_owned(),
            test: self.test.to_owned(),
            material: self.material.to_owned(),
            counts: self.back,
            specimens: self.aside.specimens.clone(),
            file: self.file.to_owned(),
            lines: self.aside.lines,
            entry: self.aside.entry.clone(),
            new_columns: if self.aside.widened {
                vec!["set_aside"]
            } else {
                Vec::new()
            },
            told: ToldOut::new(self.told),
        })
    }

    fn document(&self) -> Document {
        let mut doc = Document::default();
        let numbers: Vec<String> = self.aside.specimens.iter().map(u32::to_string).collect();
        let which = match numbers.as_slice() {
            [one] => format!("specimen {one}"),
            many => format!("specimens {}", list(many)),
        };
        let of = format!(
            "{which} of {} run {}, {}",
            self.test, self.run, self.material
        );
        let done = if self.back {
            "Counted again"
        } else {
            "Set aside"
        };
        doc.answer(format!("{done}: {of}."));
        let lines = count(self.aside.lines as u64, "line", "lines");
        let mut written = vec![format!(
            "\"{}\" on {lines} of {}",
            self.aside.entry, self.file
        )];
        if self.aside.widened {
            written
                .push("the file got the column `set_aside` for it, blank on all others".to_owned());
        }
        doc.list("Written", written);
        self.told.tell(&mut doc);
        let only = self
            .aside
            .asked
            .map_or_else(String::new, |n| format!(" --specimen {n}"));
        doc.paragraph(if self.back {
            format!("See what it says: `dutyfit show {}`.", self.material)
        } else {
            format!(
                "Kept, and not counted; it stays in sight: `dutyfit show {}`. Take it back: `dutyfit set-aside {}{only} --undo`.",
                self.material, self.run
            )
        });
        doc
    }
}

/// A material with another id.
pub(crate) struct RenamedShown<'a> {
    /// The id it had.
    pub(crate) from: &'a str,
    /// The id it has.
    pub(crate) to: &'a str,
    /// The files that named it.
    pub(crate) files: Vec<RenamedFile>,
}

/// `dutyfit.rename/1`: a material with another id.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct RenameFile {
    /// `dutyfit.rename/1`.
    #[schemars(extend("const" = "dutyfit.rename/1"))]
    format: &'static str,
    /// The id it had.
    from: String,
    /// The id it has.
    to: String,
    /// The files that named it.
    files: Vec<RenamedOut>,
}

/// One file that named the material.
#[derive(Debug, Serialize, JsonSchema)]
struct RenamedOut {
    /// File.
    file: String,
    /// How often.
    places: usize,
}

impl RenamedShown<'_> {
    /// As text.
    pub(crate) fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub(crate) fn markdown(&self) -> String {
        self.document().markdown()
    }

    /// As JSON.
    pub(crate) fn json(&self) -> String {
        let files = self.files.iter().map(|f| RenamedOut {
            file: f.file.clone(),
            places: f.places,
        });
        written(&RenameFile {
            format: "dutyfit.rename/1",
            from: self.from.to_owned(),
            to: self.to.to_owned(),
            files: files.collect(),
        })
    }

    fn document(&self) -> Document {
        let mut doc = Document::default();
        doc.answer(format!(
            "{} is called {} now, in every file that named it.",
            self.from, self.to
        ));
        let row = |f: &RenamedFile| Row {
            cells: vec![f.places.to_string().into(), f.file.clone().into()],
            shorter: None,
        };
        doc.table(
            &["places", "file"],
            &[0],
            self.files.iter().map(row).collect(),
        );
        doc.paragraph(
            "Notes, comments and your own `#` columns stay as they were. Random draws go by the id: \
             scores can move within their standard errors.",
        );
        doc
    }
}

/// A fresh workspace.
pub(crate) struct InitShown {
    /// Its folder as the user named it.
    pub(crate) folder: String,
    /// Its files, by workspace name.
    pub(crate) files: Vec<String>,
}

/// `dutyfit.init/1`: a fresh workspace.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct InitFile {
    /// `dutyfit.init/1`.
    #[schemars(extend("const" = "dutyfit.init/1"))]
    format: &'static str,
    /// Its folder.
    folder: String,
    /// Its files, from that folder on.
    files: Vec<String>,
}

impl InitShown {
    /// As text.
    pub(crate) fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub(crate) fn markdown(&self) -> String {
        self.document().markdown()
    }

    /// As JSON.
    pub(crate) fn json(&self) -> String {
        written(&InitFile {
            format: "dutyfit.init/1",
            folder: self.folder.clone(),
            files: self.files.clone(),
        })
    }

    fn document(&self) -> Document {
        let mut doc = Document::default();
        doc.answer(format!(
            "{} holds a workspace now: an empty catalog, an example case, schemas, and a README that tells the loop.",
            self.folder
        ));
        doc.list("Files", self.files.clone());
        let next = [
            (
                format!("cd {}", self.folder),
                "the folder that every command looks in",
            ),
            (
                "dutyfit form flexure".to_owned(),
                "an empty sheet for the bench",
            ),
            (
                format!("dutyfit shortlist {EXAMPLE}"),
                "what the example case still lacks",
            ),
            ("dutyfit lint".to_owned(), "everything wrong or doubtful"),
        ];
        let row = |(command, what): (String, &str)| Row {
            cells: vec![command.into(), what.into()],
            shorter: None,
        };
        doc.table(&["next", "what"], &[], next.map(row).to_vec());
        doc
    }
}
