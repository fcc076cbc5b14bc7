//! The verb `template`: sheets of paper, and the same pull for machines that cut.

use std::path::{Path, PathBuf};

use engine::drawing::{Role, draw_workshop};
use engine::export::{cutter, dxf, pdf, svg};
use engine::plan::{Plan, PullId};
use engine::template::{
    Correction, Page, Paper, Printer, Template, TemplateSettings, bench_card, cut_list, template,
};
use engine::units::{Unit, parse_length};
use serde_json::json;

use super::{Done, Given, json_lines, written};

/// Writes every kind of file that was asked for.
pub(crate) fn make_template(given: &Given) -> Result<Done, String> {
    let paper = match given.option("paper").unwrap_or("letter") {
        "letter" => Paper::Letter,
        "a4" => Paper::A4,
        "one" => Paper::One,
        other => return Err(format!("--paper {other}: choose letter, a4 or one")),
    };
    let plan = given.plan()?;
    let (id, pull) = given.pull(&plan)?;
    let corners = given.option("corners").is_some();
    let settings = TemplateSettings {
        corners,
        printer: printer(given)?,
        ..TemplateSettings::new(paper, given.option("date").unwrap_or("undated"))
    };
    let made = sheets(given, &plan, id, &settings)?;
    let mut files = match (given.option("pdf"), given.option("svg")) {
        (Some(out), None) => vec![written(Path::new(out), &pdf(&plan.name, &made.pages).bytes)?],
        (None, Some(out)) => write_svgs(Path::new(out), &made.pages)?,
        (Some(_), Some(_)) => return Err("say either --pdf OUT or --svg OUT".to_owned()),
        (None, None) => Vec::new(),
    };
    files.extend(for_machines(given, &plan, id, corners)?);
    if files.is_empty() {
        return Err("say --pdf OUT, --svg OUT, --dxf OUT or --cutter OUT".to_owned());
    }
    let without: Vec<u32> = made.without_corners.iter().map(|id| id.0).collect();
    let output = json!({
        "plan": plan.name,
        "pull": id.0,
        "paper": paper.name(),
        "sheets": made.pages.len(),
        "columns": made.columns,
        "rows": made.rows,
        "without_corners": without,
        "files": files,
    });
    let message = format!("{}: {} sheets; print at 100 %\n", pull.name, made.pages.len());
    Ok(Done { output: json_lines(&output), message, status: 0 })
}

/// The template, or sheets that stand one behind the other.
fn sheets(
    given: &Given,
    plan: &Plan,
    pull: PullId,
    settings: &TemplateSettings,
) -> Result<Template, String> {
    let stacked = |pages: Vec<Page>| {
        let rows = pages.len();
        Template { columns: 1, rows, skipped: 0, pages, without_corners: Vec::new() }
    };
    let made = match given.option("sheets").unwrap_or("template") {
        "template" => template(plan, pull, settings),
        "card" => bench_card(plan, pull, settings).map(stacked),
        "cuts" => cut_list(plan, &[], settings).map(stacked),
        other => return Err(format!("--sheets {other}: choose template, card or cuts")),
    };
    made.map_err(|error| error.to_string())
}

/// The DXF and the cutter file, as far as they were asked for.
fn for_machines(
    given: &Given,
    plan: &Plan,
    pull: PullId,
    corners: bool,
) -> Result<Vec<String>, String> {
    let roles: &[Role] = match given.option("cut").unwrap_or("molds") {
        "molds" => &[Role::Mold],
        "trim" => &[Role::TrimLine],
        "both" => &[Role::Mold, Role::TrimLine],
        "corners" => &[Role::Corner],
        other => return Err(format!("--cut {other}: choose molds, trim, both or corners")),
    };
    let drawing = |has_corners| draw_workshop(plan, pull, has_corners);
    let mut files = Vec::new();
    if let Some(out) = given.option("dxf") {
        files.push(written(Path::new(out), dxf(&drawing(corners)).as_bytes())?);
    }
    if let Some(out) = given.option("cutter") {
        let text = cutter(&drawing(roles.contains(&Role::Corner)), roles);
        files.push(written(Path::new(out), text.as_bytes())?);
    }
    Ok(files)
}

/// The printer whose bars were measured: across the paper, then along it.
fn printer(given: &Given) -> Result<Option<Printer>, String> {
    let Some(text) = given.option("correct") else { return Ok(None) };
    let wrong = |why: &dyn std::fmt::Display| format!("--correct {text}: {why}");
    let parts: Vec<&str> = text.split(',').collect();
    let [across, along] = parts[..] else {
        return Err(wrong(&"give what both bars measure, for example 99.6mm,100.2mm"));
    };
    let length = |text| parse_length(text, Unit::Millimetre).map_err(|error| wrong(&error));
    let correction = Correction::measured(length(across)?, length(along)?);
    let correction = correction.map_err(|error| wrong(&error))?;
    Ok(Some(Printer::new("", correction)))
}

/// One file a sheet: `name.svg`, or `name-1.svg` and so on when there are several.
fn write_svgs(out: &Path, pages: &[Page]) -> Result<Vec<String>, String> {
    let numbered = |n: usize| -> PathBuf {
        let stem = out.file_stem().unwrap_or_default().to_string_lossy();
        out.with_file_name(format!("{stem}-{n}.svg"))
    };
    let path = |n| if pages.len() == 1 { out.to_owned() } else { numbered(n) };
    (1..).zip(pages).map(|(n, page)| written(&path(n), svg(page).as_bytes())).collect()
}
