//! The model as it was last read: the last good layout, and what is wrong with the file if it is.

use std::path::{Path, PathBuf};
use std::sync::{Arc, RwLock};

use tokio::sync::broadcast;

use crate::command::Ground;
use crate::load::Refused;
use crate::record::Basis;
use crate::render;

/// Width for which faults are laid out: that of a tablet's column, in characters.
const FAULT_WIDTH: usize = 90;

/// What all answers are taken from.
pub(super) struct Bench {
    /// The model file.
    pub(super) model: PathBuf,
    seen: RwLock<Seen>,
    /// Tells of each reading of the file.
    pub(super) news: broadcast::Sender<u64>,
}

/// The file as it was read.
#[derive(Clone)]
pub(super) struct Seen {
    /// Counts readings.
    pub(super) version: u64,
    /// The last layout that could be worked out, of the plan.
    pub(super) plan: Option<Arc<Ground>>,
    /// The plan as the file states it, where the one above has adopted deviations: the book is of it.
    pub(super) stated: Option<Arc<Ground>>,
    /// The same of what is built, where there is a record.
    pub(super) built: Option<Arc<Ground>>,
    /// What is wrong with the file, if it can't be laid out.
    pub(super) faults: Option<String>,
}

impl Bench {
    /// Reads a model.
    pub(super) fn of(model: &Path) -> Self {
        let nothing = Seen {
            version: 0,
            plan: None,
            stated: None,
            built: None,
            faults: None,
        };
        let bench = Self {
            model: model.to_owned(),
            seen: RwLock::new(nothing),
            news: broadcast::Sender::new(16),
        };
        bench.read();
        bench
    }

    /// Reads the file again; the last good layout stays where it has faults.
    pub(super) fn read(&self) {
        let plan = Ground::of(&self.model, false);
        let recorded = matches!(&plan, Ok(ground) if ground.loaded.record.is_some());
        let built = recorded.then(|| Ground::of(&self.model, true));
        let adopts = matches!(&plan, Ok(ground) if matches!(ground.basis(), Basis::WithAdopted(_)));
        let stated = adopts.then(|| Ground::question(&self.model, false));
        let mut next = self.seen();
        next.version += 1;
        let told = |refused: &Refused| render::fault::plain(refused, FAULT_WIDTH);
        next.faults = match (&plan, &built) {
            (Err(refused), _) | (Ok(_), Some(Err(refused))) => Some(told(refused)),
            _ => None,
        };
        if let Ok(plan) = plan {
            let plan = Arc::new(plan);
            let stated = stated.map_or(Some(plan.clone()), |stated| stated.ok().map(Arc::new));
            next.plan = Some(plan);
            next.stated = stated;
            next.built = built.and_then(Result::ok).map(Arc::new);
        }
        let version = next.version;
        // a thread that died while it held the lock left a whole value behind
        *self.seen.write().unwrap_or_else(|lock| lock.into_inner()) = next;
        // nobody may be listening
        let _ = self.news.send(version);
    }

    /// What was read last.
    pub(super) fn seen(&self) -> Seen {
        let seen = self.seen.read().unwrap_or_else(|lock| lock.into_inner());
        seen.clone()
    }
}

impl Seen {
    /// What is asked of: the plan, or what is built.
    pub(super) fn ground(&self, built: bool) -> Option<&Arc<Ground>> {
        if built {
            self.built.as_ref()
        } else {
            self.plan.as_ref()
        }
    }
}
