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

impl BatchCost {
    /// Plastic and labour together, at the least and at the most; none when either is not known.
    #[must_use]
    pub fn total(&self) -> Option<(Amount, Amount)> {
        let ((least, most), plastic) = self.labour.zip(self.plastic)?;
        Some((plastic + least, plastic + most))
    }

    /// The time that a kit takes of the whole.
    #[must_use]
    pub fn time_per_kit(&self) -> Span {
        let share = 1.0 / f64::from(self.kits.max(1));
        Span { from: self.time.from * share, to: self.time.to * share }
    }
}

/// What one pull takes, step by step; each as long at the least as at the most when it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PullSteps {
    /// To peel the film and clamp the blank.
    pub load: Span,
    /// To heat it.
    pub heat: Span,
    /// To draw it.
    pub draw: Span,
    /// Until it is stiff enough to lift.
    pub cool: Span,
    /// To unclamp it and free the molds.
    pub unload: Span,
}

impl PullSteps {
    /// The steps in their order, each with what it is called.
    #[must_use]
    pub const fn named(&self) -> [(&'static str, Span); 5] {
        let Self { load, heat, draw, cool, unload } = *self;
        [("load", load), ("heat", heat), ("draw", draw), ("cool", cool), ("unload", unload)]
    }

    /// From loading to unloading.
    #[must_use]
    pub fn whole(&self) -> Span {
        sum(self.named().into_iter().map(|(_, span)| span))
    }
}

fn sum(spans: impl Iterator<Item = Span>) -> Span {
    let none = Span { from: Seconds::ZERO, to: Seconds::ZERO };
    spans.fold(none, |sum, span| Span { from: sum.from + span.from, to: sum.to + span.to })
}

/// What the pulls of one sheet cost.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetCost {
    /// Which sheet; none is the plan's own.
    pub stock: Option<StockId>,
    /// The sheets to be cut, or why no blank comes out of one.
    pub cut: Result<Cut, StockError>,
    /// One pull, step by step.
    pub pull: PullSteps,
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
/// Offcuts are used first, the smallest first. Times that are not given are those of room `heat` under this heater, as a range;
/// cooling is taken from metal to a fan, on the full gauge. Pulls follow one another: nothing is heated while something cools.
#[must_use]
pub fn batch_cost(plan: &Plan, batch: &BatchPlan, heater: &Heater) -> BatchCost {
    let sheets: Vec<SheetCost> =
        batch.sheets.iter().filter_map(|sheet| sheet_cost(plan, sheet, heater)).collect();
    let time = sum(sheets.iter().map(|sheet| sheet.time));
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

fn sheet_cost(plan: &Plan, sheet: &SheetPlan, heater: &Heater) -> Option<SheetCost> {
    let stock = plan.stock_of(sheet.stock)?;
    let pull = pull_steps(plan, stock, heater);
    let whole = pull.whole();
    let n_layouts = f64::from(u32::try_from(sheet.layouts.len()).unwrap_or(u32::MAX));
    let setting = plan.batch.times.change_over * n_layouts;
    let all = |one: Seconds| one * f64::from(sheet.pulls) + setting;
    Some(SheetCost {
        stock: sheet.stock,
        cut: cut(plan, (sheet.stock, stock), sheet.pulls),
        pull,
        time: Span { from: all(whole.from), to: all(whole.to) },
    })
}

/// One pull, from loading to unloading.
fn pull_steps(plan: &Plan, stock: &Stock, heater: &Heater) -> PullSteps {
    let times = plan.batch.times;
    let exactly = |time: Seconds| Span { from: time, to: time };
    let heat =
        times.heat.map_or_else(|| heating(stock.plastic, stock.gauge, heater).usual, exactly);
    let cool = times.cool.map_or_else(
        || {
            let Cooling { on_metal, under_fan, .. } =
                cooling(stock.plastic, stock.gauge, heater.room);
            Span { from: on_metal, to: under_fan }
        },
        exactly,
    );
    let [load, draw, unload] = [times.load, times.draw, times.unload].map(exactly);
    PullSteps { load, heat, draw, cool, unload }
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

    use super::super::{Budget, Seed, batch_table, plan_batch};
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
        let cost = batch_cost(plan, &planned, &Heater::default());
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
        let total = cost.total().map(|(least, most)| [least.to_string(), most.to_string()]);
        assert_eq!(total, Some(["246.83".to_owned(), "246.83".to_owned()]));
        let told = |what: &str| {
            let lines = cost.lines(&plan);
            lines.into_iter().find(|(name, _)| name == what).map(|(_, much)| much)
        };
        for (what, much) in [
            ("Plastic", "178.50, 3.57 a kit"),
            ("Time at the bench", "3 h 25 min"),
            ("Time a kit", "4 min 6 s"),
            // A kit's share of 6833 hundredths is 136.66, rounded up so that fifty of them cover it.
            ("Labour", "68.33, 1.37 a kit"),
            ("Plastic and labour", "246.83, 4.94 a kit"),
        ] {
            assert_eq!(told(what).as_deref(), Some(much), "{what}");
        }
        let steps = told("One pull, HIPS 1.52 mm").or_else(|| told("One pull, HIPS .060 in"));
        assert_eq!(
            steps.as_deref(),
            Some("4 min: load 60 s, heat 90 s, draw 15 s, cool 45 s, unload 30 s")
        );
    }

    // The same fifty kits with heat and cooling left to the heater: both ends of each range by the same sums.
    #[test]
    fn ranges_of_time_are_priced_by_the_kit_at_both_ends() {
        let mut plan = kits(50, CuttingHabits::default());
        let times = PullTimes { heat: None, cool: None, ..plan.batch.times };
        let batch = Batch { times, ..(*plan.batch).clone() };
        plan = plan.apply(&Edit::SetBatch(Box::new(batch))).expect("fits");
        let (planned, cost) = cost(&plan);
        let usual = heating(plan.stock.plastic, plan.stock.gauge, &Heater::default()).usual;
        let cools = cooling(plan.stock.plastic, plan.stock.gauge, Heater::default().room);
        let all = |heat: Seconds, cool: Seconds| {
            50.0 * (60.0 + 15.0 + 30.0 + heat.get() + cool.get()) + 300.0
        };
        let ends = [all(usual.from, cools.on_metal), all(usual.to, cools.under_fan)];
        let hundredths = ends.map(|seconds| libm::round(seconds / 3600.0 * 2000.0));
        let (least, most) = cost.labour.expect("priced");
        for (amount, want) in [least, most].into_iter().zip(hundredths) {
            let priced = f64::from(u32::try_from(amount.to_hundredths()).expect("small"));
            assert!((priced - want).abs() < 0.5, "{amount} {want}");
        }
        let lines = cost.lines(&plan);
        let labour = lines.iter().find(|(name, _)| name == "Labour").expect("told");
        let (one, other) = (least.each(50), most.each(50));
        assert_eq!(labour.1, format!("{least} to {most}, {one} to {other} a kit"));
        let rows = batch_table(&plan, &planned, &cost);
        for (name, detail, much) in
            [("Labour", "one kit at the least", one), ("Labour", "one kit at the most", other)]
        {
            let is_row = |row: &&Vec<String>| row[1] == name && row[2] == detail;
            let row = rows.iter().find(is_row).expect("a row");
            assert_eq!(row[3], much.to_string(), "{row:?}");
        }
        // A heater of twice the flux takes half as long, so it costs less.
        let Heater { absorbed, .. } = Heater::default();
        let twice = Heater { absorbed: (absorbed.0 * 2.0, absorbed.1 * 2.0), ..Heater::default() };
        let sooner = batch_cost(&plan, &planned, &twice);
        assert!(sooner.time.to < cost.time.to && sooner.labour < cost.labour, "{sooner:?}");
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
