//! The JSON Schema of the saved form, with the limits of a plan in it.

use schemars::generate::SchemaSettings;

use super::v1;

/// The JSON Schema (draft 2020-12) of the newest saved form, as text with a final newline.
#[must_use]
pub fn schema() -> String {
    let schema = SchemaSettings::draft2020_12().into_generator().into_root_schema_for::<v1::Plan>();
    format!("{:#}\n", schema.as_value())
}
