//! Outlines that were found, told in numbers, each with the mold that would be made of it.

use engine::file::save;
use engine::geometry::{Point, Region, Ring, simplify};
use engine::intake::{FoundOutline, Problem, add_mold};
use engine::plan::{Machine, MoldId, Plan, limits};
use engine::units::{Angle, Length, LengthStyle};

use super::foreign::Shape;

/// The height that a mold is made with until the person says how tall it is.
const UNTOLD_HEIGHT: Length = Length::mm(20.0);

/// Characters kept of a name.
const NAME_CHARS: usize = limits::NAME_CHARS;

/// What is known of a mold beside its outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Known {
    pub(super) height: Length,
    pub(super) draft: Option<Angle>,
    /// How far the outlines told may be off, for a person to look at.
    pub(super) picture: Picture,
}

/// How finely an outline is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Picture {
    /// As a small picture of its own.
    Small,
    /// To lie over what it was traced from.
    Traced,
}

impl Known {
    /// Nothing but the outline.
    pub(super) const fn nothing(picture: Picture) -> Self {
        Self { height: UNTOLD_HEIGHT, draft: None, picture }
    }
}

/// The outlines as far as a plan holds molds, and how many are left.
pub(super) fn shapes(outlines: &[FoundOutline], known: Known) -> (Vec<Shape>, usize) {
    let told = outlines.iter().take(limits::MOLDS).map(|outline| shape(outline, known));
    (told.collect(), outlines.len().saturating_sub(limits::MOLDS))
}

fn shape(outline: &FoundOutline, known: Known) -> Shape {
    let bounds = outline.region.bounds().unwrap_or_default();
    let longest = bounds.width().max(bounds.depth());
    let within = match known.picture {
        Picture::Small => longest / 150.0,
        Picture::Traced => Length::mm(0.1),
    };
    let name: String = outline.name.trim().chars().take(NAME_CHARS).collect();
    let (mold, says) = mold(outline, &name, known);
    Shape {
        name,
        at: outline.at.to_string(),
        width: bounds.width().to_mm(),
        depth: bounds.depth().to_mm(),
        n_holes: outline.region.holes.len(),
        picture: numbers(&simplify(&outline.region, within)),
        mold,
        says,
    }
}

/// A plan that holds the mold alone, and what was done to the outline; or why it makes no mold.
fn mold(outline: &FoundOutline, name: &str, known: Known) -> (Option<String>, Vec<String>) {
    let plan = Plan::new("Mold", Machine::default());
    let added = match add_mold(&plan, outline, name, known.height) {
        Ok(added) => added,
        Err(error) => return (None, vec![sentence(&error.to_string())]),
    };
    let Ok(mut plan) = plan.apply(&added.edit) else { return (None, Vec::new()) };
    if let (Some(draft), Some(mold)) = (known.draft, plan.molds.get_mut(&MoldId(1))) {
        std::sync::Arc::make_mut(mold).draft = draft;
    }
    let mut says = Vec::new();
    if added.within > Length::mm(0.15) {
        let within = LengthStyle::Millimetres.show(added.within);
        says.push(format!("The outline was made simpler, to within {within}, to fit a plan."));
    }
    if added.n_holes_left_out > 0 {
        let n = added.n_holes_left_out;
        says.push(format!(
            "{n} of the smallest holes were left out: a plan holds 50 in an outline."
        ));
    }
    (Some(save(&plan)), says)
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

    use super::*;

    #[test]
    fn an_outline_is_told_with_the_mold_that_a_plan_takes() {
        let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='100mm' viewBox='0 0 100 100'>\
                   <path id='Limpet' d='M10 10h40v30h-40z'/></svg>";
        let found = read_svg(svg.as_bytes(), None);
        let (shapes, n_more) = shapes(&found.outlines, Known::nothing(Picture::Small));
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
