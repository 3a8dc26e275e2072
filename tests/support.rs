//! Runs the program in this process, on files in a folder of its own.

use std::path::Path;
use tempfile::TempDir;

/// What one command line did.
#[derive(Debug)]
pub(crate) struct Ran {
    /// Exit code.
    pub(crate) code: u8,
    /// Standard output.
    pub(crate) out: String,
    /// Standard error.
    pub(crate) err: String,
}

impl Ran {
    /// The JSON on standard output.
    #[track_caller]
    pub(crate) fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("{e} in {self:?}"))
    }

    /// Fails unless the command ended with this code.
    #[track_caller]
    pub(crate) fn exits(self, code: u8) -> Self {
        assert_eq!(
            self.code, code,
            "exit code\n--- out\n{}\n--- err\n{}",
            self.out, self.err
        );
        self
    }
}

/// Runs `dutyfit ARGS...`.
pub(crate) fn dutyfit(args: &[&str]) -> Ran {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = std::iter::once("dutyfit").chain(args.iter().copied());
    let code = dutyfit::cli::run(all, &mut out, &mut err);
    Ran {
        code,
        out: String::from_utf8(out).expect("output is UTF-8"),
        err: String::from_utf8(err).expect("output is UTF-8"),
    }
}

/// A workspace in a folder of its own; gone when dropped.
pub(crate) struct Bench {
    dir: TempDir,
}

impl Bench {
    /// An empty workspace.
    pub(crate) fn new() -> Self {
        Bench {
            dir: TempDir::new().expect("a temporary folder"),
        }
    }

    /// With a file, its folders made as needed.
    pub(crate) fn file(self, name: &str, content: impl AsRef<[u8]>) -> Self {
        let path = self.dir.path().join(name);
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder).expect("a folder");
        }
        std::fs::write(path, content).expect("a file");
        self
    }

    /// With an empty folder.
    pub(crate) fn folder(self, name: &str) -> Self {
        std::fs::create_dir_all(self.dir.path().join(name)).expect("a folder");
        self
    }

    /// The path of a file.
    pub(crate) fn path(&self, name: &str) -> std::path::PathBuf {
        self.dir.path().join(name)
    }

    /// Every file with its content, by name.
    pub(crate) fn files(&self) -> Vec<(String, Vec<u8>)> {
        fn walk(root: &Path, dir: &Path, into: &mut Vec<(String, Vec<u8>)>) {
            for entry in std::fs::read_dir(dir).expect("a folder").flatten() {
                let path = entry.path();
                if path.is_dir() {
                    walk(root, &path, into);
                } else {
                    let name = path
                        .strip_prefix(root)
                        .expect("inside")
                        .display()
                        .to_string();
                    into.push((name, std::fs::read(&path).unwrap_or_default()));
                }
            }
        }
        let mut all = Vec::new();
        walk(self.dir.path(), self.dir.path(), &mut all);
        all.sort();
        all
    }

    /// Runs `dutyfit ARGS... --catalog <this>/catalog`. An argument that names
    /// something in this workspace stands for its path, and what is printed
    /// shows such paths as they are named here.
    pub(crate) fn run(&self, args: &[&str]) -> Ran {
        let root = self.dir.path().display().to_string();
        let catalog = format!("{root}/catalog");
        let mut all: Vec<String> = args
            .iter()
            .map(|a| {
                let path = self.dir.path().join(a);
                if !a.is_empty() && path.exists() {
                    path.display().to_string()
                } else {
                    (*a).to_owned()
                }
            })
            .collect();
        if !args.contains(&"--demo") && !args.contains(&"--handbook") {
            all.extend(["--catalog".to_owned(), catalog]);
        }
        let all: Vec<&str> = all.iter().map(String::as_str).collect();
        let ran = dutyfit(&all);
        let prefix = format!("{root}/");
        Ran {
            code: ran.code,
            out: ran.out.replace(&prefix, ""),
            err: ran.err.replace(&prefix, ""),
        }
    }
}
