//! A finding in words: a title for the list, the reason with its figures, and what to do next.

use super::voice::{Voice, Words};
use super::{
    Finding, Rule, clearance_rule, copies, draft, edge, footprint, gauge, height_to_width, opening,
    overlap, platen, tall, texture,
};
