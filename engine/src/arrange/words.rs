//! An answer in words: a title, what there is to say, and the ways out when not all fit.

use super::{
    Answer, LeaveOut, Measures, MoldCopy, Most, Outcome, SmallerFactor, TooFull, TurnedBlank,
};
use crate::edit::Edit;
use crate::plan::Plan;
use crate::rules::{Finding, Rule};
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
            Outcome::Most(most) if most.placed.is_empty() => {
                format!("None of {} goes on", most.left_out.len())
            }
            Outcome::Most(most) => {
                let of = most.placed.len() + most.left_out.len();
                format!("{} of {of} go on", most.placed.len())
            }
            Outcome::Spread { .. } if self.edit.is_some() => "Spread".to_owned(),
            Outcome::Spread { .. } => "Spread as well as it was found to be".to_owned(),
            Outcome::Tidied { moved } => match moved.len() {
                0 if self.left.iter().any(is_of_copies) => "Nothing to move".to_owned(),
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
            Outcome::Most(most) => voice.most(self.edit.is_some(), most),
            Outcome::Spread { before, after } => voice.spread(self.edit.is_some(), before, after),
            Outcome::Tidied { moved } => {
                voice.tidied(&moved.iter().map(|(_, by)| *by).collect::<Vec<_>>(), &self.left)
            }
        };
        if !self.unsound.is_empty() {
            let names = voice.names(&self.unsound);
            told.push(format!("Left aside, because the outline bounds no surface: {names}."));
        }
        told.extend(left(&self.left));
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
            TurnedBlank::NotAsked
            | TurnedBlank::NoDifference
            | TurnedBlank::Held
            | TurnedBlank::DoesNotHelp => None,
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

/// Whether a finding is about more copies on the blank than exist.
fn is_of_copies(finding: &Finding) -> bool {
    finding.rule == Rule::Copies
}

/// What is said of the findings that a layout leaves.
fn left(left: &[Finding]) -> Vec<String> {
    let (copies, places): (Vec<&Finding>, Vec<&Finding>) =
        left.iter().partition(|finding| is_of_copies(finding));
    let copies = (!copies.is_empty()).then(|| {
        "More stand on the blank than exist: take one off, or say that more exist.".to_owned()
    });
    let places = match places.len() {
        0 => None,
        1 => Some("One finding among molds that stay remains.".to_owned()),
        n => Some(format!("{n} findings among molds that stay remain.")),
    };
    copies.into_iter().chain(places).collect()
}

/// What is said of a smaller factor where it is no way out.
fn factor_told(factor: &SmallerFactor) -> Option<String> {
    match factor {
        SmallerFactor::NotAsked => {
            let words = "A smaller clearance factor was not tried: the search ended before it.";
            Some(words.to_owned())
        }
        SmallerFactor::NoneFits { least } => {
            Some(format!("Not even a clearance factor of {least} was seen to make room."))
        }
        SmallerFactor::Fits { .. } => None,
    }
}

/// What is said of a quarter turn of the blank where it is no way out.
const fn blank_told(turned: &TurnedBlank) -> Option<&'static str> {
    match turned {
        TurnedBlank::NotAsked => {
            Some("Turning the blank by a quarter was not tried: the search ended before it.")
        }
        TurnedBlank::NoDifference => Some(
            "Turning the blank by a quarter makes no difference, since every mold may be turned.",
        ),
        TurnedBlank::Held => {
            Some("Turning the blank by a quarter was not tried: something on it stays where it is.")
        }
        TurnedBlank::DoesNotHelp => Some("Turning the blank by a quarter was not seen to help."),
        TurnedBlank::Fits { .. } => None,
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
        told.extend(factor_told(&full.factor));
        told.extend(blank_told(&full.turned_blank).map(str::to_owned));
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

    fn most(&self, is_changed: bool, most: &Most) -> Vec<String> {
        let mut told = Vec::new();
        if most.placed.is_empty() && !is_changed && !most.is_all_tried {
            told.push(
                "No layout was found that the rules have nothing against, so the plan stays as it is."
                    .to_owned(),
            );
            return told;
        }
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

    fn tidied(&self, moves: &[Length], left: &[Finding]) -> Vec<String> {
        let Some(farthest) = moves.iter().copied().reduce(Length::max) else {
            return vec![if left.is_empty() {
                "Everything that may be moved stands as the rules ask.".to_owned()
            } else {
                "Everything that may be moved stands where it may.".to_owned()
            }];
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
    use super::super::fixture::{PULL, block, request, standing};
    use super::super::{Aims, Intent, arrange};
    use super::*;
    use crate::plan::{CopyNumber, MoldId, PlacementId};
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

    fn answer(outcome: Outcome) -> Answer {
        let (unsound, left) = (Vec::new(), Vec::new());
        Answer { edit: None, outcome, unsound, left, is_stopped: false, steps: 1 }
    }

    fn too_full(factor: SmallerFactor, turned_blank: TurnedBlank) -> Answer {
        let (lacking, too_large, leave_out) = (Some(Length::mm(3.0)), Vec::new(), None);
        answer(Outcome::TooFull(Box::new(TooFull {
            lacking,
            too_large,
            leave_out,
            factor,
            turned_blank,
        })))
    }

    /// What is said of the factor and of the blank, in sentences and in ways out.
    fn of_factor_and_blank(factor: SmallerFactor, turned: TurnedBlank) -> Vec<String> {
        let plan = standing(&[(block(40.0, 20.0), (200.0, 150.0, 0.0))]);
        let answer = too_full(factor, turned);
        let ways = answer.ways_out(&plan).into_iter().map(|way| way.words);
        let said = answer.sentences(&plan).into_iter().chain(ways);
        said.filter(|words| words.contains("factor") || words.contains("blank by")).collect()
    }

    #[test]
    fn the_factor_is_spoken_of_whatever_came_of_it() {
        let edit = Edit::All(Vec::new());
        for (factor, words) in [
            (SmallerFactor::NotAsked, "A smaller clearance factor was not tried: "),
            (
                SmallerFactor::NoneFits { least: 0.5 },
                "Not even a clearance factor of 0.5 was seen to make room.",
            ),
            (
                SmallerFactor::Fits { factor: 1.2, edit: edit.clone() },
                "Lower the clearance factor from 1.75 to 1.2: all fit. ",
            ),
        ] {
            let said = of_factor_and_blank(factor, TurnedBlank::DoesNotHelp);
            assert_eq!(said.len(), 2, "{said:?}");
            assert!(said.iter().any(|one| one.starts_with(words)), "{words}: {said:?}");
        }
    }

    #[test]
    fn the_turned_blank_is_spoken_of_whatever_came_of_it() {
        let turn = "Turning the blank by a quarter ";
        for (turned, words) in [
            (TurnedBlank::NotAsked, format!("{turn}was not tried: the search ended before it.")),
            (
                TurnedBlank::NoDifference,
                format!("{turn}makes no difference, since every mold may be turned."),
            ),
            (TurnedBlank::Held, format!("{turn}was not tried: something on it stays where it is.")),
            (TurnedBlank::DoesNotHelp, format!("{turn}was not seen to help.")),
        ] {
            let said = of_factor_and_blank(SmallerFactor::NotAsked, turned);
            assert_eq!(said.len(), 2, "{said:?}");
            assert!(said.contains(&words), "{words}: {said:?}");
        }
        let plan = standing(&[(block(40.0, 20.0), (200.0, 150.0, 0.0))]);
        let fits = TurnedBlank::Fits { edit: Edit::All(Vec::new()) };
        let answer = too_full(SmallerFactor::NotAsked, fits);
        let ways: Vec<String> = answer.ways_out(&plan).into_iter().map(|way| way.words).collect();
        assert!(ways[0].starts_with("Turn the blank and its frame by a quarter: all fit."));
        assert!(answer.sentences(&plan).iter().all(|words| !words.starts_with(turn)));
    }

    #[test]
    fn without_a_layout_no_number_of_molds_is_said_to_go_on() {
        let plan = standing(&[(block(40.0, 20.0), (200.0, 150.0, 0.0))]);
        let left_out = vec![(MoldId(1), CopyNumber(1))];
        let most = Most { placed: Vec::new(), left_out, worth: 0.0, is_all_tried: false };
        let none = answer(Outcome::Most(most.clone()));
        assert_eq!(none.title(), "None of 1 goes on");
        let words =
            "No layout was found that the rules have nothing against, so the plan stays as it is.";
        assert_eq!(none.sentences(&plan), [words]);
        let all_tried = answer(Outcome::Most(Most { is_all_tried: true, ..most }));
        let told = all_tried.sentences(&plan);
        assert_eq!(told[0], "Left out: Limpet.");
        assert!(told[1].starts_with("Every set worth more was tried"), "{told:?}");
    }

    #[test]
    fn more_than_exist_are_told_as_that_and_not_as_molds_that_stay() {
        let mut plan = standing(&[(block(40.0, 20.0), (200.0, 150.0, 0.0))]);
        let mut pull = (*plan.pulls[&PULL]).clone();
        pull.placements.values_mut().for_each(|placement| placement.copy = CopyNumber(2));
        plan.pulls.insert(PULL, pull.into());
        let (title, told) = said(&plan, Intent::Tidy);
        assert_eq!(title, "Nothing to move");
        assert_eq!(
            told,
            [
                "Everything that may be moved stands where it may.",
                "More stand on the blank than exist: take one off, or say that more exist."
            ]
        );
    }

    #[test]
    fn what_is_wrong_among_molds_that_stay_is_left_and_counted() {
        let places = [(100.0, 100.0, 0.0), (110.0, 100.0, 0.0), (250.0, 200.0, 0.0)];
        let plan = standing(&places.map(|at| (block(40.0, 20.0), at)));
        let locked = Edit::Lock(PULL, [PlacementId(1), PlacementId(2)].into(), true);
        let plan = plan.apply(&locked).expect("locks");
        let answer = arrange(&plan, &request(Intent::Tidy), &mut ()).expect("makes sense");
        assert_eq!(answer.left.len(), 1, "{:?}", answer.left);
        assert_eq!(answer.title(), "Nothing to tidy");
        assert_eq!(
            answer.sentences(&plan),
            [
                "Everything that may be moved stands where it may.",
                "One finding among molds that stay remains."
            ]
        );
        // Once they may be moved nothing is left.
        let free = Edit::Lock(PULL, [PlacementId(1), PlacementId(2)].into(), false);
        let plan = plan.apply(&free).expect("unlocks");
        let answer = arrange(&plan, &request(Intent::Tidy), &mut ()).expect("makes sense");
        assert_eq!(answer.left, []);
    }
}
