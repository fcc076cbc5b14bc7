//! What the sheet does, one published relation a file; each names its source.

mod convex_inset;
mod definitions;
mod draw;
mod formed_surface;
mod free_cap;
mod grid_surface;
mod rim;
mod scribed_line;
mod slab_cooling;
mod slab_environment;
mod slab_flux;
mod wall_angle;
pub mod webbing;

pub use definitions::{AREAL, Definition, HEIGHT_TO_WIDTH, LINEAR, MEAN_THICKNESS};
pub use draw::{Draw, mean_thickness};
pub use free_cap::{cap_mean, cap_pole};
pub use slab_cooling::{Cooled, Held, contact_time, contact_time_of, lumped_time};
pub use slab_environment::slab_in_environment;
pub use slab_flux::slab_under_flux;
pub use wall_angle::least_wall_angle;
