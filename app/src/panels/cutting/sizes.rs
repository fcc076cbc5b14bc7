//! Which size of blank wastes least: the map of a sheet's yield, and its peaks to take as the blank.

use engine::file::save;
use engine::plan::Size;
use engine::units::{Length, Unit};
use works::{Ask, Mapping, Piece};

use super::Key;
use crate::panels::change::{change_machine, say_done, say_refused};
use crate::panels::told::Told;
use crate::platform::focus;
use crate::reactive::prelude::*;
use crate::state::Store;
use crate::widgets::{Button, LengthField};

/// The button that keeps the keyboard when the list is made anew.
const LOOK: &str = "cut-look";

/// The sizes that are looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Range {
    least: Length,
    most: Length,
    step: Length,
}

impl Range {
    /// 8 to 32 in by the half inch, or 200 to 800 mm by the centimetre.
    const fn usual(unit: Unit) -> Self {
        match unit {
            Unit::Inch => Self {
                least: Length::inches(8.0),
                most: Length::inches(32.0),
                step: Length::inches(0.5),
            },
            _ => Self { least: Length::mm(200.0), most: Length::mm(800.0), step: Length::mm(10.0) },
        }
    }
}

/// The question, its range, and the map once it was asked for; `of_plan` is what else it rests on.
pub(super) fn sizes(store: Store, of_plan: Memo<Key>) -> AnyView {
    let unit = store.peek(|session| session.plan().settings.lengths.unit());
    let range = RwSignal::new(Range::usual(unit));
    let told = Told::new();
    let is_asked = RwSignal::new(false);
    Effect::new(move |_| {
        of_plan.with(|_| ());
        let range = range.get();
        if is_asked.get() {
            told.ask(ask(store, range));
        }
    });
    let side = move |label: &'static str, pick: fn(&mut Range) -> &mut Length| {
        view! {
            <LengthField
                label
                value=Signal::derive(move || *pick(&mut range.get()))
                commit=move |length| {
                    range.update(|range| *pick(range) = length);
                    Ok(())
                }
            />
        }
        .into_any()
    };
    view! {
        <section class="sub">
            <h3>"Which blank size wastes least?"</h3>
            <p class="panel-note">"For who builds or chooses a frame: how much of a sheet each size of blank uses."</p>
            <div class="fields">
                {side("Sides from", |range| &mut range.least)}
                {side("Sides to", |range| &mut range.most)}
                {side("By", |range| &mut range.step)}
            </div>
            <div class="row">
                <Button label="Look" press=move |()| is_asked.set(true) id=LOOK/>
            </div>
            {told.view()}
            <ol class="peaks">
                {move || told.shown.get().into_iter().flat_map(|told| told.pieces).map(|peak| row(store, peak)).collect_view()}
            </ol>
        </section>
    }
    .into_any()
}

fn ask(store: Store, range: Range) -> Ask {
    Ask::Map(Mapping {
        plan: store.peek(|session| save(session.plan())),
        least: range.least.to_mm(),
        most: range.most.to_mm(),
        step: range.step.to_mm(),
    })
}

/// A peak, and the button that takes it as the blank.
fn row(store: Store, peak: Piece) -> AnyView {
    let size = Size::new(Length::mm(peak.width), Length::mm(peak.depth));
    let name = peak.words.split(':').next().unwrap_or_default().to_owned();
    let label = format!("Take {name} as the blank");
    let take = move |()| match change_machine(store, |machine| machine.blank = size) {
        Ok(()) => {
            // The list is made anew for the new blank, and this button goes with it.
            focus(LOOK);
            say_done(store, format!("The blank is {name} now. Undo brings the old one back."));
        }
        Err(words) => say_refused(store, words),
    };
    view! {
        <li>
            <span>{peak.words}</span>
            <Button label press=take/>
        </li>
    }
    .into_any()
}
