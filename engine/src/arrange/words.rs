//! An answer in words: a title, what there is to say, and the ways out when not all fit.

use super::{
    Answer, LeaveOut, Measures, MoldCopy, Most, Outcome, SmallerFactor, TooFull, TurnedBlank,
};
use crate::edit::Edit;
use crate::plan::Plan;
use crate::units::Length;

/// Something that would help, said and ready to be done.
#[derive(Clone, Debug, PartialEq)]
pub struct WayOut<'a> {
    /// What it is and what comes of it, in whole sentences.
    pub words: String,
    /// What does it.
    pub edit: &'a Edit,
}

impl Answer {
    /// A few words, without a full stop: "All 5 fit".
    #[must_use]
    pub fn title(&self) -> String {
        match &self.outcome {
            Outcome::Fits { placed, .. } => match placed.len() {
                1 => "It fits".to_owned(),
                n => format!("All {n} fit"),
            },
            Outcome::TooFull(_) => "They do not all fit".to_owned(),
            Outcome::Most(most) => {
                let of = most.placed.len() + most.left_out.len();
                format!("{} of {of} go on", most.placed.len())
            }
            Outcome::Spread { .. } if self.edit.is_some() => "Spread".to_owned(),
            Outcome::Spread { .. } => "Spread as well as it was found to be".to_owned(),
            Outcome::Tidied { moved } => match moved.len() {
                0 => "Nothing to tidy".to_owned(),
                1 => "1 mold moved".to_owned(),
                n => format!("{n} molds moved"),
            },
        }
    }

    /// What there is to say, in whole sentences, one an entry; `plan` must be the one that was asked about.
    #[must_use]
    pub fn sentences(&self, plan: &Plan) -> Vec<String> {
        let voice = Voice { plan };
        let mut told = match &self.outcome {
            Outcome::Fits { spare, .. } => vec![voice.fits(self.edit.is_some(), *spare)],
            Outcome::TooFull(full) => voice.too_full(full),
            Outcome::Most(most) => voice.most(most),
            Outcome::Spread { before, after } => voice.spread(self.edit.is_some(), before, after),
            Outcome::Tidied { moved } => {
                voice.tidied(&moved.iter().map(|(_, by)| *by).collect::<Vec<_>>())
            }
        };
        if !self.unsound.is_empty() {
            let names = voice.names(&self.unsound);
            told.push(format!("Left aside, because the outline bounds no surface: {names}."));
        }
        if !self.left.is_empty() {
            told.push(match self.left.len() {
                1 => "One finding among molds that stay remains.".to_owned(),
                n => format!("{n} findings among molds that stay remain."),
            });
        }
        if self.is_stopped {
            told.push("The search was stopped; with more time it may do better.".to_owned());
        }
        told
    }

    /// What would help when not all fit, the least change first; nothing when all do.
    #[must_use]
    pub fn ways_out<'a>(&'a self, plan: &Plan) -> Vec<WayOut<'a>> {
        let Outcome::TooFull(full) = &self.outcome else { return Vec::new() };
        let voice = Voice { plan };
        let turned = match &full.turned_blank {
            TurnedBlank::Fits { edit } => {
                let words = "Turn the blank and its frame by a quarter: all fit. The grain of the sheet then runs \
                             the other way.";
                Some(WayOut { words: words.to_owned(), edit })
            }
            TurnedBlank::NotAsked | TurnedBlank::NoDifference | TurnedBlank::DoesNotHelp => None,
        };
        let left_out = full.leave_out.as_ref().map(|LeaveOut { copies, edit }| {
            let words = format!("Leave out {}: the rest fits.", voice.names(copies));
            WayOut { words, edit }
        });
        let lower = match &full.factor {
            SmallerFactor::Fits { factor, edit } => {
                Some(WayOut { words: voice.lower(*factor), edit })
            }
            SmallerFactor::NotAsked | SmallerFactor::NoneFits { .. } => None,
        };
        [turned, left_out, lower].into_iter().flatten().collect()
    }
}

/// The plan that names and lengths are spoken of.
struct Voice<'a> {
    plan: &'a Plan,
}

impl Voice<'_> {
    fn length(&self, length: Length) -> String {
        self.plan.settings.lengths.show(length)
    }

    /// Names in a row; a mold of which several exist with the number of the copy.
    fn names(&self, copies: &[MoldCopy]) -> String {
        let names = copies.iter().map(|(id, copy)| match self.plan.molds.get(id) {
            Some(mold) if mold.copies > 1 => format!("{} #{}", mold.name, copy.0),
            Some(mold) => mold.name.clone(),
            None => id.to_string(),
        });
        names.collect::<Vec<_>>().join(", ")
    }

    fn fits(&self, is_changed: bool, spare: Length) -> String {
        let begin = if is_changed { "Each keeps" } else { "They stand well already: each keeps" };
        if !spare.is_finite() {
            return format!("{begin} what the rules ask.");
        }
        let spare = self.length(spare.max(Length::ZERO));
        format!("{begin} its clearance and its margin; the smallest gap is {spare} above the rule.")
    }

    fn too_full(&self, full: &TooFull) -> Vec<String> {
        let mut told = Vec::new();
        match full.too_large.as_slice() {
            [] => {}
            [_] => told.push(format!(
                "{} does not fit the opening with its margin, not even alone: use a larger frame or allow it to be \
                 turned.",
                self.names(&full.too_large)
            )),
            several => told.push(format!(
                "These do not fit the opening with their margins, not even alone: {}.",
                self.names(several)
            )),
        }
        match full.lacking {
            Some(lacking) => told.push(format!(
                "The best try was still {} short, all gaps together.",
                self.length(lacking)
            )),
            None if full.too_large.is_empty() => {
                told.push(
                    "With their clearances they need more room than the blank has.".to_owned(),
                );
            }
            None => {}
        }
        if let SmallerFactor::NoneFits { least } = full.factor {
            told.push(format!("Not even a clearance factor of {least} was seen to make room."));
        }
        if full.turned_blank == TurnedBlank::DoesNotHelp {
            told.push("Turning the blank by a quarter was not seen to help.".to_owned());
        }
        if full.leave_out.is_none() {
            told.push(
                "What to leave out was not found: choose fewer, or allow more time.".to_owned(),
            );
        }
        told
    }

    fn lower(&self, factor: f64) -> String {
        let now = self.plan.settings.clearance.factor;
        let risk = if factor < 1.0 {
            "Webs are to be expected."
        } else {
            "The sheet between them gets thinner and may web."
        };
        format!("Lower the clearance factor from {now} to {factor}: all fit. {risk}")
    }

    fn most(&self, most: &Most) -> Vec<String> {
        let mut told = Vec::new();
        if most.left_out.is_empty() {
            told.push("All that were chosen are on the blank.".to_owned());
            return told;
        }
        if (most.worth - f64::from(u32::try_from(most.placed.len()).unwrap_or(u32::MAX))).abs()
            > 1e-9
        {
            told.push(format!(
                "Together they are worth {}.",
                libm::round(most.worth * 100.0) / 100.0
            ));
        }
        told.push(format!("Left out: {}.", self.names(&most.left_out)));
        told.push(if most.is_all_tried {
            "Every set worth more was tried, and none was seen to fit.".to_owned()
        } else {
            "Not every set worth more was tried.".to_owned()
        });
        told
    }

    fn spread(&self, is_changed: bool, before: &Measures, after: &Measures) -> Vec<String> {
        if !is_changed {
            let begin = "Nothing better was found, so nothing is moved.";
            return vec![begin.to_owned(), self.spare(after.spare)];
        }
        let mut told = vec![if before.spare.is_finite() {
            format!(
                "The smallest gap above the rule was {} and is now {}.",
                self.length(before.spare.max(Length::ZERO)),
                self.length(after.spare.max(Length::ZERO))
            )
        } else {
            self.spare(after.spare)
        }];
        let nearer = before.tall_from_middle - after.tall_from_middle;
        if nearer > Length::mm(0.5) {
            told.push(format!("Tall molds stand {} nearer to the middle.", self.length(nearer)));
        }
        let degrees =
            [before, after].map(|m| libm::round(m.out_of_square.to_degrees() * 10.0) / 10.0);
        if degrees[1] < degrees[0] {
            told.push(format!(
                "Long walls were {} degrees off the frame in the mean and are {}.",
                degrees[0], degrees[1]
            ));
        }
        if after.facing < before.facing - 0.01 {
            told.push("Long faces look at one another less.".to_owned());
        }
        told
    }

    fn spare(&self, spare: Length) -> String {
        if spare.is_finite() {
            format!("The smallest gap is {} above the rule.", self.length(spare.max(Length::ZERO)))
        } else {
            "No gap is asked of it.".to_owned()
        }
    }

    fn tidied(&self, moves: &[Length]) -> Vec<String> {
        let Some(farthest) = moves.iter().copied().reduce(Length::max) else {
            return vec!["Everything that may be moved stands as the rules ask.".to_owned()];
        };
        let sum = moves.iter().copied().sum();
        vec![format!(
            "Moved {} altogether, none by more than {}; nothing else was touched.",
            self.length(sum),
            self.length(farthest)
        )]
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{block, request, standing};
    use super::super::{Aims, Intent, arrange};
    use super::*;
    use crate::units::LengthStyle;

    fn said(plan: &Plan, intent: Intent) -> (String, Vec<String>) {
        let answer = arrange(plan, &request(intent), &mut ()).expect("makes sense");
        (answer.title(), answer.sentences(plan))
    }

    #[test]
    fn a_tidying_says_how_far_in_the_user_s_units() {
        let places = [(150.0, 150.0, 0.0), (217.0, 150.0, 0.0)];
        let mut plan = standing(&places.map(|at| (block(40.0, 20.0), at)));
        let (title, told) = said(&plan, Intent::Tidy);
        assert_eq!(title, "2 molds moved");
        assert_eq!(
            told,
            ["Moved 8.0 mm altogether, none by more than 4.0 mm; nothing else was touched."]
        );
        plan.settings.lengths = LengthStyle::FractionInches;
        let (_, told) = said(&plan, Intent::Tidy);
        assert_eq!(
            told,
            ["Moved 5/16 in altogether, none by more than 5/32 in; nothing else was touched."]
        );
    }

    #[test]
    fn what_stands_well_is_said_to() {
        let plan = standing(&[(block(40.0, 20.0), (200.0, 150.0, 0.0))]);
        let (title, told) = said(&plan, Intent::Fit);
        assert_eq!(title, "It fits");
        let words = "They stand well already: each keeps its clearance and its margin; the smallest gap is 90.0 mm \
                     above the rule.";
        assert_eq!(told, [words]);
        assert_eq!(said(&plan, Intent::Tidy).0, "Nothing to tidy");
        let (title, told) = said(&plan, Intent::Spread(Aims::default()));
        assert_eq!(title, "Spread as well as it was found to be");
        assert!(told[0].starts_with("Nothing better was found"), "{told:?}");
    }

    #[test]
    fn a_mold_too_large_for_the_opening_is_named() {
        let plan = standing(&[(block(340.0, 20.0), (200.0, 150.0, 0.0))]);
        let (title, told) = said(&plan, Intent::Fit);
        assert_eq!(title, "They do not all fit");
        assert!(told[0].starts_with("Limpet does not fit the opening with its margin"), "{told:?}");
    }
}
