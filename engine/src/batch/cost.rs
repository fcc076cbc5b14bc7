//! What a batch costs: whole sheets to buy, what is left of them, and the time at the bench.

use super::{BatchPlan, SheetPlan};
use crate::heat::{Cooling, Heater, Span, cooling, heating};
use crate::plan::{Plan, Size, Stock, StockId};
use crate::stock::{Pattern, StockError, Wanted, habitual, most_of_one};
use crate::units::{Amount, Area, Price, Seconds};

/// What a batch costs.
#[derive(Clone, Debug, PartialEq)]
pub struct BatchCost {
    /// Sheet by sheet, in the order of the plan of the batch.
    pub sheets: Vec<SheetCost>,
    /// All pulls and changes of layout.
    pub time: Span,
    /// All whole sheets; none when a price is not known.
    pub plastic: Option<Amount>,
    /// The hours at the bench, at the least and at the most; none when an hour has no price, or may never end.
    pub labour: Option<(Amount, Amount)>,
    /// Kits that it is for.
    pub kits: u32,
}

/// What the pulls of one sheet cost.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetCost {
    /// Which sheet; none is the plan's own.
    pub stock: Option<StockId>,
    /// The sheets to be cut, or why no blank comes out of one.
    pub cut: Result<Cut, StockError>,
    /// One pull, from loading to unloading.
    pub pull: Span,
    /// All pulls of it, and setting out each layout once.
    pub time: Span,
}

/// Sheets cut into blanks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Blanks, one a pull.
    pub blanks: u32,
    /// Those among them that come out of offcuts, which are used first.
    pub from_offcuts: u32,
    /// Blanks out of one whole sheet: no way of cutting gives more.
    pub a_sheet: u32,
    /// Whole sheets to buy: no way of cutting takes fewer.
    pub sheets: u32,
    /// What is left of them.
    pub left: Area,
    /// What they cost; none when the price is not known.
    pub price: Option<Amount>,
    /// What is left, at the price by area that was paid for it.
    pub left_worth: Option<Amount>,
}

/// What a batch costs, by the habits and times in the plan.
///
/// Offcuts are used first, the smallest first. Times that are not given are those of room `heat`, as a range; cooling is taken
/// from metal to a fan, on the full gauge. Pulls follow one another: nothing is heated while something cools.
#[must_use]
pub fn batch_cost(plan: &Plan, batch: &BatchPlan) -> BatchCost {
    let sheets: Vec<SheetCost> =
        batch.sheets.iter().filter_map(|sheet| sheet_cost(plan, sheet)).collect();
    let time = sheets.iter().fold(Span { from: Seconds::ZERO, to: Seconds::ZERO }, |sum, sheet| {
        Span { from: sum.from + sheet.time.from, to: sum.to + sheet.time.to }
    });
    let price = |sheet: &SheetCost| sheet.cut.as_ref().ok().and_then(|cut| cut.price);
    let plastic = sheets.iter().map(price).collect::<Option<Vec<_>>>();
    let hours = |seconds: Seconds, hour: Price| Amount::share(hour, seconds.get() / 3600.0);
    let labour = plan.batch.labour.filter(|_| time.to.get().is_finite());
    BatchCost {
        time,
        plastic: plastic.map(|prices| prices.into_iter().sum()),
        labour: labour.map(|hour| (hours(time.from, hour), hours(time.to, hour))),
        kits: plan.batch.kits,
        sheets,
    }
}

fn sheet_cost(plan: &Plan, sheet: &SheetPlan) -> Option<SheetCost> {
    let stock = plan.stock_of(sheet.stock)?;
    let pull = pull_time(plan, stock);
    let n_layouts = f64::from(u32::try_from(sheet.layouts.len()).unwrap_or(u32::MAX));
    let setting = plan.batch.times.change_over * n_layouts;
    let all = |one: Seconds| one * f64::from(sheet.pulls) + setting;
    Some(SheetCost {
        stock: sheet.stock,
        cut: cut(plan, (sheet.stock, stock), sheet.pulls),
        pull,
        time: Span { from: all(pull.from), to: all(pull.to) },
    })
}

/// One pull, from loading to unloading.
fn pull_time(plan: &Plan, stock: &Stock) -> Span {
    let times = plan.batch.times;
    let heater = Heater::default();
    let exactly = |time: Seconds| Span { from: time, to: time };
    let heat =
        times.heat.map_or_else(|| heating(stock.plastic, stock.gauge, &heater).usual, exactly);
    let cool = times.cool.map_or_else(
        || {
            let Cooling { on_metal, under_fan, .. } =
                cooling(stock.plastic, stock.gauge, heater.room);
            Span { from: on_metal, to: under_fan }
        },
        exactly,
    );
    let hands = times.load + times.draw + times.unload;
    Span { from: hands + heat.from + cool.from, to: hands + heat.to + cool.to }
}

/// Whole sheets for so many blanks of the machine, offcuts of the same sheet first.
fn cut(
    plan: &Plan,
    (id, stock): (Option<StockId>, &Stock),
    blanks: u32,
) -> Result<Cut, StockError> {
    let habits = &plan.cutting;
    let cutting = habitual(habits, stock.gauge);
    let one = Wanted { size: plan.machine.blank, may_turn: habits.may_turn, count: 1 };
    let of = |sheet: Size| most_of_one(sheet, one, &cutting);
    let mut offcuts: Vec<_> = habits.offcuts.iter().filter(|offcut| offcut.stock == id).collect();
    let area = |size: Size| size.rect().area().to_mm2();
    offcuts.sort_by(|a, b| area(a.size).total_cmp(&area(b.size)));
    let mut from_offcuts = 0_u32;
    for offcut in offcuts {
        let each = of(offcut.size)?.count(0);
        from_offcuts = from_offcuts.saturating_add(each.saturating_mul(offcut.count)).min(blanks);
    }
    let pattern = of(stock.sheet)?;
    let a_sheet = pattern.count(0);
    let rest = blanks - from_offcuts;
    if a_sheet == 0 && rest > 0 {
        let Size { width, depth } = one.size;
        return Err(StockError::TooLarge { width, depth });
    }
    let sheets = rest.div_ceil(a_sheet.max(1));
    let left =
        left(&pattern, sheets, sheets.saturating_mul(a_sheet).saturating_sub(rest), one.size);
    let whole = stock.sheet.rect().area();
    let share = left / whole;
    Ok(Cut {
        blanks,
        from_offcuts,
        a_sheet,
        sheets,
        left,
        price: stock.price.map(|price| Amount::times(price, u64::from(sheets))),
        left_worth: stock.price.map(|price| Amount::share(price, share)),
    })
}

/// What is left of `sheets` sheets of which `spare` blanks are not needed.
fn left(pattern: &Pattern, sheets: u32, spare: u32, blank: Size) -> Area {
    let offcuts: Area = pattern
        .parts()
        .iter()
        .filter(|part| part.blank.is_none())
        .map(|part| part.rect.area())
        .sum();
    offcuts * f64::from(sheets) + blank.rect().area() * f64::from(spare)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::super::{Budget, Seed, plan_batch};
    use super::*;
    use crate::edit::Edit;
    use crate::plan::{Batch, CuttingHabits, MoldId, Offcut, PartWanted, PullTimes, sample};
    use crate::stock::{Cutting, Job, cut_job};
    use crate::units::Length;

    fn kits(kits: u32, habits: CuttingHabits) -> Plan {
        let part = PartWanted { per_kit: 1, stock: None };
        let times = PullTimes {
            load: Seconds::new(60.0),
            heat: Some(Seconds::new(90.0)),
            draw: Seconds::new(15.0),
            cool: Some(Seconds::new(45.0)),
            unload: Seconds::new(30.0),
            change_over: Seconds::new(300.0),
        };
        let wanted = BTreeMap::from([(MoldId(1), part), (MoldId(4), part)]);
        let labour = Some(Price::hundredths(2_000));
        let batch = Batch { kits, wanted, times, labour, ..Batch::default() };
        let edits = [Edit::SetBatch(Box::new(batch)), Edit::SetCutting(Box::new(habits))];
        sample().apply(&Edit::All(edits.into())).expect("fits")
    }

    fn cost(plan: &Plan) -> (BatchPlan, BatchCost) {
        let budget = Budget { steps: 200_000 };
        let planned = plan_batch(plan, (Seed(1), budget), &mut ()).expect("wanted");
        let cost = batch_cost(plan, &planned);
        (planned, cost)
    }

    // A 48 x 96 in sheet gives 24 blanks of 12 x 16 in with nothing left (common practice), at 59.50 a sheet: 50 pulls take
    // three sheets, and 22 blanks are left. One layout: 300 s, and 240 s a pull.
    #[test]
    fn fifty_kits_cost_what_is_reckoned_by_hand() {
        let plan = kits(50, CuttingHabits::default());
        let (planned, cost) = cost(&plan);
        assert_eq!((planned.pulls(), planned.n_layouts()), (50, 1));
        let cut = cost.sheets[0].cut.expect("comes out");
        assert_eq!((cut.a_sheet, cut.sheets, cut.from_offcuts), (24, 3, 0));
        assert_eq!(cost.plastic.map(|sum| sum.to_string()).as_deref(), Some("178.50"));
        let blank = Length::inches(12.0).to_mm() * Length::inches(16.0).to_mm();
        assert!((cut.left.to_mm2() - 22.0 * blank).abs() < 1.0, "{cut:?}");
        // 22/24 of a sheet.
        assert_eq!(cut.left_worth.map(|sum| sum.to_string()).as_deref(), Some("54.54"));
        let seconds = 50.0 * 240.0 + 300.0;
        assert!((cost.time.from.get() - seconds).abs() < 1e-9 && cost.time.from == cost.time.to);
        // 12300 s at 20.00 an hour.
        assert_eq!(cost.labour.map(|(least, _)| least.to_string()).as_deref(), Some("68.33"));
    }

    #[test]
    fn offcuts_are_used_first_and_the_sheets_are_those_of_the_cutting_plan() {
        let size = Size::new(Length::inches(24.0), Length::inches(17.0));
        let offcuts = vec![Offcut { size, count: 3, stock: None }];
        let plan = kits(30, CuttingHabits { offcuts, ..CuttingHabits::default() });
        let (planned, cost) = cost(&plan);
        let cut = cost.sheets[0].cut.expect("comes out");
        assert_eq!((cut.blanks, cut.from_offcuts, cut.sheets), (30, 6, 1));
        let wanted = Wanted { size: plan.machine.blank, may_turn: true, count: planned.pulls() };
        let job = Job { sheet: plan.stock.sheet, offcuts: vec![size; 3], wanted: vec![wanted] };
        let sheets = cut_job(&job, &Cutting::snapped(plan.stock.gauge)).expect("cuts");
        assert_eq!((sheets.n_sheets, sheets.offcuts.len()), (1, 3));
    }

    #[test]
    fn what_is_not_known_has_no_price_and_times_are_a_range() {
        let mut plan = kits(4, CuttingHabits::default());
        let batch = Batch { times: PullTimes::default(), labour: None, ..(*plan.batch).clone() };
        let stock = Stock { price: None, ..plan.stock };
        let edits = [Edit::SetBatch(Box::new(batch)), Edit::SetStock(stock)];
        plan = plan.apply(&Edit::All(edits.into())).expect("fits");
        let (_, cost) = cost(&plan);
        assert_eq!((cost.plastic, cost.labour), (None, None));
        assert!(cost.time.from < cost.time.to, "{:?}", cost.time);
    }
}
