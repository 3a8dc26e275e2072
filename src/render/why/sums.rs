//! Scatter, prints, rigs, the centre and the result.

use crate::belief::{
    Alone, BiasUsed, CentreUsed, ClosedForm, Grade, PoolKind, ReadingUsed, Rests, RhoUsed, Road,
    Side,
};
use crate::bench::BiasKind;
use crate::num::censored::NoTop;
use crate::property::Scale;
use crate::render::assumption::assumption;
use crate::render::telling::grade;
use crate::render::why::bench::{bounded, bounds_said};
use crate::render::why::{Step, WhyShown, capital, fine, place};
use crate::render::words::{amount, article, count, figure, first_few, list};

/// Lenders that are named.
const MOST_LENDERS: usize = 8;

impl WhyShown<'_> {
    pub(super) fn prints(&self) -> Step {
        let mut step = Step::new("Prints, and scatter within them");
        let w = self.why;
        if w.prints.is_empty() {
            return step;
        }
        let n: usize = w.prints.iter().map(|p| p.n).sum();
        step.table(
            match w.asked.scale {
                Scale::Log => &["print", "n", "mean", "mean ln", "squares about it"],
                Scale::Plain => &["print", "n", "mean", "as summed", "squares about it"],
            },
            &[1],
            w.prints
                .iter()
                .map(|p| {
                    let mut name = if p.named {
                        p.print.clone()
                    } else {
                        format!("unnamed, run {}", p.print)
                    };
                    if let Some(lot) = &p.lot {
                        name.push_str(&format!(", {lot}"));
                    }
                    if let Some(t) = p.temperature_c {
                        name.push_str(&format!(", {}", amount(t, "degC")));
                    }
                    if let Some(m) = p.moisture {
                        name.push_str(&format!(", {}", m.word()));
                    }
                    vec![
                        name,
                        p.n.to_string(),
                        self.amount(p.mean),
                        place(p.mean_natural),
                        fine(p.squares_natural, 4),
                    ]
                })
                .collect(),
        );
        if let Some(share) = w.second_share {
            step.say(format!(
                "What is asked lies {} of the way from the first of two conditions to the second (the warmer or wetter one), on a straight line between their means.",
                fine(share, 4)
            ));
        }
        step.say(match &w.own_spread {
            Some(s) => format!(
                "Within its prints its {n} exact readings scatter by sqrt({} / {}) = {}: the squares over readings less prints.",
                fine(s.squares_natural, 4),
                figure(s.dof),
                self.spread(s.sd_natural)
            ),
            None => "No print holds two exact readings, so its own readings say nothing of the scatter within a print.".to_owned(),
        });
        step
    }

    pub(super) fn pooled(&self) -> Step {
        let mut step = Step::new("Pooled spread");
        let Some(s) = &self.why.spread else {
            return step;
        };
        let f = &s.from;
        let lenders = count(f.materials as u64, "other material", "other materials");
        let whose = match (f.pool, &f.rig_kind) {
            (PoolKind::SameRig, Some(kind)) if !kind.is_empty() => {
                format!("{lenders} tested on the same kind of rig ({kind})")
            }
            (PoolKind::SameRig, _) => format!("{lenders} tested on the same kind of rig"),
            (PoolKind::AnyRig, _) => format!("{lenders}, on any rig,"),
            (PoolKind::Default, _) => String::new(),
        };
        let before = format!(
            "{} with {}",
            self.spread(s.before_sd_natural),
            degrees(s.before_dof)
        );
        step.say(match f.pool {
            PoolKind::Default => format!(
                "Too few other materials have repeats of it, so the scatter within a print starts at the property table's {before} ({}).",
                f.default_status
            ),
            _ => {
                let alike = f.alike_dof.map_or_else(String::new, |d| {
                    format!(
                        " Their own spreads differ among each other as spreads of {} would, which is how alike materials scatter.",
                        degrees(d)
                    )
                });
                format!(
                    "{} give the scatter within a print, from {} about their own prints' means.{alike} With the property table's {} as a first guess, it is taken as {before} before own readings.",
                    capital(&whose),
                    degrees(f.dof),
                    self.sd(f.default_sd_natural),
                )
            }
        });
        if s.own_dof > 0.0 {
            step.say(format!(
                "Its own exact readings add squares of {} with {}, prints weighed as below: sqrt(({} x {}^2 + {}) / {}) = {}.",
                fine(s.own_squares_natural, 4),
                degrees(s.own_dof),
                fine(s.before_dof, 3),
                fine(s.before_sd_natural.max(s.floor_sd_natural), 4),
                fine(s.own_squares_natural, 4),
                fine(s.after_dof, 3),
                self.spread(s.after_sd_natural)
            ));
        }
        if let Some(sd) = s.with_bounds_sd_natural {
            step.say(format!(
                "Its bounds and ranges have their say of the scatter too: with them it is about {}.",
                self.spread(sd)
            ));
        }
        if s.floor_sd_natural > 0.0 {
            step.say(format!(
                "The steps of the gauges alone scatter by {}, and no less than that is believed.",
                self.spread(s.floor_sd_natural)
            ));
        }
        step
    }

    pub(super) fn between_prints(&self) -> Step {
        let mut step = Step::new("Prints and lots among themselves");
        let w = self.why;
        let Some(s) = &w.spread else {
            return step;
        };
        let repeats = if s.rho_dof > 0.0 {
            format!(
                "repeated prints of this property, of all materials, have {} to say more",
                degrees(s.rho_dof)
            )
        } else {
            "no material has repeated prints of this property to say more".to_owned()
        };
        let learnt = w.road == Road::Own || w.road == Road::OtherSurface;
        step.say(format!(
            "Prints scatter about the material by rho times the scatter within a print. The policy assumes {} before data; {repeats}. rho is not one figure but several with weights{}:",
            figure(s.rho_assumed),
            if learnt { ", before and after its own prints" } else { "" }
        ));
        let rows = |cells: &dyn Fn(&RhoUsed) -> Vec<String>| s.rho.iter().map(cells).collect();
        if learnt {
            step.table(
                &["rho", "before", "after"],
                &[0, 1, 2],
                rows(&|r| vec![figure(r.rho), fine(r.before, 3), fine(r.after, 3)]),
            );
        } else {
            step.table(
                &["rho", "weight"],
                &[0, 1],
                rows(&|r| vec![figure(r.rho), fine(r.before, 3)]),
            );
        }
        step.say("The next part comes from a new print, and scatters by the root of 1 + rho^2 times the scatter within a print.");
        if s.lambda > 0.0 {
            step.say(format!(
                "Lots differ by more than prints do, by lambda = {} times the scatter within a print, so the next part comes from a new lot as well: lambda^2 is added under that root.",
                figure(s.lambda)
            ));
        } else if !w.lots.is_empty() {
            step.say("As far as the catalog shows, lots differ by no more than prints do, so nothing is added for a new lot.");
        }
        if w.lots.len() > 1 {
            let each: Vec<String> = w
                .lots
                .iter()
                .map(|l| {
                    format!(
                        "{} {} ({} of {})",
                        l.lot.as_deref().unwrap_or("unknown lot"),
                        self.amount(l.mean),
                        l.n,
                        count(l.prints as u64, "print", "prints")
                    )
                })
                .collect();
            step.say(format!("Means of its lots: {}.", list(&each)));
        }
        step
    }

    pub(super) fn bias(&self) -> Step {
        let mut step = Step::new("Rig bias");
        let w = self.why;
        if w.bias.is_empty() {
            if w.road == Road::Own && w.result.mean.is_some() {
                step.say("No calibration with an uncertainty stands behind it: nothing is added for the rigs.");
            }
            return step;
        }
        step.say(format!(
            "The calibrations leave the mean unsure by {}, the root of the sum of squares below. What one calibration does to all its readings is the same: it cancels where two materials were tested under it, and stays against a fixed limit.",
            self.spread(w.bias_sd_natural)
        ));
        step.table(
            &["calibration", "part", "one u moves the mean by"],
            &[],
            w.bias.iter().map(|b| self.bias_row(b)).collect(),
        );
        step
    }

    fn bias_row(&self, b: &BiasUsed) -> Vec<String> {
        let part = match b.part {
            BiasKind::Offset => "offset",
            BiasKind::Gain => "gain",
        };
        vec![
            b.calibration.clone(),
            part.to_owned(),
            self.spread(b.slope_natural),
        ]
    }

    pub(super) fn centre(&self) -> Step {
        let mut step = Step::new("Where the centre comes from");
        let w = self.why;
        match (&w.centre, w.road) {
            (Some(c), _) => step.say(self.centre_said(c)),
            (None, Road::Column) => step.say("It is a column of materials.csv."),
            (None, Road::ShortTime) => {
                step.say("No own run serves this life and condition, so a policy share of its short-time strength is taken.");
            }
            (None, _) => {}
        }
        if w.road == Road::OtherSurface {
            step.say("None of its readings was taken on the surface asked for: they give the centre, made unsure by twice what is taken of a stated value.");
        }
        if w.result.grade == Grade::Absent {
            self.looked_for(&mut step);
        }
        let stated = w
            .stated
            .iter()
            .map(|s| {
                let by = if s.sd_assumed { " (assumed)" } else { "" };
                let of = s
                    .polymer
                    .as_ref()
                    .map_or_else(String::new, |p| format!("{p}: "));
                let here = if s.used { "used" } else { "beside" };
                let source: Vec<&str> = [s.source.as_str(), s.standard.as_str()]
                    .into_iter()
                    .filter(|t| !t.is_empty())
                    .collect();
                vec![
                    format!("{of}{}", self.figure(s.value)),
                    format!("{}{by}", self.sd(s.sd_natural)),
                    here.to_owned(),
                    source.join(", "),
                ]
            })
            .collect();
        step.table(&["stated", "one sd", "here", "source"], &[], stated);
        if w.stated.iter().any(|s| !s.used) {
            step.say("A value beside is shown and not averaged in: own readings, or values that fit the question better, decide.");
        }
        step
    }

    fn centre_said(&self, c: &CentreUsed) -> String {
        let at = match (c.at, c.sd_natural) {
            (Some(at), Some(sd)) => format!(
                "{} with a standard deviation of {}",
                self.amount(at),
                self.spread(sd)
            ),
            _ => "nothing".to_owned(),
        };
        let lent: Vec<String> = c
            .lenders
            .iter()
            .map(|l| match l.figure {
                Some(x) => format!("{} {}", l.material, self.amount(x)),
                None => format!("{} nothing left in the heat", l.material),
            })
            .collect();
        match c.from {
            Rests::OwnReadings => "Its own exact readings decide alone: before them every place of the mean is taken as equally likely (a flat prior).".to_owned(),
            Rests::Stated => format!("What is stated gives the centre: {at}."),
            Rests::Polymer => format!(
                "Its polymer lends: {at}, from {}; the material's own figures are left out, and few lenders are pulled towards all polymers.",
                first_few(&lent, MOST_LENDERS)
            ),
            Rests::AllPolymers => format!(
                "Its polymer has nothing to lend, so all polymers together give a wide centre: {at}, from {}.",
                count(lent.len() as u64, "material", "materials")
            ),
            Rests::PlausibleRange => format!(
                "No other material has a figure of it, so the property table's plausible range stands in as two standard deviations to both sides: {at}."
            ),
            Rests::Table => format!(
                "The polymer table gives it, and every part of the material shares it: {at}."
            ),
        }
    }

    fn looked_for(&self, step: &mut Step) {
        let test = self.why.test.map_or_else(
            || "A line in stated.csv would give it.".to_owned(),
            |t| {
                format!(
                    "{} {t} run under this condition would give it.",
                    capital(article(t))
                )
            },
        );
        step.say(format!(
            "Looked for and not found: own readings that serve, a value stated of the material or its polymer, other materials of the polymer. {test}"
        ));
    }

    pub(super) fn bounds(&self) -> Step {
        let mut step = Step::new("Bounds");
        let w = self.why;
        let bounds = bounded(&w.readings);
        if bounds == 0 {
            return step;
        }
        step.say(format!(
            "{}. Each enters by the chance that a specimen lies beyond its bound, given the mean and the spread; none is taken as an exact figure, and none is dropped.",
            bounds_said(bounds)
        ));
        match w.result.side {
            Some(Side::AtLeast) => step.say("All of them are `>=`: how much higher the figure is the bench does not say, so the upper end of the interval comes from the centre that was brought in."),
            Some(Side::AtMost) => step.say("All of them are `<=`: how much lower the figure is the bench does not say, so the lower end of the interval comes from the centre that was brought in."),
            Some(Side::Both) => {
                step.say("No reading is exact: they close in on the figure from both sides.");
            }
            None => {}
        }
        if w.centre.as_ref().is_some_and(|c| c.against_bounds) {
            step.say("All its bounds lie beyond the whole interval of the mean: the centre that was brought in stands against the readings, and the readings are the better witness. An exact reading would settle it.");
        }
        if let (Some(mean), Some(next)) = (w.result.mean_as_exact, w.result.next_part_as_exact) {
            step.say(format!(
                "A limit is held against the bounds taken as exact readings: the mean would be {} and the next part {}.",
                self.interval(mean),
                self.interval(next)
            ));
        }
        step
    }

    pub(super) fn assumed(&self) -> Step {
        let mut step = Step::new("Assumed on the way");
        let w = self.why;
        for n in &w.notes {
            step.say(format!(
                "{}.",
                capital(&assumption(n, w.asked.scale, &w.asked.unit))
            ));
        }
        if let Some(m) = &w.moisture {
            let uptake = m.uptake_percent.map_or_else(
                || "it was not measured".to_owned(),
                |u| format!("{} % was measured", figure(u)),
            );
            let polymer = if m.polymer_takes_little {
                ", and its polymer is known to take up little"
            } else {
                ""
            };
            step.say(format!(
                "Figures of one moisture count at another where water uptake is below {} %: here {uptake}{polymer}.",
                figure(m.limit_percent),
            ));
        }
        if !w.hangs_on.is_empty() {
            let more: Vec<String> = w.hangs_on.iter().map(|a| self.command(a)).collect();
            step.say(format!("It hangs on more, told by {}.", list(&more)));
        }
        step
    }

    pub(super) fn result(&self) -> Step {
        let mut step = Step::new("Result");
        let r = &self.why.result;
        let Some(mean) = r.mean else {
            return step;
        };
        if self.why.road == Road::Column {
            step.say(format!("{}, without a spread.", self.amount(mean.median)));
            return step;
        }
        if r.share_left <= 0.0 {
            step.say(format!(
                "Grade {}. Nothing is left of it at this temperature.",
                grade(r.grade)
            ));
            return step;
        }
        step.say(format!(
            "Grade {}. The mean: {}.",
            grade(r.grade),
            self.interval(mean)
        ));
        if let Some(next) = r.next_part {
            step.say(format!("The next part: {}.", self.interval(next)));
        }
        if let Some(m) = r.nine_in_ten {
            step.say(format!(
                "Nine in ten parts lie above {} and nine in ten below {}, each with a chance of 95 %.",
                self.amount(m.low),
                self.amount(m.high)
            ));
        }
        if let Some(c) = &r.closed {
            self.closed(c, &mut step);
        }
        step
    }

    /// The sums to do again with a calculator.
    fn closed(&self, c: &ClosedForm, step: &mut Step) {
        let (open, close) = match self.why.asked.scale {
            Scale::Log => ("exp(", ")"),
            Scale::Plain => ("", ""),
        };
        let share = self.why.result.share_left;
        let left = if share < 1.0 {
            format!(", times the {} left with heat", fine(share, 4))
        } else {
            String::new()
        };
        step.say(format!(
            "To do again by hand: at a given rho, {open}at +/- t x scale{close}{left}, with t = {} (95 %, {}). The scale of the mean is spread x sqrt(v), v the mean's variance with readings weighed by print; that of the next part has v + 1 + rho^2{} under the root.",
            fine(c.t95, 5),
            degrees(c.dof),
            if self.why.spread.as_ref().is_some_and(|s| s.lambda > 0.0) {
                " + lambda^2"
            } else {
                ""
            }
        ));
        step.table(
            &[
                "rho",
                "weight",
                "at",
                "spread",
                "v",
                "mean's",
                "next part's",
            ],
            &[0],
            c.nodes
                .iter()
                .map(|n| {
                    vec![
                        figure(n.rho),
                        fine(n.weight, 3),
                        place(n.at_natural),
                        fine(n.spread_natural, 4),
                        fine(n.mean_variance_per_spread2, 4),
                        fine(n.mean_scale_natural, 4),
                        fine(n.next_scale_natural, 4),
                    ]
                })
                .collect(),
        );
        step.say(format!(
            "At the middle rho alone the mean is {} to {} and the next part {} to {}. All of them mixed by weight, the chance below y being the sum of weight x T((y - at) / scale), give {} to {} and {} to {}.",
            figure(c.middle_mean.low),
            self.amount(c.middle_mean.high),
            figure(c.middle_next_part.low),
            self.amount(c.middle_next_part.high),
            figure(c.mean.low),
            self.amount(c.mean.high),
            figure(c.next_part.low),
            self.amount(c.next_part.high)
        ));
        let mut added = Vec::new();
        if self.why.bias_sd_natural > 0.0 {
            added.push(format!(
                "the rigs' {}",
                self.spread(self.why.bias_sd_natural)
            ));
        }
        if c.shared_sd_natural > 0.0 {
            added.push(format!(
                "the {} {}",
                self.spread(c.shared_sd_natural),
                self.shared_for()
            ));
        }
        if !added.is_empty() {
            step.say(format!(
                "The intervals above hold {} as well, added as independent normal errors.",
                list(&added)
            ));
        }
    }

    /// What the spread that mean and next part share is for.
    fn shared_for(&self) -> String {
        let w = self.why;
        let curves = |r: &ReadingUsed| r.curve.as_ref().is_some_and(|c| c.at_life.is_some());
        let mut what = Vec::new();
        if w.road == Road::OtherSurface {
            what.push("for the other surface");
        }
        if w.readings.iter().any(|r| r.counts && curves(r)) {
            what.push("of reading curves at the life");
        }
        if what.is_empty() || w.second_share.is_some() {
            what.push("of the line between conditions");
        }
        list(&what)
    }

    /// Maximum likelihood where some readings are bounds.
    fn likeliest(&self, a: &Alone, step: &mut Step) {
        match (&a.likeliest, a.no_likeliest) {
            (Some(l), _) => step.say(format!(
                "A check, not the answer: by maximum likelihood the {} and {} have the mean {} ({}, standard error {}) and the standard deviation {} (standard error {}).",
                count(a.exact as u64, "exact reading", "exact readings"),
                count(a.bounds as u64, "bound or range", "bounds and ranges"),
                place(l.mean_natural),
                self.amount(l.mean),
                fine(l.mean_se_natural, 4),
                self.spread(l.sd_natural),
                fine(l.sd_se_natural, 4),
            )),
            (None, Some(why)) => step.say(format!(
                "By themselves these readings have no most likely mean and spread: {}. What else is known has to help.",
                no_top(why)
            )),
            (None, None) => {}
        }
    }

    pub(super) fn alone(&self) -> Step {
        let mut step = Step::new("By these readings alone");
        let Some(a) = &self.why.alone else {
            return step;
        };
        self.likeliest(a, &mut step);
        let (Some(at), Some(mean)) = (a.mean_natural, a.mean) else {
            return step;
        };
        let who = count(a.exact as u64, "exact reading", "exact readings");
        if let (Some(sd), Some(i), Some(t)) = (a.sd_natural, a.interval, a.t95) {
            step.say(format!(
                "A check, not the answer: without pool, prior, prints or rigs the {who}{} have the mean {} ({}), the standard deviation {} and the 90 % interval {} to {} (t = {}, n = {}). It takes each specimen as if it came from a print of its own.",
                if a.bounds > 0 { " alone" } else { "" },
                place(at),
                self.amount(mean),
                self.spread(sd),
                figure(i.low),
                self.amount(i.high),
                fine(t, 5),
                a.exact
            ));
        } else {
            step.say(format!(
                "One exact reading alone, {}, has no interval: the spread is the pool's.",
                self.amount(mean)
            ));
        }
        step
    }
}

/// Why readings have no most likely normal.
fn no_top(why: NoTop) -> &'static str {
    match why {
        NoTop::OnlyAtLeast => "all are `>=`, and the larger the mean, the likelier they are",
        NoTop::OnlyAtMost => "all are `<=`, and the smaller the mean, the likelier they are",
        NoTop::OneFigureFits => {
            "one figure agrees with all of them, and the smaller the spread, the likelier they are"
        }
        NoTop::BoundsCross => {
            "the bounds stand against each other, and the larger the spread, the likelier they are"
        }
        NoTop::NoReadings | NoTop::NotFound => "the search found none",
    }
}

fn degrees(dof: f64) -> String {
    if dof.is_finite() {
        format!("{} degrees of freedom", fine(dof, 3))
    } else {
        "no end of degrees of freedom".to_owned()
    }
}
