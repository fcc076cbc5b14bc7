//! A pull as a question of places: which bodies there are, their rooms, and how far apart they stay.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::frame::Frame;
use super::walls::Walls;
use super::{ArrangeError, Intent, MoldCopy, Request};
use crate::geometry::{Point, Pose, Rect, Shape, extent, max_width, tolerance};
use crate::plan::{
    CopyNumber, Machine, MoldId, Placement, PlacementId, Plan, Pull, PullId, Turns, limits,
};
use crate::rules::{ReadyMolds, clearance, margin};
use crate::search::{self, Apart, Item, Problem};
use crate::units::{Angle, Length};

/// One mold that stands on the blank or is to be placed.
#[derive(Clone, Debug)]
pub(super) struct Body {
    pub(super) copy: MoldCopy,
    /// The placement it has, unless it is to be placed anew.
    pub(super) id: Option<PlacementId>,
    pub(super) shape: Arc<Shape>,
    pub(super) turns: Turns,
    pub(super) walls: Walls,
    /// From corner to farthest corner, in millimetres.
    pub(super) longest: f64,
    /// Above the platen, in millimetres.
    pub(super) height: f64,
    /// Where it stands now, from the corner of the opening like everything here.
    pub(super) pose: Option<Pose>,
    /// True when it stays where it stands.
    pub(super) is_pinned: bool,
    /// Where it may reach; `None` when margins and platen leave nothing.
    pub(super) room: Option<Rect>,
}

/// Which turns the bodies are given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Turning {
    /// As each mold allows.
    Allowed,
    /// As each mold allows, and those that may turn freely with their long walls along the frame.
    Square,
    /// As each mold allows, and those that may turn freely with their long walls at steps of 30 degrees.
    Steps,
    /// As they stand, and what is yet to be placed as drawn, its long walls along the frame if it may turn freely.
    Kept,
}

/// A pull with what is to be moved and placed, and what stays; all places are counted from the corner of the opening.
#[derive(Clone, Debug)]
pub(super) struct Scene<'a> {
    pub(super) plan: &'a Plan,
    pub(super) pull: PullId,
    pub(super) bodies: Vec<Body>,
    pub(super) apart: Apart,
    pub(super) frame: Frame,
    pub(super) opening: Rect,
    /// What was chosen and bounds no surface.
    pub(super) unsound: Vec<MoldCopy>,
}

impl<'a> Scene<'a> {
    /// The scene of a request that makes sense.
    pub(super) fn new(
        plan: &'a Plan,
        request: &Request,
        ready: &ReadyMolds,
    ) -> Result<Self, ArrangeError> {
        let no_pull = ArrangeError::NoSuchPull(request.pull);
        let pull = plan.pulls.get(&request.pull).ok_or(no_pull)?;
        let chosen = Chosen::new(plan, pull, request);
        let frame = Frame::of(&plan.machine);
        let (bodies, unsound) = (Vec::new(), BTreeSet::new());
        let mut gathered = Gathered { plan, ready, frame, bodies, unsound };
        let mut seen = BTreeSet::new();
        for (&id, placement) in &pull.placements {
            let copy = (placement.mold, placement.copy);
            let is_first = seen.insert(copy);
            let is_meant = chosen.copies.contains(&copy) && (is_first || !chosen.is_each_once);
            gathered.standing(id, placement, is_meant && !placement.locked);
        }
        for &copy in chosen.copies.difference(&seen) {
            gathered.new_one(copy);
        }
        let Gathered { bodies, unsound, .. } = gathered;
        if bodies.len() > limits::PLACEMENTS {
            return Err(ArrangeError::TooMany { count: bodies.len() });
        }
        if bodies.iter().all(|body| body.is_pinned) && unsound.is_empty() {
            return Err(ArrangeError::Nothing);
        }
        let apart = distances(plan, &bodies);
        let opening = frame.local_rect(plan.machine.opening());
        let unsound = unsound.into_iter().collect();
        Ok(Self { plan, pull: request.pull, bodies, apart, frame, opening, unsound })
    }

    /// The same pull with some of the bodies only.
    pub(super) fn of(&self, is_kept: impl Fn(usize, &Body) -> bool) -> Self {
        let kept = self.bodies.iter().enumerate().filter(|(i, body)| is_kept(*i, body));
        let bodies: Vec<Body> = kept.map(|(_, body)| body.clone()).collect();
        Self { apart: distances(self.plan, &bodies), bodies, unsound: Vec::new(), ..*self }
    }

    /// The same bodies under the rules and in the machine of another plan with the same molds.
    pub(super) fn under<'b>(&self, plan: &'b Plan) -> Scene<'b> {
        let frame = Frame::of(&plan.machine);
        let there = |body: &Body| Body {
            room: room(plan, body.copy.0, frame),
            pose: body.pose.map(|pose| frame.local(self.frame.world(pose))),
            ..body.clone()
        };
        let bodies: Vec<Body> = self.bodies.iter().map(there).collect();
        let apart = distances(plan, &bodies);
        let opening = frame.local_rect(plan.machine.opening());
        Scene { plan, pull: self.pull, bodies, apart, frame, opening, unsound: Vec::new() }
    }

    /// The numbers of the bodies that may be moved.
    pub(super) fn movable(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.bodies.len()).filter(|&i| !self.bodies[i].is_pinned)
    }

    /// The copies that may be moved or placed, in order and each once.
    pub(super) fn copies(&self) -> Vec<MoldCopy> {
        let copies: BTreeSet<MoldCopy> = self.movable().map(|i| self.bodies[i].copy).collect();
        copies.into_iter().collect()
    }

    /// Where all bodies stand; `None` when one is yet to be placed.
    pub(super) fn poses(&self) -> Option<Vec<Pose>> {
        self.bodies.iter().map(|body| body.pose).collect()
    }

    /// Where bodies stand, for a search to begin from; what is yet to be placed is nowhere.
    pub(super) fn start(&self) -> Vec<Pose> {
        let nowhere = Pose::new(Point::new(f64::NAN, f64::NAN), Angle::ZERO);
        self.bodies.iter().map(|body| body.pose.unwrap_or(nowhere)).collect()
    }

    /// What `search` is asked: every distance and margin `extra` millimetres above the rule; `None` when a body does
    /// not fit its room at any turn.
    pub(super) fn problem(&self, turning: Turning, extra: f64) -> Option<Problem> {
        let items: Option<Vec<Item>> = self
            .bodies
            .iter()
            .map(|body| {
                let pinned = body.pose.filter(|_| body.is_pinned);
                let (shape, turns) = (Arc::clone(&body.shape), body.turns(turning));
                if body.is_pinned {
                    return Some(Item { shape, turns, room: self.opening, pinned });
                }
                let room = less(body.room?, extra)?;
                fits_turned(&shape, &turns, room).then_some(Item { shape, turns, room, pinned })
            })
            .collect();
        let apart = Apart::new(self.bodies.len(), |i, j| self.apart.of(i, j) + Length::mm(extra));
        Some(Problem { items: items?, apart })
    }

    /// How many pairs of outlines, turned against each other, a search may come to know: what it pays for beside steps.
    pub(super) fn n_turned_pairs(&self, turning: Turning) -> u64 {
        /// Turns that `search` tries of what may turn freely.
        const FREE: usize = 36;
        let n_turns = |body: &Body| match body.turns(turning) {
            _ if body.is_pinned => 1,
            search::Turns::Free => FREE,
            search::Turns::Of(turns) => turns.len().max(1),
        };
        let kinds: BTreeMap<MoldId, usize> =
            self.bodies.iter().map(|body| (body.copy.0, n_turns(body))).collect();
        let turns: Vec<usize> = kinds.into_values().collect();
        let pairs = (0..turns.len()).flat_map(|i| (0..=i).map(move |j| (i, j)));
        pairs.map(|(i, j)| u64::try_from(turns[i].max(turns[j])).unwrap_or(u64::MAX)).sum()
    }

    /// The least distance that two bodies keep, in millimetres.
    pub(super) fn distance(&self, i: usize, j: usize) -> f64 {
        self.apart.of(i, j).to_mm()
    }
}

impl Body {
    fn turns(&self, turning: Turning) -> search::Turns {
        let one = |turn: Angle| search::Turns::Of(vec![turn]);
        match (turning, self.turns) {
            (Turning::Kept, turns) => one(match (self.pose, turns) {
                (Some(pose), _) => pose.turn,
                (None, Turns::Free) => self.walls.square_turns()[0],
                (None, Turns::Quarter | Turns::Fixed) => Angle::ZERO,
            }),
            (_, Turns::Fixed) => search::Turns::Of(vec![Angle::ZERO]),
            (_, Turns::Quarter) => search::Turns::quarters(),
            (Turning::Square, Turns::Free) => search::Turns::Of(self.walls.square_turns().to_vec()),
            (Turning::Steps, Turns::Free) => {
                let steps = [0.0, 30.0, 60.0].map(Angle::degrees);
                let square = self.walls.square_turns();
                let turns =
                    square.iter().flat_map(|&turn| steps.map(|by| (turn + by).normalized()));
                search::Turns::Of(turns.collect())
            }
            (Turning::Allowed, Turns::Free) => search::Turns::Free,
        }
    }
}

/// A rectangle less `by` on each side; `None` when nothing is left.
fn less(room: Rect, by: f64) -> Option<Rect> {
    let min = Point::new(room.min.x + by, room.min.y + by);
    let max = Point::new(room.max.x - by, room.max.y - by);
    (min.x <= max.x && min.y <= max.y).then_some(Rect { min, max })
}

/// Whether a shape fits a room at one of its turns; of all turns, at one of every half degree.
fn fits_turned(shape: &Shape, turns: &search::Turns, room: Rect) -> bool {
    let fits = |turn: Angle| {
        let reach = extent(shape, Pose::new(Point::ORIGIN, turn));
        let spare = (room.width() - reach.width()).min(room.depth() - reach.depth());
        spare >= -tolerance::SAME
    };
    match turns {
        search::Turns::Free => (0..360).any(|n| fits(Angle::degrees(f64::from(n) / 2.0))),
        search::Turns::Of(turns) if turns.is_empty() => fits(Angle::ZERO),
        search::Turns::Of(turns) => turns.iter().any(|&turn| fits(turn)),
    }
}

/// Where a mold may reach: the opening less its margin, as far as it is over the platen.
fn room(plan: &Plan, mold: MoldId, frame: Frame) -> Option<Rect> {
    let Machine { platen, .. } = plan.machine;
    let inside = less(plan.machine.opening(), margin(plan, mold)?.to_mm())?.intersection(platen)?;
    Some(frame.local_rect(inside))
}

/// How far every two bodies stay apart. Equal pairs of molds are asked about once.
fn distances(plan: &Plan, bodies: &[Body]) -> Apart {
    let mut known: BTreeMap<(MoldId, MoldId), Length> = BTreeMap::new();
    Apart::new(bodies.len(), |i, j| {
        let (a, b) = (bodies[i].copy.0, bodies[j].copy.0);
        let asked = || clearance(plan, a, b).unwrap_or(Length::ZERO);
        *known.entry((a.min(b), a.max(b))).or_insert_with(asked)
    })
}

/// What a request chooses.
struct Chosen {
    copies: BTreeSet<MoldCopy>,
    /// True when a copy that stands in two places is meant only once.
    is_each_once: bool,
}

impl Chosen {
    fn new(plan: &Plan, pull: &Pull, request: &Request) -> Self {
        let is_each_once = matches!(request.intent, Intent::Most(_));
        let copies = if !request.copies.is_empty() {
            request.copies.iter().copied().collect()
        } else if is_each_once {
            let all = |(&id, mold): (&MoldId, &Arc<crate::plan::Mold>)| {
                (1..=mold.copies).map(move |copy| (id, CopyNumber(copy)))
            };
            plan.molds.iter().flat_map(all).collect()
        } else {
            pull.placements.values().map(|p| (p.mold, p.copy)).collect()
        };
        Self { copies, is_each_once }
    }
}

/// Bodies as they are found.
struct Gathered<'a> {
    plan: &'a Plan,
    ready: &'a ReadyMolds,
    frame: Frame,
    bodies: Vec<Body>,
    unsound: BTreeSet<MoldCopy>,
}

impl Gathered<'_> {
    fn standing(&mut self, id: PlacementId, placement: &Placement, is_movable: bool) {
        let copy = (placement.mold, placement.copy);
        let Some(body) = self.body(copy) else {
            if is_movable {
                self.unsound.insert(copy);
            }
            return;
        };
        let (id, pose) = (Some(id), Some(self.frame.local(placement.pose)));
        self.bodies.push(Body { id, pose, is_pinned: !is_movable, ..body });
    }

    fn new_one(&mut self, copy: MoldCopy) {
        match self.body(copy) {
            Some(body) => self.bodies.push(body),
            None => {
                self.unsound.insert(copy);
            }
        }
    }

    /// A body to be placed; `None` when its footprint bounds no surface.
    fn body(&self, copy: MoldCopy) -> Option<Body> {
        let mold = self.plan.molds.get(&copy.0)?;
        let shape = self.ready.footprint(self.plan, copy.0)?;
        Some(Body {
            copy,
            id: None,
            walls: Walls::of(&shape),
            longest: max_width(&shape).to_mm(),
            shape,
            turns: mold.turns,
            height: mold.standing_height().to_mm(),
            pose: None,
            is_pinned: false,
            room: room(self.plan, copy.0, self.frame),
        })
    }
}
