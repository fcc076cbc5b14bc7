//! From which side the formed sheet is looked at, and the sheet as a surface in colours.

use engine::drape::{Forecast, Sheet, colour};
use engine::geometry::Vec2;
use engine::units::{Angle, Length};

use crate::platform::{Look, Surface};

/// Degrees for an arrow key.
pub(super) const STEP: f64 = 10.0;
/// Degrees for a pixel of a drag.
pub(super) const PER_PIXEL: f64 = 0.5;
/// How far it may be tilted: from straight above to a little from below.
const TILT: (f64, f64) = (0.0, 120.0);
/// How much larger or smaller it may be shown.
const ZOOM: (f64, f64) = (0.5, 6.0);

/// From which side the sheet is looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Orbit {
    /// Degrees round the upright, counter-clockwise as seen from above.
    pub(super) turn: f64,
    /// Degrees from straight above.
    pub(super) tilt: f64,
    /// How many times as large as fitted.
    pub(super) zoom: f64,
}

impl Default for Orbit {
    fn default() -> Self {
        Self { turn: -25.0, tilt: 55.0, zoom: 1.3 }
    }
}

impl Orbit {
    /// Straight from above, as on the board.
    pub(super) const ABOVE: Self = Self { turn: 0.0, tilt: 0.0, zoom: 1.0 };

    /// Turned and tilted by degrees.
    pub(super) fn turned(self, turn: f64, tilt: f64) -> Self {
        let turn = (self.turn + turn) % 360.0;
        Self { turn, tilt: (self.tilt + tilt).clamp(TILT.0, TILT.1), ..self }
    }

    /// So many times as large.
    pub(super) fn zoomed(self, factor: f64) -> Self {
        Self { zoom: (self.zoom * factor).clamp(ZOOM.0, ZOOM.1), ..self }
    }

    /// How the picture shows a forecast; `aspect` is the picture's width over its height.
    pub(super) fn look(self, of: &Forecast, aspect: f64) -> Look {
        let bounds = of.map.bounds;
        let highest = f64::from(of.map.heights.iter().copied().fold(0.0, f32::max));
        let (middle, half) = (bounds.center(), highest / 2.0);
        let [width, depth] = [bounds.width(), bounds.depth()].map(Length::to_mm);
        let radius = (width * width + depth * depth + highest * highest).sqrt() / 2.0;
        let [right, up, near] = self.axes();
        let scale = self.zoom * 1.05 * aspect.min(1.0) / radius.max(1.0);
        let rows = [
            (right, scale / aspect),
            (up, scale),
            // Deep enough for any side that is looked at.
            (near, -0.5 / radius.max(1.0)),
        ];
        let mut view = [0.0; 16];
        for (row, (axis, scale)) in rows.into_iter().enumerate() {
            let shift = axis[0] * middle.x + axis[1] * middle.y + axis[2] * half;
            for column in 0..3 {
                view[column * 4 + row] = narrow(axis[column] * scale);
            }
            view[12 + row] = narrow(-shift * scale);
        }
        view[15] = 1.0;
        // From the upper left behind whoever looks.
        let light =
            [0, 1, 2].map(|part| narrow(-0.36 * right[part] + 0.48 * up[part] + 0.8 * near[part]));
        Look { view, light }
    }

    /// The directions to the right, upwards and towards whoever looks.
    fn axes(self) -> [[f64; 3]; 3] {
        let [turn, tilt] = [self.turn, self.tilt].map(|angle| Vec2::unit(Angle::degrees(angle)));
        let (turn_sin, turn_cos, tilt_sin, tilt_cos) = (turn.y, turn.x, tilt.y, tilt.x);
        [
            [turn_cos, -turn_sin, 0.0],
            [turn_sin * tilt_cos, turn_cos * tilt_cos, tilt_sin],
            [-turn_sin * tilt_sin, -turn_cos * tilt_sin, tilt_cos],
        ]
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a picture needs no more")]
const fn narrow(number: f64) -> f32 {
    number as f32
}

/// The formed sheet as a surface in the colours of its thickness.
pub(super) fn surface(sheet: &Sheet) -> Surface {
    let mut away = vec![[0.0_f32; 3]; sheet.positions.len()];
    for nodes in &sheet.triangles {
        let [a, b, c] = nodes.map(|node| sheet.positions[node as usize]);
        let (u, v) = (minus(b, a), minus(c, a));
        let normal =
            [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
        for node in nodes {
            let sum = &mut away[*node as usize];
            for part in 0..3 {
                sum[part] += normal[part];
            }
        }
    }
    let corners = sheet.positions.iter().zip(&away).zip(&sheet.thickness);
    let corners = corners.flat_map(|((place, away), ratio)| {
        let length = away.iter().map(|part| part * part).sum::<f32>().sqrt().max(1e-12);
        let tone = colour(f64::from(*ratio)).map(|part| f32::from(part) / 255.0);
        [*place, away.map(|part| part / length), tone].into_iter().flatten()
    });
    Surface {
        corners: corners.collect(),
        triangles: sheet.triangles.iter().flatten().copied().collect(),
    }
}

fn minus(a: [f32; 3], b: [f32; 3]) -> [f32; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

#[cfg(test)]
mod tests {
    use engine::drape::{Settings, forecast};
    use engine::plan::{PullId, sample};

    use super::*;

    fn coarse() -> Forecast {
        let settings = Settings { mesh: Length::mm(12.0), ..Settings::default() };
        forecast(&sample(), PullId(1), &settings, &mut ()).expect("a forecast")
    }

    fn shown(look: &Look, place: [f32; 3]) -> [f32; 3] {
        [0, 1, 2].map(|row| {
            let sum: f32 = (0..3).map(|column| look.view[column * 4 + row] * place[column]).sum();
            sum + look.view[12 + row]
        })
    }

    #[test]
    fn from_above_the_right_is_right_the_back_is_up_and_what_is_higher_is_nearer() {
        let told = coarse();
        let look = Orbit::ABOVE.look(&told, 1.5);
        let [x, y, z] = shown(&look, [0.0, 0.0, 0.0]);
        assert!(shown(&look, [10.0, 0.0, 0.0])[0] > x);
        assert!(shown(&look, [0.0, 10.0, 0.0])[1] > y);
        assert!(shown(&look, [0.0, 0.0, 10.0])[2] < z);
    }

    #[test]
    fn all_of_the_sheet_is_in_the_picture_from_every_side() {
        let told = coarse();
        for turn in [0.0, 45.0, 130.0, 260.0] {
            for tilt in [0.0, 55.0, 90.0] {
                for aspect in [0.7, 1.0, 1.8] {
                    let look = Orbit { turn, tilt, zoom: 1.0 }.look(&told, aspect);
                    let all = told.sheet.positions.iter().map(|place| shown(&look, *place));
                    let most = all.flatten().fold(0.0_f32, |most, part| most.max(part.abs()));
                    assert!(most < 1.06, "{turn} {tilt} {aspect}: {most}");
                }
            }
        }
    }

    #[test]
    fn light_and_surface_directions_have_length_one_and_the_sheet_faces_up() {
        let told = coarse();
        let look = Orbit::default().look(&told, 1.0);
        let length = |v: &[f32]| v.iter().map(|part| part * part).sum::<f32>().sqrt();
        assert!((length(&look.light) - 1.0).abs() < 0.01, "{:?}", look.light);
        let surface = surface(&told.sheet);
        let (corners, rest) = surface.corners.as_chunks::<9>();
        assert!(rest.is_empty() && corners.len() == told.sheet.positions.len());
        assert!(corners.iter().all(|corner| (length(&corner[3..6]) - 1.0).abs() < 0.01));
        let up: f32 = corners.iter().map(|corner| corner[5]).sum();
        assert!(up > 0.0, "{up}");
    }

    #[test]
    fn a_tilt_stops_at_its_ends_and_a_zoom_too() {
        assert!((Orbit::default().turned(0.0, -500.0).tilt - TILT.0).abs() < 1e-9);
        assert!((Orbit::default().turned(0.0, 500.0).tilt - TILT.1).abs() < 1e-9);
        assert!((Orbit::default().zoomed(100.0).zoom - ZOOM.1).abs() < 1e-9);
    }
}
