//! How far the search is, and the two ways to end it.

use super::arranger::END;
use super::use_arranger;
use crate::reactive::prelude::*;
use crate::widgets::{Button, progress};

/// The bar, what is being done, and the ways to end it.
pub(super) fn search_progress() -> AnyView {
    let arranger = use_arranger();
    let news = move || arranger.run.get().and_then(|run| run.news);
    let has_none =
        memo(move |_| arranger.run.with(|run| run.as_ref().is_none_or(|run| run.good.is_none())));
    let found = move || {
        let words = if has_none.get() {
            "Nothing yet that the rules have nothing against."
        } else {
            "A good layout is found; it may still get better."
        };
        words.to_owned()
    };
    let ways_to_end = view! {
        <Button label="Stop and keep the best" press=move |()| arranger.stop() disabled=has_none/>
        <Button label="Cancel" press=move |()| arranger.cancel()/>
    };
    progress(
        END,
        move || news().map(|news| news.phase),
        move || news().map(|news| (news.done, news.of)),
        found,
        ways_to_end.into_any(),
    )
}
