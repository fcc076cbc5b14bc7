//! What the log says of this machine, with the counts behind it.

use engine::heat::Sides;
use engine::record::{Learned, learned_clearance};

use super::keeper::Bench;
use super::words;
use crate::panels::change::{change_settings, say_done, say_refused};
use crate::reactive::prelude::*;
use crate::state::use_store;
use crate::widgets::Button;

/// The heater and the spacing.
pub(super) fn learned(bench: Bench) -> AnyView {
    let store = use_store();
    let rule = memo(move |_| store.with(|session| session.plan().settings.clearance));
    let learned = memo(move |_| bench.book.with(|book| learned_clearance(book, &rule.get())));
    let heat = Signal::derive(move || {
        let sides = if bench.is_both.get() { Sides::Both } else { Sides::One };
        words::heater(bench.calibration(sides))
    });
    view! {
        <section class="sub" aria-labelledby="bench-learned">
            <h3 id="bench-learned">"What your pulls say"</h3>
            <h4 class="bench-head">"The heater"</h4>
            <p>{heat}</p>
            <h4 class="bench-head">"Room between molds"</h4>
            <p>{move || learned.with(words::clearance)}</p>
            <p>{move || learned.with(|learned| words::advice(learned.advice.as_ref()))}</p>
            {move || learned.get().advice.map(|advice| offer(learned, advice.factor))}
            <p class="panel-note">
                "Counted are pulls of two molds or more that you judged, neither cold nor scorched, with their spacing over the \
                 height that your clearance rule takes."
            </p>
        </section>
    }
    .into_any()
}

/// The button that takes the factor into this plan.
fn offer(learned: Memo<Learned>, factor: f64) -> AnyView {
    let store = use_store();
    let shown = words::factor(factor);
    let label = format!("Use {shown} x here");
    let take = move |()| {
        let Some(advice) = learned.get_untracked().advice else { return };
        match change_settings(store, |settings| settings.clearance.factor = advice.factor) {
            Ok(()) => {
                say_done(
                    store,
                    format!("Molds now keep {shown} x in this plan. Undo takes it back."),
                );
            }
            Err(words) => say_refused(store, words),
        }
    };
    view! { <div class="row"><Button label press=take id="bench-use"/></div> }.into_any()
}
