//! Reads meshes (STL, OBJ, 3MF) and works out what a mold planner needs of them.
//!
//! Reading gives a [`Mesh`], any triangles at all; [`Standing`] is the mesh turned by a chosen up direction, in
//! millimetres and on the platen; [`survey()`] measures it: silhouette, height, surface that the sheet has to
//! cover, walls without draft, undercuts, and heights on a grid.

mod by_place;
mod envelope;
mod grid;
mod obj;
mod silhouette;
mod solid;
mod stand;
mod stl;
mod survey;
mod threemf;
mod undercut;
mod zip;

pub use by_place::{ByPlace, PlaceCell};
pub(super) use grid::height_grid;
pub use solid::{FoundMesh, Mesh, read_mesh};
pub use stand::{Standing, Up};
pub use survey::{SteepWalls, Survey, survey};
pub use undercut::Undercut;

/// The largest file read.
const MOST_BYTES: usize = 120 << 20;

/// Triangles read of one file.
const MOST_TRIANGLES: usize = 2_000_000;

#[cfg(test)]
pub(super) mod shapes;
#[cfg(test)]
mod tests;
