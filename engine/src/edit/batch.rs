//! Checks the kits to be made and the way sheets are cut before they enter a plan.

use std::collections::BTreeSet;

use super::{EditError, check};
use crate::order;
use crate::plan::{Batch, CuttingHabits, ExtraStock, Plan, PullTimes, StockId, Turn, limits};
use crate::units::{Length, Price, Seconds};

/// The batch with clean names, when the plan has the molds and sheets that it names.
pub(super) fn batch(plan: &Plan, batch: &Batch) -> Result<Batch, EditError> {
    count("kits", batch.kits, (1, limits::KITS))?;
    count("percent of spares", batch.spares_percent, (0, limits::SPARES_PERCENT))?;
    check::count("sheets besides the plan's own", batch.stocks.len(), limits::STOCKS)?;
    for (&mold, part) in &batch.wanted {
        if !plan.molds.contains_key(&mold) {
            return Err(EditError::NoSuchMold(mold));
        }
        count("parts in a kit", part.per_kit, (0, limits::PER_KIT))?;
        known(batch, part.stock)?;
    }
    for offcut in &plan.cutting.offcuts {
        if let Some(id) = offcut.stock
            && !batch.stocks.contains_key(&id)
        {
            return Err(EditError::StockInUse(id));
        }
    }
    for (&pull, layout) in &plan.pulls {
        if let Some(stock) = layout.stock
            && !batch.stocks.contains_key(&stock)
        {
            return Err(EditError::StockOfPull { stock, pull });
        }
    }
    times(&batch.times)?;
    price("cost of an hour", batch.labour)?;
    let stocks = batch.stocks.iter().map(|(&id, extra)| {
        let colour = check::name_if_any(&extra.colour)?;
        Ok((id, ExtraStock { colour, stock: check::stock(extra.stock)? }))
    });
    let stocks = stocks.collect::<Result<Vec<_>, _>>()?;
    Ok(Batch { stocks: order::map(stocks), ..batch.clone() })
}

/// The habits as they are, when the plan has the sheets that its offcuts name.
pub(super) fn cutting(plan: &Plan, habits: &CuttingHabits) -> Result<CuttingHabits, EditError> {
    let cut = |what, value| check::length(what, value, Length::ZERO, limits::CUT_MOST);
    cut("kerf", habits.kerf)?;
    cut("wander of a cut", habits.wander)?;
    cut("narrowest strip", habits.least_strip.unwrap_or(Length::ZERO))?;
    count("blanks", habits.blanks_wanted.unwrap_or(1), (1, limits::BLANKS))?;
    check::count("kinds of offcuts", habits.offcuts.len(), limits::OFFCUTS)?;
    for offcut in &habits.offcuts {
        check::sheet_size(offcut.size, ["offcut width", "offcut depth"])?;
        count("equal offcuts", offcut.count, (1, limits::EQUAL_OFFCUTS))?;
        known(&plan.batch, offcut.stock)?;
    }
    Ok(habits.clone())
}

/// The order as it is, when the plan has its pulls and each stands in it once.
pub(super) fn order(plan: &Plan, order: &[Turn]) -> Result<Vec<Turn>, EditError> {
    let mut seen = BTreeSet::new();
    for turn in order {
        if !plan.pulls.contains_key(&turn.pull) {
            return Err(EditError::NoSuchPull(turn.pull));
        }
        if !seen.insert(turn.pull) {
            return Err(EditError::OrderedTwice(turn.pull));
        }
        count("pulls of one layout", turn.times, (1, limits::TIMES))?;
    }
    Ok(order.to_vec())
}

/// Refuses a sheet that the batch does not have.
pub(super) fn known(batch: &Batch, stock: Option<StockId>) -> Result<(), EditError> {
    match stock {
        Some(id) if !batch.stocks.contains_key(&id) => Err(EditError::NoSuchStock(id)),
        _ => Ok(()),
    }
}

fn times(times: &PullTimes) -> Result<(), EditError> {
    let most = limits::STEP_TIME_MOST;
    for (what, value) in [
        ("time to load", Some(times.load)),
        ("time to heat", times.heat),
        ("time to draw", Some(times.draw)),
        ("time to cool", times.cool),
        ("time to unload", Some(times.unload)),
        ("time to change over", Some(times.change_over)),
    ] {
        if let Some(value) = value
            && !(value >= Seconds::ZERO && value <= most)
        {
            return Err(EditError::TimeOutside { what, value, most });
        }
    }
    Ok(())
}

fn price(what: &'static str, price: Option<Price>) -> Result<(), EditError> {
    let whole = |price: Price| f64::from(price.to_hundredths()) / 100.0;
    check::number(what, price.map_or(0.0, whole), (0.0, whole(Price::MAX)))
}

fn count(what: &'static str, value: u32, (least, most): (u32, u32)) -> Result<(), EditError> {
    if (least..=most).contains(&value) {
        Ok(())
    } else {
        Err(EditError::CountOutside { what, value, least, most })
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use crate::edit::{Edit, EditError};
    use crate::plan::{
        Batch, CuttingHabits, ExtraStock, MoldId, Offcut, PartWanted, Plan, Pull, PullId,
        PullTimes, Size, Stock, StockId, Turn, sample,
    };
    use crate::units::{Length, Price, Seconds};

    const RED: StockId = StockId(3);

    fn kit() -> Batch {
        let part = |per_kit, stock| PartWanted { per_kit, stock };
        let red = ExtraStock { colour: " red\t".to_owned(), stock: Stock::default() };
        Batch {
            kits: 20,
            wanted: BTreeMap::from([(MoldId(1), part(2, None)), (MoldId(3), part(1, Some(RED)))]),
            stocks: BTreeMap::from([(RED, red)]),
            ..Batch::default()
        }
    }

    fn set(plan: &Plan, batch: Batch) -> Result<Plan, EditError> {
        plan.apply(&Edit::SetBatch(Box::new(batch)))
    }

    fn offcut() -> CuttingHabits {
        let size = Size::new(Length::inches(12.0), Length::inches(20.0));
        let offcuts = vec![Offcut { size, count: 2, stock: Some(RED) }];
        CuttingHabits { offcuts, ..CuttingHabits::default() }
    }

    #[test]
    fn a_batch_is_kept_with_clean_names_and_loses_a_mold_that_is_removed() {
        let plan = set(&sample(), kit()).expect("fits");
        assert_eq!(plan.batch.stocks[&RED].colour, "red");
        let after = plan.apply(&Edit::RemoveMold(MoldId(3))).expect("removes");
        assert_eq!(after.batch.wanted.keys().collect::<Vec<_>>(), [&MoldId(1)]);
    }

    #[test]
    fn a_sheet_stays_while_offcuts_of_it_are_kept() {
        let habits = Edit::SetCutting(Box::new(offcut()));
        assert_eq!(sample().apply(&habits), Err(EditError::NoSuchStock(RED)));
        let plan = set(&sample(), kit()).and_then(|plan| plan.apply(&habits)).expect("fits");
        assert_eq!(set(&plan, Batch::default()), Err(EditError::StockInUse(RED)));
        let none = Edit::SetCutting(Box::default());
        assert!(plan.apply(&none).and_then(|plan| set(&plan, Batch::default())).is_ok());
    }

    #[test]
    fn a_sheet_stays_while_a_pull_is_formed_in_it() {
        let red = Edit::SetPullStock(PullId(1), Some(RED));
        assert_eq!(sample().apply(&red), Err(EditError::NoSuchStock(RED)));
        let plan = set(&sample(), kit()).and_then(|plan| plan.apply(&red)).expect("fits");
        assert_eq!(plan.stock_of_pull(PullId(1)), &plan.batch.stocks[&RED].stock);
        let refused = set(&plan, Batch::default()).expect_err("in use");
        assert_eq!(refused, EditError::StockOfPull { stock: RED, pull: PullId(1) });
        let own = Edit::SetPullStock(PullId(1), None);
        assert!(plan.apply(&own).and_then(|plan| set(&plan, Batch::default())).is_ok());
        let pull = Pull { stock: Some(StockId(9)), ..Pull::new("Blue") };
        assert_eq!(
            plan.apply(&Edit::AddPull(PullId(2), pull)),
            Err(EditError::NoSuchStock(StockId(9)))
        );
    }

    #[test]
    fn another_gauge_is_that_of_the_sheet_a_pull_is_formed_in() {
        let plan = set(&sample(), kit()).expect("fits");
        let own = plan.stock;
        for id in [None, Some(RED)] {
            let plan = plan.apply(&Edit::SetPullStock(PullId(1), id)).expect("fits");
            let thick = Stock { gauge: own.gauge * 2.0, ..*plan.stock_of_pull(PullId(1)) };
            let after = plan.apply(&Edit::sheet_of_pull(&plan, PullId(1), thick)).expect("fits");
            assert_eq!(after.stock_of_pull(PullId(1)), &thick);
            assert_eq!(after.stock == own, id.is_some(), "{id:?}");
        }
    }

    #[test]
    fn an_order_holds_for_the_kits_it_was_made_for() {
        let turn = |pull, times| Turn { pull: PullId(pull), times };
        let edits = [
            Edit::SetBatch(Box::new(kit())),
            Edit::AddPull(PullId(2), Pull::new("Two")),
            Edit::SetOrder(vec![turn(2, 20), turn(1, 3)]),
        ];
        let plan = sample().apply(&Edit::All(edits.into())).expect("fits");
        let dearer = Batch { labour: Some(Price::hundredths(900)), ..(*plan.batch).clone() };
        assert_eq!(set(&plan, dearer).expect("fits").order, plan.order, "the same kits");
        let more = Batch { kits: 21, ..(*plan.batch).clone() };
        assert!(set(&plan, more).expect("fits").order.is_empty());
        let gone = plan.apply(&Edit::RemovePull(PullId(2))).expect("removes");
        assert_eq!(*gone.order, [turn(1, 3)]);
        for (order, words) in [
            (vec![turn(3, 1)], "there is no pull 3 in this plan"),
            (
                vec![turn(1, 1), turn(1, 2)],
                "pull 1 stands twice in the order of the pulls; give one count for both",
            ),
            (vec![turn(1, 0)], "0 pulls of one layout are outside 1 to 20000000"),
        ] {
            let refused = plan.apply(&Edit::SetOrder(order)).expect_err(words);
            assert_eq!(refused.to_string(), words);
        }
    }

    #[test]
    fn what_makes_no_sense_is_refused() {
        let part = |id, part| Batch { wanted: BTreeMap::from([(MoldId(id), part)]), ..kit() };
        let times = |load| Batch { times: PullTimes { load, ..PullTimes::default() }, ..kit() };
        let cases = [
            (Batch { kits: 0, ..kit() }, "0 kits are outside 1 to 10000"),
            (Batch { spares_percent: 101, ..kit() }, "101 percent of spares are outside 0 to 100"),
            (part(77, PartWanted { per_kit: 1, stock: None }), "there is no mold 77 in this plan"),
            (
                part(1, PartWanted { per_kit: 1, stock: Some(StockId(9)) }),
                "there is no stock 9 among the sheets of the batch; add it, or choose another",
            ),
            (times(Seconds::new(-1.0)), "a time to load of -1 s is outside 0 s to 14400 s"),
            (times(Seconds::new(f64::NAN)), "a time to load of NaN s is outside 0 s to 14400 s"),
            (
                Batch { labour: Some(Price::hundredths(u32::MAX)), ..kit() },
                "a cost of an hour of 42949672.95 is outside 0 to 1000000",
            ),
        ];
        for (batch, words) in cases {
            assert_eq!(set(&sample(), batch).expect_err(words).to_string(), words);
        }
    }

    #[test]
    fn cutting_that_makes_no_sense_is_refused() {
        let plan = set(&sample(), kit()).expect("fits");
        let many = Offcut { count: 101, ..offcut().offcuts[0] };
        let cases = [
            (
                CuttingHabits { kerf: Length::mm(101.0), ..offcut() },
                "a kerf of 101.0 mm is outside 0.0 mm to 100.0 mm",
            ),
            (
                CuttingHabits { blanks_wanted: Some(0), ..offcut() },
                "0 blanks are outside 1 to 5000",
            ),
            (
                CuttingHabits { offcuts: vec![many], ..offcut() },
                "101 equal offcuts are outside 1 to 100",
            ),
        ];
        for (habits, words) in cases {
            let refused = plan.apply(&Edit::SetCutting(Box::new(habits))).expect_err(words);
            assert_eq!(refused.to_string(), words);
        }
    }
}
