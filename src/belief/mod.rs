//! Observations to beliefs: what the evidence supports of a property, for the mean and the next part.
//!
//! # The model
//!
//! On the property's natural scale g (log, or plain), reading i of print j is
//!
//! > g(y) = mu + rig + u_j + e_ij,  e ~ N(0, s^2),  u_j ~ N(0, rho^2 s^2),
//!
//! and the next part comes from a new print: mu + N(0, s^2 (1 + rho^2)).
//!
//! - **Spread** (`pool`). s^2 is scaled-inverse-chi-square before own readings, pooled from the
//!   residuals of *other* materials about their prints' means in the same property: the same kind of rig
//!   first, all rigs if that has under 4 degrees of freedom, at most 8; with no pool, the table's default
//!   with 4. rho^2 starts at the policy's 1 and is pulled to what repeated prints show:
//!   (4 rho^2 + nu r^2) / (4 + nu).
//! - **Exact readings** (`closed`). With mu flat all is conjugate: generalised least squares over prints,
//!   Student t for mean and next part. Between runs at two temperatures the same on their line.
//! - **Bounds and ranges** (`grid`). Likelihood terms on a grid of mu at nodes of s, the print's effect
//!   integrated out. One-sided bounds move mu, not s; see there why and what it costs. Taken as exact (for
//!   the judge), k specimens that reached at least b are k readings of b with the pooled spread, for the k
//!   that says most.
//! - **Centre.** Flat where an exact own reading exists; else a stated value (`stated`); else the polymer's
//!   population (`lend`); else, for a bound alone, all polymers' population or the table's plausible range;
//!   else nothing is said. Stated values are never averaged with exact own readings.
//! - **Resolution.** A gauge's step d keeps s^2 at or above d^2/12; where d is more than s, a reading is the
//!   range y - d/2 .. y + d/2. On a log scale a figure at or below zero is `<= d`.
//! - **Rig bias.** Each calibration part moves all its readings together (JCGM 100, 5.2.2): the mean has the
//!   weighted sum of their slopes, and one draw of it is shared by everything under that calibration.
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
//! # Draws
//!
//! Every draw is a smooth increasing function of standard normal scores (of the spread, the mean, the
//! part), keyed by seed, material, property, condition and block, but not by temperature or life. So a
//! shifted or better belief moves each draw and reorders none. The spread's nodes stand at even scores,
//! weighted by the normal density, rather than at even chances: the trapezoid rule is then nearly exact,
//! tails included.
//!
//! # Limits
//!
//! rho is one number a property; the pool takes all materials as equally noisy on the natural scale, which
//! is why its weight is capped. Lots are not told apart. The lines between runs and with heat, the place
//! of a room between dried and wet, the other-surface allowance and the plausible-range centre are
//! assumptions, and are marked by notes and grades.
//!
//! # Sources
//!
//! Conjugate normal model: Gelman and others, Bayesian Data Analysis, chapters 2, 3, 5, 14 (from memory,
//! not verified). Rounding and correlated type B inputs: JCGM 100, 4.3.7 and 5.2.2 (clause numbers from
//! memory). Print variance: one-way analysis of variance as in ISO 5725-2 (from memory). Figures that check
//! them stand in the published tests, each with its status.

mod auxiliary;
mod believed;
mod between;
mod closed;
mod distribution;
mod evidence;
mod grade;
mod grid;
mod heat;
mod index;
mod lend;
mod material;
mod moisture;
mod natural;
mod own;
mod pool;
mod run_summary;
mod select;
mod stated;
mod temperature;
mod why;

pub use believed::{BLOCK, Belief, BiasBlock};
pub use evidence::Evidence;
pub use grade::{Grade, Note, Rests, Road, Side};
pub use material::{Material, MaterialKind, Stated};
pub use run_summary::{RunSummary, summarise_run};
pub use why::*;
