//! `describe` in a real terminal: a pseudo-terminal with a person at it who makes mistakes.

use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
use rustix::termios::{Winsize, tcsetwinsize};
use std::fs::{File, OpenOptions};
use std::io::{Read, Write};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

/// Longest wait for a prompt: a debug build judges for seconds on a busy machine.
const PATIENCE: Duration = Duration::from_secs(90);

/// A program at a pseudo-terminal.
struct Terminal {
    to: File,
    from: Receiver<Vec<u8>>,
    child: Child,
    seen: String,
    /// How much of it stood there when something was typed last.
    typed: usize,
}

impl Terminal {
    fn run(columns: u16, folder: &std::path::Path, args: &[&str]) -> Self {
        let main = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).expect("a pseudo-terminal");
        grantpt(&main).expect("a grant");
        unlockpt(&main).expect("unlocked");
        let name = ptsname(&main, Vec::new()).expect("a name");
        let size = Winsize {
            ws_row: 50,
            ws_col: columns,
            ws_xpixel: 0,
            ws_ypixel: 0,
        };
        tcsetwinsize(&main, size).expect("a size");
        let end = || {
            let path = name.to_str().expect("a path").to_owned();
            let file = OpenOptions::new().read(true).write(true).open(path);
            Stdio::from(file.expect("the other end"))
        };
        let child = Command::new(env!("CARGO_BIN_EXE_dutyfit"))
            .args(args)
            .current_dir(folder)
            .env("NO_COLOR", "1")
            .stdin(end())
            .stdout(end())
            .stderr(end())
            .spawn()
            .expect("started");
        let to = File::from(main);
        let mut from = to.try_clone().expect("a second handle");
        let (send, receive) = channel();
        // Reading a terminal blocks; it ends when the last program there has.
        std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(n) = from.read(&mut bytes) {
                if n == 0 || send.send(bytes[..n].to_vec()).is_err() {
                    return;
                }
            }
        });
        Terminal {
            to,
            from: receive,
            child,
            seen: String::new(),
            typed: 0,
        }
    }

    /// Waits for a question; the name at its prompt.
    #[track_caller]
    fn prompt(&mut self) -> String {
        let end = Instant::now() + PATIENCE;
        loop {
            let new = &self.seen[self.typed..];
            let line = new.rsplit('\n').next().unwrap_or_default();
            // A prompt is the one line that begins with a name and ends without a line end.
            let name = line.split([' ', ':']).next().unwrap_or_default();
            let named = name.starts_with(|c: char| c.is_ascii_lowercase());
            if new.contains('\n') && named && line.ends_with(": ") {
                return name.to_owned();
            }
            let left = end.saturating_duration_since(Instant::now());
            match self.from.recv_timeout(left) {
                Ok(bytes) => self.seen.push_str(&String::from_utf8_lossy(&bytes)),
                Err(_) => panic!("no question came after\n{}", self.seen),
            }
        }
    }

    fn types(&mut self, line: &str) -> &mut Self {
        self.typed = self.seen.len();
        writeln!(self.to, "{line}").expect("typed");
        self
    }

    /// Types an answer to this very question.
    #[track_caller]
    fn at(&mut self, name: &str, line: &str) -> &mut Self {
        let asked = self.prompt();
        assert_eq!(asked, name, "in\n{}", self.seen);
        self.types(line)
    }

    /// Presses Enter until this question is there, then types.
    #[track_caller]
    fn then(&mut self, name: &str, line: &str) -> &mut Self {
        for _ in 0..80 {
            if self.prompt() == name {
                return self.types(line);
            }
            self.types("");
        }
        panic!("`{name}` was never asked in\n{}", self.seen);
    }

    /// Waits for the end; the exit code and all that was seen.
    fn ends(mut self) -> (i32, String) {
        while let Ok(bytes) = self.from.recv_timeout(PATIENCE) {
            self.seen.push_str(&String::from_utf8_lossy(&bytes));
        }
        let code = self.child.wait().expect("an end").code().unwrap_or(-1);
        (code, self.seen.replace('\r', ""))
    }
}

/// A workspace's folder without a catalog: the demo judges.
fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder")
}

#[track_caller]
fn says(seen: &str, all: &[&str]) {
    let flat = seen.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in all {
        assert!(flat.contains(said), "`{said}` in\n{seen}");
    }
}

#[track_caller]
fn fits(text: &str, columns: usize) {
    for line in text.lines() {
        // A line that is typed on may run over.
        let prompt = line.contains(": ") && line.starts_with(|c: char| c.is_ascii_lowercase());
        assert!(
            prompt || line.chars().count() <= columns,
            "{columns}: {line}"
        );
    }
}

#[test]
fn feet_from_the_first_question_to_the_shortlist() {
    let folder = folder();
    let mut t = Terminal::run(80, folder.path(), &["describe", "--demo"]);
    t.at("part", "zeppelin")
        .at("part", "feet")
        .at("title", "feet of a stool in the workshop")
        .at("mass", "80")
        .at("mass", "80 mm")
        .at("mass", "80 kg")
        .at("feet", "four")
        .at("feet", "4")
        .at("shape", "round")
        .at("shape", "disc")
        .at("diameter", "?")
        .at("diameter", "3 cm")
        .at("height", "don't know")
        .then("sag", "2 cm")
        .at("sag", "2 mm")
        .then("counterface", "tiel")
        .at("counterface", "tile")
        .then("weights", "points")
        .at("weights.grip", "a lot")
        .at("weights.grip", "60")
        .then("id", "Stool")
        .at("id", "stool")
        .at("shortlist", "perhaps")
        .at("shortlist", "yes");
    let (code, seen) = t.ends();
    assert!(code == 0 || code == 1, "{code}: {seen}");
    says(
        &seen,
        &[
            "here is no part kind `zeppelin`",
            "Taken as support-foot",
            "`80` has no unit",
            "Write `80 kg`",
            "`four` is not a whole number",
            "Write `disc`, `ring` or `block`",
            "Assumed: 10 mm",
            "`sag` 20 mm is no less than",
            "Write `tile` if that is what was meant",
            "`a lot` is not a number",
            "Wrote cases/stool.json",
            "[invented demo]",
        ],
    );
    fits(&seen, 80);
    let case = std::fs::read_to_string(folder.path().join("cases/stool.json")).unwrap();
    assert!(
        case.contains("\"assumed\": [\n    \"height\"\n  ]"),
        "{case}"
    );
}

#[test]
fn a_snap_hook_from_the_first_question_to_the_shortlist() {
    let folder = folder();
    let mut t = Terminal::run(80, folder.path(), &["describe", "latch", "--demo"]);
    t.at("title", "latch of a seed box")
        .at("arm_length", "20 bananas")
        .at("arm_length", "0 mm")
        .at("arm_length", "2 cm")
        .at("thickness", "80 mil")
        .at("thickness", "2 mm")
        .at("width", "?")
        .at("width", "8 mm")
        .at("taper", "both")
        .at("taper", "")
        .at("undercut", "back")
        .at("taper", "thick")
        .at("undercut", "1 mm")
        .then("pull", "4")
        .at("pull", "4 N")
        .then("temperature", "5 to 40")
        .at("temperature", "5 to 40 degC")
        .then("life", "forever")
        .at("life", "3 year")
        .then("weights", "order")
        .at("order", "cost, cheap")
        .then("order", "cost, easy-print = heat-reserve")
        .at("id", "list")
        .at("id", "seed-box-latch")
        .at("shortlist", "yes");
    let (code, seen) = t.ends();
    assert!(code == 0 || code == 1, "{code}: {seen}");
    says(
        &seen,
        &[
            "`arm_length` is 0 mm",
            "`both` is not a word that `taper` takes",
            "Taken as thickness-to-half",
            "`4` has no unit",
            "Wrote cases/seed-box-latch.json",
            "[invented demo]",
        ],
    );
    fits(&seen, 80);
    let case = std::fs::read_to_string(folder.path().join("cases/seed-box-latch.json")).unwrap();
    let case: serde_json::Value = serde_json::from_str(&case).unwrap();
    assert_eq!(case["inputs"]["taper"], "thickness-to-half");
    assert_eq!(case["surroundings"]["temperature"], "5..40 degC");
    assert_eq!(case["weights"]["order"][1][1], "heat-reserve");
}

#[test]
fn a_strap_on_a_narrow_terminal_by_published_ranges() {
    let folder = folder();
    // Without a catalog the handbook judges.
    let mut t = Terminal::run(40, folder.path(), &["describe"]);
    t.at("part", "hook")
        .at("part", "plant tie")
        .at("title", "tie for a young tree")
        .at("form", "knot")
        .at("form", "straight")
        .then("width", "2 cm")
        .at("thickness", "don't know")
        .then("sun", "all day")
        .at("sun", "outdoors")
        .then("hurts", "my knee")
        .at("hurts", "nobody")
        .then("weights", "usual")
        .at("id", "change width")
        .at("width", "25 mm")
        .at("id", "tree-tie")
        .at("shortlist", "yes");
    let (code, seen) = t.ends();
    assert!(code == 0 || code == 1, "{code}: {seen}");
    says(
        &seen,
        &[
            "`hook` may be several part kinds",
            "Taken as strap",
            "`knot` is not a word",
            "Wrote cases/tree-tie.json",
            "dutyfit shortlist cases/tree-tie.json --handbook",
        ],
    );
    let case = std::fs::read_to_string(folder.path().join("cases/tree-tie.json")).unwrap();
    assert!(
        case.contains("25 mm") && case.contains("\"thickness\""),
        "{case}"
    );
}

#[test]
fn quitting_writes_nothing_and_an_end_of_the_lines_says_so() {
    let folder = folder();
    let mut t = Terminal::run(40, folder.path(), &["describe", "bolt-washer"]);
    t.at("title", "washer of a cold frame")
        .at("bolt", "M6")
        .then("torque", "quit");
    let (code, seen) = t.ends();
    assert_eq!(code, 0, "{seen}");
    assert!(seen.contains("Nothing was written."), "{seen}");
    fits(&seen, 40);
    let mut t = Terminal::run(80, folder.path(), &["describe", "bolt-washer"]);
    // The key that ends a line of input in a terminal.
    t.at("title", "washer of a cold frame")
        .at("bolt", "M6")
        .prompt();
    t.to.write_all(&[4]).expect("typed");
    let (code, seen) = t.ends();
    assert_eq!(code, 2, "{seen}");
    assert!(seen.contains("describe::answers-ended"), "{seen}");
    assert!(!folder.path().join("cases").exists());
}

#[test]
fn a_use_on_which_a_life_hangs_ends_the_dialogue() {
    let folder = folder();
    let mut t = Terminal::run(80, folder.path(), &["describe", "washer", "--demo"]);
    t.at("title", "spacer for climbing")
        .at("about.climb", "yes");
    let (code, seen) = t.ends();
    assert_eq!(code, 3, "{seen}");
    assert!(seen.contains("No case is written"), "{seen}");
    assert!(!folder.path().join("cases").exists());
}
