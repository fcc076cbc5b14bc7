//! Outlines that were found, told in numbers, each with the mold that would be made of it.

use engine::file::save;
use engine::geometry::{Point, Region, Ring, simplify};
use engine::intake::{AddError, Added, FoundOutline, Problem, add_mold};
use engine::plan::{Machine, Plan, limits};
use engine::units::{Length, LengthStyle};

use super::foreign::Shape;

/// The height that a mold is made with until the person says how tall it is.
const UNTOLD_HEIGHT: Length = Length::mm(20.0);

/// How finely an outline is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Picture {
    /// As a small picture of its own.
    Small,
    /// To lie over what it was traced from.
    Traced,
}

/// The outlines as far as a plan holds molds, and how many are left.
pub(super) fn shapes(outlines: &[FoundOutline], picture: Picture) -> (Vec<Shape>, usize) {
    let plan = empty();
    let told = outlines.iter().take(limits::MOLDS).map(|outline| {
        let added = add_mold(&plan, outline, &short_name(&outline.name), UNTOLD_HEIGHT);
        shape(outline, picture, added)
    });
    (told.collect(), outlines.len().saturating_sub(limits::MOLDS))
}

/// A plan that holds nothing, to make one mold in.
pub(super) fn empty() -> Plan {
    Plan::new("Mold", Machine::default())
}

/// A name within its limit.
pub(super) fn short_name(name: &str) -> String {
    name.trim().chars().take(limits::NAME_CHARS).collect()
}

/// An outline with the mold that was made of it in an empty plan.
pub(super) fn shape(
    outline: &FoundOutline,
    picture: Picture,
    added: Result<Added, AddError>,
) -> Shape {
    let bounds = outline.region.bounds().unwrap_or_default();
    let within = match picture {
        Picture::Small => bounds.width().max(bounds.depth()) / 150.0,
        Picture::Traced => Length::mm(0.1),
    };
    let (mold, says) = match added {
        Ok(added) => {
            let plan = empty().apply(&added.edit).ok();
            (plan.map(|plan| save(&plan)), says(&added))
        }
        Err(error) => (None, vec![sentence(&error.to_string())]),
    };
    Shape {
        name: short_name(&outline.name),
        at: outline.at.to_string(),
        width: bounds.width().to_mm(),
        depth: bounds.depth().to_mm(),
        n_holes: outline.region.holes.len(),
        picture: numbers(&simplify(&outline.region, within)),
        mold,
        says,
    }
}

/// What was done to an outline to make a mold of it.
fn says(added: &Added) -> Vec<String> {
    let mut says = Vec::new();
    if added.within > Length::mm(0.15) {
        let within = LengthStyle::Millimetres.show(added.within);
        says.push(format!("The outline was made simpler, to within {within}, to fit a plan."));
    }
    if added.n_holes_left_out > 0 {
        let (n, most) = (added.n_holes_left_out, limits::HOLES);
        says.push(format!(
            "{n} of the smallest holes were left out: a plan holds {most} in an outline."
        ));
    }
    says
}

/// The corners of all outlines to a hundredth of a millimetre.
fn numbers(region: &Region) -> Vec<Vec<[f64; 2]>> {
    let nearest = |mm: f64| (mm * 100.0).round() / 100.0;
    let corner = |p: &Point| [nearest(p.x), nearest(p.y)];
    region.rings().map(|ring: &Ring| ring.points().iter().map(corner).collect()).collect()
}

/// Problems as sentences.
pub(super) fn sentences<'a>(problems: impl IntoIterator<Item = &'a Problem>) -> Vec<String> {
    problems.into_iter().map(|problem| sentence(&problem.to_string())).collect()
}

/// Words with a capital and a full stop.
#[must_use]
pub fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
    let stop = if words.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{first}{}{stop}", letters.as_str())
}

#[cfg(test)]
mod tests {
    use engine::file::load;
    use engine::intake::read_svg;
    use engine::plan::MoldId;

    use super::*;

    #[test]
    fn an_outline_is_told_with_the_mold_that_a_plan_takes() {
        let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='100mm' viewBox='0 0 100 100'>\
                   <path id='Limpet' d='M10 10h40v30h-40z'/></svg>";
        let found = read_svg(svg.as_bytes(), None);
        let (shapes, n_more) = shapes(&found.outlines, Picture::Small);
        assert_eq!((shapes.len(), n_more), (1, 0));
        let shape = &shapes[0];
        assert_eq!((shape.name.as_str(), shape.says.len()), ("Limpet", 0));
        assert!(
            (shape.width - 40.0).abs() < 1e-9 && (shape.depth - 30.0).abs() < 1e-9,
            "{shape:?}"
        );
        assert_eq!(shape.picture, [[[50.0, -10.0], [10.0, -10.0], [10.0, -40.0], [50.0, -40.0]]]);
        let plan = load(shape.mold.as_deref().expect("a mold")).expect("a plan");
        assert_eq!(plan.molds.len(), 1);
        assert_eq!(plan.molds[&MoldId(1)].name, "Limpet");
    }

    #[test]
    fn words_become_sentences() {
        assert_eq!(sentence("line 3: open"), "Line 3: open.");
        assert_eq!(sentence("Done."), "Done.");
        assert_eq!(sentence(""), ".");
    }
}
