//! One writer at a time: a lock on a file beside the record, held from reading it to having written it.

use std::fs::{File, OpenOptions, TryLockError};
use std::path::Path;
use std::time::{Duration, Instant};

use strongback_model::source::{Code, Fault};

use super::{RecordFile, with_ending};
use crate::load::Refused;

/// How long the second of two writers waits.
const PATIENCE: Duration = Duration::from_secs(3);
/// How long it sleeps between two tries.
const PAUSE: Duration = Duration::from_millis(15);

/// The right to write a record, until it is dropped or the program ends, however that comes.
pub(crate) struct Lock {
    _file: File,
}

impl RecordFile {
    /// Waits for the right to write.
    pub(crate) fn lock(&self) -> Result<Lock, Refused> {
        let path = with_ending(&self.path, ".lock");
        let file = OpenOptions::new()
            .create(true)
            .write(true)
            .truncate(false)
            .open(&path)
            .map_err(|error| self.not_written(&error))?;
        let begun = Instant::now();
        loop {
            match file.try_lock() {
                Ok(()) => return Ok(Lock { _file: file }),
                Err(TryLockError::WouldBlock) if begun.elapsed() < PATIENCE => {
                    std::thread::sleep(PAUSE);
                }
                Err(TryLockError::WouldBlock) => return Err(self.busy(&path)),
                Err(TryLockError::Error(error)) => return Err(self.not_written(&error)),
            }
        }
    }

    fn busy(&self, path: &Path) -> Refused {
        let fault = Fault::error(
            Code::File,
            "another run of strongback is writing this record; nothing was written here",
        );
        Refused {
            path: self.shown(),
            text: String::new(),
            faults: vec![fault.help(format!(
                "try again once it has ended: it holds `{}`",
                path.display()
            ))],
        }
    }
}
