//! What is best seen from the side: heights, walls, and the sheet between a mold and what stands next to it.

use super::sketch::Sketch;
use super::{Diagram, Told};
use crate::drawing::Anchor::{End, Middle, Start};
use crate::plan::{Mold, Texture};
use crate::rules::{Measure, Severity};
use crate::units::Length;

/// Two molds with the sheet hanging between them.
pub(super) fn clearance(told: &Told<'_>) -> Diagram {
    let (gap, asked) = (told.measured(), told.allowed());
    let height = told.tallest().map_or_else(String::new, |height| told.show(height));
    between_molds(told.finding.severity)
        .upright(6.0, (0.0, 24.0), "")
        .say((2.0, 28.0), Start, &if height.is_empty() { height } else { format!("{height} tall") })
        .across((46.0, 68.0), -4.0, &format!("{gap} apart"))
        .say((57.0, -14.6), Middle, &format!("{asked} is asked"))
        .done(format!(
            "Two molds from the side, {gap} apart where {asked} is asked. The sheet cannot get down between them: it \
             hangs from top to top and folds into a web."
        ))
}

/// Two molds on the bed under a sheet that does not come down between them.
pub(super) fn between_molds(severity: Severity) -> Sketch {
    Sketch::new()
        .bed(0.0, 110.0)
        .block(20.0, 46.0, 24.0, 1.5)
        .block(68.0, 94.0, 18.0, 1.5)
        .sheet(&[(8.0, 1.2), (18.6, 1.2), (20.4, 25.2), (45.4, 25.2)])
        .sheet(&[(68.6, 19.2), (93.4, 19.2), (95.4, 1.2), (106.0, 1.2)])
        .wrong(severity, &[(45.4, 25.2), (49.5, 16.5), (57.0, 12.0), (64.5, 14.0), (68.6, 19.2)])
        .wrong(severity, &[(57.0, 12.0), (57.0, 4.0)])
        .say((57.0, 28.0), Middle, "web")
        .arrow((57.0, 26.6), (57.0, 14.5))
}

/// A mold close to the frame.
pub(super) fn edge(told: &Told<'_>) -> Diagram {
    let (room, asked) = (told.measured(), told.allowed());
    Sketch::new()
        .bed(0.0, 110.0)
        .clamp((0.0, 22.0), (20.0, 26.0))
        .clamp((0.0, 16.5), (20.0, 20.5))
        .block(34.0, 76.0, 20.0, 1.5)
        .sheet(&[(0.0, 21.2), (20.0, 21.2)])
        .sheet(&[(35.5, 21.2), (74.5, 21.2), (77.4, 1.2), (108.0, 1.2)])
        .wrong(told.finding.severity, &[(20.0, 21.2), (29.5, 1.2), (32.8, 1.2), (34.2, 21.2), (35.5, 21.2)])
        .say((10.0, 29.0), Middle, "clamp")
        .say((42.0, 29.0), Start, "thin skirt")
        .arrow((41.0, 29.4), (31.0, 12.0))
        .across((20.0, 34.0), -4.0, "")
        .say((20.0, -9.2), Start, &format!("{room} to the clamp"))
        .say((20.0, -14.6), Start, &format!("{asked} is asked"))
        .done(format!(
            "A mold from the side, {room} from the clamp where {asked} is asked. The sheet must get from the clamp to the \
             platen and up the mold within that: the skirt gets thin, and the frame chills it."
        ))
}

/// A mold that stands partly where there are no holes.
pub(super) fn platen(told: &Told<'_>) -> Diagram {
    let reach = told.measured();
    let holes = (0..5).map(|n| 10.0 + 12.0 * f64::from(n));
    let sketch = Sketch::new()
        .bed(0.0, 64.0)
        .block(44.0, 84.0, 18.0, 1.5)
        .sheet(&[(4.0, 1.2), (42.6, 1.2), (44.6, 19.2), (83.4, 19.2)])
        .wrong(told.finding.severity, &[(83.4, 19.2), (92.0, 15.0), (104.0, 12.0)]);
    holes
        .fold(sketch, |sketch, x| sketch.arrow((x, -1.0), (x, -6.5)))
        .say((4.0, -12.0), Start, "vacuum")
        .say((100.0, 23.0), End, "not drawn down")
        .across((64.0, 84.0), -4.0, "")
        .say((106.0, -9.2), End, &format!("{reach} off the platen"))
        .done(format!(
            "A mold from the side that reaches {reach} beyond the platen. There are no holes there, so nothing draws the \
             sheet down over it."
        ))
}

/// A mold that the sheet or the heater would touch.
pub(super) fn tall(told: &Told<'_>) -> Diagram {
    let (height, clears) = (told.measured(), told.allowed());
    let spacer = told.molds().first().map_or(Length::ZERO, |mold| mold.spacer);
    let has_spacer = spacer > Length::ZERO;
    let sketch = Sketch::new()
        .bed(0.0, 110.0)
        .clamp((0.0, 24.0), (14.0, 26.0))
        .clamp((100.0, 24.0), (110.0, 26.0))
        .sheet(&[(14.0, 25.0), (100.0, 25.0)])
        .mold(&[(46.0, 4.0), (74.0, 4.0), (72.5, 33.0), (47.5, 33.0)]);
    let sketch = if has_spacer {
        let words = format!("spacer {}", told.show(spacer));
        sketch.block(50.0, 70.0, 4.0, 0.0).say((60.0, -5.2), Middle, &words)
    } else {
        sketch.block(46.0, 74.0, 4.0, 0.0)
    };
    sketch
        .wrong(told.finding.severity, &[(47.5, 25.0), (47.5, 33.0), (72.5, 33.0), (72.5, 25.0)])
        .upright(78.0, (0.0, 33.0), "tall")
        .say((80.2, 9.6), Start, &height)
        .upright(18.0, (0.0, 25.0), "clears")
        .say((20.2, 5.6), Start, &clears)
        .done(format!(
            "A mold from the side that stands {height} tall under a sheet that clears {clears}. It meets the sheet before \
             the frame comes down, or the heater."
        ))
}

/// A wall against the slope that lets a part go.
pub(super) fn draft(told: &Told<'_>) -> Diagram {
    let (angle, asked) = (told.measured(), told.allowed());
    let is_undercut =
        matches!(told.finding.measured, Some(Measure::Angle(a)) if a.to_radians() < 0.0);
    let lean = if is_undercut { -7.0 } else { 2.0 };
    let head = if told.is_female() { "female mold" } else { "male mold" };
    Sketch::new()
        .bed(0.0, 110.0)
        .block(24.0, 54.0, 26.0, lean)
        .sheet(&[(14.0, 1.2), (22.6, 1.2), (23.0 + lean, 27.4), (55.0 - lean, 27.4)])
        .wrong(told.finding.severity, &[(55.0 - lean, 27.4), (55.4, 1.2)])
        .sheet(&[(55.4, 1.2), (64.0, 1.2)])
        .guide((55.4, 1.2), (55.4, 32.0))
        .guide((55.4, 1.2), (45.0, 32.0))
        .arrow((37.0, 29.5), (37.0, 38.0))
        .say((34.0, 34.0), End, "lift off")
        .say((61.0, 27.0), Start, &format!("wall {angle}"))
        .say((61.0, 21.4), Start, &format!("{asked} is asked"))
        .say((61.0, 15.8), Start, &format!("of a {head}"))
        .done(format!(
            "A wall from the side, {angle} from upright where {asked} is asked of a {head}; the slopes are drawn larger than \
             they are. The part shrinks on as it cools, and a wall without slope holds it."
        ))
}

/// A narrow tall mold.
pub(super) fn height_to_width(told: &Told<'_>) -> Diagram {
    let (ratio, asked) = (told.measured(), told.allowed());
    let mold = told.molds().first().copied();
    let (height, width) = match (mold, told.finding.measured) {
        (Some(Mold { height, .. }), Some(Measure::Ratio(ratio))) if ratio > 0.0 => {
            (told.show(*height), told.show(*height / ratio))
        }
        _ => (String::new(), String::new()),
    };
    let sketch = Sketch::new().bed(0.0, 113.0);
    let sketch = if told.is_female() {
        sketch
            .mold(&[
                (29.0, 0.0),
                (84.0, 0.0),
                (84.0, 34.0),
                (66.0, 34.0),
                (64.5, 6.0),
                (45.5, 6.0),
                (44.0, 34.0),
                (29.0, 34.0),
            ])
            .sheet(&[(25.0, 35.2), (45.2, 35.2), (46.6, 14.0)])
            .sheet(&[(63.4, 14.0), (64.8, 35.2), (85.0, 35.2)])
            .wrong(told.finding.severity, &[(46.6, 14.0), (48.5, 7.4), (61.5, 7.4), (63.4, 14.0)])
            .across((45.5, 64.5), -4.0, &width)
    } else {
        sketch
            .block(45.0, 65.0, 34.0, 1.0)
            .sheet(&[(20.0, 1.2), (30.0, 1.2)])
            .sheet(&[(80.0, 1.2), (85.0, 1.2)])
            .sheet(&[(44.8, 35.2), (65.2, 35.2)])
            .wrong(told.finding.severity, &[(44.8, 35.2), (43.4, 1.2), (30.0, 1.2)])
            .wrong(told.finding.severity, &[(65.2, 35.2), (66.6, 1.2), (80.0, 1.2)])
            .across((45.0, 65.0), -4.0, &width)
    };
    sketch
        .upright(88.0, (0.0, 34.0), &height)
        .say((0.0, 26.0), Start, &format!("ratio {ratio}"))
        .say((0.0, 20.4), Start, &format!("up to {asked}"))
        .done(format!(
            "A mold from the side, {height} over {width}: a ratio of {ratio}, where up to {asked} is asked. All of the wall \
             has to come out of the sheet beside it, so the far end of it gets thin."
        ))
}

/// Which face of the part the grain ends up on.
pub(super) fn texture(told: &Told<'_>) -> Diagram {
    let is_against = told.plan.stock_of_pull(told.pull).texture == Texture::AgainstMold;
    let grain = |y: f64, up: f64| -> Vec<(f64, f64)> {
        (0..=25_u32)
            .map(|n| (39.0 + 1.28 * f64::from(n), if n % 2 == 0 { y } else { y + up }))
            .collect()
    };
    let (teeth, words, side) = if is_against {
        (grain(21.0, -1.6), "grain against the mold", "inside")
    } else {
        (grain(23.0, 1.6), "grain away from the mold", "outside")
    };
    Sketch::new()
        .bed(0.0, 110.0)
        .block(36.0, 74.0, 19.0, 1.5)
        .sheet(&[(14.0, 2.0), (33.6, 2.0), (36.0, 22.0), (74.0, 22.0), (76.4, 2.0), (96.0, 2.0)])
        .wrong(told.finding.severity, &teeth)
        .say((55.0, 29.0), Middle, words)
        .say((55.0, -6.0), Middle, &format!("shows on the {side} of a male pull"))
        .done(format!(
            "A sheet over a mold from the side, {words}: on a part from a male mold it ends up on the {side}."
        ))
}

/// How much of the gauge is left.
pub(super) fn gauge(told: &Told<'_>) -> Diagram {
    let gauge = told.plan.stock_of_pull(told.pull).gauge;
    let mean = match told.finding.measured {
        Some(Measure::Length(mean)) => mean,
        _ => gauge,
    };
    let (before, after) = (told.style().show_gauge(gauge), told.style().show_gauge(mean));
    let share = libm::round(mean / gauge.max(Length::mm(1e-9)) * 100.0);
    Sketch::new()
        .bed(0.0, 110.0)
        .block(40.0, 72.0, 24.0, 1.5)
        .mold(&[(4.0, 33.0), (30.0, 33.0), (30.0, 36.0), (4.0, 36.0)])
        .say((4.0, 39.0), Start, &format!("sheet {before}"))
        .mold(&[(41.0, 24.6), (71.0, 24.6), (71.0, 26.6), (41.0, 26.6)])
        .wrong(told.finding.severity, &[(41.0, 25.6), (38.8, 1.0), (30.0, 1.0)])
        .wrong(told.finding.severity, &[(71.0, 25.6), (73.2, 1.0), (82.0, 1.0)])
        .ring(told.finding.severity, (73.2, 1.4), 4.0)
        .say((80.0, 12.0), Start, "thinnest")
        .arrow((79.4, 11.4), (76.4, 5.0))
        .say((56.0, -7.6), Middle, &format!("{after} left on average, {share} %"))
        .done(format!(
            "Sheet of {before} drawn over a mold, from the side: {after} are left on average, {share} % of it. It is thickest \
             on top, where it lands first, and thinnest down in the corners."
        ))
}
