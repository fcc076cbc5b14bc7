//! A plan in which every choice stands once at least, kept as files and links of every version released.

use std::collections::BTreeMap;
use std::sync::Arc;

use engine::edit::Edit;
use engine::geometry::{Point, Pose, Rect, Ring};
use engine::plan::{
    Batch, ClearanceRule, CopyNumber, CutBy, CuttingHabits, EdgeRule, ExtraStock, Film, Footprint,
    HeightBasis, HeightGrid, Machine, Mold, MoldId, MoldKind, Offcut, PartWanted, Placement,
    PlacementId, Plan, Plastic, Pull, PullId, PullTimes, Relief, Settings, Sides, Size, Step,
    Stock, StockId, Texture, Turn, Turns,
};
use engine::units::{Angle, Length, LengthStyle, Price, Seconds};

/// Every footprint, kind of mold and turns; two pulls, one of them empty; nothing at its default.
pub(crate) fn every_choice() -> Plan {
    let edits = [
        Edit::Rename("Shore \"line\" \u{1f41a}".to_owned()),
        Edit::SetMachine(machine()),
        Edit::SetStock(stock()),
        Edit::SetSettings(settings()),
    ];
    let molds = (1..).map(MoldId).zip(molds());
    let molds = molds.map(|(id, mold)| Edit::AddMold(id, Box::new(mold)));
    let layout = [
        Edit::Place(PullId(1), placements()),
        Edit::RenamePull(PullId(1), "Low tide".to_owned()),
        Edit::AddPull(PullId(4), Pull::new("High tide")),
    ];
    let edits = edits.into_iter().chain(molds).chain(layout).collect();
    Plan::new("Plan", Machine::default()).apply(&Edit::All(edits)).expect("within the limits")
}

/// The same with the reliefs that came with version 2.
pub(crate) fn every_relief() -> Plan {
    let plan = every_choice();
    let slope = |k: u16| if k.is_multiple_of(30) { 0 } else { 3 * (k % 30) + k / 30 };
    let grid = HeightGrid::new(30, 26, Length::mm(18.5), (0..30 * 26).map(slope).collect());
    let step = |height, inset| Step { height: Length::mm(height), inset: Length::mm(inset) };
    let reliefs = [
        (1, Relief::FlatTop { edge: Length::mm(4.125) }),
        (3, Relief::Stepped { steps: vec![step(6.35, 3.5), step(10.0, 4.75)] }),
        (6, Relief::Heights(Arc::new(grid.expect("whole")))),
    ];
    let changed = reliefs.map(|(id, relief)| {
        let mold = Mold { relief, ..(*plan.molds[&MoldId(id)]).clone() };
        Edit::ChangeMold(MoldId(id), Box::new(mold))
    });
    let wall = Edit::SetSettings(Settings { least_wall: Some(Length::mm(0.375)), ..settings() });
    let edits = [wall].into_iter().chain(changed).collect();
    plan.apply(&Edit::All(edits)).expect("within the limits")
}

/// The same with the kits and the cutting that came with version 3.
pub(crate) fn every_batch() -> Plan {
    let part = |per_kit, stock| PartWanted { per_kit, stock };
    let red = StockId(4);
    let gauge = Length::inches(0.118);
    let stocks = [
        (red, ExtraStock { colour: "Red".to_owned(), stock: stock() }),
        (StockId(9), ExtraStock { colour: String::new(), stock: Stock { gauge, ..stock() } }),
    ];
    let batch = Batch {
        kits: 20,
        spares_percent: 5,
        wanted: BTreeMap::from([
            (MoldId(1), part(2, None)),
            (MoldId(3), part(1, Some(red))),
            (MoldId(6), part(0, Some(StockId(9)))),
        ]),
        stocks: BTreeMap::from(stocks),
        times: PullTimes {
            load: Seconds::new(45.5),
            heat: Some(Seconds::new(95.0)),
            draw: Seconds::new(12.0),
            cool: Some(Seconds::new(40.25)),
            unload: Seconds::new(50.0),
            change_over: Seconds::new(600.0),
        },
        labour: Some(Price::hundredths(2_250)),
    };
    let size = Size::new(Length::mm(320.0), Length::mm(610.5));
    let habits = CuttingHabits {
        by: CutBy::Saw,
        kerf: Length::mm(3.5),
        wander: Length::mm(0.5),
        least_strip: Some(Length::mm(15.0)),
        may_turn: false,
        blanks_wanted: Some(48),
        offcuts: vec![
            Offcut { size, count: 2, stock: None },
            Offcut { size, count: 1, stock: Some(red) },
        ],
    };
    let edits = [Edit::SetBatch(Box::new(batch)), Edit::SetCutting(Box::new(habits))];
    every_relief().apply(&Edit::All(edits.into())).expect("within the limits")
}

/// The same with the sheets of pulls and the order that came with version 4.
pub(crate) fn every_turn() -> Plan {
    let turn = |pull, times| Turn { pull: PullId(pull), times };
    let edits = [
        Edit::SetPullStock(PullId(4), Some(StockId(9))),
        Edit::SetOrder(vec![turn(4, 21), turn(1, 1)]),
    ];
    every_batch().apply(&Edit::All(edits.into())).expect("within the limits")
}

fn machine() -> Machine {
    Machine {
        blank: Size::new(Length::mm(300.0), Length::mm(200.5)),
        lip: Sides {
            front: Length::mm(12.0),
            back: Length::mm(13.25),
            left: Length::mm(14.0),
            right: Length::mm(15.125),
        },
        platen: Rect { min: Point::new(-5.0, 20.0), max: Point::new(280.25, 190.0) },
        clears: Length::mm(120.0),
    }
}

fn stock() -> Stock {
    Stock {
        plastic: Plastic::AcrylicExtruded,
        gauge: Length::mm(0.762),
        sheet: Size::new(Length::mm(1000.0), Length::mm(2000.0)),
        texture: Texture::AwayFromMold,
        film: Film::BothFaces,
        price: Some(Price::hundredths(4_275)),
    }
}

fn settings() -> Settings {
    Settings {
        clearance: ClearanceRule { factor: 1.5, basis: HeightBasis::Mean, least: Length::mm(10.0) },
        edge: EdgeRule { factor: 0.75, least: Length::mm(20.0) },
        male_height_to_width: 1.25,
        female_height_to_width: 0.5,
        least_wall: None,
        lengths: LengthStyle::FractionInches,
    }
}

fn molds() -> Vec<Mold> {
    let mm = Length::mm;
    let ring = |corners: &[(f64, f64)]| {
        Ring::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect())
    };
    let square = |r: f64| ring(&[(-r, -r), (r, -r), (r, r), (-r, r)]);
    let outline = Footprint::Outline {
        outer: ring(&[(0.0, 0.0), (60.0, 1.5), (58.25, 40.0), (30.0, 55.01), (-2.0, 40.0)]),
        holes: vec![square(4.0).reversed(), ring(&[(40.0, 30.0), (45.0, 30.0), (42.5, 34.2)])],
    };
    let footprints = [
        Footprint::Rectangle { width: mm(50.0), depth: mm(30.5) },
        Footprint::RoundedRectangle { width: mm(34.925), depth: mm(80.0), radius: mm(17.4625) },
        Footprint::Circle { diameter: mm(25.4) },
        Footprint::Ellipse { width: mm(40.0), depth: mm(22.0) },
        Footprint::Polygon { sides: 6, diameter: mm(33.0) },
        outline,
    ];
    let mut molds: Vec<Mold> = footprints
        .into_iter()
        .zip(["Crab shell", "Clam half", "Limpet", "Sea slug", "Anemone base", "Starfish"])
        .map(|(footprint, name)| Mold::new(name, footprint, mm(18.5)))
        .collect();
    molds[1].relief = Relief::Dome;
    molds[1].copies = 2;
    molds[2].relief = Relief::Taper { top: 0.25 };
    molds[2].draft = Angle::degrees(12.5);
    molds[3].kind = MoldKind::Female;
    molds[3].turns = Turns::Quarter;
    molds[4].turns = Turns::Fixed;
    molds[4].spacer = mm(3.175);
    molds[5].trim = mm(4.0);
    // One of the angles that no number of degrees comes back to.
    molds[5].draft = Angle::radians(0.3);
    molds
}

fn placements() -> BTreeMap<PlacementId, Placement> {
    let placement = |mold, copy, (x, y), turn| Placement {
        mold: MoldId(mold),
        copy: CopyNumber(copy),
        pose: Pose::new(Point::new(x, y), turn),
        locked: mold == 3,
    };
    BTreeMap::from([
        (PlacementId(1), placement(1, 1, (50.0, 60.25), Angle::degrees(90.0))),
        (PlacementId(2), placement(2, 1, (120.0, 80.0), Angle::degrees(33.3))),
        (PlacementId(5), placement(2, 2, (170.0, 80.0), Angle::radians(1.2))),
        (PlacementId(9), placement(3, 1, (220.5, 150.0), Angle::ZERO)),
    ])
}
