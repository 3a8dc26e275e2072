//! Stated values: where nothing exact of the material's own was measured, they give the centre.

use crate::belief::auxiliary::certain;
use crate::belief::believed::{Belief, Inner};
use crate::belief::distribution::{Centre, Distribution, Node};
use crate::belief::grid::{self, Base, PrintTerms};
use crate::belief::heat::LineFrom;
use crate::belief::moisture::{Swelling, any_climate};
use crate::belief::natural::natural;
use crate::belief::own::Prior;
use crate::belief::select::{add_note, stated_serves};
use crate::belief::temperature::same_temperature;
use crate::belief::{Evidence, Grade, Material, Note, Stated};
use crate::property::{Ask, Heat, Property, Scale};
use crate::quantity::Reading;

/// Share of a whole range that counts as one point of 100.
const POINT: f64 = 0.01;

/// What several stated values say together.
#[derive(Clone, Debug)]
pub(super) struct Said {
    /// Opinion of the centre; `None` where only bounds are stated.
    pub(super) prior: Option<Prior>,
    /// Stated bounds, natural scale.
    bounds: Vec<Reading>,
    /// Numbers of the values that count.
    pub(super) used: Vec<usize>,
    /// Sources.
    notes: Vec<Note>,
    /// Whether the polymer is meant, not this material.
    of_polymer: bool,
    /// Test temperature that the line with heat starts from, degC.
    pub(super) line_from: Option<f64>,
}

impl Evidence {
    /// One standard deviation of a stated value that names none: the policy's share on log scales,
    /// its points of 100 (of the plausible range where that is narrower than 100) on plain ones.
    pub(super) fn stated_sd(&self, row: &Property) -> f64 {
        match row.scale {
            Scale::Log => self.policy.stated_share,
            Scale::Plain => {
                let range = (row.plausible.1 - row.plausible.0).abs();
                (POINT * range).min(1.0) * self.policy.stated_points
            }
        }
    }

    /// The same of any property: an auxiliary one has its own in the table.
    pub(super) fn unnamed_sd(&self, row: &Property) -> f64 {
        if row.auxiliary {
            row.spread.sd
        } else {
            self.stated_sd(row)
        }
    }

    /// What is stated of the material, else of its polymer.
    pub(super) fn said(
        &self,
        material: &Material,
        row: &Property,
        ask: &Ask,
        swelling: Swelling,
    ) -> Option<Said> {
        let own = self.index.stated_for_material(&material.id, &row.id);
        if let Some(s) = self.gather(own, row, ask, swelling, false) {
            return Some(s);
        }
        let polymer = material.polymers.join("+");
        let whole = self.index.stated_for_polymer(&polymer, &row.id);
        if let Some(s) = self.gather(whole, row, ask, swelling, true) {
            return Some(s);
        }
        // A blend of which nothing is stated takes its parents' values together.
        let parents: Vec<usize> = material
            .polymers
            .iter()
            .flat_map(|p| self.index.stated_for_polymer(p, &row.id))
            .copied()
            .collect();
        self.gather(&parents, row, ask, swelling, true)
    }

    fn gather(
        &self,
        numbers: &[usize],
        row: &Property,
        ask: &Ask,
        swelling: Swelling,
        of_polymer: bool,
    ) -> Option<Said> {
        let mut said = Said {
            prior: None,
            bounds: Vec::new(),
            used: Vec::new(),
            notes: Vec::new(),
            of_polymer,
            line_from: None,
        };
        let assumed = self.unnamed_sd(row);
        let mut figures: Vec<(f64, f64)> = Vec::new();
        let mut serving: Vec<(usize, &Stated)> = numbers
            .iter()
            .filter_map(|i| Some((*i, self.stated.get(*i)?)))
            .filter(|(_, s)| stated_serves(row, ask, swelling, &s.condition))
            .filter(|(_, s)| self.stated_temperature(s, row, ask).is_some())
            .collect();
        // Not in the order of the file.
        serving.sort_by(|(_, a), (_, b)| {
            (a.value.figures(), &a.source)
                .partial_cmp(&(b.value.figures(), &b.source))
                .unwrap_or(std::cmp::Ordering::Equal)
        });
        // A value that counts as it stands beats one read off the line, and one of about the asked
        // temperature beats one that keeps its figure from farther off.
        let direct = |(_, s): &(usize, &Stated)| self.stated_temperature(s, row, ask) == Some(None);
        let near = |(_, s): &(usize, &Stated)| {
            let away_k = (ask.temperature_c - s.condition.temperature_c).abs();
            any_climate(row) || row.auxiliary || away_k <= self.policy.temperature_window_k
        };
        if serving.iter().any(direct) {
            serving.retain(direct);
        }
        if serving.iter().any(near) {
            serving.retain(near);
        }
        for (number, s) in serving {
            let Some((y, _)) = natural(row, s.value, 0.0) else {
                continue;
            };
            let sd = s.sd.unwrap_or(assumed).max(0.0);
            match y {
                Reading::Exact(at) => figures.push((at, sd * sd)),
                Reading::Between(a, b) => {
                    figures.push((0.5 * (a + b), sd * sd + (b - a).powi(2) / 12.0));
                }
                bound => said.bounds.push(bound),
            }
            said.line_from = said
                .line_from
                .or(self.stated_temperature(s, row, ask).flatten());
            said.used.push(number);
            said.notes.push(Note::StatedBy(s.source.clone()));
            said.notes.extend(self.stated_steps(s, row, ask, swelling));
        }
        if figures.is_empty() && said.bounds.is_empty() {
            return None;
        }
        if !figures.is_empty() {
            let n = figures.len() as f64;
            let at = figures.iter().map(|f| f.0).sum::<f64>() / n;
            let apart = figures.iter().map(|f| (f.0 - at).powi(2)).sum::<f64>() / n;
            let unsure = figures.iter().map(|f| f.1).sum::<f64>() / n;
            said.prior = Some(Prior {
                at,
                variance: unsure + apart,
            });
        }
        let mut told = Vec::new();
        for n in said.notes.drain(..) {
            add_note(&mut told, n);
        }
        said.notes = told;
        Some(said)
    }

    /// What is assumed where a stated value counts as it stands at another climate than its own.
    fn stated_steps(
        &self,
        s: &Stated,
        row: &Property,
        ask: &Ask,
        swelling: Swelling,
    ) -> impl Iterator<Item = Note> {
        let c = &s.condition;
        let (tested_c, asked_c) = (c.temperature_c, ask.temperature_c);
        let anywhere = any_climate(row) || row.auxiliary;
        let away = (asked_c - tested_c).abs();
        let kept = !anywhere
            && !same_temperature(away)
            && self.stated_temperature(s, row, ask) == Some(None);
        let temperature = kept.then_some(if away <= self.policy.temperature_window_k {
            Note::WithinWindow { tested_c, asked_c }
        } else {
            Note::KeptOutside { tested_c, asked_c }
        });
        let moisture = (!anywhere && c.moisture != ask.moisture).then_some(Note::MoistureServes {
            tested: c.moisture,
            measured: swelling.measured_low,
        });
        temperature.into_iter().chain(moisture)
    }

    /// Whether a stated value counts at the asked temperature; the inner value is where the line
    /// with heat starts, `None` where it counts as it stands.
    fn stated_temperature(&self, s: &Stated, row: &Property, ask: &Ask) -> Option<Option<f64>> {
        let tested = s.condition.temperature_c;
        let warmer = ask.temperature_c - tested;
        if any_climate(row) || row.auxiliary || warmer.abs() <= self.policy.temperature_window_k {
            return Some(None);
        }
        match row.heat {
            Heat::Falls if warmer > 0.0 => Some(Some(tested)),
            Heat::Falls if ask.stiffer_is_worse => None,
            Heat::Falls => Some(None),
            Heat::Brittle if warmer > 0.0 => Some(None),
            _ => None,
        }
    }

    /// The belief that stated values support, if any counts.
    pub(super) fn stated_belief(
        &self,
        material: &Material,
        row: &Property,
        ask: &Ask,
        key: &str,
    ) -> Option<Belief> {
        let number = self.index.material(&material.id)?;
        let said = self.said(material, row, ask, self.swelling(material, row))?;
        let mut b = Belief::absent(row.scale, key.to_owned());
        b.grade = if said.of_polymer {
            Grade::Borrowed
        } else {
            Grade::Stated
        };
        b.notes.clone_from(&said.notes);
        b.inner = self.stated_inner(number, material, row, ask, &said)?;
        match said.line_from {
            Some(tested_c) => {
                let from = LineFrom {
                    tested_c,
                    fall: None,
                };
                self.in_heat(b, &material.id, ask, &from)
            }
            None => Some(b),
        }
    }

    fn stated_inner(
        &self,
        number: usize,
        material: &Material,
        row: &Property,
        ask: &Ask,
        said: &Said,
    ) -> Option<Inner> {
        if let Some(p) = said.prior {
            // An exact figure, or one that every part shares.
            if p.variance <= 0.0 {
                return Some(Inner::Known(row.scale.back(p.at)));
            }
            if row.auxiliary {
                return Some(Inner::Spread(Box::new(certain(self, p.at, p.variance))));
            }
        }
        let scatter = self.scatter(number, row, None);
        let chi = self.chi(scatter.dof);
        let prior = said
            .prior
            .unwrap_or_else(|| self.last_prior(number, material, row, ask).0);
        if said.bounds.is_empty() {
            return Some(Inner::Spread(Box::new(Distribution::opinion(
                &scatter,
                chi,
                prior.at,
                prior.variance,
            ))));
        }
        let s = scatter.variance.sqrt();
        let terms: Vec<PrintTerms> = said
            .bounds
            .iter()
            .map(|b| PrintTerms {
                bounds: vec![(*b, 1.0)],
                ..PrintTerms::default()
            })
            .collect();
        let base = Base::Normal {
            at: prior.at,
            per_s2: 0.0,
            own: prior.variance,
        };
        let middle = scatter.ratios.middle();
        let window = grid::window(base, &terms, s, &chi, middle.between())?;
        let mut nodes = Vec::new();
        let mut ln_evidence = Vec::new();
        for ratio in &scatter.ratios.nodes {
            let ratios = scatter.ratios.at(ratio);
            let (grid, mass) = grid::centre(
                base,
                &terms,
                s,
                ratios.between(),
                &window,
                grid::Speak::OfBoth,
            )?;
            let centre = Centre::Grid(Box::new(grid));
            nodes.push(Node::of(ratio, s, ratios, centre));
            ln_evidence.push(mass);
        }
        let d = Distribution::new(nodes, &ln_evidence, chi, 0.0);
        Some(Inner::Spread(Box::new(d)))
    }
}
