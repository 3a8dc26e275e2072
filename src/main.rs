//! The `dutyfit` command: reads the arguments, runs them, hands back the exit code.

use std::io::{IsTerminal, Write};
use std::process::ExitCode;

fn main() -> ExitCode {
    let screen = dutyfit::cli::Screen::of_terminal(std::io::stdout().is_terminal());
    let mut out = anstream::AutoStream::auto(std::io::stdout()).lock();
    let mut err = anstream::AutoStream::auto(std::io::stderr()).lock();
    let code = dutyfit::cli::run_on(screen, std::env::args_os(), &mut out, &mut err);
    // A reader that went away has seen enough.
    drop(out.flush());
    ExitCode::from(code)
}
