//! The timer: what is heated, when to look at it, and buttons that a gloved hand hits.

use engine::heat::Heating;

use super::keeper::Bench;
use super::running::{Phase, Running};
use super::words;
use crate::reactive::prelude::*;
use crate::widgets::{Button, Toggle, use_lengths, use_voice};

/// The timer with its times and buttons.
pub(super) fn timer(bench: Bench) -> AnyView {
    let style = use_lengths();
    // Of the pull that is going on, or of the one on the board.
    let record = memo(move |_| {
        let running = bench.running.with(|running| running.as_ref().map(|r| r.record.clone()));
        running.unwrap_or_else(|| bench.on_board())
    });
    let times = memo(move |_| record.with(|record| bench.times(record)));
    let phase = memo(move |_| bench.running.with(|running| running.as_ref().map(Running::phase)));
    let what = Signal::derive(move || {
        record.with(|record| {
            format!("{}, {}: {}", record.pull, record.plan, words::sheet(record, style.get()))
        })
    });
    let found = move || bench.calibration(record.with(|record| record.sides));
    let basis = Signal::derive(move || words::basis(found(), bench.is_said()));
    view! {
        <div class="bench-face">
            <p class="bench-what">{what}</p>
            {face(bench, phase, times)}
        </div>
        {buttons(bench, phase)}
        <div hidden=move || phase.get().is_some()>
            <Toggle
                label="Heater on both sides of the sheet"
                on=Signal::derive(move || bench.heater.get().is_both)
                turn=move |on| bench.heater.update(|heater| heater.is_both = on)
                id="bench-both"
            />
        </div>
        {figures(times)}
        <p class="panel-note">{basis}</p>
        {signs(bench, phase)}
    }
    .into_any()
}

/// The times of the heat, as ranges.
fn figures(times: Memo<Heating>) -> AnyView {
    let row = |label: &'static str, pick: fn(&Heating) -> engine::heat::Span| {
        view! {
            <div>
                <dt>{label}</dt>
                <dd>{move || times.with(|times| words::span(pick(times)))}</dd>
            </div>
        }
    };
    let warning = Signal::derive(move || {
        times
            .with(|times| times.is_too_fast)
            .then_some("With a strong heater the face is spoilt before the middle is ready: turn it down or take pauses.")
    });
    view! {
        <dl class="bench-times">
            {row("Watch from", |times| times.watch_from)}
            {row("Usually ready", |times| times.usual)}
            {row("At its limit", |times| times.limit)}
        </dl>
        <p class="panel-note">{warning}</p>
    }
    .into_any()
}

/// The running figure, and what to do now.
fn face(bench: Bench, phase: Memo<Option<Phase>>, times: Memo<Heating>) -> AnyView {
    let elapsed = move || {
        let now = bench.clock.get();
        bench.running.with(|running| running.as_ref().and_then(|running| running.elapsed(now)))
    };
    let is_back = move || bench.running.with(|r| r.as_ref().is_some_and(|r| r.is_clock_back));
    let figure = memo(move |_| match phase.get() {
        Some(Phase::Heating | Phase::Cooling) => elapsed().map_or_else(
            || "?".to_owned(),
            |time| {
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "0 to 3600 s"
                )]
                let whole = time.get() as u32;
                format!("{}:{:02}", whole / 60, whole % 60)
            },
        ),
        _ => "0:00".to_owned(),
    });
    let say = memo(move |_| match phase.get() {
        None => "The timer begins when the sheet goes under the heater.".to_owned(),
        Some(Phase::Heating) => elapsed().map_or_else(String::new, |time| {
            times.with(|times| words::now(times, time.get())).to_owned()
        }),
        Some(Phase::Cooling) => bench.running.with(|running| {
            running.as_ref().map(|running| words::cooling(&running.record)).unwrap_or_default()
        }),
        Some(Phase::Done) => "Say how it came out, then log it.".to_owned(),
    });
    use_voice().follow(move || say.get());
    view! {
        <p class="bench-figure" class:is-idle=move || phase.get().is_none() hidden=move || phase.get() == Some(Phase::Done)>
            {move || figure.get()}
        </p>
        <p class="bench-say">{move || say.get()}</p>
        <p class="warning" hidden=move || !is_back()>
            "The clock of this device was set back during this pull, so the timer cannot know. Go by the sag; type the \
             seconds below if you know them."
        </p>
    }
    .into_any()
}

/// The large buttons; the one that comes next stands out.
fn buttons(bench: Bench, phase: Memo<Option<Phase>>) -> AnyView {
    let big =
        move |id: &'static str, label: &'static str, when: Option<Phase>, press: fn(Bench)| {
            let is_next = memo(move |_| phase.get() == when);
            view! {
                <button
                    type="button"
                    id=id
                    class="button bench-big"
                    class:button-main=is_next
                    class:button-plain=move || !is_next.get()
                    aria-disabled=move || (!is_next.get()).then_some("true")
                    on:click=move |_| {
                        if is_next.get_untracked() {
                            press(bench);
                        }
                    }
                >
                    {label}
                </button>
            }
        };
    view! {
        <div class="bench-row">
            {big("bench-start", "Start heating", None, |bench| bench.begin(true))}
            {big("bench-drawn", "Drawn", Some(Phase::Heating), |bench| bench.press(Running::draw))}
            {big("bench-cooled", "Cooled", Some(Phase::Cooling), |bench| bench.press(Running::cool))}
        </div>
        <div class="row" hidden=move || phase.get().is_some()>
            <Button label="Log a pull without the timer" press=move |()| bench.begin(false) id="bench-note"/>
        </div>
        <div class="row" hidden=move || phase.get().is_none()>
            <Button label="Throw this pull away" kind="quiet" press=move |()| bench.give_up() id="bench-give-up"/>
        </div>
    }
    .into_any()
}

/// Sound, and whether the screen stays on.
fn signs(bench: Bench, phase: Memo<Option<Phase>>) -> AnyView {
    let is_on = move || matches!(phase.get(), Some(Phase::Heating | Phase::Cooling));
    let screen = Signal::derive(move || match bench.is_awake.get().filter(|_| is_on()) {
        None => "",
        Some(true) => "The screen stays on while the timer runs.",
        Some(false) => {
            "This browser does not keep the screen on: set the device not to sleep. The timer goes on all the same."
        }
    });
    let silent = Signal::derive(move || {
        (is_on() && !bench.has_sound.get())
            .then_some("No tone will sound. After a reload the page may sound only once you switch it on again.")
    });
    view! {
        <Toggle
            label="A tone when it is time to watch, three at the limit"
            on=bench.has_sound
            turn=move |on| bench.turn_sound(on)
            id="bench-sound"
        />
        <p class="panel-note">{screen} " " {silent}</p>
    }
    .into_any()
}
