//! What is asked, the readings, and how they were reduced.

use crate::belief::{LeftOut, Note, ReadingUsed};
use crate::property::{Lies, Scale};
use crate::render::assumption::assumption;
use crate::render::show::condition;
use crate::render::why::{Step, WhyShown, capital, fine, place, unit};
use crate::render::words::{amount, count, figure, hours, list};

impl WhyShown<'_> {
    pub(super) fn asked(&self) -> Step {
        let mut step = Step::new("What is asked");
        let a = &self.why.asked;
        let mut said = Vec::new();
        if let Some(lies) = a.lies {
            let (here, there) = match lies {
                Lies::InPlane => ("in the plane of the layers", "across"),
                Lies::Across => ("across the layers", "in-plane"),
            };
            said.push(if a.lies_by_default {
                format!("the load {here} (its default; `--lies {there}` asks for the other)")
            } else {
                format!("the load {here}")
            });
        }
        if a.by_climate {
            said.push(amount(a.temperature_c, "degC"));
            said.push(format!("moisture {}", a.moisture.word()));
        }
        if a.by_face {
            said.push(a.face.map_or_else(
                || "any face, and the one that serves worst".to_owned(),
                |f| format!("the {} face", f.word()),
            ));
        }
        if a.by_counterface {
            said.push(a.counterface.as_ref().map_or_else(
                || {
                    "any surface, and the one that serves worst (`--on SURFACE` asks for one)"
                        .to_owned()
                },
                |s| format!("on {s}"),
            ));
        }
        if let Some(t) = a.life_h {
            said.push(format!(
                "read at {} (`--after TIME` asks for another life)",
                hours(t)
            ));
        }
        if let Some(s) = a.stress_mpa {
            said.push(format!("under {}", amount(s, "MPa")));
        }
        let conditions = if said.is_empty() {
            String::new()
        } else {
            format!(": {}", said.join(", "))
        };
        step.say(format!(
            "{} of {}, in {} ({}){conditions}.",
            capital(&a.title),
            self.why.material,
            unit(&a.unit),
            a.standard
        ));
        if self.why.spread.is_some() {
            step.say(match a.scale {
                Scale::Log => "It scatters evenly on a logarithmic scale, so every sum below is done in natural logarithms (ln): a spread of 0.05 there is 5 % of the figure.".to_owned(),
                Scale::Plain => format!(
                    "It scatters evenly on the scale itself, so every sum below is done in {}.",
                    unit(&a.unit)
                ),
            });
        }
        step
    }

    pub(super) fn readings(&self) -> Step {
        let mut step = Step::new("Readings");
        let all = &self.why.readings;
        let counted: Vec<&ReadingUsed> = all.iter().filter(|r| r.counts).collect();
        let others = all.len() - counted.len();
        if all.is_empty() {
            step.say(match self.why.test {
                Some(test) => format!("It has no {test} run that gives it."),
                None => "No bench test here gives it.".to_owned(),
            });
            return step;
        }
        step.say(match (counted.len(), others) {
            (0, 1) => "Its one reading does not count.".to_owned(),
            (0, n) => format!("None of its {n} readings counts."),
            (1, 0) => "Its one reading counts.".to_owned(),
            (n, 0) => format!("All its {n} readings count."),
            (n, m) => format!("{n} of its {} readings count.", n + m),
        });
        let mut last_run = None;
        let rows = counted
            .iter()
            .map(|r| {
                let again = last_run.replace(&r.run) == Some(&r.run);
                self.reading_row(r, again)
            })
            .collect();
        step.table(
            match self.why.asked.scale {
                Scale::Log => &["run", "no", "figure", "ln", "from"],
                Scale::Plain => &["run", "no", "figure", "enters as", "from"],
            },
            &[1],
            rows,
        );
        for (run, said) in self.left_out() {
            step.say(format!("Left out, run {run}: {said}."));
        }
        step
    }

    /// One counted reading; what its run says stands on the run's first row.
    fn reading_row(&self, r: &ReadingUsed, again: bool) -> Vec<String> {
        let mut more = Vec::new();
        if !again {
            more.extend(r.date.clone());
            more.push(match &r.print {
                Some(p) => format!("print {p}"),
                None => "unnamed print".to_owned(),
            });
            more.extend(r.lot.clone());
            more.push(r.rig.clone());
            more.extend(condition(&r.condition));
        }
        if let Some(h) = r.hours {
            more.push(format!("held {}", hours(h)));
        }
        if let Some(s) = r.stress_mpa {
            more.push(format!("at {}", amount(s, "MPa")));
        }
        if let Some(y) = r.outlier_natural {
            more.push(format!("pulled in from {}", place(y)));
        }
        if !r.outcome.is_empty() {
            more.push(r.outcome.to_owned());
        }
        let at_life = r.curve.as_ref().and_then(|c| c.at_life);
        let figure = match (at_life, r.figure) {
            (Some(at), _) => self.amount(at.value),
            (None, Some(f)) => self.figure(f),
            (None, None) => "-".to_owned(),
        };
        vec![
            r.run.clone(),
            r.specimen.to_string(),
            figure,
            r.natural
                .map_or_else(|| "-".to_owned(), |f| self.natural(f)),
            more.join(", "),
        ]
    }

    /// What does not count, run by run, with the reason.
    fn left_out(&self) -> Vec<(String, String)> {
        let mut groups: Vec<(String, String, Vec<String>)> = Vec::new();
        for r in &self.why.readings {
            let Some(cause) = &r.left_out else { continue };
            let said = self.cause(r, cause);
            let each = match r.figure {
                Some(f) => format!("{} ({})", r.specimen, self.figure(f)),
                None => r.specimen.to_string(),
            };
            match groups.iter_mut().find(|g| g.0 == r.run && g.1 == said) {
                Some(g) => g.2.push(each),
                None => groups.push((r.run.clone(), said, vec![each])),
            }
        }
        groups
            .into_iter()
            .map(|(run, said, each)| {
                let word = if each.len() == 1 {
                    "specimen"
                } else {
                    "specimens"
                };
                (run, format!("{word} {}: {said}", list(&each)))
            })
            .collect()
    }

    fn cause(&self, r: &ReadingUsed, cause: &LeftOut) -> String {
        let asked = &self.why.asked;
        match cause {
            LeftOut::SetAside { why } => format!("set aside ({why})"),
            LeftOut::NoEvidence => format!("{}, which is no evidence", r.outcome),
            LeftOut::Refused { why } => format!("no figure ({why})"),
            LeftOut::Condition {
                note: Note::OtherDirection,
            } => format!(
                "tested {}, and the load asked for lies {}",
                r.condition
                    .direction
                    .map_or("in another direction", |d| d.word()),
                match asked.lies {
                    Some(Lies::Across) => "across the layers",
                    _ => "in the plane of the layers",
                }
            ),
            LeftOut::Condition { note } => assumption(note, asked.scale, &asked.unit),
            LeftOut::OwnMoisture => format!(
                "tested {}; others were tested {}, and only those count",
                r.condition.moisture.word(),
                asked.moisture.word()
            ),
            LeftOut::WorseSide => format!(
                "tested {}; another serves worse and stands for all",
                list(&condition(&r.condition))
            ),
            LeftOut::OtherEnd => {
                let own = list(&condition(&r.condition));
                let at = if own.is_empty() {
                    "at room conditions"
                } else {
                    &own
                };
                format!(
                    "tested {at}; it holds the other end of the line that the counted ones are carried along"
                )
            }
            LeftOut::NearerTemperature => format!(
                "tested at {}; others are nearer to {}",
                amount(r.condition.temperature_c, "degC"),
                amount(asked.temperature_c, "degC")
            ),
            LeftOut::NothingAtLife => match r.hours {
                Some(h) => format!(
                    "held for {}, and a stress borne counts for lives up to ten times as long",
                    hours(h)
                ),
                None => "it says nothing at the life asked for".to_owned(),
            },
        }
    }

    pub(super) fn reduction(&self) -> Step {
        let mut step = Step::new("Reduction");
        let w = self.why;
        let counted: Vec<&ReadingUsed> = w.readings.iter().filter(|r| r.counts).collect();
        let Some(first) = counted.first() else {
            return step;
        };
        step.say(if w.calibrations.is_empty() {
            "No calibration of the rig is listed: raw readings are taken as they stand."
        } else {
            "Each raw reading is turned into the true one by its calibration: true = (reading - offset) / gain. Uncertainties u are one standard uncertainty."
        });
        step.table(
            &["calibration", "offset, u", "gain, u", "step"],
            &[],
            w.calibrations
                .iter()
                .map(|c| {
                    vec![
                        c.calibration.clone(),
                        format!("{}, {}", figure(c.offset), amount(c.offset_u, &c.unit)),
                        format!("{}, {}", fine(c.gain, 5), figure(c.gain_u)),
                        c.resolution
                            .map_or_else(|| "-".to_owned(), |d| amount(d, &c.unit)),
                    ]
                })
                .collect(),
        );
        step.say(format!(
            "Formulas of the {} run (some serve its other figures), worked for specimen {} of run {}{}:",
            first.test,
            first.specimen,
            first.run,
            if counted.len() > 1 {
                "; the others go the same way, and `--format json` holds each"
            } else {
                ""
            }
        ));
        for f in &w.formulas {
            step.say((*f).to_owned());
        }
        step.table(
            &["step", "figure", "what"],
            &[1],
            first
                .working
                .iter()
                .map(|s| vec![s.label.clone(), amount(s.value, &s.unit), s.what.clone()])
                .collect(),
        );
        self.curves(&counted, &mut step);
        step
    }

    /// Curves read at the life.
    fn curves(&self, counted: &[&ReadingUsed], step: &mut Step) {
        let read: Vec<_> = counted
            .iter()
            .filter_map(|r| {
                let c = r.curve.as_ref()?;
                Some((r, c.at_life?, c.points.last()?))
            })
            .collect();
        if let (false, Some(life)) = (read.is_empty(), self.why.asked.life_h) {
            step.say(format!(
                "Each specimen's curve is read at {} by Findley's power law and the log-time law, a share kept also by Findley's law of its inverse; the table has each by ordinary least squares. Taken is their mean in ln, all laws weighing the same and each carried over every fit that the readings leave open, with errors that drift along the curve and one exponent for all specimens. Added in squares, as one standard deviation that mean and next part share: what the readings leave open (a specimen's own noise over the number of specimens), the laws about their mean, and the policy's drift for every decade past the last reading.",
                hours(life)
            ));
        }
        let shares = read.iter().any(|(_, at, _)| at.inverse.is_some());
        let columns = if shares {
            COLUMNS_OF_SHARES
        } else {
            COLUMNS_OF_MODULI
        };
        let rows = read
            .into_iter()
            .map(|(r, at, last)| {
                let held = if at.exponent_held { ", held" } else { "" };
                let mut row = vec![
                    format!("{} {}", r.run, r.specimen),
                    format!("{} at {}", figure(last.1), hours(last.0)),
                    format!("{} (n {}{held})", figure(at.findley), figure(at.exponent)),
                    figure(at.log_time),
                ];
                row.extend(shares.then(|| at.inverse.map_or_else(|| "-".to_owned(), figure)));
                row.extend([figure(at.value), fine(at.added_sd_natural, 3)]);
                row
            })
            .collect();
        step.table(columns, &[], rows);
    }
}

/// Columns of the curves read at a life.
const COLUMNS_OF_MODULI: &[&str] = &[
    "specimen",
    "last reading",
    "Findley",
    "log-time",
    "taken",
    "adds",
];
const COLUMNS_OF_SHARES: &[&str] = &[
    "specimen",
    "last reading",
    "Findley",
    "log-time",
    "inverse",
    "taken",
    "adds",
];

/// How many bounds and ranges count.
pub(super) fn bounded(readings: &[ReadingUsed]) -> u64 {
    readings
        .iter()
        .filter(|r| r.natural.is_some_and(|n| !n.reading().is_exact()))
        .count() as u64
}

/// `1 reading is a bound or a range`.
pub(super) fn bounds_said(n: u64) -> String {
    count(
        n,
        "reading is a bound or a range",
        "readings are bounds or ranges",
    )
}
