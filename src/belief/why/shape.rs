//! The steps of the way from readings to an interval, with their figures.
//!
//! Figures named `..._natural` stand on the property's natural scale: logarithms where that is `log`,
//! so that a spread of 0.05 is 5 %; the canonical unit where it is `plain`.

use crate::belief::{Grade, Note, PoolKind, Rests, Road, Side};
use crate::bench::{BiasKind, Law, Step};
use crate::num::censored::NoTop;
use crate::property::{Condition, Face, Lies, Moisture, PropertyId, Scale};
use crate::quantity::{Bound, Reading};
use schemars::JsonSchema;
use serde::Serialize;

/// The whole way from readings to one belief.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Why {
    /// Material id.
    pub material: String,
    /// What was asked.
    pub asked: Asked,
    /// Which evidence the answer is made of.
    pub road: Road,
    /// Every own reading of the property, counted or not.
    pub readings: Vec<ReadingUsed>,
    /// Calibrations behind the counted readings.
    pub calibrations: Vec<Calibration>,
    /// Formulas of the test, with their sources; those that the counted readings went through.
    pub formulas: Vec<&'static str>,
    /// Counted exact readings, print by print.
    pub prints: Vec<PrintMean>,
    /// How far the condition asked for lies from the first to the second of two that are interpolated
    /// between, 0 to 1; null where none is.
    pub second_share: Option<f64>,
    /// Counted exact readings, lot by lot; empty where no lot is named.
    pub lots: Vec<LotMean>,
    /// Scatter within its own prints; null where no print holds two exact readings.
    pub own_spread: Option<OwnSpread>,
    /// Scatter of a specimen within its print, and of prints about the material; null where the answer
    /// is not made of a spread.
    pub spread: Option<SpreadUsed>,
    /// What the rigs' calibrations leave unsure of the mean.
    pub bias: Vec<BiasUsed>,
    /// One standard uncertainty of all of them together.
    pub bias_sd_natural: f64,
    /// What the centre rests on before bounds; null where nothing is said.
    pub centre: Option<CentreUsed>,
    /// Values that data sheets and handbooks state of it or of its polymer.
    pub stated: Vec<StatedUsed>,
    /// How its water uptake lets figures of one moisture count at another; null where no reading needs it.
    pub moisture: Option<MoistureUsed>,
    /// What was assumed on the way.
    pub notes: Vec<Note>,
    /// What is believed.
    pub result: ResultUsed,
    /// The same from its own readings alone, with no pool; null without readings that count.
    pub alone: Option<Alone>,
    /// What else this answer hangs on, each asked as it was for this one.
    pub hangs_on: Vec<Asked>,
    /// The test that would give its own figure; null where no bench test here does.
    pub test: Option<&'static str>,
}

/// The question, with what the property's row says where it was left open.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Asked {
    /// Property id.
    pub property: PropertyId,
    /// Title.
    pub title: String,
    /// Canonical unit.
    pub unit: String,
    /// Standard that defines it.
    pub standard: &'static str,
    /// Natural scale.
    pub scale: Scale,
    /// How the load lies to the layers; null where direction does not matter.
    pub lies: Option<Lies>,
    /// Whether that is the property's default.
    pub lies_by_default: bool,
    /// Face; null takes any, and the worst where there are several.
    pub face: Option<Face>,
    /// Whether the face matters.
    pub by_face: bool,
    /// Temperature, degC.
    pub temperature_c: f64,
    /// Moisture.
    pub moisture: Moisture,
    /// Whether temperature and moisture matter.
    pub by_climate: bool,
    /// Surface rubbed against; null takes any, and the worst where there are several.
    pub counterface: Option<String>,
    /// Whether the surface matters.
    pub by_counterface: bool,
    /// Life at which curves are read, h.
    pub life_h: Option<f64>,
    /// Stress in use, MPa.
    pub stress_mpa: Option<f64>,
}

/// A figure or a bound.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Figure {
    /// What it is.
    pub bound: Bound,
    /// The figure; absent where it is a range.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<f64>,
    /// Low end of a range.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low: Option<f64>,
    /// High end of a range.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high: Option<f64>,
}

impl From<Reading> for Figure {
    fn from(r: Reading) -> Self {
        let (a, b) = r.figures();
        Figure {
            bound: r.bound(),
            value: b.is_none().then_some(a),
            low: b.and(Some(a)),
            high: b,
        }
    }
}

impl Figure {
    /// The reading again.
    pub fn reading(self) -> Reading {
        let one = self.value.unwrap_or(f64::NAN);
        match (self.bound, self.low, self.high) {
            (Bound::Between, Some(a), Some(b)) => Reading::Between(a, b),
            (Bound::AtLeast, ..) => Reading::AtLeast(one),
            (Bound::AtMost, ..) => Reading::AtMost(one),
            _ => Reading::Exact(one),
        }
    }
}

/// One specimen, and what became of it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ReadingUsed {
    /// Run.
    pub run: String,
    /// Specimen number in its run.
    pub specimen: u32,
    /// Date of the run.
    pub date: Option<String>,
    /// Test id.
    pub test: &'static str,
    /// Print; null for the one unnamed print of its run.
    pub print: Option<String>,
    /// Lot; null for the unknown one.
    pub lot: Option<String>,
    /// Rig as written.
    pub rig: String,
    /// Kind of the rig.
    pub rig_kind: String,
    /// Condition it was tested in.
    pub condition: Condition,
    /// Outcome word; empty where it was simply measured.
    pub outcome: &'static str,
    /// The figure as reduced, canonical unit; of a curve its last one; null where none came out.
    pub figure: Option<Figure>,
    /// The curve behind it, for figures over time.
    pub curve: Option<CurveUsed>,
    /// Hours the figure speaks for (sustained strength).
    pub hours: Option<f64>,
    /// Stress it was taken at, MPa (creep).
    pub stress_mpa: Option<f64>,
    /// What enters the sums, natural scale; null where it does not count.
    pub natural: Option<Figure>,
    /// Where it was read, natural scale, if it lies so far from its fellows that it enters pulled in.
    pub outlier_natural: Option<f64>,
    /// Smallest step that the gauges can tell in it, natural scale; where that is wider than the
    /// spread, the reading enters as the range half a step to both sides.
    pub resolution_natural: Option<f64>,
    /// Whether it counts.
    pub counts: bool,
    /// Why it does not count.
    pub left_out: Option<LeftOut>,
    /// Whether the specimen failed early.
    pub early: bool,
    /// Steps of its reduction.
    pub working: Vec<Step>,
}

/// Why a reading does not count.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LeftOut {
    /// The run is set aside.
    SetAside {
        /// Why, as written.
        why: String,
    },
    /// The outcome gives no evidence.
    NoEvidence,
    /// The formula gave no figure.
    Refused {
        /// Why, with the figures.
        why: String,
    },
    /// Its condition does not serve the question.
    Condition {
        /// How it differs.
        note: Note,
    },
    /// Others were tested at the moisture asked for.
    OwnMoisture,
    /// Another face or surface serves worse and stands for all.
    WorseSide,
    /// Runs at other temperatures are nearer to the one asked for.
    NearerTemperature,
    /// It holds the other end of the line that bounds are carried along.
    OtherEnd,
    /// It says nothing at the life asked for.
    NothingAtLife,
}

/// A specimen's curve and what it says at the life.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CurveUsed {
    /// Hours since loading, and value in the canonical unit.
    pub points: Vec<(f64, f64)>,
    /// Which way time runs through it.
    pub law: Law,
    /// What is read at the life asked for; null where no life was asked.
    pub at_life: Option<AtLife>,
}

/// A curve read at a life.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct AtLife {
    /// The life, h.
    pub life_h: f64,
    /// The figure taken, canonical unit: the laws at equal weight, each the mean over all fits
    /// that the readings leave open.
    pub value: f64,
    /// By the Findley power law as ordinary least squares fit it.
    pub findley: f64,
    /// Its exponent.
    pub exponent: f64,
    /// Whether the readings were too few to find the exponent.
    pub exponent_held: bool,
    /// By the log-time law, fitted the same.
    pub log_time: f64,
    /// Of a share kept, by the Findley law of its inverse; null for a modulus.
    pub inverse: Option<f64>,
    /// Whether the readings were too few to tell how their errors hang together.
    pub correlation_held: bool,
    /// Weight of steady flow past the last reading, 0 to 1.
    pub flow: f64,
    /// Decades from the last reading to the life; 0 within the data.
    pub decades_beyond: f64,
    /// Standard deviation of what the readings leave open in each law, natural scale; a specimen's
    /// own noise over the number of specimens that count.
    pub fit_sd_natural: f64,
    /// Of the laws about their mean.
    pub laws_sd_natural: f64,
    /// Of the policy's drift past the last reading.
    pub drift_sd_natural: f64,
    /// All three in squares: what reading it so adds.
    pub added_sd_natural: f64,
}

/// A calibration behind a reading: reading = gain x true + offset.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Calibration {
    /// Calibration id.
    pub calibration: String,
    /// Raw column.
    pub column: String,
    /// Unit of the column.
    pub unit: String,
    /// Offset, in that unit.
    pub offset: f64,
    /// Its standard uncertainty.
    pub offset_u: f64,
    /// Gain.
    pub gain: f64,
    /// Its standard uncertainty.
    pub gain_u: f64,
    /// Smallest step of the true value, in that unit.
    pub resolution: Option<f64>,
}

/// The exact readings of one print.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PrintMean {
    /// Print, or the run whose unnamed print it is.
    pub print: String,
    /// Whether the print has a name.
    pub named: bool,
    /// Lot.
    pub lot: Option<String>,
    /// Temperature of the runs, degC, where two conditions are interpolated between.
    pub temperature_c: Option<f64>,
    /// Moisture of the runs, where two moistures are interpolated between.
    pub moisture: Option<Moisture>,
    /// Whether it is the second of two conditions: the warmer, or the wetter.
    pub second: bool,
    /// Exact readings.
    pub n: usize,
    /// Their mean, natural scale.
    pub mean_natural: f64,
    /// The same back in the canonical unit.
    pub mean: f64,
    /// Sum of squares about the mean, natural scale squared.
    pub squares_natural: f64,
}

/// The exact readings of one lot.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LotMean {
    /// Lot; null for the unknown one.
    pub lot: Option<String>,
    /// Exact readings.
    pub n: usize,
    /// Prints.
    pub prints: usize,
    /// Mean of its prints' means, natural scale.
    pub mean_natural: f64,
    /// The same back in the canonical unit.
    pub mean: f64,
}

/// Scatter within own prints.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OwnSpread {
    /// Sum of squares about the prints' means.
    pub squares_natural: f64,
    /// Degrees of freedom: readings less prints.
    pub dof: f64,
    /// Their root mean square.
    pub sd_natural: f64,
}

/// Scatter of a specimen within its print, of prints about the material, and of lots.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SpreadUsed {
    /// Whose scatter it starts from.
    pub from: PoolFrom,
    /// Spread within a print before own readings, natural scale: that of a scaled inverse chi-square.
    pub before_sd_natural: f64,
    /// Its degrees of freedom.
    pub before_dof: f64,
    /// Weighted squares of own exact readings about their mean, at the middle rho.
    pub own_squares_natural: f64,
    /// Their degrees of freedom.
    pub own_dof: f64,
    /// The spread after own exact readings, at the middle rho; bounds move it further.
    pub after_sd_natural: f64,
    /// Its degrees of freedom.
    pub after_dof: f64,
    /// What the spread is on average (of its logarithm) with bounds and ranges as well, at the middle rho;
    /// null where all readings are exact.
    pub with_bounds_sd_natural: Option<f64>,
    /// Least spread that the gauges' steps allow, natural scale.
    pub floor_sd_natural: f64,
    /// Standard deviation of prints over that within a print, as the policy assumes before data.
    pub rho_assumed: f64,
    /// Degrees of freedom between repeated prints of the property, of all materials.
    pub rho_dof: f64,
    /// What rho may be, and how likely each is before and after own readings; the middle one stands in
    /// where one figure is wanted.
    pub rho: Vec<RhoUsed>,
    /// Standard deviation of lots over that within a print; 0 where they do not differ by more than prints.
    pub lambda: f64,
}

/// Where the spread within a print comes from before own readings.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PoolFrom {
    /// Which other materials lent it.
    pub pool: PoolKind,
    /// Kind of the rig that they share with its own readings.
    pub rig_kind: Option<String>,
    /// How many lent.
    pub materials: usize,
    /// Degrees of freedom of their residuals together: readings less prints.
    pub dof: f64,
    /// Degrees of freedom by which materials scatter alike, found from how their spreads differ; null where
    /// it was not asked.
    pub alike_dof: Option<f64>,
    /// The property table's spread, natural scale.
    pub default_sd_natural: f64,
    /// Where that comes from.
    pub default_status: &'static str,
}

/// One value that rho may have.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RhoUsed {
    /// Standard deviation of prints about the material, in spreads within a print.
    pub rho: f64,
    /// Weight before own readings.
    pub before: f64,
    /// Weight after.
    pub after: f64,
}

/// One part of a calibration in the mean.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BiasUsed {
    /// Calibration id.
    pub calibration: String,
    /// Offset or gain.
    pub part: BiasKind,
    /// How far one standard uncertainty moves the mean, natural scale, with its sign.
    pub slope_natural: f64,
}

/// What the centre rests on before bounds.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CentreUsed {
    /// What it rests on.
    pub from: Rests,
    /// Where it is, natural scale; null where own exact readings alone decide.
    pub at_natural: Option<f64>,
    /// One standard deviation of it, natural scale.
    pub sd_natural: Option<f64>,
    /// Where it is, canonical unit.
    pub at: Option<f64>,
    /// Whether every own bound lies beyond the mean's interval: then centre and readings disagree.
    pub against_bounds: bool,
    /// Materials that lent, and their figures.
    pub lenders: Vec<Lender>,
}

/// A material that lent its figure.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Lender {
    /// Material id.
    pub material: String,
    /// Its polymer.
    pub polymer: String,
    /// Its own figure, canonical unit; null where nothing is left of it in the heat.
    pub figure: Option<f64>,
}

/// A stated value, and whether it is used.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StatedUsed {
    /// Polymer, where it is stated of that and not of the material.
    pub polymer: Option<String>,
    /// Value, canonical unit.
    pub value: Figure,
    /// One standard deviation, natural scale.
    pub sd_natural: f64,
    /// Whether the policy or the table gave that, since the source names none.
    pub sd_assumed: bool,
    /// Standard.
    pub standard: String,
    /// Source.
    pub source: String,
    /// Whether it gives the centre; a value beside exact own readings is shown, never averaged.
    pub used: bool,
}

/// Water uptake as far as it lets figures of one moisture count at another.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MoistureUsed {
    /// Measured uptake, %; null where it was not measured.
    pub uptake_percent: Option<f64>,
    /// Below this figures of one moisture count at any other, %.
    pub limit_percent: f64,
    /// Whether its polymer is known to take up little.
    pub polymer_takes_little: bool,
}

/// 5, 50 and 95 %.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Interval {
    /// 5 %.
    pub low: f64,
    /// 50 %.
    pub median: f64,
    /// 95 %.
    pub high: f64,
}

/// What most parts lie above, and below.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Most {
    /// Nine in ten parts lie above this, with a chance of 95 %.
    pub low: f64,
    /// Nine in ten parts lie below this, with a chance of 95 %.
    pub high: f64,
}

/// What is believed, canonical unit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ResultUsed {
    /// Grade.
    pub grade: Grade,
    /// Own specimens that count.
    pub specimens: u32,
    /// Own prints that count.
    pub prints: u32,
    /// From which side it is bounded where all own readings are bounds.
    pub side: Option<Side>,
    /// The mean; null where nothing can be said.
    pub mean: Option<Interval>,
    /// The next part; null where nothing can be said.
    pub next_part: Option<Interval>,
    /// Nine in ten parts; null where nothing can be said, or bounds alone stand.
    pub nine_in_ten: Option<Most>,
    /// The mean with its bounds taken as exact readings, which is what a limit is held against.
    pub mean_as_exact: Option<Interval>,
    /// The next part with its bounds taken as exact readings.
    pub next_part_as_exact: Option<Interval>,
    /// Share of the figure that is left with heat, 0 to 1, by which the figures above are multiplied.
    pub share_left: f64,
    /// The sums to do again by hand; null where no closed form holds (bounds, a stated or lent centre).
    pub closed: Option<ClosedForm>,
}

/// Given rho, mean and next part are Student's t: quantile = at + t x scale, back from the natural scale,
/// times the share left with heat. Over rho they are a mixture: the chance below y is the sum of
/// weight x T((y - at) / scale).
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ClosedForm {
    /// Degrees of freedom.
    pub dof: f64,
    /// t at 95 %.
    pub t95: f64,
    /// One Student's t for each value of rho.
    pub nodes: Vec<StudentUsed>,
    /// The mean at the middle rho alone: canonical unit.
    pub middle_mean: Interval,
    /// The next part at the middle rho alone: canonical unit.
    pub middle_next_part: Interval,
    /// The mean of all of them by weight, without the rigs' bias: canonical unit.
    pub mean: Interval,
    /// The next part of all of them by weight, without the rigs' bias: canonical unit.
    pub next_part: Interval,
    /// What the laws of time add, one standard deviation shared by mean and next part, natural scale;
    /// the printed intervals hold it, the t above does not.
    pub shared_sd_natural: f64,
}

/// Student's t at one value of rho.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StudentUsed {
    /// rho.
    pub rho: f64,
    /// Its weight after own readings.
    pub weight: f64,
    /// Estimate of the mean, natural scale.
    pub at_natural: f64,
    /// Spread within a print, natural scale.
    pub spread_natural: f64,
    /// Variance of the mean over the spread squared: 1/n for n readings were there no print scatter.
    pub mean_variance_per_spread2: f64,
    /// Variance of the next part about the mean over the spread squared: 1 + rho^2 + lambda^2.
    pub part_variance_per_spread2: f64,
    /// Scale of the mean: spread x sqrt(mean variance), natural scale.
    pub mean_scale_natural: f64,
    /// Scale of the next part: spread x sqrt(mean variance + part variance), natural scale.
    pub next_scale_natural: f64,
}

/// What own readings say by themselves.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Alone {
    /// Exact readings.
    pub exact: usize,
    /// Bounds and ranges.
    pub bounds: usize,
    /// Mean of the exact readings, natural scale; null without any.
    pub mean_natural: Option<f64>,
    /// Their standard deviation (n - 1), natural scale; null below two.
    pub sd_natural: Option<f64>,
    /// The mean back in the canonical unit.
    pub mean: Option<f64>,
    /// 90 % interval of the mean by Student's t with n - 1 degrees of freedom, prints not told apart.
    pub interval: Option<Interval>,
    /// Student's t at 95 % with n - 1 degrees of freedom.
    pub t95: Option<f64>,
    /// The most likely normal of all of them, bounds and ranges included; null where all are exact, or
    /// there is none.
    pub likeliest: Option<LikeliestUsed>,
    /// Why there is no most likely normal of readings of which some are bounds.
    pub no_likeliest: Option<NoTop>,
}

/// The most likely normal of readings of which some are bounds, by maximum likelihood.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LikeliestUsed {
    /// Mean, natural scale.
    pub mean_natural: f64,
    /// Its standard error, from the observed information.
    pub mean_se_natural: f64,
    /// Standard deviation, natural scale; a little small in small samples.
    pub sd_natural: f64,
    /// Its standard error.
    pub sd_se_natural: f64,
    /// The mean back in the canonical unit.
    pub mean: f64,
}
