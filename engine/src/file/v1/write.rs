//! A plan into version 1 of the saved form.

use super::{
    Circle, Clearance, Edge, Extent, Footprint, Lip, Machine, Mold, Outline, Placement, Plan,
    Platen, Polygon, Pull, Relief, RoundedRectangle, Settings, Size, Stock, Taper, angle,
};
use crate::geometry::Ring;
use crate::plan;
use crate::units::Length;

impl Plan {
    /// The plan in this form; `None` when it has a least wall, or a mold a relief that this version does not know.
    pub(in crate::file) fn of(plan: &plan::Plan) -> Option<Self> {
        if plan.settings.least_wall.is_some() {
            return None;
        }
        let molds = plan.molds.iter().map(|(id, mold)| Mold::new(id.0, mold));
        Some(Self {
            onepull: 1,
            name: plan.name.clone(),
            machine: plan.machine.into(),
            stock: plan.stock.into(),
            settings: plan.settings.into(),
            molds: molds.collect::<Option<_>>()?,
            pulls: plan.pulls.iter().map(|(id, pull)| Pull::new(id.0, pull)).collect(),
        })
    }
}

impl From<plan::Size> for Size {
    fn from(size: plan::Size) -> Self {
        Self { width_mm: size.width.to_mm(), depth_mm: size.depth.to_mm() }
    }
}

impl From<plan::Machine> for Machine {
    fn from(machine: plan::Machine) -> Self {
        let plan::Machine { blank, lip, platen, clears } = machine;
        Self {
            blank: blank.into(),
            lip: Lip {
                front_mm: lip.front.to_mm(),
                back_mm: lip.back.to_mm(),
                left_mm: lip.left.to_mm(),
                right_mm: lip.right.to_mm(),
            },
            platen: Platen {
                left_mm: platen.min.x,
                front_mm: platen.min.y,
                right_mm: platen.max.x,
                back_mm: platen.max.y,
            },
            clears_mm: clears.to_mm(),
        }
    }
}

impl From<plan::Stock> for Stock {
    fn from(stock: plan::Stock) -> Self {
        let plan::Stock { plastic, gauge, sheet, texture, film, price } = stock;
        Self {
            plastic: plastic.into(),
            gauge_mm: gauge.to_mm(),
            sheet: sheet.into(),
            texture: texture.into(),
            film: film.into(),
            price_hundredths: price.map(|price| price.to_hundredths()),
        }
    }
}

impl From<plan::Settings> for Settings {
    fn from(settings: plan::Settings) -> Self {
        let plan::Settings {
            clearance,
            edge,
            male_height_to_width,
            female_height_to_width,
            least_wall: _,
            lengths,
        } = settings;
        Self {
            clearance: Clearance {
                factor: clearance.factor,
                basis: clearance.basis.into(),
                least_mm: clearance.least.to_mm(),
            },
            edge: Edge { factor: edge.factor, least_mm: edge.least.to_mm() },
            male_height_to_width,
            female_height_to_width,
            lengths: lengths.into(),
        }
    }
}

impl Mold {
    fn new(id: u32, mold: &plan::Mold) -> Option<Self> {
        let (draft_deg, draft_rad) = angle::to_saved(mold.draft);
        Some(Self {
            id,
            name: mold.name.clone(),
            footprint: (&mold.footprint).into(),
            kind: mold.kind.into(),
            height_mm: mold.height.to_mm(),
            spacer_mm: mold.spacer.to_mm(),
            relief: Relief::of(&mold.relief)?,
            draft_deg,
            draft_rad,
            turns: mold.turns.into(),
            copies: mold.copies,
            trim_mm: mold.trim.to_mm(),
        })
    }
}

impl From<&plan::Footprint> for Footprint {
    fn from(footprint: &plan::Footprint) -> Self {
        use plan::Footprint as From;
        let corners = |ring: &Ring| ring.points().iter().map(|p| [p.x, p.y]).collect();
        match footprint {
            From::Rectangle { width, depth } => Self::Rectangle(Extent::new(*width, *depth)),
            From::RoundedRectangle { width, depth, radius } => {
                Self::RoundedRectangle(RoundedRectangle {
                    width_mm: width.to_mm(),
                    depth_mm: depth.to_mm(),
                    radius_mm: radius.to_mm(),
                })
            }
            From::Circle { diameter } => Self::Circle(Circle { diameter_mm: diameter.to_mm() }),
            From::Ellipse { width, depth } => Self::Ellipse(Extent::new(*width, *depth)),
            From::Polygon { sides, diameter } => {
                Self::Polygon(Polygon { sides: *sides, diameter_mm: diameter.to_mm() })
            }
            From::Outline { outer, holes } => Self::Outline(Outline {
                outer_mm: corners(outer),
                holes_mm: holes.iter().map(corners).collect(),
            }),
        }
    }
}

impl Extent {
    fn new(width: Length, depth: Length) -> Self {
        Self { width_mm: width.to_mm(), depth_mm: depth.to_mm() }
    }
}

impl Relief {
    fn of(relief: &plan::Relief) -> Option<Self> {
        match relief {
            plan::Relief::FlatTop { edge } => (*edge <= Length::ZERO).then_some(Self::FlatTop),
            plan::Relief::Dome => Some(Self::Dome),
            plan::Relief::Taper { top } => Some(Self::Taper(Taper { top: *top })),
            plan::Relief::Stepped { .. } | plan::Relief::Heights(_) => None,
        }
    }
}

impl Pull {
    pub(in crate::file) fn new(id: u32, pull: &plan::Pull) -> Self {
        let placements = pull.placements.iter().map(|(id, p)| Placement::new(id.0, p)).collect();
        Self { id, name: pull.name.clone(), placements }
    }
}

impl Placement {
    fn new(id: u32, placement: &plan::Placement) -> Self {
        let plan::Placement { mold, copy, pose, locked } = *placement;
        let (turn_deg, turn_rad) = angle::to_saved(pose.turn);
        let (x_mm, y_mm) = (pose.at.x, pose.at.y);
        Self { id, mold: mold.0, copy: copy.0, x_mm, y_mm, turn_deg, turn_rad, locked }
    }
}
