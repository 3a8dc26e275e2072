//! The part kinds: what they take, which limits they set, and where the formulas come from.

use crate::duty::{PartKind, parts};
use crate::render::document::{Document, Row};
use crate::render::json::written;
use crate::render::page::Page;
use schemars::JsonSchema;
use serde::Serialize;

/// One part kind, for people.
#[derive(Clone, Copy)]
pub struct PartShown<'a>(pub &'a PartKind);

/// `dutyfit.parts/1`: the part kinds.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct PartsFile {
    /// `dutyfit.parts/1`.
    #[schemars(extend("const" = "dutyfit.parts/1"))]
    format: &'static str,
    /// Part kinds, in the registry's order.
    parts: Vec<PartOut>,
}

/// One part kind.
#[derive(Debug, Serialize, JsonSchema)]
struct PartOut {
    /// Id.
    id: &'static str,
    /// What it is.
    title: &'static str,
    /// JSON Schema of its inputs.
    inputs: schemars::Schema,
    /// Its formulas.
    formulas: Vec<FormulaOut>,
}

/// One formula.
#[derive(Debug, Serialize, JsonSchema)]
struct FormulaOut {
    /// Limit or aim that it serves.
    limit: &'static str,
    /// Formula.
    formula: &'static str,
    /// Where it holds.
    validity: &'static str,
    /// Source and status.
    source: &'static str,
}

impl From<&PartKind> for PartOut {
    fn from(p: &PartKind) -> Self {
        PartOut {
            id: p.id,
            title: p.title,
            inputs: (p.schema)(),
            formulas: p
                .formulas
                .iter()
                .map(|f| FormulaOut {
                    limit: f.limit,
                    formula: f.formula,
                    validity: f.validity,
                    source: f.source,
                })
                .collect(),
        }
    }
}

fn file<'a>(kinds: impl IntoIterator<Item = &'a PartKind>) -> PartsFile {
    PartsFile {
        format: "dutyfit.parts/1",
        parts: kinds.into_iter().map(PartOut::from).collect(),
    }
}

/// All part kinds.
#[derive(Clone, Copy, Debug)]
pub struct PartList;

impl PartList {
    /// As text, a line each.
    pub fn text(self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub fn markdown(self) -> String {
        self.document().markdown()
    }

    /// As JSON, `dutyfit.parts/1`.
    pub fn json(self) -> String {
        written(&file(parts()))
    }

    fn document(self) -> Document {
        let mut doc = Document::default();
        let rows = parts()
            .iter()
            .map(|p| Row {
                cells: vec![p.id.into(), p.title.into()],
                shorter: None,
            })
            .collect();
        doc.table(&["part", "what it is"], &[], rows);
        doc
    }
}

impl PartShown<'_> {
    /// As text.
    pub fn text(self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub fn markdown(self) -> String {
        self.document().markdown()
    }

    /// As JSON, `dutyfit.parts/1`.
    pub fn json(self) -> String {
        written(&file([self.0]))
    }

    fn document(self) -> Document {
        let kind = self.0;
        let mut doc = Document::default();
        doc.answer(format!("{}: {}", kind.id, kind.title));
        doc.table(&["input", "needed", "what"], &[], inputs(kind));
        let rows = kind
            .formulas
            .iter()
            .map(|f| Row {
                cells: vec![
                    f.limit.into(),
                    format!("{}. Holds: {}. Source: {}", f.formula, f.validity, f.source).into(),
                ],
                shorter: None,
            })
            .collect();
        doc.table(&["limit or aim", "formula"], &[], rows);
        doc
    }
}

/// Name, need and description of each input, from the schema of the part's own type.
fn inputs(kind: &PartKind) -> Vec<Row> {
    let schema = (kind.schema)();
    let needed: Vec<&str> = schema
        .get("required")
        .and_then(|r| r.as_array())
        .map(|r| r.iter().filter_map(|n| n.as_str()).collect())
        .unwrap_or_default();
    let Some(properties) = schema.get("properties").and_then(|p| p.as_object()) else {
        return Vec::new();
    };
    properties
        .iter()
        .map(|(name, about)| {
            let what = about
                .get("description")
                .and_then(|d| d.as_str())
                .unwrap_or("");
            let need = if needed.contains(&name.as_str()) {
                "yes"
            } else {
                ""
            };
            Row {
                cells: vec![name.as_str().into(), need.into(), what.into()],
                shorter: None,
            }
        })
        .collect()
}
