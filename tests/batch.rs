//! Batches against solvers and readers of others: the fewest pulls against an independent integer program, the table
//! against a CSV reader.

use std::collections::BTreeMap;

use engine::batch::{Budget, Seed, batch_cost, batch_table, plan_batch};
use engine::edit::Edit;
use engine::export;
use engine::heat::Heater;
use engine::plan::{
    Batch, Footprint, Machine, Mold, MoldId, PartWanted, Plan, Size, Turns, sample,
};
use engine::units::Length;
use microlp::{ComparisonOp, OptimizationDirection, Problem};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

/// One part of a kit: tenths of its share of the blank's width, copies of its mold, parts in a kit.
type Part = (u32, u32, u32);

/// The width of the room counted as the parts' widths are.
const ROOM: u32 = 30;

/// Blocks so deep that they stand beside each other only. Each is 10 mm a count wide less the least gap of 12 mm, and the
/// blank is such that they fit when their counts come to no more than 30, then with half a count to spare.
fn strips(parts: &[Part], kits: u32) -> Plan {
    let width = f64::from(ROOM) * 10.0 + 5.0 - 12.0 + 2.0 * (15.0 + 25.0);
    let blank = Size::new(Length::mm(width), Length::mm(200.0));
    let mut plan =
        Plan::new("Strips", Machine::with_lip(blank, Length::mm(15.0), Length::mm(100.0)));
    let mut batch = Batch { kits, ..Batch::default() };
    for (id, &(count, copies, per_kit)) in (1..).map(MoldId).zip(parts) {
        let width = Length::mm(f64::from(count) * 10.0 - 12.0);
        let footprint = Footprint::Rectangle { width, depth: Length::mm(100.0) };
        let mold =
            Mold { copies, turns: Turns::Fixed, ..Mold::new("Strip", footprint, Length::mm(5.0)) };
        plan = plan.apply(&Edit::AddMold(id, Box::new(mold))).expect("within the limits");
        batch.wanted.insert(id, PartWanted { per_kit, stock: None });
    }
    plan.apply(&Edit::SetBatch(Box::new(batch))).expect("within the limits")
}

/// Every set that fits by the sum of its counts.
fn sets(parts: &[Part]) -> Vec<Vec<u32>> {
    let mut all = vec![vec![]];
    for &(_, copies, _) in parts {
        let longer = |set: &Vec<u32>| {
            (0..=copies).map(|n| [set.as_slice(), &[n]].concat()).collect::<Vec<_>>()
        };
        all = all.iter().flat_map(longer).collect();
    }
    let width = |set: &[u32]| set.iter().zip(parts).map(|(n, part)| n * part.0).sum::<u32>();
    all.retain(|set| width(set) <= ROOM && set.iter().any(|n| *n > 0));
    all
}

/// The fewest pulls, by microlp.
fn independent(parts: &[Part], kits: u32) -> f64 {
    let sets = sets(parts);
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let times: Vec<_> = sets.iter().map(|_| problem.add_integer_var(1.0, (0, 1000))).collect();
    for (k, part) in parts.iter().enumerate() {
        let given = times.iter().zip(&sets).filter(|(_, set)| set[k] > 0);
        let given: Vec<_> = given.map(|(&x, set)| (x, f64::from(set[k]))).collect();
        problem.add_constraint(given.as_slice(), ComparisonOp::Ge, f64::from(part.2 * kits));
    }
    problem.solve().expect("solves").objective()
}

/// The fewest different layouts in any way of so few pulls: all choices of one, of two and so on, each counted by microlp.
fn fewest_layouts(parts: &[Part], kits: u32, pulls: f64) -> usize {
    let sets = sets(parts);
    let is_part = |one: &[u32], of: &[u32]| one.iter().zip(of).all(|(a, b)| a <= b);
    // What stands on a larger layout too is no layout of its own.
    let whole: Vec<&Vec<u32>> = sets
        .iter()
        .filter(|one| !sets.iter().any(|other| other != *one && is_part(one, other)))
        .collect();
    (1..=whole.len())
        .find(|&n| {
            choices(whole.len(), n)
                .iter()
                .any(|chosen| covers(&whole, chosen, (parts, kits, pulls)))
        })
        .expect("all of them cover it")
}

/// All ways to choose `n` of so many.
fn choices(of: usize, n: usize) -> Vec<Vec<usize>> {
    if n == 0 {
        return vec![vec![]];
    }
    let with_last = |last: usize| {
        let fewer = choices(last, n - 1).into_iter();
        fewer.map(move |chosen| [chosen.as_slice(), &[last]].concat())
    };
    (0..of).flat_map(with_last).collect()
}

/// Whether the chosen layouts make all parts within so many pulls.
fn covers(
    whole: &[&Vec<u32>],
    chosen: &[usize],
    (parts, kits, pulls): (&[Part], u32, f64),
) -> bool {
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let times: Vec<_> = chosen.iter().map(|_| problem.add_integer_var(1.0, (0, 1000))).collect();
    for (k, part) in parts.iter().enumerate() {
        let given = times.iter().zip(chosen).filter(|(_, set)| whole[**set][k] > 0);
        let given: Vec<_> = given.map(|(&x, set)| (x, f64::from(whole[*set][k]))).collect();
        if given.is_empty() {
            return false;
        }
        problem.add_constraint(given.as_slice(), ComparisonOp::Ge, f64::from(part.2 * kits));
    }
    problem.solve().is_ok_and(|found| found.objective() <= pulls + 1e-6)
}

#[test]
fn the_fewest_pulls_are_those_of_an_independent_solver() {
    let part = (5..16_u32, 1..3_u32, 1..4_u32);
    let cases = (proptest::collection::vec(part, 2..5), 1..8_u32);
    let config = Config { cases: 40, failure_persistence: None, ..Config::default() };
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let [several, proved, fewest] = [0, 0, 0].map(std::cell::Cell::new);
    let law = |(parts, kits): (Vec<Part>, u32)| {
        let plan = strips(&parts, kits);
        let budget = Budget { steps: 3_000_000 };
        let found = plan_batch(&plan, (Seed(1), budget), &mut ()).expect("wanted");
        let want = independent(&parts, kits);
        assert!(
            (f64::from(found.pulls()) - want).abs() < 1e-6,
            "{parts:?} {kits}: {found:?} {want}"
        );
        let sheet = &found.sheets[0];
        assert!(f64::from(sheet.bounds.least()) <= want + 1e-6, "{:?}", sheet.bounds);
        let least = fewest_layouts(&parts, kits, want);
        assert!(found.n_layouts() >= least, "{parts:?} {kits}: {found:?} {least}");
        if sheet.is_fewest_layouts {
            assert_eq!(found.n_layouts(), least, "{parts:?} {kits}: {found:?}");
        }
        fewest.set(fewest.get() + u32::from(least > 1 && sheet.is_fewest_layouts));
        several.set(several.get() + u32::from(found.n_layouts() > 1));
        proved.set(proved.get() + u32::from(sheet.is_proved()));
        for one in &sheet.bottlenecks {
            let mut more = parts.clone();
            let at = usize::try_from(one.mold.0 - 1).expect("small");
            more[at].1 += 1;
            let saved = want - independent(&more, kits);
            assert!(
                (f64::from(one.saves) - saved).abs() < 1e-6,
                "{parts:?} {kits}: {one:?} {saved}"
            );
            assert!(one.saves <= one.at_best, "{one:?}");
        }
        Ok(())
    };
    TestRunner::new_with_rng(config, rng).run(&cases, law).expect("holds");
    let counts = [&several, &proved, &fewest].map(std::cell::Cell::get);
    assert!(counts.into_iter().all(|n| n > 10), "{counts:?}");
}

#[test]
fn the_table_comes_back_from_a_csv_reader_and_runs_nothing() {
    let mut plan = sample();
    let odd = ["=cmd|' /C calc'!A0", "a \"large\", flat one", "@SUM(1)", "-2+3", "Limpet"];
    let mut wanted = BTreeMap::new();
    for (id, name) in (1..).map(MoldId).zip(odd) {
        let mold = Mold { name: name.to_owned(), ..(*plan.molds[&id]).clone() };
        plan = plan.apply(&Edit::ChangeMold(id, Box::new(mold))).expect("fits");
        wanted.insert(id, PartWanted { per_kit: 1, stock: None });
    }
    let batch = Batch { kits: 7, wanted, ..Batch::default() };
    plan = plan.apply(&Edit::SetBatch(Box::new(batch))).expect("fits");
    let planned = plan_batch(&plan, (Seed(1), Budget { steps: 400_000 }), &mut ()).expect("wanted");
    let rows = batch_table(&plan, &planned, &batch_cost(&plan, &planned, &Heater::default()));
    let text = export::csv(&rows);
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    let read: Vec<csv::StringRecord> = reader.records().collect::<Result<_, _>>().expect("reads");
    assert_eq!(read.len(), rows.len());
    for (record, row) in read.iter().zip(&rows) {
        assert_eq!(record.len(), 5);
        for (field, given) in record.iter().zip(row) {
            assert!(field == given || field == format!("'{given}"), "{field} {given}");
            let may_run = field.starts_with(['=', '+', '@', '\t', '\r'])
                || (field.starts_with('-') && field.parse::<f64>().is_err());
            assert!(!may_run, "{field}");
        }
    }
    let names: Vec<&str> = read.iter().filter(|r| &r[0] == "Part").map(|r| &r[1]).collect();
    assert_eq!(names.len(), 5, "{names:?}");
    assert!(names.contains(&"'=cmd|' /C calc'!A0"), "{names:?}");
}
