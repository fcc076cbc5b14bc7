//! The bench: a timer with large buttons, the log of pulls, and what the log says of this machine.

mod form;
mod keeper;
mod learned;
mod pulls;
mod running;
mod timer;
mod words;

use crate::reactive::prelude::*;

pub(crate) use keeper::{Bench, provide_bench, use_bench};

use crate::widgets::{Button, use_voice};
use keeper::Gone;

/// Everything about the bench.
#[component]
pub(super) fn BenchPanel() -> impl IntoView {
    let bench = use_bench();
    view! {
        <h2 id="bench-title" tabindex="-1">"At the bench"</h2>
        <p class="panel-note bench-watch">
            <strong>"Watch the sag, not the clock."</strong>
            " The times are a guess of when to look; the sheet says when it is ready."
        </p>
        {timer::timer(bench)}
        {form::form(bench)}
        {gone(bench)}
        {learned::learned(bench)}
        {pulls::pulls(bench)}
        {cautions()}
    }
}

/// Brings back what was thrown away last, as long as the page is open.
fn gone(bench: Bench) -> AnyView {
    let words = move || {
        bench.gone.with(|gone| match gone {
            None => "",
            Some(Gone::Logged(..)) => "The pull is taken out of the log.",
            Some(Gone::Running(_)) => "The pull that was going on is thrown away.",
        })
    };
    use_voice().follow(move || words().to_owned());
    view! {
        <div class="warning row" hidden=move || bench.gone.with(Option::is_none)>
            <p>{words}</p>
            <Button label="Bring it back" press=move |()| bench.put_back()/>
        </div>
    }
    .into_any()
}

/// What stays on this panel whatever else is on it.
fn cautions() -> AnyView {
    view! {
        <section class="sub" aria-labelledby="bench-cautions">
            <h3 id="bench-cautions">"Before you switch the heater on"</h3>
            <ul class="limits">
                <li>"Mains heater: wired to your local code by a licensed electrician, on a circuit of its own. Never leave it lit."</li>
                <li>"Hot plastic sticks and burns: gloves for the frame and the part, sleeves down."</li>
                <li>"Fumes: extraction or an open door, and an extinguisher at hand. Overheated PVC gives off acid gas; acrylic vapour burns."</li>
                <li>"The sheet's data sheet goes before every figure here."</li>
            </ul>
        </section>
    }
    .into_any()
}
