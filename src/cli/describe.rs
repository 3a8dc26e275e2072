//! `dutyfit describe`: moves lines between the terminal and the dialogue.

use crate::catalog::{
    Beside, Change, FileFault, Store, in_words, json_files, make_folder, replace_file, shown,
};
use crate::cli::args::{CaseArgs, Common, DescribeArgs, Format, ShortlistArgs};
use crate::cli::find::{Workspace, kind_called};
use crate::cli::output::{Output, Screen, Stop, put};
use crate::cli::{Answer, DECLINED, shortlist};
use crate::describe::{Dialogue, Ended, Keep, Question, Refusal, Reply, Written, from_list};
use crate::duty::Decline;
use crate::policy::Policy;
use crate::problem::{Fault, Place, Problem};
use crate::property::Properties;
use crate::render::{Talk, Wrote, not_written, not_written_json};
use std::io::{BufRead, IsTerminal, Read, Write};
use std::path::{Path, PathBuf};

/// Most bytes of one typed line that are read.
const LONGEST_LINE: u64 = 1 << 16;
/// The answer that runs the shortlist, from a list.
const SHORTLIST: &str = "shortlist";

/// Asks on `err`, so that `out` gets the answer alone.
pub(super) fn run(
    common: &Common,
    args: &DescribeArgs,
    screen: Screen,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Answer {
    let kind = args.part.as_deref().map(kind_called).transpose()?;
    let ws = workspace(common)?;
    let (policy, properties) = (Policy::default(), Properties::default());
    let beside = ws.as_ref().map_or(
        Beside {
            policy: &policy,
            properties: &properties,
            surfaces: &[],
        },
        Workspace::beside,
    );
    let folder = cases_of(common);
    let keep = match &common.out {
        Some(file) => Keep::File(file.exists()),
        None => Keep::Named(ids_in(&folder)?),
    };
    let mut dialogue = Dialogue::begin(kind, beside, keep);
    let mut session = Session {
        common,
        screen,
        by_handbook: ws.is_none(),
        folder: &folder,
        dialogue: &mut dialogue,
    };
    if args.answers.is_empty() {
        session.talk(out, err)
    } else {
        session.listed(&args.answers)
    }
}

/// The workspace, where there is one: a case can be described without.
fn workspace(common: &Common) -> Result<Option<Workspace>, Stop> {
    let named = common.catalog.is_some() || common.demo || common.handbook;
    if named || common.catalog().exists() {
        Workspace::open(common).map(Some)
    } else {
        Ok(None)
    }
}

/// The folder of the cases: beside the catalog, as for every saved case.
fn cases_of(common: &Common) -> PathBuf {
    let catalog = common.catalog();
    catalog.parent().unwrap_or(Path::new("")).join("cases")
}

fn ids_in(folder: &Path) -> Result<Vec<String>, Stop> {
    if !folder.is_dir() {
        return Ok(Vec::new());
    }
    let stem = |p: PathBuf| p.file_stem().map(|s| s.to_string_lossy().into_owned());
    Ok(json_files(folder)?.into_iter().filter_map(stem).collect())
}

/// One dialogue with what it is about.
struct Session<'s, 'd> {
    common: &'s Common,
    screen: Screen,
    /// Whether there is no workspace: then published ranges are all that can judge the case.
    by_handbook: bool,
    folder: &'s Path,
    dialogue: &'s mut Dialogue<'d>,
}

impl Session<'_, '_> {
    fn talk(&mut self, out: &mut dyn Write, err: &mut dyn Write) -> Answer {
        let stdin = std::io::stdin();
        let typed = stdin.is_terminal();
        let mut lines = stdin.lock();
        let mut talk = Talk::on(self.screen.page());
        put(err, &talk.opening(self.dialogue.kind()))?;
        let mut file = String::new();
        loop {
            let question = self.dialogue.question().clone();
            put(err, &talk.ask(&question))?;
            let line = next_line(&mut lines, &question)?;
            if !typed {
                put(err, &talk.echo(&line))?;
            }
            match self.dialogue.answer(&line) {
                Reply::Next(noticed) => {
                    put(err, &talk.noticed(&noticed))?;
                    // Before the case is kept, all of it is shown once.
                    let asked = self.dialogue.question();
                    if asked.section != question.section
                        && asked.section == crate::describe::Section::Keeping
                    {
                        put(err, "\n")?;
                        put(err, &talk.review(&self.dialogue.review()))?;
                    }
                }
                Reply::Again(refusal) => put(err, &talk.refusal(&refusal))?,
                Reply::Why(effect) => put(err, &talk.why(&question, &effect))?,
                Reply::Review(said) => put(err, &talk.review(&said))?,
                Reply::Help => put(err, &talk.help())?,
                Reply::Quit => {
                    put(err, &talk.quit())?;
                    return Ok(Output::default());
                }
                Reply::Declined(d) => return Ok(self.declined(&d, false)),
                Reply::Write(written) => {
                    file = self.write(&written)?;
                    let text = self.told(&file, &written);
                    if self.common.format == Format::Json {
                        return Ok(self.said(text));
                    }
                    put(err, "\n")?;
                    put(out, &text)?;
                    self.dialogue.written();
                }
                Reply::Over { shortlist: false } => return Ok(self.said(String::new())),
                Reply::Over { shortlist: true } => {
                    put(out, "\n")?;
                    return self.shortlist(&file, String::new());
                }
            }
        }
    }

    fn listed(&mut self, answers: &[(String, String)]) -> Answer {
        let (asked, list): (Vec<_>, Vec<_>) =
            answers.iter().cloned().partition(|(k, _)| k == SHORTLIST);
        let ranks = match asked.last().map(|(_, v)| v.as_str()) {
            None | Some("no") => false,
            Some("yes") if self.common.format != Format::Json => true,
            Some(other) => return Err(Stop::Usage(not_ranked(other))),
        };
        match from_list(self.dialogue, &list) {
            Ended::Declined(d) => Ok(self.declined(&d, true)),
            Ended::Refused(wrong) => Err(Stop::Problems(
                wrong
                    .into_iter()
                    .map(|(k, v, r)| problem(&k, &v, r))
                    .collect(),
            )),
            Ended::Written(written) => {
                let file = self.write(&written)?;
                let text = self.told(&file, &written);
                if ranks {
                    self.shortlist(&file, text + "\n")
                } else {
                    Ok(self.said(text))
                }
            }
        }
    }

    /// Writes the case: into the workspace as every change of one, else as a file of its own.
    fn write(&self, written: &Written) -> Result<String, Stop> {
        let bytes = written.text.as_bytes();
        if let Some(path) = &self.common.out {
            replace_file(path, bytes)?;
            return Ok(shown(path));
        }
        let id = written.id.as_deref().unwrap_or_default();
        let path = self.folder.join(format!("{id}.json"));
        make_folder(self.folder)?;
        let catalog = self.common.catalog();
        if self.common.demo || self.common.handbook || !catalog.is_dir() {
            replace_file(&path, bytes)?;
            return Ok(shown(&path));
        }
        let mut store = Store::open(catalog)?;
        let name = format!("cases/{id}.json");
        let was = store.read(&name)?;
        if was.is_some() && !written.replace {
            return Err(Stop::Usage(Fault::new(
                "describe::there-already",
                format!("a case `{id}` has been written by somebody else in the meantime"),
                "describe it again and keep it under another name",
            )));
        }
        store.commit(vec![Change {
            name,
            was,
            becomes: bytes.to_vec(),
        }])?;
        Ok(shown(&path))
    }

    /// What was written, in the format that was asked for.
    fn told(&self, file: &str, written: &Written) -> String {
        let Some(case) = self.dialogue.case() else {
            return String::new();
        };
        let Ok(duty) = case.duty() else {
            return String::new();
        };
        let from = match (self.common.demo, self.common.handbook || self.by_handbook) {
            (true, _) => " --demo",
            (_, true) => " --handbook",
            _ => "",
        };
        let wrote = Wrote {
            file,
            text: &written.text,
            replaced: written.replace,
            case: &case,
            duty: &duty,
            said: &self.dialogue.review(),
            next: &format!("dutyfit shortlist {file}{from}"),
        };
        match self.common.format {
            Format::Text => wrote.text(self.screen.page()),
            Format::Json => wrote.json(),
            Format::Markdown => wrote.markdown(),
        }
    }

    fn declined(&self, d: &Decline, answers: bool) -> Output {
        let said = not_written(d, answers);
        Output {
            code: DECLINED,
            ..self.said(match self.common.format {
                Format::Text => said.text(self.screen.page()),
                Format::Json => not_written_json(d),
                Format::Markdown => said.markdown(),
            })
        }
    }

    /// An answer for the screen: `--out` named the file of the case.
    fn said(&self, text: String) -> Output {
        Output {
            text,
            aside: true,
            ..Output::default()
        }
    }

    fn shortlist(&self, file: &str, before: String) -> Answer {
        let args = ShortlistArgs {
            case: CaseArgs {
                case: file.to_owned(),
                sets: Vec::new(),
                working: false,
            },
            among: Vec::new(),
            without: Vec::new(),
            all: false,
        };
        let common = Common {
            out: None,
            handbook: self.common.handbook || self.by_handbook,
            ..self.common.clone()
        };
        let answer = shortlist::run(&common, &args, self.screen)?;
        Ok(Output {
            text: before + &answer.text,
            aside: true,
            ..answer
        })
    }
}

/// One typed line, without its end.
fn next_line(lines: &mut impl BufRead, question: &Question) -> Result<String, Stop> {
    let mut bytes = Vec::new();
    let n = lines
        .take(LONGEST_LINE)
        .read_until(b'\n', &mut bytes)
        .map_err(|e| {
            Stop::File(FileFault {
                file: "the input".to_owned(),
                what: format!("cannot be read: {}", in_words(&e)),
                fix: "type the answers in a terminal, or give them with `--answer KEY=VALUE`"
                    .to_owned(),
            })
        })?;
    if n == 0 {
        return Err(Stop::Usage(Fault::new(
            "describe::answers-ended",
            format!(
                "the answers ended at `{}`, and nothing more was written",
                question.name()
            ),
            "answer every question, or write `quit`; from a script give `--answer KEY=VALUE`",
        )));
    }
    Ok(String::from_utf8_lossy(&bytes).trim_end().to_owned())
}

fn problem(key: &str, value: &str, r: Refusal) -> Problem {
    let line = format!("{key}={value}");
    let missing = r.code == "describe::missing-answer";
    Problem {
        code: r.code,
        severity: crate::problem::Severity::Error,
        at: Place {
            file: "--answer".to_owned(),
            line: usize::from(!missing),
            column: if missing { 0 } else { key.chars().count() + 2 },
            field: Some(key.to_owned()),
            source_line: (!missing).then_some(line),
            length: value.chars().count().max(1),
        },
        what: r.what,
        fix: r.fix,
    }
}

fn not_ranked(said: &str) -> Fault {
    if said == "yes" {
        return Fault::new(
            "describe::shortlist-json",
            "JSON holds one answer, and a shortlist is another",
            "leave `shortlist=yes` out, and run `dutyfit shortlist` on the case",
        );
    }
    Fault::new(
        "describe::not-yes-or-no",
        format!("`{said}` is neither yes nor no"),
        "write `yes` or `no` for `shortlist`",
    )
}
