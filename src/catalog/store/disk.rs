//! The steps by which files change, one by one, so that a test can make any of them fail.
#![expect(
    clippy::disallowed_methods,
    reason = "the one place that changes files of a workspace"
)]

use std::fs::File;
use std::io::{ErrorKind, Write};
use std::path::Path;

/// What a change asks of a disk.
pub(super) trait Disk {
    /// Makes an empty file, or empties the one that is there.
    fn create(&mut self, path: &Path) -> std::io::Result<File>;
    /// Writes all bytes.
    fn write(&mut self, file: &mut File, bytes: &[u8]) -> std::io::Result<()>;
    /// Gives a file the rights that another has, where that one is there.
    fn keep_rights(&mut self, file: &File, of: &Path) -> std::io::Result<()>;
    /// Waits until the content of a file is on the disk.
    fn flush(&mut self, file: &File) -> std::io::Result<()>;
    /// Renames a file over another.
    fn rename(&mut self, from: &Path, to: &Path) -> std::io::Result<()>;
    /// Deletes a file; one that is not there is no error.
    fn remove(&mut self, path: &Path) -> std::io::Result<()>;
    /// Makes a folder and those above it.
    fn make_folder(&mut self, path: &Path) -> std::io::Result<()>;
    /// Whether a file is there that nobody may write.
    fn is_protected(&self, path: &Path) -> bool;
    /// Waits until the names in a folder are on the disk.
    fn flush_folder(&mut self, path: &Path) -> std::io::Result<()>;
}

/// The disk of this computer.
pub(super) struct SystemDisk;

impl Disk for SystemDisk {
    fn create(&mut self, path: &Path) -> std::io::Result<File> {
        File::create(path)
    }

    fn write(&mut self, file: &mut File, bytes: &[u8]) -> std::io::Result<()> {
        file.write_all(bytes)
    }

    fn keep_rights(&mut self, file: &File, of: &Path) -> std::io::Result<()> {
        match std::fs::metadata(of) {
            Ok(old) => file.set_permissions(old.permissions()),
            Err(_) => Ok(()),
        }
    }

    fn flush(&mut self, file: &File) -> std::io::Result<()> {
        file.sync_all()
    }

    fn rename(&mut self, from: &Path, to: &Path) -> std::io::Result<()> {
        std::fs::rename(from, to)
    }

    fn remove(&mut self, path: &Path) -> std::io::Result<()> {
        match std::fs::remove_file(path) {
            Err(e) if e.kind() != ErrorKind::NotFound => Err(e),
            _ => Ok(()),
        }
    }

    fn make_folder(&mut self, path: &Path) -> std::io::Result<()> {
        std::fs::create_dir_all(path)
    }

    fn is_protected(&self, path: &Path) -> bool {
        std::fs::metadata(path).is_ok_and(|about| about.permissions().readonly())
    }

    fn flush_folder(&mut self, path: &Path) -> std::io::Result<()> {
        // Only Unix can flush the names of a folder; elsewhere the rename itself is kept.
        if !cfg!(unix) {
            return Ok(());
        }
        // The folder of a bare file name.
        let path = if path.as_os_str().is_empty() {
            Path::new(".")
        } else {
            path
        };
        match File::open(path).and_then(|f| f.sync_all()) {
            // Some file systems cannot, and then nothing can be done.
            Err(e) if !matches!(e.kind(), ErrorKind::InvalidInput | ErrorKind::Unsupported) => {
                Err(e)
            }
            _ => Ok(()),
        }
    }
}
