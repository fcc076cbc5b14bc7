//! One difference, and the edit that takes those chosen.

use std::collections::{BTreeMap, BTreeSet};

use crate::edit::Edit;
use crate::geometry::Pose;
use crate::order;
use crate::plan::{
    Machine, Mold, MoldId, Placement, PlacementId, Plan, Pull, PullId, Settings, Stock,
};

/// What is different.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// The plan is called something else.
    Name(String),
    /// Another machine, or another frame.
    Machine(Machine),
    /// Another sheet.
    Stock(Stock),
    /// Other rules.
    Settings(Settings),
    /// A mold that is not in mine.
    MoldAdded(MoldId, Box<Mold>),
    /// A mold of mine, changed.
    MoldChanged(MoldId, Box<Mold>),
    /// A mold of mine that is not in theirs.
    MoldRemoved(MoldId),
    /// A pull that is not in mine, laid out.
    PullAdded(Pull),
    /// The pull is called something else.
    PullName(String),
    /// A mold stands where in mine none stands.
    Added(PlacementId, Placement),
    /// A mold of mine is not on their blank.
    Removed(PlacementId),
    /// It stands elsewhere or is turned.
    Moved {
        /// Which.
        id: PlacementId,
        /// Where it stands in mine.
        from: Pose,
        /// Where in theirs.
        to: Pose,
    },
    /// It was locked, or freed.
    Locked(PlacementId, bool),
}

/// One difference.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// What is different.
    pub what: What,
    /// Whether most readers want it: all but what may as well be new on their own side.
    pub is_usual: bool,
}

impl Change {
    pub(super) const fn new(what: What) -> Self {
        Self { what, is_usual: true }
    }
}

/// All differences, in the order they are shown: the plan, its molds, the layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Changes {
    /// The pull that was shared.
    pub pull: PullId,
    /// What is different.
    pub list: Vec<Change>,
}

impl Changes {
    /// True when nothing is different.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// The chosen differences as one edit of `mine`, by their places in the list.
    ///
    /// A mold that is taken onto the blank brings its own difference along when it is new; a locked one is freed to be
    /// moved and locked again.
    #[must_use]
    pub fn edit(&self, mine: &Plan, chosen: &BTreeSet<usize>) -> Edit {
        let wanted = self.wanted(mine, chosen);
        let taken = || wanted.iter().filter_map(|at| self.list.get(*at)).map(|change| &change.what);
        let standing = mine.pulls.get(&self.pull).into_iter().flat_map(|pull| &pull.placements);
        let locked =
            order::set(standing.filter(|(_, placement)| placement.locked).map(|(id, _)| *id));
        let mut edits: Vec<Edit> = taken().filter_map(|what| self.first(mine, what)).collect();
        let (mut off, mut moves, mut places) = (BTreeSet::new(), BTreeMap::new(), BTreeMap::new());
        let mut locks: BTreeMap<PlacementId, bool> = BTreeMap::new();
        for what in taken() {
            match what {
                What::Removed(id) => {
                    off.insert(*id);
                }
                What::Moved { id, to, .. } => {
                    moves.insert(*id, *to);
                }
                What::Added(id, placement) => {
                    places.insert(*id, *placement);
                }
                What::Locked(id, is_locked) => {
                    locks.insert(*id, *is_locked);
                }
                _ => {}
            }
        }
        let freed = order::set(locked.iter().filter(|id| moves.contains_key(id)).copied());
        for id in &freed {
            locks.entry(*id).or_insert(true);
        }
        let of = |is_locked: bool| {
            order::set(locks.iter().filter(|(_, is)| **is == is_locked).map(|(id, _)| *id))
        };
        edits.extend([
            Edit::TakeOff(self.pull, off),
            Edit::Lock(self.pull, freed, false),
            Edit::Move(self.pull, moves),
            Edit::Lock(self.pull, of(true), true),
            Edit::Lock(self.pull, of(false), false),
            Edit::Place(self.pull, places),
        ]);
        let gone = taken().filter_map(|what| match what {
            What::MoldRemoved(id) => Some(Edit::RemoveMold(*id)),
            _ => None,
        });
        edits.extend(gone);
        edits.retain(|edit| !is_idle(edit));
        Edit::All(edits)
    }

    /// What was chosen, and the new molds that it needs.
    fn wanted(&self, mine: &Plan, chosen: &BTreeSet<usize>) -> BTreeSet<usize> {
        let needs = |what: &What| -> Vec<MoldId> {
            match what {
                What::Added(_, placement) => vec![placement.mold],
                What::PullAdded(pull) => pull.placements.values().map(|one| one.mold).collect(),
                _ => Vec::new(),
            }
        };
        let needed = chosen
            .iter()
            .filter_map(|at| self.list.get(*at))
            .flat_map(|change| needs(&change.what));
        let needed = order::set(needed.filter(|id| !mine.molds.contains_key(id)));
        let brings = |(_, change): &(usize, &Change)| matches!(&change.what, What::MoldAdded(id, _) if needed.contains(id));
        let along = self.list.iter().enumerate().filter(brings).map(|(at, _)| at);
        order::set(chosen.iter().copied().chain(along))
    }

    /// What comes before the layout.
    fn first(&self, mine: &Plan, what: &What) -> Option<Edit> {
        match what {
            What::Name(name) => Some(Edit::Rename(name.clone())),
            What::Machine(machine) => Some(Edit::SetMachine(*machine)),
            What::Stock(stock) => Some(Edit::sheet_of_pull(mine, self.pull, *stock)),
            What::Settings(settings) => Some(Edit::SetSettings(*settings)),
            What::MoldAdded(id, mold) => Some(Edit::AddMold(*id, mold.clone())),
            What::MoldChanged(id, mold) => Some(Edit::ChangeMold(*id, mold.clone())),
            What::PullName(name) => Some(Edit::RenamePull(self.pull, name.clone())),
            What::PullAdded(pull) => Some(Edit::AddPull(self.pull, pull.clone())),
            What::MoldRemoved(_)
            | What::Added(..)
            | What::Removed(_)
            | What::Moved { .. }
            | What::Locked(..) => None,
        }
    }
}

fn is_idle(edit: &Edit) -> bool {
    match edit {
        Edit::TakeOff(_, ids) | Edit::Lock(_, ids, _) => ids.is_empty(),
        Edit::Move(_, poses) => poses.is_empty(),
        Edit::Place(_, places) => places.is_empty(),
        _ => false,
    }
}
