//! Problems drawn for people.

use crate::catalog::FileFault;
use crate::problem::{Fault, Problem};

/// A fault without a place, such as a wrong argument.
pub fn fault(f: &Fault, colour: bool) -> String {
    let _ = colour;
    format!("error[{}]: {}\nhelp: {}\n", f.code, f.what, f.fix)
}

/// A file that could not be read or written.
pub fn file_fault(f: &FileFault, colour: bool) -> String {
    let _ = colour;
    format!("error[file]: {}: {}\nhelp: {}\n", f.file, f.what, f.fix)
}

/// Problems with their places, at most `most` of them, and how many there are.
pub fn problems(all: &[Problem], most: Option<usize>, colour: bool) -> String {
    let _ = colour;
    let mut out = String::new();
    for p in all.iter().take(most.unwrap_or(all.len())) {
        out.push_str(&format!(
            "error[{}]: {}\n  --> {}:{}:{}\nhelp: {}\n",
            p.code, p.what, p.at.file, p.at.line, p.at.column, p.fix
        ));
    }
    out
}
