//! The saved form: it comes back whole, its schema agrees, old files open, and wrong ones say what is wrong.

mod every_choice;
mod random_plan;

use std::fs;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use engine::edit::{Edit, EditError};
use engine::file::{Holds, LoadError, Unread, load, save, schema};
use engine::geometry::{Point, Pose, Ring};
use engine::plan::{
    CopyNumber, Footprint, Machine, Mold, MoldId, Placement, PlacementId, Plan, Pull, PullId,
    StockId, Turn, limits, sample,
};
use engine::units::{Angle, Length};
use every_choice::{every_batch, every_choice, every_relief, every_turn};
use jsonschema::Validator;
use random_plan::{plan, runner};
use serde_json::{Value, json};

fn workspace(path: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("..").join(path)
}

fn stored(path: &str) -> String {
    fs::read_to_string(workspace(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// Compares with a stored file, or stores it when `UPDATE` is set.
#[track_caller]
fn assert_stored(path: &str, text: &str) {
    if std::env::var_os("UPDATE").is_some() {
        fs::write(workspace(path), text).expect("writes");
    }
    assert!(
        stored(path) == text,
        "{path} is out of date; run with UPDATE=1 and read the difference"
    );
}

fn validator() -> Validator {
    let schema: Value = serde_json::from_str(&schema()).expect("the schema is JSON");
    jsonschema::draft202012::meta::validate(&schema).expect("the schema is a schema");
    jsonschema::draft202012::new(&schema).expect("the schema compiles")
}

fn value(text: &str) -> Value {
    serde_json::from_str(text).expect("JSON")
}

#[test]
fn the_published_schema_and_the_sample_plan_are_current() {
    assert_stored("public/plan.schema.json", &schema());
    assert_stored("public/samples/tide-pool-kit.json", &save(&sample()));
}

#[test]
fn a_file_of_version_1_opens_for_ever() {
    let text = stored("tests/data/saved/v1.json");
    assert_eq!(load(&text).expect("version 1 opens"), every_choice());
    assert_eq!(
        save(&every_choice()),
        text,
        "what version 1 can say is written as version 1, for older programs"
    );
}

#[test]
fn a_file_of_version_2_opens_for_ever() {
    let text = stored("tests/data/saved/v2.json");
    assert_eq!(load(&text).expect("version 2 opens"), every_relief());
    assert_eq!(
        save(&every_relief()),
        text,
        "what version 2 can say is written as version 2, for older programs"
    );
    // A relief of version 2 in a file that says version 1 is refused, as the program of that version refuses it.
    let older = text.replacen("\"onepull\": 2", "\"onepull\": 1", 1);
    assert!(matches!(load(&older), Err(LoadError::Unread(Unread::Form { .. }))));
}

#[test]
fn a_file_of_version_3_opens_for_ever() {
    let text = stored("tests/data/saved/v3.json");
    assert_eq!(load(&text).expect("version 3 opens"), every_batch());
    assert_eq!(
        save(&every_batch()),
        text,
        "what version 3 can say is written as version 3, for older programs"
    );
    let older = text.replacen("\"onepull\": 3", "\"onepull\": 2", 1);
    assert!(matches!(load(&older), Err(LoadError::Unread(Unread::Form { .. }))));
}

#[test]
fn a_file_of_version_4_opens_for_ever() {
    let text = stored("tests/data/saved/v4.json");
    assert_eq!(load(&text).expect("version 4 opens"), every_turn());
    assert_eq!(
        save(&every_turn()),
        text,
        "version 4 is what is written; keep the file, add the next"
    );
    // A program of version 3 is told of a newer one; a file that lies about its version is refused as that program does.
    let older = text.replacen("\"onepull\": 4", "\"onepull\": 3", 1);
    assert!(matches!(load(&older), Err(LoadError::Unread(Unread::Form { .. }))));
    // Either of the two that are new is enough for it, and neither is lost.
    let turn = Turn { pull: PullId(1), times: 2 };
    for edit in [Edit::SetPullStock(PullId(1), Some(StockId(4))), Edit::SetOrder(vec![turn])] {
        let plan = every_batch().apply(&edit).expect("fits");
        let text = save(&plan);
        assert!(text.starts_with("{\n  \"onepull\": 4,"), "{text}");
        assert_eq!(load(&text), Ok(plan));
    }
}

#[test]
fn sheets_and_an_order_that_make_no_sense_are_refused() {
    let cases = [
        ("/pulls/1/stock", json!(5), false, "pulls[1]: there is no stock 5 among the sheets"),
        ("/pulls/0/stock", json!(5), false, "pulls[0]: there is no stock 5 among the sheets"),
        ("/pulls/1/stock", json!("red"), true, "pulls[1].stock (line 1, column"),
        ("/order/0/pull", json!(77), false, "order: there is no pull 77 in this plan"),
        ("/order/0/pull", json!(1), false, "order: pull 1 stands twice in the order"),
        ("/order/0/times", json!(0), true, "order: 0 pulls of one layout are outside 1 to"),
        ("/order/0/often", json!(1), true, "order[0].often (line 1, column"),
    ];
    each_is_refused(&every_turn(), &cases);
}

#[test]
fn kits_and_cutting_that_make_no_sense_are_refused() {
    let cases = [
        ("/batch/kits", json!(0), true, "batch: 0 kits are outside 1 to 10000"),
        ("/batch/spares_percent", json!(101), true, "batch: 101 percent of spares are outside"),
        ("/batch/parts/0/per_kit", json!(1001), true, "batch: 1001 parts in a kit are outside"),
        ("/batch/parts/0/mold", json!(77), false, "batch: there is no mold 77 in this plan"),
        ("/batch/parts/0/mold", json!(3), false, "batch: mold 3 stands twice among the parts"),
        ("/batch/parts/0/stock", json!(5), false, "batch: there is no stock 5 among the sheets"),
        ("/batch/stocks/0/id", json!(9), false, "batch: there is a stock 9 already"),
        ("/batch/stocks/0/stock/gauge_mm", json!(99), true, "batch: a gauge of 99.0 mm"),
        ("/batch/times/load_s", json!(-1), true, "batch: a time to load of -1 s is outside"),
        ("/batch/times/cool_s", json!("soon"), true, "batch.times.cool_s (line 1, column"),
        ("/batch/colour", json!("red"), true, "batch.colour (line 1, column"),
        ("/cutting/kerf_mm", json!(101), true, "cutting: a kerf of 101.0 mm is outside"),
        ("/cutting/by", json!("laser"), true, "cutting.by"),
        ("/cutting/blanks_wanted", json!(0), true, "cutting: 0 blanks are outside 1 to 5000"),
        ("/cutting/offcuts/0/count", json!(101), true, "cutting: 101 equal offcuts are outside"),
        ("/cutting/offcuts/0/stock", json!(5), false, "cutting: there is no stock 5 among"),
    ];
    each_is_refused(&every_batch(), &cases);
}

/// Puts each value at its place in the file of a plan: it is refused in these words, and the schema knows it or not.
fn each_is_refused(plan: &Plan, cases: &[(&str, Value, bool, &str)]) {
    let validator = validator();
    for (place, to, schema_knows, words) in cases {
        let mut file = value(&save(plan));
        let (owner, key) = place.rsplit_once('/').expect("a place below the top");
        let owner = file.pointer_mut(owner).and_then(Value::as_object_mut).expect("there");
        owner.insert(key.to_owned(), to.clone());
        let error = load(&file.to_string()).expect_err(words).to_string();
        assert!(error.contains(words), "{place}: {error}");
        assert_eq!(!validator.is_valid(&file), *schema_knows, "{place}");
    }
}

#[test]
fn reliefs_that_make_no_sense_are_refused() {
    let with = |relief: Value| {
        let mut file = value(&save(&every_relief()));
        file["molds"][0]["relief"] = relief;
        load(&file.to_string())
    };
    let steps = |steps: Value| with(json!({"stepped": {"steps": steps}}));
    let grid = |columns: u32, tenths: &str| {
        with(json!({"heights": {"columns": columns, "rows": 2, "height_mm": 9, "tenths": tenths}}))
    };
    // Two rows of two cells, 1, 2, 3 and 4 tenths: differences of one, in one stored block of deflate.
    let four = "AQgA9/8BAAEAAQABAA==";
    assert!(grid(2, four).is_ok());
    let cases = [
        (
            with(json!({"rounded-top": {"edge_mm": 20}})),
            "an edge radius of 20.0 mm is more than the 19.5 mm",
        ),
        (
            with(json!({"rounded-top": {"edge_mm": -1}})),
            "a rounded edge's radius of -1.0 mm is outside",
        ),
        (steps(json!([])), "a stepped mold needs at least one step"),
        (
            steps(json!([{"height_mm": 18.5, "inset_mm": 9}])),
            "step 1 is 18.5 mm high; it has to lie",
        ),
        (steps(json!([{"height_mm": 0, "inset_mm": 9}])), "step 1 is 0.0 mm high"),
        (
            steps(json!([{"height_mm": 9, "inset_mm": 9}, {"height_mm": 8, "inset_mm": 19}])),
            "step 2 is 8.0 mm high; it has to lie between 9.0 mm and 18.5 mm",
        ),
        (
            steps(json!([{"height_mm": 9, "inset_mm": 0.4}])),
            "step 1 begins 0.4 mm from the outline, but the wall below it leans in to 0.5 mm",
        ),
        (
            steps(json!(vec![json!({"height_mm": 9, "inset_mm": 9}); 9])),
            "9 steps are more than the 8",
        ),
        (grid(3, four), "molds[0].relief.heights.tenths: this is not the text of 3 x 2 heights"),
        (grid(0, four), "not the text of 0 x 2 heights"),
        (grid(2, "AQgA9/8BAAEAAQAB"), "not the text of 2 x 2 heights"),
        (grid(2, "?"), "not the text of 2 x 2 heights"),
    ];
    for (loaded, words) in cases {
        let error = loaded.expect_err(words).to_string();
        assert!(error.contains(words), "{words}: {error}");
    }
}

#[test]
fn an_independent_validator_accepts_what_is_saved() {
    let validator = validator();
    for plan in [sample(), every_choice(), every_relief(), every_batch(), every_turn()] {
        validator.validate(&value(&save(&plan))).expect("valid");
    }
    let law = |plan: Plan| {
        let saved = value(&save(&plan));
        validator.validate(&saved).unwrap_or_else(|error| panic!("{error}: {saved:#}"));
        Ok(())
    };
    runner(200).run(&plan(), law).expect("holds");
}

/// One change of a good file: the value at `place` is replaced, or taken out when `to` is `None`.
fn changed(place: &str, to: Option<Value>) -> String {
    let mut file = value(&save(&every_choice()));
    let (owner, key) = place.rsplit_once('/').expect("a place below the top");
    let owner = file.pointer_mut(owner).unwrap_or_else(|| panic!("no {place}"));
    match (owner, to) {
        (Value::Object(keys), Some(to)) => drop(keys.insert(key.to_owned(), to)),
        (Value::Object(keys), None) => drop(keys.remove(key).expect("a key that is there")),
        (list, to) => list[key.parse::<usize>().expect("a number")] = to.expect("a value"),
    }
    file.to_string()
}

/// A place in a good file, what to put there, and the words of the refusal.
type Wrong = (&'static str, Option<Value>, &'static str);

#[test]
fn what_is_not_of_the_form_is_refused_here_and_by_the_schema() {
    let cases = [
        ("/colour", Some(json!("red")), "colour (line 1, column"),
        ("/stock/plastic", Some(json!("wood")), "stock.plastic (line 1"),
        ("/stock/gauge_mm", Some(json!("thick")), "stock.gauge_mm (line 1"),
        ("/stock/gauge_mm", Some(Value::Null), "stock.gauge_mm (line 1"),
        ("/stock/gauge_mm", None, "missing field `gauge_mm`; correct it, or save the plan again"),
        ("/stock/price_hundredths", Some(json!(-1)), "stock.price_hundredths (line 1"),
        ("/machine/blank", Some(json!([300, 200])), "machine.blank (line 1"),
        ("/molds/0/heigth_mm", Some(json!(3)), "molds[0].heigth_mm (line 1"),
        ("/molds/1/height_mm", Some(json!([3])), "molds[1].height_mm (line 1"),
        ("/molds/1/copies", Some(json!(1.5)), "molds[1].copies (line 1"),
        ("/molds/0/footprint", Some(json!("circle")), "molds[0].footprint"),
        ("/molds/0/footprint", Some(json!({"star": {}})), "molds[0].footprint"),
        (
            "/molds/5/footprint/outline/outer_mm/0",
            Some(json!([1])),
            "molds[5].footprint.outline.outer_mm[0] (line 1",
        ),
        (
            "/molds/5/footprint/outline/outer_mm/0",
            Some(json!([1, 2, 3])),
            "molds[5].footprint.outline.outer_mm[0] (line 1",
        ),
        (
            "/pulls/0/placements/1/locked",
            Some(json!("no")),
            "pulls[0].placements[1].locked (line 1",
        ),
        ("/pulls/0/placements/1/turn_deg", None, "pulls[0].placements[1] (line 1"),
    ];
    refused_here_and_by_the_schema(&cases);
}

#[test]
fn what_is_beyond_a_limit_is_refused_here_and_by_the_schema() {
    let cases = [
        (
            "/stock/gauge_mm",
            Some(json!(99)),
            "stock: a gauge of 99.0 mm is outside 0.1 mm to 25.0 mm",
        ),
        ("/machine/blank/width_mm", Some(json!(1)), "machine: a blank width of 1.0 mm is outside"),
        ("/machine/lip/left_mm", Some(json!(-1)), "machine: a clamp lip of -1.0 mm is outside"),
        ("/machine/platen/left_mm", Some(json!(-1e9)), "machine: a platen corner of"),
        ("/machine/clears_mm", Some(json!(0)), "machine: a height the machine clears of 0.0 mm"),
        (
            "/settings/clearance/factor",
            Some(json!(9)),
            "settings: a clearance factor of 9 is outside",
        ),
        ("/settings/edge/least_mm", Some(json!(501)), "settings: a least edge margin of 501.0 mm"),
        ("/name", Some(json!("")), "name: a name needs at least one character"),
        (
            "/name",
            Some(json!("x".repeat(81))),
            "name: a name of 81 characters is longer than the 80",
        ),
        ("/molds/1/height_mm", Some(json!(0)), "molds[1]: a mold height of 0.0 mm is outside"),
        ("/molds/1/draft_deg", Some(json!(81)), "molds[1]: a draft of 81.0 degrees is outside"),
        ("/molds/1/copies", Some(json!(0)), "molds[1]: copies are numbered from 1 to 100, not 0"),
        (
            "/molds/0/footprint",
            Some(json!({"polygon": {"sides": 2, "diameter_mm": 9}})),
            "molds[0]: a number of sides of 2",
        ),
        (
            "/molds/0/relief",
            Some(json!({"taper": {"top": 1.1}})),
            "molds[0]: a taper's top scale of 1.1",
        ),
        (
            "/molds/5/footprint/outline/outer_mm/0",
            Some(json!([1, 20_000])),
            "molds[5]: a corner of 20000.0 mm is outside",
        ),
        (
            "/molds/5/footprint/outline/outer_mm",
            Some(json!((0..2001).map(|n| [n, 1]).collect::<Vec<_>>())),
            "molds[5]: 2008 corners are more than the 2000",
        ),
        (
            "/molds/5/footprint/outline/holes_mm",
            Some(json!(vec![[0; 0]; 51])),
            "molds[5]: 51 holes are more than the 50",
        ),
        ("/pulls", Some(json!([])), "pulls: a plan has at least one pull"),
        (
            "/pulls/0/placements/1/x_mm",
            Some(json!(1e5)),
            "pulls[0].placements[1]: a position of 100000.0 mm",
        ),
        (
            "/pulls/0/placements/1/copy",
            Some(json!(101)),
            "pulls[0].placements[1]: copies are numbered",
        ),
        ("/pulls/1/name", Some(json!("")), "pulls[1]: a name needs at least one character"),
    ];
    refused_here_and_by_the_schema(&cases);
}

#[track_caller]
fn refused_here_and_by_the_schema(cases: &[Wrong]) {
    let validator = validator();
    for (place, to, words) in cases {
        let file = changed(place, to.clone());
        let error = load(&file).expect_err(words).to_string();
        assert!(error.contains(words), "{place}: {error}");
        assert!(!validator.is_valid(&value(&file)), "{place}: the schema accepts it");
    }
}

#[test]
fn what_a_schema_cannot_say_is_refused_here() {
    let radius = json!({"rounded-rectangle": {"width_mm": 9, "depth_mm": 9, "radius_mm": 5}});
    let lip = json!({"front_mm": 99, "back_mm": 99, "left_mm": 0, "right_mm": 0});
    let cases = [
        (changed("/molds/1/id", Some(json!(1))), "molds[1]: there is a mold 1 already"),
        (changed("/pulls/1/id", Some(json!(1))), "pulls[1]: there is a pull 1 already"),
        (
            changed("/pulls/0/placements/1/id", Some(json!(1))),
            "pulls[0].placements[1]: there is a placement 1 already",
        ),
        (
            changed("/pulls/0/placements/1/mold", Some(json!(77))),
            "pulls[0].placements[1]: there is no mold 77 in this plan",
        ),
        (
            changed("/molds/0/footprint", Some(radius)),
            "molds[0]: a corner radius of 5.0 mm is more",
        ),
        (changed("/machine/lip", Some(lip)), "machine: the clamp lips leave"),
        (
            changed("/molds/0/draft_rad", Some(json!(1.0))),
            "molds[0]: 3 degrees are not 1 radians; leave out the radians",
        ),
        (
            changed("/onepull", Some(json!(5))),
            "the plan was made by a newer Onepull (version 5); this one reads up to 4",
        ),
        (changed("/onepull", Some(json!(0))), "onepull (line 1, column"),
        (changed("/onepull", Some(json!("1"))), "onepull (line 1"),
        (
            save(&sample()).replacen("\"name\"", "\"name\": \"Twice\", \"name\"", 1),
            "duplicate field `name`",
        ),
        (save(&sample()).replacen("406.4", "1e999", 1), "number out of range"),
        (save(&sample()).replacen("406.4", "NaN", 1), "is no JSON"),
        (save(&sample()).replacen("Limpet", "\\ud800", 1), "unexpected end of hex"),
        (save(&sample()) + "{}", "is no JSON (trailing characters)"),
        ("[1, \"name\"]".to_owned(), "so it is no plan"),
        ("17".to_owned(), "so it is no plan"),
        ("\u{feff} \n".to_owned(), "the file is empty"),
    ];
    for (file, words) in cases {
        let error = load(&file).expect_err(words).to_string();
        assert!(error.contains(words), "{words}: {error}");
    }
}

#[test]
fn the_whole_of_a_file_is_needed() {
    let text = save(&every_choice());
    let last = text.trim_end().len();
    for end in (0..last).filter(|end| text.is_char_boundary(*end)) {
        match load(&text[..end]).expect_err("cut short") {
            LoadError::Unread(Unread::CutShort { .. }) => {}
            LoadError::Unread(Unread::Empty(_)) => assert_eq!(end, 0),
            error => panic!("cut at {end}: {error}"),
        }
    }
    let with_mark = format!("\u{feff}{text}");
    assert_eq!(load(&with_mark).expect("a byte order mark does no harm"), every_choice());
}

#[test]
fn hostile_files_are_refused_soon() {
    let too_large = " ".repeat((16 << 20) + 1);
    let corners = format!("{{\"onepull\":1,\"molds\":[{}", "[0,0],".repeat(2_700_000));
    for (name, file) in [
        ("large", too_large),
        ("deep", "[".repeat(1 << 20)),
        ("deep object", "{\"onepull\":".repeat(1 << 20)),
        ("long list", corners),
        ("long text", format!("{{\"onepull\":1,\"name\":\"{}\"}}", "x".repeat(16_000_000))),
        ("long number", format!("{{\"onepull\":1,\"name\":{}}}", "9".repeat(16_000_000))),
    ] {
        let begun = Instant::now();
        assert!(load(&file).is_err(), "{name}");
        assert!(begun.elapsed() < Duration::from_secs(10), "{name}: {:?}", begun.elapsed());
    }
    let error = load(&" ".repeat((16 << 20) + 1)).expect_err("too large");
    let too_large = Unread::TooLarge { holds: Holds::Plan, bytes: 16_777_217, most: 16_777_216 };
    assert_eq!(error, LoadError::Unread(too_large));
}

#[test]
fn the_largest_plan_is_saved_and_opens() {
    let plan = largest();
    let text = save(&plan);
    assert!(text.len() < 13_000_000, "{} bytes", text.len());
    assert!(load(&text).expect("opens") == plan);
}

/// A plan at every limit, with values of as many digits as there are.
fn largest() -> Plan {
    let long = |n: u32| 9_000.0 + f64::from(n) / 3.0;
    let id = |n: u32| u32::MAX - 300 + n;
    let corners = |n: u32| (0..100).map(|m| Point::new(-long(n), -long(m))).collect();
    let outline = |n| Footprint::Outline { outer: Ring::new(corners(n)), holes: Vec::new() };
    let name = "\u{1f41a}".repeat(limits::NAME_CHARS);
    let standing = |n: u32| Placement {
        mold: MoldId(id(n)),
        copy: CopyNumber(limits::COPIES),
        pose: Pose::new(Point::new(-long(n), -long(n)), Angle::radians(5.0 + f64::from(n) / 300.0)),
        locked: false,
    };
    let placements = (0..200).map(|n| (PlacementId(id(n)), standing(n))).collect();
    let pull = Pull { placements, ..Pull::new(&name) };
    let molds = (0..200).map(|n| Mold::new(&name, outline(n), Length::mm(20.0)));
    let molds = (0..200).map(|n| MoldId(id(n))).zip(molds.map(Box::new));
    let edits = molds.map(|(id, mold)| Edit::AddMold(id, mold));
    let pulls = (0..199).map(|n| Edit::AddPull(PullId(id(n)), pull.clone()));
    let first = Edit::Place(PullId(1), pull.placements.clone());
    let edits = edits.chain(pulls).chain([first]);
    let plan = Plan::new(&name, Machine::default());
    let plan = plan.apply(&Edit::All(edits.collect())).expect("within the limits");
    let more = Edit::AddPull(PullId(9), Pull::new("One more"));
    assert!(matches!(plan.apply(&more), Err(EditError::TooMany { .. })));
    plan
}
