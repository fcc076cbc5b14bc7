//! Work that is asked for by message: a worker answers here, and so do the tests that hold both targets together.
//!
//! The page knows this crate for the words of its messages, and for how a drawing becomes markup. What answers them is compiled into a module of its own
//! (`worker`), so that the page need not load the searches before it can show a plan.

mod answer;
mod arranger;
mod arranging;
mod batcher;
mod cutter;
mod forecaster;
mod foreign;
mod further;
mod heater;
mod pictures;
mod protocol;
mod reader;
mod shapes;
mod tracer;
mod trades;
mod warm;

pub use answer::{answer, work};
pub use arranging::{Arranged, Arranging, Goal, Layout, News, Spot, WayOut};
pub use batcher::{BatchLayout, BatchNews, Batched, Batching};
pub use cutter::{Mapping, Piece, Told};
pub use forecaster::{Advised, Forecasting};
pub use foreign::{
    Corners, FileRead, FindPaper, MeshTold, PaperFound, PhotoPaper, PhotoTraced, ReadFile, Shape,
    Side, Stroke, TracePhoto,
};
pub use heater::HeaterSaid;
pub use pictures::picture;
pub use protocol::{Answer, Ask, PaperName, Parcel, Print, Reply, Request, Sheets};
pub use shapes::sentence;
pub use trades::{PrinterSaid, Trade, TradeFile};
