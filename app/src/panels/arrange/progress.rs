//! How far the search is, and the two ways to end it.

use leptos::prelude::*;

use super::arranger::END;
use super::use_arranger;
use crate::widgets::{Button, use_voice};

/// The bar, what is being done, and the ways to end it.
#[component]
pub(super) fn Progress() -> impl IntoView {
    let arranger = use_arranger();
    let news = move || arranger.run.get().and_then(|run| run.news);
    let phase =
        Memo::new(move |_| news().map_or_else(|| "Beginning".to_owned(), |news| news.phase));
    use_voice().follow(move || format!("{}.", phase.get()));
    let per_cent =
        Memo::new(move |_| news().map_or(0, |news| news.done.saturating_mul(100) / news.of.max(1)));
    let has_none = Memo::new(move |_| {
        arranger.run.with(|run| run.as_ref().is_none_or(|run| run.good.is_none()))
    });
    let found = move || {
        if has_none.get() {
            "Nothing yet that the rules have nothing against."
        } else {
            "A good layout is found; it may still get better."
        }
    };
    view! {
        <div class="progress" id=END>
            <p>{phase} "\u{2026}"</p>
            <progress max="100" value=move || per_cent.get() aria-label="How much of the time is used"></progress>
            <p class="panel-note">{found}</p>
            <div class="row">
                <Button label="Stop and keep the best" press=move |()| arranger.stop() disabled=has_none/>
                <Button label="Cancel" press=move |()| arranger.cancel()/>
            </div>
        </div>
    }
}
