//! Whether copies of molds stand together on an empty blank: one question among many, for whoever plans several pulls.

use std::collections::{BTreeMap, BTreeSet};

use super::cover::{Cover, covered, reach};
use super::fit::{Effort, fit};
use super::layout::{judged, neat};
use super::measure::spare;
use super::run::Run;
use super::scene::Scene;
use super::{ArrangeError, Intent, MoldCopy, Progress, Request};
use crate::edit::Edit;
use crate::geometry::{Pose, Rect};
use crate::plan::{CopyNumber, Mold, MoldId, Placement, PlacementId, Plan, Pull, PullId};
use crate::rules::ReadyMolds;
use crate::search::{Budget, Seed};
use crate::units::Length;
use crate::watch::Watch;

/// The pull of the bench's own plan.
const PULL: PullId = PullId(1);

/// What came of a question.
#[derive(Clone, Debug)]
pub(crate) enum Attempt {
    /// They stand, and the rules have nothing against it; with the smallest gap above the rule.
    Fits(BTreeMap<PlacementId, Placement>, Length),
    /// No layout was found; there may be one.
    Unknown,
    /// There is no such layout: a mold has no room, or they cover more than there is.
    Never,
}

/// An empty blank to try sets of molds on.
#[derive(Debug)]
pub(crate) struct Bench {
    /// The plan with one empty pull, and as many copies as may be asked about.
    plan: Plan,
    ready: ReadyMolds,
}

/// What each mold covers with its clearances whatever it shares the blank with, and what there is, in square millimetres.
#[derive(Clone, Debug, Default)]
pub(crate) struct Covers {
    /// No layout of two molds or more covers less.
    pub(crate) least: BTreeMap<MoldId, f64>,
    /// What a layout covers, bays filled.
    pub(crate) likely: BTreeMap<MoldId, f64>,
    /// What there is.
    pub(crate) room: f64,
}

impl Bench {
    /// The empty blank of `plan`, each mold as often as `copies` says whether or not so many exist.
    pub(crate) fn new(plan: &Plan, copies: &BTreeMap<MoldId, u32>) -> Self {
        let mut plan = plan.clone();
        plan.pulls = BTreeMap::from([(PULL, std::sync::Arc::new(Pull::new("Pull")))]);
        for (id, &copies) in copies {
            let more = |mold: &std::sync::Arc<Mold>| Mold { copies, ..(**mold).clone() };
            if let Some(more) = plan.molds.get(id).map(more) {
                plan.molds.insert(*id, std::sync::Arc::new(more));
            }
        }
        let ready = ReadyMolds::default().renewed(&plan);
        Self { plan, ready }
    }

    /// What the molds cover, each with up to two copies of all others beside it.
    ///
    /// # Errors
    /// When there is no mold among them that bounds a surface.
    pub(crate) fn covers(&self, molds: &BTreeSet<MoldId>) -> Result<Covers, ArrangeError> {
        let copies: Vec<MoldCopy> = molds
            .iter()
            .flat_map(|&id| {
                let n = self.plan.molds.get(&id).map_or(0, |mold| mold.copies.min(2));
                (1..=n).map(move |copy| (id, CopyNumber(copy)))
            })
            .collect();
        let scene = Scene::new(&self.plan, &asked(copies, 0), &self.ready)?;
        let mut covers = Covers::default();
        let mut rooms: Option<Rect> = None;
        for i in scene.movable() {
            let (body, grown) = (&scene.bodies[i], reach(&scene, i));
            let (least, likely) = covered(body, grown);
            covers.least.insert(body.copy.0, least);
            covers.likely.insert(body.copy.0, likely);
            let room = body.room.map(|room| room.grown(Length::mm(grown)));
            rooms = rooms.into_iter().chain(room).reduce(Rect::union);
        }
        covers.room = rooms.map_or(0.0, |rooms| rooms.area().to_mm2());
        Ok(covers)
    }

    /// Tries for at most `steps` to stand so many of each mold; also the steps that it took.
    ///
    /// The search begins from the poses in `known` where it has one.
    pub(crate) fn attempt(
        &self,
        counts: &BTreeMap<MoldId, u32>,
        known: &BTreeMap<MoldCopy, Pose>,
        (seed, steps): (Seed, u64),
        watch: &mut dyn for<'p> Watch<Progress<'p>>,
    ) -> (Attempt, u64) {
        let copies: Vec<MoldCopy> = counts
            .iter()
            .flat_map(|(&id, &n)| (1..=n).map(move |copy| (id, CopyNumber(copy))))
            .collect();
        let request = asked(copies, steps);
        let Ok(scene) = Scene::new(&self.plan, &request, &self.ready) else {
            return (Attempt::Unknown, 1);
        };
        let is_roomless = scene.movable().any(|i| scene.bodies[i].room.is_none());
        if is_roomless || !scene.unsound.is_empty() || Cover::of(&scene).is_too_much() {
            return (Attempt::Never, 1);
        }
        let mut run = Run::new(seed, request.budget, watch);
        let here =
            |body: &super::scene::Body| known.get(&body.copy).map(|&at| scene.frame.local(at));
        let nowhere = scene.start();
        let start: Vec<Pose> = scene
            .bodies
            .iter()
            .zip(&nowhere)
            .map(|(body, &nowhere)| here(body).unwrap_or(nowhere))
            .collect();
        let found = fit(&scene, Some(&start), (steps, Effort::Short), &mut run).fits();
        let laid_out = found.and_then(|poses| {
            let neat = neat(&scene, &poses, &mut run);
            [neat, poses].into_iter().find_map(|poses| self.judge(&scene, &poses))
        });
        let attempt = laid_out.unwrap_or(Attempt::Unknown);
        (attempt, run.steps.max(1))
    }

    fn judge(&self, scene: &Scene<'_>, poses: &[Pose]) -> Option<Attempt> {
        let judged = judged(&self.plan, scene, (poses, &BTreeSet::new()), None, &self.ready)?;
        match judged.edit? {
            Edit::Place(_, placements) => {
                Some(Attempt::Fits(placements, Length::mm(spare(scene, poses))))
            }
            _ => None,
        }
    }
}

fn asked(copies: Vec<MoldCopy>, steps: u64) -> Request {
    Request { pull: PULL, copies, intent: Intent::Fit, seed: Seed(1), budget: Budget { steps } }
}
