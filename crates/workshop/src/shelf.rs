//! Work already done on files, kept at hand for a while: judged and laid files are slow to make
//! and always the same for the same version.

use std::sync::{Arc, Mutex, OnceLock};

use partpledge_units::ids::VersionId;

use crate::estimating::{LaidPart, Process};
use crate::intake::{JudgedFile, Orient, Stands};
use crate::showing::ShownPart;
use crate::taking::{WeakPart, weak_part};

/// Most triangles kept at hand, over all files; a file larger than that is kept alone.
const MOST_TRIANGLES: usize = 3_000_000;

/// A file judged again from its original.
#[derive(Debug)]
pub struct OpenedFile {
    /// As it was judged.
    pub judged: JudgedFile,
    /// The process it was judged for.
    pub process: Process,
    /// How its parts were to stand.
    pub orient: Orient,
}

/// A file with its parts laid down line by line.
#[derive(Debug)]
pub struct LaidFile {
    /// Its parts.
    pub parts: Vec<LaidPart>,
    /// Material and sheet.
    pub process: Process,
    /// How its parts stand.
    pub orient: Orient,
    pub(crate) weak: OnceLock<Vec<Option<WeakPart>>>,
}

impl LaidFile {
    /// The weakest layers of each part, worked out when first asked for.
    pub fn weak(&self) -> &[Option<WeakPart>] {
        let of = |part| weak_part(part, &self.process);
        self.weak
            .get_or_init(|| self.parts.iter().map(of).collect())
    }
}

/// What a file was opened for: the same version is laid down differently on another sheet.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Label {
    pub(crate) version: VersionId,
    pub(crate) process: String,
    pub(crate) stands: Stands,
}

/// The shelf. Clones share it.
#[derive(Clone, Debug, Default)]
pub struct Shelf(Arc<Mutex<Boards>>);

#[derive(Debug, Default)]
struct Boards {
    opened: Board<OpenedFile>,
    laid: Board<LaidFile>,
    shown: Board<ShownPart, (Label, usize)>,
}

/// Newest last.
#[derive(Debug)]
struct Board<T, L = Label>(Vec<(L, usize, Arc<T>)>);

impl<T, L> Default for Board<T, L> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T, L: Clone + PartialEq> Board<T, L> {
    fn find(&mut self, label: &L) -> Option<Arc<T>> {
        let at = self.0.iter().position(|(known, _, _)| known == label)?;
        let entry = self.0.remove(at);
        let found = entry.2.clone();
        self.0.push(entry);
        Some(found)
    }

    fn put(&mut self, label: &L, triangles: usize, file: T) -> Arc<T> {
        let file = Arc::new(file);
        self.0.retain(|(known, _, _)| known != label);
        self.0.push((label.clone(), triangles, file.clone()));
        let sum = |list: &[(L, usize, Arc<T>)]| list.iter().map(|e| e.1).sum::<usize>();
        while self.0.len() > 1 && sum(&self.0) > MOST_TRIANGLES {
            self.0.remove(0);
        }
        file
    }
}

impl Shelf {
    pub(crate) fn opened(&self, label: &Label) -> Option<Arc<OpenedFile>> {
        self.boards().opened.find(label)
    }

    pub(crate) fn keep_opened(&self, label: &Label, file: OpenedFile) -> Arc<OpenedFile> {
        let parts = file.judged.parts.iter();
        let triangles = parts.map(|p| p.mesh.triangles.len()).sum();
        self.boards().opened.put(label, triangles, file)
    }

    pub(crate) fn laid(&self, label: &Label) -> Option<Arc<LaidFile>> {
        self.boards().laid.find(label)
    }

    pub(crate) fn keep_laid(&self, label: &Label, file: LaidFile) -> Arc<LaidFile> {
        let triangles = file.parts.iter().map(|p| p.mesh.triangles.len()).sum();
        self.boards().laid.put(label, triangles, file)
    }

    /// Part `k` of a file, standing as it is shown.
    pub(crate) fn shown(&self, label: &Label, k: usize) -> Option<Arc<ShownPart>> {
        self.boards().shown.find(&(label.clone(), k))
    }

    pub(crate) fn keep_shown(&self, label: &Label, k: usize, part: ShownPart) -> Arc<ShownPart> {
        let triangles = part.mesh.triangles.len();
        self.boards()
            .shown
            .put(&(label.clone(), k), triangles, part)
    }

    /// A panic while the shelf was held leaves at worst a file missing on it.
    fn boards(&self) -> std::sync::MutexGuard<'_, Boards> {
        self.0
            .lock()
            .unwrap_or_else(std::sync::PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use partpledge_units::ids::IdSource;
    use partpledge_units::time::EventMs;

    use super::*;

    #[test]
    fn what_was_not_used_longest_makes_room_and_a_giant_stands_alone() {
        let mut ids = IdSource::seeded(3);
        let mut label = || Label {
            version: VersionId::fresh(&mut ids, EventMs(0)),
            process: "plain".to_owned(),
            stands: Stands::decide(Orient::Best),
        };
        let (a, b, c, giant) = (label(), label(), label(), label());
        let mut board = Board::default();
        board.put(&a, 1_400_000, 'a');
        board.put(&b, 1_400_000, 'b');
        assert_eq!(board.find(&a).as_deref(), Some(&'a'));
        board.put(&c, 1_400_000, 'c');
        assert_eq!(board.find(&b), None, "a was used after b");
        assert!(board.find(&a).is_some() && board.find(&c).is_some());
        board.put(&giant, 9_000_000, 'g');
        assert!(board.find(&giant).is_some() && board.find(&a).is_none());
    }
}
