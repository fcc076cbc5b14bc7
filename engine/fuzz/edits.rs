//! What is done with edits from nowhere, and what must hold of every plan that they lead to.

use engine::edit::{Edit, History};
use engine::file::{load, save};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use crate::entries::{Came, whole};
use crate::random_plan::{edit, start};

/// Most edits of one round.
const MOST_EDITS: usize = 60;

/// Bytes that draw one edit, so that what breaks, doubles or splices the bytes does so with whole edits.
const AN_EDIT: usize = 4;

/// A row of edits: ids that are there and some that are not, values within their limits, on them, beyond them and no numbers at
/// all.
///
/// An edit that is refused changes nothing and says why; one that is taken comes off by undo, comes back by redo, and leaves a
/// plan that can be saved and opened.
pub(crate) fn edited(bytes: &[u8]) -> Came {
    let (first, rest) = bytes.split_at(bytes.len().min(1));
    let Some(plan) = drawn(&start(), first) else { return Came::Refused };
    let (edit, seeds) = (edit(), rest.chunks(AN_EDIT).take(MOST_EDITS));
    let edits: Vec<Edit> = seeds.filter_map(|seed| drawn(&edit, seed)).collect();
    let mut history = History::new(plan);
    let (mut taken, mut refused) = (0, 0);
    for edit in &edits {
        match history.apply(edit) {
            Ok(after) => {
                taken += 1;
                assert_step(&history, &after);
                history = after;
            }
            Err(error) => {
                refused += 1;
                assert!(!error.to_string().is_empty());
            }
        }
    }
    assert_undone(&history, taken);
    whole(history.plan());
    match (taken, refused) {
        (0, _) => Came::Refused,
        (_, 0) => Came::Whole,
        _ => Came::Partly,
    }
}

/// What a few bytes draw.
fn drawn<T: std::fmt::Debug>(from: &impl Strategy<Value = T>, bytes: &[u8]) -> Option<T> {
    let mut seed = [0; 32];
    seed[..bytes.len()].copy_from_slice(bytes);
    let config = Config { failure_persistence: None, ..Config::default() };
    let chance = TestRng::from_seed(RngAlgorithm::ChaCha, &seed);
    from.new_tree(&mut TestRunner::new_with_rng(config, chance)).ok().map(|tree| tree.current())
}

/// One step forward can be taken back and forth, unless it changed nothing.
fn assert_step(before: &History, after: &History) {
    if before.plan() == after.plan() {
        return;
    }
    let undone = after.undone().expect("one step");
    assert_eq!(undone.plan(), before.plan());
    assert_eq!(undone.redone().as_ref(), Some(after));
    let text = save(after.plan());
    assert_eq!(load(&text).as_ref(), Ok(&**after.plan()), "{text}");
}

/// All steps can be taken back, and there are no more of them than were taken.
fn assert_undone(history: &History, taken: usize) {
    let steps = std::iter::successors(history.undone(), History::undone).count();
    assert!(steps <= taken, "{steps} steps of {taken} edits");
}
