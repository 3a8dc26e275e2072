//! A bolted specimen of any shape, tightened and checked hours later: what share of the torque it kept.
//!
//! `TH1` share by loosening, `TH2` share by tightening on, `TH3` clamp load.
//!
//! A bolted washer knows the ring that is pressed and gives a share of the clamp load; here the shape
//! under the head is the user's own, so the share is the joint's and stands as a property of its own.
//! One joint is written on one of the two sheets, never on both.

use crate::bench::{BenchTest, Column, HowTo, Need, Outcome, Reduction, Specimen, kept};
use crate::property::bolt::{BOLT_SIZES, NUT_FACTOR_USUAL, bolt};

/// The torque-hold test.
pub(super) struct TorqueHold;

const KEPT: &str = "torque-retained";

const COLUMNS: &[Column] = &[
    Column::number(
        "torque_on",
        Need::Once,
        "N.m",
        0.05,
        0.01,
        "tightening torque",
    ),
    Column::word(
        "bolt",
        Need::Optional,
        BOLT_SIZES,
        "size of the bolt, coarse thread; only shows the clamp load",
    ),
    Column::number(
        "clamped",
        Need::Optional,
        "mm",
        0.0,
        0.05,
        "height of polymer under the head: more of it keeps less",
    ),
    Column::number(
        "time",
        Need::Optional,
        "h",
        0.0,
        0.0,
        "time from tightening to the check",
    ),
    Column::number(
        "torque_off",
        Need::Optional,
        "N.m",
        0.05,
        0.0,
        "torque that starts the loosening at that time; ends that joint",
    ),
    Column::number(
        "fresh_off",
        Need::Optional,
        "N.m",
        0.05,
        0.0,
        "loosening torque of a like joint within a minute of tightening",
    ),
    Column::number(
        "torque_again",
        Need::Optional,
        "N.m",
        0.05,
        0.0,
        "in place of torque_off: torque at which the bolt first turns on when tightened again",
    ),
];

impl BenchTest for TorqueHold {
    fn id(&self) -> &'static str {
        "torque-hold"
    }
    fn title(&self) -> &'static str {
        "torque hold"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[Outcome::Stopped, Outcome::Collapsed]
    }
    fn gives(&self) -> &'static [&'static str] {
        &[KEPT]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[
            "TH1 share kept = loosening torque at the time/loosening torque of a fresh like joint [derived]; the fresh one stands at one minute [assumed]; never over the tightening torque, for a joint that lost nothing loosens at about 70 % of it [derived]",
            "TH2 or share kept = torque at which it first turns on/tightening torque [derived: both overcome the same sum of thread and friction]; starting friction reads a little high [common practice, no source]",
            "TH3 clamp load = torque/(0.20 d) [K verified in source]: shown where the bolt is given",
        ]
    }
    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Tighten dry to the torque in one pull, mark the head, note the time, and leave the joint still and at one temperature.",
                "After the time read the torque that starts it loosening, slowly. One joint gives one such reading; a like joint gives fresh_off.",
            ],
            beware: [
                "Breakaway after a long rest is stiction as well as clamp: that is what fresh_off is for, do not leave it out.",
                "Retightening changes the joint: a torque_again ends that joint's test as well.",
            ],
            specimens: 3,
            lines: 1,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let Some(on) = s.once("torque_on").filter(|t| *t > 0.0) else {
            out.refuse(
                KEPT,
                "bench::missing-reading",
                "no torque_on says how hard it was tightened",
            );
            return;
        };
        if let Some(bolt) = s.word("bolt").and_then(bolt) {
            let clamp = bolt.clamp_n(on, NUT_FACTOR_USUAL);
            out.step("TH3", "clamp load at the torque", clamp, "N");
        }
        if s.points.iter().any(|p| p.outcome == Outcome::Collapsed) {
            out.refuse(
                KEPT,
                "bench::collapsed",
                "the specimen gave way under the bolt, so no share of torque is kept",
            );
            return;
        }
        let loosened = kept::over_time(s, "torque_off", Outcome::Collapsed);
        let again = kept::over_time(s, "torque_again", Outcome::Collapsed);
        match (loosened.last(), again.is_empty()) {
            (Some(_), false) => out.refuse(
                KEPT,
                "bench::two-checks",
                "a joint that was tightened on is a new joint: check each specimen one way",
            ),
            (Some(last), true) => {
                let raw = last.1 / on;
                out.step(
                    "TH1",
                    "loosening over tightening torque, which is not the share kept",
                    raw,
                    "1",
                );
                let seen = s.points.iter().any(|p| kept::is_exact(p, "fresh_off"));
                match s.once("fresh_off").filter(|f| *f > 0.0 && seen) {
                    Some(fresh) => {
                        let told = ("TH1", "torque_off", "share of the torque kept at that time");
                        kept::of_torque(s, KEPT, told, fresh, &loosened, out);
                    }
                    None => out.refuse(
                        KEPT,
                        "bench::no-fresh-off",
                        format!(
                            "{} N.m at {} h cannot be shared by the tightening torque, for a joint that lost nothing loosens well below it: loosen a like joint within a minute and enter `fresh_off`, or check by tightening on",
                            last.1, last.0
                        ),
                    ),
                }
            }
            (None, false) => {
                let told = (
                    "TH2",
                    "torque_again",
                    "share of the torque kept at that time",
                );
                kept::of_torque(s, KEPT, told, on, &again, out);
            }
            (None, true) => out.refuse(
                KEPT,
                "bench::missing-reading",
                "neither torque_off nor torque_again was read",
            ),
        }
    }
}
