//! The summary table as a block for a forum post: monospaced, so that it stands aligned where no table
//! syntax is known, and readable where not even the fence is.

use super::{Form, SummarySheet};
use crate::catalog::Origin;
use crate::render::document::Document;
use crate::render::page::Page;
use crate::render::words::count;

/// Columns of a post.
const POST: Page = Page {
    width: 78,
    colour: false,
};

impl SummarySheet<'_> {
    /// As a block to paste.
    pub(crate) fn post(&self) -> String {
        let mut doc = Document::default();
        doc.answer(self.answer());
        match self.origin {
            Origin::Own => {}
            Origin::Demo => {
                doc.paragraph("INVENTED FIGURES of the demo: nobody measured them.");
            }
            Origin::Handbook => {
                doc.paragraph("HANDBOOK RANGES of polymers: no measured material is among them.");
            }
        }
        doc.grid(self.grid(Form::Halves));
        self.below(&mut doc, Form::Halves);
        // A fence inside would end the block.
        let body = doc.text(POST).replace('`', "'");
        let title = format!("Bench summary{}", super::super::tag(self.origin));
        format!("**{title}**\n\n```text\n{body}```\n")
    }

    /// How many specimens a figure rests on.
    pub(super) fn specimens(&self) -> Option<String> {
        let ends = |(a, b): (u32, u32), one: &str, many: &str| {
            if a == b {
                count(a, one, many)
            } else {
                format!("{a} to {b} {many}")
            }
        };
        Some(format!(
            "Each measured figure is from {} of {}.",
            ends(self.summary.specimens?, "specimen", "specimens"),
            ends(self.summary.prints?, "print", "prints")
        ))
    }
}
