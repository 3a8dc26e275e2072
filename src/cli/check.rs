//! `dutyfit check`.

use crate::advise::{MaterialCaution, direction, limits_of_use, material_cautions, reasons};
use crate::cli::args::{CheckArgs, Common, Format};
use crate::cli::find::{self, Workspace};
use crate::cli::output::{Output, Screen};
use crate::cli::shortlist::ready;
use crate::cli::{ANSWERED, Answer, DECLINED, NO};
use crate::judge::{DRAWS, Request, Standing, judge};
use crate::render::{Asked, Check, Checked};

pub(super) fn run(common: &Common, args: &CheckArgs, screen: Screen) -> Answer {
    let ws = Workspace::open(common)?;
    let (found, case) = find::one_case(&ws, &args.case)?;
    let material = ws.material(&args.material)?;
    let ready = ready(&ws, common, &found, &case)?;
    let bare = Check {
        asked: Asked {
            name: &found.name,
            example: found.example,
            case: &case,
            duty: &ready.duty,
            evidence: &ws.evidence,
            origin: ws.origin,
            weights_from: &ready.weights_from,
        },
        material: &material,
        candidate: None,
        working: args.case.working,
    };
    let write = |check: &Check<'_>, code: u8| Output {
        text: match common.format {
            Format::Text => check.text(screen.page()),
            Format::Json => check.json(common.seed),
            Format::Markdown => check.markdown(),
        },
        code,
        skipped: ws.skipped.clone(),
        ..Output::default()
    };
    if ready.duty.declined.is_some() {
        return Ok(write(&bare, DECLINED));
    }
    let judgement = judge(&Request {
        duty: &ready.duty,
        evidence: &ws.evidence,
        among: &ws.candidates,
        preference: &ready.preference,
        seed: common.seed,
        draws: DRAWS,
    });
    let told = reasons(&ready.duty, &judgement, &ws.evidence);
    let cautions: Vec<MaterialCaution> = material_cautions(&case, &judgement, &ws.evidence)
        .iter()
        .filter_map(|m| m.of(&material))
        .collect();
    let uses = limits_of_use(&case, &ws.evidence, &material, common.seed);
    let direction = direction(
        &case,
        &ws.evidence,
        &judgement,
        &ready.preference,
        Some(&material),
    );
    let candidate = judgement
        .candidates
        .iter()
        .zip(&told)
        .find(|(c, _)| c.material == material)
        .map(|(candidate, reasons)| Checked {
            candidate,
            judgement: &judgement,
            reasons,
            cautions: &cautions,
            uses: &uses,
            direction: direction.as_ref(),
        });
    let code = match candidate.map(|c| c.candidate.standing) {
        Some(Standing::Fit) => ANSWERED,
        _ => NO,
    };
    Ok(write(&Check { candidate, ..bare }, code))
}
