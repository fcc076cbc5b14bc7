//! Every finding has its drawing, with its figures in it and lettering that can be read.

use super::*;
use crate::drape::What;
use crate::drawing::{Anchor, Form, Mark, Role};
use crate::geometry::{Point, Rect};
use crate::plan::{MoldId, PlacementId, Texture, sample};
use crate::rules::{Place, Severity};
use crate::units::Angle;

const PULL: PullId = PullId(1);

/// A rule, what it speaks of, and what was measured and is allowed.
type Row = (Rule, Vec<Subject>, Option<(Measure, Measure)>);

/// Every shape in which the rules find something, with the figures that must be seen.
fn found() -> Vec<(Finding, Vec<Measure>)> {
    let mm = |mm| Measure::Length(Length::mm(mm));
    let placed = |ids: &[u32]| ids.iter().map(|&id| Subject::Placement(PlacementId(id))).collect();
    let molds: fn(u32) -> Vec<Subject> = |id| vec![Subject::Mold(MoldId(id))];
    let degrees = |degrees| Measure::Angle(Angle::degrees(degrees));
    let both = |a, b| Some((a, b));
    let rows: Vec<Row> = vec![
        (Rule::Footprint, molds(2), None),
        (Rule::Overlap, placed(&[1, 2]), both(mm(0.0), mm(42.0))),
        (Rule::Clearance, placed(&[1, 2]), both(mm(17.9), mm(42.0))),
        (Rule::Clearance, placed(&[1, 2]), both(mm(117.9), mm(242.0))),
        (Rule::Opening, placed(&[1]), both(mm(8.2), mm(0.0))),
        (Rule::Platen, placed(&[1]), both(mm(12.3), mm(0.0))),
        (Rule::Edge, placed(&[1]), both(mm(12.3), mm(25.0))),
        (Rule::Tall, molds(2), both(mm(162.0), mm(150.0))),
        (Rule::Tall, molds(1), both(mm(162.0), mm(150.0))),
        (Rule::Copies, placed(&[1]), both(Measure::Count(2), Measure::Count(1))),
        (Rule::Copies, placed(&[5, 6]), both(Measure::Count(2), Measure::Count(1))),
        (Rule::Draft, molds(2), both(degrees(1.0), degrees(3.0))),
        (Rule::Draft, molds(2), both(degrees(-45.0), degrees(3.0))),
        (Rule::HeightToWidth, molds(2), both(Measure::Ratio(1.25), Measure::Ratio(1.0))),
        (Rule::Texture, vec![Subject::Stock], None),
        (Rule::Gauge, molds(2), both(mm(0.4), mm(0.5))),
    ];
    let finding = |(rule, subjects, figures): Row| {
        let severity = Severity::Caution;
        let (measured, allowed) = figures.unzip();
        let finding = Finding { rule, severity, subjects, place: None, measured, allowed };
        // What the sheet keeps is told against its gauge; where nothing is allowed, or nothing measured, that is not drawn.
        let shown = match rule {
            Rule::Gauge | Rule::Opening | Rule::Platen => measured.into_iter().collect(),
            Rule::Overlap => allowed.into_iter().collect(),
            Rule::Copies if finding.subjects.len() > 1 => measured.into_iter().collect(),
            _ => measured.into_iter().chain(allowed).collect(),
        };
        (finding, shown)
    };
    rows.into_iter().map(finding).collect()
}

fn warned() -> Vec<drape::Finding> {
    let mm = |mm| Measure::Length(Length::mm(mm));
    [
        (What::Split, mm(0.12), Some(mm(0.15))),
        (What::Thin, mm(0.62), Some(mm(0.8))),
        (What::Span, Measure::Ratio(0.3), None),
        (What::Fold, Measure::Ratio(0.7), None),
        (What::Bridge, mm(1.4), Some(mm(1.0))),
    ]
    .map(|(what, measured, allowed)| drape::Finding {
        what,
        severity: Severity::Caution,
        subjects: vec![Subject::Placement(PlacementId(1))],
        place: Place::Point(Point::ORIGIN),
        measured,
        allowed,
        why: None,
    })
    .into()
}

fn words(diagram: &Diagram) -> Vec<(String, Rect)> {
    let text = |mark: &Mark| match &mark.form {
        Form::Text { text, anchor, .. } => {
            let exact = mark.form.bounds()?;
            // Where there is no Helvetica, other lettering may be a fifth wider.
            let slack = exact.width().to_mm() * 0.2;
            let (left, right) = match anchor {
                Anchor::Start => (0.0, slack),
                Anchor::Middle => (slack / 2.0, slack / 2.0),
                Anchor::End => (slack, 0.0),
            };
            let wide = Rect::new(
                Point::new(exact.min.x - left, exact.min.y),
                Point::new(exact.max.x + right, exact.max.y),
            );
            Some((text.clone(), wide))
        }
        Form::Region(_) | Form::Line(..) | Form::Polyline(_) => None,
    };
    diagram.drawing.marks.iter().filter_map(text).collect()
}

#[track_caller]
fn readable(name: &str, diagram: &Diagram) {
    let Diagram { drawing, says } = diagram;
    assert!(says.ends_with('.') && says.len() > 50 && !says.contains("  "), "{name}: {says}");
    for mark in &drawing.marks {
        let bounds = mark.form.bounds().expect("a mark is somewhere");
        let is_inside = drawing.bounds.contains(bounds.min) && drawing.bounds.contains(bounds.max);
        assert!(is_inside, "{name}: {mark:?} reaches out of {:?}", drawing.bounds);
    }
    assert!(drawing.bounds.width().to_mm() < 116.0, "{name} is {:?} wide", drawing.bounds.width());
    let texts = words(diagram);
    for (text, wide) in &texts {
        let (left, right) = (wide.min.x - drawing.bounds.min.x, drawing.bounds.max.x - wide.max.x);
        assert!(
            left > -0.01 && right > -0.01,
            "{name}: {text} has {left:.1} and {right:.1} mm beside it"
        );
    }
    for (n, (one, here)) in texts.iter().enumerate() {
        for (other, there) in &texts[n + 1..] {
            let both = here.intersection(*there);
            assert!(both.is_none_or(|b| b.area().to_mm2() < 1e-6), "{name}: {one} lies on {other}");
        }
    }
}

#[test]
fn every_rule_and_every_warning_has_a_drawing_of_its_own() {
    let plan = sample();
    let (found, warned) = (found(), warned());
    for rule in Rule::ALL {
        assert!(
            found.iter().any(|(finding, _)| finding.rule == rule),
            "{rule:?} is not among them"
        );
    }
    let mut drawn: Vec<Vec<Mark>> = warned
        .iter()
        .map(|finding| explain_forecast(finding, plan.settings.lengths).drawing.marks)
        .collect();
    drawn.extend(found.iter().map(|(finding, _)| explain(finding, &plan, PULL).drawing.marks));
    for (n, one) in drawn.iter().enumerate() {
        assert!(
            one.iter().any(|mark| matches!(mark.role, Role::FindingMark(_))),
            "{n} marks nothing"
        );
        assert!(!drawn[n + 1..].contains(one), "{n} is drawn as another");
    }
}

#[test]
fn lettering_is_inside_and_apart_in_every_unit() {
    let mut plan = sample();
    for style in LengthStyle::ALL {
        plan.settings.lengths = style;
        for (finding, _) in found() {
            readable(&format!("{:?} {style:?}", finding.rule), &explain(&finding, &plan, PULL));
        }
        for finding in warned() {
            readable(&format!("{:?} {style:?}", finding.what), &explain_forecast(&finding, style));
        }
    }
}

#[test]
fn the_findings_own_figures_stand_in_the_drawing_and_in_its_words() {
    let plan = sample();
    for (finding, figures) in found() {
        let diagram = explain(&finding, &plan, PULL);
        let written: Vec<String> = words(&diagram).into_iter().map(|(text, _)| text).collect();
        for figure in figures {
            let figure = match (finding.rule, figure) {
                (Rule::Gauge, Measure::Length(mean)) => plan.settings.lengths.show_gauge(mean),
                _ => shown(Some(figure), plan.settings.lengths),
            };
            let has = |text: &String| text.contains(&figure);
            assert!(written.iter().any(has), "{:?}: no {figure} in {written:?}", finding.rule);
            assert!(has(&diagram.says), "{:?}: no {figure} in {}", finding.rule, diagram.says);
        }
    }
}

#[test]
fn the_grain_is_drawn_on_the_side_it_lies_on() {
    let mut plan = sample();
    let finding = &found().into_iter().find(|(f, _)| f.rule == Rule::Texture).expect("texture").0;
    plan.stock.texture = Texture::AgainstMold;
    assert!(explain(finding, &plan, PULL).says.contains("inside"));
    plan.stock.texture = Texture::AwayFromMold;
    assert!(explain(finding, &plan, PULL).says.contains("outside"));
}
