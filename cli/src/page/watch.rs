//! Reads the model anew when its file, or its record's, changes. The folder is watched and not the file: editors save by renaming.

use std::ffi::OsString;
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use notify_debouncer_full::notify::{RecommendedWatcher, RecursiveMode};
use notify_debouncer_full::{DebounceEventResult, Debouncer, RecommendedCache, new_debouncer};

use super::bench::Bench;
use crate::record::RecordFile;

/// How long a file has to be left alone before it is read: an editor writes in several steps.
const QUIET: Duration = Duration::from_millis(60);

/// Watches as long as it is kept.
pub(super) struct Watch {
    _debouncer: Debouncer<RecommendedWatcher, RecommendedCache>,
}

/// Begins to watch.
pub(super) fn start(bench: &Arc<Bench>) -> std::io::Result<Watch> {
    let model = bench.model.canonicalize()?;
    let mut names: Vec<OsString> = Vec::new();
    let record = RecordFile::beside(&model).shown();
    for path in [model.as_path(), Path::new(&record)] {
        names.extend(path.file_name().map(ToOwned::to_owned));
    }
    let reader = Arc::clone(bench);
    let mut debouncer = new_debouncer(QUIET, None, move |events: DebounceEventResult| {
        let Ok(events) = events else { return };
        let mut paths = events.iter().flat_map(|event| &event.paths);
        let ours = paths.any(|path| {
            path.file_name()
                .is_some_and(|name| names.iter().any(|own| own == name))
        });
        // reading a file is an event too
        let written = events.iter().any(|event| !event.kind.is_access());
        if ours && written {
            reader.read();
        }
    })
    .map_err(std::io::Error::other)?;
    let folder = model.parent().unwrap_or_else(|| Path::new("."));
    debouncer
        .watch(folder, RecursiveMode::NonRecursive)
        .map_err(std::io::Error::other)?;
    Ok(Watch {
        _debouncer: debouncer,
    })
}
