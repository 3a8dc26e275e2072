//! `dutyfit shortlist`.

use crate::advise::{
    Direction, Lead, MaterialCaution, Overview, Reason, UseLimit, direction, limits_of_use,
    material_cautions, overview, reasons, turning_input,
};
use crate::cli::args::{Common, Format, ShortlistArgs};
use crate::cli::find::{self, Found, Workspace};
use crate::cli::output::{Output, Screen, Stop};
use crate::cli::{ANSWERED, Answer, BAD_INPUT, DECLINED, NO, worst};
use crate::duty::{Case, Duty, Preference};
use crate::judge::{DRAWS, Judgement, Request, Standing, judge};
use crate::problem::{Fault, Place, Problem};
use crate::render::{self, Asked, Judged, Shortlist};

pub(super) fn run(common: &Common, args: &ShortlistArgs, screen: Screen) -> Answer {
    let ws = Workspace::open(common)?;
    let among = candidates(&ws, args)?;
    if let Some(all) = find::folder(&ws, &args.case)? {
        return folder(common, args, screen, &ws, &among, all);
    }
    let (found, case) = find::one_case(&ws, &args.case)?;
    let view = View {
        common,
        args,
        ws: &ws,
        among: &among,
    };
    view.answer(&found, &case, |s| match common.format {
        Format::Text => s.text(screen.page()),
        Format::Json => s.json(common.seed),
        Format::Markdown => s.markdown(),
    })
    .map(|(text, code)| Output {
        text,
        code,
        skipped: ws.skipped.clone(),
        ..Output::default()
    })
}

/// The materials to judge: `--among` or all, less `--without`.
fn candidates(ws: &Workspace, args: &ShortlistArgs) -> Result<Vec<String>, Stop> {
    for id in args.among.iter().chain(&args.without) {
        ws.material(id)?;
    }
    let among: Vec<String> = ws
        .candidates
        .iter()
        .filter(|c| args.among.is_empty() || args.among.contains(c))
        .filter(|c| !args.without.contains(c))
        .cloned()
        .collect();
    if among.is_empty() && !ws.candidates.is_empty() {
        return Err(Stop::Usage(Fault::new(
            "usage::nothing-to-judge",
            "no material is left to judge",
            "widen `--among`, or take something out of `--without`",
        )));
    }
    Ok(among)
}

/// One answer a case; the exit code is the gravest of theirs.
fn folder(
    common: &Common,
    args: &ShortlistArgs,
    screen: Screen,
    ws: &Workspace,
    among: &[String],
    all: Vec<Found>,
) -> Answer {
    let view = View {
        common,
        args,
        ws,
        among,
    };
    let mut codes = Vec::new();
    let mut texts = Vec::new();
    let mut files = Vec::new();
    let mut problems: Vec<Problem> = Vec::new();
    for mut found in all {
        let case = std::mem::replace(&mut found.case, Err(Vec::new()));
        let answered = case.map_err(Stop::Problems).and_then(|case| {
            let mut file = None;
            let done = view.answer(&found, &case, |s| {
                if common.format == Format::Json {
                    file = Some(s.file(common.seed));
                    String::new()
                } else if common.format == Format::Markdown {
                    s.markdown()
                } else {
                    s.text(screen.page())
                }
            });
            done.map(|(text, code)| (text, code, file))
        });
        match answered {
            Ok((text, code, file)) => {
                codes.push(code);
                texts.push((found.name.clone(), text));
                files.extend(file);
            }
            Err(Stop::Problems(p)) => {
                codes.push(BAD_INPUT);
                problems.extend(p);
            }
            Err(stop) => return Err(stop),
        }
    }
    let warnings = if problems.is_empty() {
        String::new()
    } else {
        render::problems(&problems, None, screen.colour)
    };
    Ok(Output {
        text: match common.format {
            Format::Json => render::json::folder(files, problems),
            Format::Markdown => render::joined(&texts, true),
            Format::Text => render::joined(&texts, false),
        },
        bytes: None,
        aside: false,
        warnings,
        code: worst(codes),
        skipped: ws.skipped.clone(),
    })
}

/// What is the same for every case of one command.
struct View<'a> {
    common: &'a Common,
    args: &'a ShortlistArgs,
    ws: &'a Workspace,
    among: &'a [String],
}

/// A duty with the preference in force.
pub(super) struct Ready {
    pub(super) duty: Duty,
    pub(super) preference: Preference,
    pub(super) weights_from: String,
}

/// The duty of a case and the weights that hold for it.
pub(super) fn ready(
    ws: &Workspace,
    common: &Common,
    found: &Found,
    case: &Case,
) -> Result<Ready, Stop> {
    let duty = case.duty().map_err(|faults| {
        Stop::Problems(
            faults
                .into_iter()
                .map(|f| f.at(Place::file(found.file.clone())))
                .collect(),
        )
    })?;
    let (preference, weights_from) = find::weights(ws, common, case, duty.preference.as_ref())?;
    Ok(Ready {
        duty,
        preference,
        weights_from,
    })
}

impl View<'_> {
    fn answer(
        &self,
        found: &Found,
        case: &Case,
        write: impl FnOnce(&Shortlist<'_>) -> String,
    ) -> Result<(String, u8), Stop> {
        let ready = ready(self.ws, self.common, found, case)?;
        let shortlist = Shortlist {
            asked: Asked {
                name: &found.name,
                example: found.example,
                case,
                duty: &ready.duty,
                evidence: &self.ws.evidence,
                origin: self.ws.origin,
                weights_from: &ready.weights_from,
            },
            judged: None,
            all: self.args.all,
            working: self.args.case.working,
        };
        if ready.duty.declined.is_some() {
            return Ok((write(&shortlist), DECLINED));
        }
        let advice = self.advise(case, &ready);
        let judged = Judged {
            judgement: &advice.judgement,
            reasons: &advice.reasons,
            overview: &advice.overview,
            cautions: &advice.cautions,
            turn: advice.turn.as_ref(),
            direction: advice.direction.as_ref(),
        };
        let text = write(&Shortlist {
            judged: Some(judged),
            ..shortlist
        });
        let code = if advice.overview.count(Standing::Fit) > 0 {
            ANSWERED
        } else {
            NO
        };
        Ok((text, code))
    }

    fn advise(&self, case: &Case, ready: &Ready) -> Advice {
        let evidence = &self.ws.evidence;
        let judgement = judge(&Request {
            duty: &ready.duty,
            evidence,
            among: self.among,
            preference: &ready.preference,
            seed: self.common.seed,
            draws: DRAWS,
        });
        let overview = overview(&ready.duty, &judgement, evidence);
        let turn = match overview.lead {
            Lead::Nearest { candidate, .. } => judgement.candidates.get(candidate).and_then(|c| {
                let uses = limits_of_use(case, evidence, &c.material, self.common.seed);
                turning_input(&uses).cloned()
            }),
            _ => None,
        };
        Advice {
            reasons: reasons(&ready.duty, &judgement, evidence),
            cautions: material_cautions(case, &judgement, evidence),
            direction: direction(case, evidence, &judgement, &ready.preference, None),
            overview,
            turn,
            judgement,
        }
    }
}

struct Advice {
    judgement: Judgement,
    reasons: Vec<Vec<Reason>>,
    overview: Overview,
    cautions: Vec<MaterialCaution>,
    turn: Option<UseLimit>,
    direction: Option<Direction>,
}
