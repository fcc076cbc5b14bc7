//! What is said between the page and its worker: texts, and beside a text the bytes of a file.

use engine::objects;
use serde::{Deserialize, Serialize};

use super::arranging::{Arranged, Arranging, News};
use super::batcher::{BatchNews, Batched, Batching};
use super::cutter::{Mapping, Told};
use super::forecaster::{Advised, Forecasting};
use super::foreign::{
    FileRead, FindPaper, PaperFound, PhotoPaper, PhotoTraced, ReadFile, TracePhoto,
};
use super::heater::HeaterSaid;
use super::trades::{PrinterSaid, Trade};

/// One thing asked, with the number its answer comes back under; a late answer to an old number is dropped.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Request {
    /// The number of the job.
    pub job: u32,
    /// What is asked.
    pub ask: Ask,
}

/// What can be asked; plans travel in the saved form, files and pixels as bytes beside the text.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Ask {
    /// What the rules say about the sample laid out anew: nobody waits for it, but after it the browser has the search's
    /// code ready for the first layout that somebody does wait for.
    WarmUp,
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
    /// A pull laid out.
    Arrange(Arranging),
    /// A batch planned.
    Batch(Batching),
    /// How the sheet drapes over a pull.
    Forecast(Forecasting),
    /// What would help; the bytes are the forecast of the same layout.
    Advise(Forecasting),
    /// What could become molds in a file.
    ReadFile(ReadFile),
    /// Where the paper is in a photograph.
    FindPaper(FindPaper),
    /// What lies on the paper of a photograph.
    TracePhoto(TracePhoto),
    /// The photo card on this paper as PDF.
    PhotoCard(PhotoPaper),
    /// The plan's sheets cut into its blanks.
    Cut {
        /// The plan.
        plan: String,
        /// Further sizes with counts, as they were typed.
        #[serde(default)]
        further: String,
    },
    /// How much of the sheet each size of blank uses.
    Map(Mapping),
    /// How the sheet of a pull is heated and cooled.
    Heat {
        /// The plan.
        plan: String,
        /// The number of the pull.
        pull: u32,
        /// The heater, as far as it is known.
        heater: HeaterSaid,
    },
    /// A pull as a file for another trade's machine.
    Trade(Trade),
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
    /// What is known of the printer, if it is to be corrected.
    #[serde(default)]
    pub printer: Option<PrinterSaid>,
    /// Whether the template shows locating corners.
    #[serde(default)]
    pub corners: bool,
    /// The date to print.
    pub date: String,
    /// The address to print, if any.
    pub link: Option<String>,
    /// The heater, as far as it is known.
    #[serde(default)]
    pub heater: HeaterSaid,
    /// Further sizes of blank for the cut list, as they were typed.
    #[serde(default)]
    pub further: String,
}

/// Which sheets of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Sheets {
    /// The full-size template.
    Template,
    /// The bench card.
    BenchCard,
    /// The cut list.
    CutList,
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
#[serde(remote = "Self")]
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
    File {
        /// The file; they travel beside the text.
        #[serde(skip)]
        bytes: Vec<u8>,
    },
    /// A PDF, and the lines in which it shows `?` for letters that it cannot spell.
    Pdf {
        /// The file; they travel beside the text.
        #[serde(skip)]
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
    /// Not the answer yet: where the arranger stands.
    Arranging(Box<News>),
    /// What came of an arrangement.
    Arranged(Box<Arranged>),
    /// Not the answer yet: where the planning of a batch stands.
    Batching(BatchNews),
    /// What came of planning a batch.
    Batched(Box<Batched>),
    /// How the sheet drapes, as the engine packs it.
    Forecast {
        /// The forecast; they travel beside the text.
        #[serde(skip)]
        bytes: Vec<u8>,
    },
    /// Changes of the layout that help, the best first.
    Advised(Vec<Advised>),
    /// What was read of a file.
    FileRead(Box<FileRead>),
    /// The paper of a photograph.
    PaperFound(PaperFound),
    /// What was traced in a photograph.
    PhotoTraced(Box<PhotoTraced>),
    /// Sheets cut up, the map of sizes of blank, or the heat, as a panel shows it.
    Told(Box<Told>),
    /// The fragment of a link.
    Link(String),
    /// Why not.
    Refused(String),
}

/// One message of the worker: a reply as JSON, and the bytes of a file beside it.
///
/// A PDF of half a megabyte as JSON numbers would be two megabytes to write, copy and read; its bytes alone change hands
/// without a copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Parcel {
    /// The reply as JSON.
    pub words: String,
    /// The bytes of the file, for an answer that is one.
    pub bytes: Option<Vec<u8>>,
}

impl Parcel {
    /// A reply, packed.
    pub fn of(job: u32, mut answer: Answer) -> Self {
        let bytes = answer.bytes().map(std::mem::take);
        // Plain data with text keys always becomes JSON.
        Self { words: serde_json::to_string(&Reply { job, answer }).unwrap_or_default(), bytes }
    }

    /// The reply again; `None` when it cannot be read.
    pub fn opened(self) -> Option<Reply> {
        let mut reply: Reply = serde_json::from_str(&self.words).ok()?;
        if let (Some(room), Some(bytes)) = (reply.answer.bytes(), self.bytes) {
            *room = bytes;
        }
        Some(reply)
    }
}

impl Answer {
    /// Where the bytes of a file are.
    fn bytes(&mut self) -> Option<&mut Vec<u8>> {
        match self {
            Self::File { bytes } | Self::Pdf { bytes, .. } | Self::Forecast { bytes } => {
                Some(bytes)
            }
            Self::PhotoTraced(traced) => Some(&mut traced.pixels),
            Self::Findings(_)
            | Self::Progress { .. }
            | Self::Arranging(_)
            | Self::Arranged(_)
            | Self::Batching(_)
            | Self::Batched(_)
            | Self::Advised(_)
            | Self::FileRead(_)
            | Self::PaperFound(_)
            | Self::Told(_)
            | Self::Link(_)
            | Self::Refused(_) => None,
        }
    }

    /// Whether it is the last word on a job.
    pub const fn is_final(&self) -> bool {
        !matches!(self, Self::Progress { .. } | Self::Arranging(_) | Self::Batching(_))
    }
}

objects!(Reply);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_travels_beside_its_text_and_comes_out_whole() {
        let pdf = Answer::Pdf { bytes: vec![37, 80, 68, 70], replaced: vec!["\u{3b1}".into()] };
        let parcel = Parcel::of(3, pdf.clone());
        assert!(!parcel.words.contains("37"), "{}", parcel.words);
        assert_eq!(parcel.opened(), Some(Reply { job: 3, answer: pdf }));
    }

    #[test]
    fn an_answer_in_words_has_no_bytes_and_what_is_no_reply_does_not_open() {
        let parcel = Parcel::of(4, Answer::Link("text".into()));
        assert_eq!(parcel.bytes, None);
        assert_eq!(parcel.opened(), Some(Reply { job: 4, answer: Answer::Link("text".into()) }));
        assert_eq!(Parcel { words: "not a reply".into(), bytes: Some(vec![1]) }.opened(), None);
    }
}
