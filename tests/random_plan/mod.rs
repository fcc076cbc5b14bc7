//! Random plans and edits, the same ones in every run.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use engine::edit::Edit;
use engine::geometry::{Point, Pose, Rect, Ring};
use engine::plan::{
    Batch, ClearanceRule, CopyNumber, CutBy, CuttingHabits, EdgeRule, ExtraStock, Film, Footprint,
    HeightBasis, HeightGrid, Machine, Mold, MoldId, MoldKind, Offcut, PartWanted, Placement,
    PlacementId, Plan, Plastic, Pull, PullId, PullTimes, Relief, Settings, Sides, Size, Step,
    Stock, StockId, Texture, Turn, Turns, limits, sample,
};
use engine::units::{Angle, Length, LengthStyle, Price, Seconds};
use proptest::collection::{btree_map, btree_set, vec};
use proptest::prelude::*;
use proptest::sample::select;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

/// A runner of `cases` cases that needs no file and no clock.
pub(crate) fn runner(cases: u32) -> TestRunner {
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha))
}

/// A plan that edits can make: the sample or an empty plan, after up to 30 edits.
pub(crate) fn plan() -> impl Strategy<Value = Plan> {
    (start(), vec(edit(), 0..30)).prop_map(|(plan, edits)| {
        edits.iter().fold(plan, |plan, edit| plan.apply(edit).unwrap_or(plan))
    })
}

/// What a series of edits begins with.
pub(crate) fn start() -> impl Strategy<Value = Plan> {
    prop_oneof![Just(sample()), Just(Plan::new("Rock pool", Machine::default()))]
}

/// Any edit. Ids are few, so that most edits meet what is there and some do not; one value in ten is wrong.
pub(crate) fn edit() -> impl Strategy<Value = Edit> {
    prop_oneof![9 => one_edit().boxed(), 1 => vec(one_edit(), 0..4).prop_map(Edit::All).boxed()]
}

fn one_edit() -> impl Strategy<Value = Edit> {
    prop_oneof![
        2 => name().prop_map(Edit::Rename),
        1 => machine().prop_map(Edit::SetMachine),
        1 => stock().prop_map(Edit::SetStock),
        1 => settings().prop_map(Edit::SetSettings),
        2 => batch().prop_map(|batch| Edit::SetBatch(Box::new(batch))),
        1 => cutting().prop_map(|habits| Edit::SetCutting(Box::new(habits))),
        4 => (mold_id(), mold()).prop_map(|(id, mold)| Edit::AddMold(id, Box::new(mold))),
        2 => (mold_id(), mold()).prop_map(|(id, mold)| Edit::ChangeMold(id, Box::new(mold))),
        1 => mold_id().prop_map(Edit::RemoveMold),
        3 => (pull_id(), pull()).prop_map(|(id, pull)| Edit::AddPull(id, pull)),
        1 => (pull_id(), name()).prop_map(|(id, name)| Edit::RenamePull(id, name)),
        1 => (pull_id(), stock_id()).prop_map(|(id, stock)| Edit::SetPullStock(id, stock)),
        1 => order().prop_map(Edit::SetOrder),
        1 => pull_id().prop_map(Edit::RemovePull),
        4 => (pull_id(), placements()).prop_map(|(id, placements)| Edit::Place(id, placements)),
        2 => (pull_id(), btree_map(placement_id(), pose(), 0..4))
            .prop_map(|(id, poses)| Edit::Move(id, poses)),
        1 => (pull_id(), placement_ids(), any::<bool>())
            .prop_map(|(id, ids, locked)| Edit::Lock(id, ids, locked)),
        1 => (pull_id(), placement_ids()).prop_map(|(id, ids)| Edit::TakeOff(id, ids)),
    ]
}

fn mold_id() -> impl Strategy<Value = MoldId> {
    prop_oneof![12 => (1..7_u32).prop_map(MoldId), 1 => any::<u32>().prop_map(MoldId)]
}

fn pull_id() -> impl Strategy<Value = PullId> {
    prop_oneof![12 => (1..4_u32).prop_map(PullId), 1 => any::<u32>().prop_map(PullId)]
}

fn placement_id() -> impl Strategy<Value = PlacementId> {
    prop_oneof![12 => (1..12_u32).prop_map(PlacementId), 1 => any::<u32>().prop_map(PlacementId)]
}

fn placement_ids() -> impl Strategy<Value = BTreeSet<PlacementId>> {
    btree_set(placement_id(), 0..3)
}

fn name() -> impl Strategy<Value = String> {
    prop_oneof![
        6 => select(vec!["Limpet", "Crab shell", " Clam half\t", "Pul\u{202e}l 2", "\u{1f41a}\"\\/"])
            .prop_map(str::to_owned).boxed(),
        3 => vec(any::<char>(), 1..40).prop_map(String::from_iter).boxed(),
        1 => vec(any::<char>(), 0..100).prop_map(String::from_iter).boxed(),
    ]
}

/// Mostly within `least` and `most`, as typed, as computed or on the very limit; one in thirty is wrong.
fn value(least: f64, most: f64) -> impl Strategy<Value = f64> {
    let typed = (least..=most).prop_map(move |v| ((v * 64.0).round() / 64.0).clamp(least, most));
    prop_oneof![
        12 => (least..=most).boxed(),
        12 => typed.boxed(),
        2 => select(vec![least, most]).boxed(),
        1 => select(vec![least - 1.0, most * 2.0 + 1.0, f64::NAN, f64::INFINITY]).boxed(),
    ]
}

fn length(least: Length, most: Length) -> impl Strategy<Value = Length> {
    value(least.to_mm(), most.to_mm()).prop_map(Length::mm)
}

fn size() -> impl Strategy<Value = Size> {
    let side = || length(limits::SHEET_LEAST, limits::SHEET_MOST);
    (side(), side()).prop_map(|(width, depth)| Size::new(width, depth))
}

fn machine() -> impl Strategy<Value = Machine> {
    let lip = || length(Length::ZERO, Length::mm(40.0));
    let edge = || value(0.0, 60.0);
    let clears = length(Length::mm(1.0), limits::HEIGHT_MOST);
    let lips = (lip(), lip(), lip(), lip());
    let made = (size(), lips, edge(), edge(), size(), clears);
    made.prop_map(|(blank, (front, back, left, right), x, y, platen, clears)| Machine {
        blank,
        lip: Sides { front, back, left, right },
        platen: Rect::sized(Point::new(x, y), platen.width, platen.depth),
        clears,
    })
}

fn stock() -> impl Strategy<Value = Stock> {
    let price = proptest::option::of((0..10_000_000_u32).prop_map(Price::hundredths));
    let faces = (select(&Texture::ALL[..]), select(&Film::ALL[..]));
    let gauge = length(limits::GAUGE.0, limits::GAUGE.1);
    let made = (select(&Plastic::ALL[..]), gauge, size(), faces, price);
    made.prop_map(|(plastic, gauge, sheet, (texture, film), price)| Stock {
        plastic,
        gauge,
        sheet,
        texture,
        film,
        price,
    })
}

fn settings() -> impl Strategy<Value = Settings> {
    let number = |(least, most)| value(least, most);
    let gap = || length(Length::ZERO, limits::GAP_MOST);
    let basis = select(vec![HeightBasis::Taller, HeightBasis::Mean]);
    let clearance = (number(limits::CLEARANCE_FACTOR), basis, gap())
        .prop_map(|(factor, basis, least)| ClearanceRule { factor, basis, least });
    let edge =
        (number(limits::EDGE_FACTOR), gap()).prop_map(|(factor, least)| EdgeRule { factor, least });
    let ratio = || number(limits::HEIGHT_TO_WIDTH);
    let wall =
        prop_oneof![3 => Just(None), 1 => length(limits::GAUGE.0, limits::GAUGE.1).prop_map(Some)];
    let made = (clearance, edge, (ratio(), ratio()), wall, select(&LengthStyle::ALL[..]));
    made.prop_map(|(clearance, edge, (male, female), least_wall, lengths)| Settings {
        clearance,
        edge,
        male_height_to_width: male,
        female_height_to_width: female,
        least_wall,
        lengths,
    })
}

fn batch() -> impl Strategy<Value = Batch> {
    let part = (0..5_u32, stock_id()).prop_map(|(per_kit, stock)| PartWanted { per_kit, stock });
    let colour = prop_oneof![1 => Just(String::new()), 2 => name()];
    let extra = (colour, stock()).prop_map(|(colour, stock)| ExtraStock { colour, stock });
    let id = (1..3_u32).prop_map(StockId);
    let counts = (prop_oneof![20 => 1..=limits::KITS, 1 => Just(0)], 0..=limits::SPARES_PERCENT);
    let labour = proptest::option::of((0..10_000_u32).prop_map(Price::hundredths));
    let lists = (btree_map(mold_id(), part, 0..3), btree_map(id, extra, 1..3));
    (counts, lists, times(), labour).prop_map(
        |((kits, spares_percent), (wanted, stocks), times, labour)| Batch {
            kits,
            spares_percent,
            wanted,
            stocks,
            times,
            labour,
        },
    )
}

fn stock_id() -> impl Strategy<Value = Option<StockId>> {
    prop_oneof![3 => Just(None), 2 => (1..3_u32).prop_map(|id| Some(StockId(id)))]
}

fn times() -> impl Strategy<Value = PullTimes> {
    let time = || value(0.0, limits::STEP_TIME_MOST.get()).prop_map(Seconds::new);
    let perhaps = || proptest::option::of(time());
    let made = (time(), perhaps(), time(), perhaps(), time(), time());
    made.prop_map(|(load, heat, draw, cool, unload, change_over)| PullTimes {
        load,
        heat,
        draw,
        cool,
        unload,
        change_over,
    })
}

fn cutting() -> impl Strategy<Value = CuttingHabits> {
    let cut = || length(Length::ZERO, limits::CUT_MOST);
    let offcut = (size(), 1..=limits::EQUAL_OFFCUTS, stock_id())
        .prop_map(|(size, count, stock)| Offcut { size, count, stock });
    let strip = proptest::option::of(cut());
    let blanks = proptest::option::of(1..=limits::BLANKS);
    let made = (select(&CutBy::ALL[..]), (cut(), cut(), strip), any::<bool>(), blanks);
    (made, vec(offcut, 0..3)).prop_map(
        |((by, (kerf, wander, least_strip), may_turn, blanks_wanted), offcuts)| CuttingHabits {
            by,
            kerf,
            wander,
            least_strip,
            may_turn,
            blanks_wanted,
            offcuts,
        },
    )
}

fn mold() -> impl Strategy<Value = Mold> {
    let kind = select(vec![MoldKind::Male, MoldKind::Female]);
    let turns = select(vec![Turns::Free, Turns::Quarter, Turns::Fixed]);
    let copies = prop_oneof![20 => 1..=limits::COPIES, 1 => 0..200_u32];
    let heights = (
        length(limits::FOOTPRINT_LEAST, limits::HEIGHT_MOST),
        length(Length::ZERO, limits::HEIGHT_MOST),
        length(Length::ZERO, limits::GAP_MOST),
    );
    let draft = prop_oneof![
        2 => value(0.0, 80.0).prop_map(Angle::degrees),
        1 => value(0.0, 1.39).prop_map(Angle::radians),
    ];
    let shape = (footprint(), relief(), draft);
    let made = (name(), shape, heights, kind, turns, copies);
    made.prop_map(
        |(name, (footprint, relief, draft), (height, spacer, trim), kind, turns, copies)| Mold {
            relief: relief.of(height, draft),
            name,
            footprint,
            kind,
            height,
            spacer,
            draft,
            turns,
            copies,
            trim,
        },
    )
}

/// A relief by shares of its mold's height, so that most are accepted.
#[derive(Clone, Debug)]
enum ReliefShares {
    Made(Relief),
    Edge(f64),
    /// How much of the height that is left each step takes, and how wide its ledge is.
    Steps(Vec<(f64, f64)>),
}

impl ReliefShares {
    fn of(self, height: Length, draft: Angle) -> Relief {
        match self {
            Self::Made(relief) => relief,
            Self::Edge(share) => Relief::FlatTop { edge: height / (1.0 - draft.sin()) * share },
            Self::Steps(shares) => {
                let (mut below, mut begins) = (Length::ZERO, Length::ZERO);
                let steps = shares.into_iter().map(|(rise, ledge)| {
                    let rise = (height - below) * rise;
                    let inset = begins + rise * draft.tan() + Length::mm(ledge);
                    (below, begins) = (below + rise, inset);
                    Step { height: below, inset }
                });
                Relief::Stepped { steps: steps.collect() }
            }
        }
    }
}

fn relief() -> impl Strategy<Value = ReliefShares> {
    let step = (0.05..0.95_f64, 0.0..20.0_f64);
    prop_oneof![
        Just(ReliefShares::Made(Relief::FLAT)),
        Just(ReliefShares::Made(Relief::Dome)),
        value(0.0, 1.0).prop_map(|top| ReliefShares::Made(Relief::Taper { top })),
        (0.0..1.02_f64).prop_map(ReliefShares::Edge),
        vec(step, 0..limits::STEPS + 2).prop_map(ReliefShares::Steps),
        grid().prop_map(|grid| ReliefShares::Made(Relief::Heights(grid))),
    ]
}

/// Mostly slopes, as meshes have, and now and then whatever a grid can hold.
fn grid() -> impl Strategy<Value = Arc<HeightGrid>> {
    let side = || prop_oneof![6 => 1..30_usize, 1 => 1..=limits::GRID_SIDE];
    let height = length(limits::FOOTPRINT_LEAST, limits::HEIGHT_MOST);
    (side(), side(), height, any::<u32>()).prop_map(|(columns, rows, height, seed)| {
        let mut mixed = seed;
        let mut tenths = || {
            // The steps of a linear congruential generator (Numerical Recipes, 2nd ed., section 7.1; from memory).
            mixed = mixed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            u16::try_from(mixed >> if seed.is_multiple_of(4) { 16 } else { 26 }).expect("16 bits")
        };
        let cells = (0..columns * rows).map(|_| tenths()).collect();
        Arc::new(HeightGrid::new(columns, rows, height, cells).expect("whole"))
    })
}

fn footprint() -> impl Strategy<Value = Footprint> {
    let side = || length(limits::FOOTPRINT_LEAST, limits::FOOTPRINT_MOST);
    prop_oneof![
        (side(), side()).prop_map(|(width, depth)| Footprint::Rectangle { width, depth }),
        (side(), side(), 0.0..=1.0_f64).prop_map(|(width, depth, part)| {
            let radius = width.min(depth) / 2.0 * part;
            Footprint::RoundedRectangle { width, depth, radius }
        }),
        (side(), side()).prop_map(|(width, depth)| Footprint::RoundedRectangle {
            width,
            depth,
            radius: width.min(depth) / 2.0
        }),
        side().prop_map(|diameter| Footprint::Circle { diameter }),
        (side(), side()).prop_map(|(width, depth)| Footprint::Ellipse { width, depth }),
        (2..66_u32, side()).prop_map(|(sides, diameter)| Footprint::Polygon { sides, diameter }),
        (ring(), vec(ring(), 0..3)).prop_map(|(outer, holes)| Footprint::Outline { outer, holes }),
    ]
}

fn ring() -> impl Strategy<Value = Ring> {
    let near = (-200.0..200.0, -200.0..200.0_f64);
    let far = (value(-10_000.0, 10_000.0), -10_000.0..10_000.0);
    let corner = prop_oneof![40 => near.boxed(), 1 => far.boxed()];
    let corners = vec(corner.prop_map(|(x, y)| Point::new(x, y)), 0..12);
    corners.prop_map(Ring::new)
}

fn pull() -> impl Strategy<Value = Pull> {
    let sheet = prop_oneof![5 => Just(None), 1 => stock_id()];
    (name(), sheet, placements()).prop_map(|(name, stock, placements)| Pull {
        name,
        stock,
        placements,
    })
}

/// Mostly each pull once; now and then one that is not there, one twice, or none at all of it.
fn order() -> impl Strategy<Value = Vec<Turn>> {
    let times = prop_oneof![12 => 1..=limits::TIMES, 1 => Just(0)];
    let turn = (pull_id(), times).prop_map(|(pull, times)| Turn { pull, times });
    vec(turn, 0..3)
}

fn placements() -> impl Strategy<Value = BTreeMap<PlacementId, Placement>> {
    let copy =
        prop_oneof![20 => (1..5_u32).boxed(), 1 => any::<u32>().boxed()].prop_map(CopyNumber);
    let placement = (mold_id(), copy, pose(), any::<bool>())
        .prop_map(|(mold, copy, pose, locked)| Placement { mold, copy, pose, locked });
    btree_map(placement_id(), placement, 0..3)
}

fn pose() -> impl Strategy<Value = Pose> {
    let at = || prop_oneof![9 => value(0.0, 500.0), 1 => value(-10_000.0, 10_000.0)];
    let turn = prop_oneof![
        3 => (-720..720).prop_map(|deg| Angle::degrees(f64::from(deg))).boxed(),
        3 => value(0.0, 6.3).prop_map(Angle::radians).boxed(),
        1 => select(vec![359.9997, 359.9994, -1e-18, -0.0]).prop_map(Angle::degrees).boxed(),
    ];
    (at(), at(), turn).prop_map(|(x, y, turn)| Pose::new(Point::new(x, y), turn))
}
