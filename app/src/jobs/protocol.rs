//! What is said between the page and its worker.

use serde::{Deserialize, Serialize};

/// One thing asked, with the number its answer comes back under; a late answer to an old number is dropped.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Request {
    /// The number of the job.
    pub job: u32,
    /// What is asked.
    pub ask: Ask,
}

/// What can be asked; plans travel in the saved form.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Ask {
    /// What the rules say about the first pull, found `times` times over so that it can be timed.
    Check {
        /// The plan.
        plan: String,
        /// How often; at least once.
        times: u32,
    },
    /// The first pull's template as PDF.
    Template {
        /// The plan.
        plan: String,
        /// On which paper.
        paper: PaperName,
        /// The date to print.
        date: String,
    },
    /// Sheets of paper as PDF, as the page asks for them.
    Print(Print),
    /// The first pull as a link.
    Link {
        /// The plan.
        plan: String,
    },
}

/// Sheets of paper to make.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Print {
    /// The plan.
    pub plan: String,
    /// The number of the pull.
    pub pull: u32,
    /// Which sheets.
    pub sheets: Sheets,
    /// The title of the file.
    pub title: String,
    /// On which paper.
    pub paper: PaperName,
    /// How much two neighbouring sheets both show, in millimetres.
    pub overlap_mm: f64,
    /// The edge that the printer cannot reach, in millimetres.
    pub margin_mm: f64,
    /// The date to print.
    pub date: String,
    /// The address to print, if any.
    pub link: Option<String>,
}

/// Which sheets of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Sheets {
    /// The full-size template.
    Template,
    /// The bench card.
    BenchCard,
}

/// A paper by its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PaperName {
    /// US Letter.
    Letter,
    /// ISO A4.
    A4,
    /// One sheet as large as the blank needs.
    One,
}

/// The answer to a request.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reply {
    /// The number of the job; 0 when the request could not be read.
    pub job: u32,
    /// What came of it.
    pub answer: Answer,
}

/// What came of a request.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Answer {
    /// The findings, one a line with every figure to the last bit.
    Findings(Vec<String>),
    /// A file.
    File(Vec<u8>),
    /// A PDF, and the lines in which it shows `?` for letters that it cannot spell.
    Pdf {
        /// The file.
        bytes: Vec<u8>,
        /// The lines as they were meant.
        replaced: Vec<String>,
    },
    /// Not the answer yet: so much of the work is done.
    Progress {
        /// Parts done.
        done: u32,
        /// Of so many.
        of: u32,
    },
    /// The fragment of a link.
    Link(String),
    /// Why not.
    Refused(String),
}
