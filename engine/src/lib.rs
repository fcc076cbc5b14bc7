//! Plans vacuum-forming pulls: what stands where on the blank, and whether the sheet will drape over it.
//!
//! Data flows one way. Input becomes an edit, `apply` turns a plan and an edit into the next plan, the rules
//! read the plan and return findings, the drawing is made from both, and the template and the exports are made
//! from the drawing. The engine knows no browser, no clock and no global state.
//!
//! The modules below stand in reading order; each may use those above it.

pub mod order;

pub mod units;

pub mod watch;

pub mod geometry;

pub mod search;

pub mod plan;

pub mod edit;

pub mod intake;

pub mod physics;

pub mod rules;

pub mod moves;

pub mod arrange;

pub mod heat;

pub mod record;

pub mod stock;

pub mod batch;

pub mod drape;

pub mod file;

pub mod compare;

pub mod drawing;

pub mod template;

pub mod export;

pub mod defaults;
