//! A section through the formed sheet along a line over the board, drawn to scale.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use engine::drape::{Section, colour};
use engine::geometry::{Point, Rect};
use engine::units::Length;

use super::use_forecaster;
use crate::reactive::prelude::*;
use crate::widgets::{Button, Show, Toggle, use_lengths};

/// Shades that the sheet is drawn in.
const SHADES: f64 = 24.0;
/// Room round what is drawn, in millimetres.
const ROOM: f64 = 4.0;

/// The switch for the line on the board, and what is cut along it.
#[component]
pub(super) fn SectionView() -> impl IntoView {
    let forecaster = use_forecaster();
    let opening = move || forecaster.store.peek(|session| session.plan().machine.opening());
    // Through the thinnest wall there is more to see than through the middle.
    let through = move || {
        let told = untrack(|| forecaster.told());
        let spot = told.and_then(|told| told.forecast.thinnest_kept());
        spot.map_or_else(|| opening().center(), |(_, spot)| spot.at)
    };
    let section = forecaster.section;
    let is_on = Signal::derive(move || section.with(Option::is_some));
    let turn = move |on: bool| section.set(on.then(|| across(opening(), through())));
    view! {
        <section class="sub" aria-labelledby="forecast-section-title">
            <h3 id="forecast-section-title">"Section"</h3>
            <Toggle label="A line over the board to cut along" on=is_on turn id="forecast-section-on"/>
            <Show when=move || is_on.get()>
                <p class="panel-note">
                    "Drag its two ends on the board, or go to one with the Tab key and use the arrow keys (Shift for 10 mm)."
                </p>
                <div class="row">
                    <Button label="Left to right" press=move |()| section.set(Some(across(opening(), through())))/>
                    <Button label="Front to back" press=move |()| section.set(Some(along(opening(), through())))/>
                </div>
                <Profile/>
            </Show>
        </section>
    }
}

/// Over the opening from left to right, through a place.
fn across(opening: Rect, through: Point) -> [Point; 2] {
    [opening.min.x, opening.max.x].map(|x| Point::new(x, through.y))
}

/// Over the opening from front to back, through a place.
fn along(opening: Rect, through: Point) -> [Point; 2] {
    [opening.min.y, opening.max.y].map(|y| Point::new(through.x, y))
}

/// What is cut, drawn.
#[derive(Clone, Debug, PartialEq)]
struct Drawn {
    /// The box of the drawing.
    view_box: String,
    /// Molds and platen.
    ground: String,
    /// The sheet, one path a shade with its colour.
    sheet: Vec<(String, String)>,
    /// How long the line is.
    length: Length,
    /// How thin the sheet gets along it, as a share, and where.
    thinnest: (f64, Length),
}

#[component]
fn Profile() -> impl IntoView {
    let forecaster = use_forecaster();
    let drawn = memo(move |_| {
        let [from, to] = forecaster.section.get()?;
        let told = forecaster.told()?;
        drawn(&told.forecast.section(from, to), (to - from).length())
    });
    let style = use_lengths();
    let words = Signal::derive(move || {
        let (drawn, told) = (drawn.get()?, forecaster.told()?);
        let (ratio, at) = drawn.thinnest;
        let style = style.get();
        Some(format!(
            "{} long. Thinnest on the line: {}, {:.0} % of the gauge, {} from its first end.",
            style.show(drawn.length),
            style.show_gauge(told.forecast.thickness(ratio)),
            ratio * 100.0,
            style.show(at)
        ))
    });
    let picture = live(move || {
        drawn.get().map(|drawn| {
            let shade = |(tone, data): (String, String)| {
                view! { <path class="profile-sheet" stroke=tone d=data/> }
            };
            let under: String = drawn.sheet.iter().map(|(_, data)| data.as_str()).collect();
            view! {
                <svg class="profile" viewBox=drawn.view_box role="img" aria-label="The section, to scale">
                    <path class="profile-ground" d=drawn.ground/>
                    <path class="profile-under" d=under/>
                    {drawn.sheet.into_iter().map(shade).collect_view()}
                </svg>
            }
        })
    });
    view! {
        {picture}
        <p class="profile-words">{words}</p>
        <p class="panel-note">
            "Heights and lengths are to scale; the sheet is drawn wider than it is and its thickness is told by its colour."
        </p>
    }
}

fn drawn(section: &Section, length: f64) -> Option<Drawn> {
    let mut shades: BTreeMap<u32, String> = BTreeMap::new();
    let (mut highest, mut thinnest) = (0.0_f64, (f64::INFINITY, Length::ZERO));
    for [a, b] in &section.sheet {
        for end in [a, b] {
            highest = highest.max(end.height.to_mm());
            if end.ratio < thinnest.0 {
                thinnest = (end.ratio, end.along);
            }
        }
        let data = shades.entry(shade_of((a.ratio + b.ratio) / 2.0)).or_default();
        let [x, y] = [a.along.to_mm(), -a.height.to_mm()];
        let [to_x, to_y] = [b.along.to_mm(), -b.height.to_mm()];
        // Writing into a string cannot fail.
        let _ = write!(data, "M{x:.2} {y:.2}L{to_x:.2} {to_y:.2}");
    }
    if section.sheet.is_empty() {
        return None;
    }
    let mut ground = String::from("M0 0");
    for (along, height) in &section.ground {
        highest = highest.max(height.to_mm());
        let _ = write!(ground, "L{:.2} {:.2}", along.to_mm(), -height.to_mm());
    }
    let _ = write!(ground, "L{length:.2} 0V{ROOM}H0Z");
    let sheet = shades.into_iter().map(|(shade, data)| {
        let [red, green, blue] = colour((f64::from(shade) + 0.5) / SHADES);
        (format!("rgb({red} {green} {blue})"), data)
    });
    let (width, height) = (length + 2.0 * ROOM, highest + 2.0 * ROOM);
    Some(Drawn {
        view_box: format!("{:.2} {:.2} {width:.2} {height:.2}", -ROOM, -highest - ROOM),
        ground,
        sheet: sheet.collect(),
        length: Length::mm(length),
        thinnest,
    })
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn shade_of(ratio: f64) -> u32 {
    (ratio.clamp(0.0, 1.0) * SHADES).min(SHADES - 1.0) as u32
}

#[cfg(test)]
mod tests {
    use engine::drape::{Settings, forecast};
    use engine::plan::{PullId, sample};

    use super::*;

    #[test]
    fn a_section_is_as_long_as_its_line_and_as_thin_as_the_engine_says() {
        let plan = sample();
        let settings = Settings { mesh: Length::mm(8.0), ..Settings::default() };
        let told = forecast(&plan, PullId(1), &settings, &mut ()).expect("a forecast");
        let [from, to] = across(plan.machine.opening(), plan.machine.opening().center());
        let section = told.section(from, to);
        let drawn = drawn(&section, from.distance(to)).expect("a cut");
        assert_eq!(drawn.length, plan.machine.opening().width());
        let ratios = section.sheet.iter().flatten().map(|point| point.ratio);
        let thinnest = ratios.fold(f64::INFINITY, f64::min);
        assert!((drawn.thinnest.0 - thinnest).abs() < 1e-12);
        let pieces: usize = drawn.sheet.iter().map(|(_, data)| data.matches('M').count()).sum();
        assert_eq!(pieces, section.sheet.len());
        assert!(drawn.ground.starts_with("M0 0L0.00 "), "{}", drawn.ground);
    }

    #[test]
    fn a_line_beside_the_sheet_has_no_section() {
        assert_eq!(drawn(&Section::default(), 10.0), None);
    }
}
