//! `dutyfit lint`.

use crate::catalog::{lint, meant};
use crate::cli::args::{Common, Format, LintArgs};
use crate::cli::day::given_or_today;
use crate::cli::find::{has_errors, source};
use crate::cli::output::{Output, Screen, Stop};
use crate::cli::{ANSWERED, Answer, NO};
use crate::problem::{Fault, explained};
use crate::render::{self, CodeList, CodeShown};

pub(super) fn run(common: &Common, args: &LintArgs, screen: Screen) -> Answer {
    if let Some(code) = &args.explain {
        return explain(common, code, screen);
    }
    let source = source(common)?;
    let as_of = common.as_of.as_deref();
    let found = lint(&source, as_of, &given_or_today(as_of)?)?;
    let bad = has_errors(&found);
    Ok(Output {
        text: match common.format {
            Format::Text => render::problems(&found, None, screen.colour),
            Format::Json => render::json::problems("dutyfit.lint/1", &found),
            Format::Markdown => render::problems_markdown(&found),
        },
        code: if bad { NO } else { ANSWERED },
        ..Output::default()
    })
}

/// What a code means; without one, all of them.
///
/// # Errors
/// `usage::unknown-code` with the nearest one.
fn explain(common: &Common, code: &str, screen: Screen) -> Answer {
    let all = explained();
    // Codes are drawn as `error[number::comma]`, and copied so.
    let code = code.trim_matches(['[', ']', ' ']);
    let text = if code.is_empty() {
        let list = CodeList(&all);
        match common.format {
            Format::Text => list.text(screen.page()),
            Format::Json => list.json(),
            Format::Markdown => list.markdown(),
        }
    } else {
        let one = all.iter().find(|e| e.code == code).ok_or_else(|| {
            Stop::Usage(Fault::new(
                "usage::unknown-code",
                format!("there is no code `{code}`"),
                format!(
                    "{}; `dutyfit lint --explain` lists all",
                    meant(code, all.iter().map(|e| e.code))
                ),
            ))
        })?;
        let shown = CodeShown(one);
        match common.format {
            Format::Text => shown.text(screen.page()),
            Format::Json => shown.json(),
            Format::Markdown => shown.markdown(),
        }
    };
    Ok(Output {
        text,
        code: ANSWERED,
        ..Output::default()
    })
}
