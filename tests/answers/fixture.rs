//! A made-up judgement: what is asserted here is how answers look, never a number.

use dutyfit::advise::{MaterialCaution, Overview, Reason, UseLimit, Want, overview};
use dutyfit::belief::{Evidence, Grade, Note};
use dutyfit::bench::Step;
use dutyfit::duty::{
    Case, Caution, CautionSeverity, Decline, Deed, Duty, Lever, Limit, LimitSense, NotAbout, Part,
    Performance, Promise, Raised, Setting,
};
use dutyfit::judge::{
    AimResult, AimWeight, Candidate, Cause, Judgement, LimitResult, Predicted, Region, Standing,
};
use dutyfit::policy::Class;
use dutyfit::problem::Fault;
use dutyfit::quantity::Reading;
use dutyfit::render::{Asked, Judged, Shortlist};
use std::collections::BTreeMap;

#[derive(Debug)]
struct Washer;

impl Part for Washer {
    fn kind(&self) -> &'static str {
        "bolt-washer"
    }
    fn limits(&self, _: &Setting, _: &mut Duty) -> Result<(), Vec<Fault>> {
        Ok(())
    }
    fn levers(&self) -> Vec<Lever> {
        Vec::new()
    }
    fn with_lever(&self, _: &str, _: f64) -> Option<Box<dyn Part>> {
        None
    }
    fn inputs(&self) -> serde_json::Value {
        serde_json::json!({ "bolt": "M6", "torque": "4 N.m" })
    }
}

fn limit(id: &str, title: &str, failure: &'static str, sense: LimitSense, unit: &str) -> Limit {
    Limit {
        id: id.to_owned(),
        title: title.to_owned(),
        failure,
        class: Class::Damage,
        sense,
        unit: unit.to_owned(),
        needs: Vec::new(),
        performance: Performance::new(|_, _| 0.0),
        source: "",
    }
}

fn caution(id: &str, severity: CautionSeverity) -> Caution {
    serde_json::from_value(serde_json::json!({
        "id": id, "severity": severity, "text": format!("What {id} says, in a sentence that is long enough to be broken over two lines of a page."),
        "defer_to": [{ "standard": "ISO 1", "about": "lengths", "status": "from memory, not verified" }],
        "ask": "somebody who knows"
    }))
    .unwrap()
}

/// Everything that one shortlist is made from.
pub(super) struct Fixture {
    pub(super) case: Case,
    pub(super) duty: Duty,
    pub(super) judgement: Judgement,
    pub(super) reasons: Vec<Vec<Reason>>,
    pub(super) cautions: Vec<MaterialCaution>,
    pub(super) evidence: Evidence,
    pub(super) turn: Option<UseLimit>,
    overview: Option<Overview>,
}

impl Fixture {
    /// A washer case with these standings, in this order.
    pub(super) fn with(standings: &[Standing]) -> Self {
        let duty = Duty {
            part: "bolt-washer",
            limits: vec![
                limit(
                    "clamp-left",
                    "clamp load left",
                    "creeps away under the bolt",
                    LimitSense::AtLeast(300.0),
                    "N",
                ),
                limit(
                    "heat-margin",
                    "margin below softening",
                    "softens at the hot end",
                    LimitSense::AtLeast(20.0),
                    "K",
                ),
            ],
            promise: Some(Promise {
                parts: "washers",
                deeds: vec![
                    Deed::new("take", 4.0, "N.m", ""),
                    Deed::new("keep", 300.0, "N", "of clamp load"),
                ],
            }),
            cautions: vec![
                Raised {
                    caution: caution("washer-retorque", CautionSeverity::Damage),
                    by: vec!["part bolt-washer".to_owned()],
                },
                Raised {
                    caution: caution("prototype", CautionSeverity::Note),
                    by: vec!["every case".to_owned()],
                },
            ],
            ..Duty::default()
        };
        let candidates: Vec<Candidate> = standings
            .iter()
            .enumerate()
            .map(|(i, s)| candidate(i, *s))
            .collect();
        let reasons = candidates.iter().map(reasons).collect();
        Fixture {
            case: Case {
                title: "greenhouse washer".to_owned(),
                note: String::new(),
                part: Box::new(Washer),
                setting: Setting {
                    life_h: 43_830.0,
                    ..Setting::default()
                },
                limits: BTreeMap::new(),
                preference: None,
                not_about: Vec::new(),
                assumed: vec!["storage".to_owned()],
                defaults: vec![
                    ("moisture".to_owned(), "room".to_owned()),
                    ("sun".to_owned(), "none".to_owned()),
                ],
            },
            duty,
            judgement: Judgement {
                seed: 1,
                draws: 16_384,
                nothing_serves: 0.0123456,
                candidates,
                weights: vec![
                    AimWeight {
                        id: "hold".to_owned(),
                        weight: 0.612_345,
                        zero: 300.0,
                        one: 900.0,
                        unit: "N".to_owned(),
                    },
                    AimWeight {
                        id: "cost".to_owned(),
                        weight: 0.387_655,
                        zero: 60.0,
                        one: 15.0,
                        unit: "per kg".to_owned(),
                    },
                ],
                region: Region {
                    can_be_best: vec!["m-00".to_owned(), "m-01".to_owned()],
                    never_best: vec!["m-02".to_owned()],
                    dominates: Vec::new(),
                    left_out: 0,
                },
                skipped_aims: Vec::new(),
            },
            reasons,
            cautions: Vec::new(),
            evidence: Evidence::default(),
            turn: None,
            overview: None,
        }
    }

    /// What is raised by the case itself, besides.
    pub(super) fn severe(mut self) -> Self {
        self.duty.cautions.insert(
            0,
            Raised {
                caution: caution("safety-joint", CautionSeverity::Severe),
                by: vec!["word \"wheel bolt\"".to_owned()],
            },
        );
        self
    }

    /// Declined for a doubtful word.
    pub(super) fn declined(mut self) -> Self {
        self.duty.declined = Some(Decline {
            caution: caution("vehicle-structure", CautionSeverity::Decline),
            word: "hub".to_owned(),
            doubtful: true,
            question: Some("Is the part in the hub of a vehicle?".to_owned()),
        });
        self
    }

    pub(super) fn answered(mut self) -> Self {
        self.case.not_about.push(NotAbout {
            caution: "vehicle-structure".to_owned(),
            word: "hub".to_owned(),
            because: "a hose reel".to_owned(),
            note: String::new(),
        });
        self
    }

    pub(super) fn asked(&self) -> Asked<'_> {
        Asked {
            name: "greenhouse-washer",
            example: false,
            case: &self.case,
            duty: &self.duty,
            evidence: &self.evidence,
            origin: dutyfit::catalog::Origin::Demo,
            weights_from: "of the case",
        }
    }

    /// Hands a shortlist of it to `look`.
    pub(super) fn shortlist<T>(&mut self, look: impl FnOnce(&Shortlist<'_>) -> T) -> T {
        self.overview = Some(overview(&self.duty, &self.judgement, &self.evidence));
        let judged = self.overview.as_ref().map(|o| Judged {
            judgement: &self.judgement,
            reasons: &self.reasons,
            overview: o,
            cautions: &self.cautions,
            turn: self.turn.as_ref(),
            direction: None,
        });
        look(&Shortlist {
            asked: self.asked(),
            judged: judged.filter(|_| self.duty.declined.is_none()),
            all: false,
            working: false,
        })
    }

    /// What the not known lack, for a look at the groups.
    pub(super) fn wants(&self) -> Vec<Want> {
        overview(&self.duty, &self.judgement, &self.evidence)
            .not_known
            .into_iter()
            .map(|g| g.want)
            .collect()
    }
}

/// The material at a place of the list.
pub(super) fn name(i: usize) -> String {
    format!("m-{i:02}")
}

fn candidate(i: usize, standing: Standing) -> Candidate {
    let chance = match standing {
        Standing::Fit => 0.978_912_3,
        Standing::Borderline => 0.883_412_3,
        Standing::NotKnown => 0.712_345_6,
        Standing::RuledOut => 0.123_456_7,
    };
    let median = 600.0 * chance * chance;
    let clamp = "clamp-left".to_owned();
    let cause = match standing {
        Standing::Fit => Cause::Meets { chance },
        Standing::Borderline => Cause::Short {
            class: Class::Damage,
            limit: clamp,
            chance,
            asked: 0.9,
            within_error: false,
        },
        Standing::NotKnown => Cause::Borrowed {
            limit: clamp,
            property: "clamp-retained".to_owned(),
            notes: vec![Note::BorrowedFrom {
                polymer: "petg".to_owned(),
                materials: 2,
            }],
        },
        Standing::RuledOut => Cause::Fails {
            limit: clamp,
            chance,
            grade: Grade::Measured,
        },
    };
    let result = |id: &str, unit: &str, bound: f64, median: f64| LimitResult {
        id: id.to_owned(),
        class: Class::Damage,
        sense: LimitSense::AtLeast(bound),
        unit: unit.to_owned(),
        predicted: Some(Predicted {
            low: median * 0.8,
            median,
            high: median * 1.2,
        }),
        bounded: None,
        chance: Some(chance),
        chance_se: Some(0.001_234_5),
        chance_as_exact: None,
        grade: Grade::Measured,
        specimens: 3,
        prints: 1,
        weakest: "clamp-retained".to_owned(),
        notes: vec![("clamp-retained".to_owned(), Note::BeyondDecades(1.2))],
        working: vec![Step {
            label: "W7".to_owned(),
            what: "clamp load left".to_owned(),
            value: median,
            unit: unit.to_owned(),
        }],
    };
    Candidate {
        material: name(i),
        standing,
        causes: vec![cause],
        rank: (standing != Standing::RuledOut).then_some(u32::try_from(i).unwrap() + 1),
        score: chance * 0.7,
        score_se: 0.001_23,
        meets_all: Some(chance),
        best_share: 0.5,
        rank_range: (standing != Standing::RuledOut).then_some((1, 3)),
        limits: vec![
            result("clamp-left", "N", 300.0, median),
            result("heat-margin", "K", 20.0, 30.0),
        ],
        aims: vec![AimResult {
            id: "hold".to_owned(),
            weight: 0.6,
            value: 0.5,
            contribution: 0.3,
            median: Some(median),
            grade: Grade::Measured,
        }],
    }
}

fn reasons(c: &Candidate) -> Vec<Reason> {
    let l = &c.limits[0];
    let median = l.predicted.unwrap().median;
    match c.standing {
        Standing::RuledOut => vec![Reason::RuledOutBy {
            limit: "clamp-left".to_owned(),
            title: "clamp load left".to_owned(),
            failure: "creeps away under the bolt".to_owned(),
            predicted: Some(Reading::Exact(median)),
            needed: 300.0,
            unit: "N".to_owned(),
            factor: Some(300.0 / median),
            also: Vec::new(),
        }],
        Standing::NotKnown => vec![Reason::Wants {
            limit: "clamp-left".to_owned(),
            title: "clamp load left".to_owned(),
            property: "clamp-retained".to_owned(),
            test: Some("bolted-washer".to_owned()),
            condition: vec!["45 degC".to_owned()],
            specimens: 2,
            minutes: Some(40.0),
        }],
        _ => vec![
            Reason::Limit {
                limit: "clamp-left".to_owned(),
                title: "clamp load left".to_owned(),
                predicted: Reading::Exact(median),
                needed: 300.0,
                unit: "N".to_owned(),
                chance: 0.97,
                specimens: 3,
                prints: 1,
            },
            Reason::Aim {
                aim: "cost".to_owned(),
                here: 24.0,
                there: Some(38.0),
                against: Some("m-01".to_owned()),
                middle: Some(30.0),
                unit: "per kg".to_owned(),
                gain: 0.04,
            },
        ],
    }
}
