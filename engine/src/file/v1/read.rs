//! Version 1 of the saved form into the parts of a plan, which are not checked yet.

use super::{
    Footprint, Machine, Mold, Placement, Plan, Pull, Relief, Settings, Size, Stock, angle,
};
use crate::file::assemble::{Part, Parts, PullParts};
use crate::geometry::{Point, Pose, Rect, Ring};
use crate::plan::{self, CopyNumber, MoldId, PlacementId, PullId};
use crate::units::{Angle, Length, Price};

/// Degrees and radians of one angle that do not agree.
#[derive(Debug)]
pub(in crate::file) struct TwoAngles {
    pub(in crate::file) part: Part,
    pub(in crate::file) deg: f64,
    pub(in crate::file) rad: f64,
}

impl Plan {
    /// The parts of the plan that this form says.
    pub(in crate::file) fn into_parts(self) -> Result<Parts, TwoAngles> {
        let molds = self.molds.into_iter().enumerate();
        let pulls = self.pulls.into_iter().enumerate();
        Ok(Parts {
            name: self.name,
            machine: self.machine.into(),
            stock: self.stock.into(),
            settings: self.settings.into(),
            molds: molds.map(|(n, mold)| mold.into_parts(n)).collect::<Result<_, _>>()?,
            pulls: pulls.map(|(n, pull)| pull.into_parts(n)).collect::<Result<_, _>>()?,
            batch: None,
            cutting: None,
            order: Vec::new(),
        })
    }
}

impl From<Size> for plan::Size {
    fn from(size: Size) -> Self {
        Self::new(Length::mm(size.width_mm), Length::mm(size.depth_mm))
    }
}

impl From<Machine> for plan::Machine {
    fn from(machine: Machine) -> Self {
        let Machine { blank, lip, platen, clears_mm } = machine;
        Self {
            blank: blank.into(),
            lip: plan::Sides {
                front: Length::mm(lip.front_mm),
                back: Length::mm(lip.back_mm),
                left: Length::mm(lip.left_mm),
                right: Length::mm(lip.right_mm),
            },
            platen: Rect {
                min: Point::new(platen.left_mm, platen.front_mm),
                max: Point::new(platen.right_mm, platen.back_mm),
            },
            clears: Length::mm(clears_mm),
        }
    }
}

impl From<Stock> for plan::Stock {
    fn from(stock: Stock) -> Self {
        Self {
            plastic: stock.plastic.into(),
            gauge: Length::mm(stock.gauge_mm),
            sheet: stock.sheet.into(),
            texture: stock.texture.into(),
            film: stock.film.into(),
            price: stock.price_hundredths.map(Price::hundredths),
        }
    }
}

impl From<Settings> for plan::Settings {
    fn from(settings: Settings) -> Self {
        let Settings { clearance, edge, .. } = settings;
        Self {
            clearance: plan::ClearanceRule {
                factor: clearance.factor,
                basis: clearance.basis.into(),
                least: Length::mm(clearance.least_mm),
            },
            edge: plan::EdgeRule { factor: edge.factor, least: Length::mm(edge.least_mm) },
            male_height_to_width: settings.male_height_to_width,
            female_height_to_width: settings.female_height_to_width,
            least_wall: None,
            lengths: settings.lengths.into(),
        }
    }
}

impl Mold {
    fn into_parts(self, n: usize) -> Result<(MoldId, plan::Mold), TwoAngles> {
        let mold = plan::Mold {
            name: self.name,
            footprint: self.footprint.into(),
            kind: self.kind.into(),
            height: Length::mm(self.height_mm),
            spacer: Length::mm(self.spacer_mm),
            relief: self.relief.into(),
            draft: one_angle(self.draft_deg, self.draft_rad, Part::Mold(n))?,
            turns: self.turns.into(),
            copies: self.copies,
            trim: Length::mm(self.trim_mm),
        };
        Ok((MoldId(self.id), mold))
    }
}

impl From<Footprint> for plan::Footprint {
    fn from(footprint: Footprint) -> Self {
        match footprint {
            Footprint::Rectangle(e) => {
                Self::Rectangle { width: Length::mm(e.width_mm), depth: Length::mm(e.depth_mm) }
            }
            Footprint::RoundedRectangle(r) => Self::RoundedRectangle {
                width: Length::mm(r.width_mm),
                depth: Length::mm(r.depth_mm),
                radius: Length::mm(r.radius_mm),
            },
            Footprint::Circle(c) => Self::Circle { diameter: Length::mm(c.diameter_mm) },
            Footprint::Ellipse(e) => {
                Self::Ellipse { width: Length::mm(e.width_mm), depth: Length::mm(e.depth_mm) }
            }
            Footprint::Polygon(p) => {
                Self::Polygon { sides: p.sides, diameter: Length::mm(p.diameter_mm) }
            }
            Footprint::Outline(outline) => Self::Outline {
                outer: ring(outline.outer_mm),
                holes: outline.holes_mm.into_iter().map(ring).collect(),
            },
        }
    }
}

fn ring(corners: Vec<[f64; 2]>) -> Ring {
    Ring::new(corners.into_iter().map(|[x, y]| Point::new(x, y)).collect())
}

impl From<Relief> for plan::Relief {
    fn from(relief: Relief) -> Self {
        match relief {
            Relief::FlatTop => Self::FLAT,
            Relief::Dome => Self::Dome,
            Relief::Taper(taper) => Self::Taper { top: taper.top },
        }
    }
}

impl Pull {
    pub(in crate::file) fn into_parts(self, n: usize) -> Result<PullParts, TwoAngles> {
        let placements = self.placements.into_iter().enumerate();
        let placements = placements
            .map(|(placement, p)| p.into_parts(Part::Placement { pull: n, placement }))
            .collect::<Result<_, _>>()?;
        Ok(PullParts { id: PullId(self.id), name: self.name, stock: None, placements })
    }
}

impl Placement {
    fn into_parts(self, part: Part) -> Result<(PlacementId, plan::Placement), TwoAngles> {
        let turn = one_angle(self.turn_deg, self.turn_rad, part)?;
        let placement = plan::Placement {
            mold: MoldId(self.mold),
            copy: CopyNumber(self.copy),
            pose: Pose::new(Point::new(self.x_mm, self.y_mm), turn),
            locked: self.locked,
        };
        Ok((PlacementId(self.id), placement))
    }
}

/// The angle that degrees, and radians where they stand, say.
pub(in crate::file) fn one_angle(
    deg: f64,
    rad: Option<f64>,
    part: Part,
) -> Result<Angle, TwoAngles> {
    let wrong = TwoAngles { part, deg, rad: rad.unwrap_or_default() };
    angle::from_saved(deg, rad).ok_or(wrong)
}
