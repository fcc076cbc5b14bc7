//! An arrangement as it is asked for and told of: plain numbers, and back again to an edit.

use std::collections::BTreeMap;

use engine::arrange::{Aims, Budget, Intent, Request, Seed, Worth};
use engine::edit::Edit;
use engine::geometry::{Point, Pose, Rect};
use engine::objects;
use engine::order;
use engine::plan::{
    CopyNumber, Machine, MoldId, Placement, PlacementId, Plan, PullId, Sides, Size,
};
use engine::units::{Angle, Length};
use serde::{Deserialize, Serialize};

/// What the page asks for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Arranging {
    /// The plan in the saved form.
    pub plan: String,
    /// The number of the pull.
    pub pull: u32,
    /// The copies that are meant, by mold and number; none means those that stand there.
    pub copies: Vec<(u32, u32)>,
    /// Placements that are taken off before anything else.
    pub off: Vec<u32>,
    /// To what end.
    pub goal: Goal,
    /// Where chance begins.
    pub seed: u64,
    /// How much is tried at most.
    pub steps: u64,
}

/// To what end molds are laid out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Goal {
    /// Every one of them on the blank.
    Fit,
    /// As many as go on; with values by mold, those worth the most.
    Most(Option<Vec<(u32, f64)>>),
    /// The spare room used: room, tall molds inside, walls square, faces apart.
    Spread([f64; 4]),
    /// Findings put right by the least movement.
    Tidy,
}

impl Arranging {
    /// The request as the arranger takes it.
    pub(super) fn request(&self) -> Request {
        let intent = match &self.goal {
            Goal::Fit => Intent::Fit,
            Goal::Most(None) => Intent::Most(Worth::ByCount),
            Goal::Most(Some(values)) => {
                let values = values.iter().map(|&(mold, value)| (MoldId(mold), value));
                Intent::Most(Worth::ByValue(values.collect()))
            }
            &Goal::Spread([room, tall_inside, square, faces_apart]) => {
                Intent::Spread(Aims { room, tall_inside, square, faces_apart })
            }
            Goal::Tidy => Intent::Tidy,
        };
        Request {
            pull: PullId(self.pull),
            copies: self.copies.iter().map(|&(m, c)| (MoldId(m), CopyNumber(c))).collect(),
            intent,
            seed: Seed(self.seed),
            budget: Budget { steps: self.steps },
        }
    }
}

/// Word of where the arranger stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct News {
    /// Steps done.
    pub done: u64,
    /// Of at most so many; it may be over sooner.
    pub of: u64,
    /// What is being done, in a few words.
    pub phase: String,
    /// The best so far, to be looked at meanwhile.
    pub layout: Layout,
    /// Whether the rules have nothing against it, so that it could be taken as it is.
    pub is_good: bool,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct Arranged {
    /// A few words.
    pub title: String,
    /// What there is to say, in whole sentences.
    pub sentences: Vec<String>,
    /// The layout; nothing when nothing is to be changed or none was found.
    pub layout: Option<Layout>,
    /// What would help when they do not all fit.
    pub ways_out: Vec<WayOut>,
}

/// Something that would help, said and laid out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct WayOut {
    /// What it is and what comes of it.
    pub words: String,
    /// The layout with it.
    pub layout: Layout,
}

/// A pull as it would stand, and what of the plan would change with it.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct Layout {
    /// All that would stand on the blank.
    pub standing: Vec<Spot>,
    /// The clearance factor, when it would change.
    pub factor: Option<f64>,
    /// The machine, when it would change: blank, lips, platen and what it clears, in millimetres.
    pub machine: Option<[f64; 11]>,
}

/// One mold where it would stand.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct Spot {
    /// Its placement.
    pub id: u32,
    /// The mold.
    pub mold: u32,
    /// Which of its copies.
    pub copy: u32,
    /// Where its centre would be, in millimetres.
    pub x: f64,
    /// As `x`, away from the person.
    pub y: f64,
    /// How it would be turned, in radians.
    pub turn: f64,
}

impl Spot {
    fn of(id: PlacementId, placement: &Placement) -> Self {
        let Placement { mold, copy, pose, .. } = *placement;
        let Pose { at, turn } = pose;
        Self { id: id.0, mold: mold.0, copy: copy.0, x: at.x, y: at.y, turn: turn.to_radians() }
    }

    fn pose(self) -> Pose {
        Pose::new(Point::new(self.x, self.y), Angle::radians(self.turn))
    }
}

impl Layout {
    /// How a pull stands in `after`, and what of the plan differs there from `before`.
    pub(super) fn of(before: &Plan, after: &Plan, pull: PullId) -> Self {
        let placements = after.pulls.get(&pull).into_iter().flat_map(|pull| &pull.placements);
        let factors = [before, after].map(|plan| plan.settings.clearance.factor);
        Self {
            standing: placements.map(|(id, placement)| Spot::of(*id, placement)).collect(),
            factor: (factors[0].total_cmp(&factors[1]).is_ne()).then_some(factors[1]),
            machine: (before.machine != after.machine).then(|| numbers(&after.machine)),
        }
    }

    /// What makes the pull of `plan` stand so, as one step; nothing when it does already.
    ///
    /// A layout of another plan may come out as an edit that is refused, but never as one that does harm.
    #[must_use]
    pub fn edit(&self, plan: &Plan, pull: PullId) -> Option<Edit> {
        let before = &plan.pulls.get(&pull)?.placements;
        let after = order::map(self.standing.iter().map(|spot| (PlacementId(spot.id), spot)));
        let off = order::set(before.keys().filter(|id| !after.contains_key(id)).copied());
        let (mut moved, mut placed) = (BTreeMap::new(), BTreeMap::new());
        for (id, spot) in after {
            let pose = spot.pose();
            match before.get(&id) {
                Some(own) if own.pose == pose => {}
                Some(_) => {
                    moved.insert(id, pose);
                }
                None => {
                    let (mold, copy) = (MoldId(spot.mold), CopyNumber(spot.copy));
                    placed.insert(id, Placement { mold, copy, pose, locked: false });
                }
            }
        }
        let settings = self.factor.map(|factor| {
            let mut settings = plan.settings;
            settings.clearance.factor = factor;
            Edit::SetSettings(settings)
        });
        let machine = self.machine.map(|numbers| Edit::SetMachine(machine(numbers)));
        let off = (!off.is_empty()).then_some(Edit::TakeOff(pull, off));
        let moved = (!moved.is_empty()).then_some(Edit::Move(pull, moved));
        let placed = (!placed.is_empty()).then_some(Edit::Place(pull, placed));
        let steps: Vec<Edit> =
            [settings, machine, off, moved, placed].into_iter().flatten().collect();
        (!steps.is_empty()).then_some(Edit::All(steps))
    }
}

fn numbers(machine: &Machine) -> [f64; 11] {
    let Machine { blank, lip, platen, clears } = machine;
    let (min, max) = (platen.min, platen.max);
    let [width, depth] = [blank.width, blank.depth].map(Length::to_mm);
    let [front, back, left, right] = [lip.front, lip.back, lip.left, lip.right].map(Length::to_mm);
    [width, depth, front, back, left, right, min.x, min.y, max.x, max.y, clears.to_mm()]
}

const fn machine(numbers: [f64; 11]) -> Machine {
    let [width, depth, front, back, left, right, min_x, min_y, max_x, max_y, clears] = numbers;
    let mm = Length::mm;
    Machine {
        blank: Size::new(mm(width), mm(depth)),
        lip: Sides { front: mm(front), back: mm(back), left: mm(left), right: mm(right) },
        platen: Rect { min: Point::new(min_x, min_y), max: Point::new(max_x, max_y) },
        clears: mm(clears),
    }
}

objects!(Arranged, News, Spot, Layout, WayOut);

#[cfg(test)]
mod tests {
    use engine::plan::sample;

    use super::*;

    const PULL: PullId = PullId(1);

    /// The sample with one mold off, one moved and turned, one new, a smaller factor and another machine.
    fn changed() -> Plan {
        let plan = sample();
        let mut settings = plan.settings;
        settings.clearance.factor = 1.1;
        let lip = Length::mm(7.3);
        let machine = Machine::with_lip(Size::new(lip * 90.0, lip * 70.0), lip, lip * 20.0);
        let pose = Pose::new(Point::new(123.456_789, 98.7), Angle::degrees(31.7));
        let six = plan.pulls[&PULL].placements[&PlacementId(6)];
        let edit = Edit::All(vec![
            Edit::SetSettings(settings),
            Edit::SetMachine(machine),
            Edit::TakeOff(PULL, [PlacementId(6)].into()),
            Edit::Move(PULL, [(PlacementId(2), pose)].into()),
            Edit::Place(PULL, [(PlacementId(9), six)].into()),
        ]);
        plan.apply(&edit).expect("a legal edit")
    }

    #[test]
    fn a_layout_told_in_numbers_comes_back_as_the_edit_that_makes_it() {
        let (before, after) = (sample(), changed());
        let told = serde_json::to_string(&Layout::of(&before, &after, PULL)).expect("JSON");
        let layout: Layout = serde_json::from_str(&told).expect("a layout");
        let edit = layout.edit(&before, PULL).expect("a change");
        assert_eq!(before.apply(&edit).expect("applies"), after);
    }

    #[test]
    fn a_layout_that_stands_already_is_no_edit() {
        let plan = sample();
        let layout = Layout::of(&plan, &plan, PULL);
        assert_eq!((layout.factor, layout.machine), (None, None));
        assert_eq!(layout.edit(&plan, PULL), None);
        assert_eq!(layout.edit(&plan, PullId(9)), None);
    }
}
