//! The whole way from readings to one belief, step by step with its figures.
//!
//! Nothing is decided here: each step asks the code that decided it.

mod centre;
mod readings;
mod shape;
mod spread;
mod sums;

pub use shape::*;

use crate::belief::believed::Inner;
use crate::belief::moisture::any_climate;
use crate::belief::own;
use crate::belief::select::{self, Picked, Selection};
use crate::belief::{Belief, Evidence, Grade, Material, Note, Road};
use crate::bench::Value;
use crate::property::{Ask, Property, PropertyId};

/// The share of parts, and how sure, of the tolerance limits that are shown.
const NINE_IN_TEN: f64 = 0.90;
const SURE: f64 = 0.95;

/// One belief, and what it was made of.
struct Walk<'a> {
    evidence: &'a Evidence,
    number: usize,
    material: &'a Material,
    row: &'a Property,
    ask: &'a Ask,
    /// As read.
    read: Vec<Picked<'a>>,
    /// As they enter: gross outliers pulled in.
    selection: Selection<'a>,
    belief: Belief,
    road: Road,
}

impl Evidence {
    /// What a property is asked as where nothing is said: the room, the property's default direction,
    /// and for figures over time the longest life that an own reading reached.
    pub fn usual_ask(&self, material: &str, property: PropertyId) -> Ask {
        let mut ask = Ask::of(property);
        ask.life_h = self.longest_life(material, &ask);
        ask
    }

    /// The longest time of the own readings that serve an ask, h; `None` for figures without time.
    pub fn longest_life(&self, material: &str, ask: &Ask) -> Option<f64> {
        let row = self.properties().get(ask.property.as_str())?;
        let number = self.index.material(material)?;
        let m = self.materials().get(number)?;
        let any_life = Ask {
            life_h: None,
            ..ask.clone()
        };
        let selection = self.select(number, m, row, &any_life, false);
        let last = selection.picks.iter().filter_map(|p| {
            let o = p.seen.observation;
            match &o.value {
                Value::Curve(c) => c.points.last().map(|p| p.0),
                Value::Now(_) => o.hours,
            }
        });
        last.max_by(f64::total_cmp)
    }

    /// The way from the readings of a material to what is believed of it under an ask; `None` for an
    /// unknown material or property.
    pub fn why(&self, material: &str, ask: &Ask) -> Option<Why> {
        let row = self.properties().get(ask.property.as_str())?;
        let number = self.index.material(material)?;
        let m = self.materials().get(number)?;
        let (belief, road) = self.believe_by(material, ask);
        let other_surface = road == Road::OtherSurface;
        let mut selection = self.select(number, m, row, ask, other_surface);
        let read = selection.picks.clone();
        if matches!(road, Road::Own | Road::OtherSurface) {
            let kind = read.first().map(|p| p.rig_kind);
            let scatter = self.scatter(number, row, kind);
            if let Some(pulled) = own::pull_outliers(&read, &scatter, row, &mut Vec::new()) {
                selection.picks = pulled;
            }
        }
        let walk = Walk {
            evidence: self,
            number,
            material: m,
            row,
            ask,
            read,
            selection,
            belief,
            road,
        };
        Some(walk.told())
    }
}

impl Walk<'_> {
    fn told(&self) -> Why {
        let readings = self.readings();
        let moisture = self.moisture(&readings);
        let own = matches!(self.road, Road::Own | Road::OtherSurface);
        Why {
            material: self.material.id.clone(),
            asked: asked(self.row, self.ask),
            road: self.road,
            calibrations: self.calibrations(),
            formulas: self.formulas(&readings),
            readings,
            prints: self.print_means(),
            second_share: self.selection.warm_share,
            lots: self.lots(),
            own_spread: self.own_spread(),
            spread: self.spread(),
            bias: self
                .belief
                .bias
                .iter()
                .map(|b| BiasUsed {
                    calibration: b.calibration.to_string(),
                    part: b.kind,
                    slope_natural: b.slope,
                })
                .collect(),
            bias_sd_natural: self.bias_variance().sqrt(),
            centre: self.centre(),
            stated: self.stated(),
            moisture,
            notes: self.belief.notes.clone(),
            result: self.result(),
            alone: if own { self.alone() } else { None },
            hangs_on: self.hangs_on(moisture.is_some()),
            test: self.row.test,
        }
    }

    /// The other beliefs that this one took something from.
    fn hangs_on(&self, moisture: bool) -> Vec<Asked> {
        let mut asks = Vec::new();
        let line = |n: &Note| {
            matches!(
                n,
                Note::HeatLine { .. } | Note::NoOnset | Note::AcrossOnset { .. }
            )
        };
        if self.belief.notes.iter().any(line) {
            asks.push(Ask::of(PropertyId::fixed("softening-onset")));
        }
        if moisture {
            asks.push(Ask::of(PropertyId::fixed("water-uptake")));
        }
        if self.road == Road::ShortTime {
            asks.push(self.evidence.short_time(self.row, self.ask));
        }
        asks.iter()
            .filter_map(|a| {
                Some(asked(
                    self.evidence.properties().get(a.property.as_str())?,
                    a,
                ))
            })
            .collect()
    }

    fn moisture(&self, readings: &[ReadingUsed]) -> Option<MoistureUsed> {
        let wanted = |n: &Note| {
            matches!(
                n,
                Note::DryOnly
                    | Note::OtherMoisture(_)
                    | Note::MoistureServes { .. }
                    | Note::BetweenMoistures { .. }
                    | Note::MoisterTested(_)
            )
        };
        let needed = self.belief.notes.iter().any(wanted)
            || readings
                .iter()
                .any(|r| matches!(&r.left_out, Some(LeftOut::Condition { note }) if wanted(note)));
        if !needed {
            return None;
        }
        let swelling = self.evidence.swelling(self.material, self.row);
        let uptake = self.evidence.believe(
            &self.material.id,
            &Ask::of(PropertyId::fixed("water-uptake")),
        );
        Some(MoistureUsed {
            uptake_percent: uptake
                .as_exact
                .as_deref()
                .unwrap_or(&uptake)
                .mean_quantile(0.5)
                .filter(|_| uptake.grade >= Grade::Bounded),
            limit_percent: self.evidence.policy().dry_for_wet_uptake_percent,
            polymer_takes_little: swelling.polymer_low,
        })
    }

    fn result(&self) -> ResultUsed {
        let b = &self.belief;
        let taken = b.as_exact.as_deref();
        ResultUsed {
            grade: b.grade,
            specimens: b.specimens,
            prints: b.prints,
            side: b.side,
            mean: interval(|p| b.mean_quantile(p)),
            next_part: interval(|p| b.next_quantile(p)),
            nine_in_ten: b
                .share_bounds(NINE_IN_TEN, SURE)
                .filter(|(low, high)| {
                    b.grade != Grade::Bounded && low.is_finite() && high.is_finite()
                })
                .map(|(low, high)| Most { low, high }),
            mean_as_exact: taken.and_then(|b| interval(|p| b.mean_quantile(p))),
            next_part_as_exact: taken.and_then(|b| interval(|p| b.next_quantile(p))),
            share_left: b.share,
            closed: self.closed(),
        }
    }

    /// The distribution behind the belief.
    fn distribution(&self) -> Option<&crate::belief::distribution::Distribution> {
        match &self.belief.inner {
            Inner::Spread(d) => Some(d),
            Inner::Known(_) | Inner::Absent => None,
        }
    }
}

fn asked(row: &Property, ask: &Ask) -> Asked {
    Asked {
        property: row.id.clone(),
        title: row.title.to_string(),
        unit: row.unit.to_string(),
        standard: row.standard,
        scale: row.scale,
        lies: select::lies(row, ask),
        lies_by_default: ask.lies.is_none()
            || ask.lies == row.direction.map(crate::property::Direction::lies),
        face: ask.face.filter(|_| row.by_face),
        by_face: row.by_face,
        temperature_c: ask.temperature_c,
        moisture: ask.moisture,
        by_climate: !any_climate(row) && !row.auxiliary,
        counterface: ask.counterface.clone().filter(|_| row.by_counterface),
        by_counterface: row.by_counterface,
        life_h: ask.life_h,
        stress_mpa: ask.stress_mpa,
    }
}

/// 5, 50 and 95 % of a quantile function, where all are figures.
fn interval(quantile: impl Fn(f64) -> Option<f64>) -> Option<Interval> {
    let at = |p: f64| quantile(p).filter(|x| x.is_finite());
    Some(Interval {
        low: at(0.05)?,
        median: at(0.5)?,
        high: at(0.95)?,
    })
}
