//! An outline as text: one corner a line, an empty line before each hole.

use std::fmt;

use engine::geometry::{Point, Ring};
use engine::units::{Length, LengthStyle, Unit, parse_length};

use super::quoted::quoted;

/// The outlines a text holds: the outer one, then the holes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct OutlineText {
    /// The first outline.
    pub(crate) outer: Ring,
    /// The others.
    pub(crate) holes: Vec<Ring>,
}

/// What is wrong with one line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct LineProblem {
    /// Which line, from 1; 0 for the text as a whole.
    pub(crate) line: usize,
    /// What is wrong and what would work.
    pub(crate) words: String,
}

impl fmt::Display for LineProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            0 => write!(f, "{}.", self.words),
            line => write!(f, "Line {line}: {}.", self.words),
        }
    }
}

/// Reads `x, y` lines in any unit; a number without one is taken in `bare`.
///
/// x runs from left to right and y from front to back, from wherever is handy. The two lengths are parted by a
/// semicolon, a tab, a comma with or without a space, or, where that cannot be misread, by a space.
///
/// # Errors
/// Every line that is no corner, and an outline of fewer than three corners.
pub(crate) fn read_outline(text: &str, bare: Unit) -> Result<OutlineText, Vec<LineProblem>> {
    let mut rings: Vec<(usize, Vec<Point>)> = Vec::new();
    let mut problems = Vec::new();
    let mut is_between = true;
    for (number, line) in (1..).zip(text.lines()) {
        if line.trim().is_empty() {
            is_between = true;
            continue;
        }
        if is_between {
            rings.push((number, Vec::new()));
            is_between = false;
        }
        match (read_corner(line, bare), rings.last_mut()) {
            (Ok(corner), Some((_, ring))) => ring.push(corner),
            (Ok(_), None) => {}
            (Err(words), _) => problems.push(LineProblem { line: number, words }),
        }
    }
    if problems.is_empty() {
        problems.extend(rings.iter().filter_map(|(line, ring)| too_few(*line, ring.len())));
    }
    let mut rings = rings.into_iter().map(|(_, ring)| Ring::new(ring));
    match rings.next() {
        Some(outer) if problems.is_empty() => Ok(OutlineText { outer, holes: rings.collect() }),
        Some(_) => Err(problems),
        None => Err(vec![nothing_typed()]),
    }
}

fn too_few(line: usize, corners: usize) -> Option<LineProblem> {
    let words =
        || format!("the outline that begins here has {corners} of the 3 corners it needs at least");
    (corners < 3).then(|| LineProblem { line, words: words() })
}

fn nothing_typed() -> LineProblem {
    LineProblem { line: 0, words: "Type one corner a line, for example 12, 30".to_owned() }
}

fn read_corner(line: &str, bare: Unit) -> Result<Point, String> {
    let (x, y) = split_corner(line.trim())
        .ok_or_else(|| format!("{} is not two lengths; type for example 12, 30", quoted(line)))?;
    let read = |text: &str| parse_length(text, bare).map_err(|error| error.to_string());
    Ok(Point::at(read(x)?, read(y)?))
}

/// The two lengths of a line, by the clearest mark between them.
fn split_corner(line: &str) -> Option<(&str, &str)> {
    let by =
        |mark: &str| (line.matches(mark).count() == 1).then(|| line.split_once(mark)).flatten();
    // A comma followed by a space parts two lengths; any other may be a decimal comma.
    by(";").or_else(|| by("\t")).or_else(|| by(", ")).or_else(|| by(",")).or_else(|| {
        let (x, y) = line.split_once(char::is_whitespace)?;
        // "1 3/8" is one length, and "1 2 3" is anything.
        let is_plain = |text: &str| !text.contains('/') && !text.contains(char::is_whitespace);
        (!line.contains(',') && is_plain(x) && is_plain(y.trim())).then_some((x, y))
    })
}

/// The outlines as text that reads back within a micrometre, in the unit that bare numbers are taken in.
pub(crate) fn write_outline(outer: &Ring, holes: &[Ring], style: LengthStyle) -> String {
    let suffix = format!(" {}", style.unit().name());
    let length = |mm: f64| {
        let text = style.show_exact(Length::mm(mm));
        text.strip_suffix(&suffix).unwrap_or(&text).to_owned()
    };
    let corner = |p: &Point| format!("{}, {}", length(p.x), length(p.y));
    let ring = |ring: &Ring| ring.points().iter().map(corner).collect::<Vec<_>>().join("\n");
    std::iter::once(outer).chain(holes).map(ring).collect::<Vec<_>>().join("\n\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(corners: &[(f64, f64)]) -> Ring {
        Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect())
    }

    #[test]
    fn corners_are_read_in_any_unit_with_any_clear_mark_between() {
        for line in [
            "12.7, 25.4",
            "12.7,25.4",
            "12,7; 25,4",
            "12,7, 25,4",
            "1/2 in, 1 in",
            "12.7\t25.4",
            "12.7 25.4",
            "12.7mm 1in",
            " 1/2\" ; 2.54 cm ",
        ] {
            let corner = read_corner(line, Unit::Millimetre).expect(line);
            assert!(corner.distance(Point::new(12.7, 25.4)) < 1e-9, "{line}: {corner:?}");
        }
        let inches = read_corner("1 3/8, 2", Unit::Inch).expect("fractions");
        assert!(inches.distance(Point::new(34.925, 50.8)) < 1e-9);
    }

    #[test]
    fn an_empty_line_begins_a_hole() {
        let text = "0, 0\n40, 0\n40, 30\n0, 30\n\n\n10, 10\n20, 10\n20, 20\n";
        let read = read_outline(text, Unit::Millimetre).expect("reads");
        assert_eq!(read.outer, ring(&[(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)]));
        assert_eq!(read.holes, [ring(&[(10.0, 10.0), (20.0, 10.0), (20.0, 20.0)])]);
    }

    #[test]
    fn every_line_that_is_no_corner_is_named() {
        let text = "0, 0\n40\n\nwide, 30\n1 3/8\n1 2 3\n5, 6, 7, 8";
        let lines: Vec<_> = read_outline(text, Unit::Inch)
            .expect_err("is wrong")
            .into_iter()
            .map(|problem| (problem.line, problem.to_string()))
            .collect();
        assert_eq!(lines.iter().map(|l| l.0).collect::<Vec<_>>(), [2, 4, 5, 6, 7]);
        assert_eq!(lines[0].1, "Line 2: \"40\" is not two lengths; type for example 12, 30.");
        assert!(lines[1].1.starts_with("Line 4: \"wide\" is not a number"), "{}", lines[1].1);
    }

    #[test]
    fn an_outline_needs_three_corners() {
        let problems = read_outline("0, 0\n1, 0\n1, 1\n\n5, 5\n6, 6", Unit::Millimetre);
        let problems = problems.expect_err("the hole has two corners");
        assert_eq!(
            problems[0].to_string(),
            "Line 5: the outline that begins here has 2 of the 3 corners it needs at least."
        );
        let nothing = read_outline(" \n\n", Unit::Millimetre).expect_err("nothing is typed");
        assert_eq!(nothing[0].to_string(), "Type one corner a line, for example 12, 30.");
    }

    #[test]
    fn what_is_written_reads_back_in_every_style() {
        let outer = ring(&[(-3.25, 0.0), (40.123, 1.5), (34.925, 50.8)]);
        let holes = [ring(&[(10.0, 10.0), (12.0, 10.0), (11.0, 11.111)])];
        for style in LengthStyle::ALL {
            let text = write_outline(&outer, &holes, style);
            let back = read_outline(&text, style.unit()).expect("reads");
            for (ours, theirs) in std::iter::once(&outer)
                .chain(&holes)
                .zip(std::iter::once(&back.outer).chain(&back.holes))
            {
                for (a, b) in ours.points().iter().zip(theirs.points()) {
                    assert!(a.distance(*b) < 2e-3, "{style:?}: {a:?} {b:?}");
                }
            }
        }
        let text = write_outline(&outer, &[], LengthStyle::Millimetres);
        assert_eq!(text, "-3.25, 0\n40.123, 1.5\n34.925, 50.8");
    }
}
