//! How each role is inked on paper: black on white, line widths in millimetres.
//!
//! The true edge is the middle of a line. Widths follow the steps of ISO 128-2:2020 (0.18, 0.25, 0.35, 0.5 mm);
//! a centre line is dash and dot as there.

use crate::drawing::Role;
use crate::rules::Severity;

/// A shade from black, 0, to white, 1.
pub(super) type Grey = f64;

/// How a shape is inked. Lettering is always black.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ink {
    pub(super) stroke: Option<Stroke>,
    pub(super) fill: Option<Grey>,
}

/// A line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stroke {
    /// In millimetres.
    pub(super) width: f64,
    pub(super) grey: Grey,
    /// Lengths of dashes and gaps in millimetres; empty for a whole line.
    pub(super) dash: &'static [f64],
}

const THIN: f64 = 0.18;
const FINE: f64 = 0.25;
const MIDDLE: f64 = 0.35;
const BOLD: f64 = 0.5;

const SHORT: &[f64] = &[2.0, 1.5];
const LONG: &[f64] = &[5.0, 2.0];
const DASH_DOT: &[f64] = &[9.0, 1.5, 0.8, 1.5];
const DOTS: &[f64] = &[0.8, 1.6];

/// The steps of a scale in greys that can be told apart, the most being the darkest.
const STEPS: [Grey; 10] = [0.96, 0.88, 0.8, 0.72, 0.64, 0.56, 0.48, 0.4, 0.32, 0.2];

/// The ink of a role.
pub(super) const fn ink(role: Role) -> Ink {
    match role {
        Role::ClampLip => filled(0.92),
        Role::MapHere => filled(0.6),
        Role::Offcut => filled(0.9),
        Role::Share(step) => filled(STEPS[(if step < 9 { step } else { 9 }) as usize]),
        Role::Sheet => line(BOLD, 0.0, &[]),
        Role::CutBlank | Role::Dimension | Role::Axis => line(THIN, 0.35, &[]),
        Role::Score | Role::Peak => line(MIDDLE, 0.0, &[]),
        Role::PhotoMark => filled(0.0),
        Role::Platen => line(FINE, 0.3, LONG),
        Role::CentreLine => line(THIN, 0.35, DASH_DOT),
        Role::Opening | Role::CentreCross | Role::MatchMark | Role::CheckBar => {
            line(FINE, 0.0, &[])
        }
        Role::Blank | Role::Mold | Role::FormedSheet => line(BOLD, 0.0, &[]),
        Role::ClearanceZone => line(FINE, 0.3, DOTS),
        Role::TrimLine => line(FINE, 0.0, SHORT),
        Role::TurnMark => {
            Ink { stroke: Some(Stroke { width: MIDDLE, grey: 0.0, dash: &[] }), fill: Some(0.0) }
        }
        Role::Gap | Role::Picture | Role::Corner => line(FINE, 0.0, &[]),
        Role::FindingMark(Severity::Stop) => line(BOLD, 0.0, &[]),
        Role::FindingMark(Severity::Caution) => line(MIDDLE, 0.0, &[]),
        Role::FindingMark(Severity::Note) => line(FINE, 0.0, SHORT),
        Role::CutLine => line(FINE, 0.0, LONG),
        Role::TileEdge | Role::MapTile | Role::MapSkipped | Role::Rule | Role::TickBox => {
            line(THIN, 0.35, &[])
        }
        Role::Front
        | Role::CutNumber
        | Role::Number
        | Role::Name
        | Role::Height
        | Role::Turn
        | Role::GapFigure
        | Role::CheckFigure
        | Role::Title
        | Role::Note => line(THIN, 0.0, &[]),
    }
}

const fn line(width: f64, grey: Grey, dash: &'static [f64]) -> Ink {
    Ink { stroke: Some(Stroke { width, grey, dash }), fill: None }
}

const fn filled(grey: Grey) -> Ink {
    Ink { stroke: None, fill: Some(grey) }
}
