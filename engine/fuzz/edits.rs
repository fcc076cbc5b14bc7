//! What is done with edits from nowhere, and what must hold of every plan that they lead to.

use engine::edit::History;
use engine::file::{load, save};
use proptest::collection::vec;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use crate::entries::{Came, whole};
use crate::random_plan::{edit, start};

/// Most edits of one round.
const MOST_EDITS: usize = 40;

/// A row of edits, each drawn by the bytes: ids that are there and some that are not, values within their limits, on them,
/// beyond them and no numbers at all.
///
/// An edit that is refused changes nothing and says why; one that is taken comes off by undo, comes back by redo, and leaves a
/// plan that can be saved and opened.
pub(crate) fn edited(bytes: &[u8]) -> Came {
    let config = Config { failure_persistence: None, ..Config::default() };
    let chance = TestRng::from_seed(RngAlgorithm::PassThrough, bytes);
    let mut runner = TestRunner::new_with_rng(config, chance);
    let Ok(drawn) = (start(), vec(edit(), 0..MOST_EDITS)).new_tree(&mut runner) else {
        return Came::Refused;
    };
    let (plan, edits) = drawn.current();
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
