//! One change from its note to its last rename, and back where a step fails.

use super::note::{COMING, Entry, Mark, NEW, NOTE, Note, OLD, beside};
use super::{Change, Store, bytes_at, not_written};
use crate::catalog::FileFault;
use crate::catalog::source::shown;
use std::path::Path;

impl Store {
    pub(super) fn commit_all(&mut self, changes: Vec<Change>) -> Result<(), FileFault> {
        let changes: Vec<Change> = changes
            .into_iter()
            .filter(|c| c.was.as_deref() != Some(&c.becomes))
            .collect();
        if changes.is_empty() {
            return Ok(());
        }
        let entries: Vec<Entry> = changes
            .iter()
            .map(|c| Entry {
                file: c.name.clone(),
                beside: beside(&c.name, NEW),
                was: c.was.as_deref().map(Mark::of),
                becomes: Some(Mark::of(&c.becomes)),
            })
            .collect();
        let made_ready = self.make_ready(&changes, &entries);
        if let Err(fault) = made_ready.and_then(|()| self.compare(&changes)) {
            return Err(self.abandon(&entries, fault));
        }
        for (done, entry) in entries.iter().enumerate() {
            if let Err(fault) = self.put_in_place(entry) {
                return Err(self.take_back(&changes, &entries, done, fault));
            }
        }
        if let Err(fault) = self.flush_folders(&entries) {
            return Err(self.take_back(&changes, &entries, entries.len(), fault));
        }
        // The change stands. A note that cannot be deleted now is deleted at the next start.
        drop(self.remove_note());
        Ok(())
    }

    /// Writes the note, the temporaries, and the note again.
    fn make_ready(&mut self, changes: &[Change], entries: &[Entry]) -> Result<(), FileFault> {
        self.write_note(&Note::new(false, entries.to_vec(), Vec::new()))?;
        for (change, entry) in changes.iter().zip(entries) {
            let path = self.path(&entry.file);
            if let Some(folder) = path.parent()
                && !folder.is_dir()
            {
                self.disk
                    .make_folder(folder)
                    .map_err(|e| not_written(folder, &e))?;
            }
            let beside = self.beside(&entry.file, &entry.beside);
            self.write_whole(&beside, &change.becomes, &path)
                .map_err(|e| not_written(&path, &e))?;
        }
        self.flush_folders(entries)?;
        self.write_note(&Note::new(true, entries.to_vec(), Vec::new()))
    }

    /// Whether every file is still what was read, and may be replaced.
    fn compare(&self, changes: &[Change]) -> Result<(), FileFault> {
        for change in changes {
            let path = self.path(&change.name);
            if bytes_at(&path)? != change.was {
                return Err(FileFault {
                    file: shown(&path),
                    what: "was edited by somebody else in the meantime".to_owned(),
                    fix: "save and close it in other programs, then try again".to_owned(),
                });
            }
            // A rename would ask nobody.
            if self.disk.is_protected(&path) {
                return Err(FileFault {
                    file: shown(&path),
                    what: "is marked read-only".to_owned(),
                    fix: "take the mark off if the file may change, then try again".to_owned(),
                });
            }
        }
        Ok(())
    }

    /// Writes a file whole and waits until it is on the disk.
    fn write_whole(&mut self, path: &Path, bytes: &[u8], like: &Path) -> std::io::Result<()> {
        let mut file = self.disk.create(path)?;
        self.disk.write(&mut file, bytes)?;
        self.disk.keep_rights(&file, like)?;
        self.disk.flush(&file)
    }

    /// Replaces the note as a whole; a fault names the folder, since nobody knows the note.
    pub(super) fn write_note(&mut self, note: &Note) -> Result<(), FileFault> {
        let path = self.folder.join(NOTE);
        let coming = self.folder.join(COMING);
        let mut steps = || {
            let bytes = note.to_bytes()?;
            self.write_whole(&coming, &bytes, &path)?;
            self.disk.rename(&coming, &path)?;
            self.disk.flush_folder(&self.folder)
        };
        steps().map_err(|e| not_written(&self.folder, &e))
    }

    /// Deletes the note, and what a note that was never finished left.
    pub(super) fn remove_note(&mut self) -> Result<(), FileFault> {
        let path = self.folder.join(NOTE);
        self.disk
            .remove(&self.folder.join(COMING))
            .and_then(|()| self.disk.remove(&path))
            .and_then(|()| self.disk.flush_folder(&self.folder))
            .map_err(|e| not_written(&self.folder, &e))
    }

    /// Renames one temporary over its file, or deletes the file.
    pub(super) fn put_in_place(&mut self, entry: &Entry) -> Result<(), FileFault> {
        let path = self.path(&entry.file);
        let put = match entry.becomes {
            Some(_) => {
                let from = self.beside(&entry.file, &entry.beside);
                self.disk.rename(&from, &path)
            }
            None => self.disk.remove(&path),
        };
        put.map_err(|e| not_written(&path, &e))
    }

    pub(super) fn flush_folders(&mut self, entries: &[Entry]) -> Result<(), FileFault> {
        let mut folders: Vec<_> = entries
            .iter()
            .filter_map(|e| self.path(&e.file).parent().map(Path::to_owned))
            .collect();
        folders.sort();
        folders.dedup();
        for folder in folders {
            self.disk
                .flush_folder(&folder)
                .map_err(|e| not_written(&folder, &e))?;
        }
        Ok(())
    }

    /// Undoes a change of which nothing has been renamed.
    ///
    /// Whoever finds it half undone sees no file in place and a temporary missing, and goes on undoing.
    fn abandon(&mut self, entries: &[Entry], fault: FileFault) -> FileFault {
        let undone = self.sweep(&Note::new(false, entries.to_vec(), Vec::new()));
        said_with(fault, undone)
    }

    /// Undoes a change of which the first `done` files have been renamed.
    fn take_back(
        &mut self,
        changes: &[Change],
        entries: &[Entry],
        done: usize,
        fault: FileFault,
    ) -> FileFault {
        if done == 0 {
            return self.abandon(entries, fault);
        }
        let (renamed, waiting) = entries.split_at(done);
        let back: Vec<Entry> = renamed
            .iter()
            .map(|e| Entry {
                file: e.file.clone(),
                beside: beside(&e.file, OLD),
                was: e.becomes.clone(),
                becomes: e.was.clone(),
            })
            .collect();
        let undone = self.put_back(changes, &back, waiting);
        said_with(fault, undone)
    }

    fn put_back(
        &mut self,
        changes: &[Change],
        back: &[Entry],
        waiting: &[Entry],
    ) -> Result<(), FileFault> {
        for (change, entry) in changes.iter().zip(back) {
            if let Some(was) = &change.was {
                let path = self.path(&entry.file);
                let beside = self.beside(&entry.file, &entry.beside);
                self.write_whole(&beside, was, &path)
                    .map_err(|e| not_written(&path, &e))?;
            }
        }
        let discard = waiting.iter().map(|e| e.file.clone()).collect();
        let note = Note::new(true, back.to_vec(), discard);
        self.write_note(&note)?;
        for entry in back {
            self.put_in_place(entry)?;
        }
        self.flush_folders(back)?;
        self.sweep(&note)
    }
}

/// The fault, and what became of the files.
fn said_with(fault: FileFault, undone: Result<(), FileFault>) -> FileFault {
    let became = match undone {
        Ok(()) => "nothing was changed",
        Err(_) => "what was begun is finished or undone at the next start",
    };
    FileFault {
        what: format!("{}; {became}", fault.what),
        ..fault
    }
}
