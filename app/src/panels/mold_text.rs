//! One mold as a text by itself: a plan in the saved form that holds nothing else, so that every field is kept.

use std::sync::Arc;

use engine::file::load;
pub(super) use engine::file::save_mold as text_of;
use engine::plan::Mold;

/// The mold of such a text; `None` when it is none.
pub(super) fn mold_of(text: &str) -> Option<Mold> {
    let plan = load(text).ok()?;
    plan.molds.into_values().next().map(Arc::unwrap_or_clone)
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
