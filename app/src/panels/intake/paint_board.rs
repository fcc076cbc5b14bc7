//! The paper seen straight from above with what was traced on it, and a brush that paints shadows out.

use engine::units::read_decimal;
use leptos::ev::{KeyboardEvent, PointerEvent};
use leptos::html;
use works::Stroke;

use super::corner_board::direction;
use super::photo::PhotoIntake;
use super::picks::region_of;
use crate::panels::molds::path;
use crate::platform::{hold_pointer, place_in_drawing, put_pixels};
use crate::reactive::prelude::*;
use crate::widgets::{Button, Choice, Show, Toggle};

/// The widths of the brush that are offered, as half of them in millimetres.
const BRUSHES: [(f64, &str); 4] =
    [(2.0, "Fine, 4 mm"), (4.0, "Small, 8 mm"), (8.0, "Middling, 16 mm"), (16.0, "Wide, 32 mm")];

/// An arrow key moves the brush by so many millimetres, Shift ten times as far.
const STEP: f64 = 2.0;

/// The brush and what it is doing; cheap to copy.
#[derive(Clone, Copy, Debug)]
struct Brush {
    is_on: RwSignal<bool>,
    radius: RwSignal<f64>,
    /// Where it is, in millimetres from the lower left corner of the paper.
    at: RwSignal<Option<[f64; 2]>>,
    /// Where it has passed since it was set down.
    way: RwSignal<Vec<[f64; 2]>>,
}

impl Brush {
    fn new() -> Self {
        Self {
            is_on: RwSignal::new(false),
            radius: RwSignal::new(4.0),
            at: RwSignal::new(None),
            way: RwSignal::new(Vec::new()),
        }
    }

    /// Goes on to a place; steps much smaller than the brush are left out.
    fn pass(self, place: [f64; 2]) {
        self.at.set(Some(place));
        let least = self.radius.get_untracked() / 2.0;
        self.way.update(|way| {
            if way.last().is_none_or(|last| distance(*last, place) >= least) {
                way.push(place);
            }
        });
    }

    /// The finished stroke.
    fn lift(self) -> Option<Stroke> {
        let places = self.way.try_update(std::mem::take)?;
        (!places.is_empty()).then(|| Stroke { places, radius: self.radius.get_untracked() })
    }
}

fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    ((a[0] - b[0]) * (a[0] - b[0]) + (a[1] - b[1]) * (a[1] - b[1])).sqrt()
}

/// The paper, the outlines on it, and what changes them.
#[component]
pub(super) fn PaintBoard(intake: PhotoIntake) -> impl IntoView {
    let brush = Brush::new();
    let canvas = NodeRef::<html::Canvas>::new();
    Effect::new(move || {
        if let Some(canvas) = canvas.get() {
            intake.straight.with(|straight| {
                if let Some((size, pixels)) = straight {
                    put_pixels(&canvas, *size, pixels);
                }
            });
        }
    });
    view! {
        <div class="photo-frame">
            <canvas node_ref=canvas class="photo-canvas" aria-hidden="true"></canvas>
            <Overlay intake brush/>
        </div>
        <ThresholdFields intake/>
        <BrushFields intake brush/>
    }
}

#[component]
fn Overlay(intake: PhotoIntake, brush: Brush) -> impl IntoView {
    let paper = memo(move |_| {
        intake.traced.with(|traced| traced.as_ref().map_or([1.0, 1.0], |traced| traced.paper))
    });
    let on_paper = move |event: &PointerEvent| {
        let place = place_in_drawing(event)?;
        Some([place.x, paper.get_untracked()[1] - place.y])
    };
    let press = move |event: PointerEvent| {
        if let (true, Some(place)) = (brush.is_on.get_untracked(), on_paper(&event)) {
            hold_pointer(&event);
            event.prevent_default();
            brush.pass(place);
        }
    };
    let follow = move |event: PointerEvent| {
        let Some(place) = on_paper(&event).filter(|_| brush.is_on.get_untracked()) else { return };
        if brush.way.with_untracked(Vec::is_empty) {
            brush.at.set(Some(place));
        } else {
            brush.pass(place);
        }
    };
    let lift = move |_| {
        if let Some(stroke) = brush.lift() {
            intake.paint(stroke);
        }
    };
    let key =
        move |event: KeyboardEvent| paint_by_key(intake, brush, paper.get_untracked(), &event);
    let turned = Signal::derive(move || format!("matrix(1 0 0 -1 0 {})", paper.get()[1]));
    let box_of_paper = Signal::derive(move || {
        let [width, depth] = paper.get();
        format!("0 0 {width} {depth}")
    });
    view! {
        <svg
            class="photo-over"
            class:photo-brush=move || brush.is_on.get()
            viewBox=box_of_paper
            role="application"
            aria-label="The sheet with what was traced. With the brush on, arrow keys move it and Space paints."
            tabindex=move || if brush.is_on.get() { "0" } else { "-1" }
            id="photo-paint"
            on:pointerdown=press
            on:pointermove=follow
            on:pointerup=lift
            on:pointercancel=move |_| brush.way.set(Vec::new())
            on:keydown=key
        >
            <g transform=turned>{move || strokes(intake, brush)}</g>
            <Traced intake depth=Signal::derive(move || paper.get()[1])/>
            <g transform=turned>{move || brush_mark(brush)}</g>
        </svg>
    }
}

/// The outlines as they were traced, those that are left out dashed.
#[component]
fn Traced(intake: PhotoIntake, #[prop(into)] depth: Signal<f64>) -> impl IntoView {
    let lines = live(move || {
        let one = |pick: super::picks::Pick| {
            let region = region_of(&pick.shape.picture);
            let d = path(region.rings());
            let class = if pick.is_chosen { "traced" } else { "traced traced-out" };
            view! {
                <path class="traced-under" d=d.clone()/>
                <path class=class d=d/>
            }
        };
        intake.coming.picks.0.get().into_iter().map(one).collect_view()
    });
    view! { <g transform=move || format!("translate(0 {})", depth.get())>{lines}</g> }
}

/// What is painted out, and the stroke that is being drawn.
fn strokes(intake: PhotoIntake, brush: Brush) -> impl IntoView {
    let under_way = Stroke { places: brush.way.get(), radius: brush.radius.get() };
    let line = |stroke: Stroke| {
        let places = stroke.places.iter().chain(stroke.places.last());
        let points: Vec<String> = places.map(|[x, y]| format!("{x:.2},{y:.2}")).collect();
        view! { <polyline class="painted" points=points.join(" ") stroke-width=2.0 * stroke.radius/> }
    };
    intake.strokes.get().into_iter().chain([under_way]).map(line).collect_view()
}

fn brush_mark(brush: Brush) -> Option<impl IntoView> {
    let [x, y] = brush.at.get().filter(|_| brush.is_on.get())?;
    Some(view! { <circle class="brush-mark" cx=x cy=y r=move || brush.radius.get()/> })
}

/// Arrow keys move the brush, Space or Enter sets it down once.
fn paint_by_key(intake: PhotoIntake, brush: Brush, paper: [f64; 2], event: &KeyboardEvent) {
    if !brush.is_on.get_untracked() {
        return;
    }
    let [x, y] = brush.at.get_untracked().unwrap_or([paper[0] / 2.0, paper[1] / 2.0]);
    match event.key().as_str() {
        " " | "Enter" => {
            event.prevent_default();
            brush.pass([x, y]);
            if let Some(stroke) = brush.lift() {
                intake.paint(stroke);
            }
        }
        key => {
            let Some([dx, dy]) = direction(key) else { return };
            event.prevent_default();
            let step = if event.shift_key() { 10.0 * STEP } else { STEP };
            let place =
                [(x + dx * step).clamp(0.0, paper[0]), (y - dy * step).clamp(0.0, paper[1])];
            brush.at.set(Some(place));
        }
    }
}

/// How dark an edge is: found by itself, or set.
#[component]
fn ThresholdFields(intake: PhotoIntake) -> impl IntoView {
    let per_cent = memo(move |_| {
        let used = intake.traced.with(|traced| traced.as_ref().map_or(0.4, |t| t.threshold));
        (100.0 * intake.threshold.get().unwrap_or(used)).round()
    });
    let set = move |text: String| {
        if let Some(per_cent) = read_decimal(&text) {
            intake.threshold.set(Some((per_cent / 100.0).clamp(0.02, 0.98)));
            intake.trace();
        }
    };
    let is_automatic = Signal::derive(move || intake.threshold.with(Option::is_none));
    view! {
        <div class="slider-row">
            <label for="photo-threshold">"What counts as mold"</label>
            <span class="slider-end">"all that is darker"</span>
            <input
                id="photo-threshold"
                type="range"
                min="3"
                max="97"
                step="1"
                prop:value=move || per_cent.get().to_string()
                aria-valuetext=move || format!("{} per cent darker than the sheet", per_cent.get())
                on:change=move |event| set(event_target_value(&event))
            />
            <span class="slider-end">"only the darkest"</span>
            <Button
                label="Automatic"
                press=move |()| {
                    intake.threshold.set(None);
                    intake.trace();
                }
                disabled=is_automatic
            />
        </div>
    }
}

#[component]
fn BrushFields(intake: PhotoIntake, brush: Brush) -> impl IntoView {
    let widths =
        BRUSHES.iter().map(|(radius, words)| (*radius, (*words).to_owned())).collect::<Vec<_>>();
    let none = Signal::derive(move || intake.strokes.with(Vec::is_empty));
    let set_width = move |radius| {
        brush.radius.set(radius);
        Ok(())
    };
    view! {
        <div class="row brush-row">
            <Toggle
                label="Paint out shadows and marks"
                on=brush.is_on
                turn=move |on| brush.is_on.set(on)
                id="photo-brush".to_owned()
            />
            <Show when=move || brush.is_on.get()>
                <Choice label="Brush" options=widths.clone() value=brush.radius commit=set_width/>
            </Show>
            <Button label="Undo a stroke" press=move |()| intake.undo_stroke() disabled=none/>
        </div>
    }
}
