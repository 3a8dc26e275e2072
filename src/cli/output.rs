//! Where answers go, and how a command that could not answer says so.

use crate::catalog::{FileFault, NotRenamed, Skipped, Unread, in_words};
use crate::cli::args::{Common, Format};
use crate::cli::{ANSWERED, BAD_INPUT, FILE_FAILED};
use crate::problem::{Fault, Place, Problem, Severity};
use crate::render;
use std::borrow::Cow;
use std::io::Write;

/// Most Problems that a command other than `lint` lists.
const FIRST_PROBLEMS: usize = 20;

/// Below the Problems of a catalog.
const SKIP_BAD: &str = "add `--skip-bad` to answer without these lines\n";

/// The page that answers are set on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Screen {
    /// Columns.
    pub width: usize,
    /// Whether colour codes may be written; a stream may still strip them.
    pub colour: bool,
}

impl Default for Screen {
    /// Eighty columns, no colour.
    fn default() -> Self {
        Screen {
            width: 80,
            colour: false,
        }
    }
}

impl Screen {
    /// The page that this screen is.
    pub(super) fn page(self) -> render::Page {
        render::Page {
            width: self.width,
            colour: self.colour,
        }
    }

    /// The width of the terminal, or the default page where the answer goes elsewhere.
    pub fn of_terminal(is_terminal: bool) -> Self {
        let width = terminal_size::terminal_size().map(|(w, _)| usize::from(w.0));
        match (is_terminal, width) {
            (true, Some(width)) => Screen {
                width,
                colour: true,
            },
            (true, None) => Screen {
                colour: true,
                ..Screen::default()
            },
            _ => Screen::default(),
        }
    }
}

/// A whole answer.
#[derive(Clone, Debug, Default)]
pub(super) struct Output {
    /// For stdout or `--out`.
    pub(super) text: String,
    /// For `--out` in place of the text, where it is no text.
    pub(super) bytes: Option<Vec<u8>>,
    /// Warnings for stderr.
    pub(super) warnings: String,
    /// Exit code.
    pub(super) code: u8,
    /// Whether `--out` names something else that is written already: the text is for stdout.
    pub(super) aside: bool,
    /// What bad lines left out of the answer; named above it.
    pub(super) skipped: Skipped,
}

/// Why there is no answer.
#[derive(Clone, Debug)]
pub(super) enum Stop {
    /// The command line cannot be followed.
    Usage(Fault),
    /// Inputs are wrong.
    Problems(Vec<Problem>),
    /// Filled sheets are wrong: all of it is listed.
    Sheet(Vec<Problem>),
    /// Lines of the catalog are wrong.
    Catalog(Vec<Problem>),
    /// A file could not be read or written.
    File(FileFault),
}

impl Stop {
    /// A filled sheet that could not be read.
    pub(super) fn sheet(u: Unread) -> Self {
        match u {
            Unread::Fault(f) => Stop::File(f),
            Unread::Problems(p) => Stop::Sheet(p),
        }
    }

    /// The same as Problems, for programs; without a place where there is no file. And the exit
    /// code.
    fn problems(&self) -> (Vec<Problem>, u8) {
        match self {
            Stop::Usage(f) => (vec![f.clone().at(Place::file("command line"))], BAD_INPUT),
            Stop::Problems(all) | Stop::Sheet(all) | Stop::Catalog(all) => (all.clone(), BAD_INPUT),
            Stop::File(f) => {
                let fault = Fault::new("file::unreadable", f.what.clone(), f.fix.clone());
                (vec![fault.at(Place::file(f.file.clone()))], FILE_FAILED)
            }
        }
    }
}

impl From<FileFault> for Stop {
    fn from(f: FileFault) -> Self {
        Stop::File(f)
    }
}

impl From<Unread> for Stop {
    fn from(u: Unread) -> Self {
        match u {
            Unread::Fault(f) => Stop::File(f),
            Unread::Problems(p) => Stop::Problems(p),
        }
    }
}

impl From<NotRenamed> for Stop {
    fn from(n: NotRenamed) -> Self {
        match n {
            NotRenamed::Asked(f) => Stop::Usage(f),
            NotRenamed::Unread(u) => u.into(),
        }
    }
}

impl From<Fault> for Stop {
    fn from(f: Fault) -> Self {
        Stop::Usage(f)
    }
}

/// Writes an answer to stdout, or to a file that is replaced as a whole.
pub(super) fn deliver(
    answer: &Output,
    common: &Common,
    screen: Screen,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Stop> {
    put(err, &answer.warnings)?;
    let text = match common.format {
        _ if answer.skipped.is_empty() => Cow::Borrowed(&answer.text),
        Format::Text => Cow::Owned(render::skipped(&answer.skipped, screen.page()) + &answer.text),
        Format::Markdown => Cow::Owned(render::skipped_markdown(&answer.skipped) + &answer.text),
        Format::Json => Cow::Owned(render::json::with_skipped(&answer.text, &answer.skipped)),
    };
    match common.out.as_deref().filter(|_| !answer.aside) {
        None => put(out, &text)?,
        Some(path) => {
            crate::catalog::replace_file(path, answer.bytes.as_deref().unwrap_or(text.as_bytes()))?
        }
    }
    Ok(answer.code)
}

/// Says on stderr why there is no answer.
///
/// Whoever asked for JSON gets it, whatever went wrong; stdout stays free of what is no answer.
pub(super) fn tell(stop: &Stop, format: Format, screen: Screen, err: &mut dyn Write) -> u8 {
    if format == Format::Json {
        let (all, code) = stop.problems();
        drop(put(
            err,
            &render::json::problems("dutyfit.problems/1", &all),
        ));
        return code;
    }
    let (text, code) = match stop {
        Stop::Usage(f) => (render::fault(f, screen.colour), BAD_INPUT),
        Stop::Problems(all) => (first_errors(all, screen), BAD_INPUT),
        Stop::Catalog(all) => (first_errors(all, screen) + SKIP_BAD, BAD_INPUT),
        Stop::Sheet(all) => (render::problems(all, None, screen.colour), BAD_INPUT),
        Stop::File(f) => (render::file_fault(f, screen.colour), FILE_FAILED),
    };
    drop(put(err, &text));
    code
}

fn first_errors(all: &[Problem], screen: Screen) -> String {
    let errors: Vec<Problem> = all
        .iter()
        .filter(|p| p.severity == Severity::Error)
        .cloned()
        .collect();
    render::problems(&errors, Some(FIRST_PROBLEMS), screen.colour)
}

/// Help and version are answers; everything else that clap says is bad usage.
pub(super) fn usage(
    screen: Screen,
    e: &clap::Error,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> u8 {
    let styled = e.render();
    let text = if screen.colour {
        styled.ansi().to_string()
    } else {
        styled.to_string()
    };
    if e.use_stderr() {
        drop(put(err, &text));
        BAD_INPUT
    } else {
        drop(put(out, &text));
        ANSWERED
    }
}

/// Writes text; a reader that went away has seen enough.
pub(super) fn put(to: &mut dyn Write, text: &str) -> Result<(), Stop> {
    match to.write_all(text.as_bytes()).and_then(|()| to.flush()) {
        Err(e) if e.kind() != std::io::ErrorKind::BrokenPipe => Err(Stop::File(FileFault {
            file: "the output".to_owned(),
            what: format!("cannot be written: {}", in_words(&e)),
            fix: "write the answer to a file with `--out FILE`".to_owned(),
        })),
        _ => Ok(()),
    }
}
