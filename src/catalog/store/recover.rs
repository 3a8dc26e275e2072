//! What a process that died left behind: finished where it was ready, undone where not.

use super::note::{COMING, Entry, Mark, NEW, NOTE, Note, OLD, beside};
use super::{Store, bytes_at, not_written};
use crate::catalog::FileFault;
use crate::catalog::source::shown;

/// How far one file of a change has come.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stage {
    /// Its temporary waits for the rename.
    Waits,
    /// It has its new content.
    Done,
    /// It has its old content, and there is no temporary.
    Gone,
    /// Somebody edited it since.
    Edited,
}

impl Store {
    /// Brings a change that was left half done to its end.
    ///
    /// # Errors
    /// [`FileFault`] where the note is not ours, a file was edited after part
    /// of the change was in place, or a step of writing fails.
    pub(super) fn recover(&mut self) -> Result<(), FileFault> {
        let path = self.folder.join(NOTE);
        let Some(bytes) = bytes_at(&path)? else {
            // A note may have been on its way.
            let coming = self.folder.join(COMING);
            return match bytes_at(&coming)? {
                None => Ok(()),
                Some(_) => self.remove_note(),
            };
        };
        let note = Note::read(&bytes).ok_or_else(|| FileFault {
            file: shown(&path),
            what: "is not a note that this dutyfit wrote about an unfinished change".to_owned(),
            fix: "use the dutyfit that wrote it, or see whether the catalog is whole and delete the note"
                .to_owned(),
        })?;
        if note.ready {
            self.finish(&note)?;
        }
        self.sweep(&note)
    }

    fn finish(&mut self, note: &Note) -> Result<(), FileFault> {
        let mut stages = Vec::new();
        for entry in &note.files {
            stages.push(self.stage(entry)?);
        }
        let begun = stages.contains(&Stage::Done);
        if !begun && stages.iter().any(|s| *s != Stage::Waits) {
            // Nothing is in place yet, and not all of it can be: undo.
            return Ok(());
        }
        for (entry, stage) in note.files.iter().zip(&stages) {
            match stage {
                Stage::Done => {}
                Stage::Waits => self.put_in_place(entry)?,
                Stage::Gone | Stage::Edited => return Err(self.torn(entry)),
            }
        }
        self.flush_folders(&note.files)
    }

    fn stage(&self, entry: &Entry) -> Result<Stage, FileFault> {
        let mark = |bytes: Option<Vec<u8>>| bytes.as_deref().map(Mark::of);
        let now = mark(bytes_at(&self.path(&entry.file))?);
        let coming = mark(bytes_at(&self.beside(&entry.file, &entry.beside))?);
        Ok(if now == entry.becomes {
            Stage::Done
        } else if now != entry.was {
            Stage::Edited
        } else if coming == entry.becomes {
            Stage::Waits
        } else {
            Stage::Gone
        })
    }

    /// Deletes every temporary that a change can have left, then its note.
    pub(super) fn sweep(&mut self, note: &Note) -> Result<(), FileFault> {
        let files = note.files.iter().map(|e| &e.file).chain(&note.discard);
        for (file, ending) in files.flat_map(|f| [(f, NEW), (f, OLD)]) {
            let path = self.beside(file, &beside(file, ending));
            self.disk
                .remove(&path)
                .map_err(|e| not_written(&path, &e))?;
        }
        self.remove_note()
    }

    fn torn(&self, entry: &Entry) -> FileFault {
        FileFault {
            file: shown(&self.path(&entry.file)),
            what: "was edited after a change broke off half way, and both cannot stand".to_owned(),
            fix: format!(
                "put the lines of `{}` that it lacks into it, then delete `{}`",
                shown(&self.beside(&entry.file, &entry.beside)),
                shown(&self.folder.join(NOTE)),
            ),
        }
    }
}
