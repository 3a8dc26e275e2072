//! Reasons, causes and notes told in plain words, with numbers and units.

use crate::advise::{Reason, RuledOutGroup, UseLimit, Want, WantGroup};
use crate::belief::{Grade, Note};
use crate::duty::{Duty, LeverKind, LimitSense, PLAIN_FAILURE};
use crate::judge::{Cause, LimitResult, Standing};
use crate::property::Properties;
use crate::quantity::Reading;
use crate::render::assumption::assumed_of;
use crate::render::words::{
    amount, apart, article, asked, count, end_of, figure, hours, of_hundred, of_several,
    reading_apart,
};

/// Tells about one duty.
#[derive(Clone, Copy, Debug)]
pub(super) struct Telling<'a> {
    pub(super) duty: &'a Duty,
    pub(super) properties: &'a Properties,
}

/// The word of a grade.
pub(super) fn grade(g: Grade) -> &'static str {
    match g {
        Grade::Measured => "measured",
        Grade::Bounded => "bounded",
        Grade::Stated => "stated",
        Grade::Borrowed => "borrowed",
        Grade::Absent => "absent",
    }
}

/// What a limit rests on: `measured (3 of 1 print)`, `stated`, `borrowed`.
pub(super) fn rests_on(g: Grade, specimens: u32, prints: u32) -> String {
    match g {
        Grade::Measured | Grade::Bounded if specimens > 0 => format!(
            "{} ({specimens} of {})",
            grade(g),
            count(prints, "print", "prints")
        ),
        _ => grade(g).to_owned(),
    }
}

/// The kind of a reason, as a word.
pub(super) fn reason_kind(reason: &Reason) -> &'static str {
    match reason {
        Reason::Aim { .. } => "aim",
        Reason::Limit { .. } => "limit",
        Reason::RuledOutBy { .. } => "ruled-out-by",
        Reason::Wants { .. } => "wants",
    }
}

fn from_specimens(specimens: u32, prints: u32) -> String {
    if specimens == 0 {
        String::new()
    } else {
        format!(
            ", from {} of {}",
            count(specimens, "specimen", "specimens"),
            count(prints, "print", "prints")
        )
    }
}

impl Telling<'_> {
    /// Title of a limit.
    pub(super) fn limit(&self, id: &str) -> String {
        self.duty
            .limits
            .iter()
            .find(|l| l.id == id)
            .map_or_else(|| id.to_owned(), |l| l.title.clone())
    }

    /// Title of a limit, with the end of the temperature range it is judged at.
    pub(super) fn limit_with_end(&self, id: &str) -> String {
        match end_of(id) {
            Some(end) => format!("{}, {end}", self.limit(id)),
            None => self.limit(id),
        }
    }

    fn sense(&self, id: &str) -> Option<LimitSense> {
        self.duty
            .limits
            .iter()
            .find(|l| l.id == id)
            .map(|l| l.sense)
    }

    /// Title of a property.
    pub(super) fn property(&self, id: &str) -> String {
        self.properties
            .get(id)
            .map_or_else(|| id.to_owned(), |p| p.title.to_string())
    }

    /// `610 N (needs 300)`, `>= 30 MPa (needs 19.5)`, `0.3 (at most 0.4)`, `8 N (needs 4 to 12)`.
    fn held(&self, limit: &str, predicted: Reading, needed: f64, unit: &str) -> String {
        let x = predicted.as_exact();
        let bound = match self.sense(limit) {
            Some(LimitSense::AtMost(_)) => format!("(at most {})", apart(needed, x)),
            Some(LimitSense::Between(a, b)) => {
                format!("(needs {} to {})", apart(a, x), apart(b, x))
            }
            _ => format!("(needs {})", apart(needed, x)),
        };
        format!("{} {bound}", reading_apart(predicted, needed, unit))
    }

    /// A reason in as few words as tell it.
    pub(super) fn brief(&self, reason: &Reason) -> String {
        match reason {
            Reason::Limit {
                limit,
                title,
                predicted,
                needed,
                unit,
                ..
            } => format!("{title} {}", self.held(limit, *predicted, *needed, unit)),
            Reason::Wants {
                test: Some(test),
                specimens,
                minutes,
                ..
            } => format!(
                "wants {} of {test}{}",
                count((*specimens).max(1), "specimen", "specimens"),
                minutes.map_or_else(String::new, |m| format!(", {} min", figure(m)))
            ),
            _ => self.reason(reason),
        }
    }

    /// ` Print it and run bolted-washer (flat) on 2 specimens, 40 min: it settles the clamp load left.`
    pub(super) fn would_settle(&self, reason: &Reason) -> Option<String> {
        let Reason::Wants {
            title,
            property,
            test,
            condition,
            specimens,
            minutes,
            ..
        } = reason
        else {
            return None;
        };
        let Some(test) = test else {
            return Some(format!(
                " Look up its {}: it settles the {title}.",
                self.property(property)
            ));
        };
        let at = if condition.is_empty() {
            String::new()
        } else {
            format!(" ({})", condition.join(", "))
        };
        let time = minutes.map_or_else(String::new, |m| format!(", {} min", figure(m)));
        Some(format!(
            " Print it and run {test}{at} on {}{time}: it settles the {title}.",
            count((*specimens).max(1), "specimen", "specimens")
        ))
    }

    /// A reason as one clause.
    pub(super) fn reason(&self, reason: &Reason) -> String {
        match reason {
            Reason::Aim {
                aim,
                here,
                there,
                against,
                middle,
                unit,
                gain,
            } => {
                let side = if *gain < 0.0 { "behind on" } else { "ahead on" };
                let other = match (there, against, middle) {
                    (Some(there), Some(who), _) => {
                        format!(", {} has {}", who, amount(*there, unit))
                    }
                    (_, _, Some(middle)) => format!(", the middle has {}", amount(*middle, unit)),
                    _ => String::new(),
                };
                format!("{side} {}: {}{other}", aim, amount(*here, unit))
            }
            Reason::Limit {
                limit,
                title,
                predicted,
                needed,
                unit,
                specimens,
                prints,
                ..
            } => format!(
                "{} {}{}",
                title,
                self.held(limit, *predicted, *needed, unit),
                from_specimens(*specimens, *prints)
            ),
            Reason::RuledOutBy {
                limit,
                title,
                failure,
                predicted,
                needed,
                unit,
                factor,
                also,
            } => {
                let ends: Vec<&str> = std::iter::once(limit)
                    .chain(also)
                    .filter_map(|id| end_of(id))
                    .collect();
                let ends = match ends.as_slice() {
                    [] => String::new(),
                    [only] => format!(" ({only})"),
                    [first, rest @ ..] => format!(" ({first}, and {} too)", rest.join(" and ")),
                };
                let figures = match predicted {
                    Some(x) => {
                        let by = factor
                            .filter(|f| f.is_finite())
                            .map_or_else(String::new, |f| {
                                let at_least = match x {
                                    Reading::AtMost(_) | Reading::AtLeast(_) => "at least ",
                                    _ => "",
                                };
                                format!(", a factor of {at_least}{}", apart(f, 1.0))
                            });
                        format!("{title} {}{by}", self.held(limit, *x, *needed, unit))
                    }
                    None => format!("{} cannot be computed", title),
                };
                format!("{failure}: {figures}{ends}")
            }
            Reason::Wants {
                title,
                property,
                test,
                condition,
                specimens,
                minutes,
                ..
            } => {
                let what = match test {
                    Some(test) => format!(
                        "{} of {test}",
                        count((*specimens).max(1), "specimen", "specimens")
                    ),
                    None => format!("a stated {}", self.property(property)),
                };
                let at = if condition.is_empty() {
                    String::new()
                } else {
                    format!(" ({})", condition.join(", "))
                };
                let time = minutes.map_or_else(String::new, |m| format!(", {} min", figure(m)));
                format!("{} wants {what}{at}{time}", title)
            }
        }
    }

    /// A cause as one sentence without its full stop.
    pub(super) fn cause(&self, cause: &Cause) -> String {
        match cause {
            Cause::Fails {
                limit,
                chance,
                grade: g,
            } => format!(
                "{}: {} next parts meet it, on {} evidence",
                self.limit_with_end(limit),
                of_hundred(*chance),
                grade(*g)
            ),
            Cause::Absent {
                limit,
                property,
                notes,
            } => self.lacking(limit, property, "nothing is known of its", notes),
            Cause::Borrowed {
                limit,
                property,
                notes,
            } => self.lacking(limit, property, "nothing of its own shows the", notes),
            Cause::Stated { limit, property } => format!(
                "{}: rests on a stated {}, which is not enough for its class",
                self.limit_with_end(limit),
                self.property(property)
            ),
            Cause::BoundOpen {
                limit,
                property,
                chance_as_exact,
            } => format!(
                "{}: only a bound on {} is known, and taken as exact it is met by {}",
                self.limit_with_end(limit),
                self.property(property),
                of_hundred(*chance_as_exact)
            ),
            Cause::Specimens {
                limit,
                property,
                have,
                asked,
            } => format!(
                "{}: {} of {}, and its class asks for {asked}",
                self.limit_with_end(limit),
                count(*have, "specimen", "specimens"),
                self.property(property)
            ),
            Cause::Prints {
                limit,
                property,
                have,
                asked,
            } => format!(
                "{}: {} for {}, and its class asks for {asked}",
                self.limit_with_end(limit),
                count(*have, "print", "prints"),
                self.property(property)
            ),
            Cause::OnLine { limit, property } => format!(
                "{}: {} at the hot end is read off an assumed line, which is not enough for its class",
                self.limit_with_end(limit),
                self.property(property)
            ),
            Cause::Auxiliary { limit, property } => format!(
                "{}: turns with the assumed {}",
                self.limit_with_end(limit),
                self.property(property)
            ),
            Cause::Short {
                class,
                limit,
                chance,
                asked,
                within_error,
            } => {
                let close = if *within_error {
                    "; too close to the requirement to call"
                } else {
                    ""
                };
                format!(
                    "{} next parts meet all {} limits and {} are asked, {} is the weakest{close}",
                    of_hundred(*chance),
                    class.word(),
                    of_hundred(*asked),
                    self.limit_with_end(limit)
                )
            }
            Cause::Meets { chance } => {
                format!("{} next parts meet every limit", of_hundred(*chance))
            }
        }
    }

    fn lacking(&self, limit: &str, property: &str, what: &str, notes: &[Note]) -> String {
        // How far a stated figure was carried stands among what was assumed.
        let stated = notes.iter().any(|n| matches!(n, Note::StatedBy(_)));
        let told: Vec<String> = notes
            .iter()
            .filter(|n| {
                !(stated && matches!(n, Note::WithinWindow { .. } | Note::KeptOutside { .. }))
            })
            .map(|n| self.note(property, n))
            .collect();
        let because = if told.is_empty() {
            String::new()
        } else {
            format!(" ({})", told.join("; "))
        };
        format!(
            "{}: {what} {}{because}",
            self.limit_with_end(limit),
            self.property(property)
        )
    }

    /// Something assumed on the way, with the property it was assumed of.
    pub(super) fn assumed(&self, property: &str, note: &Note) -> String {
        format!("{}: {}", self.property(property), self.note(property, note))
    }

    /// Something assumed on the way to a property, as a clause.
    pub(super) fn note(&self, property: &str, note: &Note) -> String {
        assumed_of(note, property, self.properties)
    }

    /// `7 creep away under the bolt (best 210 N of 300)`.
    pub(super) fn ruled_out(&self, g: &RuledOutGroup) -> String {
        let mut failure = g.failure.clone();
        if failure == PLAIN_FAILURE {
            failure = format!("{failure} on {}", self.limit(&g.limit));
        }
        let failure = match (failure.is_empty(), g.count) {
            (true, 1) => format!("fails {}", self.limit(&g.limit)),
            (true, _) => format!("fail {}", self.limit(&g.limit)),
            (false, 1) => failure,
            (false, _) => of_several(&failure),
        };
        let best = g.best.map_or_else(String::new, |x| {
            let of = match self.sense(&g.limit) {
                Some(LimitSense::AtMost(_)) => "allowed",
                _ => "of",
            };
            let label = if g.count == 1 { "" } else { "best " };
            let needed = apart(g.needed, x.as_exact());
            let x = reading_apart(x, g.needed, &g.unit);
            if of == "of" {
                format!(" ({label}{x} of {needed})")
            } else {
                format!(" ({label}{x}, {needed} allowed)")
            }
        });
        format!("{} {failure}{best}", g.count)
    }

    /// `4 lack a bolted-washer run`.
    pub(super) fn not_known(&self, g: &WantGroup) -> String {
        let one = g.count == 1;
        let verb = |single: &'static str, several: &'static str| if one { single } else { several };
        let lack = verb("lacks", "lack");
        let was = verb("was", "were");
        let rests = verb("rests", "rest");
        let what = match &g.want {
            Want::NoRun { test } => format!("{lack} {} {test} run", article(test)),
            Want::NoFigure { property } => {
                format!("{lack} a figure for {}", self.property(property))
            }
            Want::DryOnly => format!("{was} tested dry only"),
            Want::OtherDirection => format!("{was} tested in another direction only"),
            Want::OtherTemperature => format!("{was} tested too far from these temperatures"),
            Want::OtherMoisture => format!("{was} tested at another moisture only"),
            Want::OtherSurface => format!("{was} tested on another surface only"),
            Want::TooShort => format!("{was} run for too short a time for this life"),
            Want::LowStress => format!("{was} tested at too low a stress"),
            Want::NoOnset => format!("{lack} a softening onset"),
            Want::StatedOnly { property } => {
                format!("{rests} on a stated {} only", self.property(property))
            }
            Want::BoundOpen { property } => {
                format!(
                    "{} only a bound on {}",
                    verb("has", "have"),
                    self.property(property)
                )
            }
            Want::Specimens { test } => format!("{} too few {test} specimens", verb("has", "have")),
            Want::Prints { test } => format!("{} too few prints in {test}", verb("has", "have")),
            Want::HeatLine => format!("{rests} on an assumed fall with heat"),
            Want::Auxiliary { property } => {
                format!(
                    "{} on the assumed {}",
                    verb("hangs", "hang"),
                    self.property(property)
                )
            }
            Want::Other => format!("{} undecided", verb("is", "are")),
        };
        format!("{} {what}", g.count)
    }

    /// What a limit asks, with its unit.
    pub(super) fn asks(l: &LimitResult) -> String {
        asked(l.sense, &l.unit)
    }

    /// How far one input can be pushed.
    pub(super) fn use_limit(&self, u: &UseLimit) -> String {
        let say = |x: f64| match u.kind {
            LeverKind::Life if u.unit == "h" => hours(x),
            _ => amount(x, &u.unit),
        };
        let end = match (&u.refused, &u.then, &u.ended_by) {
            (Some(why), _, _) => format!(", and past it no formula holds: {why}"),
            (None, Some((Standing::NotKnown, cause)), _) => {
                format!(", then not known: {}", self.cause(cause))
            }
            (None, Some((Standing::Borderline, _)), Some(l)) => {
                format!(", then borderline: {}", self.limit_with_end(l))
            }
            (None, _, Some(l)) => format!(", then ruled out: {}", self.limit_with_end(l)),
            (None, _, None) => String::new(),
        };
        let (most, up_to) = match u.kind {
            LeverKind::Thickness => ("at least", "down to"),
            _ => ("at most", "up to"),
        };
        match (u.limit, u.fit_now) {
            (None, _) => "fit at no value tried".to_owned(),
            (Some(x), false) => format!("becomes fit at {}", say(x)),
            (Some(x), true) if u.open => {
                format!("fit {up_to} {}, and no further value was looked at", say(x))
            }
            (Some(x), true) => format!("{most} {}{end}", say(x)),
        }
    }
}
