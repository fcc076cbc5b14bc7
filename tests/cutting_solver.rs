//! Cutting plans against two independent solvers: an integer program solved by microlp, and a plain enumeration of every
//! sequence of cuts.
//!
//! **Source** of the integer program: F. Furini, E. Malaguti, D. Thomopulos, Modeling two-dimensional guillotine cutting
//! problems via integer programming, INFORMS J. Comput. 28(4), 2016, pp. 736-751: a variable for each plate, axis and place
//! of a cut, one for each plate that is kept as a blank, and a balance for each plate.

use std::collections::{BTreeMap, BTreeSet};

use engine::plan::Size;
use engine::stock::{
    Axis, Cutting, Job, Pattern, Sheets, Wanted, best_pattern, cut_job, cuts_in_order,
};
use engine::units::Length;
use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

/// Millimetres a unit: no sheet is too small to be one.
const UNIT: u32 = 10;

type Sides = (u32, u32);

/// A small case, in units.
#[derive(Clone, Debug)]
struct Case {
    sheet: Sides,
    /// Sizes with counts.
    sizes: Vec<(Sides, u32)>,
    offcuts: Vec<Sides>,
    may_turn: bool,
}

impl Case {
    fn new(sheet: Sides, sizes: &[(Sides, u32)], offcuts: &[Sides]) -> Self {
        Self { sheet, sizes: sizes.to_vec(), offcuts: offcuts.to_vec(), may_turn: false }
    }

    fn job(&self) -> Job {
        let one = |&(sides, count): &(Sides, u32)| Wanted {
            size: size(sides),
            may_turn: self.may_turn,
            count,
        };
        Job {
            sheet: size(self.sheet),
            offcuts: self.offcuts.iter().copied().map(size).collect(),
            wanted: self.sizes.iter().map(one).collect(),
        }
    }

    fn cut(&self) -> Sheets {
        self.cut_with(&Cutting::sawn(Length::ZERO))
    }

    fn cut_with(&self, cutting: &Cutting) -> Sheets {
        let sheets = cut_job(&self.job(), cutting).expect("cuts");
        for (n, &(sides, count)) in self.sizes.iter().enumerate() {
            let whole = sheets.patterns.iter().map(|(pattern, times)| pattern.count(n) * times);
            let offcuts = sheets.offcuts.iter().map(|(_, pattern)| pattern.count(n));
            assert_eq!(whole.chain(offcuts).sum::<u32>(), count, "{sides:?} of {self:?}");
        }
        let used: BTreeSet<usize> = sheets.offcuts.iter().map(|(n, _)| *n).collect();
        assert_eq!(used.len(), sheets.offcuts.len(), "an offcut is there once: {self:?}");
        let offcuts = sheets.offcuts.iter().map(|(_, pattern)| pattern);
        for pattern in offcuts.chain(sheets.patterns.iter().map(|(pattern, _)| pattern)) {
            can_be_cut(pattern, cutting);
        }
        sheets
    }

    /// The ways in which a size may lie.
    fn lying(&self, n: usize) -> BTreeSet<Sides> {
        let (w, d) = self.sizes[n].0;
        if self.may_turn { BTreeSet::from([(w, d), (d, w)]) } else { BTreeSet::from([(w, d)]) }
    }
}

/// No cut leaves a strip too narrow to snap.
fn can_be_cut(pattern: &Pattern, cutting: &Cutting) {
    if cutting.least_strip <= Length::ZERO {
        return;
    }
    let least = cutting.least_strip - Length::mm(1e-6);
    for cut in cuts_in_order(pattern) {
        let across = match cut.axis {
            Axis::FrontToBack => cut.piece.width(),
            Axis::LeftToRight => cut.piece.depth(),
        };
        assert!(cut.mark >= least && across - cut.mark - cutting.kerf >= least, "{cut:?}");
    }
}

fn size((width, depth): Sides) -> Size {
    Size::new(Length::mm(f64::from(width * UNIT)), Length::mm(f64::from(depth * UNIT)))
}

/// Numbers that are the same in every run.
struct Random(u64);

impl Random {
    fn up_to(&mut self, least: u32, most: u32) -> u32 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        least + u32::try_from((self.0 >> 33) % u64::from(most - least + 1)).expect("small")
    }

    /// A sheet of up to so many units with sizes that fit it.
    fn case(&mut self, most: u32, n_sizes: u32) -> Case {
        let sheet = (self.up_to(5, most), self.up_to(5, most));
        let sides = |random: &mut Self| (random.up_to(2, sheet.0), random.up_to(2, sheet.1));
        let mut sizes: BTreeMap<Sides, u32> = BTreeMap::new();
        for _ in 0..n_sizes {
            let sides = sides(self);
            sizes.insert(sides, self.up_to(1, 4));
        }
        let offcuts = (0..self.up_to(0, 2)).map(|_| sides(self)).collect();
        let may_turn = self.up_to(0, 1) > 0;
        Case { sheet, sizes: sizes.into_iter().collect(), offcuts, may_turn }
    }
}

/// The integer program of a case.
struct Program<'c> {
    case: &'c Case,
    problem: Problem,
    is_whole: bool,
    /// What each plate is added to and taken from by.
    balance: BTreeMap<Sides, Vec<(Variable, f64)>>,
    kept: Vec<Vec<(Variable, f64)>>,
}

impl<'c> Program<'c> {
    fn new(case: &'c Case, direction: OptimizationDirection, is_whole: bool) -> Self {
        let kept = vec![Vec::new(); case.sizes.len()];
        Self { case, problem: Problem::new(direction), is_whole, balance: BTreeMap::new(), kept }
    }

    fn variable(&mut self, cost: f64, (least, most): (u32, u32)) -> Variable {
        let whole = |n: u32| i32::try_from(n).expect("small");
        if self.is_whole {
            self.problem.add_integer_var(cost, (whole(least), whole(most)))
        } else {
            self.problem.add_var(cost, (f64::from(least), f64::from(most)))
        }
    }

    /// Whether any blank comes out of a plate.
    fn is_of_use(&self, (width, depth): Sides) -> bool {
        let all = (0..self.case.sizes.len()).flat_map(|n| self.case.lying(n));
        all.into_iter().any(|(w, d)| w <= width && d <= depth)
    }

    /// Plates of this size enter by this variable.
    fn enters(&mut self, plate: Sides, by: Variable) {
        if !self.is_of_use(plate) {
            return;
        }
        let is_new = !self.balance.contains_key(&plate);
        let terms = self.balance.entry(plate).or_default();
        // A cut in the middle makes two plates of one size.
        match terms.iter_mut().find(|(known, _)| *known == by) {
            Some((_, times)) => *times += 1.0,
            None => terms.push((by, 1.0)),
        }
        if is_new {
            self.open(plate);
        }
    }

    /// All that may be done with a plate.
    fn open(&mut self, plate: Sides) {
        const MOST: u32 = 99;
        for n in 0..self.case.sizes.len() {
            if self.case.lying(n).contains(&plate) {
                let worth = self.kept_worth();
                let kept = self.variable(worth, (0, MOST));
                self.balance.entry(plate).or_default().push((kept, -1.0));
                self.kept[n].push((kept, 1.0));
            }
        }
        let (width, depth) = plate;
        let across = (1..=width / 2).map(|at| ((at, depth), (width - at, depth)));
        let along = (1..=depth / 2).map(|at| ((width, at), (width, depth - at)));
        for (first, second) in across.chain(along) {
            let cut = self.variable(0.0, (0, MOST));
            self.balance.entry(plate).or_default().push((cut, -1.0));
            self.enters(first, cut);
            self.enters(second, cut);
        }
    }

    /// What a blank counts: only where the most of one sheet is asked for.
    fn kept_worth(&self) -> f64 {
        if self.case.sizes.iter().all(|(_, count)| *count == 0) { 1.0 } else { 0.0 }
    }

    fn solved(mut self) -> f64 {
        for terms in self.balance.values() {
            self.problem.add_constraint(terms.as_slice(), ComparisonOp::Ge, 0.0);
        }
        for (terms, &(_, count)) in self.kept.iter().zip(&self.case.sizes) {
            self.problem.add_constraint(terms.as_slice(), ComparisonOp::Ge, f64::from(count));
        }
        self.problem.solve().expect("solves").objective()
    }
}

/// The fewest sheets, by microlp; the relaxation rounded up is where it begins.
fn fewest_by_program(case: &Case) -> u32 {
    let solve = |is_whole: bool, least: u32| {
        let mut program = Program::new(case, OptimizationDirection::Minimize, is_whole);
        let sheets = program.variable(1.0, (least, 99));
        program.enters(case.sheet, sheets);
        for &offcut in &case.offcuts {
            let offcut_is_used = program.variable(0.0, (0, 1));
            program.enters(offcut, offcut_is_used);
        }
        program.solved()
    };
    let least = rounded((solve(false, 0) - 1e-6).ceil().max(0.0));
    rounded(solve(true, least))
}

/// The most blanks of one size out of a sheet, by microlp.
fn most_by_program(case: &Case) -> u32 {
    let sizes = vec![(case.sizes[0].0, 0)];
    let one = Case { sizes, ..case.clone() };
    let solve = |is_whole: bool| {
        let mut program = Program::new(&one, OptimizationDirection::Maximize, is_whole);
        let sheet = program.variable(0.0, (1, 1));
        program.enters(one.sheet, sheet);
        program.solved()
    };
    rounded(solve(true))
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
fn rounded(count: f64) -> u32 {
    assert!((count - count.round()).abs() < 1e-6 && count >= -1e-6, "{count}");
    count.round() as u32
}

#[test]
fn random_jobs_take_as_many_sheets_as_the_integer_program_says() {
    let mut random = Random(2016);
    let (mut several, mut with_offcuts, mut at_relaxed) = (0, 0, 0);
    for number in 0..44 {
        let case = random.case(8, 1 + number % 3);
        let (sheets, want) = (case.cut(), fewest_by_program(&case));
        assert!(sheets.least <= want && want <= sheets.n_sheets, "{case:?}: {want}, {sheets:?}");
        // All that sheets so small can give is soon listed, so the answer is exact.
        assert_eq!((sheets.n_sheets, sheets.is_proved()), (want, true), "{case:?}");
        several += u32::from(case.sizes.len() > 1);
        with_offcuts += u32::from(!case.offcuts.is_empty());
        at_relaxed += u32::from(want > 1);
    }
    assert!(several > 20 && with_offcuts > 20 && at_relaxed > 20);
}

#[test]
fn random_blanks_of_one_size_are_as_many_as_the_integer_program_says() {
    let mut random = Random(736);
    for _ in 0..24 {
        let case = random.case(10, 1);
        let one = case.job().wanted;
        let found = best_pattern(size(case.sheet), &one, &[1], &Cutting::sawn(Length::ZERO));
        let (pattern, is_proved) = found.expect("cuts");
        assert_eq!((pattern.count(0), is_proved), (most_by_program(&case), true), "{case:?}");
    }
}

/// How a plain enumeration cuts, in units.
#[derive(Clone, Copy, Debug)]
struct Tool {
    kerf: u32,
    wander: u32,
    least: u32,
}

type Known = BTreeMap<(i64, i64), Vec<Vec<u32>>>;

/// All that a piece can give, none of which gives less of every size than another: every cut at every unit is tried.
fn given(case: &Case, tool: Tool, (width, depth): (i64, i64), known: &mut Known) -> Vec<Vec<u32>> {
    if width <= 0 || depth <= 0 {
        return vec![vec![0; case.sizes.len()]];
    }
    if let Some(list) = known.get(&(width, depth)) {
        return list.clone();
    }
    let mut list: BTreeSet<Vec<u32>> = BTreeSet::from([vec![0; case.sizes.len()]]);
    let side = |n: u32| i64::from(n + tool.wander);
    for n in 0..case.sizes.len() {
        let lies = |&(w, d): &Sides| (side(w), side(d)) == (width, depth);
        if case.lying(n).iter().any(lies) {
            list.insert((0..case.sizes.len()).map(|k| u32::from(k == n)).collect());
        }
    }
    let (kerf, least) = (i64::from(tool.kerf), i64::from(tool.least));
    let across = (1..=width).map(|at| ((at, depth), (width - at - kerf, depth), width));
    let along = (1..=depth).map(|at| ((width, at), (width, depth - at - kerf), depth));
    for (first, second, whole) in across.chain(along) {
        let (at, rest) = if first.0 == width && second.0 == width {
            (first.1, second.1)
        } else {
            (first.0, second.0)
        };
        if at >= whole || (least > 0 && (at < least || rest < least)) {
            continue;
        }
        let seconds = given(case, tool, second, known);
        for one in given(case, tool, first, known) {
            for other in &seconds {
                let sum = one.iter().zip(other).zip(&case.sizes);
                list.insert(sum.map(|((a, b), (_, most))| (a + b).min(*most)).collect());
            }
        }
    }
    let is_within = |a: &[u32], b: &[u32]| a.iter().zip(b).all(|(a, b)| a <= b);
    let is_best =
        |one: &&Vec<u32>| !list.iter().any(|other| other != *one && is_within(one, other));
    let list: Vec<Vec<u32>> = list.iter().filter(is_best).cloned().collect();
    known.insert((width, depth), list.clone());
    list
}

/// The fewest sheets by trying all that the offcuts and then sheet after sheet can give.
fn fewest_by_trying(case: &Case, tool: Tool) -> Option<u32> {
    let mut known = Known::new();
    let mut list = |(w, d): Sides| given(case, tool, (i64::from(w), i64::from(d)), &mut known);
    let less = |left: &BTreeSet<Vec<u32>>, list: &[Vec<u32>]| -> BTreeSet<Vec<u32>> {
        let each = |left: &Vec<u32>, by: &Vec<u32>| {
            left.iter().zip(by).map(|(a, b)| a.saturating_sub(*b)).collect()
        };
        left.iter().flat_map(|left| list.iter().map(move |by| each(left, by))).collect()
    };
    let mut left = BTreeSet::from([case.sizes.iter().map(|(_, count)| *count).collect()]);
    for &offcut in &case.offcuts {
        left = less(&left, &list(offcut));
    }
    let sheet = list(case.sheet);
    (0..20).find(|_| {
        let is_done = left.iter().any(|left| left.iter().all(|&n| n == 0));
        left = less(&left, &sheet);
        is_done
    })
}

const KNIFE: Tool = Tool { kerf: 0, wander: 0, least: 0 };

// An offcut of 800 x 1000 cut for the larger blank leaves three sheets' worth; cut into two of the smaller one, two sheets do.
#[test]
fn an_offcut_that_is_used_unwisely_proves_nothing() {
    let case = Case::new((10, 10), &[((6, 10), 3), ((4, 10), 2)], &[(8, 10)]);
    let sheets = case.cut();
    assert_eq!(fewest_by_trying(&case, KNIFE), Some(2));
    assert_eq!((sheets.n_sheets, sheets.least), (2, 2));
}

#[test]
fn offcuts_are_weighed_against_all_that_is_wanted_before_they_are_cut() {
    let sizes = [((6, 4), 4), ((2, 4), 1), ((7, 3), 3)];
    let case = Case::new((8, 7), &sizes, &[(4, 2), (7, 6)]);
    let sheets = case.cut();
    assert_eq!(fewest_by_trying(&case, KNIFE), Some(3));
    assert_eq!((sheets.n_sheets, sheets.least), (3, 3));
}

#[test]
fn sizes_that_hinder_each_other_are_cut_from_the_fewest_sheets() {
    for (sheet, sizes, want) in [
        ((10, 11), [((7, 7), 3), ((9, 5), 4), ((6, 6), 4)], 7),
        ((8, 7), [((8, 3), 3), ((5, 6), 4), ((5, 4), 4)], 8),
    ] {
        let case = Case::new(sheet, &sizes, &[]);
        assert_eq!(fewest_by_trying(&case, KNIFE), Some(want));
        let sheets = case.cut();
        assert_eq!((sheets.n_sheets, sheets.least), (want, want), "{case:?}");
    }
}

// Two of 23 and 20 wide over one another in each half of 60, and strips of 7 at least: beside 20 the half is 10 wider and beside
// 23 it is 7, so the only cut that goes is in the middle, where no blanks end. No two share a row, for their depths differ
// by less than a strip.
#[test]
fn a_cut_where_no_blank_ends_is_found_where_strips_ask_for_it() {
    let sizes = [((23, 10), 1), ((20, 13), 1), ((23, 11), 1), ((20, 12), 1)];
    let case = Case::new((60, 23), &sizes, &[]);
    let tool = Tool { least: 7, ..KNIFE };
    assert_eq!(fewest_by_trying(&case, tool), Some(1));
    let least_strip = Length::mm(f64::from(7 * UNIT));
    let sheets = case.cut_with(&Cutting { least_strip, ..Cutting::sawn(Length::ZERO) });
    assert_eq!((sheets.n_sheets, sheets.least), (1, 1));
    // A unit less, and there is no such cut.
    let narrow = Case::new((59, 23), &sizes, &[]);
    assert_eq!(fewest_by_trying(&narrow, tool), Some(2));
    let sheets = narrow.cut_with(&Cutting { least_strip, ..Cutting::sawn(Length::ZERO) });
    assert_eq!((sheets.n_sheets, sheets.least), (2, 2));
}

#[test]
fn kerf_wander_and_narrow_strips_are_counted_as_every_way_of_cutting_counts_them() {
    let mut random = Random(37);
    let mut tried = 0;
    for number in 0..60 {
        let tool = Tool {
            kerf: random.up_to(0, 2),
            wander: random.up_to(0, 1),
            least: random.up_to(0, 3),
        };
        let case = random.case(12, 1 + number % 3);
        let mm = |n: u32| Length::mm(f64::from(n * UNIT));
        let cutting =
            Cutting { kerf: mm(tool.kerf), wander: mm(tool.wander), least_strip: mm(tool.least) };
        // What does not come out of a sheet at all is refused, and so is no case.
        let Some(want) = fewest_by_trying(&case, tool) else { continue };
        let sheets = case.cut_with(&cutting);
        assert!(
            sheets.least <= want && want <= sheets.n_sheets,
            "{case:?} {tool:?}: {want}, {sheets:?}"
        );
        assert!(!sheets.is_proved() || sheets.n_sheets == want, "{case:?} {tool:?}");
        tried += 1;
    }
    assert!(tried > 30, "{tried}");
}
