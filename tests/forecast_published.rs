//! The forecast against what is printed about formed parts: thickness by place, and its shape down a wall.

mod formed;

use engine::drape::{Forecast, Mode, Settings, forecast};
use engine::plan::{Mold, MoldKind};
use engine::units::{Angle, Length};

use formed::{PULL, block, formed, standing};

/// Means of the thickness over the surface of the triangles whose middles a question picks: nodes lie closer where the net
/// was split.
fn mean(told: &Forecast, is_meant: impl Fn([f64; 3]) -> bool) -> f64 {
    let (mut sum, mut surface) = (0.0, 0.0);
    for nodes in &told.sheet.triangles {
        let nodes = nodes.map(|node| usize::try_from(node).expect("an index"));
        let [a, b, c] = nodes.map(|node| told.sheet.positions[node].map(f64::from));
        if is_meant([0, 1, 2].map(|axis| (a[axis] + b[axis] + c[axis]) / 3.0)) {
            let (u, v) = ([0, 1, 2].map(|i| b[i] - a[i]), [0, 1, 2].map(|i| c[i] - a[i]));
            let cross = [(1, 2), (2, 0), (0, 1)].map(|(i, j)| u[i] * v[j] - u[j] * v[i]);
            let area = cross.iter().map(|part| part * part).sum::<f64>().sqrt() / 2.0;
            let ratios = nodes.map(|node| f64::from(told.sheet.thickness[node]));
            sum += area * ratios.iter().sum::<f64>() / 3.0;
            surface += area;
        }
    }
    sum / surface
}

/// Shares of the way from the top edge down the wall and over the bed to the clamp that a thickness is told of.
const BINS: usize = 20;

/// What is left of the gauge down the middle of a block's right wall and on to the clamp, the top first.
struct Profile {
    top: f64,
    bins: [f64; BINS],
    /// The bin that the wall ends in.
    foot: usize,
}

impl Profile {
    /// Of a block of 80 mm in the middle of a square opening.
    fn of(opening: f64, height: f64, draft: f64, firmness: f64) -> Self {
        let mold = Mold { draft: Angle::degrees(draft), ..block(80.0, 80.0, height) };
        let half = opening / 2.0;
        let plan = standing(opening, opening, &[(mold, (half, half, 0.0))]);
        let settings = Settings { firmness, mesh: Length::mm(4.0), ..Settings::default() };
        let told = forecast(&plan, PULL, &settings, &mut ()).expect("a forecast");
        let middle = told.map.bounds.center();
        let (slope, run) = (Angle::degrees(draft), height * Angle::degrees(draft).tan());
        let wall = height / slope.cos();
        let whole = wall + half - 40.0;
        let share = |bin: usize| f64::from(u32::try_from(bin).expect("few")) / 20.0;
        let bins = std::array::from_fn(|bin| {
            mean(&told, |[x, y, z]| {
                let (x, y) = (x - middle.x, y - middle.y);
                let way = ((height - z) / slope.cos() + (x - 40.0).max(0.0)) / whole;
                let is_beside = y.abs() < 15.0 && x > 40.0 - run - 0.5 && z < height - 0.2;
                is_beside && (share(bin)..share(bin + 1)).contains(&way)
            })
        });
        let inner = (37.0 - run).min(20.0);
        let top = mean(&told, |[x, y, _]| (x - middle.x).abs().max((y - middle.y).abs()) < inner);
        let foot = (0..BINS).filter(|bin| share(*bin) + 0.025 < wall / whole).count();
        Self { top, bins, foot }
    }

    /// The last bin of the middle zone.
    fn middle(&self) -> usize {
        (self.foot * 9 / 20).max(2)
    }

    /// From the top to where the wall gets flat.
    fn first_fall(&self) -> f64 {
        self.top - self.bins[1]
    }

    /// The thinnest of the wall and of the bed beside it.
    fn lowest(&self) -> f64 {
        self.bins[..BINS.min(self.foot + 3)].iter().copied().fold(1.0, f64::min)
    }

    /// From where the middle ends.
    fn second_fall(&self) -> f64 {
        self.bins[self.middle()] - self.lowest()
    }

    /// By how much more the sheet is stretched there than where the middle ends, in gauges over thickness.
    fn second_stretch(&self) -> f64 {
        1.0 / self.lowest() - 1.0 / self.bins[self.middle()]
    }

    /// How much a bin falls in the first zone, in the middle and in the last.
    fn slopes(&self) -> [f64; 3] {
        let bins = |count: usize| f64::from(u32::try_from(count).expect("few"));
        let middle = self.bins[1] - self.bins[self.middle()];
        let last = self.foot - self.middle();
        [self.first_fall() / 1.5, middle / bins(self.middle() - 1), self.second_fall() / bins(last)]
    }
}

/// Three zones down the slope of male parts: a steep fall just below the mold's edge, a flat middle, and a second fall
/// near the clamp; deeper draw makes both falls greater, more draft makes them less, sheet temperature makes no difference.
///
/// The second fall is at the foot here, which is near the clamp where the mold fills the opening. It gets less with draft. With height
/// it gets greater as a stretch, and not as a share of the gauge, since less and less is left to fall (the abstract does not say which
/// it measured); on walls a quarter as high as the mold is wide it leaves no middle: see DEVELOPERS.md.
///
/// **Source:** abstract of Studies on the stretching behaviour of medium gauge high impact polystyrene sheets during
/// positive thermoforming (1.5 and 2.5 mm sheet, 130 and 140 degrees).
#[test]
fn the_wall_of_a_male_part_falls_below_its_edge_stays_and_falls_again_at_its_foot() {
    let [low, usual, tall] = [20.0, 40.0, 60.0].map(|height| Profile::of(200.0, height, 3.0, 2.5));
    let [leaning, slanted] = [15.0, 30.0].map(|draft| Profile::of(200.0, 40.0, draft, 2.5));
    for one in [&low, &usual, &tall, &leaning, &slanted] {
        assert!(one.top > 0.99, "the top keeps its gauge: {}", one.top);
        assert!(one.second_fall() > 0.05, "and falls again: {:?}", one.bins);
    }
    let [first, middle, _] = usual.slopes();
    assert!(first > 4.0 * middle, "steep, then flatter: {:?}", usual.bins);
    for one in [&tall, &leaning, &slanted] {
        let [first, middle, second] = one.slopes();
        assert!(first > 8.0 * middle && second > 1.7 * middle, "three zones: {:?}", one.bins);
        assert!(middle < 0.02, "the middle is flat: {:?}", one.bins);
    }
    for (less, more) in [(&low, &usual), (&usual, &tall), (&leaning, &usual), (&slanted, &leaning)]
    {
        assert!(more.first_fall() > less.first_fall() + 0.03, "{:?} {:?}", less.bins, more.bins);
        assert!(more.lowest() < less.lowest() - 0.03, "{:?} {:?}", less.bins, more.bins);
    }
    for (less, more) in [(&low, &usual), (&usual, &tall), (&leaning, &usual), (&slanted, &leaning)]
    {
        let [less, more] = [less, more].map(Profile::second_stretch);
        assert!(more > 1.1 * less, "stretched by {less} and {more}");
    }
    for (less, more) in [(&leaning, &usual), (&slanted, &leaning)] {
        assert!(more.second_fall() > less.second_fall() + 0.02, "{:?} {:?}", less.bins, more.bins);
    }
}

/// A softer sheet, as a hotter one is, gets a little farther into the foot's corner; down the wall it is the same.
///
/// **Source:** the same; that hot sheet's modulus halves in some ten degrees is common practice.
#[test]
fn how_firm_the_sheet_is_does_not_show_on_the_wall_of_a_male_part() {
    let [firm, soft] = [2.5, 1.25].map(|firmness| Profile::of(200.0, 40.0, 3.0, firmness));
    for bin in 0..=firm.middle() {
        let off = soft.bins[bin] - firm.bins[bin];
        assert!(off.abs() < 0.005, "{bin}: {:?} {:?}", firm.bins, soft.bins);
    }
    let off = soft.lowest() - firm.lowest();
    assert!((-0.04..0.0).contains(&off), "{off:+}");
}

/// A mold that fills the opening but for a strip has the second fall of the source where the source has it: near the clamp.
#[test]
fn a_mold_that_fills_the_opening_has_its_second_fall_near_the_clamp() {
    let one = Profile::of(110.0, 40.0, 15.0, 2.5);
    // No triangle has its middle in some of the bins, which are narrow here.
    let told = (0..BINS).filter(|bin| one.bins[*bin].is_finite());
    let thinnest = told.min_by(|a, b| one.bins[*a].total_cmp(&one.bins[*b]));
    assert!(thinnest.is_some_and(|bin| bin >= BINS * 6 / 10), "{:?}", one.bins);
    assert!(one.first_fall() > 0.2 && one.second_fall() > 0.1, "{:?}", one.bins);
}

/// Rough thickness by place of a rectangular part without a plug, in per cent, for depths of a quarter to all of the smallest plan
/// dimension: flange, upper wall, lower wall, corner, base.
///
/// **Source:** Machinecraft, wall thickness of thermoformed parts; the page calls its figures approximate.
const BY_PLACE: [(f64, [f64; 5]); 4] = [
    (0.25, [100.0, 85.0, 75.0, 65.0, 70.0]),
    (0.50, [100.0, 75.0, 60.0, 45.0, 55.0]),
    (0.75, [100.0, 65.0, 50.0, 35.0, 45.0]),
    (1.00, [100.0, 55.0, 40.0, 28.0, 38.0]),
];

/// The shares of the printed figures that the places have here, at any depth: the figures keep more plastic than there is (at a depth
/// of a half, walls and base of 2.8 times the opening come to 1.7 times its sheet), and the more so the deeper; the corner
/// keeps least of its share, because the net is split there and the sheet gets right in.
const OF_PRINT: [(&str, f64, f64); 5] = [
    ("flange", 0.97, 1.0),
    ("upper wall", 0.70, 0.87),
    ("lower wall", 0.29, 0.68),
    ("corner", 0.07, 0.52),
    ("base", 0.19, 1.09),
];

/// What a drafted cavity of 100 by 120 mm keeps by place.
fn by_place(depth: f64) -> [f64; 5] {
    let mold =
        Mold { kind: MoldKind::Female, trim: Length::mm(30.0), ..block(100.0, 120.0, depth) };
    let mold = Mold { draft: Angle::degrees(2.0), ..mold };
    let plan = standing(150.0, 170.0, &[(mold, (75.0, 85.0, 0.0))]);
    let told = formed(&plan, Mode::Rubber, 4.0);
    let middle = told.map.bounds.center();
    let off = |at: [f64; 3]| ((at[0] - middle.x).abs(), (at[1] - middle.y).abs());
    let lean = Angle::degrees(2.0).tan();
    let half = 50.0 - depth * lean;
    // Along the long sides, shares of the depth from the base up.
    let wall = |at: [f64; 3], from: f64, to: f64| {
        let out = off(at).0 - (50.0 - (depth - at[2]) * lean);
        off(at).1 < 25.0 && (-3.0..0.5).contains(&out) && (from..to).contains(&(at[2] / depth))
    };
    [
        mean(&told, |at| off(at).0 > 56.0 && at[2] > depth - 1.0),
        mean(&told, |at| wall(at, 0.6, 0.92)),
        mean(&told, |at| wall(at, 0.12, 0.44)),
        mean(&told, |at| off(at).0 > half - 10.0 && off(at).1 > half && at[2] < 12.0),
        mean(&told, |at| off(at).0 < 25.0 && off(at).1 < 30.0),
    ]
}

#[test]
fn a_cavity_keeps_about_what_a_rule_of_thumb_says_by_place() {
    let rows = BY_PLACE.map(|(depth, printed)| (depth, printed, by_place(100.0 * depth)));
    for (depth, printed, ours) in rows {
        for (place, (name, least, most)) in OF_PRINT.iter().enumerate() {
            let share = ours[place] / printed[place] * 100.0;
            assert!((*least..=*most).contains(&share), "{name} at {depth}: {share}: {ours:?}");
        }
        let [flange, upper, lower, corner, base] = ours;
        assert!(flange > upper && upper > lower && lower > corner, "{depth}: {ours:?}");
        assert!(base > corner, "{depth}: the base keeps more than its corners: {ours:?}");
    }
    for pair in rows.windows(2) {
        for place in 1..5 {
            assert!(pair[1].2[place] < 0.95 * pair[0].2[place], "deeper is thinner: {pair:?}");
        }
    }
}
