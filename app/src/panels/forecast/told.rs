//! A forecast that has come, what it is about, and what is drawn of it.

use std::sync::Arc;

use engine::drape::{Forecast, LINES, colour};
use engine::geometry::Point;
use engine::plan::{Placement, Plan, PullId};
use engine::units::Length;

use super::choice::Choice;

/// The layout, the machine, the molds and the choices that a forecast is about.
#[derive(Clone, Debug)]
pub(crate) struct About {
    pub(super) plan: Arc<Plan>,
    pub(super) pull: PullId,
    pub(super) choice: Choice,
}

impl PartialEq for About {
    /// Only what the sheet feels counts: names, locks, rules and units make no other forecast.
    fn eq(&self, other: &Self) -> bool {
        self.pull == other.pull
            && self.choice == other.choice
            && (Arc::ptr_eq(&self.plan, &other.plan) || is_same_bench(self, other))
    }
}

fn is_same_bench(a: &About, b: &About) -> bool {
    let standing = |about: &About| {
        let pull = about.plan.pulls.get(&about.pull);
        let placements = pull.into_iter().flat_map(|pull| pull.placements.clone());
        placements.collect::<Vec<_>>()
    };
    let (own, others) = (standing(a), standing(b));
    let is_same_mold =
        |placement: &Placement| match [a, b].map(|about| about.plan.molds.get(&placement.mold)) {
            [Some(one), Some(other)] => {
                Arc::ptr_eq(one, other)
                    || (one.footprint == other.footprint
                        && one.kind == other.kind
                        && [one.height, one.spacer, one.trim]
                            == [other.height, other.spacer, other.trim]
                        && one.relief == other.relief
                        && one.draft == other.draft)
            }
            _ => false,
        };
    a.plan.machine == b.plan.machine
        && a.plan.stock_of_pull(a.pull).gauge == b.plan.stock_of_pull(b.pull).gauge
        && own.len() == others.len()
        && own.iter().zip(&others).all(|((id, one), (other_id, other))| {
            id == other_id && one.mold == other.mold && one.pose == other.pose && is_same_mold(one)
        })
}

/// A forecast that has come.
#[derive(Clone, Debug)]
pub(crate) struct Told {
    pub(super) about: About,
    /// The forecast itself.
    pub(crate) forecast: Arc<Forecast>,
    /// Whether it is on the net that was chosen, and no first glance.
    pub(crate) is_fine: bool,
}

impl Told {
    /// The pull that it is about.
    pub(crate) const fn pull(&self) -> PullId {
        self.about.pull
    }
}

impl PartialEq for Told {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.forecast, &other.forecast) && self.is_fine == other.is_fine
    }
}

/// A map of the thickness as pixels, the back row first: red, green, blue and opaque.
pub(crate) fn pixels(forecast: &Forecast) -> ([u32; 2], Vec<u8>) {
    let map = &forecast.map;
    let rows = map.ratios.chunks(map.columns).rev();
    let dots = rows.flatten().flat_map(|ratio| {
        let [red, green, blue] = colour(f64::from(*ratio));
        [red, green, blue, u8::MAX]
    });
    let side = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
    ([side(map.columns), side(map.rows)], dots.collect())
}

/// A line along which the sheet is equally thick, and where its figure stands.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Line {
    /// As SVG path data in millimetres.
    pub(crate) data: String,
    /// Where figures may stand: for each piece that is long enough for one, places along it, the best first.
    pub(crate) places: Vec<Vec<Point>>,
    /// How thick the sheet is along it.
    pub(crate) thickness: Length,
}

/// A closed line of less than this, in millimetres, is left out: it would be a blot.
const SHORTEST: f64 = 25.0;
/// A line of less than this has no figure.
const FIGURED: f64 = 60.0;
/// Pieces whose middles are closer than this have one figure between them.
const APART: f64 = 22.0;
/// Places along a piece where its figure may stand.
const PLACES: usize = 24;

/// The contour lines of a forecast, the thinnest first.
pub(crate) fn lines(forecast: &Forecast) -> Vec<Line> {
    let mut taken: Vec<Point> = Vec::new();
    let contours = forecast.contours(&LINES);
    let drawn = contours.into_iter().map(|contour| {
        let mut data = String::new();
        let mut places = Vec::new();
        for line in &contour.lines {
            let length: f64 = line.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
            if length < SHORTEST {
                continue;
            }
            add(&mut data, line);
            let middle = line[line.len() / 2];
            let is_apart = taken.iter().all(|other| other.distance(middle) > APART);
            if length > FIGURED && is_apart {
                taken.push(middle);
                places.push(from_the_middle(line));
            }
        }
        Line { data, places, thickness: forecast.thickness(contour.ratio) }
    });
    drawn.filter(|line| !line.data.is_empty()).collect()
}

/// Places evenly along a line, its middle first and its ends last.
fn from_the_middle(line: &[Point]) -> Vec<Point> {
    let mut at: Vec<usize> =
        (0..PLACES).map(|nth| (2 * nth + 1) * line.len() / (2 * PLACES)).collect();
    at.push(line.len() / 2);
    at.sort_by_key(|at| (at.abs_diff(line.len() / 2), *at));
    at.dedup();
    at.into_iter().map(|at| line[at]).collect()
}

fn add(data: &mut String, line: &[Point]) {
    use std::fmt::Write as _;
    for (nth, Point { x, y }) in line.iter().enumerate() {
        let letter = if nth == 0 { 'M' } else { 'L' };
        // Writing into a string cannot fail.
        let _ = write!(data, "{letter}{x:.1} {y:.1}");
    }
}

#[cfg(test)]
mod tests {
    use engine::drape::{Settings, forecast};
    use engine::edit::Edit;
    use engine::moves::Move;
    use engine::plan::{PlacementId, sample};

    use super::*;

    const PULL: PullId = PullId(1);

    fn coarse() -> Forecast {
        let settings = Settings { mesh: Length::mm(10.0), ..Settings::default() };
        forecast(&sample(), PULL, &settings, &mut ()).expect("a forecast")
    }

    fn about(plan: Plan) -> About {
        About { plan: Arc::new(plan), pull: PULL, choice: Choice::default() }
    }

    fn after(edit: &Edit) -> Plan {
        sample().apply(edit).expect("a legal edit")
    }

    #[test]
    fn what_the_sheet_does_not_feel_makes_no_other_forecast() {
        let before = about(sample());
        assert_eq!(before, about(sample()));
        assert_eq!(before, about(after(&Edit::Rename("Another name".into()))));
        let mut settings = sample().settings;
        settings.least_wall = Some(Length::mm(0.4));
        assert_eq!(before, about(after(&Edit::SetSettings(settings))));
    }

    #[test]
    fn a_move_another_gauge_and_another_choice_make_another_forecast() {
        let before = about(sample());
        let plan = sample();
        let ids = [PlacementId(2)].into();
        let step = Move::By(engine::geometry::Vec2::new(1.0, 0.0));
        let moved = engine::moves::edit(&plan, PULL, &ids, &step).expect("a move");
        assert_ne!(before, about(after(&moved)));
        let mut stock = plan.stock;
        stock.gauge = stock.gauge * 2.0;
        assert_ne!(before, about(after(&Edit::SetStock(stock))));
        let choice = Choice { is_uniform: true, ..Choice::default() };
        assert_ne!(before, About { choice, ..before.clone() });
    }

    #[test]
    fn a_picture_has_a_pixel_for_each_cell_and_the_front_row_last() {
        let forecast = coarse();
        let ([columns, rows], pixels) = pixels(&forecast);
        assert_eq!(pixels.len(), 4 * forecast.map.ratios.len());
        let last_row = 4 * usize::try_from(columns * (rows - 1)).expect("small");
        let front_left = colour(f64::from(forecast.map.ratios[0]));
        assert_eq!(pixels[last_row..last_row + 3], front_left);
    }

    #[test]
    fn contour_lines_get_thicker_and_offer_places_for_figures_along_them() {
        let lines = lines(&coarse());
        assert!(lines.len() > 1, "{lines:?}");
        assert!(lines.windows(2).all(|pair| pair[0].thickness < pair[1].thickness));
        let places: Vec<&Vec<Point>> = lines.iter().flat_map(|line| &line.places).collect();
        assert!(places.iter().all(|places| (3..=PLACES + 1).contains(&places.len())));
        let line: Vec<Point> = (0..101).map(|x| Point::new(f64::from(x), 0.0)).collect();
        let places = from_the_middle(&line);
        assert_eq!(places[0], line[50]);
        assert!(places.windows(2).all(|pair| (pair[0].x - 50.0).abs() <= (pair[1].x - 50.0).abs()));
        assert_eq!(from_the_middle(&line[..2]), [line[1], line[0]]);
    }
}
