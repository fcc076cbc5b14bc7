//! The formed sheet in three dimensions, to be turned by pointer, finger or key; it never moves by itself.

use std::cell::RefCell;
use std::rc::Rc;

use leptos::ev::{KeyboardEvent, PointerEvent};
use leptos::html;

use super::orbit::{Orbit, PER_PIXEL, STEP, surface};
use super::use_forecaster;
use crate::platform::{Canvas3d, hold_pointer};
use crate::reactive::prelude::*;
use crate::widgets::{Button, Show};

/// What the picture is found by.
const PICTURE: &str = "forecast-solid";

/// The formed sheet, once it is asked for.
#[component]
pub(super) fn Solid() -> impl IntoView {
    let forecaster = use_forecaster();
    let is_there = memo(move |_| forecaster.has_told());
    view! {
        <section class="sub" aria-labelledby="forecast-solid-title">
            <h3 id="forecast-solid-title">"The formed sheet"</h3>
            <Show when=move || is_there.get()>
                <Picture/>
            </Show>
        </section>
    }
}

#[component]
fn Picture() -> impl IntoView {
    let forecaster = use_forecaster();
    let orbit = RwSignal::new(Orbit::default());
    let node = NodeRef::<html::Canvas>::new();
    // Set once the canvas is in the page: whether it can be drawn on.
    let is_able = RwSignal::new(None::<bool>);
    let canvas = Rc::new(RefCell::new(None::<Canvas3d>));
    Effect::new({
        let canvas = Rc::clone(&canvas);
        move || {
            let Some(element) = node.get() else { return };
            let ready = Canvas3d::on(&element);
            is_able.set(Some(ready.is_some()));
            *canvas.borrow_mut() = ready;
        }
    });
    Effect::new({
        let canvas = Rc::clone(&canvas);
        move || {
            if is_able.get() != Some(true) {
                return;
            }
            let Some(told) = forecaster.told() else { return };
            if let Some(canvas) = canvas.borrow_mut().as_mut() {
                canvas.take(&surface(&told.forecast.sheet));
                let aspect = canvas.fit();
                canvas.draw(&orbit.get_untracked().look(&told.forecast, aspect));
            }
        }
    });
    Effect::watch(
        move || orbit.get(),
        move |orbit, _, _| {
            if let (Some(told), Some(canvas)) =
                (untrack(|| forecaster.told()), canvas.borrow().as_ref())
            {
                let aspect = canvas.fit();
                canvas.draw(&orbit.look(&told.forecast, aspect));
            }
        },
        false,
    );
    let has_none = move || is_able.get() == Some(false);
    view! {
        <p class="panel-note" hidden=has_none>
            "Drag to turn it, or use the arrow keys; + and - for size, 0 to look as at first. Light is thick, dark is thin."
        </p>
        <Turned orbit node hidden=Signal::derive(has_none)/>
        <p hidden=move || !has_none()>
            "This browser draws nothing in three dimensions (it has no WebGL 2, or it is switched off). The map on the board \
             and the section show the same sheet."
        </p>
    }
}

#[component]
fn Turned(
    orbit: RwSignal<Orbit>,
    node: NodeRef<html::Canvas>,
    hidden: Signal<bool>,
) -> impl IntoView {
    // Where a drag was last.
    let last = RwSignal::new(None::<(f64, f64)>);
    let place = |event: &PointerEvent| (f64::from(event.client_x()), f64::from(event.client_y()));
    let press = move |event: PointerEvent| {
        hold_pointer(&event);
        last.set(Some(place(&event)));
    };
    let follow = move |event: PointerEvent| {
        let Some(from) = last.get_untracked() else { return };
        let to = place(&event);
        last.set(Some(to));
        let (right, down) = ((to.0 - from.0) * PER_PIXEL, (to.1 - from.1) * PER_PIXEL);
        orbit.update(|orbit| *orbit = orbit.turned(right, -down));
    };
    let key = move |event: KeyboardEvent| {
        let turned = |orbit: Orbit| match event.key().as_str() {
            "ArrowLeft" => Some(orbit.turned(-STEP, 0.0)),
            "ArrowRight" => Some(orbit.turned(STEP, 0.0)),
            "ArrowUp" => Some(orbit.turned(0.0, STEP)),
            "ArrowDown" => Some(orbit.turned(0.0, -STEP)),
            "+" | "=" => Some(orbit.zoomed(1.25)),
            "-" => Some(orbit.zoomed(0.8)),
            "0" | "Home" => Some(Orbit::default()),
            _ => None,
        };
        if let Some(next) = turned(orbit.get_untracked()) {
            event.prevent_default();
            orbit.set(next);
        }
    };
    view! {
        <canvas
            node_ref=node
            id=PICTURE
            class="forecast-solid"
            hidden=hidden
            tabindex="0"
            role="application"
            aria-roledescription="picture to turn"
            aria-label="The formed sheet in three dimensions, in the colours of its thickness. Arrow keys turn it."
            on:pointerdown=press
            on:pointermove=follow
            on:pointerup=move |_| last.set(None)
            on:pointercancel=move |_| last.set(None)
            on:keydown=key
        ></canvas>
        <div class="row" hidden=hidden>
            <Button label="As at first" press=move |()| orbit.set(Orbit::default())/>
            <Button label="From above" press=move |()| orbit.set(Orbit::ABOVE)/>
            <Button
                label="Larger"
                press=move |()| orbit.update(|orbit| *orbit = orbit.zoomed(1.25))
            />
            <Button
                label="Smaller"
                press=move |()| orbit.update(|orbit| *orbit = orbit.zoomed(0.8))
            />
        </div>
    }
}
