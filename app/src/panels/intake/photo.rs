//! A photograph on its way in: its paper found, its perspective taken off, what lies on it traced and added.

use std::sync::Arc;

use engine::intake::photo::parallax;
use engine::units::{Length, LengthStyle};
use works::{
    Answer, Ask, Corners, FindPaper, PaperFound, PhotoPaper, PhotoTraced, Stroke, TracePhoto,
};

use super::coming::Coming;
use super::picks::{HeightFrom, Pick};
use crate::panels::change::{say_done, say_refused};
use crate::platform::{Photo, PickedFile, download, open_photo};
use crate::reactive::{Local, RwSignal};
use crate::state::Store;

/// Straight pieces that all strokes together may have; the tracing pays for each.
pub(super) const MOST_PIECES: usize = 300;

/// What the person is at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Step {
    /// The corners of the paper.
    Corners,
    /// The outlines on it.
    Outlines,
}

/// The paper seen straight from above: pixels in a row, rows, and four bytes for each.
pub(super) type Straight = ([u32; 2], Vec<u8>);

/// A photograph on its way in; cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PhotoIntake {
    /// The dialog, the work, and what is chosen.
    pub(super) coming: Coming,
    /// The decoded picture.
    pub(super) photo: RwSignal<Local<Option<Photo>>>,
    /// What the person is at.
    pub(super) step: RwSignal<Step>,
    /// What the mold lies on.
    pub(super) paper: RwSignal<PhotoPaper>,
    /// Where its corners are.
    pub(super) corners: RwSignal<Corners>,
    /// How far what was found strayed, in pixels; none once a corner was set by hand.
    stray: RwSignal<Option<f64>>,
    /// What there is to say about the picture or its paper.
    pub(super) told: RwSignal<Vec<String>>,
    /// What was traced last.
    pub(super) traced: RwSignal<Option<Arc<PhotoTraced>>>,
    /// The paper seen straight from above.
    pub(super) straight: RwSignal<Option<Straight>>,
    /// How dark the edge is, when the person says so.
    pub(super) threshold: RwSignal<Option<f64>>,
    /// What is painted out.
    pub(super) strokes: RwSignal<Vec<Stroke>>,
}

impl PhotoIntake {
    pub(super) fn new(store: Store) -> Self {
        let intake = Self {
            coming: Coming::new(store),
            photo: RwSignal::new(Local::new(None)),
            step: RwSignal::new(Step::Corners),
            paper: RwSignal::new(PhotoPaper::A4),
            corners: RwSignal::new([[0.0; 2]; 4]),
            stray: RwSignal::new(None),
            told: RwSignal::new(Vec::new()),
            traced: RwSignal::new(None),
            straight: RwSignal::new(None),
            threshold: RwSignal::new(None),
            strokes: RwSignal::new(Vec::new()),
        };
        intake.coming.when_closed(move || intake.let_go());
        intake
    }

    /// Takes a photograph in, in place of one that is on its way.
    pub(super) fn begin(self, file: PickedFile) {
        self.let_go();
        let style = self.coming.store.peek(|session| session.plan().settings.lengths);
        self.paper.set(usual_paper(style));
        self.coming.open(file.name(), "Opening the picture");
        open_photo(file, move |photo| match photo {
            _ if !self.coming.is_open.get_untracked() => {}
            Ok(photo) => self.opened(photo),
            Err(words) => self.coming.fail(words),
        });
    }

    fn opened(self, photo: Photo) {
        self.stray.set(None);
        self.corners.set(usual_corners(photo.width, photo.height));
        if let Some((width, height)) = photo.shrunk_from {
            let Photo { width: now_width, height: now_height, .. } = photo;
            self.told.set(vec![format!(
                "The picture has {width} x {height} pixels; it is traced as {now_width} x {now_height}."
            )]);
        }
        self.photo.set(Local::new(Some(photo)));
        self.find();
    }

    /// Looks for the paper.
    pub(super) fn find(self) {
        let size = self.photo.with_untracked(|photo| photo.as_ref().map(|p| (p.width, p.height)));
        let Some((width, height)) = size else { return };
        self.ask(Ask::FindPaper(FindPaper { width, height }), "Looking for the paper");
    }

    /// Traces with the corners, the threshold and the strokes as they are.
    pub(super) fn trace(self) {
        let size = self.photo.with_untracked(|photo| photo.as_ref().map(|p| (p.width, p.height)));
        let Some((width, height)) = size else { return };
        let has_picture = self.straight.with_untracked(Option::is_none);
        let ask = TracePhoto {
            width,
            height,
            paper: self.paper.get_untracked(),
            corners: self.corners.get_untracked(),
            stray: self.stray.get_untracked(),
            threshold: self.threshold.get_untracked(),
            strokes: self.strokes.get_untracked(),
            has_picture,
        };
        self.ask(Ask::TracePhoto(ask), "Tracing");
    }

    fn ask(self, ask: Ask, words: &'static str) {
        self.coming.refused.set(None);
        let pixels = self.photo.with_untracked(|p| p.as_ref().map(|photo| photo.pixels.clone()));
        self.coming.ask(ask, pixels, words, move |answer| self.hear(answer));
    }

    fn hear(self, answer: Answer) {
        match answer {
            Answer::PaperFound(PaperFound { corners, card, stray }) => {
                self.coming.rest();
                self.corners.set(corners);
                self.stray.set(Some(stray));
                let words = match card {
                    Some(card) => {
                        self.paper.set(card);
                        "The marks of a photo card are found. Trace what lies on it."
                    }
                    None => {
                        self.paper.set(plain(self.paper.get_untracked()));
                        "The sheet is found. Check its size and corners, then trace."
                    }
                };
                self.coming.voice.say(words);
            }
            Answer::PhotoTraced(traced) => self.arrived(*traced),
            Answer::Refused(words) => {
                self.coming.rest();
                self.coming.refuse(works::sentence(&words));
            }
            // The rest answers what others ask.
            _ => {}
        }
    }

    fn arrived(self, mut traced: PhotoTraced) {
        self.coming.rest();
        if let Some(size) = traced.picture {
            self.straight.set(Some((size, std::mem::take(&mut traced.pixels))));
        }
        self.coming.picks.renew(traced.shapes.clone(), HeightFrom::Person);
        self.coming.voice.say(&super::file::found_words(traced.shapes.len(), false));
        self.traced.set(Some(Arc::new(traced)));
        self.step.set(Step::Outlines);
    }

    /// Moves a corner, within the picture.
    pub(super) fn move_corner(self, at: usize, [x, y]: [f64; 2]) {
        let size = self.photo.with_untracked(|p| p.as_ref().map(|p| (p.width, p.height)));
        let Some((width, height)) = size else { return };
        let place = [x.clamp(0.0, f64::from(width)), y.clamp(0.0, f64::from(height))];
        self.stray.set(None);
        self.corners.update(|corners| {
            if let Some(corner) = corners.get_mut(at) {
                *corner = place;
            }
        });
    }

    /// Goes back to the corners; what was traced is traced anew afterwards.
    pub(super) fn back(self) {
        self.coming.drop_job();
        self.coming.rest();
        self.straight.set(None);
        self.traced.set(None);
        self.strokes.set(Vec::new());
        self.threshold.set(None);
        self.coming.refused.set(None);
        self.step.set(Step::Corners);
    }

    /// Paints one more stroke out and traces again; a stroke too many is told.
    pub(super) fn paint(self, stroke: Stroke) {
        let pieces = |strokes: &[Stroke]| strokes.iter().map(|s| s.places.len()).sum::<usize>();
        let n = self.strokes.with_untracked(|strokes| pieces(strokes)) + stroke.places.len();
        if n > MOST_PIECES {
            let words = "That is more paint than can be kept: undo a stroke, or use a wider brush.";
            self.coming.refuse(words.into());
            return;
        }
        self.strokes.update(|strokes| strokes.push(stroke));
        self.trace();
    }

    /// Takes the last stroke back.
    pub(super) fn undo_stroke(self) {
        let taken = self.strokes.try_update(Vec::pop).flatten();
        if taken.is_some() {
            self.trace();
        }
    }

    /// Adds what is chosen, and closes the dialog.
    pub(super) fn add(self) {
        self.coming.add(&format!("a photo, {}", self.coming.name.get_untracked()));
    }

    /// What the height of the chosen molds does to their outlines, when it matters.
    pub(super) fn parallax_words(self, style: LengthStyle) -> Option<String> {
        let traced = self.traced.get()?;
        let picks = self.coming.picks.0.get();
        let chosen = picks.iter().filter(|pick| pick.is_chosen);
        let shifts = chosen.map(|pick| (stands_out(pick, &traced), pick));
        let (shift, pick) = shifts.max_by(|((_, a), _), ((_, b), _)| a.total_cmp(b))?;
        let (least, most) = (Length::mm(shift.0), Length::mm(shift.1));
        if most <= Length::mm(traced.error) {
            return None;
        }
        let range = match (style.show(least), style.show(most)) {
            (least, most) if least == most => most,
            (least, most) => format!("{least} to {most}"),
        };
        let (name, height) = (&pick.name, style.show(pick.height));
        Some(format!(
            "{name} is {height} tall: from where the camera stood, its top edge shows {range} outside its base at its farthest. \
             For a true outline draw round its base with a pencil, take it off, and photograph the drawing."
        ))
    }

    /// Has the photo card made as a PDF and hands it over.
    pub(super) fn print_card(self) {
        let paper = self.paper.get_untracked();
        let hand_over = move |answer| match answer {
            Answer::Pdf { bytes, .. } => {
                let name = format!("Photo card {}.pdf", paper_name(paper));
                match download(&name, "application/pdf", &bytes) {
                    Ok(()) => {
                        say_done(self.coming.store, format!("{name} is made. Print it at 100 %."));
                    }
                    Err(words) => say_refused(self.coming.store, words),
                }
            }
            Answer::Refused(words) => {
                say_refused(self.coming.store, format!("No PDF was made: {words}."));
            }
            _ => {}
        };
        // Whether it is made is said when it is; nothing waits for it.
        let _ = self.coming.jobs.start(Ask::PhotoCard(paper), hand_over);
    }

    fn let_go(self) {
        self.back();
        self.photo.set(Local::new(None));
        self.told.set(Vec::new());
        self.coming.let_go();
    }
}

/// How far the top edge of a mold may stand out at most, in millimetres: under the highest camera it may have been and
/// under the lowest.
fn stands_out(pick: &Pick, traced: &PhotoTraced) -> (f64, f64) {
    let [x0, y0] = traced.below;
    let far = |&[x, y]: &[f64; 2]| ((x - x0) * (x - x0) + (y - y0) * (y - y0)).sqrt();
    let reach = pick.shape.picture.iter().flatten().map(far).fold(0.0, f64::max);
    let [low, high] = traced.camera;
    let under = |camera| parallax(pick.height, Length::mm(reach), Length::mm(camera)).to_mm();
    (under(high), under(low))
}

/// The plain sheet of the same size.
const fn plain(paper: PhotoPaper) -> PhotoPaper {
    match paper {
        PhotoPaper::A4 | PhotoPaper::CardA4 => PhotoPaper::A4,
        PhotoPaper::Letter | PhotoPaper::CardLetter => PhotoPaper::Letter,
    }
}

/// What the paper of a card is called.
pub(super) const fn paper_name(paper: PhotoPaper) -> &'static str {
    match paper {
        PhotoPaper::A4 | PhotoPaper::CardA4 => "A4",
        PhotoPaper::Letter | PhotoPaper::CardLetter => "Letter",
    }
}

/// The paper that is at hand where lengths are in this unit (common practice).
const fn usual_paper(style: LengthStyle) -> PhotoPaper {
    match style {
        LengthStyle::Millimetres => PhotoPaper::A4,
        LengthStyle::DecimalInches | LengthStyle::FractionInches => PhotoPaper::Letter,
    }
}

/// Where corners stand until they are found or set.
fn usual_corners(width: u32, height: u32) -> Corners {
    let (w, h) = (f64::from(width), f64::from(height));
    [[0.1 * w, 0.1 * h], [0.9 * w, 0.1 * h], [0.9 * w, 0.9 * h], [0.1 * w, 0.9 * h]]
}

#[cfg(test)]
mod tests {
    use super::*;
    use works::Shape;

    #[test]
    fn a_tall_mold_at_the_edge_of_the_paper_stands_out_the_most() {
        let shape = Shape {
            name: "Rock".into(),
            at: "the file".into(),
            width: 20.0,
            depth: 20.0,
            n_holes: 0,
            picture: vec![vec![[165.0, 148.5], [185.0, 148.5], [175.0, 158.5]]],
            mold: None,
            says: Vec::new(),
        };
        let traced = PhotoTraced {
            shapes: Vec::new(),
            paper: [210.0, 297.0],
            picture: None,
            threshold: 0.4,
            error: 0.2,
            simplified: 0.1,
            camera: [440.0, 840.0],
            below: [105.0, 148.5],
            problems: Vec::new(),
            pixels: Vec::new(),
        };
        let pick = |height| Pick {
            shape: Arc::new(shape.clone()),
            is_chosen: true,
            name: "Rock".into(),
            height: Length::mm(height),
        };
        // 80 mm from below the camera, 40 mm tall under a camera at 840 or 440 mm: 80 * 40 / 800 and 80 * 40 / 400.
        let (least, most) = stands_out(&pick(40.0), &traced);
        assert!((least - 4.0).abs() < 1e-9 && (most - 8.0).abs() < 1e-9);
        assert!(stands_out(&pick(0.5), &traced).1 < 0.2);
    }
}
