//! Every step of a change fails once, and the process dies at every step.
#![expect(
    clippy::disallowed_methods,
    reason = "tests look at the files themselves"
)]

use super::disk::{Disk, SystemDisk};
use super::{Change, Store, lock};
use crate::catalog::FileFault;
use std::cell::RefCell;
use std::fs::File;
use std::io::{Error, ErrorKind};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::Duration;

/// What befalls a disk, counted over all its steps.
#[derive(Debug, Default)]
struct Fate {
    steps: usize,
    /// Steps that fail by themselves.
    fails: Vec<usize>,
    /// From this step on nothing happens any more.
    dies: Option<usize>,
    /// From this step on nothing more can be written, but files can be renamed and deleted.
    fills: Option<usize>,
    kind: Option<ErrorKind>,
}

#[derive(Clone)]
struct Ill(Rc<RefCell<Fate>>);

impl Ill {
    fn new(fate: Fate) -> Self {
        Ill(Rc::new(RefCell::new(fate)))
    }

    fn step(&self, writes: bool) -> std::io::Result<()> {
        let mut fate = self.0.borrow_mut();
        let n = fate.steps;
        fate.steps += 1;
        let full = writes && fate.fills.is_some_and(|f| n >= f);
        if full || fate.fails.contains(&n) || fate.dies.is_some_and(|d| n >= d) {
            return Err(Error::from(fate.kind.unwrap_or(ErrorKind::StorageFull)));
        }
        Ok(())
    }

    fn steps(&self) -> usize {
        self.0.borrow().steps
    }
}

impl Disk for Ill {
    fn create(&mut self, path: &Path) -> std::io::Result<File> {
        self.step(true)?;
        SystemDisk.create(path)
    }
    fn write(&mut self, file: &mut File, bytes: &[u8]) -> std::io::Result<()> {
        if let Err(e) = self.step(true) {
            // Half of it gets there.
            SystemDisk.write(file, &bytes[..bytes.len() / 2])?;
            return Err(e);
        }
        SystemDisk.write(file, bytes)
    }
    fn keep_rights(&mut self, file: &File, of: &Path) -> std::io::Result<()> {
        self.step(false)?;
        SystemDisk.keep_rights(file, of)
    }
    fn flush(&mut self, _: &File) -> std::io::Result<()> {
        self.step(true)
    }
    fn rename(&mut self, from: &Path, to: &Path) -> std::io::Result<()> {
        self.step(false)?;
        SystemDisk.rename(from, to)
    }
    fn remove(&mut self, path: &Path) -> std::io::Result<()> {
        self.step(false)?;
        SystemDisk.remove(path)
    }
    fn make_folder(&mut self, path: &Path) -> std::io::Result<()> {
        self.step(true)?;
        SystemDisk.make_folder(path)
    }
    fn is_protected(&self, path: &Path) -> bool {
        SystemDisk.is_protected(path)
    }
    fn flush_folder(&mut self, _: &Path) -> std::io::Result<()> {
        self.step(false)
    }
}

type Files = Vec<(String, Vec<u8>)>;

/// A workspace of two files, and a change of both that adds a third.
struct Scene {
    dir: tempfile::TempDir,
}

impl Scene {
    fn new() -> Self {
        let dir = tempfile::TempDir::new().unwrap();
        std::fs::create_dir_all(dir.path().join("catalog/readings")).unwrap();
        let scene = Scene { dir };
        for (name, bytes) in Scene::old() {
            std::fs::write(scene.dir.path().join(name), bytes).unwrap();
        }
        scene
    }

    fn old() -> Files {
        vec![
            ("catalog/readings/creep.csv".into(), b"old creep\n".to_vec()),
            (
                "catalog/readings/tensile.csv".into(),
                b"old tensile\n".to_vec(),
            ),
        ]
    }

    fn new_state() -> Files {
        vec![
            (
                "catalog/readings/creep.csv".into(),
                b"old creep\nand new\n".to_vec(),
            ),
            (
                "catalog/readings/tensile.csv".into(),
                b"old tensile\nand new\n".to_vec(),
            ),
            ("maps.json".into(), b"{}\n".to_vec()),
        ]
    }

    fn change() -> Vec<Change> {
        let old = Scene::old();
        Scene::new_state()
            .into_iter()
            .map(|(name, becomes)| Change {
                was: old.iter().find(|o| o.0 == name).map(|o| o.1.clone()),
                name,
                becomes,
            })
            .collect()
    }

    fn catalog(&self) -> PathBuf {
        self.dir.path().join("catalog")
    }

    /// Opens the workspace on a disk and makes the change.
    fn try_on(&self, disk: Ill) -> Result<(), FileFault> {
        Store::open_on(&self.catalog(), Box::new(disk))?.commit(Scene::change())
    }

    /// All files but the lock.
    fn files(&self) -> Files {
        fn walk(root: &Path, dir: &Path, into: &mut Files) {
            for entry in std::fs::read_dir(dir).unwrap().flatten() {
                let path = entry.path();
                if path.is_dir() {
                    walk(root, &path, into);
                } else if !path.ends_with(".lock") {
                    let name = path.strip_prefix(root).unwrap().display().to_string();
                    into.push((name, std::fs::read(&path).unwrap()));
                }
            }
        }
        let mut all = Vec::new();
        walk(self.dir.path(), self.dir.path(), &mut all);
        all.sort();
        all
    }

    /// Whether the change stands (true) or does not; fails where neither is whole or a
    /// temporary is left.
    #[track_caller]
    fn whole(&self) -> bool {
        let files = self.files();
        if files == Scene::new_state() {
            return true;
        }
        assert_eq!(files, Scene::old(), "neither state is whole");
        false
    }
}

/// Steps of the change on a disk that is well.
fn all_steps() -> usize {
    let disk = Ill::new(Fate::default());
    let scene = Scene::new();
    scene.try_on(disk.clone()).unwrap();
    assert!(scene.whole());
    disk.steps()
}

#[test]
fn a_step_that_fails_leaves_the_old_files_and_nothing_beside_them() {
    let steps = all_steps();
    assert!(steps > 25, "{steps}");
    let mut refused = 0;
    for n in 0..steps {
        let scene = Scene::new();
        let fate = Fate {
            fails: vec![n],
            ..Fate::default()
        };
        let result = scene.try_on(Ill::new(fate));
        if let Err(fault) = &result {
            assert!(fault.what.contains("the disk is full"), "{fault:?}");
            assert!(fault.fix.contains("make room"), "{fault:?}");
            assert!(!scene.whole(), "step {n}: refused, and yet there");
            refused += 1;
        }
        // What could not be cleared away at once is cleared at the next start.
        drop(Store::open(&scene.catalog()).unwrap());
        assert_eq!(scene.whole(), result.is_ok(), "step {n}");
    }
    assert!(refused > 20, "{refused}");
}

#[test]
fn a_disk_that_fills_up_leaves_the_old_files() {
    for n in 0..all_steps() {
        let scene = Scene::new();
        let fate = Fate {
            fills: Some(n),
            ..Fate::default()
        };
        let result = scene.try_on(Ill::new(fate));
        drop(Store::open(&scene.catalog()).unwrap());
        assert_eq!(scene.whole(), result.is_ok(), "step {n}");
    }
}

#[test]
fn a_process_that_dies_at_any_step_leaves_the_old_state_or_the_new() {
    let (mut old, mut new) = (0, 0);
    for n in 0..all_steps() {
        let scene = Scene::new();
        let fate = Fate {
            dies: Some(n),
            ..Fate::default()
        };
        drop(scene.try_on(Ill::new(fate)));
        drop(Store::open(&scene.catalog()).unwrap());
        if scene.whole() {
            new += 1;
        } else {
            old += 1;
        }
    }
    assert!(old > 10 && new > 5, "{old} old, {new} new");
}

#[test]
fn the_next_start_may_die_too() {
    for n in 0..all_steps() {
        for m in 0.. {
            let scene = Scene::new();
            let dying = |at| {
                Ill::new(Fate {
                    dies: Some(at),
                    ..Fate::default()
                })
            };
            drop(scene.try_on(dying(n)));
            let second = dying(m);
            let opened = Store::open_on(&scene.catalog(), Box::new(second.clone()));
            let through = opened.is_ok();
            drop(opened);
            drop(Store::open(&scene.catalog()).unwrap());
            scene.whole();
            if through {
                break;
            }
        }
    }
}

#[test]
fn taking_a_change_back_may_die_too() {
    for n in 0..all_steps() {
        for m in n + 1..n + 40 {
            let scene = Scene::new();
            let disk = Ill::new(Fate {
                fails: vec![n],
                dies: Some(m),
                ..Fate::default()
            });
            drop(scene.try_on(disk.clone()));
            drop(Store::open(&scene.catalog()).unwrap());
            scene.whole();
            if disk.steps() < m {
                break;
            }
        }
    }
}

#[test]
fn a_file_that_was_edited_meanwhile_is_not_overwritten() {
    let scene = Scene::new();
    let mut store = Store::open(&scene.catalog()).unwrap();
    let edited = scene.dir.path().join("catalog/readings/tensile.csv");
    std::fs::write(&edited, "edited\n").unwrap();
    let fault = store.commit(Scene::change()).unwrap_err();
    assert!(fault.what.contains("edited by somebody else"), "{fault:?}");
    drop(store);
    assert_eq!(
        scene.files(),
        [
            (
                "catalog/readings/creep.csv".to_owned(),
                b"old creep\n".to_vec()
            ),
            (
                "catalog/readings/tensile.csv".to_owned(),
                b"edited\n".to_vec()
            ),
        ]
    );
}

#[test]
fn an_edit_after_a_broken_off_change_is_kept_where_nothing_was_in_place() {
    for n in 0..all_steps() {
        let scene = Scene::new();
        drop(scene.try_on(Ill::new(Fate {
            dies: Some(n),
            ..Fate::default()
        })));
        let edited = scene.dir.path().join("catalog/readings/tensile.csv");
        let creep = std::fs::read(scene.dir.path().join("catalog/readings/creep.csv")).unwrap();
        std::fs::write(&edited, "edited\n").unwrap();
        match Store::open(&scene.catalog()) {
            Ok(_) => assert_eq!(std::fs::read(&edited).unwrap(), b"edited\n"),
            Err(fault) => {
                // Only where the first file is in place already.
                assert_eq!(creep, b"old creep\nand new\n", "step {n}");
                assert!(fault.what.contains("broke off half way"), "{fault:?}");
                assert!(fault.fix.contains(".pending"), "{fault:?}");
                assert_eq!(std::fs::read(&edited).unwrap(), b"edited\n");
            }
        }
    }
}

#[test]
fn a_right_that_is_missing_is_said() {
    let scene = Scene::new();
    let fault = scene
        .try_on(Ill::new(Fate {
            fails: vec![0],
            kind: Some(ErrorKind::ReadOnlyFilesystem),
            ..Fate::default()
        }))
        .unwrap_err();
    assert_eq!(
        fault.what,
        "cannot be written: the disk takes no writing; nothing was changed"
    );
    assert!(fault.fix.contains("give yourself the right"), "{fault:?}");
}

#[test]
fn a_note_that_leads_out_of_the_workspace_is_refused() {
    let scene = Scene::new();
    let outside = scene
        .dir
        .path()
        .parent()
        .unwrap()
        .join("kept-by-dutyfit-test");
    std::fs::write(&outside, "kept").unwrap();
    let name = outside.file_name().unwrap().to_str().unwrap();
    std::fs::write(
        scene.catalog().join(".pending"),
        format!(
            "{{\"format\":\"dutyfit.pending/1\",\"ready\":false,\"files\":[],\"discard\":[\"../{name}\"]}}"
        ),
    )
    .unwrap();
    let fault = Store::open(&scene.catalog()).err().unwrap();
    assert!(fault.what.contains("is not a note"), "{fault:?}");
    assert!(outside.exists());
    std::fs::remove_file(outside).unwrap();
}

#[cfg(unix)]
#[test]
fn rights_and_links_stay() {
    use std::os::unix::fs::PermissionsExt;
    let scene = Scene::new();
    let tensile = scene.dir.path().join("catalog/readings/tensile.csv");
    let real = scene.dir.path().join("elsewhere.csv");
    std::fs::rename(&tensile, &real).unwrap();
    std::fs::set_permissions(&real, std::fs::Permissions::from_mode(0o640)).unwrap();
    std::os::unix::fs::symlink(&real, &tensile).unwrap();
    Store::open(&scene.catalog())
        .unwrap()
        .commit(Scene::change())
        .unwrap();
    assert!(std::fs::symlink_metadata(&tensile).unwrap().is_symlink());
    assert_eq!(std::fs::read(&real).unwrap(), b"old tensile\nand new\n");
    let mode = std::fs::metadata(&real).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o640);
}

#[test]
fn a_lock_file_without_a_process_locks_nothing() {
    let scene = Scene::new();
    std::fs::write(scene.catalog().join(".lock"), "left by a dead process").unwrap();
    scene.try_on(Ill::new(Fate::default())).unwrap();
    assert!(scene.whole());
}

#[test]
fn a_file_marked_read_only_is_left_alone() {
    let scene = Scene::new();
    let tensile = scene.dir.path().join("catalog/readings/tensile.csv");
    let mut rights = std::fs::metadata(&tensile).unwrap().permissions();
    rights.set_readonly(true);
    std::fs::set_permissions(&tensile, rights).unwrap();
    let fault = scene.try_on(Ill::new(Fate::default())).unwrap_err();
    assert!(fault.what.contains("marked read-only"), "{fault:?}");
    assert!(!scene.whole());
}

#[test]
fn a_held_lock_is_waited_for_and_then_named() {
    let scene = Scene::new();
    let moment = Duration::from_millis(20);
    let held = lock::for_writing(&scene.catalog(), moment).unwrap();
    let fault = lock::for_writing(&scene.catalog(), moment).unwrap_err();
    assert!(fault.what.contains("another running dutyfit"), "{fault:?}");
    assert!(fault.fix.contains("needs no deleting"), "{fault:?}");
    drop(held);
    // Whoever gave up does not keep it.
    for _ in 0..2 {
        drop(lock::for_writing(&scene.catalog(), Duration::from_secs(20)).unwrap());
    }
    // Readers share it, and a writer waits for them.
    let one = lock::for_reading(&scene.catalog()).unwrap();
    let two = lock::for_reading(&scene.catalog()).unwrap();
    assert!(one.is_some() && two.is_some());
    assert!(lock::for_writing(&scene.catalog(), moment).is_err());
}

#[test]
fn a_folder_that_is_not_there_is_said() {
    let fault = Store::open(Path::new("no/such/folder")).err().unwrap();
    assert_eq!(fault.what, "there is no such folder");
}
