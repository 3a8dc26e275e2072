//! Which way to print: the same use judged as lying flat, on edge and upright.
//!
//! The case is judged again for each other way that its part can lie, with the same draws and for the
//! few candidates that matter: the first places, and where nothing is fit whoever another way would
//! put first. What was judged as the case has it is taken as it stands; nothing here changes it.

use crate::advise::reason::wants;
use crate::advise::{Reason, governing, margin};
use crate::belief::Evidence;
use crate::duty::{Case, Duty, LiesOnBed, Lying, Preference, part};
use crate::judge::{Candidate, Judgement, LimitResult, Request, Standing, in_order, judge_alone};
use std::cmp::Ordering;

/// How many of the first places are judged in every way.
const FIRST_PLACES: usize = 3;
/// Draws by which another way's first place is looked for where nothing is fit.
const LOOK_DRAWS: usize = 1_024;
/// Chances closer than this are alike: twice the Monte-Carlo error of the worst case, and less than
/// anybody prints for (ours).
const ALIKE: f64 = 0.02;
/// What another way must gain to be told where the case has decided (ours).
const CLEARLY: f64 = 0.05;
/// Factor between two margins from which one is more room (ours).
const ROOMIER: f64 = 1.2;

/// How one material stands when the part lies one way.
#[derive(Clone, Debug, PartialEq)]
pub struct Stands {
    /// Material.
    pub material: String,
    /// Standing.
    pub standing: Standing,
    /// Chance of meeting all limits; `None` where some cannot be said.
    pub meets_all: Option<f64>,
    /// Every limit.
    pub limits: Vec<LimitResult>,
    /// The limit that holds it up, or has the least chance.
    pub governing: Option<String>,
    /// The test that it lacks first, where it is not known.
    pub wants: Option<Reason>,
}

/// One way, or several that come to the same, that the part can lie.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// The words of the case file for it.
    pub lies: Vec<LiesOnBed>,
    /// What it means for this part.
    pub words: &'static str,
    /// Why no formula covers it, where none does.
    pub refused: Option<String>,
    /// The materials that matter, in the order they take when it lies so.
    pub stands: Vec<Stands>,
}

/// What the ways come to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// No way makes a difference to the first places.
    None,
    /// None makes one to how they stand, but one way leaves the first place more room in a limit than
    /// another; one of the two is as it was judged.
    Room {
        /// Index of the way with more room.
        best: usize,
        /// Index of the other.
        other: usize,
    },
    /// As it was judged is the best way; the way at this place would lose by it.
    Keep {
        /// Index of the worst other way.
        worst: usize,
    },
    /// The way at this place is better than as it was judged.
    To {
        /// Index of the best way.
        best: usize,
    },
}

/// How the part should lie on the bed, and what that gains.
#[derive(Clone, Debug, PartialEq)]
pub struct Direction {
    /// As the case has it.
    pub stated: LiesOnBed,
    /// Index of the way that was judged.
    pub taken: usize,
    /// Every way.
    pub ways: Vec<Way>,
    /// What they come to.
    pub turn: Turn,
}

impl Direction {
    /// The way that was judged.
    pub fn judged(&self) -> Option<&Way> {
        self.ways.get(self.taken)
    }

    /// A material in a way.
    pub fn stands(&self, way: usize, material: &str) -> Option<&Stands> {
        self.ways
            .get(way)?
            .stands
            .iter()
            .find(|s| s.material == material)
    }

    /// The limit whose chance differs most between two ways for a material, as it is in each.
    pub fn decides(
        &self,
        material: &str,
        (here, there): (usize, usize),
    ) -> Option<(&LimitResult, &LimitResult)> {
        let (a, b) = (self.stands(here, material)?, self.stands(there, material)?);
        a.limits
            .iter()
            .filter_map(|l| Some((l, b.limits.iter().find(|o| o.id == l.id)?)))
            .filter_map(|(l, o)| Some(((l.chance? - o.chance?).abs(), l, o)))
            .filter(|(apart, ..)| *apart >= ALIKE)
            .max_by(|x, y| x.0.total_cmp(&y.0))
            .map(|(_, l, o)| (l, o))
    }

    /// The limit in which one way leaves a material the most room over another: how many times its
    /// margin, and the limit as it is in each; `None` where it has no more anywhere.
    pub fn roomier(
        &self,
        material: &str,
        (here, there): (usize, usize),
    ) -> Option<(f64, &LimitResult, &LimitResult)> {
        let (a, b) = (self.stands(here, material)?, self.stands(there, material)?);
        // What a bound leaves open is no room.
        let factor = |l: &LimitResult| margin(l).filter(|m| m.at.is_eq())?.factor;
        a.limits
            .iter()
            .filter_map(|l| Some((l, b.limits.iter().find(|o| o.id == l.id)?)))
            .filter_map(|(l, o)| Some((factor(l)? / factor(o)?, l, o)))
            .filter(|(times, ..)| *times >= ROOMIER && times.is_finite())
            .max_by(|x, y| x.0.total_cmp(&y.0))
    }

    /// The way that leaves the first place most room, and the one that it is held against.
    fn room(&self) -> Turn {
        let Some(first) = self.judged().and_then(|w| w.stands.first()) else {
            return Turn::None;
        };
        let times = |ways| self.roomier(&first.material, ways).map_or(0.0, |r| r.0);
        (0..self.ways.len())
            .filter(|other| *other != self.taken)
            .flat_map(|other| [(other, self.taken), (self.taken, other)])
            .map(|ways| (times(ways), ways))
            .filter(|(times, _)| *times > 0.0)
            // Of equals the first stands.
            .fold(None, |best: Option<(f64, (usize, usize))>, x| match best {
                Some(b) if b.0 >= x.0 => Some(b),
                _ => Some(x),
            })
            .map_or(Turn::None, |(_, (best, other))| Turn::Room { best, other })
    }
}

/// What another way would be worth for the case, of a judgement of it.
///
/// `only` is the one material that matters; else the first places do. `None` where the part kind says
/// itself how its loads lie, where the case is declined, or where there is nobody to judge.
pub fn direction(
    case: &Case,
    evidence: &Evidence,
    judgement: &Judgement,
    preference: &Preference,
    only: Option<&str>,
) -> Option<Direction> {
    let lying = part(case.part.kind())?.lying?;
    let mut ways = ways_of(lying);
    let taken = ways
        .iter()
        .position(|w| w.lies.contains(&taken_as(case.setting.lies, lying)))?;
    let duties: Vec<Result<Duty, String>> = ways
        .iter()
        .enumerate()
        .map(|(i, w)| lying_so(case, w, i == taken))
        .collect();
    let asking = Asking {
        evidence,
        judgement,
        preference,
    };
    let matter = match only {
        Some(id) => vec![id.to_owned()],
        None => asking.matter(&duties, taken),
    };
    if matter.is_empty() {
        return None;
    }
    for (i, (way, duty)) in ways.iter_mut().zip(&duties).enumerate() {
        match duty {
            Err(why) => way.refused = Some(why.clone()),
            Ok(duty) => {
                let mut judged = if i == taken {
                    asking.as_judged(&matter)
                } else {
                    asking.judged(duty, &matter, judgement.draws)
                };
                in_order(&mut judged);
                way.stands = judged
                    .into_iter()
                    .map(|c| Stands::new(duty, c, evidence))
                    .collect();
            }
        }
    }
    let mut found = Direction {
        stated: case.setting.lies,
        taken,
        turn: turn(&ways, taken, case.setting.lies),
        ways,
    };
    if found.turn == Turn::None && found.stated == LiesOnBed::Open {
        found.turn = found.room();
    }
    Some(found)
}

/// The way that an open case is taken as, or the one it states.
fn taken_as(stated: LiesOnBed, lying: Lying) -> LiesOnBed {
    match stated {
        LiesOnBed::Open => lying.open,
        stated => stated,
    }
}

/// The ways a part can lie; those of which it says the same are one.
fn ways_of(lying: Lying) -> Vec<Way> {
    let mut ways: Vec<Way> = Vec::new();
    for lies in [LiesOnBed::Flat, LiesOnBed::Edge, LiesOnBed::Upright] {
        let words = lying.words(lies);
        match ways.iter_mut().find(|w| w.words == words) {
            Some(same) => same.lies.push(lies),
            None => ways.push(Way {
                lies: vec![lies],
                words,
                refused: None,
                stands: Vec::new(),
            }),
        }
    }
    ways
}

/// The duty of the case with its part lying so, or why there is none.
fn lying_so(case: &Case, way: &Way, as_it_is: bool) -> Result<Duty, String> {
    let mut setting = case.setting.clone();
    if !as_it_is {
        setting.lies = way.lies.first().copied().unwrap_or_default();
    }
    case.duty_with(case.part.as_ref(), &setting)
        .map_err(|faults| {
            faults
                .into_iter()
                .next()
                .map_or_else(String::new, |f| f.what)
        })
}

struct Asking<'a> {
    evidence: &'a Evidence,
    judgement: &'a Judgement,
    preference: &'a Preference,
}

impl Asking<'_> {
    /// The first places; where nothing is fit, the first of each other way with them.
    fn matter(&self, duties: &[Result<Duty, String>], taken: usize) -> Vec<String> {
        let all = &self.judgement.candidates;
        let mut matter: Vec<String> = all
            .iter()
            .take(FIRST_PLACES)
            .map(|c| c.material.clone())
            .collect();
        if all.first().is_none_or(|c| c.standing == Standing::Fit) {
            return matter;
        }
        let among: Vec<String> = all.iter().map(|c| c.material.clone()).collect();
        let others = duties.iter().enumerate().filter(|(i, _)| *i != taken);
        for duty in others.filter_map(|(_, d)| d.as_ref().ok()) {
            let mut looked = self.judged(duty, &among, LOOK_DRAWS.min(self.judgement.draws));
            in_order(&mut looked);
            if let Some(first) = looked.into_iter().next()
                && !matter.contains(&first.material)
            {
                matter.push(first.material);
            }
        }
        matter
    }

    fn judged(&self, duty: &Duty, among: &[String], draws: usize) -> Vec<Candidate> {
        judge_alone(&Request {
            duty,
            evidence: self.evidence,
            among,
            preference: self.preference,
            seed: self.judgement.seed,
            draws,
        })
    }

    fn as_judged(&self, matter: &[String]) -> Vec<Candidate> {
        let all = &self.judgement.candidates;
        all.iter()
            .filter(|c| matter.contains(&c.material))
            .cloned()
            .collect()
    }
}

impl Stands {
    fn new(duty: &Duty, c: Candidate, evidence: &Evidence) -> Self {
        Stands {
            governing: governing(&c)
                .and_then(|i| c.limits.get(i))
                .map(|l| l.id.clone()),
            wants: wants(duty, &c, evidence).into_iter().next(),
            material: c.material,
            standing: c.standing,
            meets_all: c.meets_all,
            limits: c.limits,
        }
    }

    fn chance(&self) -> f64 {
        self.meets_all.unwrap_or(0.0)
    }
}

/// Which of two first places is the better one; chances closer than `alike` are equal.
fn better(a: &Stands, b: &Stands, alike: f64) -> Ordering {
    let by_chance = || {
        let (x, y) = (a.chance(), b.chance());
        if (x - y).abs() < alike {
            Ordering::Equal
        } else {
            x.total_cmp(&y)
        }
    };
    b.standing.cmp(&a.standing).then_with(by_chance)
}

fn turn(ways: &[Way], taken: usize, stated: LiesOnBed) -> Turn {
    let first = |i: usize| ways.get(i).and_then(|w| w.stands.first());
    let Some(here) = first(taken) else {
        return Turn::None;
    };
    let alike = if stated == LiesOnBed::Open {
        ALIKE
    } else {
        CLEARLY
    };
    let others = || (0..ways.len()).filter(|i| *i != taken);
    let mut best: Option<(usize, &Stands)> = None;
    let mut worst: Option<(usize, &Stands)> = None;
    for (i, there) in others().filter_map(|i| Some((i, first(i)?))) {
        // Of equals the first way stands.
        if better(there, here, alike).is_gt()
            && best.is_none_or(|(_, b)| better(there, b, 0.0).is_gt())
        {
            best = Some((i, there));
        }
        if better(there, here, alike).is_lt()
            && worst.is_none_or(|(_, w)| better(there, w, 0.0).is_lt())
        {
            worst = Some((i, there));
        }
    }
    match (best, worst) {
        (Some((best, _)), _) => Turn::To { best },
        (None, Some((worst, _))) => Turn::Keep { worst },
        (None, None) => Turn::None,
    }
}
