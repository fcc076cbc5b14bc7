//! The photograph with the four corners of its paper, to be dragged or moved by keys under a magnifier.

use leptos::ev::{KeyboardEvent, PointerEvent};
use leptos::html;

use super::photo::PhotoIntake;
use crate::platform::{hold_pointer, place_in_drawing};
use crate::reactive::prelude::*;

/// How near a corner a finger or a pointer takes hold of it, in screen pixels.
const REACH_PX: f64 = 44.0;
/// How much of the photograph the magnifier shows, as a share of the longer side.
const MAGNIFIED: f64 = 1.0 / 24.0;
/// An arrow key moves a corner by this share of the longer side.
const STEP: f64 = 1.0 / 1000.0;
/// A corner in hand: which, and how far from its middle it was taken.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Grip {
    at: usize,
    offset: [f64; 2],
}

/// The photograph and its corners.
#[component]
pub(super) fn CornerBoard(intake: PhotoIntake) -> impl IntoView {
    let grip = RwSignal::new(None::<Grip>);
    let focused = RwSignal::new(None::<usize>);
    let canvas = NodeRef::<html::Canvas>::new();
    Effect::new(move || {
        if let Some(canvas) = canvas.get() {
            intake.photo.with(|photo| photo.as_ref().map(|photo| photo.show(&canvas)));
        }
    });
    let press = move |event: PointerEvent| {
        let Some(place) = place_in_drawing(&event) else { return };
        let reach = REACH_PX * place.per_pixel;
        let found = nearest(&intake.corners.get_untracked(), [place.x, place.y], reach);
        if found.is_some() {
            hold_pointer(&event);
            event.prevent_default();
            grip.set(found);
        }
    };
    let follow = move |event: PointerEvent| {
        if let (Some(grip), Some(place)) = (grip.get_untracked(), place_in_drawing(&event)) {
            let [dx, dy] = grip.offset;
            intake.move_corner(grip.at, [place.x + dx, place.y + dy]);
        }
    };
    let size = move || {
        intake
            .photo
            .with(|photo| photo.as_ref().map_or((1, 1), |photo| (photo.width, photo.height)))
    };
    let view_box = Signal::derive(move || {
        let (width, height) = size();
        format!("0 0 {width} {height}")
    });
    let outline = Signal::derive(move || {
        let [first, rest @ ..] = intake.corners.get().map(|[x, y]| format!("{x:.1} {y:.1}"));
        format!("M{first}L{}Z", rest.join("L"))
    });
    let shown = memo(move |_| grip.get().map(|grip| grip.at).or_else(|| focused.get()));
    let marks = (0..4).map(|at| view! { <Mark intake at focused/> }).collect_view();
    view! {
        <div class="photo-frame">
            <canvas node_ref=canvas class="photo-canvas" aria-hidden="true"></canvas>
            <svg
                class="photo-over"
                viewBox=view_box
                role="group"
                aria-label="The photograph and the corners of its sheet"
                on:pointerdown=press
                on:pointermove=follow
                on:pointerup=move |_| grip.set(None)
                on:pointercancel=move |_| grip.set(None)
            >
                <path class="paper-line-under" d=outline/>
                <path class="paper-line" d=outline/>
                {marks}
            </svg>
            <Magnifier intake shown/>
        </div>
    }
}

/// One corner, which takes the keyboard.
#[component]
fn Mark(intake: PhotoIntake, at: usize, focused: RwSignal<Option<usize>>) -> impl IntoView {
    let place = memo(move |_| intake.corners.get()[at]);
    let longest = memo(move |_| {
        intake.photo.with(|photo| photo.as_ref().map_or(1, |p| p.width.max(p.height)))
    });
    let label = Signal::derive(move || {
        let [x, y] = place.get();
        let name = name(&intake.corners.get(), [x, y]);
        format!("{name} corner, {x:.0} pixels from the left, {y:.0} from the top")
    });
    let key = move |event: KeyboardEvent| {
        let size = f64::from(longest.get_untracked());
        let far = if event.shift_key() {
            10.0
        } else if event.alt_key() {
            0.1
        } else {
            1.0
        };
        if let Some([dx, dy]) = direction(&event.key()) {
            event.prevent_default();
            let [x, y] = place.get_untracked();
            let step = size * STEP * far;
            intake.move_corner(at, [x + dx * step, y + dy * step]);
        }
    };
    let radius = move || f64::from(longest.get()) / 70.0;
    let transform = Signal::derive(move || {
        let [x, y] = place.get();
        format!("translate({x:.2} {y:.2})")
    });
    view! {
        <g
            class="corner"
            role="button"
            tabindex="0"
            aria-roledescription="corner mark"
            aria-label=label
            id=format!("photo-corner-{at}")
            transform=transform
            on:keydown=key
            on:focus=move |_| focused.set(Some(at))
            on:blur=move |_| focused.set(None)
        >
            <circle class="corner-reach" r=move || 2.5 * radius()/>
            <circle class="corner-ring-under" r=radius/>
            <circle class="corner-ring" r=radius/>
            <circle class="corner-dot" r=move || radius() / 8.0/>
        </g>
    }
}

/// What lies round the corner in hand, enlarged, on the side of the picture that the hand is not.
#[component]
fn Magnifier(intake: PhotoIntake, shown: Memo<Option<usize>>) -> impl IntoView {
    let canvas = NodeRef::<html::Canvas>::new();
    Effect::new(move || {
        let (Some(canvas), Some(at)) = (canvas.get(), shown.get()) else { return };
        let [x, y] = intake.corners.get()[at];
        intake.photo.with(|photo| {
            if let Some(photo) = photo.as_ref() {
                let across = f64::from(photo.width.max(photo.height)) * MAGNIFIED;
                photo.magnify(&canvas, (x, y), across);
            }
        });
    });
    let is_right = Signal::derive(move || {
        shown.get().is_some_and(|at| {
            let corners = intake.corners.get();
            name(&corners, corners[at]).ends_with("left")
        })
    });
    view! {
        <div
            class="magnifier"
            class:magnifier-right=is_right
            class:magnifier-off=move || shown.get().is_none()
            aria-hidden="true"
        >
            <canvas node_ref=canvas width="168" height="168"></canvas>
        </div>
    }
}

/// The nearest corner within reach.
fn nearest(corners: &[[f64; 2]; 4], [x, y]: [f64; 2], reach: f64) -> Option<Grip> {
    let far = |[cx, cy]: [f64; 2]| ((cx - x) * (cx - x) + (cy - y) * (cy - y)).sqrt();
    let by_distance =
        |(_, a): &(usize, &[f64; 2]), (_, b): &(usize, &[f64; 2])| far(**a).total_cmp(&far(**b));
    let (at, corner) = corners.iter().enumerate().min_by(by_distance)?;
    let offset = [corner[0] - x, corner[1] - y];
    (far(*corner) <= reach).then_some(Grip { at, offset })
}

/// What a corner is called by where it is seen; a card may lie any way round.
fn name(corners: &[[f64; 2]; 4], [x, y]: [f64; 2]) -> &'static str {
    let middle = |k: usize| corners.iter().map(|corner| corner[k]).sum::<f64>() / 4.0;
    match (y < middle(1), x < middle(0)) {
        (true, true) => "Top left",
        (true, false) => "Top right",
        (false, false) => "Bottom right",
        (false, true) => "Bottom left",
    }
}

/// Where an arrow key points, y downwards.
pub(super) fn direction(key: &str) -> Option<[f64; 2]> {
    match key {
        "ArrowLeft" => Some([-1.0, 0.0]),
        "ArrowRight" => Some([1.0, 0.0]),
        "ArrowUp" => Some([0.0, -1.0]),
        "ArrowDown" => Some([0.0, 1.0]),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hand_takes_the_nearest_corner_where_it_holds_it() {
        let corners = [[100.0, 100.0], [900.0, 100.0], [900.0, 700.0], [100.0, 700.0]];
        let grip = nearest(&corners, [890.0, 110.0], 44.0).expect("near enough");
        assert_eq!(grip, Grip { at: 1, offset: [10.0, -10.0] });
        assert_eq!(nearest(&corners, [500.0, 400.0], 44.0), None);
        let names = corners.map(|corner| name(&corners, corner));
        assert_eq!(names, ["Top left", "Top right", "Bottom right", "Bottom left"]);
    }
}
