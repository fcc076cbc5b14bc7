//! What a maker really has becomes molds: foreign drawings read without trust, as outlines and told problems.
//!
//! Every reader is bounded (bytes, elements, corners, nesting) and tolerant: it returns what it could read, and
//! beside it a list of problems, each with its place and what was done about it. A reader never looks at a plan;
//! [`add_mold`] turns one outline into an edit, so an imported mold passes the same checks as a typed one.
//!
//! Nothing of a foreign file survives but numbers and names: no markup of it is ever shown.

mod add;
mod affine;
mod dxf;
mod found;
mod join;
mod kind;
mod mesh;
mod nest;
mod pen;
pub mod photo;
mod problem;
mod svg;
mod xml;

pub use add::{AddError, Added, add_mold, add_mold_from_mesh};
pub use dxf::read_dxf;
pub use found::{Found, FoundOutline, Scale, SourceUnit};
pub use kind::Kind;
pub use mesh::{
    ByPlace, FoundMesh, Mesh, PlaceCell, Standing, SteepWalls, Survey, Undercut, Up, read_mesh,
    survey,
};
pub use problem::{Place, Problem, Trouble};
pub use svg::read_svg;
