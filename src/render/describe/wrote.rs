//! What a dialogue wrote: the limits that the case leads to, its cautions, what was assumed.

use crate::describe::SaidLine;
use crate::duty::{Case, Decline, Duty, Limit};
use crate::render::caution::{blocks, declined_block};
use crate::render::document::{Document, Row};
use crate::render::json::{AimOfCase, CautionOut, DeclinedOut, LimitOfCase, written};
use crate::render::page::Page;
use crate::render::words::{amount, article, asked, count};
use schemars::JsonSchema;
use serde::Serialize;

/// A case that was written.
pub(crate) struct Wrote<'a> {
    /// Its file as the user names it.
    pub(crate) file: &'a str,
    /// The text of that file.
    pub(crate) text: &'a str,
    /// Whether a file was replaced.
    pub(crate) replaced: bool,
    /// The case.
    pub(crate) case: &'a Case,
    /// Its duty.
    pub(crate) duty: &'a Duty,
    /// What was said.
    pub(crate) said: &'a [SaidLine],
    /// The command that ranks materials for it.
    pub(crate) next: &'a str,
}

/// `dutyfit.describe/1`: a case that a dialogue wrote, or why none was.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct DescribeFile<'a> {
    /// `dutyfit.describe/1`.
    #[schemars(extend("const" = "dutyfit.describe/1"))]
    format: &'static str,
    /// The file that was written; null where the use is declined.
    file: Option<&'a str>,
    /// Whether it replaced one.
    replaced: bool,
    /// The case as the file holds it; null where none was written.
    case: Option<serde_json::Value>,
    /// The limits that it leads to.
    limits: Vec<LimitOfCase<'a>>,
    /// Its aims, each with its scale.
    aims: Vec<AimOfCase<'a>>,
    /// Names of what was not known, with what stands in for it; null where nothing does.
    assumed: Vec<AssumedOut<'a>>,
    /// What it leaves to the defaults.
    defaults: Vec<DefaultOut<'a>>,
    /// What the part's mechanics left out or assumed.
    notes: &'a [String],
    /// Cautions, the gravest first.
    cautions: Vec<CautionOut>,
    /// Why nothing was written, where the use is declined.
    #[serde(skip_serializing_if = "Option::is_none")]
    declined: Option<DeclinedOut>,
    /// The command that ranks materials for it; null where none was written.
    next: Option<&'a str>,
}

/// Something that was not known.
#[derive(Debug, Serialize, JsonSchema)]
struct AssumedOut<'a> {
    /// Its name.
    name: &'a str,
    /// What stands in for it.
    value: Option<&'a str>,
}

/// Something left to its default.
#[derive(Debug, Serialize, JsonSchema)]
struct DefaultOut<'a> {
    /// Its name.
    name: &'a str,
    /// The default.
    value: &'a str,
}

impl Wrote<'_> {
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
        written(&DescribeFile {
            format: "dutyfit.describe/1",
            file: Some(self.file),
            replaced: self.replaced,
            case: serde_json::from_str(self.text).ok(),
            limits: self.duty.limits.iter().map(LimitOfCase::from).collect(),
            aims: self.duty.aims.iter().map(AimOfCase::from).collect(),
            assumed: self
                .assumed()
                .map(|l| AssumedOut {
                    name: &l.name,
                    value: l.value.as_deref(),
                })
                .collect(),
            defaults: self
                .case
                .defaults
                .iter()
                .map(|(name, value)| DefaultOut { name, value })
                .collect(),
            notes: &self.duty.notes,
            cautions: self.duty.cautions.iter().map(CautionOut::from).collect(),
            declined: None,
            next: Some(self.next),
        })
    }

    fn assumed(&self) -> impl Iterator<Item = &SaidLine> {
        self.said.iter().filter(|l| l.assumed)
    }

    fn document(&self) -> Document {
        let mut doc = Document::default();
        let number = |n: usize, one, many| count(u64::try_from(n).unwrap_or(u64::MAX), one, many);
        doc.answer(format!(
            "{} {}: {} {} case with {} and {}.",
            if self.replaced { "Replaced" } else { "Wrote" },
            self.file,
            article(self.duty.part),
            self.duty.part,
            number(self.duty.limits.len(), "limit", "limits"),
            number(self.duty.aims.len(), "aim", "aims"),
        ));
        doc.gap();
        doc.table(
            &["limit", "bound, class, of what"],
            &[],
            limit_rows(self.duty),
        );
        let said = self.assumed().map(|l| match &l.value {
            Some(v) => format!("{} {v}", l.name),
            None => format!("{} left out", l.name),
        });
        doc.list("Assumed in the case", said.collect());
        let defaults = self.case.defaults.iter();
        doc.list(
            "Taken by default",
            defaults.map(|(k, v)| format!("{k} {v}")).collect(),
        );
        doc.list("Noted", self.duty.notes.clone());
        let swings = self.duty.aims.iter().map(|a| {
            format!(
                "{} ({} to {})",
                a.id,
                crate::render::words::figure(a.scale.zero),
                amount(a.scale.one, &a.unit)
            )
        });
        doc.list("Aims", swings.collect());
        for n in &self.duty.answered {
            doc.paragraph(format!(
                "Not about {}: \"{}\" is here {}.",
                n.caution, n.word, n.because
            ));
        }
        blocks(&self.duty.cautions, &mut doc);
        doc.gap();
        doc.paragraph(format!("Next: {}", self.next));
        doc
    }
}

/// A row a limit; one for both ends of the temperatures where they ask the same.
pub(in crate::render) fn limit_rows(duty: &Duty) -> Vec<Row> {
    let base = |l: &Limit| l.id.split('@').next().unwrap_or(&l.id).to_owned();
    let alike = |a: &Limit, b: &Limit| {
        base(a) == base(b) && a.sense == b.sense && a.class == b.class && a.title == b.title
    };
    let mut rows = Vec::new();
    for (i, l) in duty.limits.iter().enumerate() {
        let earlier = duty.limits.iter().take(i).any(|o| alike(o, l));
        if earlier {
            continue;
        }
        let ends = duty.limits.iter().filter(|o| alike(o, l)).count();
        let id = if ends > 1 { base(l) } else { l.id.clone() };
        let ends = if ends > 1 { ", hot and cold" } else { "" };
        let bound = asked(l.sense, &l.unit);
        rows.push(Row {
            cells: vec![
                id.into(),
                format!(
                    "{bound}, {}: {}{ends}; else it {}",
                    l.class.word(),
                    l.title,
                    l.failure
                )
                .into(),
            ],
            shorter: None,
        });
    }
    rows
}

/// That nothing is written, why, and whom to ask.
pub(crate) fn not_written(d: &Decline, answers: bool) -> NotWritten<'_> {
    NotWritten {
        declined: d,
        answers,
    }
}

/// A use that is declined.
pub(crate) struct NotWritten<'a> {
    declined: &'a Decline,
    /// Whether the answers came from a list: then the way out of a doubt is one more of them.
    answers: bool,
}

impl NotWritten<'_> {
    /// As text.
    pub(crate) fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub(crate) fn markdown(&self) -> String {
        self.document().markdown()
    }

    fn document(&self) -> Document {
        let d = self.declined;
        let mut doc = Document::default();
        doc.answer(format!(
            "No case is written: it speaks of \"{}\", which is outside what this tool may judge.",
            d.word
        ));
        doc.blocks.push(declined_block(d));
        if self.answers && d.doubtful {
            doc.list("Asked", d.question.iter().cloned().collect());
            doc.paragraph(format!(
                "If it is not about that, add `--answer \"because.{}=what it is instead\"`.",
                d.word
            ));
        }
        doc
    }
}

/// The same as JSON.
pub(crate) fn not_written_json(d: &Decline) -> String {
    written(&DescribeFile {
        format: "dutyfit.describe/1",
        file: None,
        replaced: false,
        case: None,
        limits: Vec::new(),
        aims: Vec::new(),
        assumed: Vec::new(),
        defaults: Vec::new(),
        notes: &[],
        cautions: Vec::new(),
        declined: Some(d.into()),
        next: None,
    })
}
