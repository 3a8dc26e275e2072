//! The whole way from readings to one interval, told step by step.

mod bench;
mod sums;

use crate::belief::{Asked, Interval, Road, Why};
use crate::catalog::Origin;
use crate::property::{Lies, Moisture, ROOM_C, Scale};
use crate::quantity::{Bound, significant};
use crate::render::document::{Document, Row};
use crate::render::page::Page;
use crate::render::telling::rests_on;
use crate::render::words::{amount, figure, markdown, reading};

/// Significant digits of a place on the natural scale, enough to do a sum again by hand.
const FINE: usize = 5;

/// The way to one belief.
#[derive(Clone, Copy, Debug)]
pub struct WhyShown<'a> {
    /// Its steps.
    pub why: &'a Why,
    /// Whose figures these are.
    pub origin: Origin,
}

/// One step in words, and its tables.
#[derive(Clone, Debug, Default)]
pub(super) struct Step {
    pub(super) title: &'static str,
    blocks: Vec<Block>,
}

/// A piece of a step.
#[derive(Clone, Debug)]
enum Block {
    Text(String),
    Table {
        head: &'static [&'static str],
        right: &'static [usize],
        rows: Vec<Vec<String>>,
    },
}

impl Step {
    fn new(title: &'static str) -> Self {
        Step {
            title,
            ..Step::default()
        }
    }
    fn say(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Text(text.into()));
    }
    /// Its sentences, without the tables.
    pub(super) fn text(self) -> Vec<String> {
        self.blocks
            .into_iter()
            .filter_map(|b| match b {
                Block::Text(t) => Some(t),
                Block::Table { .. } => None,
            })
            .collect()
    }
    fn table(
        &mut self,
        head: &'static [&'static str],
        right: &'static [usize],
        rows: Vec<Vec<String>>,
    ) {
        if !rows.is_empty() {
            self.blocks.push(Block::Table { head, right, rows });
        }
    }
}

impl WhyShown<'_> {
    /// As text.
    pub fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub fn markdown(&self) -> String {
        let w = self.why;
        format!(
            "# {}\n\n{}",
            markdown(&format!("{}, {}", w.material, w.asked.title)),
            self.document().markdown()
        )
    }

    fn document(&self) -> Document {
        let mut doc = Document::default();
        doc.answer(self.answer() + super::tag(self.origin));
        for (number, step) in (1..).zip(self.steps()) {
            doc.heading(format!("{number} {}", step.title));
            for block in step.blocks {
                match block {
                    Block::Text(t) => doc.paragraph(t),
                    Block::Table { head, right, rows } => {
                        let rows = rows.into_iter().map(|cells| Row {
                            cells: cells.into_iter().map(Into::into).collect(),
                            shorter: None,
                        });
                        doc.table(head, right, rows.collect());
                    }
                }
            }
        }
        doc
    }

    /// All steps that have something to say, in order.
    pub(super) fn steps(&self) -> Vec<Step> {
        let all = [
            self.asked(),
            self.readings(),
            self.reduction(),
            self.prints(),
            self.pooled(),
            self.between_prints(),
            self.bias(),
            self.centre(),
            self.bounds(),
            self.assumed(),
            self.result(),
            self.alone(),
        ];
        all.into_iter().filter(|s| !s.blocks.is_empty()).collect()
    }

    /// The answer in a sentence.
    pub(super) fn answer(&self) -> String {
        let w = self.why;
        let r = &w.result;
        let who = format!("{}, {}", w.material, w.asked.title);
        let Some(mean) = r.mean else {
            return format!("{who}: nothing is known under what is asked.");
        };
        let basis = match w.road {
            Road::Own => rests_on(r.grade, r.specimens, r.prints),
            Road::Column => "as materials.csv says".to_owned(),
            Road::ShortTime => format!("{}, from its short-time strength", rests_on(r.grade, 0, 0)),
            Road::OtherSurface => "borrowed from another surface".to_owned(),
            Road::Table => "assumed by the polymer table".to_owned(),
            Road::Stated | Road::Polymer | Road::Nothing => rests_on(r.grade, 0, 0),
        };
        if w.road == Road::Column {
            return format!("{who}: {}, {basis}.", self.amount(mean.median));
        }
        if r.share_left <= 0.0 {
            return format!(
                "{who}: nothing is left of it at {}; {basis}.",
                amount(w.asked.temperature_c, "degC")
            );
        }
        let mut said = format!("{who}: the mean is {}", self.interval(mean));
        if let Some(next) = r.next_part {
            said.push_str(&format!(", the next part {}", self.interval(next)));
        }
        format!("{said}; {basis}. Ranges are 90 % intervals.")
    }

    /// The command that tells of another answer.
    fn command(&self, a: &Asked) -> String {
        let mut said = format!("dutyfit show {} --why {}", self.why.material, a.property);
        if let (Some(lies), false) = (a.lies, a.lies_by_default) {
            said.push_str(match lies {
                Lies::InPlane => " --lies in-plane",
                Lies::Across => " --lies across",
            });
        }
        if a.by_climate && (a.temperature_c - ROOM_C).abs() > 0.0 {
            said.push_str(&format!(" --at {}", figure(a.temperature_c)));
        }
        if a.by_climate && a.moisture != Moisture::Room {
            said.push_str(&format!(" --moisture {}", a.moisture.word()));
        }
        said.push_str(super::option(self.origin));
        format!("`{said}`")
    }

    fn amount(&self, x: f64) -> String {
        amount(x, &self.why.asked.unit)
    }

    /// `27.2 MPa (25 to 29.6)`.
    fn interval(&self, i: Interval) -> String {
        format!(
            "{} ({} to {})",
            self.amount(i.median),
            figure(i.low),
            figure(i.high)
        )
    }

    /// A spread on the natural scale, as people say it.
    fn spread(&self, sd_natural: f64) -> String {
        match self.why.asked.scale {
            Scale::Log => format!("{} ({})", fine(sd_natural, 4), self.sd(sd_natural)),
            Scale::Plain => self.sd(sd_natural),
        }
    }

    /// The same in one figure.
    fn sd(&self, sd_natural: f64) -> String {
        match self.why.asked.scale {
            // A share of more than this is no longer nearly even to both sides.
            scale @ Scale::Log if sd_natural.abs() > 0.3 => {
                format!("a factor of {}", figure(scale.back(sd_natural.abs())))
            }
            Scale::Log => format!("{} %", figure(sd_natural * 100.0)),
            Scale::Plain => self.amount(sd_natural),
        }
    }

    /// A figure or bound in the property's unit.
    fn figure(&self, f: crate::belief::Figure) -> String {
        reading(f.reading(), &self.why.asked.unit)
    }

    /// A figure or bound on the natural scale.
    fn natural(&self, f: crate::belief::Figure) -> String {
        let at = |x: Option<f64>| x.map_or_else(|| "-".to_owned(), place);
        match f.bound {
            Bound::Exact => at(f.value),
            Bound::AtLeast => format!(">= {}", at(f.value)),
            Bound::AtMost => format!("<= {}", at(f.value)),
            Bound::Between => format!("{} to {}", at(f.low), at(f.high)),
        }
    }
}

/// With a capital letter.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|c| c.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

fn unit(u: &str) -> &str {
    match u {
        "1" | "" => "plain numbers",
        "per kg" => "money per kg",
        u => u,
    }
}

/// A place on the natural scale.
fn place(x: f64) -> String {
    fine(x, FINE)
}

/// A figure with so many significant digits.
fn fine(x: f64, digits: usize) -> String {
    match significant(x, digits) {
        Some(x) if x != 0.0 && x.abs() < 1e-3 => format!("{x:e}"),
        Some(x) => x.to_string(),
        None => "-".to_owned(),
    }
}
