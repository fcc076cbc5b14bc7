//! What the log says of this machine, with the counts behind it.

use engine::record::{Learned, learned_clearance, parted};

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
    let heat = Signal::derive(move || words::heater(bench.calibration(bench.sides())));
    view! {
        <section class="sub" aria-labelledby="bench-learned">
            <h3 id="bench-learned">"What your pulls say"</h3>
            <h4 class="bench-head">"The heater"</h4>
            <p>{heat}</p>
            <h4 class="bench-head">"Room between molds"</h4>
            <p>{move || learned.with(words::clearance)}</p>
            <p>{move || learned.with(|learned| words::advice(learned.advice.as_ref()))}</p>
            {move || bench.book.with(|book| !book.is_empty()).then(|| by_factor(bench))}
            {move || learned.get().advice.map(|advice| offer(learned, advice.factor))}
            <p class="panel-note">
                "Counted are pulls of two molds or more that you judged, neither cold nor scorched, with their spacing over the \
                 height that your clearance rule takes."
            </p>
        </section>
    }
    .into_any()
}

/// How often pulls webbed below and above each factor that the trade names.
fn by_factor(bench: Bench) -> AnyView {
    let store = use_store();
    let basis = store.with(|session| session.plan().settings.clearance.basis);
    let rows = bench.book.with(|book| parted(book, basis)).into_iter().map(|row| {
        let [under, above] = [row.under, row.at_or_above].map(words::counted);
        view! { <tr><td>{format!("{} x", words::factor(row.at))}</td><td>{under}</td><td>{above}</td></tr> }
            .into_any()
    });
    view! {
        <table class="batch-table" id="bench-factors">
            <thead><tr><th>"Spacing"</th><th>"Webbed under it"</th><th>"At it or wider"</th></tr></thead>
            <tbody>{rows.collect::<Vec<_>>()}</tbody>
        </table>
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
