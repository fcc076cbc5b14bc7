//! The library's prelude, with what this room has in place of its own.

pub(crate) use leptos::prelude::*;

pub(crate) use super::attributes::{
    AriaAttributes, ClassAttribute, CustomAttribute, GlobalAttributes, OnAttribute, PropAttribute,
};
pub(crate) use super::list::For;
pub(crate) use super::live::CollectView;
pub(crate) use super::{Callback, Effect, Local, Memo, RwSignal, Signal, StoredValue, live, memo};
