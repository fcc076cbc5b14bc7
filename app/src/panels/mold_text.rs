//! One mold as a text by itself: a plan in the saved form that holds nothing else, so that every field is kept.

use std::sync::Arc;

use engine::file::{load, save};
use engine::plan::{Machine, Mold, MoldId, Plan};

/// The mold of such a text; `None` when it is none.
pub(super) fn mold_of(text: &str) -> Option<Mold> {
    let plan = load(text).ok()?;
    plan.molds.into_values().next().map(Arc::unwrap_or_clone)
}

/// The text of a mold.
pub(super) fn text_of(mold: &Mold) -> String {
    let mut plan = Plan::new("Mold", Machine::default());
    plan.molds.insert(MoldId(1), Arc::new(mold.clone()));
    save(&plan)
}

#[cfg(test)]
mod tests {
    use engine::plan::sample;

    use super::*;

    #[test]
    fn every_mold_comes_back_whole() {
        for mold in sample().molds.values() {
            assert_eq!(mold_of(&text_of(mold)).as_ref(), Some(&**mold));
        }
        assert_eq!(mold_of("{"), None);
    }
}
