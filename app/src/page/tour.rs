//! A tour of five steps on the sample: each points at a part of the page, says what it is for, and covers none of it where
//! the window has room for both.

use leptos::ev::KeyboardEvent;

use crate::panels::{Desk, Keeper, Lent, PanelKey, use_desk, use_keeper};
use crate::platform::{focus, focus_next, forget_offer, show_part};
use crate::reactive::prelude::*;
use crate::state::{Action, Notice, Origin, Store, Tone, use_store};
use crate::widgets::{Button, Show};

/// One step.
struct Step {
    /// Which part of the page the styles outline for it.
    part: &'static str,
    /// The id of that part, to be brought into sight.
    id: &'static str,
    /// The panel that is opened for it.
    panel: Option<PanelKey>,
    title: &'static str,
    words: &'static str,
}

const STEPS: [Step; 5] = [
    Step {
        part: "findings",
        id: "findings",
        panel: None,
        title: "See what is wrong",
        words: "This list says what the rules of the trade find in the pull, worst first. Here two molds stand too close. \
                Press the finding and both light up on the board; Explain draws why it matters.",
    },
    Step {
        part: "board",
        id: "board",
        panel: None,
        title: "Put it right",
        words: "Drag one of the two apart until the mark between them goes. It snaps where the clearance is kept. With the \
                keyboard: Tab to the board, Page Down to a mold, then the arrow keys. Undo takes any step back.",
    },
    Step {
        part: "panels",
        id: "panels",
        panel: Some(PanelKey::Forecast),
        title: "See how the sheet will drape",
        words: "Once your hands are still, the page works out how thick the sheet stays and where it webs. Thickness, under \
                the board, lays a map over the blank. It ranks layouts; the first pull is still a test.",
    },
    Step {
        part: "panels",
        id: "panels",
        panel: Some(PanelKey::Print),
        title: "Print it at full size",
        words: "Download the PDF and print it at 100 %. Measure the bar on the page, tape the sheets together, mark where \
                the molds stand, and take the paper off before you pull.",
    },
    Step {
        part: "panels",
        id: "panels",
        panel: Some(PanelKey::Share),
        title: "Share it",
        words: "Make a link that holds the whole pull and send it to whoever pulls with you. Nothing is sent anywhere else, \
                and nobody's own plans are touched. To begin with your own machine and molds, go to Plans, New plan.",
    },
];

/// The part of the page that the tour points at.
pub(super) fn toured_part() -> impl Fn() -> Option<&'static str> {
    let tour = use_desk().tour;
    move || tour.get().and_then(|n| STEPS.get(n)).map(|step| step.part)
}

/// The card of the tour while it is taken.
#[component]
pub(super) fn Tour() -> impl IntoView {
    let (store, keeper, desk) = (use_store(), use_keeper(), use_desk());
    let lent = StoredValue::new(None::<Lent>);
    let is_on = memo(move |_| desk.tour.with(Option::is_some));
    // The panel that was open before comes back with the plan.
    let panel = StoredValue::new(None::<PanelKey>);
    Effect::watch(
        move || desk.tour.get(),
        move |now, before, _| match (before.copied().flatten(), *now) {
            (None, Some(n)) => {
                forget_offer();
                panel.set_value(Some(desk.panel.get_untracked()));
                lent.set_value(borrowed(store, keeper));
                show(desk, n);
            }
            (Some(_), Some(n)) => show(desk, n),
            (Some(_), None) => {
                panel.with_value(|panel| panel.inspect(|panel| desk.panel.set(*panel)));
                let lent = lent.try_update_value(Option::take).flatten();
                ended(store, keeper, lent);
            }
            (None, None) => {}
        },
        false,
    );
    view! { <Show when=move || is_on.get()>{card()}</Show> }
}

/// Puts the sample on the board unless it is there untouched, and gives back what was.
fn borrowed(store: Store, keeper: Keeper) -> Option<Lent> {
    let is_sample = store.peek(|session| session.origin == Origin::Sample);
    (!is_sample).then(|| keeper.lend_sample())
}

fn ended(store: Store, keeper: Keeper, lent: Option<Lent>) {
    focus("board");
    if lent.is_some_and(|lent| keeper.bring_back(lent)) {
        let words = "Your own plan is back on the board as you left it.".to_owned();
        store.dispatch(Action::Say(Some(Notice { tone: Tone::Done, words })));
    }
}

fn show(desk: Desk, n: usize) {
    let Some(step) = STEPS.get(n) else { return };
    if let Some(panel) = step.panel {
        desk.panel.set(panel);
    }
    show_part(step.id.to_owned(), true);
    focus_next(vec!["tour-title".to_owned()]);
}

fn card() -> AnyView {
    let tour = use_desk().tour;
    let now = move || tour.get().unwrap_or_default().min(STEPS.len() - 1);
    let is_last = Signal::derive(move || now() + 1 == STEPS.len());
    let on = move || tour.set(Some(now()).filter(|n| n + 1 < STEPS.len()).map(|n| n + 1));
    let back = move || tour.set(Some(now().saturating_sub(1)));
    let key = move |event: KeyboardEvent| {
        match event.key().as_str() {
            "Escape" => tour.set(None),
            "ArrowRight" if !is_last.get_untracked() => on(),
            "ArrowLeft" => back(),
            _ => return,
        }
        event.prevent_default();
        event.stop_propagation();
    };
    view! {
        <section
            class="tour"
            data-part=move || STEPS[now()].part
            role="dialog"
            aria-labelledby="tour-title"
            aria-describedby="tour-words"
            on:keydown=key
        >
            <p class="panel-note">{move || format!("Step {} of {}", now() + 1, STEPS.len())}</p>
            <h2 id="tour-title" tabindex="-1">{move || STEPS[now()].title}</h2>
            <p id="tour-words">{move || STEPS[now()].words}</p>
            <div class="row">
                <Button
                    label="Back"
                    press=move |()| back()
                    disabled=Signal::derive(move || now() == 0)
                />
                <Button
                    label=Signal::derive(move || if is_last.get() { "Done" } else { "Next" }.to_owned())
                    kind="main"
                    press=move |()| on()
                />
                <Button label="Leave the tour" kind="quiet" press=move |()| tour.set(None)/>
            </div>
        </section>
    }
    .into_any()
}
