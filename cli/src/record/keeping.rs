//! Writing a record so that at every instant a whole one is there: the new one is made beside it and flushed to the disk, the
//! present one is kept as the one before, then the new one takes its name. In: the text, under the lock.

use std::io::{self, ErrorKind, Write};
use std::path::Path;

use strongback_model::record::Record;
use strongback_model::source::{Code, Fault};
use tempfile::{Builder, NamedTempFile};

use super::{Lock, RecordFile, with_ending};
use crate::load::{self, Refused};

impl RecordFile {
    /// Writes a record, and keeps the present one as the one before it.
    pub(crate) fn write(&self, lock: &Lock, record: &Record) -> Result<(), Refused> {
        let text = record.text().map_err(|fault| Refused {
            path: self.shown(),
            text: String::new(),
            faults: vec![fault],
        })?;
        self.replace(lock, &text)
    }

    /// Takes back the record before the last entry; the present one becomes the one before it.
    pub(crate) fn restore(&self, lock: &Lock) -> Result<(), Refused> {
        let path = self.before();
        let refuse = |text: String, fault: Fault| Refused {
            path: path.display().to_string(),
            text,
            faults: vec![fault],
        };
        if path.try_exists().is_ok_and(|there| !there) {
            let fault = Fault::error(Code::File, "there is no record before the present one");
            return Err(refuse(String::new(), fault));
        }
        let text = load::read(&path).map_err(|fault| refuse(String::new(), fault))?;
        if let Err(fault) = Record::read(&text) {
            return Err(refuse(text, fault));
        }
        self.replace(lock, &text)
    }

    fn folder(&self) -> &Path {
        match self.path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        }
    }

    fn replace(&self, _lock: &Lock, text: &str) -> Result<(), Refused> {
        let folder = self.folder();
        self.sweep(folder);
        self.put(folder, text)
            .map_err(|error| self.not_written(&error))?;
        flush_folder(folder).map_err(|error| {
            let message =
                format!("the build record is written, but the disk did not confirm it: {error}");
            Refused {
                path: self.shown(),
                text: String::new(),
                faults: vec![Fault::error(Code::File, message)],
            }
        })
    }

    fn put(&self, folder: &Path, text: &str) -> io::Result<()> {
        let mut new = self.passing(folder)?;
        new.write_all(text.as_bytes())?;
        new.as_file().sync_all()?;
        self.keep_present(folder)?;
        new.persist(&self.path).map_err(|error| error.error)?;
        Ok(())
    }

    /// Gives the present record a second name, so that it has one at every instant.
    fn keep_present(&self, folder: &Path) -> io::Result<()> {
        let before = self.before();
        let passing = with_ending(&before, ".new");
        forget(&passing)?;
        match std::fs::hard_link(&self.path, &passing) {
            Ok(()) => {
                std::fs::rename(&passing, &before)?;
                // two names of one file are not renamed into one another: the second would stay
                forget(&passing)
            }
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(()),
            // a disk without second names: a copy will do
            Err(_) => {
                let mut copy = self.passing(folder)?;
                copy.write_all(&std::fs::read(&self.path)?)?;
                copy.as_file().sync_all()?;
                copy.persist(&before).map_err(|error| error.error)?;
                Ok(())
            }
        }
    }

    /// A new file under a passing name.
    fn passing(&self, folder: &Path) -> io::Result<NamedTempFile> {
        let mut builder = Builder::new();
        let (start, end) = self.passing_name();
        builder.prefix(&start).suffix(end);
        #[cfg(unix)]
        let builder = {
            use std::os::unix::fs::PermissionsExt;
            // as any file that a person makes: a record is made to be passed on
            builder.permissions(std::fs::Permissions::from_mode(0o666))
        };
        builder.tempfile_in(folder)
    }

    /// How a passing name begins and ends.
    fn passing_name(&self) -> (String, &'static str) {
        let name = self.path.file_name().unwrap_or_default();
        (format!(".{}.", name.to_string_lossy()), ".new")
    }

    /// Takes away what a run left that was ended before it could. Nobody else writes here: this one holds the lock.
    fn sweep(&self, folder: &Path) {
        let (start, end) = self.passing_name();
        for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
            let name = entry.file_name();
            let name = name.to_string_lossy();
            if name.starts_with(&start) && name.ends_with(end) {
                // it is in nobody's way if it stays
                let _ = std::fs::remove_file(entry.path());
            }
        }
    }

    /// Why a record could not be written: what was there is there still.
    pub(super) fn not_written(&self, error: &io::Error) -> Refused {
        let folder = self.folder().display();
        let reason = match error.kind() {
            ErrorKind::NotFound => format!("there is no folder `{folder}`"),
            ErrorKind::PermissionDenied => format!("you may not write in the folder `{folder}`"),
            ErrorKind::ReadOnlyFilesystem => format!("the folder `{folder}` can't be written to"),
            ErrorKind::StorageFull => "the disk is full".to_owned(),
            _ => error.to_string(),
        };
        Refused {
            path: self.shown(),
            text: String::new(),
            faults: vec![
                Fault::error(
                    Code::File,
                    format!("the build record can't be written: {reason}"),
                )
                .help("nothing on record was changed"),
            ],
        }
    }
}

/// Removes a file that may not be there.
fn forget(path: &Path) -> io::Result<()> {
    match std::fs::remove_file(path) {
        Err(error) if error.kind() != ErrorKind::NotFound => Err(error),
        _ => Ok(()),
    }
}

/// Has the names in a folder outlast a loss of power.
#[cfg(unix)]
fn flush_folder(folder: &Path) -> io::Result<()> {
    std::fs::File::open(folder)?.sync_all()
}

#[cfg(not(unix))]
fn flush_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}
