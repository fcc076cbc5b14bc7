//! What the user asks of the arranger, and how that reads as numbers of copies.

use std::collections::BTreeMap;

use engine::arrange::Aims;
use engine::file::save;
use engine::order;
use engine::plan::{CopyNumber, MoldId, PlacementId, Plan, PullId};
use works::{Arranging, Goal};

/// To what end molds are laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum End {
    /// Every one of the set on the blank.
    Fit,
    /// As many as go on.
    Most,
    /// The spare room used.
    Spread,
    /// Findings put right by the least movement.
    Tidy,
}

impl End {
    /// All of them, in the order they are offered.
    pub(super) const ALL: [Self; 4] = [Self::Fit, Self::Most, Self::Spread, Self::Tidy];

    /// Its name.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Fit => "Fit this set",
            Self::Most => "Fit as many as possible",
            Self::Spread => "Spread them out",
            Self::Tidy => "Tidy this layout",
        }
    }

    /// What comes of it, in a sentence.
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Fit => "Every mold of the set on the blank, each with its clearance.",
            Self::Most => "As many of them as go on, by number or by what each is worth to you.",
            Self::Spread => "What stands there stays; the spare room goes between the molds.",
            Self::Tidy => "Findings are put right by moving molds as little as it takes.",
        }
    }

    /// Whether a set is chosen for it, rather than what stands on the blank.
    pub(super) const fn has_set(self) -> bool {
        matches!(self, Self::Fit | Self::Most)
    }
}

/// How long to try.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Patience {
    /// A few seconds at most.
    Short,
    /// As long as most layouts need.
    Usual,
    /// For a hard one.
    Long,
}

impl Patience {
    /// All of them, the shortest first.
    pub(super) const ALL: [Self; 3] = [Self::Short, Self::Usual, Self::Long];

    /// Its words.
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Short => "Short",
            Self::Usual => "Usual",
            Self::Long => "Long",
        }
    }

    /// So many steps at most.
    pub(super) const fn steps(self) -> u64 {
        match self {
            Self::Short => 500_000,
            Self::Usual => 2_000_000,
            Self::Long => 20_000_000,
        }
    }
}

/// What the user asks for, as long as the page is open.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Choice {
    /// To what end.
    pub(super) end: End,
    /// Copies of a mold where they are not what goes without saying.
    pub(super) counts: BTreeMap<(End, MoldId), u32>,
    /// Whether molds differ in what they are worth.
    pub(super) has_values: bool,
    /// What one copy is worth where it is not 1.
    pub(super) values: BTreeMap<MoldId, f64>,
    /// Which aims of a spread matter: room, tall molds inside, walls square, faces apart.
    pub(super) aims: [bool; 4],
    /// How long to try.
    pub(super) patience: Patience,
    /// Where chance begins; another number is another try.
    pub(super) seed: u64,
}

impl Default for Choice {
    fn default() -> Self {
        Self {
            end: End::Fit,
            counts: BTreeMap::new(),
            has_values: false,
            values: BTreeMap::new(),
            aims: [true; 4],
            patience: Patience::Usual,
            seed: 1,
        }
    }
}

impl Choice {
    /// How many copies of a mold are meant.
    ///
    /// Without saying: for a set those that stand on the blank, or all that exist when nothing stands there; for as
    /// many as possible all that exist. What is locked stands in any case.
    pub(super) fn count(&self, plan: &Plan, pull: PullId, mold: MoldId) -> u32 {
        let copies = plan.molds.get(&mold).map_or(0, |mold| mold.copies);
        let (standing, locked) = standing(plan, pull, mold);
        let is_bare = plan.pulls.get(&pull).is_none_or(|pull| pull.placements.is_empty());
        let usual = match self.end {
            End::Fit if !is_bare => standing,
            _ => copies,
        };
        let count = self.counts.get(&(self.end, mold)).copied().unwrap_or(usual);
        count.min(copies.max(standing)).max(locked)
    }

    /// What the arranger is asked for; nothing when the set is empty.
    pub(super) fn ask(&self, plan: &Plan, pull: PullId) -> Option<Arranging> {
        let (mut copies, mut off) = (Vec::new(), Vec::new());
        if self.end.has_set() {
            for &mold in plan.molds.keys() {
                let set = self.set_of(plan, pull, mold);
                copies.extend(set.copies.iter().map(|copy| (mold.0, copy.0)));
                off.extend(set.off.iter().map(|id| id.0));
            }
            if copies.is_empty() {
                return None;
            }
        }
        Some(Arranging {
            plan: save(plan),
            pull: pull.0,
            copies,
            off,
            goal: self.goal(),
            seed: self.seed,
            steps: self.patience.steps(),
        })
    }

    fn goal(&self) -> Goal {
        match self.end {
            End::Fit => Goal::Fit,
            End::Most => {
                let values = self.values.iter().map(|(mold, value)| (mold.0, *value));
                Goal::Most(self.has_values.then(|| values.collect()))
            }
            End::Spread => {
                let Aims { room, tall_inside, square, faces_apart } = Aims::default();
                let weights = [room, tall_inside, square, faces_apart];
                let weight = |at: usize| if self.aims[at] { weights[at] } else { 0.0 };
                Goal::Spread([0, 1, 2, 3].map(weight))
            }
            End::Tidy => Goal::Tidy,
        }
    }

    /// The copies of one mold: those that stand before those that do not; locked ones stand and are not asked about.
    fn set_of(&self, plan: &Plan, pull: PullId, mold: MoldId) -> Set {
        let placements = plan.pulls.get(&pull).into_iter().flat_map(|pull| &pull.placements);
        let own = placements.filter(|(_, placement)| placement.mold == mold);
        let (locked, free): (Vec<_>, Vec<_>) = own.partition(|(_, placement)| placement.locked);
        let mut taken = order::set(locked.iter().map(|(_, p)| p.copy));
        let n_locked = u32::try_from(locked.len()).unwrap_or(u32::MAX);
        let mut wanted = self.count(plan, pull, mold).saturating_sub(n_locked);
        let mut set = Set::default();
        for (id, placement) in free {
            // A copy that stands twice is one mold in two places: the second place is given up.
            if wanted > 0 && taken.insert(placement.copy) {
                set.copies.push(placement.copy);
                wanted -= 1;
            } else {
                set.off.push(*id);
            }
        }
        let exist = plan.molds.get(&mold).map_or(0, |mold| mold.copies);
        let others = (1..=exist).map(CopyNumber).filter(|copy| !taken.contains(copy));
        let others: Vec<CopyNumber> = others.take(usize::try_from(wanted).unwrap_or(0)).collect();
        set.copies.extend(others);
        set
    }
}

#[derive(Debug, Default)]
struct Set {
    copies: Vec<CopyNumber>,
    off: Vec<PlacementId>,
}

/// How many of a mold stand on the blank, and how many of them are locked.
fn standing(plan: &Plan, pull: PullId, mold: MoldId) -> (u32, u32) {
    let placements = plan.pulls.get(&pull).into_iter().flat_map(|pull| pull.placements.values());
    let own: Vec<_> = placements.filter(|placement| placement.mold == mold).collect();
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    (count(own.len()), count(own.iter().filter(|placement| placement.locked).count()))
}

#[cfg(test)]
mod tests {
    use engine::edit::Edit;
    use engine::plan::sample;

    use super::*;

    const PULL: PullId = PullId(1);
    /// Two exist and stand as placements 5 and 6.
    const CLAM: MoldId = MoldId(3);

    fn choice(end: End) -> Choice {
        Choice { end, ..Choice::default() }
    }

    fn asked(choice: &Choice, plan: &Plan) -> (Vec<(u32, u32)>, Vec<u32>) {
        let ask = choice.ask(plan, PULL).expect("something to ask");
        (ask.copies, ask.off)
    }

    #[test]
    fn a_set_is_what_stands_unless_it_is_said_otherwise() {
        let plan = sample();
        let (copies, off) = asked(&choice(End::Fit), &plan);
        assert_eq!(copies, [(1, 1), (2, 1), (3, 1), (3, 2), (4, 1), (5, 1)]);
        assert!(off.is_empty());
        let mut fewer = choice(End::Fit);
        fewer.counts.insert((End::Fit, CLAM), 1);
        let (copies, off) = asked(&fewer, &plan);
        assert_eq!(copies, [(1, 1), (2, 1), (3, 1), (4, 1), (5, 1)]);
        assert_eq!(off, [6], "the other half is taken off");
    }

    #[test]
    fn a_bare_blank_and_as_many_as_possible_mean_all_that_exist() {
        let plan = sample();
        let off = (1..=6).map(PlacementId).collect();
        let bare = plan.apply(&Edit::TakeOff(PULL, off)).expect("legal");
        for end in [End::Fit, End::Most] {
            assert_eq!(asked(&choice(end), &bare).0.len(), 6, "{end:?}");
        }
        assert_eq!(choice(End::Most).count(&plan, PULL, CLAM), 2);
    }

    #[test]
    fn what_is_locked_stands_and_is_not_asked_about() {
        let lock = Edit::Lock(PULL, [PlacementId(5)].into(), true);
        let plan = sample().apply(&lock).expect("legal");
        let mut none = choice(End::Fit);
        none.counts.insert((End::Fit, CLAM), 0);
        assert_eq!(none.count(&plan, PULL, CLAM), 1);
        let (copies, off) = asked(&none, &plan);
        assert!(copies.iter().all(|(mold, _)| *mold != CLAM.0), "{copies:?}");
        assert_eq!(off, [6]);
    }

    #[test]
    fn an_empty_set_is_not_asked_for_and_more_than_exist_are_not_either() {
        let plan = sample();
        let mut none = choice(End::Fit);
        for &mold in plan.molds.keys() {
            none.counts.insert((End::Fit, mold), 0);
        }
        assert_eq!(none.ask(&plan, PULL), None);
        none.counts.insert((End::Fit, CLAM), 9);
        assert_eq!(none.count(&plan, PULL, CLAM), 2);
    }

    #[test]
    fn an_aim_that_is_left_out_weighs_nothing_and_the_others_what_the_trade_gives_them() {
        let spread = Choice { aims: [true, false, true, false], ..choice(End::Spread) };
        let ask = spread.ask(&sample(), PULL).expect("something");
        let usual = Aims::default();
        assert_eq!(ask.goal, Goal::Spread([usual.room, 0.0, usual.square, 0.0]));
        assert_eq!((ask.copies, ask.off), (Vec::new(), Vec::new()), "what stands is meant");
    }

    #[test]
    fn values_count_only_when_molds_differ_in_them() {
        let mut most = choice(End::Most);
        most.values.insert(CLAM, 2.5);
        assert_eq!(most.goal(), Goal::Most(None));
        most.has_values = true;
        assert_eq!(most.goal(), Goal::Most(Some(vec![(3, 2.5)])));
    }
}
