//! Further sizes of blank, read as they are typed: `8 x 10 in * 6; 5 x 7 in * 20`.

use engine::plan::{Plan, Size};
use engine::units::parse_length;

/// Sizes besides the plan's own blank; what fills one sheet with them is up to the job.
const MOST: usize = 11;

/// The sizes with their counts; between semicolons, in the plan's unit where none is named.
pub(super) fn further_sizes(text: &str, plan: &Plan) -> Result<Vec<(Size, u32)>, String> {
    let typed = text.split([';', '\n']).map(str::trim).filter(|part| !part.is_empty());
    let sizes = typed.map(|part| one(part, plan)).collect::<Result<Vec<_>, _>>()?;
    if sizes.len() > MOST {
        let n = sizes.len();
        return Err(format!(
            "{n} further sizes are named, and {MOST} is the most: cut them in several jobs"
        ));
    }
    Ok(sizes)
}

fn one(part: &str, plan: &Plan) -> Result<(Size, u32), String> {
    let wrong = || format!("\u{201c}{part}\u{201d} is no size with a count: write 8 x 10 in * 6");
    let (size, count) = part.split_once('*').unwrap_or((part, "1"));
    let (width, depth) = size.split_once(['x', '\u{d7}']).ok_or_else(wrong)?;
    let (width, depth) = (width.trim(), depth.trim());
    // A unit behind the second side holds for the first too.
    let unit = depth.trim_start_matches(|c: char| c.is_ascii_digit() || " ./,-".contains(c));
    let has_unit = width.ends_with(|c: char| !c.is_ascii_digit());
    let width = if has_unit { width.to_owned() } else { format!("{width} {unit}") };
    let length = |text: &str| {
        let unit = plan.settings.lengths.unit();
        parse_length(text.trim(), unit).map_err(|error| format!("\u{201c}{part}\u{201d}: {error}"))
    };
    let count: u32 = count.trim().parse().ok().filter(|n| *n > 0).ok_or_else(wrong)?;
    Ok((Size::new(length(&width)?, length(depth)?), count))
}

#[cfg(test)]
mod tests {
    use engine::plan::sample;
    use engine::units::{Length, LengthStyle};

    use super::*;

    #[test]
    fn sizes_are_read_as_they_are_typed_and_what_is_none_is_told() {
        let mut plan = sample();
        plan.settings.lengths = LengthStyle::FractionInches;
        let inches = |w: f64, d: f64| Size::new(Length::inches(w), Length::inches(d));
        let near = |a: Size, b: Size| {
            (a.width - b.width).abs().max((a.depth - b.depth).abs()) < Length::mm(1e-6)
        };
        for (text, want) in [
            ("8 x 10 in * 6", vec![(inches(8.0, 10.0), 6)]),
            ("8x10*6; 5 1/2 x 7 in", vec![(inches(8.0, 10.0), 6), (inches(5.5, 7.0), 1)]),
            ("254 mm x 508 mm*2;", vec![(inches(10.0, 20.0), 2)]),
            ("254 x 508 mm * 2", vec![(inches(10.0, 20.0), 2)]),
            (" ; ", vec![]),
        ] {
            let found = further_sizes(text, &plan).expect("reads");
            assert_eq!(found.len(), want.len(), "{text}");
            for ((size, count), (wanted, n)) in found.into_iter().zip(want) {
                assert!(near(size, wanted) && count == n, "{text}: {size:?} {count}");
            }
        }
        for text in ["8 by 10", "8 x 10 * none", "8 x 10 * 0", "8 x ten", "x"] {
            let words = further_sizes(text, &plan).expect_err("no size");
            assert!(words.contains(text), "{words}");
        }
        assert!(further_sizes(&"1 x 1;".repeat(12), &plan).is_err());
    }
}
