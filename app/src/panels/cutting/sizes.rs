//! Which size of blank wastes least: the map of a sheet's yield, and its peaks to take as the blank.

use engine::file::save;
use engine::plan::Size;
use engine::units::{Length, Unit};
use leptos::prelude::*;
use works::{Answer, Ask, Mapping, Piece, YieldTold};

use crate::panels::change::{change_machine, say_done, say_refused};
use crate::panels::told::{Told, trouble};
use crate::platform::focus;
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

/// The question, its range, and the map once it was asked for.
pub(super) fn sizes(store: Store) -> AnyView {
    let unit = store.peek(|session| session.plan().settings.lengths.unit());
    let range = RwSignal::new(Range::usual(unit));
    let told = Told::new();
    let is_asked = RwSignal::new(false);
    let key = Memo::new(move |_| {
        let of_plan = store.with(|session| {
            let plan = session.plan();
            (plan.machine.blank, plan.stock, plan.cutting.clone(), plan.settings.lengths)
        });
        (of_plan, range.get(), is_asked.get())
    });
    Effect::new(move |_| {
        key.track();
        if is_asked.get() {
            told.ask(ask(store, range.get_untracked()), |answer| match answer {
                Answer::Mapped(told) => Some(*told),
                _ => None,
            });
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
                <Button
                    label=Signal::derive(move || {
                        let is_waiting = told.is_open.get();
                        if is_waiting { "Looking\u{2026}" } else { "Look" }.to_owned()
                    })
                    press=move |()| is_asked.set(true)
                    id=LOOK
                />
            </div>
            {trouble(told.trouble)}
            {move || told.shown.with(|shown| shown.as_ref().map(|told| map(store, told)))}
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

fn map(store: Store, told: &YieldTold) -> AnyView {
    let rows = told.peaks.iter().cloned().map(|peak| row(store, peak));
    view! {
        // Made by the worker out of figures alone.
        <div class="yield-picture" inner_html=told.picture.clone()></div>
        <p class="derived">{told.here.clone()}</p>
        <ol class="peaks">{rows.collect_view()}</ol>
    }
    .into_any()
}

/// A peak, and the button that takes it as the blank.
fn row(store: Store, peak: Piece) -> AnyView {
    let size = Size::new(Length::mm(peak.width), Length::mm(peak.depth));
    let name = peak.words.split(':').next().unwrap_or_default().to_owned();
    let label = format!("Take {name} as the blank");
    let take = move |()| match change_machine(store, |machine| machine.blank = size) {
        Ok(()) => {
            say_done(store, format!("The blank is {name} now. Undo brings the old one back."))
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
