//! The JSON Schema of the saved form, with the limits of a plan in it.

use schemars::generate::SchemaSettings;
use serde_json::{Value, json};

use super::v4;
use crate::plan::limits;
use crate::units::Length;

/// The JSON Schema (draft 2020-12) of the newest saved form, as text with a final newline.
///
/// A file that the schema refuses may still open where that does no harm (a name with a space at its end);
/// a file that it accepts may still be refused where a schema cannot say why (an id that stands twice).
#[must_use]
pub fn schema() -> String {
    let generator = SchemaSettings::draft2020_12().into_generator();
    let mut schema = generator.into_root_schema_for::<v4::Plan>().to_value();
    bounds()
        .into_iter()
        .chain(batch_bounds())
        .for_each(|(place, bound)| set_bound(&mut schema, place, bound));
    format!("{schema:#}\n")
}

/// What a value of the form is bounded by.
#[derive(Clone, Copy)]
enum Bound {
    Length(Length, Length),
    Number(f64, f64),
    Count(u32, u32),
    Items(usize, usize),
    Name,
}

/// The limits that hold for one value by itself, by its place in the form.
fn bounds() -> Vec<(&'static str, Bound)> {
    let coordinate = || Bound::Length(-limits::COORDINATE, limits::COORDINATE);
    let sheet = || Bound::Length(limits::SHEET_LEAST, limits::SHEET_MOST);
    let side = || Bound::Length(limits::FOOTPRINT_LEAST, limits::FOOTPRINT_MOST);
    let lip = || Bound::Length(Length::ZERO, limits::SHEET_MOST);
    let gap = || Bound::Length(Length::ZERO, limits::GAP_MOST);
    let number = |(least, most)| Bound::Number(least, most);
    let copies = || Bound::Count(1, limits::COPIES);
    let grid_side = || Bound::Count(1, u32::try_from(limits::GRID_SIDE).unwrap_or(u32::MAX));
    vec![
        ("Plan/onepull", Bound::Count(1, 4)),
        ("Plan/name", Bound::Name),
        ("Plan/molds", Bound::Items(0, limits::MOLDS)),
        ("Plan/pulls", Bound::Items(1, limits::PULLS)),
        ("Size/width_mm", sheet()),
        ("Size/depth_mm", sheet()),
        ("Lip/front_mm", lip()),
        ("Lip/back_mm", lip()),
        ("Lip/left_mm", lip()),
        ("Lip/right_mm", lip()),
        ("Platen/left_mm", coordinate()),
        ("Platen/front_mm", coordinate()),
        ("Platen/right_mm", coordinate()),
        ("Platen/back_mm", coordinate()),
        ("Machine/clears_mm", Bound::Length(Length::mm(1.0), limits::HEIGHT_MOST)),
        ("Stock/gauge_mm", Bound::Length(limits::GAUGE.0, limits::GAUGE.1)),
        ("Clearance/factor", number(limits::CLEARANCE_FACTOR)),
        ("Clearance/least_mm", gap()),
        ("Edge/factor", number(limits::EDGE_FACTOR)),
        ("Edge/least_mm", gap()),
        ("Settings/male_height_to_width", number(limits::HEIGHT_TO_WIDTH)),
        ("Settings/female_height_to_width", number(limits::HEIGHT_TO_WIDTH)),
        ("Settings/least_wall_mm", Bound::Length(limits::GAUGE.0, limits::GAUGE.1)),
        ("Mold/name", Bound::Name),
        ("Mold/height_mm", Bound::Length(limits::FOOTPRINT_LEAST, limits::HEIGHT_MOST)),
        ("Mold/spacer_mm", Bound::Length(Length::ZERO, limits::HEIGHT_MOST)),
        ("Mold/draft_deg", Bound::Number(0.0, limits::DRAFT_MOST.to_degrees())),
        ("Mold/copies", copies()),
        ("Mold/trim_mm", gap()),
        ("Extent/width_mm", side()),
        ("Extent/depth_mm", side()),
        ("RoundedRectangle/width_mm", side()),
        ("RoundedRectangle/depth_mm", side()),
        ("RoundedRectangle/radius_mm", Bound::Length(Length::ZERO, limits::FOOTPRINT_MOST)),
        ("Circle/diameter_mm", side()),
        ("Polygon/sides", Bound::Count(3, limits::POLYGON_SIDES)),
        ("Polygon/diameter_mm", side()),
        ("Outline/outer_mm", Bound::Items(0, limits::OUTLINE_CORNERS)),
        ("Outline/outer_mm/items/items", coordinate()),
        ("Outline/holes_mm", Bound::Items(0, limits::HOLES)),
        ("Outline/holes_mm/items/items/items", coordinate()),
        ("Taper/top", Bound::Number(0.0, 1.0)),
        ("RoundedTop/edge_mm", Bound::Length(Length::ZERO, limits::FOOTPRINT_MOST)),
        ("Stepped/steps", Bound::Items(1, limits::STEPS)),
        ("Step/height_mm", Bound::Length(Length::ZERO, limits::HEIGHT_MOST)),
        ("Step/inset_mm", Bound::Length(Length::ZERO, limits::FOOTPRINT_MOST)),
        ("Heights/columns", grid_side()),
        ("Heights/rows", grid_side()),
        ("Heights/height_mm", Bound::Length(limits::FOOTPRINT_LEAST, limits::HEIGHT_MOST)),
        ("Pull/name", Bound::Name),
        ("Pull/placements", Bound::Items(0, limits::PLACEMENTS)),
        ("Placement/copy", copies()),
        ("Placement/x_mm", coordinate()),
        ("Placement/y_mm", coordinate()),
    ]
}

/// As [`bounds`], for the kits, the order of pulls and the cutting.
fn batch_bounds() -> Vec<(&'static str, Bound)> {
    let time = || Bound::Number(0.0, limits::STEP_TIME_MOST.get());
    let cut = || Bound::Length(Length::ZERO, limits::CUT_MOST);
    vec![
        ("Plan/order", Bound::Items(0, limits::PULLS)),
        ("Turn/times", Bound::Count(1, limits::TIMES)),
        ("Batch/kits", Bound::Count(1, limits::KITS)),
        ("Batch/spares_percent", Bound::Count(0, limits::SPARES_PERCENT)),
        ("Batch/parts", Bound::Items(0, limits::MOLDS)),
        ("Batch/stocks", Bound::Items(0, limits::STOCKS)),
        ("PartWanted/per_kit", Bound::Count(0, limits::PER_KIT)),
        ("PullTimes/load_s", time()),
        ("PullTimes/heat_s", time()),
        ("PullTimes/draw_s", time()),
        ("PullTimes/cool_s", time()),
        ("PullTimes/unload_s", time()),
        ("PullTimes/change_over_s", time()),
        ("Cutting/kerf_mm", cut()),
        ("Cutting/wander_mm", cut()),
        ("Cutting/least_strip_mm", cut()),
        ("Cutting/blanks_wanted", Bound::Count(1, limits::BLANKS)),
        ("Cutting/offcuts", Bound::Items(0, limits::OFFCUTS)),
        ("Offcut/count", Bound::Count(1, limits::EQUAL_OFFCUTS)),
    ]
}

fn set_bound(schema: &mut Value, place: &str, bound: Bound) {
    let (form, key) = place.split_once('/').unwrap_or((place, ""));
    let form = if form == "Plan" { String::new() } else { format!("/$defs/{form}") };
    let value = schema.pointer_mut(&format!("{form}/properties/{key}"));
    let value = value.expect("the table of bounds names keys of the form");
    let (words, least, most) = match bound {
        Bound::Length(least, most) => {
            (["minimum", "maximum"], json!(least.to_mm()), json!(most.to_mm()))
        }
        Bound::Number(least, most) => (["minimum", "maximum"], json!(least), json!(most)),
        Bound::Count(least, most) => (["minimum", "maximum"], json!(least), json!(most)),
        Bound::Items(least, most) => (["minItems", "maxItems"], json!(least), json!(most)),
        Bound::Name => (["minLength", "maxLength"], json!(1), json!(limits::NAME_CHARS)),
    };
    value[words[0]] = least;
    value[words[1]] = most;
}
