//! Commands, one file each. No arithmetic.
//!
//! A command turns arguments into an `Output`: the whole text of its answer
//! and an exit code. One place writes it, to stdout or to `--out`.

mod args;
mod check;
mod compare;
mod day;
mod describe;
mod find;
mod form;
mod init;
mod lint;
mod output;
mod parts;
mod record;
mod reduce;
mod rename;
mod rig_check;
mod schema;
mod set_aside;
mod sheet;
mod shortlist;
mod show;
mod start;
mod store;
mod told;
mod why;

pub use args::Format;
pub use output::Screen;

use args::{Args, Command};
use clap::Parser;
use output::{Stop, deliver, tell};
use std::ffi::OsString;
use std::io::Write;

/// Exit code: answered.
pub const ANSWERED: u8 = 0;
/// Exit code: answered, and the answer is no.
pub const NO: u8 = 1;
/// Exit code: bad input or usage.
pub const BAD_INPUT: u8 = 2;
/// Exit code: declined for safety.
pub const DECLINED: u8 = 3;
/// Exit code: a file could not be read or written.
pub const FILE_FAILED: u8 = 4;

/// Runs one command line on an 80-column page without colour; returns the exit code.
///
/// `args` begins with the program's name. Results go to `out`, everything else to `err`.
pub fn run<I, T>(args: I, out: &mut dyn Write, err: &mut dyn Write) -> u8
where
    I: IntoIterator<Item = T>,
    T: Into<OsString> + Clone,
{
    run_on(Screen::default(), args, out, err)
}

/// As [`run`], for a screen of a given width.
pub fn run_on<I, T>(screen: Screen, args: I, out: &mut dyn Write, err: &mut dyn Write) -> u8
where
    I: IntoIterator<Item = T>,
    T: Into<OsString> + Clone,
{
    let mut args = match Args::try_parse_from(args) {
        Ok(args) => args,
        Err(e) => return output::usage(screen, &e, out, err),
    };
    if let Err(fault) = args.settle_format() {
        return tell(&Stop::Usage(fault), args.common.format, screen, err);
    }
    if let Err(fault) = args.settle_handbook() {
        return tell(&Stop::Usage(fault), args.common.format, screen, err);
    }
    let common = &args.common;
    let on_stderr = screen;
    // A file gets the plain page, whatever terminal the command was typed in.
    let screen = match common.out {
        Some(_) => Screen::default(),
        None => screen,
    };
    let answer = match &args.command {
        None => start::run(common),
        Some(Command::Shortlist(a)) => shortlist::run(common, a, screen),
        Some(Command::Check(a)) => check::run(common, a, screen),
        Some(Command::Show(a)) => show::run(common, a, screen),
        Some(Command::Form(a)) => form::run(common, a, screen),
        Some(Command::Record(a)) => record::run(common, a, screen),
        Some(Command::Reduce(a)) => reduce::run(common, a, screen),
        Some(Command::SetAside(a)) => set_aside::run(common, a, screen),
        Some(Command::Rename(a)) => rename::run(common, a, screen),
        Some(Command::Compare(a)) => compare::run(common, a, screen),
        Some(Command::RigCheck(a)) => rig_check::run(common, a, screen),
        Some(Command::Init(a)) => init::run(common, a, screen),
        Some(Command::Lint(a)) => lint::run(common, a, screen),
        Some(Command::Describe(a)) => describe::run(common, a, on_stderr, out, err),
        Some(Command::Parts(a)) => parts::run(common, a, screen),
        Some(Command::Schema(a)) => schema::run(a),
        Some(Command::Sheet(a)) => sheet::run(common, a, screen),
    };
    match answer.and_then(|o| deliver(&o, common, screen, out, err)) {
        Ok(code) => code,
        Err(stop) => tell(&stop, common.format, on_stderr, err),
    }
}

/// The worst of several exit codes: over a folder of cases 4, 2, 3, 1, 0.
fn worst(codes: impl IntoIterator<Item = u8>) -> u8 {
    const FALLING: [u8; 4] = [FILE_FAILED, BAD_INPUT, DECLINED, NO];
    let all: Vec<u8> = codes.into_iter().collect();
    FALLING
        .into_iter()
        .find(|c| all.contains(c))
        .unwrap_or(ANSWERED)
}

/// What every command hands back.
type Answer = Result<output::Output, Stop>;
