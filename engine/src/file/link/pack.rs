//! A plan into whole numbers, rounded.

use super::compact::{Footprint, Machine, Mold, Placement, Plan, Plan2, Pull, Settings, Stock};
use super::relief::Says;
use super::{outline, steps::steps};
use crate::plan::{self, PullId};
use crate::units::{Angle, Length};

impl<R: Says> Plan<R> {
    /// The plan with one of its pulls; `None` when it has no such pull, or something that the version does not know.
    pub(super) fn new(plan: &plan::Plan, id: PullId) -> Option<Self> {
        plan.settings.least_wall.is_none().then(|| Self::without_least_wall(plan, id))?
    }

    fn without_least_wall(plan: &plan::Plan, id: PullId) -> Option<Self> {
        let pull = plan.pulls.get(&id)?;
        let placements = pull.placements.iter().map(|(id, p)| Placement::new(id.0, p)).collect();
        Some(Self {
            name: plan.name.clone(),
            machine: plan.machine.into(),
            stock: (*plan.stock_of_pull(id)).into(),
            settings: plan.settings.into(),
            molds: plan
                .molds
                .iter()
                .map(|(id, mold)| Mold::new(id.0, mold))
                .collect::<Option<_>>()?,
            pull: Pull { id: id.0, name: pull.name.clone(), placements },
        })
    }
}

impl Plan2 {
    /// The plan with one of its pulls; `None` when it has no such pull.
    pub(super) fn new(plan: &plan::Plan, id: PullId) -> Option<Self> {
        let least_wall = plan.settings.least_wall.map(micrometres);
        Some(Self { plan: Plan::without_least_wall(plan, id)?, least_wall })
    }
}

pub(super) fn micrometres(length: Length) -> i32 {
    thousandths(length.to_mm())
}

pub(super) fn thousandths(value: f64) -> i32 {
    steps(value, 1000.0)
}

pub(super) fn millidegrees(angle: Angle) -> i32 {
    thousandths(angle.to_degrees())
}

fn size(size: plan::Size) -> [i32; 2] {
    [micrometres(size.width), micrometres(size.depth)]
}

impl From<plan::Machine> for Machine {
    fn from(machine: plan::Machine) -> Self {
        let plan::Machine { blank, lip, platen, clears } = machine;
        let edges = [platen.min.x, platen.min.y, platen.max.x, platen.max.y];
        Self {
            blank: size(blank),
            lip: [lip.front, lip.back, lip.left, lip.right].map(micrometres),
            platen: edges.map(thousandths),
            clears: micrometres(clears),
        }
    }
}

impl From<plan::Stock> for Stock {
    fn from(stock: plan::Stock) -> Self {
        let plan::Stock { plastic, gauge, sheet, texture, film, price } = stock;
        Self {
            plastic: plastic.into(),
            gauge: micrometres(gauge),
            sheet: size(sheet),
            texture: texture.into(),
            film: film.into(),
            price: price.map(|price| price.to_hundredths()),
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
            clearance: (
                thousandths(clearance.factor),
                clearance.basis.into(),
                micrometres(clearance.least),
            ),
            edge: (thousandths(edge.factor), micrometres(edge.least)),
            height_to_width: [male_height_to_width, female_height_to_width].map(thousandths),
            lengths: lengths.into(),
        }
    }
}

impl<R: Says> Mold<R> {
    fn new(id: u32, mold: &plan::Mold) -> Option<Self> {
        Some(Self {
            id,
            name: mold.name.clone(),
            footprint: (&mold.footprint).into(),
            kind: mold.kind.into(),
            height: micrometres(mold.height),
            spacer: micrometres(mold.spacer),
            relief: R::of(mold)?,
            draft: millidegrees(mold.draft),
            turns: mold.turns.into(),
            copies: mold.copies,
            trim: micrometres(mold.trim),
        })
    }
}

impl From<&plan::Footprint> for Footprint {
    fn from(footprint: &plan::Footprint) -> Self {
        use plan::Footprint as From;
        match footprint {
            From::Rectangle { width, depth } => {
                Self::Rectangle([micrometres(*width), micrometres(*depth)])
            }
            From::RoundedRectangle { width, depth, radius } => {
                let (width, depth) = (micrometres(*width), micrometres(*depth));
                // A slot stays one: half an odd number of micrometres must not round up.
                let radius = micrometres(*radius).min(width.min(depth) / 2);
                Self::RoundedRectangle([width, depth, radius])
            }
            From::Circle { diameter } => Self::Circle(micrometres(*diameter)),
            From::Ellipse { width, depth } => {
                Self::Ellipse([micrometres(*width), micrometres(*depth)])
            }
            From::Polygon { sides, diameter } => Self::Polygon(*sides, micrometres(*diameter)),
            From::Outline { outer, holes } => {
                Self::Outline(outline::packed(outer), holes.iter().map(outline::packed).collect())
            }
        }
    }
}

impl Placement {
    fn new(id: u32, placement: &plan::Placement) -> Self {
        let plan::Placement { mold, copy, pose, locked } = *placement;
        Self {
            id,
            mold: mold.0,
            copy: copy.0,
            at: [thousandths(pose.at.x), thousandths(pose.at.y)],
            turn: millidegrees(pose.turn) % 360_000,
            locked,
        }
    }
}
