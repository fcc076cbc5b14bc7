//! What a forecast says in words, with its figures as the plan shows lengths.

use engine::drape::{Contact, Finding, Forecast, Reading, What};
use engine::plan::{Plan, PullId};
use engine::units::LengthStyle;

use super::forecaster::Forecaster;
use crate::state::placement_name;

/// "0.28 mm, 36 % of the gauge".
pub(crate) fn thickness(forecast: &Forecast, ratio: f64, style: LengthStyle) -> String {
    let figure = style.show_gauge(forecast.thickness(ratio));
    format!("{figure}, {:.0} % of the gauge", ratio * 100.0)
}

/// What the sheet is like at a place: "0.28 mm, 36 % of the gauge, on Crab shell".
pub(crate) fn reading(forecast: &Forecast, of: &Reading, (plan, pull): (&Plan, PullId)) -> String {
    let lies = match of.contact {
        Contact::Nothing => "hanging free".to_owned(),
        Contact::Clamp => "at the clamp".to_owned(),
        Contact::Platen => "on the platen".to_owned(),
        Contact::Mold(id) => format!("on {}", placement_name(plan, pull, id)),
    };
    format!("{}, {lies}", thickness(forecast, of.ratio, plan.settings.lengths))
}

/// The whole forecast in a sentence or two.
pub(crate) fn summary(of: Forecaster) -> String {
    let (Some(told), Some(plan)) = (of.told(), of.told_plan()) else { return String::new() };
    let thinnest = match told.forecast.thinnest_kept() {
        Some((id, spot)) => format!(
            "Thinnest wall {} on {}.",
            thickness(&told.forecast, spot.ratio, plan.settings.lengths),
            placement_name(&plan, told.pull(), id)
        ),
        None => "No mold stands in the opening.".to_owned(),
    };
    let counts = counts(&of.found().get());
    if counts.is_empty() { thinnest } else { format!("{thinnest} {}.", counts.join(", ")) }
}

/// The same in a few words: "Thinnest 0.50 mm (Starfish), 10 webs".
pub(crate) fn short(of: Forecaster) -> String {
    let (Some(told), Some(plan)) = (of.told(), of.told_plan()) else {
        let words = if of.is_resting() { "A forecast comes with your first change" } else { "" };
        return words.to_owned();
    };
    let thinnest = told.forecast.thinnest_kept().map(|(id, spot)| {
        let figure = plan.settings.lengths.show_gauge(told.forecast.thickness(spot.ratio));
        format!("Thinnest {figure} ({})", placement_name(&plan, told.pull(), id))
    });
    let parts = thinnest.into_iter().chain(counts(&of.found().get()));
    parts.collect::<Vec<_>>().join(", ")
}

/// How much of each kind is warned of.
fn counts(found: &[Finding]) -> Vec<String> {
    let count = |whats: &[What], one: &str, many: &str| match found
        .iter()
        .filter(|finding| whats.contains(&finding.what))
        .count()
    {
        0 => None,
        1 => Some(format!("1 {one}")),
        n => Some(format!("{n} {many}")),
    };
    let counts = [
        count(&[What::Split], "place may split", "places may split"),
        count(&[What::Thin], "wall too thin", "walls too thin"),
        count(&[What::Span, What::Fold], "web", "webs"),
        count(&[What::Bridge], "corner not filled", "corners not filled"),
    ];
    counts.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use engine::drape::{Settings, forecast};
    use engine::geometry::Point;
    use engine::plan::{PlacementId, sample};
    use engine::units::Length;

    use super::*;

    #[test]
    fn a_place_is_said_with_its_thickness_its_share_and_what_the_sheet_lies_on() {
        let plan = sample();
        let settings = Settings { mesh: Length::mm(12.0), ..Settings::default() };
        let told = forecast(&plan, PullId(1), &settings, &mut ()).expect("a forecast");
        let at = plan.pulls[&PullId(1)].placements[&PlacementId(2)].pose.at;
        let of = told.map.at(at).expect("in the opening");
        let words = reading(&told, &of, (&plan, PullId(1)));
        assert!(words.contains(" % of the gauge, on Limpet"), "{words}");
        assert_eq!(told.map.at(Point::new(-5.0, 0.0)), None);
    }
}
