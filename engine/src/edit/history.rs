//! Undo and redo: the plans before and after, sharing what did not change.

use std::collections::VecDeque;
use std::sync::Arc;

use super::{Edit, EditError};
use crate::plan::Plan;

/// How many steps can be undone; a plan shares its parts, so a step costs little.
const STEPS: usize = 300;

/// The present plan, and the plans before and after it.
#[derive(Clone, Debug, PartialEq)]
pub struct History {
    past: VecDeque<Arc<Plan>>,
    present: Arc<Plan>,
    future: Vec<Arc<Plan>>,
}

impl History {
    /// A history that begins at `plan`.
    #[must_use]
    pub fn new(plan: Plan) -> Self {
        Self { past: VecDeque::new(), present: Arc::new(plan), future: Vec::new() }
    }

    /// The present plan.
    #[must_use]
    pub const fn plan(&self) -> &Arc<Plan> {
        &self.present
    }

    /// The history after `edit`, one step longer; unchanged length when the edit changes nothing.
    ///
    /// # Errors
    /// As [`Plan::apply`]; this history is left as it is.
    pub fn apply(&self, edit: &Edit) -> Result<Self, EditError> {
        let next = self.present.apply(edit)?;
        if next == *self.present {
            return Ok(self.clone());
        }
        let mut past = self.past.clone();
        past.push_back(Arc::clone(&self.present));
        if past.len() > STEPS {
            past.pop_front();
        }
        Ok(Self { past, present: Arc::new(next), future: Vec::new() })
    }

    /// As [`Self::apply`], but folded into the step before: a burst of nudges is one step to undo.
    ///
    /// # Errors
    /// As [`Plan::apply`]; this history is left as it is.
    pub fn amend(&self, edit: &Edit) -> Result<Self, EditError> {
        let next = self.present.apply(edit)?;
        Ok(Self { past: self.past.clone(), present: Arc::new(next), future: Vec::new() })
    }

    /// The history one step back; `None` at its beginning.
    #[must_use]
    pub fn undone(&self) -> Option<Self> {
        let mut past = self.past.clone();
        let present = past.pop_back()?;
        let mut future = self.future.clone();
        future.push(Arc::clone(&self.present));
        Some(Self { past, present, future })
    }

    /// The history one step forward again; `None` when nothing was undone.
    #[must_use]
    pub fn redone(&self) -> Option<Self> {
        let mut future = self.future.clone();
        let present = future.pop()?;
        let mut past = self.past.clone();
        past.push_back(Arc::clone(&self.present));
        Some(Self { past, present, future })
    }

    /// True when there is a step to undo.
    #[must_use]
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    /// True when there is a step to redo.
    #[must_use]
    pub const fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::sample;

    #[test]
    fn undo_and_redo_walk_the_same_plans() {
        let start = History::new(sample());
        let named = start.apply(&Edit::Rename("Rock pool".into())).expect("renames");
        let back = named.undone().expect("one step");
        assert_eq!(back.plan(), start.plan());
        assert!(!back.can_undo());
        assert_eq!(back.redone().expect("one step"), named);
    }

    #[test]
    fn an_edit_that_changes_nothing_is_no_step() {
        let start = History::new(sample());
        let same = start.apply(&Edit::Rename("Tide-pool kit".into())).expect("renames");
        assert!(!same.can_undo());
    }

    #[test]
    fn a_burst_of_amended_edits_is_one_step() {
        let start = History::new(sample());
        let first = start.apply(&Edit::Rename("A".into())).expect("renames");
        let burst = first.amend(&Edit::Rename("B".into())).expect("renames");
        assert_eq!(burst.plan().name, "B");
        assert_eq!(burst.undone().expect("one step").plan(), start.plan());
    }

    #[test]
    fn the_oldest_steps_fall_off() {
        let mut history = History::new(sample());
        for n in 0..STEPS + 5 {
            history = history.apply(&Edit::Rename(format!("Step {n}"))).expect("renames");
        }
        let steps = std::iter::successors(Some(history), History::undone).count();
        assert_eq!(steps, STEPS + 1);
    }
}
