//! A name stays a name: nothing that is written for others becomes markup, an action, a formula or a record of its format.

mod hostile;

use std::collections::BTreeSet;
use std::sync::Arc;

use dxf::entities::EntityType;
use engine::batch::{Budget, Seed, batch_cost, batch_table, plan_batch};
use engine::drawing::{Role, draw_workshop};
use engine::edit::Edit;
use engine::export::{csv, cutter, dxf as to_dxf, pdf, svg};
use engine::file::{link, load, load_log, save, save_log, unlink};
use engine::heat::{Heater, Sides};
use engine::plan::{Plan, PullId, sample};
use engine::record::{Logbook, PullRecord, RecordId};
use engine::template::{
    Correction, Page, Paper, Printer, TemplateSettings, bench_card, cut_list, template,
};
use engine::units::Length;
use hostile::{NAMES, plain, plans};
use lopdf::{Document, Object};

const PULL: PullId = PullId(1);

/// Everything that is made of a plan for paper, with a printer of a hostile name as well.
fn pages(plan: &Plan) -> Vec<Vec<Page>> {
    let near = Correction::measured(Length::mm(99.6), Length::mm(100.3)).expect("near");
    let plain = TemplateSettings::new(Paper::One, "2026-11-26");
    let printer = Some(Printer::new(&plan.name, near));
    let tiled = TemplateSettings { printer, ..TemplateSettings::new(Paper::A4, "2026-11-26") };
    vec![
        template(plan, PULL, &plain).expect("a template").pages,
        template(plan, PULL, &tiled).expect("a template").pages,
        bench_card(plan, PULL, &tiled).expect("a card"),
        cut_list(plan, &[], &tiled).expect("a list"),
    ]
}

/// The kinds of elements and attributes of an XML file, as roxmltree (MIT or Apache-2.0) reads it.
fn kinds(text: &str) -> BTreeSet<String> {
    let document = roxmltree::Document::parse(text).unwrap_or_else(|e| panic!("{e}: {text}"));
    let elements = document.descendants().filter(roxmltree::Node::is_element);
    let kind = |node: roxmltree::Node<'_, '_>| {
        let attributes = node.attributes().map(|a| a.name().to_owned()).collect::<Vec<_>>();
        std::iter::once(node.tag_name().name().to_owned()).chain(attributes).collect::<Vec<_>>()
    };
    elements.flat_map(kind).collect()
}

#[test]
fn drawings_for_the_web_and_for_cutters_hold_the_same_elements_whatever_the_names() {
    let drawn = |plan: &Plan| {
        let pages = pages(plan).into_iter().flatten().map(|page| svg(&page));
        let cut = cutter(&draw_workshop(plan, PULL, true), &[Role::Mold, Role::TrimLine]);
        pages.chain([cut]).flat_map(|text| kinds(&text)).collect::<BTreeSet<_>>()
    };
    let harmless = drawn(&plain());
    assert!(harmless.contains("text") && !harmless.contains("script"), "{harmless:?}");
    for plan in plans() {
        assert_eq!(drawn(&plan), harmless, "{:?}", plan.name);
    }
}

/// Keys of a PDF that do something or reach out (ISO 32000-1, 12.6 and 7.11).
const ACTIONS: [&[u8]; 9] =
    [b"JS", b"JavaScript", b"OpenAction", b"AA", b"URI", b"Launch", b"A", b"EmbeddedFile", b"F"];

/// The lopdf crate (MIT) reads the file.
#[test]
fn a_pdf_has_as_many_pages_and_no_action_whatever_the_names() {
    for plan in plans() {
        for pages in pages(&plan) {
            let written = pdf(&plan.name, &pages);
            let read =
                Document::load_mem(&written.bytes).expect("a PDF that another library reads");
            assert_eq!(read.get_pages().len(), pages.len(), "{:?}", plan.name);
            for object in read.objects.values() {
                let dictionary = match object {
                    Object::Dictionary(dictionary) => dictionary,
                    Object::Stream(stream) => &stream.dict,
                    _ => continue,
                };
                let mut keys = dictionary.iter().map(|(key, _)| key.as_slice());
                assert!(!keys.any(|key| ACTIONS.contains(&key)), "{:?}: {object:?}", plan.name);
            }
        }
    }
}

/// The dxf crate (MIT) reads the file; a record more or less would shift all that follow.
#[test]
fn a_dxf_holds_the_same_records_whatever_the_names() {
    let shape = |plan: &Plan| {
        let text = to_dxf(&draw_workshop(plan, PULL, true));
        assert!(text.is_ascii(), "{:?}", plan.name);
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines.len().is_multiple_of(2), "{:?}", plan.name);
        for pair in lines.chunks(2) {
            assert!(pair[0].trim().parse::<i16>().is_ok(), "{:?}: {pair:?}", plan.name);
        }
        let read = dxf::Drawing::load(&mut text.as_bytes()).expect("another library reads it");
        let kinds = read.entities().map(|entity| {
            let kind = match &entity.specific {
                EntityType::Text(_) => "text",
                EntityType::LwPolyline(_) => "outline",
                EntityType::Line(_) => "line",
                other => panic!("{other:?}"),
            };
            (kind, entity.common.layer.clone())
        });
        kinds.collect::<Vec<_>>()
    };
    let harmless = shape(&plain());
    for plan in plans() {
        assert_eq!(shape(&plan), harmless, "{:?}", plan.name);
    }
}

/// The csv crate (MIT or Unlicense) reads the rows.
#[test]
fn a_table_has_no_formula_and_its_columns_whatever_the_names() {
    let table = |plan: &Plan| {
        let given = (Seed(1), Budget { steps: 100_000 });
        let planned = plan_batch(plan, given, &mut ()).expect("a batch");
        csv(&batch_table(plan, &planned, &batch_cost(plan, &planned, &Heater::default())))
    };
    let rows = |text: &str| -> Vec<Vec<String>> {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes());
        let rows = reader.records().map(|row| row.expect("a row"));
        rows.map(|row| row.iter().map(str::to_owned).collect()).collect()
    };
    let columns = |rows: &[Vec<String>]| rows.iter().map(Vec::len).collect::<Vec<_>>();
    let harmless = columns(&rows(&table(&plain())));
    for plan in plans() {
        let rows = rows(&table(&plan));
        assert_eq!(columns(&rows), harmless, "{:?}", plan.name);
        for field in rows.iter().flatten() {
            let is_number = field.parse::<f64>().is_ok();
            assert!(is_number || !field.starts_with(['=', '+', '-', '@', '\t', '\r']), "{field:?}");
        }
    }
}

#[test]
fn a_name_that_a_plan_takes_comes_back_from_file_link_and_log_as_it_is() {
    let mut taken = 0;
    for name in NAMES.map(str::to_owned).into_iter().chain(["Clam ".repeat(2_000)]) {
        let renamed = sample().apply(&Edit::Rename(name.clone()));
        let Ok(plan) = renamed else {
            assert!(name.len() > 1_000, "{name:?}");
            continue;
        };
        taken += 1;
        let is_welcome = |c: char| !c.is_control() && !('\u{202a}'..='\u{202e}').contains(&c);
        assert!(plan.name.chars().all(is_welcome), "{:?}", plan.name);
        assert_eq!(load(&save(&plan)).as_ref(), Ok(&plan));
        let linked = unlink(&link(&plan, PULL).expect("a link")).expect("it opens");
        assert_eq!(linked.name, plan.name);
        let mut record = PullRecord::begun("2026-11-26 09:00", &plan, PULL, Sides::One);
        record.notes = plan.name.clone();
        let book = Logbook::default().add(RecordId(1), &record).expect("a log");
        assert_eq!(load_log(&save_log(&book)).as_ref(), Ok(&book));
    }
    assert_eq!(taken, NAMES.len());
}

/// The plans of these tests are as hostile as they mean to be.
#[test]
fn every_name_stands_in_every_place_of_some_plan() {
    let plans: Vec<Plan> = plans().collect();
    for name in NAMES {
        assert!(plans.iter().any(|plan| plan.name == name));
        let mold = |plan: &Plan| plan.molds.values().any(|mold| Arc::clone(mold).name == name);
        assert!(plans.iter().any(mold));
        assert!(plans.iter().any(|plan| plan.pulls[&PULL].name == name));
    }
}
