//! Reads printed pages back with other people's programs, and says where everything should be.

pub(crate) mod pdf;
pub(crate) mod poppler;
pub(crate) mod random;
pub(crate) mod svg;
pub(crate) mod truth;

use engine::geometry::{Point, Rect};

/// A page as a reader found it, in millimetres from its lower left corner.
#[derive(Debug)]
pub(crate) struct ReadPage {
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) runs: Vec<Run>,
}

/// A line through points.
#[derive(Debug)]
pub(crate) struct Run {
    pub(crate) points: Vec<Point>,
    pub(crate) is_closed: bool,
    /// Outside of this it does not show.
    pub(crate) window: Option<Rect>,
}

impl Run {
    pub(crate) fn bounds(&self) -> Rect {
        Rect::around(self.points.iter().copied()).expect("a run has points")
    }

    /// The length of a straight run that is level (or upright), else nothing.
    fn straight(&self, is_level: bool) -> Option<f64> {
        let [a, b] = self.points[..] else { return None };
        let (along, across) =
            if is_level { (a.x - b.x, a.y - b.y) } else { (a.y - b.y, a.x - b.x) };
        (across.abs() < 1e-3).then_some(along.abs())
    }
}

impl ReadPage {
    /// The one window that part of the page is seen through.
    pub(crate) fn window(&self) -> Rect {
        self.runs.iter().find_map(|run| run.window).expect("a page with a window")
    }

    /// Level or upright lines on the paper whose length is within 0.5 mm of `length`.
    pub(crate) fn bars(&self, length: f64, is_level: bool) -> Vec<(f64, Rect)> {
        let on_paper = self.runs.iter().filter(|run| run.window.is_none());
        on_paper
            .filter_map(|run| Some((run.straight(is_level)?, run.bounds())))
            .filter(|(found, _)| (found - length).abs() < 0.5)
            .collect()
    }

    /// The middles of the crosshairs: a level and an upright line of 5 mm that halve each other.
    pub(crate) fn crosshairs(&self) -> Vec<Point> {
        let is_arm = |run: &&Run, is_level| {
            run.window.is_some() && run.straight(is_level).is_some_and(|l| (l - 5.0).abs() < 0.01)
        };
        let level = self.runs.iter().filter(|run| is_arm(run, true));
        let window = self.window();
        let uprights: Vec<Point> = self
            .runs
            .iter()
            .filter(|run| is_arm(run, false))
            .map(|run| run.bounds().center())
            .collect();
        let middles = level.map(|run| run.bounds().center());
        middles
            .filter(|middle| uprights.iter().any(|other| other.distance(*middle) < 0.01))
            .filter(|middle| window.contains(*middle))
            .collect()
    }
}
