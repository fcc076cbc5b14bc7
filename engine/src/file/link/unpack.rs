//! Whole numbers into the parts of a plan, which are not checked yet.

use super::compact::{Footprint, Machine, Mold, Placement, Plan, Plan2, Pull, Settings, Stock};
use super::relief::Says;
use super::{outline, steps::unsteps};
use crate::file::assemble::{Parts, PullParts};
use crate::geometry::{Point, Pose, Rect};
use crate::plan::{self, CopyNumber, MoldId, PlacementId, PullId};
use crate::units::{Angle, Length, Price};

impl<R: Says> Plan<R> {
    /// The parts of the plan; `None` when an outline leads nowhere or a grid is not whole.
    pub(super) fn into_parts(self) -> Option<Parts> {
        Some(Parts {
            name: self.name,
            machine: self.machine.into(),
            stock: self.stock.into(),
            settings: self.settings.into(),
            molds: self.molds.into_iter().map(Mold::into_parts).collect::<Option<_>>()?,
            pulls: vec![self.pull.into()],
            batch: None,
            cutting: None,
            order: Vec::new(),
        })
    }
}

impl Plan2 {
    /// As [`Plan::into_parts`].
    pub(super) fn into_parts(self) -> Option<Parts> {
        let mut parts = self.plan.into_parts()?;
        parts.settings.least_wall = self.least_wall.map(length);
        Some(parts)
    }
}

pub(super) fn length(micrometres: i32) -> Length {
    Length::mm(one(micrometres))
}

pub(super) fn one(thousandths: i32) -> f64 {
    unsteps(thousandths, 1000.0)
}

pub(super) fn angle(millidegrees: i32) -> Angle {
    Angle::degrees(one(millidegrees))
}

fn size([width, depth]: [i32; 2]) -> plan::Size {
    plan::Size::new(length(width), length(depth))
}

impl From<Machine> for plan::Machine {
    fn from(machine: Machine) -> Self {
        let [front, back, left, right] = machine.lip.map(length);
        let [min_x, min_y, max_x, max_y] = machine.platen.map(one);
        Self {
            blank: size(machine.blank),
            lip: plan::Sides { front, back, left, right },
            platen: Rect { min: Point::new(min_x, min_y), max: Point::new(max_x, max_y) },
            clears: length(machine.clears),
        }
    }
}

impl From<Stock> for plan::Stock {
    fn from(stock: Stock) -> Self {
        Self {
            plastic: stock.plastic.into(),
            gauge: length(stock.gauge),
            sheet: size(stock.sheet),
            texture: stock.texture.into(),
            film: stock.film.into(),
            price: stock.price.map(Price::hundredths),
        }
    }
}

impl From<Settings> for plan::Settings {
    fn from(settings: Settings) -> Self {
        let (factor, basis, least) = settings.clearance;
        let clearance =
            plan::ClearanceRule { factor: one(factor), basis: basis.into(), least: length(least) };
        let (factor, least) = settings.edge;
        let [male_height_to_width, female_height_to_width] = settings.height_to_width.map(one);
        Self {
            clearance,
            edge: plan::EdgeRule { factor: one(factor), least: length(least) },
            male_height_to_width,
            female_height_to_width,
            least_wall: None,
            lengths: settings.lengths.into(),
        }
    }
}

impl<R: Says> Mold<R> {
    fn into_parts(self) -> Option<(MoldId, plan::Mold)> {
        let mold = plan::Mold {
            name: self.name,
            footprint: self.footprint.into_model()?,
            kind: self.kind.into(),
            height: length(self.height),
            spacer: length(self.spacer),
            relief: self.relief.into_model()?,
            draft: angle(self.draft),
            turns: self.turns.into(),
            copies: self.copies,
            trim: length(self.trim),
        };
        Some((MoldId(self.id), mold))
    }
}

impl Footprint {
    fn into_model(self) -> Option<plan::Footprint> {
        Some(match self {
            Self::Rectangle(sides) => {
                let [width, depth] = sides.map(length);
                plan::Footprint::Rectangle { width, depth }
            }
            Self::RoundedRectangle(lengths) => {
                let [width, depth, radius] = lengths.map(length);
                plan::Footprint::RoundedRectangle { width, depth, radius }
            }
            Self::Circle(diameter) => plan::Footprint::Circle { diameter: length(diameter) },
            Self::Ellipse(sides) => {
                let [width, depth] = sides.map(length);
                plan::Footprint::Ellipse { width, depth }
            }
            Self::Polygon(sides, diameter) => {
                plan::Footprint::Polygon { sides, diameter: length(diameter) }
            }
            Self::Outline(outer, holes) => plan::Footprint::Outline {
                outer: outline::unpacked(&outer)?,
                holes: holes.iter().map(outline::unpacked).collect::<Option<_>>()?,
            },
        })
    }
}

impl From<Pull> for PullParts {
    fn from(pull: Pull) -> Self {
        let placements = pull.placements.into_iter().map(Placement::into_parts).collect();
        Self { id: PullId(pull.id), name: pull.name, stock: None, placements }
    }
}

impl Placement {
    fn into_parts(self) -> (PlacementId, plan::Placement) {
        let [x, y] = self.at.map(one);
        let placement = plan::Placement {
            mold: MoldId(self.mold),
            copy: CopyNumber(self.copy),
            pose: Pose::new(Point::new(x, y), angle(self.turn)),
            locked: self.locked,
        };
        (PlacementId(self.id), placement)
    }
}
