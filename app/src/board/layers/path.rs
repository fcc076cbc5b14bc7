//! Marks as SVG path data in millimetres.

use std::fmt::Write as _;

use engine::drawing::{Form, Mark, Role};
use engine::geometry::{Point, Ring};

/// All marks of one role as one path.
pub(super) fn of_role(marks: &[Mark], role: Role) -> String {
    let mut data = String::new();
    for mark in marks.iter().filter(|mark| mark.role == role) {
        add(&mut data, &mark.form);
    }
    data
}

/// One form as a path; lettering is not a path and gives nothing.
pub(super) fn of_form(form: &Form) -> String {
    let mut data = String::new();
    add(&mut data, form);
    data
}

fn add(data: &mut String, form: &Form) {
    match form {
        Form::Region(region) => region.rings().for_each(|ring| closed(data, ring)),
        Form::Line(a, b) => open(data, &[*a, *b]),
        Form::Polyline(points) => open(data, points),
        Form::Text { .. } => {}
    }
}

fn closed(data: &mut String, ring: &Ring) {
    open(data, ring.points());
    data.push('Z');
}

/// To a hundredth of a millimetre, which is less than half a pixel at the largest zoom.
fn open(data: &mut String, points: &[Point]) {
    for (i, Point { x, y }) in points.iter().enumerate() {
        let letter = if i == 0 { 'M' } else { 'L' };
        // Writing into a string cannot fail.
        let _ = write!(data, "{letter}{x:.2} {y:.2}");
    }
}

#[cfg(test)]
mod tests {
    use engine::geometry::Region;

    use super::*;

    fn square(side: f64) -> Ring {
        Ring::new([(0.0, 0.0), (side, 0.0), (side, side)].map(|(x, y)| Point::new(x, y)).into())
    }

    #[test]
    fn a_region_is_one_closed_line_for_each_ring() {
        let region = Region::new(square(9.0), vec![square(1.0)]);
        let data = of_form(&Form::Region(region));
        assert_eq!(data.matches('Z').count(), 2);
        assert!(data.starts_with("M0.00 0.00L9.00 0.00L9.00 9.00Z"), "{data}");
    }

    #[test]
    fn only_the_asked_role_is_drawn() {
        let line = |role| Mark::new(role, Form::Line(Point::ORIGIN, Point::new(1.0, 2.0)));
        let marks = [line(Role::Mold), line(Role::CentreCross)];
        assert_eq!(of_role(&marks, Role::CentreCross), "M0.00 0.00L1.00 2.00");
    }
}
