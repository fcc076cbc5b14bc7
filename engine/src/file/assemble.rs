//! Puts a plan together from parts that were read, by edits alone, so that every check of an edit holds.

use std::collections::BTreeMap;
use std::fmt;

use crate::edit::{Edit, EditError};
use crate::plan::{
    Batch, CuttingHabits, ExtraStock, Machine, Mold, MoldId, PartWanted, Placement, PlacementId,
    Plan, Pull, PullId, Settings, Stock, StockId, Turn,
};

/// Everything a plan is made of, as it was read and in that order.
pub(super) struct Parts {
    pub(super) name: String,
    pub(super) machine: Machine,
    pub(super) stock: Stock,
    pub(super) settings: Settings,
    pub(super) molds: Vec<(MoldId, Mold)>,
    pub(super) pulls: Vec<PullParts>,
    pub(super) batch: Option<BatchParts>,
    pub(super) cutting: Option<CuttingHabits>,
    pub(super) order: Vec<Turn>,
}

/// A batch as it was read; an id may stand in it twice.
pub(super) struct BatchParts {
    /// All but the parts and the sheets.
    pub(super) bare: Batch,
    pub(super) wanted: Vec<(MoldId, PartWanted)>,
    pub(super) stocks: Vec<(StockId, ExtraStock)>,
}

/// A pull as it was read; an id may stand in it twice.
pub(super) struct PullParts {
    pub(super) id: PullId,
    pub(super) name: String,
    pub(super) stock: Option<StockId>,
    pub(super) placements: Vec<(PlacementId, Placement)>,
}

/// Which part was refused; positions count from 0, as in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    Name,
    Machine,
    Stock,
    Settings,
    Mold(usize),
    Pull(usize),
    Placement { pull: usize, placement: usize },
    Batch,
    Cutting,
    Order,
}

impl fmt::Display for Part {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Name => write!(f, "name"),
            Self::Machine => write!(f, "machine"),
            Self::Stock => write!(f, "stock"),
            Self::Settings => write!(f, "settings"),
            Self::Mold(n) => write!(f, "molds[{n}]"),
            Self::Pull(n) => write!(f, "pulls[{n}]"),
            Self::Batch => write!(f, "batch"),
            Self::Cutting => write!(f, "cutting"),
            Self::Order => write!(f, "order"),
            Self::Placement { pull, placement } => {
                write!(f, "pulls[{pull}].placements[{placement}]")
            }
        }
    }
}

/// Why the parts make no plan.
#[derive(Debug)]
pub(super) enum Refusal {
    /// There is no pull among them.
    NoPull,
    /// One part is not what a plan accepts.
    Part(Part, EditError),
}

/// The plan made of `parts`.
pub(super) fn assemble(parts: Parts) -> Result<Plan, Refusal> {
    let mut plan = Plan::new("Plan", Machine::default());
    let mut apply = |part: Part, edit: Edit| {
        plan = plan.apply(&edit).map_err(|error| Refusal::Part(part, error))?;
        Ok(())
    };
    apply(Part::Name, Edit::Rename(parts.name))?;
    apply(Part::Machine, Edit::SetMachine(parts.machine))?;
    apply(Part::Stock, Edit::SetStock(parts.stock))?;
    apply(Part::Settings, Edit::SetSettings(parts.settings))?;
    for (n, (id, mold)) in parts.molds.into_iter().enumerate() {
        apply(Part::Mold(n), Edit::AddMold(id, Box::new(mold)))?;
    }
    if let Some(read) = parts.batch {
        let batch = read.batch().map_err(|error| Refusal::Part(Part::Batch, error))?;
        apply(Part::Batch, Edit::SetBatch(Box::new(batch)))?;
    }
    if let Some(cutting) = parts.cutting {
        apply(Part::Cutting, Edit::SetCutting(Box::new(cutting)))?;
    }
    let plan = add_pulls(plan, parts.pulls)?;
    let order = Edit::SetOrder(parts.order);
    plan.apply(&order).map_err(|error| Refusal::Part(Part::Order, error))
}

impl BatchParts {
    /// The batch, when no id stands twice.
    fn batch(self) -> Result<Batch, EditError> {
        let mut batch = self.bare;
        for (mold, part) in self.wanted {
            if batch.wanted.insert(mold, part).is_some() {
                return Err(EditError::WantedTwice(mold));
            }
        }
        for (id, stock) in self.stocks {
            if batch.stocks.insert(id, stock).is_some() {
                return Err(EditError::StockExists(id));
            }
        }
        Ok(batch)
    }
}

/// The plan with `pulls` in the place of the empty one it began with.
fn add_pulls(mut plan: Plan, pulls: Vec<PullParts>) -> Result<Plan, Refusal> {
    let mut begun_with = plan.first_pull();
    for (n, mut pull) in pulls.into_iter().enumerate() {
        let listed = std::mem::take(&mut pull.placements);
        let placements = placements_by_id(n, &listed)?;
        let mut edits = Vec::new();
        if begun_with == Some(pull.id) {
            edits.push(Edit::RenamePull(pull.id, pull.name));
            edits.push(Edit::SetPullStock(pull.id, pull.stock));
            edits.push(Edit::Place(pull.id, placements));
        } else {
            let PullParts { id, name, stock, .. } = pull;
            edits.push(Edit::AddPull(id, Pull { name, stock, placements }));
            edits.extend(begun_with.map(Edit::RemovePull));
        }
        begun_with = None;
        plan = plan
            .apply(&Edit::All(edits))
            .map_err(|error| Refusal::Part(refused_part(&plan, n, &listed), error))?;
    }
    if begun_with.is_some() { Err(Refusal::NoPull) } else { Ok(plan) }
}

fn placements_by_id(
    pull: usize,
    placements: &[(PlacementId, Placement)],
) -> Result<BTreeMap<PlacementId, Placement>, Refusal> {
    let mut by_id = BTreeMap::new();
    for (n, &(id, placement)) in placements.iter().enumerate() {
        if by_id.insert(id, placement).is_some() {
            let part = Part::Placement { pull, placement: n };
            return Err(Refusal::Part(part, EditError::PlacementExists(id)));
        }
    }
    Ok(by_id)
}

/// The placement that is refused by itself, or the whole pull; tried with the molds of `plan`.
fn refused_part(plan: &Plan, pull: usize, placements: &[(PlacementId, Placement)]) -> Part {
    let bare = Plan { molds: plan.molds.clone(), ..Plan::new("Plan", Machine::default()) };
    let is_refused = |&(id, placement): &(PlacementId, Placement)| {
        let alone = BTreeMap::from([(id, placement)]);
        bare.first_pull().is_some_and(|first| bare.apply(&Edit::Place(first, alone)).is_err())
    };
    match placements.iter().position(is_refused) {
        Some(placement) => Part::Placement { pull, placement },
        None => Part::Pull(pull),
    }
}
