//! What the centre rests on before bounds, and the values stated beside it.

use crate::belief::distribution::Centre;
use crate::belief::lend::plausible;
use crate::belief::own::Prior;
use crate::belief::why::Walk;
use crate::belief::why::shape::{CentreUsed, Lender, StatedUsed};
use crate::belief::{Rests, Road};
use crate::quantity::Reading;

impl Walk<'_> {
    pub(super) fn centre(&self) -> Option<CentreUsed> {
        let (e, m, row, ask) = (self.evidence, self.material, self.row, self.ask);
        let exact = self.selection.picks.iter().any(|p| p.y.is_exact());
        let (from, prior): (Rests, Option<Prior>) = match self.road {
            Road::Own | Road::OtherSurface if exact => (Rests::OwnReadings, None),
            Road::Own => {
                let (prior, from) = e.centre_of_bounds(self.number, m, row, ask);
                (from, Some(prior))
            }
            Road::OtherSurface => (Rests::PlausibleRange, Some(plausible(row))),
            Road::Stated => {
                let said = e.said(m, row, ask, e.swelling(m, row))?;
                match said.prior {
                    Some(p) => (Rests::Stated, Some(p)),
                    None => {
                        let (prior, from) = e.last_prior(self.number, m, row, ask);
                        (from, Some(prior))
                    }
                }
            }
            Road::Polymer => {
                let loan = e.loan(self.number, m, row, ask)?;
                (Rests::Polymer, (!loan.gone).then_some(loan.prior))
            }
            Road::Table => (
                Rests::Table,
                self.distribution()
                    .and_then(|d| d.nodes().first())
                    .and_then(|n| match n.centre {
                        Centre::Normal { at, own, .. } => Some(Prior { at, variance: own }),
                        Centre::Grid(_) => None,
                    }),
            ),
            Road::Column | Road::ShortTime | Road::Nothing => return None,
        };
        let lenders = match from {
            Rests::Polymer => self.lenders(true),
            Rests::AllPolymers => self.lenders(false),
            _ => Vec::new(),
        };
        Some(CentreUsed {
            from,
            at_natural: prior.map(|p| p.at),
            sd_natural: prior.map(|p| p.variance.sqrt()),
            at: prior.map(|p| row.scale.back(p.at)),
            against_bounds: self.against_bounds(),
            lenders,
        })
    }

    /// Whether every own bound lies beyond the 90 % interval of the mean.
    fn against_bounds(&self) -> bool {
        let mean = |p: f64| {
            let y = self.belief.mean_quantile(p)?;
            Some(self.row.scale.forward(y))
        };
        match Reading::shared(self.selection.picks.iter().map(|p| p.y)) {
            Some(Reading::AtLeast(b)) => mean(0.95).is_some_and(|high| high < b),
            Some(Reading::AtMost(b)) => mean(0.05).is_some_and(|low| low > b),
            _ => false,
        }
    }

    /// Other materials with a figure of their own: of its polymer (and of the parents of a blend), or all.
    fn lenders(&self, of_polymer: bool) -> Vec<Lender> {
        let e = self.evidence;
        let mine = self.material.polymers.join("+");
        let population = e.population(self.row, self.ask);
        let mut all: Vec<Lender> = population
            .lenders()
            .filter(|(number, polymer, _)| {
                *number != self.number
                    && (!of_polymer
                        || *polymer == mine
                        || self.material.polymers.iter().any(|p| p == polymer))
            })
            .filter_map(|(number, polymer, figure)| {
                Some(Lender {
                    material: e.materials().get(number)?.id.clone(),
                    polymer: polymer.to_owned(),
                    figure: figure.map(|g| self.row.scale.back(g)),
                })
            })
            .collect();
        all.sort_by(|a, b| a.material.cmp(&b.material));
        all
    }

    /// Everything stated of the property, of the material first.
    pub(super) fn stated(&self) -> Vec<StatedUsed> {
        let (e, m, row) = (self.evidence, self.material, self.row);
        let used = e
            .said(m, row, self.ask, e.swelling(m, row))
            .map(|s| s.used)
            .unwrap_or_default();
        let centre = self.centre().map(|c| c.from);
        let gives = self.road == Road::Stated || centre == Some(Rests::Stated);
        let of_polymer = std::iter::once(m.polymers.join("+"))
            .chain(m.polymers.iter().filter(|_| m.polymers.len() > 1).cloned())
            .flat_map(|p| e.index.stated_for_polymer(&p, &row.id).to_vec());
        let mut numbers: Vec<usize> = e.index.stated_for_material(&m.id, &row.id).to_vec();
        numbers.extend(of_polymer);
        let assumed = e.unnamed_sd(row);
        numbers
            .into_iter()
            .filter_map(|i| {
                let s = e.stated().get(i)?;
                Some(StatedUsed {
                    polymer: s.polymer.clone(),
                    value: s.value.into(),
                    sd_natural: s.sd.unwrap_or(assumed),
                    sd_assumed: s.sd.is_none(),
                    standard: s.standard.clone(),
                    source: s.source.clone(),
                    used: gives && used.contains(&i),
                })
            })
            .collect()
    }
}
