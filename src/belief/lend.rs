//! What other materials lend: the population of the polymer, pulled towards all polymers when few.
//!
//! Two levels of a normal population on the natural scale (the empirical-Bayes form of the textbook
//! random-effects model; Gelman et al., Bayesian Data Analysis, chapter 5; from memory). Materials of a
//! polymer scatter about its mean with a variance pooled over all polymers, which starts at the
//! policy's stated spread with 4 degrees of freedom; polymers scatter about each other with a variance
//! that starts at a quarter of the plausible range with 2. The borrower's own readings are left out.

use crate::belief::own::{self, Prior};
use crate::belief::{Evidence, Material, MaterialKind, closed, heat};
use crate::property::{Ask, Heat, Property};
use std::collections::BTreeMap;

/// Degrees of freedom behind the assumed scatter of materials within a polymer.
const WITHIN_DOF: f64 = 4.0;
/// Degrees of freedom behind the assumed scatter between polymers.
const BETWEEN_DOF: f64 = 2.0;

/// Sums over the lenders of one polymer.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    count: f64,
    sum: f64,
    squares: f64,
    /// Lenders of which nothing is left in the heat.
    gone: f64,
}

impl Sums {
    fn mean(&self) -> f64 {
        self.sum / self.count
    }
    fn deviations(&self) -> f64 {
        (self.squares - self.sum * self.sum / self.count).max(0.0)
    }
    fn change(&mut self, figure: Option<f64>, by: f64) {
        match figure {
            Some(x) => {
                self.count += by;
                self.sum += by * x;
                self.squares += by * x * x;
            }
            None => self.gone += by,
        }
    }
}

/// The lenders under one ask.
#[derive(Clone, Debug, Default)]
pub(super) struct Population {
    /// Figures are kept about this level, so that squares keep their digits.
    level: f64,
    /// By material: its polymer, and its figure, `None` where nothing is left in the heat.
    lenders: BTreeMap<usize, (String, Option<f64>)>,
    polymers: BTreeMap<String, Sums>,
}

/// What is lent.
#[derive(Clone, Debug)]
pub(super) struct Loan {
    /// Opinion of the centre.
    pub(super) prior: Prior,
    /// Polymer, parents joined by `+`.
    pub(super) polymer: String,
    /// How many materials lent.
    pub(super) materials: usize,
    /// Whether most lenders have nothing left in the heat.
    pub(super) gone: bool,
}

/// Polymer key of a material; `None` for `other`.
fn polymer_key(m: &Material) -> Option<String> {
    (!m.polymers.is_empty()).then(|| m.polymers.join("+"))
}

impl Population {
    /// Gathers the own exact figures of all candidates under an ask.
    pub(super) fn gather(evidence: &Evidence, row: &Property, ask: &Ask) -> Self {
        let mut p = Population::default();
        for (_, m) in evidence.index.materials() {
            let Some(material) = evidence.materials().get(m) else {
                continue;
            };
            if material.kind != MaterialKind::Candidate {
                continue;
            }
            if let (Some(key), Some(figure)) = (
                polymer_key(material),
                figure(evidence, m, material, row, ask),
            ) {
                p.lenders.insert(m, (key, figure));
            }
        }
        let known: Vec<f64> = p.lenders.values().filter_map(|l| l.1).collect();
        if !known.is_empty() {
            p.level = known.iter().sum::<f64>() / known.len() as f64;
        }
        for (key, figure) in p.lenders.values() {
            p.polymers
                .entry(key.clone())
                .or_default()
                .change(figure.map(|x| x - p.level), 1.0);
        }
        p
    }

    /// Who lends: the material's number, its polymer, and its figure on the natural scale, `None`
    /// where nothing is left of it in the heat.
    pub(super) fn lenders(&self) -> impl Iterator<Item = (usize, &str, Option<f64>)> {
        self.lenders
            .iter()
            .map(|(number, (polymer, figure))| (*number, polymer.as_str(), *figure))
    }

    /// Sums by polymer with one material left out.
    fn without(&self, material: usize) -> BTreeMap<&str, Sums> {
        let mut sums: BTreeMap<&str, Sums> = self
            .polymers
            .iter()
            .map(|(k, s)| (k.as_str(), *s))
            .collect();
        if let Some((key, figure)) = self.lenders.get(&material)
            && let Some(s) = sums.get_mut(key.as_str())
        {
            s.change(figure.map(|x| x - self.level), -1.0);
        }
        sums.retain(|_, s| s.count > 0.5 || s.gone > 0.5);
        sums
    }

    /// What the polymer lends to a material; `None` where the polymer is not known or has no figures.
    pub(super) fn lend(
        &self,
        evidence: &Evidence,
        row: &Property,
        number: usize,
        material: &Material,
    ) -> Option<Loan> {
        let polymer = polymer_key(material)?;
        let sums = self.without(number);
        let scatter = Levels::new(evidence, row, &sums);
        let own = sums.get(polymer.as_str()).copied().unwrap_or_default();
        if material.polymers.len() < 2 {
            if own.count + own.gone < 0.5 {
                return None;
            }
            let prior = scatter.polymer(&own, scatter.all(Some(&polymer)));
            return Some(self.loan(prior, polymer, &own, own.count + own.gone));
        }
        // A blend: its parents' mean, made wide by their difference, then its own kind's figures.
        let parents: Vec<(Prior, Sums)> = material
            .polymers
            .iter()
            .filter_map(|p| {
                let s = sums.get(p.as_str()).copied().filter(|s| s.count > 0.5)?;
                Some((scatter.polymer(&s, scatter.all(Some(p))), s))
            })
            .collect();
        let n = parents.len() as f64;
        let from_parents = (n > 0.5).then(|| {
            let at = parents.iter().map(|p| p.0.at).sum::<f64>() / n;
            let apart = parents.iter().map(|p| (p.0.at - at).powi(2)).sum::<f64>() / n;
            let unsure = parents.iter().map(|p| p.0.variance).sum::<f64>() / n;
            let missing = material.polymers.len() as f64 - n;
            Prior {
                at,
                variance: apart + unsure + missing * scatter.within,
            }
        });
        if own.count < 0.5 && from_parents.is_none() {
            return None;
        }
        let lenders = own.count + parents.iter().map(|p| p.1.count).sum::<f64>();
        let prior = match from_parents {
            Some(p) if own.count < 0.5 => p,
            p => scatter.polymer(&own, p),
        };
        Some(self.loan(prior, polymer, &own, lenders))
    }

    /// What all polymers together say, for a bound that has no other centre.
    pub(super) fn all(&self, evidence: &Evidence, row: &Property, number: usize) -> Option<Prior> {
        let sums = self.without(number);
        let levels = Levels::new(evidence, row, &sums);
        let prior = levels.all(None)?;
        Some(Prior {
            at: prior.at + self.level,
            variance: prior.variance + levels.within,
        })
    }

    fn loan(&self, prior: Prior, polymer: String, own: &Sums, lenders: f64) -> Loan {
        Loan {
            prior: Prior {
                at: prior.at + self.level,
                ..prior
            },
            polymer,
            materials: lenders.round() as usize,
            gone: own.gone > own.count,
        }
    }
}

/// Variances within and between polymers.
struct Levels<'a> {
    within: f64,
    between: f64,
    sums: &'a BTreeMap<&'a str, Sums>,
}

impl<'a> Levels<'a> {
    fn new(evidence: &Evidence, row: &Property, sums: &'a BTreeMap<&'a str, Sums>) -> Self {
        let known: Vec<&Sums> = sums.values().filter(|s| s.count > 0.5).collect();
        let assumed = evidence.stated_sd(row).powi(2);
        let squares: f64 = known.iter().map(|s| s.deviations()).sum();
        let dof: f64 = known.iter().map(|s| s.count - 1.0).sum();
        let within = (WITHIN_DOF * assumed + squares) / (WITHIN_DOF + dof);
        let n = known.len() as f64;
        let mean = known.iter().map(|s| s.mean()).sum::<f64>() / n.max(1.0);
        let apart: f64 = known.iter().map(|s| (s.mean() - mean).powi(2)).sum();
        let range = plausible(row).variance;
        let between = (BETWEEN_DOF * range + apart) / (BETWEEN_DOF + (n - 1.0).max(0.0));
        Levels {
            within,
            between: between.max(within),
            sums,
        }
    }

    /// The mean of any polymer, by the others' means.
    fn all(&self, but: Option<&str>) -> Option<Prior> {
        let means: Vec<f64> = self
            .sums
            .iter()
            .filter(|(k, s)| s.count > 0.5 && Some(**k) != but)
            .map(|(_, s)| s.mean())
            .collect();
        if means.is_empty() {
            return None;
        }
        let n = means.len() as f64;
        Some(Prior {
            at: means.iter().sum::<f64>() / n,
            variance: self.between * (1.0 + 1.0 / n),
        })
    }

    /// A further material of a polymer with these figures, pulled towards `towards`.
    fn polymer(&self, own: &Sums, towards: Option<Prior>) -> Prior {
        if own.count < 0.5 {
            return towards.unwrap_or(Prior {
                at: 0.0,
                variance: self.between + self.within,
            });
        }
        let precision = own.count / self.within;
        let (pull, at) = towards.map_or((0.0, 0.0), |p| (1.0 / p.variance, p.at));
        let total = precision + pull;
        Prior {
            at: (precision * own.mean() + pull * at) / total,
            variance: 1.0 / total + self.within,
        }
    }
}

/// The plausible range of a property as two standard deviations to both sides: the last resort.
pub(super) fn plausible(row: &Property) -> Prior {
    use crate::property::Scale;
    let (low, high) = row.plausible;
    let (a, b) = match row.scale {
        Scale::Log if low > 0.0 && high > low => (low.ln(), high.ln()),
        Scale::Log => (-10.0, 10.0),
        Scale::Plain => (low, high),
    };
    Prior {
        at: 0.5 * (a + b),
        variance: ((b - a) / 4.0).powi(2).max(f64::MIN_POSITIVE),
    }
}

/// A candidate's own exact figure under an ask on the natural scale; the inner `None` means that
/// nothing is left in the heat.
fn figure(
    evidence: &Evidence,
    number: usize,
    material: &Material,
    row: &Property,
    ask: &Ask,
) -> Option<Option<f64>> {
    let selection = evidence.select(number, material, row, ask, false);
    let readings = own::exact_readings(&selection.picks, |_| true);
    let ratios = evidence.scatter(number, row, None).ratios.middle();
    let at = closed::fit(&readings, ratios, selection.warm_share)?.at;
    match &selection.line_from {
        Some(from) if row.heat == Heat::Falls => {
            let left = heat::left(evidence, &material.id, row.scale, ask, from)?;
            if left.grade < crate::belief::Grade::Bounded {
                return None;
            }
            Some((left.share > 0.0).then(|| row.scale.forward(left.share * row.scale.back(at))))
        }
        _ => Some(Some(at)),
    }
}
