//! The program without a browser: its verbs, its output and its exit status, on good, wrong, empty and huge input.

mod logged;
mod pictured;
mod program;

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use engine::edit::Edit;
use engine::file::{load, save, unlink};
use engine::geometry::{Point, Pose};
use engine::plan::{Footprint, HeightGrid, Mold, MoldId, Plan, PullId, Relief, sample};
use engine::rules::{Finding, Rule, check};
use engine::units::{Angle, Length};
use pictured::check_picture;
use program::{Said, json, run};
use serde_json::Value;

/// A strip of height 10 that four bars, two brackets and two blocks fill to a length of 12 without a gap.
const STRIP: &[u8] = br#"{"name": "brackets", "strip_height": 10, "pieces": 8, "items": [
    {"count": 4, "rotations": [0, 90], "polygon": [[0, 0], [5, 0], [5, 2], [0, 2]]},
    {"count": 2, "rotations": [0, 90, 180, 270],
     "polygon": [[0, 0], [6, 0], [6, 2], [2, 2], [2, 6], [0, 6]]},
    {"count": 2, "rotations": [0], "polygon": [[0, 0], [4, 0], [4, 5], [0, 5]]}]}"#;

/// The sample with two molds moved onto one place, which is a stop.
fn overlapping() -> Plan {
    let plan = sample();
    let pull = &plan.pulls[&PullId(1)];
    let together = Pose::new(Point::new(200.0, 150.0), Angle::ZERO);
    let poses = pull.placements.keys().take(2).map(|&id| (id, together)).collect();
    plan.apply(&Edit::Move(PullId(1), poses)).expect("moves")
}

/// A folder of this run's own, which is emptied first.
fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    if path.exists() {
        fs::remove_dir_all(&path).expect("empties");
    }
    fs::create_dir_all(&path).expect("makes");
    path
}

#[test]
fn the_sample_is_given_linked_and_opened_again() {
    let given = run(&["sample"], b"");
    assert_eq!((given.status, given.message.as_str()), (0, "Tide-pool kit\n"));
    assert_eq!(given.output, save(&sample()));
    let linked = run(&["link", "-", "--base", "https://host.example/"], given.output.as_bytes());
    assert_eq!(linked.status, 0, "{}", linked.message);
    let said = json(&linked);
    let link = said["link"].as_str().expect("a link");
    assert!(link.starts_with("https://host.example/#1p"), "{link}");
    assert_eq!(said["characters"], link.len());
    assert!(said["qr_modules"].as_u64().is_some_and(|side| (21..=117).contains(&side)), "{said}");
    let plan = unlink(link).expect("opens");
    for opened in [run(&["unlink", link], b""), run(&["unlink", "-"], link.as_bytes())] {
        assert_eq!(opened.status, 0, "{}", opened.message);
        assert_eq!(load(&opened.output).expect("a plan"), plan);
    }
}

#[test]
fn a_log_of_pulls_tells_its_counts_and_what_they_carry() {
    let book = logged::logbook(40);
    let folder = folder("headless-log");
    let plan = folder.join("plan.json");
    fs::write(&plan, save(&sample())).expect("writes");
    let told = run(
        &["log", "-", "--plan", plan.to_str().expect("text")],
        engine::file::save_log(&book).as_bytes(),
    );
    assert_eq!(told.status, 0, "{}", told.message);
    let said = json(&told);
    assert_eq!((&said["pulls"], &said["outcomes"]["web"]), (&40.into(), &8.into()), "{said}");
    let one = &said["heater"]["one"];
    assert!(one["pulls"].as_u64().is_some_and(|count| count > 5), "{said}");
    assert!(one["usual_s"][0].as_f64() < one["usual_s"][1].as_f64(), "{said}");
    assert!(said["clearance"]["under"]["pulls"].as_u64().is_some_and(|count| count > 0), "{said}");
    let refused = run(&["log", "-"], save(&sample()).as_bytes());
    assert_eq!(refused.status, 2);
    assert!(refused.message.contains("no log of pulls"), "{}", refused.message);
}

// 24 blanks of 12 x 16 in out of a sheet of 48 x 96 in, with nothing left (common practice).
#[test]
fn sheets_are_cut_into_blanks_with_numbered_marks_and_the_best_sizes_are_named() {
    let plan = save(&sample());
    let cut = run(&["cut", "-", "--blanks", "12inx16in*24"], plan.as_bytes());
    assert_eq!(cut.status, 0, "{}", cut.message);
    let said = json(&cut);
    assert_eq!((&said["sheets"], &said["proved"]), (&1.into(), &true.into()), "{said}");
    let pattern = &said["patterns"][0]["pattern"];
    assert!(pattern["used"].as_f64().is_some_and(|share| (share - 1.0).abs() < 1e-9), "{said}");
    assert_eq!(pattern["parts"].as_array().map(Vec::len), Some(24));
    // Every cut parts one piece into two, so 24 pieces take 23 cuts.
    assert_eq!(pattern["cuts"].as_array().map(Vec::len), Some(23));
    assert_eq!(run(&["cut", "-"], plan.as_bytes()).status, 0);
    let map = json(&run(
        &["yield-map", "-", "--from", "10in", "--to", "24in", "--step", "1in"],
        plan.as_bytes(),
    ));
    assert!(map["peaks"][0]["share"].as_f64().is_some_and(|share| share > 0.999), "{map}");
    for wrong in
        [["--blanks", "12in"], ["--blanks", "99inx99in"], ["--kerf", "wide"], ["--offcuts", "1x1"]]
    {
        let refused = run(&[&["cut", "-"], wrong.as_slice()].concat(), plan.as_bytes());
        assert_eq!(refused.status, 2, "{wrong:?}: {}", refused.output);
    }
}

#[test]
fn a_batch_is_planned_with_its_bounds_its_cost_and_a_table() {
    let plan = save(&sample());
    let out = folder("batch").join("batch.csv");
    let path = out.to_str().expect("text");
    let planned = run(&["batch", "-", "--kits", "20", "--csv", path], plan.as_bytes());
    assert_eq!(planned.status, 0, "{}", planned.message);
    assert!(planned.message.starts_with("20 pulls of one layout"), "{}", planned.message);
    let said = json(&planned);
    assert_eq!((&said["pulls"], &said["layouts"]), (&20.into(), &1.into()), "{said}");
    let sheet = &said["sheets"][0];
    assert_eq!((&sheet["proved"], &sheet["at_least"]), (&true.into(), &20.into()), "{said}");
    // The sample's sheet gives 24 blanks, and costs 59.50.
    assert_eq!(said["cost"]["plastic"], "59.50");
    let after = load(&said["plan"].to_string()).expect("a plan");
    assert_eq!(after.pulls.len(), 2);
    let table = fs::read_to_string(&out).expect("written");
    assert!(table.starts_with("Kind,Name,Detail,Amount,Unit\r\n"), "{table}");
    for wrong in [["--kits", "0"], ["--kits", "x"], ["--seed", "-1"]] {
        let refused = run(&[&["batch", "-"], wrong.as_slice()].concat(), plan.as_bytes());
        assert_eq!(refused.status, 2, "{wrong:?}: {}", refused.output);
    }
}

// Times of 40 to 70 s are usual for HIPS of 1.5 mm from one side (common practice): the range said must meet them.
#[test]
fn the_heat_of_a_sheet_is_told_as_ranges_and_found_from_logged_heats() {
    let plan = save(&sample());
    let told = run(&["heat", "-"], plan.as_bytes());
    assert_eq!(told.status, 0, "{}", told.message);
    assert!(told.message.contains("watch the sag, not the clock"), "{}", told.message);
    let said = json(&told);
    let range = |said: &Value| [0, 1].map(|end| said["usual_s"][end].as_f64().expect("a time"));
    let [from, to] = range(&said);
    assert!(from < 70.0 && to > 40.0 && from < to, "{said}");
    let logged = json(&run(&["heat", "-", "--logged", "60,66"], plan.as_bytes()));
    assert_eq!(logged["logged_pulls"], 2);
    let [near, far] = range(&logged);
    assert!(near < 60.0 && far > 66.0 && far - near < to - from, "{logged}");
    for wrong in [["--sides", "three"], ["--flux", "10,5"], ["--flux", "x"], ["--logged", "1e9"]] {
        let refused = run(&[&["heat", "-"], wrong.as_slice()].concat(), plan.as_bytes());
        assert_eq!(refused.status, 2, "{wrong:?}");
        assert!(refused.message.contains(wrong[0]), "{}", refused.message);
    }
}

#[test]
fn a_check_says_each_finding_and_stops_for_a_stop() {
    let well = run(&["check", "-"], save(&sample()).as_bytes());
    assert_eq!(well.status, 0, "{}", well.message);
    assert_eq!(json(&well)["stops"], 0);
    let finding = &json(&well)["pulls"][0]["findings"][0];
    assert_eq!((&finding["rule"], &finding["severity"]), (&"clearance".into(), &"caution".into()));
    assert_eq!(finding["subjects"].as_array().map(Vec::len), Some(2));
    let [measured, allowed] = ["measured", "allowed"]
        .map(|which| finding[which]["length_mm"].as_f64().expect("a length"));
    assert!(0.0 < measured && measured < allowed, "{finding}");
    assert!(finding["reason"].as_str().is_some_and(|words| words.ends_with('.')), "{finding}");
    let stop = run(&["check", "-"], save(&overlapping()).as_bytes());
    assert_eq!(stop.status, 1, "{}", stop.message);
    assert!(json(&stop)["stops"].as_u64().is_some_and(|n| n > 0));
    assert_eq!(json(&stop)["pulls"][0]["findings"][0]["rule"], "overlap");
}

/// The sample with nothing on the blank, and each mold as often as said.
fn unplaced(copies: u32) -> Plan {
    let plan = sample();
    let ids = plan.pulls[&PullId(1)].placements.keys().copied().collect();
    let more = |(&id, mold): (&MoldId, &Arc<Mold>)| {
        Edit::ChangeMold(id, Box::new(Mold { copies, ..(**mold).clone() }))
    };
    let edits = std::iter::once(Edit::TakeOff(PullId(1), ids)).chain(plan.molds.iter().map(more));
    plan.apply(&Edit::All(edits.collect())).expect("takes off")
}

/// The plan in an output, on which no mold stands badly.
#[track_caller]
fn well_laid_out(said: &Said) -> Plan {
    let plan = load(&json(said)["plan"].to_string()).expect("a plan");
    let badly: Vec<Finding> =
        check(&plan, PullId(1)).into_iter().filter(|finding| finding.rule <= Rule::Edge).collect();
    assert_eq!(badly, []);
    plan
}

#[test]
fn a_pull_is_laid_out_tidied_and_spread() {
    let (placed, bare) = (save(&sample()), save(&unplaced(1)));
    for (intent, plan, key) in
        [("tidy", &placed, "tidied"), ("spread", &placed, "spread"), ("fit", &bare, "fits")]
    {
        let arguments = ["arrange", "-", "--intent", intent, "--seed", "3", "--steps", "300000"];
        let said = run(&arguments, plan.as_bytes());
        assert_eq!(said.status, 0, "{}", said.message);
        let output = json(&said);
        assert!(output["outcome"][key].is_object() && output["changed"] == true, "{output}");
        let n_placed = well_laid_out(&said).pulls[&PullId(1)].placements.len();
        assert_eq!(n_placed, if intent == "fit" { 5 } else { 6 });
        assert_eq!(run(&arguments, plan.as_bytes()).output, said.output, "not the same again");
    }
}

#[test]
fn when_not_all_fit_the_ways_out_are_told_and_the_status_is_1() {
    let many = save(&unplaced(3));
    let said = run(&["arrange", "-", "--steps", "400000"], many.as_bytes());
    assert_eq!(said.status, 1, "{}", said.message);
    let output = json(&said);
    assert!(output["outcome"]["too_full"].is_object() && output["changed"] == false, "{output}");
    let ways = output["ways_out"].as_array().expect("ways");
    assert!(!ways.is_empty() && ways.iter().all(|way| way["plan"].is_object()), "{output}");
}

#[test]
fn a_pull_is_filled_with_as_many_as_go_on() {
    let said = run(&["fill", "-", "--steps", "600000"], save(&unplaced(2)).as_bytes());
    assert_eq!(said.status, 1, "{}", said.message);
    let plan = well_laid_out(&said);
    let most = &json(&said)["outcome"]["most"];
    let n_placed = plan.pulls[&PullId(1)].placements.len();
    assert_eq!(most["placed"].as_array().map(Vec::len), Some(n_placed));
    assert!(n_placed >= 5, "{most}");
    let all = run(&["fill", "-", "--steps", "600000"], save(&unplaced(1)).as_bytes());
    assert_eq!(all.status, 0, "{}", all.message);
}

#[test]
fn a_foreign_drawing_is_read_and_what_is_wrong_is_told() {
    let drawing = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 99 99'>\
                   <rect id='clam' width='40' height='30'/><text>note</text></svg>";
    let asked = json(&run(&["import", "-"], drawing.as_bytes()));
    assert_eq!((&asked["kind"], &asked["scale"]["asked"]), (&"svg".into(), &true.into()));
    let said = run(&["import", "-", "--unit", "mm"], drawing.as_bytes());
    assert_eq!(
        (said.status, said.message.as_str()),
        (0, "standard input: 1 outlines, 1 problems\n")
    );
    let outline = &json(&said)["outlines"][0];
    assert_eq!((&outline["name"], &outline["area_mm2"]), (&"clam".into(), &1200.0.into()));
    assert_eq!(outline["mold"]["corners"], 4, "{outline}");
    let problem = &json(&said)["problems"][0];
    assert_eq!(problem["at"], "text (line 1)", "{problem}");
    let mesh = "v 0 0 0\nv 40 0 0\nv 0 30 0\nv 0 0 20\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 3 1 4\n";
    let said = json(&run(&["import", "-", "--up", "+x", "--unit", "mm"], mesh.as_bytes()));
    assert_eq!((&said["kind"], &said["height_mm"]), (&"obj".into(), &40.0.into()));
    let area = said["outlines"][0]["area_mm2"].as_f64().expect("an area");
    assert!((area - 300.0).abs() < 1e-6 && said["problems"] == Value::Array(vec![]), "{said}");
    assert_eq!(run(&["import", "-", "--up", "+w"], mesh.as_bytes()).status, 2);
    assert_eq!(run(&["import", "-"], b"%PDF").status, 2);
    assert_eq!(run(&["import", "-", "--unit", "ell"], drawing.as_bytes()).status, 2);
    assert_eq!(run(&["import", "-"], b"<svg/>").status, 2);
}

#[test]
fn a_photograph_is_traced_by_found_and_by_given_corners() {
    let photo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../public/samples/crab-shell.png");
    let photo = photo.to_str().expect("text");
    let found = json(&run(&["import", photo, "--paper", "a4", "--height", "30"], b""));
    assert_eq!((&found["kind"], &found["sheet"]), (&"photo".into(), &"a4".into()));
    let area = |said: &Value| said["outlines"][0]["area_mm2"].as_f64().expect("an area");
    // The sample's outline, r = 58 (1 + 0.16 cos 2t + 0.09 cos 3t) mm, encloses pi 58² (1 + 0.16²/2 + 0.09²/2).
    let want = std::f64::consts::PI * 58.0 * 58.0 * (1.0 + (0.16 * 0.16 + 0.09 * 0.09) / 2.0);
    assert!((area(&found) / want - 1.0).abs() < 0.01, "{found}");
    assert!(found["parallax"]["what"].as_str().expect("words").contains("trace the base"));
    let corners = found["corners_px"].as_array().expect("corners").iter();
    let numbers = corners.flat_map(|p| p.as_array().expect("x and y"));
    let given: Vec<String> =
        numbers.map(|n| format!("{:.2}", n.as_f64().expect("a number"))).collect();
    let given = given.join(",");
    let traced = json(&run(&["import", photo, "--photo-corners", &given], b""));
    assert!((area(&traced) / area(&found) - 1.0).abs() < 0.002, "{traced}");
    assert_eq!(traced["parallax"], Value::Null);
    // As Letter the same corners make other millimetres.
    let letter =
        json(&run(&["import", photo, "--photo-corners", &given, "--paper", "letter"], b""));
    let share = 215.9 * 279.4 / (210.0 * 297.0);
    assert!((area(&letter) / area(&traced) / share - 1.0).abs() < 0.01, "{letter}");
    for wrong in [
        &["import", photo, "--photo-corners", "1,2,3"][..],
        &["import", photo, "--photo-corners", "0,0,1,1,2,2,3,3"],
        &["import", photo, "--paper", "card"],
        &["import", photo, "--paper", "a5"],
        &["import", photo, "--height", "-1"],
    ] {
        let said = run(wrong, b"");
        assert_eq!(said.status, 2, "{wrong:?}");
        assert!(said.output.is_empty() && said.message.len() > 20, "{wrong:?}: {}", said.message);
    }
    let cut = fs::read(photo).expect("reads");
    assert_eq!(run(&["import", "-"], &cut[..2000]).status, 2);
    assert_eq!(run(&["import", "-"], b"\xff\xd8\xff\xe0 not a picture").status, 2);
}

#[test]
fn a_link_says_which_molds_it_makes_coarser() {
    let grid = HeightGrid::new(30, 30, Length::mm(20.0), (0..900).collect()).expect("whole");
    let footprint = Footprint::Rectangle { width: Length::mm(40.0), depth: Length::mm(30.0) };
    let mold = Mold {
        relief: Relief::Heights(Arc::new(grid)),
        ..Mold::new("Rock", footprint, Length::mm(20.0))
    };
    let plan = sample().apply(&Edit::AddMold(MoldId(9), Box::new(mold))).expect("adds");
    let said = run(&["link", "-"], save(&plan).as_bytes());
    assert_eq!(json(&said)["coarser_molds"], serde_json::json!([9]), "{}", said.output);
    assert!(said.message.contains("of 1 molds on a coarser grid"), "{}", said.message);
    let said = run(&["link", "-"], save(&sample()).as_bytes());
    assert_eq!(json(&said)["coarser_molds"], serde_json::json!([]));
}

#[test]
fn a_card_to_photograph_on_is_written_at_its_size() {
    let folder = folder("card");
    let out = folder.join("card.pdf");
    let out = out.to_str().expect("text");
    for (paper, width, height) in [("a4", 210.0, 297.0), ("letter", 215.9, 279.4)] {
        let said = json(&run(&["photo-card", "--pdf", out, "--paper", paper], b""));
        assert_eq!(said["files"], serde_json::json!([out]));
        let document = lopdf::Document::load(out).expect("a PDF");
        let page = document.page_iter().next().expect("a page");
        let page = document.get_dictionary(page).expect("a dictionary");
        let media_box = page.get(b"MediaBox").and_then(lopdf::Object::as_array).expect("a box");
        let points = |n: usize| f64::from(media_box[n].as_float().expect("a number"));
        assert!((points(2) * 25.4 / 72.0 - width).abs() < 0.001, "{media_box:?}");
        assert!((points(3) * 25.4 / 72.0 - height).abs() < 0.001, "{media_box:?}");
    }
    assert_eq!(run(&["photo-card"], b"").status, 2);
    assert_eq!(run(&["photo-card", "--pdf", out, "--paper", "a5"], b"").status, 2);
}

#[test]
fn a_forecast_tells_of_every_mold_and_draws_a_map() {
    let map = folder("forecast").join("map.png");
    let map = map.to_str().expect("text");
    let arguments = ["forecast", "-", "--mesh", "10", "--map", map];
    let told = run(&arguments, save(&sample()).as_bytes());
    assert_eq!(told.status, 0, "{}", told.message);
    let said = json(&told);
    let molds = said["molds"].as_array().expect("molds");
    assert_eq!(molds.len(), 6);
    for mold in molds {
        let [thinnest, mean] =
            ["thinnest", "mean"].map(|which| mold[which]["ratio"].as_f64().expect("a ratio"));
        assert!(0.0 < thinnest && thinnest <= mean && mean <= 1.0, "{mold}");
    }
    assert!(said["plastic"].as_f64().is_some_and(|plastic| (plastic - 1.0).abs() < 1e-3), "{said}");
    check_picture(&fs::read(map).expect("a picture"));
    let uniform =
        run(&["forecast", "-", "--mesh", "10", "--mode", "uniform"], save(&sample()).as_bytes());
    assert_eq!(json(&uniform)["mode"], "uniform");
}

#[test]
fn a_forecast_with_friction_slips_and_without_sense_is_refused() {
    let plan = save(&sample());
    let thinnest = |options: &[&str]| {
        let arguments = [&["forecast", "-", "--mesh", "10"], options].concat();
        let told = run(&arguments, plan.as_bytes());
        json(&told)["molds"][0]["thinnest"]["ratio"].as_f64().expect("a ratio")
    };
    let stick = thinnest(&[]);
    assert!((thinnest(&["--friction", "100"]) - stick).abs() < 1e-3);
    assert!((thinnest(&["--friction", "0.1"]) - stick).abs() > 1e-3);
    for (options, words) in [
        (&["--friction", "ice"][..], "--friction ice: give a number"),
        (&["--friction", "-1"], "choose 0 to 100"),
        (&["--mode", "uniform", "--friction", "0.3"], "--friction goes with --mode rubber"),
    ] {
        let refused = run(&[&["forecast", "-"], options].concat(), plan.as_bytes());
        assert_eq!(refused.status, 2, "{options:?}");
        assert!(refused.message.contains(words), "{options:?}: {}", refused.message);
    }
}

#[test]
fn a_template_is_written_as_pdf_and_as_svg() {
    let folder = folder("template");
    let (pdf, svg) = (folder.join("out.pdf"), folder.join("out.svg"));
    let (pdf, svg) = (pdf.to_str().expect("text"), svg.to_str().expect("text"));
    let plan = save(&sample());
    let made = run(&["template", "-", "--pdf", pdf, "--paper", "a4"], plan.as_bytes());
    assert_eq!(made.status, 0, "{}", made.message);
    let n_sheets = json(&made)["sheets"].as_u64().expect("a count");
    let document = lopdf::Document::load(pdf).expect("a PDF");
    assert_eq!(document.get_pages().len() as u64, n_sheets);
    let one = run(&["template", "-", "--svg", svg, "--paper", "one"], plan.as_bytes());
    assert_eq!(json(&one)["files"], serde_json::json!([svg]), "{}", one.message);
    let several = run(&["template", "-", "--svg", svg, "--paper", "letter"], plan.as_bytes());
    let said = json(&several);
    let files = said["files"].as_array().expect("files");
    assert!(files.len() > 1 && files.len() as u64 == said["sheets"].as_u64().expect("a count"));
    for file in files.iter().chain([&json(&one)["files"][0]]) {
        let text = fs::read_to_string(file.as_str().expect("a name")).expect("written");
        let picture = roxmltree::Document::parse(&text).expect("XML");
        assert_eq!(picture.root_element().tag_name().name(), "svg");
    }
}

#[test]
fn a_pull_is_written_for_machines_and_a_template_is_corrected() {
    let folder = folder("trades");
    let out = |name: &str| folder.join(name).to_str().expect("text").to_owned();
    let (file, lines, sheets) = (out("out.dxf"), out("lines.svg"), out("out.pdf"));
    let plan = save(&sample());
    let made = run(
        &[
            "template",
            "-",
            "--dxf",
            &file,
            "--cutter",
            &lines,
            "--cut",
            "corners",
            "--corners",
            "--pdf",
            &sheets,
            "--correct",
            "99.6,3.95in",
            "--paper",
            "a4",
        ],
        plan.as_bytes(),
    );
    assert_eq!(made.status, 0, "{}", made.message);
    assert_eq!(json(&made)["files"], serde_json::json!([sheets, file, lines]));
    assert_eq!(json(&made)["without_corners"], serde_json::json!([]));
    let text = fs::read_to_string(&file).expect("a DXF");
    assert!(text.contains("\nCORNER\n") && text.ends_with("0\nEOF\n"));
    let text = fs::read_to_string(&lines).expect("an SVG");
    assert!(text.matches("<path").count() >= 12, "{text}");
    assert!(lopdf::Document::load(&sheets).is_ok());
}

/// The area of the pieces is 40 + 40 + 40, so no strip is shorter than 12.
#[test]
fn a_strip_is_packed_the_same_way_for_the_same_steps_and_seed() {
    let arguments = ["strip", "-", "--steps", "200000", "--seed", "5"];
    let packed = run(&arguments, STRIP);
    assert_eq!(packed.status, 0, "{}", packed.message);
    let said = json(&packed);
    let length = said["length"].as_f64().expect("a length");
    assert!((12.0 - 1e-4..16.0).contains(&length), "{said}");
    let density = said["density"].as_f64().expect("a density");
    assert!((density * length - 12.0).abs() < 1e-9, "{said}");
    assert_eq!((&said["name"], &said["seed"]), (&"brackets".into(), &5.into()));
    assert!(said["steps"].as_u64().is_some_and(|steps| steps >= 200_000), "{said}");
    assert!(said["seconds_to_best"].as_f64().is_some_and(|seconds| seconds >= 0.0), "{said}");
    let placements = said["placements"].as_array().expect("a list");
    let items: Vec<u64> = placements.iter().filter_map(|one| one["item"].as_u64()).collect();
    assert_eq!(items, [0, 0, 0, 0, 1, 1, 2, 2]);
    let blocks = placements.iter().filter(|one| one["item"] == 2);
    for block in blocks {
        assert_eq!(block["rotation"], 0.0);
        let [x, y] = ["x", "y"].map(|key| block[key].as_f64().expect("a number"));
        assert!((-1e-5..=length - 4.0 + 1e-5).contains(&x) && (-1e-5..=5.0 + 1e-5).contains(&y));
    }
    let again = json(&run(&arguments, STRIP));
    assert_eq!((&again["length"], &again["placements"]), (&said["length"], &said["placements"]));
}

#[test]
fn input_that_cannot_be_used_is_named_with_status_2_and_no_output() {
    let plan = save(&sample());
    let newer = plan.replacen("\"onepull\": 1", "\"onepull\": 9", 1);
    let huge = vec![b' '; 18 << 20];
    let folder = folder("unusable");
    let nowhere = folder.join("nowhere").join("out.pdf");
    let nowhere = nowhere.to_str().expect("text");
    let cases: &[(&[&str], &[u8], &str)] = &[
        (&["check", "-"], b"", "standard input: the file is empty"),
        (&["check", "-"], &huge, "standard input: more than 17825792 bytes"),
        (&["check", "-"], b"\xff\xfe", "standard input: not a text (UTF-8)"),
        (&["check", "-"], &plan.as_bytes()[..100], "the file ends too early, at line"),
        (&["check", "-"], newer.as_bytes(), "made by a newer Onepull (version 9)"),
        (&["check", "no such file.json"], b"", "no such file.json: "),
        (&["check", folder.to_str().expect("text")], b"", "unusable: "),
        (&["check"], b"", "use it as: headless check PLAN"),
        (&["check", "a", "b"], b"", "use it as: headless check PLAN"),
        (&["check", "-", "--paper", "a4"], b"", "`check` has no option `--paper`"),
        (&["link", "-", "--pull"], plan.as_bytes(), "`--pull` needs a value after it"),
        (
            &["link", "-", "--pull", "7"],
            plan.as_bytes(),
            "--pull 7: there is no such pull; the plan has 1",
        ),
        (&["link", "-", "--pull", "1", "--pull", "1"], plan.as_bytes(), "`--pull` stands twice"),
        (
            &["template", "-"],
            plan.as_bytes(),
            "say --pdf OUT, --svg OUT, --dxf OUT or --cutter OUT",
        ),
        (
            &["template", "-", "--pdf", "x", "--correct", "9"],
            plan.as_bytes(),
            "what both bars measure",
        ),
        (
            &["template", "-", "--pdf", "x", "--correct", "1.002,0.998"],
            plan.as_bytes(),
            "the bar across the paper measures 1.0 mm where 100.0 mm was printed",
        ),
        (
            &["template", "-", "--cutter", "x", "--cut", "all"],
            plan.as_bytes(),
            "choose molds, trim, both or corners",
        ),
        (&["template", "-", "--pdf", "x", "--svg", "x"], plan.as_bytes(), "say either --pdf OUT"),
        (
            &["template", "-", "--pdf", "x", "--paper", "a5"],
            plan.as_bytes(),
            "choose letter, a4 or one",
        ),
        (&["template", "-", "--pdf", nowhere], plan.as_bytes(), "out.pdf: "),
        (&["arrange", "-", "--intent", "heat"], plan.as_bytes(), "choose fit, spread or tidy"),
        (&["arrange", "-", "--seed", "-1"], plan.as_bytes(), "--seed -1: give a whole number"),
        (&["fill", "-", "--steps", "many"], plan.as_bytes(), "--steps many: give a whole number"),
        (&["fill", "-", "--pull", "7"], plan.as_bytes(), "there is no such pull"),
        (&["forecast", "-", "--mode", "jelly"], plan.as_bytes(), "choose rubber or uniform"),
        (&["forecast", "-", "--mesh", "fine"], plan.as_bytes(), "--mesh fine: give millimetres"),
        (&["forecast", "-", "--mesh", "0"], plan.as_bytes(), "choose 0.25 to 50 mm"),
        (&["unlink", "https://host.example/"], b"", "this is no link of Onepull"),
        (&["unlink", "-"], b"", "this is no link of Onepull"),
        (&["unlink", "-"], &huge, "standard input: more than"),
        (&["strip", "-"], b"{}", "standard input: missing field"),
        (&["strip", "-", "--steps", "many"], STRIP, "--steps many: give a number"),
        (&["strip", "-", "--seconds", "-1"], STRIP, "--seconds -1: give a number from 0"),
        (&["strip", "-", "--paper", "a4"], STRIP, "`strip` has no option `--paper`"),
        (&["strip", "no such file.json"], b"", "no such file.json: "),
        (&["melt"], b"", "there is no verb `melt`"),
        (&[], b"", "say what to do"),
    ];
    for (arguments, input, words) in cases {
        let said = run(arguments, input);
        assert_eq!(said.status, 2, "{arguments:?}: {}", said.message);
        assert!(said.message.starts_with("headless: "), "{arguments:?}: {}", said.message);
        assert!(said.message.contains(words), "{arguments:?}: {}", said.message);
        assert_eq!(said.output, "", "{arguments:?}");
    }
}

#[test]
fn help_names_every_verb() {
    for arguments in [&["--help"][..], &["check", "--help"], &["-h"]] {
        let said = run(arguments, b"");
        assert_eq!((said.status, said.message.as_str()), (0, ""));
        for verb in [
            "check PLAN",
            "arrange PLAN",
            "fill PLAN",
            "forecast PLAN",
            "template PLAN",
            "link PLAN",
            "unlink LINK",
            "strip FILE",
            "cut PLAN",
            "yield-map PLAN",
            "batch PLAN",
            "heat PLAN",
            "log FILE",
            "sample",
        ] {
            assert!(said.output.contains(verb), "{verb}: {}", said.output);
        }
    }
}
