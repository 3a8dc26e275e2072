//! Observations to beliefs: what the evidence supports of a property, for the mean and the next part.
//!
//! # The model
//!
//! On the property's natural scale g (log, or plain), reading i of print j of lot k is
//!
//! > g(y) = mu + rig + v_k + u_j + e_ij,  e ~ N(0, s^2),  u ~ N(0, rho^2 s^2),  v ~ N(0, lambda^2 s^2),
//!
//! and the next part comes from a new print of a new lot: mu + N(0, s^2 (1 + rho^2 + lambda^2)). A belief is
//! the posterior of mu and of that next part, s and rho integrated out.
//!
//! - **Spread** (`spread`, `pool`). s^2 is scaled-inverse-chi-square before own readings, its scale and its
//!   degrees of freedom learnt from the *other* materials' residuals about their prints' means by marginal
//!   likelihood: those on the same kind of rig, or on all rigs where these have under 4 degrees of freedom;
//!   where all have, the property table's default with 4. Materials that scatter alike lend much; where each
//!   has its own way, own specimens decide.
//! - **Prints** (`ratio`). rho starts at the policy's 1, unsure by as much as four degrees of freedom leave
//!   it, and is moved by repeated prints, of other materials by restricted maximum likelihood and of this one
//!   by its own readings. It stays unsure: five nodes of it are carried to the end.
//! - **Lots** (`ratio`). lambda is nothing unless materials with several lots show that lots differ by more
//!   than prints do; then the next part's interval widens to a new lot.
//! - **Exact readings** (`closed`). Given rho all is conjugate with mu flat: generalised least squares over
//!   prints and lots, Student t for mean and next part; over rho a mixture of five. Between runs at two
//!   temperatures, or two moistures, the same on their line.
//! - **Bounds and ranges** (`grid`). Likelihood terms on a grid of mu at nodes of s and rho, the print's effect
//!   integrated out; they speak of the spread as well as of the centre, unless bounds stand alone on a centre
//!   that others lend. Taken as exact (for the judge, where
//!   all own readings are bounds), k specimens that reached at least b are k readings of b with the pooled
//!   spread, for the k that says most.
//! - **Gross outliers** (`outlier`). One reading in three or fewer that the pool would give once in 10 000 is
//!   pulled in to that distance and told; it is never dropped.
//! - **Centre.** Flat where an exact own reading exists; else a stated value (`stated`); else the polymer's
//!   population (`lend`); else, for a bound alone, all polymers' population or the table's plausible range;
//!   else nothing is said. Stated values are never averaged with exact own readings.
//! - **Resolution.** A gauge's step d keeps s^2 at or above d^2/12; where d is more than s, a reading is the
//!   range y - d/2 .. y + d/2. On a log scale a figure at or below zero is `<= d`.
//! - **Rig bias.** Each calibration part moves all its readings together (JCGM 100, 5.2.2): the mean has the
//!   weighted sum of their slopes, and one draw of it is shared by everything under that calibration. It
//!   cancels between two materials under one calibration, and stays against an absolute limit.
//! - **Which observations count** (`select`): direction, face, surface, annealing, stress and time. A face
//!   or surface left open means the worst one, never an average. A test at one life only (compression set)
//!   has no other.
//! - **Moisture** (`moisture`). The asked one first; for a room the place between dried and wet on the water
//!   uptake; else dried figures count in a wet use only with a low measured uptake, and between neighbours
//!   (dried and room, room and wet) a polymer that takes up little is enough. Strength and the like tested
//!   moister than used are bounds from below.
//! - **Temperature** (`temperature`). Between runs on a straight line of the natural scale, or a monotone
//!   curve through three and more, with a variance for the line itself that every part shares
//!   (`between`); bounds and ranges are carried along it. No line crosses a measured softening onset.
//! - **Heat** (`heat`). Warmer than all runs and the window a falling property lies on a straight line to
//!   the low 5 % of the next part's softening onset, or goes on falling as it was measured to where
//!   that is steeper.
//! - **Time.** A curve gives one figure at the life; the error of reading it past its end is one material's,
//!   shared by its specimens and by every part.
//! - **Auxiliary figures** (`auxiliary`) are the same for every part of a material.
//!
//! # Worked examples
//!
//! Three specimens of one print, nothing else known. With prints alike (rho = 0) it is the textbook: the
//! table's spread of 2.5 K counts for 4 degrees of freedom, the residual squares are 8 with 2, so that
//! s^2 = (4 x 6.25 + 8) / 6 and the next part is 72 + t(0.05; 6) s sqrt(1/3 + 1).
//!
//! ```
//! use dutyfit::belief::{Evidence, Material};
//! use dutyfit::bench::ReducedRun;
//! use dutyfit::policy::Policy;
//! use dutyfit::property::{Ask, Condition, Properties, PropertyId};
//! use dutyfit::quantity::Reading::{self, AtLeast, Exact};
//!
//! let onset = PropertyId::fixed("softening-onset");
//! let believe = |runs: &[&[Reading]], policy: Policy| {
//!     let run = |(i, r): (usize, &&[Reading])| {
//!         ReducedRun::given(&format!("run-{i}"), "a", onset.clone(), &Condition::default(), r)
//!     };
//!     let material = Material { id: "a".to_owned(), ..Material::default() };
//!     let runs = runs.iter().enumerate().map(run).collect();
//!     Evidence::new(vec![material], runs, vec![], policy, Properties::default())
//!         .believe("a", &Ask::of(onset.clone()))
//! };
//! let alike = Policy { rho: 0.0, ..Policy::default() };
//! let three = [Exact(70.0), Exact(72.0), Exact(74.0)];
//!
//! let b = believe(&[&three], alike);
//! let s = ((4.0 * 6.25 + 8.0) / 6.0_f64).sqrt();
//! let by_hand = 72.0 - 1.943_180_28 * s * (1.0 / 3.0 + 1.0_f64).sqrt();
//! assert!((b.next_quantile(0.05).unwrap() - by_hand).abs() < 1e-6);
//!
//! // Prints differ, and one print cannot tell by how much: three specimens are not three looks at that.
//! let one_print = believe(&[&three], Policy::default());
//! assert!(one_print.next_quantile(0.05) < b.next_quantile(0.05));
//! // Three prints of a specimen each are, and know the mean better.
//! let three_prints = believe(&[&three[..1], &three[1..2], &three[2..]], Policy::default());
//! let width = |b: &dutyfit::belief::Belief| {
//!     b.mean_quantile(0.95).unwrap() - b.mean_quantile(0.05).unwrap()
//! };
//! assert!(width(&three_prints) < width(&one_print));
//!
//! // A specimen that had not softened at 80: the mean rises, and the scatter is seen to be wide.
//! let bounded = believe(&[&[Exact(70.0), Exact(72.0), AtLeast(80.0)]], Policy::default());
//! assert!(bounded.mean_quantile(0.5) > believe(&[&three[..2]], Policy::default()).mean_quantile(0.5));
//! assert!(width(&bounded) > width(&one_print));
//! ```
//!
//! # Draws
//!
//! Every draw is a smooth increasing function of standard normal scores (of the spread, the mean, the
//! part, the ratio of prints), keyed by seed, material, property, condition and block, but not by temperature
//! or life. So a shifted or better belief moves each draw and reorders none. The spread's nodes stand at even
//! scores, weighted by the normal density, rather than at even chances: the trapezoid rule is then nearly
//! exact, tails included. Draws interpolate between nodes where quantiles sum over them; the two agree to
//! about half a hundredth of the interval's width.
//!
//! # Assumptions and limits
//!
//! - Normal scatter on the natural scale. What heavier tails, dud prints, other print scatter and a drifting rig
//!   do to the promise is measured and tabled, see `calibration`.
//! - rho is one property's, not one material's; lambda is one figure a property without its uncertainty.
//! - The default spreads of the property table are right within a factor of two, and d0 lies around 8 before
//!   data (see `spread`): assumptions of ours.
//! - In a print that holds bounds the lot's effect is taken as one more print effect.
//! - Bounds beside exact readings can show wide scatter: a stronger `>=` far above its fellows may lower the low
//!   end. Where all own readings are bounds from one side, the judge goes by the bounds taken as exact, which
//!   a stronger one never lowers.
//! - The lines between runs and with heat, the place of a room between dried and wet, the other-surface
//!   allowance and the plausible-range centre are assumptions, and are marked by notes and grades.
//!
//! # Sources
//!
//! Conjugate normal model: Gelman and others, Bayesian Data Analysis, chapters 2, 3, 5, 14. Pooled variances:
//! Smyth 2004, Linear models and empirical Bayes methods, sections 4 and 6. Restricted likelihood: Patterson
//! and Thompson 1971; as a marginal likelihood, Harville 1974. Winsorised readings: Huber 1964. Rounding and
//! correlated type B inputs: JCGM 100, 4.3.7 and 5.2.2. Censored likelihoods: Meeker and Escobar, Statistical
//! Methods for Reliability Data, chapter 2. (All from memory, not verified; figures that check them stand in
//! the published tests, each with its status.)

mod auxiliary;
mod beats;
mod believed;
mod between;
mod cell;
mod closed;
mod counted;
mod distribution;
mod evidence;
mod grade;
mod grid;
mod heat;
mod index;
mod lend;
mod lots;
mod material;
mod moisture;
mod natural;
mod odd;
mod outlier;
mod own;
mod pool;
mod ratio;
mod run_summary;
mod select;
mod spread;
mod stated;
mod temperature;
mod why;

#[doc = include_str!("calibration.md")]
pub mod calibration {}

pub use beats::{Compared, Further, TOLD, further};
pub use believed::{BLOCK, Belief, BiasBlock};
pub use counted::Counted;
pub use evidence::Evidence;
pub use grade::{Grade, Note, Rests, Road, Side};
pub use lots::{Beside, LotFigure, PolymerFigures};
pub use material::{Material, MaterialKind, Stated};
pub(crate) use moisture::any_climate;
pub use odd::{Odd, Oddity};
pub use outlier::Outlier;
pub use pool::PoolKind;
pub use run_summary::{RunSummary, summarise_run};
pub(crate) use select::condition_serves;
pub use why::*;
