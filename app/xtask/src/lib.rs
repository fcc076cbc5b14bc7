//! Sets up, builds, serves and tests Onepull, so that a bare machine needs nothing but cargo and this repository.
//!
//! A command line becomes a `Command`; `commands` carries it out in stages that are named and timed. Each stage
//! first looks at what the machine already has and installs only what is missing, saying what and why. The modules
//! below stand in reading order.

pub mod arguments;
pub mod failure;
pub mod pack;
pub mod server;
pub mod streams;

mod axe;
mod bindings;
mod commands;
mod debian;
mod fingerprint;
mod firefox;
mod folder;
mod order;
mod page;
mod parts;
mod paths;
mod process;
mod say;
mod service_worker;
mod size;
mod stages;
mod test_tools;
mod testing;
mod toolchain;
mod watch;
mod workspace;

pub use commands::run;
