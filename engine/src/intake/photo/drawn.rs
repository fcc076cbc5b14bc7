//! Tells pencil lines from molds: a dark band as narrow as a line stands for the edge that it was drawn along.

use super::super::found::FoundOutline;
use super::super::nest::nest;
use super::super::pen::Line;
use super::super::problem::{Place, Problems, Trouble};
use crate::geometry::{Point, Pose, Region, Ring, Shape};
use crate::units::Length;

/// The widest band taken for a drawn line, in millimetres: broad felt pens draw 2 mm, and no mold is so thin
/// (common practice).
const MOST_WIDTH: f64 = 2.5;

/// The smallest place that a line is taken to enclose, in square millimetres: smaller ones are where it met itself.
const LEAST_INSIDE: f64 = 4.0;

/// A dark band as narrow as a line.
struct Band {
    region: Region,
    /// What it encloses.
    inside: Vec<Shape>,
    width: Length,
}

/// The outlines of molds that lie there and of those that are drawn, the largest first; `dark` is all that is dark.
///
/// A pencil runs round the outside of a mold, so a line's inner edge is the mold's. A line within a line goes round the
/// inside of a hole, where the pencil runs within the hole, so its outer edge is the hole's; and so on inwards. A line
/// that encloses nothing is left out. Whatever is done is told.
pub(super) fn without_lines(
    dark: Vec<FoundOutline>,
    least_area: f64,
    problems: &mut Problems,
) -> Vec<FoundOutline> {
    let (bands, molds): (Vec<_>, Vec<_>) =
        dark.into_iter().partition(|one| width(&one.region) < MOST_WIDTH);
    let mut all: Vec<FoundOutline> =
        molds.into_iter().filter_map(|mold| solid(mold, least_area)).collect();
    let bands: Vec<Band> = bands.into_iter().filter_map(|one| band(one.region, problems)).collect();
    let mut edges = Vec::new();
    for band in &bands {
        let Some(&at) = band.region.outer.points().first() else { continue };
        let holds = |other: &Band| other.inside.iter().any(|s| s.contains(Pose::default(), at));
        let n_around = bands.iter().filter(|other| holds(other)).count();
        let place = place(&band.region);
        if n_around % 2 == 0 {
            problems.push(place.clone(), Trouble::DrawnLine { width: band.width });
            edges.extend(band.inside.iter().map(|s| line(&s.region().outer, &place)));
        } else {
            problems.push(place.clone(), Trouble::DrawnHole { width: band.width });
            edges.push(line(&band.region.outer, &place));
        }
    }
    edges.retain(|line| Ring::new(line.points.clone()).signed_area().abs() >= least_area);
    // What is wrong with these lines was told when all that is dark was sorted out.
    all.extend(nest(edges, &mut Problems::default()));
    all.sort_by(|a, b| b.region.area().to_mm2().total_cmp(&a.region.area().to_mm2()));
    for (number, one) in (1..).zip(&mut all) {
        one.name = format!("Outline {number}");
    }
    all
}

/// How wide a band of this surface and this length of edges is, in millimetres.
fn width(region: &Region) -> f64 {
    2.0 * region.area().to_mm2() / region.perimeter().to_mm().max(1e-9)
}

/// A mold that lies there, without holes too small to matter; `None` when it is too small itself.
fn solid(mut mold: FoundOutline, least_area: f64) -> Option<FoundOutline> {
    mold.region.holes.retain(|hole| hole.signed_area().abs() >= least_area);
    (mold.region.outer.signed_area().abs() >= least_area).then_some(mold)
}

/// The line with what it encloses; one that encloses nothing is told.
fn band(region: Region, problems: &mut Problems) -> Option<Band> {
    let width = Length::mm(width(&region));
    let is_place = |hole: &&Ring| hole.signed_area().abs() >= LEAST_INSIDE;
    let whole = |hole: &Ring| Shape::new(Region::new(hole.clone(), Vec::new()));
    let inside: Vec<Shape> = region.holes.iter().filter(is_place).map(whole).collect();
    if inside.is_empty() {
        let long = region.perimeter() / 2.0;
        problems.push(place(&region), Trouble::OpenLine { width, long });
        return None;
    }
    Some(Band { region, inside, width })
}

fn place(region: &Region) -> Place {
    let middle = region.bounds().map_or(Point::ORIGIN, |bounds| bounds.center());
    Place::on_paper(middle)
}

fn line(ring: &Ring, at: &Place) -> Line {
    Line {
        points: ring.points().to_vec(),
        is_closed: true,
        is_filled: false,
        name: String::new(),
        at: at.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::Problem;

    const LEAST: f64 = 25.0;

    /// A square of this half side about a place.
    fn square(x: f64, y: f64, half: f64) -> Ring {
        let corner = |(dx, dy): (f64, f64)| Point::new(x + dx * half, y + dy * half);
        Ring::new([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(corner).to_vec())
    }

    fn dark(rings: &[(f64, f64)]) -> Vec<FoundOutline> {
        let outline = |&(outer, hole): &(f64, f64)| FoundOutline {
            name: String::new(),
            region: Region::new(
                square(100.0, 80.0, outer),
                (hole > 0.0).then(|| square(100.0, 80.0, hole)).into_iter().collect(),
            ),
            at: Place::File,
        };
        rings.iter().map(outline).collect()
    }

    fn told(dark: Vec<FoundOutline>) -> (Vec<FoundOutline>, Vec<Problem>) {
        let mut problems = Problems::default();
        let outlines = without_lines(dark, LEAST, &mut problems);
        (outlines, problems.into_list())
    }

    #[test]
    fn a_line_stands_for_its_inner_edge_and_a_line_within_it_for_a_hole() {
        let (outlines, problems) = told(dark(&[(31.0, 30.0), (11.0, 10.0)]));
        let [one] = &outlines[..] else { panic!("{outlines:?}") };
        assert!((one.region.area().to_mm2() - (3600.0 - 484.0)).abs() < 1e-6, "{one:?}");
        let words: Vec<String> = problems.iter().map(ToString::to_string).collect();
        assert_eq!(words.len(), 2, "{words:?}");
        assert!(words[0].starts_with("100 mm across and 80 mm up the paper"), "{words:?}");
        assert!(words[0].contains("1 mm wide") && words[0].contains("inner edge"), "{words:?}");
        assert!(words[1].contains("hole") && words[1].contains("outer edge"), "{words:?}");
        // A third line is an island within the hole: its inner edge again.
        let (outlines, _) = told(dark(&[(31.0, 30.0), (11.0, 10.0), (6.0, 5.0)]));
        let areas: Vec<f64> = outlines.iter().map(|one| one.region.area().to_mm2()).collect();
        assert_eq!(outlines.len(), 2, "{areas:?}");
        assert!((areas[1] - 100.0).abs() < 1e-6, "{areas:?}");
    }

    #[test]
    fn a_mold_with_a_hole_stays_and_a_wider_band_is_a_mold() {
        for (outer, hole) in [(30.0, 20.0), (30.0, 27.0), (30.0, 0.0)] {
            let (outlines, problems) = told(dark(&[(outer, hole)]));
            let [one] = &outlines[..] else { panic!("{outlines:?}") };
            let want = 4.0 * (outer * outer - hole * hole);
            assert!((one.region.area().to_mm2() - want).abs() < 1e-6, "{one:?}");
            assert_eq!(problems, []);
        }
    }

    #[test]
    fn an_open_line_is_left_out_and_told_with_its_length() {
        let points = [(10.0, 10.0), (110.0, 10.0), (110.0, 11.0), (10.0, 11.0)];
        let outer = Ring::new(points.map(|(x, y)| Point::new(x, y)).to_vec());
        let region = Region::new(outer, Vec::new());
        let open = FoundOutline { name: String::new(), region, at: Place::File };
        let (outlines, problems) = told(vec![open]);
        assert_eq!(outlines, []);
        let words = problems.iter().map(ToString::to_string).collect::<String>();
        assert!(words.contains("101 mm long") && words.contains("close the line"), "{words}");
    }
}
