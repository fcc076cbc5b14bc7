//! The largest plan accepted, so that no file, link or typing slip can exhaust a tablet.

use crate::units::{Angle, Length, Seconds};

/// Characters in a name.
pub const NAME_CHARS: usize = 80;
/// Molds in a plan.
pub const MOLDS: usize = 200;
/// Pulls in a plan.
pub const PULLS: usize = 200;
/// Placements in one pull.
pub const PLACEMENTS: usize = 200;
/// Corners of one outline, its holes included.
pub const OUTLINE_CORNERS: usize = 2000;
/// Corners of all outlines of a plan.
pub const PLAN_CORNERS: usize = 20_000;
/// Holes in one outline.
pub const HOLES: usize = 50;
/// Steps of one mold.
pub const STEPS: usize = 8;
/// Cells along either side of the heights of one mold.
pub const GRID_SIDE: usize = 96;
/// Cells of the heights of all molds of a plan: more than twenty full grids.
pub const PLAN_CELLS: usize = 200_000;
/// Copies of one mold.
pub const COPIES: u32 = 100;
/// Sides of a regular polygon: from 3 to this.
pub const POLYGON_SIDES: u32 = 64;
/// The shortest blank or stock sheet side.
pub const SHEET_LEAST: Length = Length::mm(10.0);
/// The longest blank, platen or stock sheet side.
pub const SHEET_MOST: Length = Length::mm(5000.0);
/// The farthest a coordinate may lie from its origin.
pub const COORDINATE: Length = Length::mm(10_000.0);
/// The largest footprint side, and the smallest that is not a typing slip.
pub const FOOTPRINT_MOST: Length = Length::mm(5000.0);
/// The smallest side, diameter or radius of a parametric footprint.
pub const FOOTPRINT_LEAST: Length = Length::mm(0.1);
/// The tallest mold, spacer or clearance of the machine.
pub const HEIGHT_MOST: Length = Length::mm(2000.0);
/// The thinnest and the thickest sheet.
pub const GAUGE: (Length, Length) = (Length::mm(0.05), Length::mm(25.0));
/// The steepest draft; beyond it a wall is a floor.
pub const DRAFT_MOST: Angle = Angle::degrees(80.0);
/// The clearance factor's range: below 0.5 a rule says nothing, above 3 no source goes.
pub const CLEARANCE_FACTOR: (f64, f64) = (0.5, 3.0);
/// The edge factor's range.
pub const EDGE_FACTOR: (f64, f64) = (0.0, 3.0);
/// The largest least gap or trim allowance.
pub const GAP_MOST: Length = Length::mm(500.0);
/// The range of the height-to-width limits.
pub const HEIGHT_TO_WIDTH: (f64, f64) = (0.1, 10.0);
/// Kits in a batch.
pub const KITS: u32 = 10_000;
/// Parts of one mold in a kit.
pub const PER_KIT: u32 = 1000;
/// Spares: as many as the kits need once more.
pub const SPARES_PERCENT: u32 = 100;
/// How often one pull is made: as often as any batch within the limits asks for.
pub const TIMES: u32 = KITS * PER_KIT * 2;
/// Sheets besides the plan's own.
pub const STOCKS: usize = 20;
/// The longest step of a pull, and the longest change of layout: four hours.
pub const STEP_TIME_MOST: Seconds = Seconds::new(14_400.0);
/// The widest kerf, wander of a cut, or least strip.
pub const CUT_MOST: Length = Length::mm(100.0);
/// Blanks cut in one go.
pub const BLANKS: u32 = 5000;
/// Kinds of offcuts that lie about.
pub const OFFCUTS: usize = 50;
/// Equal offcuts.
pub const EQUAL_OFFCUTS: u32 = 100;
