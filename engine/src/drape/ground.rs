//! What the sheet is drawn to: molds on their spacers over the platen, as one height for each cell of a grid.

use super::Contact;
use super::map::index_to_f64;
use super::vector::{Vec3, blend, length, sub};
use crate::geometry::{
    HeightField, Point, Pose, PoseMap, Rect, Region, Ring, Shape, Vec2, greater, lesser, offset,
    tolerance,
};
use crate::plan::{Mold, MoldKind, Placement, PlacementId, Plan, Pull, Relief};
use crate::units::Length;

/// The block round a cavity is at least this wide; our own choice, since a plan says nothing of it.
const LEAST_RIM: Length = Length::mm(5.0);

/// No mold owns the cell.
const NOBODY: u16 = u16::MAX;

/// Heights are rounded to this part of a millimetre, so that what is symmetric but for rounding becomes so to the last bit.
/// Neither decimal sizes nor halves of them lie midway between two such parts, where a rounding would decide.
const PARTS: f64 = 30_000.0;

/// Heights under the opening, millimetres over the platen, read between the middles of cells.
///
/// Places are told from the middle of the opening, but for those that are a [`Point`] of the blank: so mirrored places
/// differ in signs alone, and are read the same to the last bit.
#[derive(Clone, Debug)]
pub(super) struct Ground {
    field: HeightField,
    owner: Vec<u16>,
    ids: Vec<PlacementId>,
    /// Where walls begin, seen from above: nodes of the net are drawn there.
    pub(super) brows: Vec<Shape>,
    /// The middle of the opening on the blank.
    middle: Point,
    per_mm: f64,
    /// Cells from the middle one to the last, both ways.
    half: [f64; 2],
    ceiling: Ceiling,
}

/// The highest ground in and next to each square tile: most of the sheet is above it most of the time.
#[derive(Clone, Debug)]
struct Ceiling {
    heights: Vec<f64>,
    columns: usize,
    rows: usize,
}

/// A place this near to an outline is on it, in millimetres.
const ON_OUTLINE: f64 = 1e-9;

/// Cells along the side of a tile.
const TILE: usize = 6;

impl Ceiling {
    fn over(field: &HeightField) -> Self {
        let (columns, rows) = (field.columns().div_ceil(TILE), field.rows().div_ceil(TILE));
        let mut own = vec![0.0_f64; columns * rows];
        for (index, height) in field.heights().iter().enumerate() {
            let (column, row) = (index % field.columns(), index / field.columns());
            let tile = &mut own[row / TILE * columns + column / TILE];
            // More than a rounding above it, so that what is clear of it is so by all ways to reckon.
            *tile = tile.max(f64::from(*height) + 1e-9);
        }
        let mut heights = own.clone();
        for row in 0..rows {
            for column in 0..columns {
                let near_rows = row.saturating_sub(1)..(row + 2).min(rows);
                let near_columns = column.saturating_sub(1)..(column + 2).min(columns);
                let near =
                    near_rows.flat_map(|r| near_columns.clone().map(move |c| r * columns + c));
                heights[row * columns + column] = near.map(|at| own[at]).fold(0.0, f64::max);
            }
        }
        Self { heights, columns, rows }
    }
}

impl Ground {
    /// The bare platen under an opening.
    pub(super) fn flat(opening: Rect, spacing: Length) -> Self {
        let middle = opening.center();
        let half = Vec2::new(opening.width().to_mm(), opening.depth().to_mm()) * 0.5;
        let about = Rect { min: Point::ORIGIN - half, max: Point::ORIGIN + half };
        let field = HeightField::centred(about, spacing);
        let half_of = |cells: usize| index_to_f64(cells / 2);
        Self {
            owner: vec![NOBODY; field.heights().len()],
            ids: Vec::new(),
            brows: Vec::new(),
            middle,
            half: [half_of(field.columns()), half_of(field.rows())],
            per_mm: 1.0 / field.spacing().to_mm(),
            ceiling: Ceiling::over(&field),
            field,
        }
    }

    /// All that stands in a pull.
    pub(super) fn of(plan: &Plan, pull: &Pull, spacing: Length) -> Self {
        let mut ground = Self::flat(plan.machine.opening(), spacing);
        for (&id, placement) in &pull.placements {
            if let Some(mold) = plan.molds.get(&placement.mold) {
                ground.stand(id, mold, placement);
            }
        }
        ground.ceiling = Ceiling::over(&ground.field);
        ground
    }

    /// Heights given for each place.
    #[cfg(test)]
    pub(super) fn shaped(opening: Rect, spacing: Length, height: impl Fn(Point) -> f64) -> Self {
        let mut ground = Self::flat(opening, spacing);
        let columns = ground.field.columns();
        for cell in 0..ground.owner.len() {
            let height =
                height(ground.on_blank(ground.field.middle(cell % columns, cell / columns)));
            ground.field.heights_mut()[cell] = to_f32(height);
        }
        ground.ceiling = Ceiling::over(&ground.field);
        ground
    }

    /// Stands a mold on the platen; where molds share a place the higher counts.
    fn stand(&mut self, id: PlacementId, mold: &Mold, placement: &Placement) {
        let spacing = self.field.spacing();
        let standing = Standing::new(mold, placement.pose, spacing);
        let owner = u16::try_from(self.ids.len()).unwrap_or(NOBODY);
        self.ids.push(id);
        let bounds = standing.bounds();
        let off = self.middle.to_vec2();
        let bounds = Rect { min: bounds.min - off, max: bounds.max - off };
        let columns = self.field.columns_between(bounds.min.x, bounds.max.x);
        let width = self.field.columns();
        for row in self.field.rows_between(bounds.min.y, bounds.max.y) {
            let mut far = 0.0;
            for column in columns.clone() {
                // Cells this near to the last one that was asked about are as surely inside.
                far -= spacing.to_mm();
                let place = self.on_blank(self.field.middle(column, row));
                let height = if far > 0.0 {
                    Some(standing.height_within(place))
                } else {
                    let (height, distance) = standing.height_at(place);
                    far = -distance - standing.widest_wall();
                    height
                };
                let Some(height) = height else { continue };
                let cell = row * width + column;
                let height = to_f32(libm::round(height * PARTS) / PARTS);
                if self.field.heights()[cell] <= height {
                    self.field.heights_mut()[cell] = height;
                    self.owner[cell] = owner;
                }
            }
        }
        self.brows.extend(standing.brows(spacing));
    }

    fn on_blank(&self, place: Point) -> Point {
        place + self.middle.to_vec2()
    }

    /// The height at a place of the blank in millimetres.
    pub(super) fn height_at(&self, place: Point) -> f64 {
        self.height(place.x - self.middle.x, place.y - self.middle.y)
    }

    /// The height at a place in millimetres, read between four cells.
    ///
    /// The cell nearer to the middle lines comes first, and no axis before the other: so neither a mirror nor a quarter
    /// turn changes a bit.
    #[inline(always)]
    pub(super) fn height(&self, x: f64, y: f64) -> f64 {
        let ([a, b, c, d], [right, up]) = self.cells_about(x, y);
        let cells = self.field.heights();
        let near = f64::from(cells[a]);
        let (b, c, d) = (f64::from(cells[b]), f64::from(cells[c]), f64::from(cells[d]));
        let twist = (d + near) - (b + c);
        near + ((right * (b - near) + up * (c - near)) + right * up * twist)
    }

    /// The four cells that a place is read from: the one nearest to the middle, its neighbour along, its neighbour across,
    /// and the one beside both; and the shares of the way to the neighbours.
    #[inline(always)]
    fn cells_about(&self, x: f64, y: f64) -> ([usize; 4], [f64; 2]) {
        let (column, next, right) = outward(x * self.per_mm, self.half[0]);
        let (row, behind, up) = outward(y * self.per_mm, self.half[1]);
        let (row, behind) = (row * self.field.columns(), behind * self.field.columns());
        ([row + column, row + next, behind + column, behind + next], [right, up])
    }

    /// What stands square on the ground at a place, of length 1; over an edge, which is no sharper than half a cell, that of
    /// its rounding.
    pub(super) fn normal(&self, [x, y, _]: Vec3) -> Vec3 {
        let half = 0.5 * self.spacing();
        let along = (self.height(x + half, y) - self.height(x - half, y)) * self.per_mm;
        let back = (self.height(x, y + half) - self.height(x, y - half)) * self.per_mm;
        let size = (along * along + back * back + 1.0).sqrt();
        [-along / size, -back / size, 1.0 / size]
    }

    /// Where a way from above the ground to below it meets the ground.
    pub(super) fn landing(&self, from: Vec3, to: Vec3) -> Vec3 {
        let way = sub(to, from);
        let at = |share: f64| blend(1.0, from, share, way);
        let (mut above, mut below) = (0.0, 1.0);
        for _ in 0..20 {
            let middle = 0.5 * (above + below);
            let place = at(middle);
            if place[2] > self.height(place[0], place[1]) {
                above = middle;
            } else {
                below = middle;
            }
        }
        at(below)
    }

    /// A place as it is, or, when it is under the ground, where it comes out of it along a way, no farther than `far`; straight
    /// up where that way leads nowhere.
    pub(super) fn out_of(&self, place: Vec3, way: Vec3, far: f64) -> Vec3 {
        let height = self.height(place[0], place[1]);
        if place[2] >= height {
            return place;
        }
        let (size, step) = (length(way).max(1e-9), 0.5 * self.spacing());
        let mut gone = step;
        while gone <= far {
            let out = blend(1.0, place, gone / size, way);
            if out[2] > self.height(out[0], out[1]) {
                return self.landing(out, place);
            }
            gone += step;
        }
        [place[0], place[1], height]
    }

    /// True when a place is above all ground near it; when it is not, it may be above the ground all the same.
    #[inline(always)]
    pub(super) fn is_clear_of(&self, place: [f64; 3]) -> bool {
        let column = tile(place[0] * self.per_mm + self.half[0], self.ceiling.columns);
        let row = tile(place[1] * self.per_mm + self.half[1], self.ceiling.rows);
        place[2] > self.ceiling.heights[row * self.ceiling.columns + column]
    }

    /// Whose surface lies at a place: that of the highest of the cells it is read from.
    pub(super) fn contact(&self, x: f64, y: f64) -> Contact {
        let owners = self.cells_about(x, y).0.map(|cell| self.owner[cell]);
        let first = owners.into_iter().find(|owner| *owner != NOBODY);
        first
            .and_then(|owner| self.ids.get(usize::from(owner)))
            .map_or(Contact::Platen, |id| Contact::Mold(*id))
    }

    /// How far a place above the ground is from the nearest ground, no farther than straight down; in millimetres.
    pub(super) fn clearance(&self, [x, y, z]: [f64; 3]) -> f64 {
        let down = z - self.height(x, y);
        let mut nearest = down;
        let rows = self.field.rows_between(y - down, y + down);
        for row in rows {
            for column in self.field.columns_between(x - down, x + down) {
                let middle = self.field.middle(column, row);
                let height = f64::from(self.field.heights()[row * self.field.columns() + column]);
                let (aside, back) = (middle.x - x, middle.y - y);
                let below = (z - height).max(0.0);
                let distance = (aside * aside + back * back + below * below).sqrt();
                nearest = nearest.min(distance);
            }
        }
        nearest
    }

    /// True when no ground is this near to a place above it.
    pub(super) fn is_off(&self, [x, y, z]: [f64; 3], by: f64) -> bool {
        let slanted = by * std::f64::consts::FRAC_1_SQRT_2;
        z - self.height(x, y) > by
            && [-1.0, 1.0].iter().all(|side| {
                z > self.height(x + side * by, y)
                    && z > self.height(x, y + side * by)
                    && [-1.0, 1.0]
                        .iter()
                        .all(|other| z > self.height(x + side * slanted, y + other * slanted))
            })
    }

    /// From one cell to the next.
    pub(super) const fn spacing(&self) -> f64 {
        self.field.spacing().to_mm()
    }

    /// The highest place.
    pub(super) fn highest(&self) -> f64 {
        self.field.highest()
    }

    /// The highest place along the sides of a rectangle of the blank.
    pub(super) fn highest_along(&self, rect: Rect) -> f64 {
        let corners = rect.corners();
        let sides = corners.iter().zip(corners.iter().cycle().skip(1));
        let n_steps = (rect.width().max(rect.depth()).to_mm() * self.per_mm).clamp(1.0, 1e5);
        let mut highest = 0.0_f64;
        for (from, to) in sides {
            let mut step = 0.0;
            while step <= n_steps {
                let at = *from + (*to - *from) * (step / n_steps);
                highest = highest.max(self.height_at(at));
                step += 1.0;
            }
        }
        highest
    }

    /// The volume under all heights within a rectangle of the blank, in cubic millimetres.
    pub(super) fn volume(&self, within: Rect) -> f64 {
        let cell = self.spacing() * self.spacing();
        let (low, high) = (within.min - self.middle, within.max - self.middle);
        let columns = self.field.columns_between(low.x, high.x);
        let rows = self.field.rows_between(low.y, high.y);
        let width = self.field.columns();
        let row = |row: usize| -> f64 {
            columns.clone().map(|c| f64::from(self.field.heights()[row * width + c])).sum()
        };
        rows.map(row).sum::<f64>() * cell
    }

    /// The heights as they are shown.
    pub(super) fn into_field(self) -> HeightField {
        let corner = self.on_blank(self.field.corner());
        let (spacing, columns) = (self.field.spacing(), self.field.columns());
        let heights = self.field.heights().to_vec();
        HeightField::of(corner, spacing, columns, heights).unwrap_or(self.field)
    }
}

/// The cell towards the middle, the next one outward, and the share of the way to it, so many cells from the middle one.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the cells there are"
)]
#[inline(always)]
fn outward(cells: f64, half: f64) -> (usize, usize, f64) {
    let out = lesser(cells.abs(), half - 1e-6);
    let (whole, middle) = (out as usize, half as usize);
    let share = out - whole as f64;
    if cells < 0.0 {
        (middle - whole, middle - whole - 1, share)
    } else {
        (middle + whole, middle + whole + 1, share)
    }
}

/// The tile that a place is in, so many cells from the first.
#[inline(always)]
fn tile(cells: f64, count: usize) -> usize {
    between(cells * (1.0 / index_to_f64(TILE)), count + 1).0
}

/// A whole step and the rest of the way to the next, so that both ends are cells.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the cells there are"
)]
#[inline(always)]
fn between(steps: f64, count: usize) -> (usize, f64) {
    let most = index_to_f64(count) - 1.000_001;
    let steps = lesser(greater(0.0, steps), most);
    let whole = steps as usize;
    (whole, steps - index_to_f64(whole))
}

#[expect(clippy::cast_possible_truncation, reason = "a height to a ten-millionth is enough")]
pub(super) const fn to_f32(value: f64) -> f32 {
    value as f32
}

/// One mold where it stands.
struct Standing<'m> {
    mold: &'m Mold,
    pose: Pose,
    map: PoseMap,
    shape: Shape,
    heights: HeightField,
    rim: f64,
}

impl<'m> Standing<'m> {
    fn new(mold: &'m Mold, pose: Pose, spacing: Length) -> Self {
        let rim = match mold.kind {
            MoldKind::Male => 0.0,
            MoldKind::Female => mold.trim.max(LEAST_RIM).to_mm(),
        };
        let shape = Shape::new(mold.footprint.region(tolerance::DRAW));
        Self { mold, pose, map: pose.map(), shape, heights: mold.heights(spacing), rim }
    }

    /// What it covers on the blank, with the lean of its walls.
    fn bounds(&self) -> Rect {
        let about = self.shape.bounds().grown(Length::mm(self.rim) + self.heights.spacing());
        let corners = about.corners().map(|corner| self.map.apply(corner));
        Rect::around(corners).unwrap_or_default()
    }

    /// The height of its surface over the platen at a place of the blank, none beside it; and how far the place is
    /// from its outline, negative inside.
    ///
    /// An upright wall is a slope one cell wide over its outline, so that it runs straight however it lies to the cells.
    fn height_at(&self, place: Point) -> (Option<f64>, f64) {
        let own = self.map.invert(place);
        let cell = self.heights.spacing().to_mm();
        let Some((foot, distance)) = self.shape.nearest_outline(own) else {
            return (None, f64::MAX);
        };
        let is_near = |distance: f64| (0.5 - distance / cell).clamp(0.0, 1.0);
        let inside = is_near(distance);
        let own_height = if inside > 0.0 { self.relief_at(own, foot, distance) } else { 0.0 };
        let height = match self.mold.kind {
            MoldKind::Male => {
                (inside > 0.0).then(|| inside * (self.mold.spacer.to_mm() + own_height))
            }
            MoldKind::Female => {
                let block = is_near(distance - self.rim);
                let top = self.mold.standing_height().to_mm();
                (block > 0.0).then_some(block * (top - inside * own_height))
            }
        };
        (height, distance)
    }

    /// The height at a place that is farther inside than a wall is wide.
    fn height_within(&self, place: Point) -> f64 {
        let height = smooth(&self.heights, self.map.invert(place));
        match self.mold.kind {
            MoldKind::Male => self.mold.spacer.to_mm() + height,
            MoldKind::Female => self.mold.standing_height().to_mm() - height,
        }
    }

    /// How far inside a place is told of the outline.
    fn widest_wall(&self) -> f64 {
        1.001 * self.heights.spacing().to_mm()
    }

    /// The mold's own height; near the outline, where cells beyond it would be read too, carried on from farther inside.
    fn relief_at(&self, own: Point, foot: Point, distance: f64) -> f64 {
        let cell = self.heights.spacing().to_mm();
        if distance <= -cell {
            return smooth(&self.heights, own);
        }
        if distance.abs() < ON_OUTLINE {
            return self.relief_about(own);
        }
        let inward = (foot - own) * (1.0 / distance);
        let [near, far] =
            [1.0, 2.0].map(|cells| smooth(&self.heights, foot + inward * (cells * cell)));
        let carried = near + (near - far) * (1.0 + distance / cell);
        carried.clamp(0.0, self.mold.height.to_mm())
    }

    /// The height at a place on the outline, where no way leads inward: the mean of what is carried on to eight places round it, none
    /// of which lies on a straight or a diagonal outline through it.
    fn relief_about(&self, own: Point) -> f64 {
        let near = 1e-3 * self.heights.spacing().to_mm();
        let [long, short] = [0.923_879_532_511_286_7, 0.382_683_432_365_089_8].map(|by| by * near);
        let (mut sum, mut count) = (0.0, 0.0);
        for (x, y) in [(long, short), (short, long)] {
            for (x, y) in [(x, y), (-x, y), (x, -y), (-x, -y)] {
                let place = own + Vec2::new(x, y);
                let Some((foot, distance)) = self.shape.nearest_outline(place) else { continue };
                if distance.abs() >= ON_OUTLINE {
                    sum += self.relief_at(place, foot, distance);
                    count += 1.0;
                }
            }
        }
        if count > 0.0 { sum / count } else { smooth(&self.heights, own) }
    }

    /// The outlines where its walls begin, a cell to the safe side so that the whole height stands there.
    fn brows(&self, spacing: Length) -> Vec<Shape> {
        let region = self.shape.region();
        let shrunk = |region: &Region, by: Length| offset(region, -by, tolerance::DRAW);
        let regions = match (self.mold.kind, &self.mold.relief) {
            (MoldKind::Female, _) => shrunk(region, -spacing),
            (MoldKind::Male, Relief::FlatTop { edge }) => {
                shrunk(region, self.mold.height * self.mold.draft.tan() + *edge + spacing)
            }
            (MoldKind::Male, Relief::Stepped { steps }) => {
                let (below, inset) = steps
                    .last()
                    .map_or((Length::ZERO, Length::ZERO), |step| (step.height, step.inset));
                let run = (self.mold.height - below) * self.mold.draft.tan();
                shrunk(region, inset + run + spacing)
            }
            (MoldKind::Male, Relief::Taper { top }) if *top > 0.0 => {
                let scaled = |ring: &Ring| {
                    let corner = |p: &Point| Point::new(p.x * top, p.y * top);
                    Ring::new(ring.points().iter().map(corner).collect())
                };
                let holes = region.holes.iter().map(scaled).collect();
                shrunk(&Region::new(scaled(&region.outer), holes), spacing)
            }
            (MoldKind::Male, Relief::Dome | Relief::Taper { .. } | Relief::Heights(_)) => {
                Vec::new()
            }
        };
        regions.iter().map(|region| Shape::new(region.placed(self.pose))).collect()
    }
}

/// A height between the middles of four cells; those that the mold does not cover are left out, and 0 where it covers none.
fn smooth(field: &HeightField, place: Point) -> f64 {
    let (origin, step) = (field.middle(0, 0), field.spacing().to_mm());
    let columns = field.columns();
    let (column, right) = between((place.x - origin.x) / step, columns);
    let (row, up) = between((place.y - origin.y) / step, field.rows());
    let (mut sum, mut weights) = (0.0, 0.0);
    for (along, across) in [(0, 1.0 - right), (1, right)] {
        for (back, deep) in [(0, 1.0 - up), (1, up)] {
            let height = f64::from(field.heights()[(row + back) * columns + column + along]);
            // A share too small to be read would be divided by all the same.
            let weight = across * deep + 1e-12;
            // A cell on the outline is covered or not as a rounding has it, and then has next to no height.
            if height > 1e-6 {
                sum += height * weight;
                weights += weight;
            }
        }
    }
    if weights > 0.0 { sum / weights } else { 0.0 }
}
