//! The verb `import`: what a foreign file holds, as outlines and problems.

use engine::edit::Edit;
use engine::geometry::{Rect, Region};
use engine::intake::{
    AddError, Added, Found, FoundMesh, FoundOutline, Kind, Place, PlaceCell, Problem, Scale,
    SourceUnit, Standing, Up, add_mold, add_mold_from_mesh, read_dxf, read_mesh, read_svg, survey,
};
use engine::plan::{Machine, Plan};
use engine::units::{Angle, Length};
use serde_json::{Value, json};

use super::{Done, Given, UNUSABLE, bytes_of, json_lines, name_of, photo};

/// The most bytes read, above what any reader takes.
const MOST_BYTES: u64 = 130 << 20;

/// The height that a mold is tried with, which a drawing does not say.
const TRIED_HEIGHT: Length = Length::mm(20.0);

/// The draft that walls are held against: the least that the trade asks of male molds (common practice).
const LEAST_DRAFT: Angle = Angle::degrees(3.0);

/// Says what was found in a file, and what a plan would take of it.
pub(super) fn read_foreign(given: &Given) -> Result<Done, String> {
    let input = given.input();
    let bytes = bytes_of(input, MOST_BYTES)?;
    let unit = given.option("unit").map(unit).transpose()?;
    if photo::is_picture(&bytes) {
        return photo::traced(given, &bytes);
    }
    let kind = Kind::of(input, &bytes);
    let (kind, found) = match kind {
        Some(Kind::Svg) => ("svg", read_svg(&bytes, unit)),
        Some(Kind::Dxf) => ("dxf", read_dxf(&bytes, unit)),
        Some(kind @ (Kind::Stl | Kind::Obj | Kind::ThreeMf)) => {
            return measured(given, kind, read_mesh(&bytes, kind, unit));
        }
        None => {
            return Err(format!("{}: none of SVG, DXF, STL, OBJ, 3MF, PNG, JPEG", name_of(input)));
        }
    };
    let output = found_json(kind, &found);
    let message = format!(
        "{}: {} outlines, {} problems\n",
        name_of(input),
        found.outlines.len(),
        found.problems.len()
    );
    let status = if found.outlines.is_empty() { UNUSABLE } else { 0 };
    Ok(Done { output: json_lines(&output), message, status })
}

/// What a mesh measures, with its silhouette as outlines.
fn measured(given: &Given, kind: Kind, found: FoundMesh) -> Result<Done, String> {
    let sign = given.option("up").unwrap_or("+z");
    let signs: Vec<&str> = Up::ALL.iter().map(|up| up.sign()).collect();
    let up = Up::ALL.into_iter().find(|up| up.sign() == sign);
    let up = up.ok_or_else(|| format!("--up {sign}: choose one of {}", signs.join(", ")))?;
    let standing = Standing::new(found.mesh, up, found.scale.unit());
    let survey = survey(&standing, LEAST_DRAFT);
    let plan = Plan::new("Plan", Machine::default());
    let outline = |(number, region): (usize, &Region)| {
        let name = format!("Part {number}");
        outline_json(&FoundOutline { name, region: region.clone(), at: Place::File }, &plan)
    };
    let heights = &survey.heights;
    let count = |is: &dyn Fn(&PlaceCell) -> bool| {
        survey.by_place.cells().iter().filter(|cell| is(cell)).count()
    };
    let problems = found.problems.iter().chain(&survey.problems).map(problem_json);
    let output = json!({
        "kind": format!("{kind:?}").to_ascii_lowercase(),
        "scale": scale_json(found.scale),
        "up": sign,
        "height_mm": survey.height.to_mm(),
        "silhouette_within_mm": survey.silhouette_within.to_mm(),
        "formed_mm2": survey.formed.to_mm2(),
        "steep_walls": {
            "under_deg": LEAST_DRAFT.to_degrees(),
            "surface_mm2": survey.steep.surface.to_mm2(),
            "least_deg": survey.steep.least.map(Angle::to_degrees),
            "at_mm": survey.steep.at.map(|at| [at.x, at.y]),
        },
        "undercut": {
            "surface_mm2": survey.undercut.surface.to_mm2(),
            "plan_mm2": survey.undercut.plan.to_mm2(),
        },
        "draft_deg": survey.draft.to_degrees(),
        "by_place": {
            "columns": survey.by_place.columns(),
            "rows": survey.by_place.rows(),
            "undercut_cells": count(&|cell| cell.undercut > Length::ZERO),
            "steep_cells": count(&|cell| cell.steep.is_some()),
        },
        "mold": mold_json(add_mold_from_mesh(&plan, &survey, "Mesh")),
        "heights": {
            "spacing_mm": heights.spacing().to_mm(),
            "columns": heights.columns(),
            "rows": heights.rows(),
        },
        "outlines": (1..).zip(&survey.silhouette).map(outline).collect::<Vec<_>>(),
        "problems": problems.collect::<Vec<_>>(),
    });
    let n_problems = found.problems.len() + survey.problems.len();
    let parts = survey.silhouette.len();
    let message = format!("{}: {parts} parts, {n_problems} problems\n", name_of(given.input()));
    let status = if parts == 0 { UNUSABLE } else { 0 };
    Ok(Done { output: json_lines(&output), message, status })
}

fn unit(sign: &str) -> Result<SourceUnit, String> {
    let signs: Vec<&str> = SourceUnit::ALL.iter().map(|unit| unit.sign()).collect();
    SourceUnit::from_sign(sign)
        .ok_or_else(|| format!("--unit {sign}: choose one of {}", signs.join(", ")))
}

fn found_json(kind: &str, found: &Found) -> Value {
    let plan = Plan::new("Plan", Machine::default());
    json!({
        "kind": kind,
        "scale": scale_json(found.scale),
        "outlines": found.outlines.iter().map(|one| outline_json(one, &plan)).collect::<Vec<_>>(),
        "problems": found.problems.iter().map(problem_json).collect::<Vec<_>>(),
    })
}

fn scale_json(scale: Scale) -> Value {
    json!({
        "unit": scale.unit().sign(),
        "mm": scale.unit().length().to_mm(),
        "asked": matches!(scale, Scale::Asked(_)),
    })
}

pub(super) fn outline_json(outline: &FoundOutline, plan: &Plan) -> Value {
    let bounds = outline.region.bounds().map(bounds_json);
    let n_corners: usize = outline.region.rings().map(|ring| ring.points().len()).sum();
    json!({
        "name": outline.name,
        "at": outline.at.to_string(),
        "area_mm2": outline.region.area().to_mm2(),
        "bounds_mm": bounds,
        "corners": n_corners,
        "holes": outline.region.holes.len(),
        "mold": mold_json(add_mold(plan, outline, &outline.name, TRIED_HEIGHT)),
    })
}

/// What a plan takes of an outline or a mesh.
fn mold_json(added: Result<Added, AddError>) -> Value {
    let added = match added {
        Ok(added) => added,
        Err(error) => return json!({ "refused": error.to_string() }),
    };
    let cells = match &added.edit {
        Edit::AddMold(_, mold) => mold.relief.n_cells(),
        _ => 0,
    };
    json!({
        "corners": added.n_corners,
        "within_mm": added.within.to_mm(),
        "holes_left_out": added.n_holes_left_out,
        "parts_left_out": added.n_parts_left_out,
        "height_cells": cells,
    })
}

fn bounds_json(bounds: Rect) -> [f64; 4] {
    [bounds.min.x, bounds.min.y, bounds.max.x, bounds.max.y]
}

pub(super) fn problem_json(problem: &Problem) -> Value {
    json!({ "at": problem.at.to_string(), "what": problem.trouble.to_string() })
}
