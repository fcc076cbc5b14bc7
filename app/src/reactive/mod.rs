//! Reactive values of the page: the library's own, compiled once for all types.
//!
//! The library compiles a signal, a memo and all that is under them anew for every type that is kept in one, and
//! much of it for every closure that reads it: eleven thousand functions. Here every value is kept in a box of one
//! type, and every closure goes to the library in one, which spares a first visit 60 kB of 640. A handle is that of
//! the library and remembers what it holds, so a panel is written as ever; it uses this room's prelude.
//!
//! What it promises: it is the library's graph, so who is told of a change, when, in which order, and how long a value lives
//! is as the library says; but what the library would keep for as long as the page lives, of rows and readers that are gone,
//! is let go (`rows`, `reader`). A handle is made by the constructors alone, which put in what its type says, so that what
//! is taken out is of that type. `with` borrows, `get` clones, and a derived signal costs one box more a call.

mod attributes;
mod callback;
mod closure;
mod effect;
mod handle;
mod held;
mod list;
mod live;
mod memo;
pub(crate) mod prelude;
mod reader;
mod rows;
mod signal;
mod stored;
#[cfg(test)]
mod tests;

pub(crate) use callback::Callback;
pub(crate) use effect::Effect;
pub(crate) use live::live;
pub(crate) use memo::{Memo, memo};
/// A value that stays on the page's own thread, as what the browser hands out does.
pub(crate) use send_wrapper::SendWrapper as Local;
pub(crate) use signal::{RwSignal, Signal};
pub(crate) use stored::StoredValue;
