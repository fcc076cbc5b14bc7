//! What is known of the layouts of one sheet's molds: which sets stand together, which cannot, and which were tried in vain.

use std::collections::BTreeMap;

use crate::plan::{Placement, PlacementId, PullId};
use crate::units::Length;

/// How many of each kind.
pub(super) type Counts = Vec<u32>;

/// Sets looked at in one listing; beyond it the listing is not all of them.
const MOST_LOOKED: usize = 60_000;
/// Sets in one listing.
const MOST_SETS: usize = 600;

/// A layout that the rules have nothing against.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    pub(super) counts: Counts,
    pub(super) placements: BTreeMap<PlacementId, Placement>,
    /// The smallest gap above the rule, where it was measured.
    pub(super) spare: Option<Length>,
    /// The pull of the plan that it is, when it is one as it stands.
    pub(super) pull: Option<PullId>,
}

/// Everything known so far.
#[derive(Clone, Debug)]
pub(super) struct Known {
    /// What a copy of each kind covers at least, and likely, in square millimetres, and what there is.
    pub(super) least: Vec<f64>,
    pub(super) likely: Vec<f64>,
    pub(super) room: f64,
    pub(super) layouts: Vec<Layout>,
    /// Sets that were tried in vain, with the steps that were spent on them.
    pub(super) missed: Vec<(Counts, u64)>,
    /// Sets that are proved not to stand together.
    pub(super) never: Vec<Counts>,
}

/// Sets that are hoped for.
#[derive(Clone, Debug)]
pub(super) struct Hoped {
    pub(super) sets: Vec<Counts>,
    /// Whether these are all.
    pub(super) is_all: bool,
    /// What listing them took, as so many entries of a tableau.
    pub(super) entries: u64,
}

/// Which sets are still hoped for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hope {
    /// Sets tried in vain with this many steps are given up; none gives up only what is proved.
    pub(super) given_up: Option<u64>,
    /// The share of the room that a set likely covers, at most.
    pub(super) most: Option<f64>,
}

impl Hope {
    /// All that is not proved impossible.
    pub(super) const ALL: Self = Self { given_up: None, most: None };
}

impl Known {
    /// The known layouts as counts within `caps`, none of which is part of another; each with the number of its layout.
    pub(super) fn columns(&self, caps: &[u32]) -> Vec<(usize, Counts)> {
        let within = |layout: &Layout| -> Counts {
            layout.counts.iter().zip(caps).map(|(n, cap)| (*n).min(*cap)).collect()
        };
        let mut kept: Vec<(usize, Counts)> = Vec::new();
        for (number, layout) in self.layouts.iter().enumerate() {
            let counts = within(layout);
            if counts.iter().all(|n| *n == 0)
                || kept.iter().any(|(_, known)| is_part(&counts, known))
            {
                continue;
            }
            kept.retain(|(_, known)| !is_part(known, &counts));
            kept.push((number, counts));
        }
        kept
    }

    /// The largest sets within `caps` that are hoped for.
    pub(super) fn hoped(&self, caps: &[u32], hope: Hope) -> Hoped {
        let mut listing = Listing { known: self, caps, hope, found: Vec::new(), looked: 0 };
        listing.gather(&mut vec![0; caps.len()], 0);
        let is_all = listing.looked < MOST_LOOKED && listing.found.len() < MOST_SETS;
        // Each look compares with all that was tried.
        let compared = caps.len() * (2 + self.never.len() + self.missed.len());
        let entries = u64::try_from(listing.looked * compared / 2).unwrap_or(u64::MAX);
        Hoped { sets: listing.found, is_all, entries }
    }

    /// A large set within `caps` that is hoped for and is worth much, found by adding one mold after another.
    pub(super) fn greedy(&self, caps: &[u32], worth: &[f64], hope: Hope) -> Counts {
        let mut set = vec![0; caps.len()];
        let density = |k: usize| worth[k] / self.likely[k].max(f64::MIN_POSITIVE);
        let mut order: Vec<usize> = (0..caps.len()).collect();
        order.sort_by(|&a, &b| density(b).total_cmp(&density(a)).then(a.cmp(&b)));
        for k in order {
            while set[k] < caps[k] {
                set[k] += 1;
                if !self.is_hoped(&set, hope) {
                    set[k] -= 1;
                    break;
                }
            }
        }
        set
    }

    /// Whether a set may stand together, as far as is known and hoped. Whatever is hoped for is hoped for with a mold less.
    pub(super) fn is_hoped(&self, set: &[u32], hope: Hope) -> bool {
        let cover =
            |each: &[f64]| -> f64 { set.iter().zip(each).map(|(&n, a)| f64::from(n) * a).sum() };
        // One mold alone keeps no clearance, so that its cover says nothing.
        let is_several = set.iter().sum::<u32>() > 1;
        if is_several && cover(&self.least) > self.room * (1.0 + 1e-9) {
            return false;
        }
        if self.never.iter().any(|never| is_part(never, set)) {
            return false;
        }
        let is_given_up = |(missed, steps): &(Counts, u64)| {
            hope.given_up.is_some_and(|enough| *steps >= enough) && is_part(missed, set)
        };
        if self.missed.iter().any(is_given_up) {
            return false;
        }
        let is_crowded = |most: f64| is_several && cover(&self.likely) > self.room * most;
        !hope.most.is_some_and(is_crowded)
    }
}

/// Whether every kind is in `part` at most as often as in `whole`.
pub(super) fn is_part(part: &[u32], whole: &[u32]) -> bool {
    part.iter().zip(whole).all(|(few, many)| few <= many)
}

/// Sets being listed.
struct Listing<'k> {
    known: &'k Known,
    caps: &'k [u32],
    hope: Hope,
    found: Vec<Counts>,
    looked: usize,
}

impl Listing<'_> {
    fn gather(&mut self, set: &mut Counts, kind: usize) {
        self.looked += 1;
        if self.looked >= MOST_LOOKED || self.found.len() >= MOST_SETS {
            return;
        }
        if kind == self.caps.len() {
            if self.is_largest(set) && set.iter().any(|n| *n > 0) {
                self.found.push(set.clone());
            }
            return;
        }
        // The most that go on first: with fewer the others may still be more.
        for n in (0..=self.caps[kind]).rev() {
            set[kind] = n;
            if self.known.is_hoped(set, self.hope) {
                self.gather(set, kind + 1);
            }
        }
        set[kind] = 0;
    }

    fn is_largest(&self, set: &mut Counts) -> bool {
        (0..set.len()).filter(|&k| set[k] < self.caps[k]).collect::<Vec<_>>().into_iter().all(|k| {
            set[k] += 1;
            let is_more = self.known.is_hoped(set, self.hope);
            set[k] -= 1;
            !is_more
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known() -> Known {
        Known {
            least: vec![1.0; 3],
            likely: vec![2.0; 3],
            room: 4.0,
            layouts: Vec::new(),
            missed: vec![(vec![1, 1, 1], 500)],
            never: vec![vec![2, 0, 0]],
        }
    }

    #[test]
    fn the_largest_sets_that_are_hoped_for_are_listed() {
        let listed = |hope| known().hoped(&[2, 1, 2], hope);
        let list = |hope| listed(hope).sets;
        assert!(listed(Hope::ALL).is_all);
        // Two of the first never go together, and no more than four go at all.
        assert_eq!(list(Hope::ALL), [vec![1, 1, 2]]);
        let careful = Hope { given_up: Some(500), most: None };
        assert_eq!(list(careful), [vec![1, 1, 0], vec![1, 0, 2], vec![0, 1, 2]]);
        assert_eq!(list(Hope { given_up: Some(501), most: None }), [vec![1, 1, 2]]);
        let loose = Hope { given_up: Some(500), most: Some(1.0) };
        assert_eq!(list(loose), [vec![1, 1, 0], vec![1, 0, 1], vec![0, 1, 1], vec![0, 0, 2]]);
        assert_eq!(known().greedy(&[2, 1, 2], &[3.0, 2.0, 1.0], careful), [1, 1, 0]);
    }

    #[test]
    fn layouts_that_are_part_of_others_are_no_columns() {
        let layout = |counts: &[u32]| Layout {
            counts: counts.to_vec(),
            placements: BTreeMap::new(),
            spare: None,
            pull: None,
        };
        let layouts = vec![layout(&[1, 0, 0]), layout(&[1, 0, 2]), layout(&[0, 3, 0])];
        let known = Known { layouts, ..known() };
        assert_eq!(known.columns(&[9, 9, 9]), [(1, vec![1, 0, 2]), (2, vec![0, 3, 0])]);
        assert_eq!(known.columns(&[1, 1, 0]), [(0, vec![1, 0, 0]), (2, vec![0, 1, 0])]);
    }
}
