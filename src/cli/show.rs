//! `dutyfit show`.

use crate::advise::{fitness, holdings};
use crate::catalog::load_named_cases;
use crate::cli::args::{Common, Format, ShowArgs};
use crate::cli::find::{self, Workspace};
use crate::cli::output::{Output, Screen};
use crate::cli::{ANSWERED, Answer, why};
use crate::duty::{Case, Duty, NotAbout};
use crate::judge::{DRAWS, Judgement, Request, judge};
use crate::render::{self, Shown};

pub(super) fn run(common: &Common, args: &ShowArgs, screen: Screen) -> Answer {
    let ws = Workspace::open(common)?;
    let id = ws.material(&args.material)?;
    if let Some(property) = &args.why {
        return why::run(common, &ws, &id, property, &args.ask, screen);
    }
    let mut judged: Vec<(String, Judgement)> = Vec::new();
    let mut answered: Vec<(String, NotAbout)> = Vec::new();
    let mut problems = Vec::new();
    for named in load_named_cases(&ws.source, ws.beside())? {
        match named.content {
            Some(case) => {
                if let Some((duty, j)) = judgement(&ws, common, &case) {
                    answered.extend(duty.answered.into_iter().map(|n| (named.name.clone(), n)));
                    judged.push((named.name, j));
                }
            }
            None => problems.extend(named.problems),
        }
    }
    let by_name: Vec<(String, &Judgement)> = judged.iter().map(|(n, j)| (n.clone(), j)).collect();
    let fitness = fitness(&id, &ws.evidence, &by_name);
    let holdings = holdings(&id, &ws.evidence);
    let ranges = ws.ranges(&id);
    let text = ws
        .evidence
        .materials()
        .iter()
        .find(|m| m.id == id)
        .map(|material| {
            let shown = Shown {
                material,
                fitness: &fitness,
                holdings: &holdings,
                properties: ws.evidence.properties(),
                currency: find::currency(&ws.policy),
                origin: ws.origin,
                ranges: &ranges,
                answered: &answered,
            };
            match common.format {
                Format::Text => shown.text(screen.page()),
                Format::Json => shown.json(),
                Format::Markdown => shown.markdown(),
            }
        });
    Ok(Output {
        text: text.unwrap_or_default(),
        bytes: None,
        aside: false,
        warnings: if problems.is_empty() {
            String::new()
        } else {
            render::problems(&problems, None, screen.colour)
        },
        code: ANSWERED,
        skipped: ws.skipped,
    })
}

/// The duty of a saved case, judged over all candidates; `None` where it is declined or cannot be computed.
fn judgement(ws: &Workspace, common: &Common, case: &Case) -> Option<(Duty, Judgement)> {
    let duty = case.duty().ok().filter(|d| d.declined.is_none())?;
    let preference = case.preference.as_ref().or(duty.preference.as_ref())?;
    let judgement = judge(&Request {
        duty: &duty,
        evidence: &ws.evidence,
        among: &ws.candidates,
        preference,
        seed: common.seed,
        draws: DRAWS,
    });
    Some((duty, judgement))
}
