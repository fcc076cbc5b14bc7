//! One sheet of a batch: sets the question up, has it planned, and tells the answer in pulls.

use std::collections::{BTreeMap, BTreeSet};

use super::answer::{Bottleneck, LayoutPlan, Made, SheetPlan};
use super::group::{Group, Solved};
use super::known::{Known, Layout};
use super::run::Run;
use super::{Phase, own};
use crate::arrange::Bench;
use crate::plan::{MoldId, Placement, PlacementId, Plan, PullId, StockId, limits};
use crate::search::Seed;

/// What came of one sheet.
#[derive(Debug)]
pub(super) struct Found {
    pub(super) sheet: Option<SheetPlan>,
    /// Molds that find no place at all.
    pub(super) without: Vec<MoldId>,
    /// Molds that were not got to before it was stopped.
    pub(super) untried: Vec<MoldId>,
}

/// One sheet to be planned.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sheet<'p> {
    pub(super) plan: &'p Plan,
    pub(super) stock: Option<StockId>,
    pub(super) seed: Seed,
}

impl Sheet<'_> {
    /// The pulls for what is wanted of each mold within `share` steps.
    pub(super) fn planned(
        &self,
        mut wanted: Vec<(MoldId, u32)>,
        share: u64,
        (names, run): (&mut Names, &mut Run<'_>),
    ) -> Found {
        let end = run.steps.saturating_add(share);
        let bench = self.bench(&wanted);
        let (mut without, mut untried) = (Vec::new(), Vec::new());
        run.phase = Phase::Layouts;
        let group = loop {
            let Some(mut group) = self.group(&bench, &wanted) else {
                without.extend(wanted.iter().map(|(mold, _)| *mold));
                return Found { sheet: None, without, untried };
            };
            run.until = end;
            let (gone, not_reached) = group.alone(run);
            if gone.is_empty() && not_reached.is_empty() {
                break group;
            }
            wanted.retain(|(mold, _)| !gone.contains(mold) && !not_reached.contains(mold));
            without.extend(gone);
            untried.extend(not_reached);
        };
        Found { sheet: self.solved(group, end, (names, run)), without, untried }
    }

    fn solved(
        &self,
        mut group: Group<'_>,
        end: u64,
        (names, run): (&mut Names, &mut Run<'_>),
    ) -> Option<SheetPlan> {
        let copies = |mold: &MoldId| self.plan.molds.get(mold).map_or(0, |mold| mold.copies);
        let caps: Vec<u32> =
            group.kinds.iter().zip(&group.demand).map(|(kind, n)| copies(kind).min(*n)).collect();
        run.until = run.steps + end.saturating_sub(run.steps) / 100 * 60;
        let solved = group.solve(&caps, run)?;
        let layouts = self.layouts(&group, &solved, names);
        run.phase = Phase::Bottlenecks;
        run.until = end;
        let bottlenecks = group.bottlenecks(&caps, solved.total, run);
        Some(self.told(&group, &solved, (layouts, bottlenecks)))
    }

    /// A blank with a copy more of each mold than there is, so that one more can be asked about.
    fn bench(&self, wanted: &[(MoldId, u32)]) -> Bench {
        let most = |&(mold, n): &(MoldId, u32)| {
            let copies = self.plan.molds.get(&mold).map_or(0, |mold| mold.copies);
            (mold, copies.saturating_add(1).min(n).min(limits::COPIES))
        };
        Bench::new(self.plan, &wanted.iter().map(most).collect())
    }

    /// The question of these molds; `None` when none of them bounds a surface.
    fn group<'b>(&self, bench: &'b Bench, wanted: &[(MoldId, u32)]) -> Option<Group<'b>> {
        let kinds: Vec<MoldId> = wanted.iter().map(|(mold, _)| *mold).collect();
        let covers = bench.covers(&kinds.iter().copied().collect::<BTreeSet<_>>()).ok()?;
        let each = |of: &BTreeMap<MoldId, f64>| {
            kinds.iter().map(|kind| of.get(kind).copied().unwrap_or(0.0)).collect()
        };
        let known = Known {
            least: each(&covers.least),
            likely: each(&covers.likely),
            room: covers.room,
            layouts: own::layouts(self.plan, self.stock, &kinds),
            missed: Vec::new(),
            never: Vec::new(),
        };
        let poses = BTreeMap::new();
        let demand = wanted.iter().map(|(_, n)| *n).collect();
        Some(Group { bench, kinds, demand, seed: self.seed, known, poses })
    }

    fn layouts(&self, group: &Group<'_>, solved: &Solved, names: &mut Names) -> Vec<LayoutPlan> {
        let mut times = solved.times.clone();
        times.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
        let used =
            times.iter().filter_map(|&(number, n)| Some((group.known.layouts.get(number)?, n)));
        used.map(|(layout, n)| self.layout(layout, n, names)).collect()
    }

    fn layout(&self, layout: &Layout, times: u32, names: &mut Names) -> LayoutPlan {
        let mut molds = BTreeMap::new();
        for placement in layout.placements.values() {
            *molds.entry(placement.mold).or_insert(0) += 1;
        }
        let own = layout.pull.and_then(|id| Some((id, self.plan.pulls.get(&id)?.name.clone())));
        let is_new = own.is_none();
        let (pull, name) = own.unwrap_or_else(|| names.next(self.plan, self.stock));
        let placements: BTreeMap<PlacementId, Placement> = layout
            .placements
            .iter()
            .map(|(&id, &placement)| {
                (id, Placement { locked: placement.locked && !is_new, ..placement })
            })
            .collect();
        let spare = layout.spare;
        LayoutPlan { pull, is_new, name, molds, placements, times, spare }
    }

    fn told(
        &self,
        group: &Group<'_>,
        solved: &Solved,
        (layouts, bottlenecks): (Vec<LayoutPlan>, Vec<Bottleneck>),
    ) -> SheetPlan {
        let made = |mold: &MoldId| -> u64 {
            let of = |layout: &LayoutPlan| {
                let each = layout.molds.get(mold).copied().unwrap_or(0);
                u64::from(each) * u64::from(layout.times)
            };
            layouts.iter().map(of).sum()
        };
        let parts = group.kinds.iter().zip(&group.demand);
        let parts =
            parts.map(|(&mold, &wanted)| (mold, Made { wanted, made: made(&mold) })).collect();
        let Solved { total, bounds, is_fewest_layouts, .. } = *solved;
        SheetPlan {
            stock: self.stock,
            layouts,
            pulls: total,
            bounds,
            is_fewest_layouts,
            bottlenecks,
            parts,
        }
    }
}

/// Ids and names for new pulls.
#[derive(Debug)]
pub(super) struct Names {
    taken: BTreeSet<PullId>,
    names: BTreeSet<String>,
    last: u32,
}

impl Names {
    pub(super) fn new(plan: &Plan) -> Self {
        let taken = plan.pulls.keys().copied().collect();
        let names = plan.pulls.values().map(|pull| pull.name.clone()).collect();
        Self { taken, names, last: plan.pulls.keys().next_back().map_or(0, |id| id.0) }
    }

    /// An id that no pull has, and a name that none has.
    fn next(&mut self, plan: &Plan, stock: Option<StockId>) -> (PullId, String) {
        let above = (self.last.saturating_add(1)..=u32::MAX).chain(1..self.last).map(PullId);
        let mut free = above.filter(|id| !self.taken.contains(id));
        let id = free.next().unwrap_or(PullId(u32::MAX));
        self.taken.insert(id);
        let sheet = stock.and_then(|id| plan.batch.stocks.get(&id)).map(|extra| {
            let short: String = extra.colour.chars().take(40).collect();
            let name = if short.is_empty() { extra.stock.plastic.name() } else { short.as_str() };
            format!(", {name}")
        });
        let sheet = sheet.unwrap_or_default();
        let mut numbers = (1..).map(|n: u32| format!("Batch {n}{sheet}"));
        let name = numbers.find(|name| !self.names.contains(name)).unwrap_or_default();
        self.names.insert(name.clone());
        (id, name)
    }
}
