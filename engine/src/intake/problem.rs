//! What went wrong in reading a foreign file, as data and in words, each with its place and what was done.

use std::collections::BTreeMap;
use std::fmt;

use crate::geometry::Point;
use crate::units::{Length, LengthStyle};

/// Problems listed of one file; the rest are counted.
const MOST_LISTED: usize = 100;

/// Where in a file something stands.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// The file as a whole.
    File,
    /// A line of a text, from 1.
    Line(usize),
    /// An element or entity of a drawing, with the line that it begins on.
    Element {
        /// What it is called, such as `path` or `LINE`.
        name: String,
        /// From 1.
        line: usize,
    },
    /// A triangle of a mesh, from 1 in the order of the file.
    Triangle(usize),
    /// A place on the paper of a photograph, in whole millimetres from its lower left corner.
    Paper {
        /// To the right.
        across: i32,
        /// Upwards.
        up: i32,
    },
}

impl Place {
    /// A place on the paper.
    pub(super) fn on_paper(place: Point) -> Self {
        #[expect(clippy::cast_possible_truncation, reason = "a paper is some hundred millimetres")]
        let whole = |mm: f64| mm.round().clamp(-1e6, 1e6) as i32;
        Self::Paper { across: whole(place.x), up: whole(place.y) }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File => f.write_str("the file"),
            Self::Line(line) => write!(f, "line {line}"),
            Self::Element { name, line } => write!(f, "{name} (line {line})"),
            Self::Triangle(number) => write!(f, "triangle {number}"),
            Self::Paper { across, up } => {
                write!(f, "{across} mm across and {up} mm up the paper")
            }
        }
    }
}

/// One thing that was wrong with a file, where, and what was done about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Where; the first place when it is about several.
    pub at: Place,
    /// What, with the values, and what was done.
    pub trouble: Trouble,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.at, self.trouble)
    }
}

/// What can be wrong with a file; the words say what was done and what a person can do.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Trouble {
    /// More bytes than are read.
    #[error(
        "{bytes} bytes are more than the {most} that are read; nothing was read: save it with less in it"
    )]
    TooLarge {
        /// As given.
        bytes: usize,
        /// The most that are read.
        most: usize,
    },
    /// No file of the kind.
    #[error("it cannot be read as {kind} ({what}); nothing was read from there on")]
    Unreadable {
        /// The kind of file.
        kind: &'static str,
        /// What the reader expected.
        what: String,
    },
    /// More of something than is read.
    #[error("more than {most} {what}; the rest was left out: draw less, or split the file")]
    TooMany {
        /// Of what.
        what: &'static str,
        /// The most that are read.
        most: usize,
    },
    /// A kind of content that makes no outline.
    #[error("{n} of {what} make no outline and were left out{}", hint(what))]
    Skipped {
        /// The kind of content.
        what: String,
        /// How many there are.
        n: usize,
    },
    /// Content that the drawing hides.
    #[error("{n} hidden ({why}) and left out: show it in the drawing program to use it")]
    Hidden {
        /// What hides it.
        why: String,
        /// How many there are.
        n: usize,
    },
    /// A value that cannot be read.
    #[error("the value of {what} cannot be read (\"{text}\"); {done}")]
    BadValue {
        /// Which value.
        what: String,
        /// As it stands there, cut short.
        text: String,
        /// What was done.
        done: &'static str,
    },
    /// A reference to something that is not there, or to itself.
    #[error("it refers to \"{what}\", which is not there or refers back to it; left out")]
    NoTarget {
        /// What it refers to.
        what: String,
    },
    /// An outline that does not end where it begins.
    #[error("the line is open by {}; left out: close it in the drawing program", mm(*gap))]
    Open {
        /// From its end to its beginning.
        gap: Length,
    },
    /// Loose ends that were joined.
    #[error("ends up to {} apart were joined", mm(*gap))]
    Joined {
        /// The widest gap of the outline.
        gap: Length,
    },
    /// A filled but open line, which is closed as filling closes it.
    #[error("the filled line is open by {}; it was closed with a straight side", mm(*gap))]
    ClosedByFill {
        /// From its end to its beginning.
        gap: Length,
    },
    /// The same outline again.
    #[error("the same outline stands there {n} times more; it was taken once")]
    Doubled {
        /// How often more.
        n: usize,
    },
    /// An outline that bounds next to nothing.
    #[error("{n} closed lines bound next to no surface and were left out")]
    NoSurface {
        /// How many.
        n: usize,
    },
    /// An outline that meets itself.
    #[error(
        "the outline crosses itself; it was kept as drawn: correct it, or the rules will stop the pull"
    )]
    SelfCrossing,
    /// Two outlines that cross.
    #[error("the outline crosses {other}; both were kept as outlines of their own")]
    Crossing {
        /// The other outline's place.
        other: Place,
    },
    /// A coordinate that is no number or is too far out.
    #[error("a corner is not a number or lies beyond {}; left out: check the unit", mm(*most))]
    OutOfRange {
        /// The farthest coordinate read.
        most: Length,
    },
    /// Something that changes how the drawing looks and is not applied.
    #[error("{n} of {what} are not applied; the outline is taken without")]
    NotApplied {
        /// What.
        what: String,
        /// How many there are.
        n: usize,
    },
    /// A curve given by the points it passes only.
    #[error("the curve has no control points; its {n} points were joined by straight sides")]
    Straightened {
        /// How many points.
        n: usize,
    },
    /// Characters of another encoding.
    #[error("some characters are not UTF-8; names may read oddly, outlines are not affected")]
    Encoding,
    /// A count that does not fit what is there.
    #[error("{what}; as many were read as are there")]
    Miscounted {
        /// What it says and what there is.
        what: String,
    },
    /// Nothing in the file makes a mesh.
    #[error("no triangle was found: export the mold as a mesh again")]
    NoTriangle,
    /// A surface with gaps or with triangles turned inside out.
    #[error(
        "the surface has gaps or faces turned inside out; areas are estimates: repair the mesh"
    )]
    NotWatertight,
    /// So many edges cross that the silhouette follows a grid.
    #[error("too many faces cross each other; the outline is true to {} only: repair the mesh", mm(*within))]
    Coarse {
        /// How far the outline may stray.
        within: Length,
    },
    /// A size that no mold has.
    #[error("the mesh is {} long, which no mold is: check the unit", mm(*longest))]
    OddSize {
        /// Its longest side.
        longest: Length,
    },
    /// Spots too small for a mold.
    #[error("{n} spots smaller than 25 mm² were left out")]
    Specks {
        /// How many.
        n: usize,
    },
    /// A line drawn round a mold.
    #[error(
        "a drawn line {} wide; its inner edge was taken for the mold's edge, as a pencil runs round the outside: photograph a finer line for a truer outline", tenths(*width)
    )]
    DrawnLine {
        /// How wide it is.
        width: Length,
    },
    /// A line drawn within a drawn line.
    #[error(
        "a line {} wide drawn within another; its outer edge was taken for the edge of a hole, as a pencil runs round the inside of a hole: paint it out if there is none", tenths(*width)
    )]
    DrawnHole {
        /// How wide it is.
        width: Length,
    },
    /// A line that is not closed.
    #[error(
        "a line {} wide and about {} long encloses nothing and was left out: close the line on the paper, or choose another threshold", tenths(*width), whole(*long)
    )]
    OpenLine {
        /// How wide it is.
        width: Length,
        /// How long.
        long: Length,
    },
    /// What was traced reaches the rim of the paper.
    #[error(
        "the mold reaches the edge of the paper and may be cut off: use a larger sheet, or mask the edge"
    )]
    BeyondPaper,
    /// Nothing in the file makes an outline.
    #[error("no closed outline was found: draw the mold's edge as one closed line")]
    NoOutline,
    /// Problems beyond those that are listed.
    #[error("{n} more problems are not listed")]
    More {
        /// How many.
        n: usize,
    },
}

/// What a person can do about content that was left out.
fn hint(what: &str) -> &'static str {
    match what {
        "text" | "TEXT" | "MTEXT" => ": turn text into paths to use it",
        "image" | "IMAGE" => ": trace the picture to use it",
        _ => "",
    }
}

fn mm(length: Length) -> String {
    LengthStyle::Millimetres.show_exact(length)
}

/// To a tenth of a millimetre, which is as well as a line's width is known.
fn tenths(length: Length) -> String {
    mm(Length::mm((10.0 * length.to_mm()).round() / 10.0))
}

fn whole(length: Length) -> String {
    mm(Length::mm(length.to_mm().round()))
}

/// Problems as they are met, bounded, with like ones counted together.
#[derive(Debug, Default)]
pub(super) struct Problems {
    listed: Vec<Problem>,
    n_more: usize,
    counted: BTreeMap<(Counted, String), (Place, usize)>,
}

/// Kinds of trouble that are counted rather than listed one by one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Counted {
    Skipped,
    Hidden,
    NotApplied,
    NoSurface,
}

impl Problems {
    /// Lists one more, or counts it when there are enough.
    pub(super) fn push(&mut self, at: Place, trouble: Trouble) {
        if self.listed.len() < MOST_LISTED {
            self.listed.push(Problem { at, trouble });
        } else {
            self.n_more += 1;
        }
    }

    /// Counts one more of a kind; the first place is kept. Kinds beyond those that are listed are not told apart.
    pub(super) fn count(&mut self, kind: Counted, what: &str, at: &Place) {
        let is_known = self.counted.contains_key(&(kind, what.to_owned()));
        let what = if is_known || self.counted.len() < MOST_LISTED {
            shortened(what)
        } else {
            "other".into()
        };
        self.counted.entry((kind, what)).or_insert_with(|| (at.clone(), 0)).1 += 1;
    }

    /// All of them.
    pub(super) fn into_list(self) -> Vec<Problem> {
        let mut list = self.listed;
        for ((kind, what), (at, n)) in self.counted {
            let trouble = match kind {
                Counted::Skipped => Trouble::Skipped { what, n },
                Counted::Hidden => Trouble::Hidden { why: what, n },
                Counted::NotApplied => Trouble::NotApplied { what, n },
                Counted::NoSurface => Trouble::NoSurface { n },
            };
            list.push(Problem { at, trouble });
        }
        if self.n_more > 0 {
            list.push(Problem { at: Place::File, trouble: Trouble::More { n: self.n_more } });
        }
        list
    }
}

/// A piece of foreign text short enough to be told, without control characters.
pub(super) fn shortened(text: &str) -> String {
    let mut clean = text.chars().filter(|c| !c.is_control());
    let short: String = clean.by_ref().take(40).collect();
    if clean.next().is_some() { format!("{short}…") } else { short }
}
