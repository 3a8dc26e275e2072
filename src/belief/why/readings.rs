//! Each own reading of the property, and what became of it.

use crate::belief::index::Seen;
use crate::belief::select::Picked;
use crate::belief::temperature::same_temperature;
use crate::belief::why::Walk;
use crate::belief::why::shape::{AtLife, Calibration, CurveUsed, LeftOut, ReadingUsed};
use crate::belief::{Note, Road};
use crate::bench::{self, Column, Observation, ReducedRun, ReducedSpecimen, Value, at_life};
use crate::quantity::Reading;
use std::collections::BTreeMap;

impl Walk<'_> {
    /// All own readings of the property by date, run and specimen.
    pub(super) fn readings(&self) -> Vec<ReadingUsed> {
        let mut out = Vec::new();
        for run in self
            .evidence
            .runs()
            .iter()
            .filter(|r| r.run.material.as_deref() == Some(self.material.id.as_str()))
        {
            let gives = bench::find(run.run.test)
                .is_some_and(|t| t.gives().contains(&self.row.id.as_str()));
            for specimen in &run.specimens {
                let mut seen = specimen
                    .observations
                    .iter()
                    .filter(|o| o.property == self.row.id)
                    .peekable();
                if seen.peek().is_none() && gives {
                    out.extend(self.without_figure(run, specimen));
                }
                out.extend(seen.map(|o| self.with_figure(run, specimen, o)));
            }
        }
        out.sort_by(|a, b| (&a.date, &a.run, a.specimen).cmp(&(&b.date, &b.run, b.specimen)));
        out
    }

    /// The pick that an observation became.
    fn pick(&self, o: &Observation) -> Option<&Picked<'_>> {
        self.selection
            .picks
            .iter()
            .find(|p| std::ptr::eq(p.seen.observation, o))
    }

    /// How many curves count at the same end as a pick, itself among them.
    fn curves_beside(&self, pick: &Picked<'_>) -> f64 {
        self.selection
            .picks
            .iter()
            .filter(|p| p.fit.is_some() && p.warm == pick.warm)
            .fold(0.0, |n, _| n + 1.0)
    }

    /// Where a pick was read, if it was pulled in.
    fn outlier(&self, taken: &Picked<'_>) -> Option<f64> {
        let read = self
            .read
            .iter()
            .find(|p| std::ptr::eq(p.seen.observation, taken.seen.observation))?;
        (read.y != taken.y).then(|| read.y.as_exact())
    }

    fn with_figure(
        &self,
        run: &ReducedRun,
        specimen: &ReducedSpecimen,
        o: &Observation,
    ) -> ReadingUsed {
        let pick = self.pick(o);
        let (figure, curve) = match &o.value {
            Value::Now(r) => (*r, None),
            Value::Curve(c) => {
                let drift = self.evidence.policy().drift_per_decade;
                let fit = self.ask.life_h.and_then(|life_h| {
                    let f = match pick.and_then(|p| p.fit) {
                        Some(f) => f,
                        None => at_life(c, life_h, drift)?,
                    };
                    let fellows = pick.map_or(1.0, |p| self.curves_beside(p));
                    let open = f.fit_variance - f.averaged_out(fellows);
                    let added = open + f.laws_variance + f.drift_variance;
                    Some(AtLife {
                        life_h,
                        value: f.value,
                        findley: f.findley,
                        exponent: f.exponent,
                        exponent_held: f.exponent_held,
                        log_time: f.log_time,
                        inverse: f.inverse,
                        correlation_held: f.correlation_held,
                        flow: f.flow,
                        decades_beyond: f.decades_beyond,
                        fit_sd_natural: open.max(0.0).sqrt(),
                        laws_sd_natural: f.laws_variance.sqrt(),
                        drift_sd_natural: f.drift_variance.sqrt(),
                        added_sd_natural: added.sqrt(),
                    })
                });
                let used = CurveUsed {
                    points: c.points.clone(),
                    law: c.law,
                    at_life: fit,
                };
                (Reading::Exact(o.value.figure()), Some(used))
            }
        };
        ReadingUsed {
            figure: Some(figure.into()),
            curve,
            hours: o.hours,
            stress_mpa: o.stress_mpa,
            natural: pick.map(|p| p.y.into()),
            outlier_natural: pick.and_then(|p| self.outlier(p)),
            resolution_natural: pick.map(|p| p.resolution),
            counts: pick.is_some(),
            left_out: if pick.is_some() {
                None
            } else {
                Some(self.left_out(run, o))
            },
            early: o.early,
            condition: o.condition.clone(),
            ..described(run, specimen)
        }
    }

    /// A specimen that should have given the property; `None` where it was after another one.
    fn without_figure(&self, run: &ReducedRun, specimen: &ReducedSpecimen) -> Option<ReadingUsed> {
        let refused = specimen.refused.iter().find(|r| r.property == self.row.id);
        let left_out = match (&run.run.set_aside, refused) {
            (_, None) if !specimen.outcome.no_evidence() => return None,
            (Some(why), _) => LeftOut::SetAside { why: why.clone() },
            (None, _) if specimen.outcome.no_evidence() => LeftOut::NoEvidence,
            (None, Some(r)) => LeftOut::Refused { why: r.why.clone() },
            (None, None) => return None,
        };
        Some(ReadingUsed {
            left_out: Some(left_out),
            ..described(run, specimen)
        })
    }

    /// Why an observation is not among the picks: what refuses it alone, else what it yields to.
    fn left_out(&self, run: &ReducedRun, o: &Observation) -> LeftOut {
        if let Some(why) = &run.run.set_aside {
            return LeftOut::SetAside { why: why.clone() };
        }
        let seen = Seen {
            run,
            observation: o,
        };
        let other_surface = self.road == Road::OtherSurface;
        let alone =
            self.evidence
                .select_of(&[seen], self.material, self.row, self.ask, other_surface);
        if alone.picks.is_empty() {
            return match alone.notes.into_iter().next_back() {
                Some(note) => LeftOut::Condition { note },
                None => LeftOut::NothingAtLife,
            };
        }
        let counted = |same: &dyn Fn(&Observation) -> bool| {
            self.selection
                .picks
                .iter()
                .any(|p| same(p.seen.observation))
        };
        let c = &o.condition;
        if c.moisture != self.ask.moisture
            && counted(&|p| p.condition.moisture == self.ask.moisture)
        {
            LeftOut::OwnMoisture
        } else if counted(&|p| {
            p.condition.face == c.face && p.condition.counterface == c.counterface
        }) {
            let carried = |n: &Note| match n {
                Note::Interpolated {
                    bounds: true,
                    low_c,
                    high_c,
                    ..
                } => [low_c, high_c]
                    .iter()
                    .any(|t| same_temperature((*t - c.temperature_c).abs())),
                Note::BetweenMoistures { bounds, .. } => *bounds,
                _ => false,
            };
            if self.selection.notes.iter().any(carried) {
                return LeftOut::OtherEnd;
            }
            LeftOut::NearerTemperature
        } else {
            LeftOut::WorseSide
        }
    }

    /// The calibrations behind the counted readings, by id.
    pub(super) fn calibrations(&self) -> Vec<Calibration> {
        let mut all: BTreeMap<&str, Calibration> = BTreeMap::new();
        for p in &self.selection.picks {
            let run = &p.seen.run.run;
            let unit = |column: &str| {
                bench::find(run.test)
                    .and_then(|t| t.columns().iter().find(|c| c.name == column))
                    .and_then(Column::unit)
            };
            for ch in &run.rig.channels {
                // A channel of a column that this test has not is another test's.
                let Some(unit) = unit(&ch.column) else {
                    continue;
                };
                all.entry(&ch.id).or_insert_with(|| Calibration {
                    calibration: ch.id.to_string(),
                    column: ch.column.clone(),
                    unit: unit.to_owned(),
                    offset: ch.offset,
                    offset_u: ch.offset_u,
                    gain: ch.gain,
                    gain_u: ch.gain_u,
                    resolution: ch.resolution.map(|d| d / ch.gain),
                });
            }
        }
        all.into_values().collect()
    }

    /// The formulas that the counted readings went through, by the labels of their steps.
    pub(super) fn formulas(&self, readings: &[ReadingUsed]) -> Vec<&'static str> {
        let Some(test) = self.row.test.and_then(bench::find) else {
            return Vec::new();
        };
        let used = |line: &&&'static str| {
            let label = line.split_whitespace().next();
            readings
                .iter()
                .filter(|r| r.counts)
                .flat_map(|r| &r.working)
                .any(|s| Some(s.label.as_str()) == label)
        };
        test.formulas().iter().filter(used).copied().collect()
    }
}

/// A reading with what its run says, without a figure.
fn described(run: &ReducedRun, specimen: &ReducedSpecimen) -> ReadingUsed {
    let of = &run.run;
    ReadingUsed {
        run: of.id.clone(),
        specimen: specimen.specimen,
        date: of.date.clone(),
        test: of.test,
        print: of.print.clone(),
        lot: of.lot.clone(),
        rig: of.rig.name.clone(),
        rig_kind: of.rig.kind.clone(),
        condition: of.condition.clone(),
        outcome: specimen.outcome.word(),
        figure: None,
        curve: None,
        hours: None,
        stress_mpa: None,
        natural: None,
        outlier_natural: None,
        resolution_natural: None,
        counts: false,
        left_out: None,
        early: false,
        working: bench::working_of(of, specimen.specimen),
    }
}
