//! Forecasts how the sheet drapes over a pull, and tries what would help.

use std::ops::ControlFlow;
use std::sync::Arc;

use engine::drape::{
    Forecast, Mode, Progress, Remedy, Settings, advice, advice_for, findings, forecast,
};
use engine::edit::Edit;
use engine::file::{load, save};
use engine::objects;
use engine::plan::{Mold, MoldId, Plan, PullId, Stock};
use engine::units::Length;
use serde::{Deserialize, Serialize};

use super::Answer;
use super::arranging::Layout;
use super::shapes::empty;

/// A forecast that is asked for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Forecasting {
    /// The plan in the saved form.
    pub plan: String,
    /// The number of the pull.
    pub pull: u32,
    /// Whether the sheet is equally thick between two places where it has landed, instead of rubber.
    pub is_uniform: bool,
    /// The width of the sheet's net, in millimetres.
    pub mesh: f64,
    /// How far the middle of the hot sheet hangs before it is formed, in millimetres.
    #[serde(default)]
    pub sag: f64,
    /// The friction of rubber that slides where it lands; without one it sticks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub friction: Option<f64>,
    /// The finding that is to be helped, by its place in the list of what the forecast warns of; none for the whole layout. Heeded
    /// only where advice is asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub finding: Option<usize>,
}

/// A change that was tried and helps.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct Advised {
    /// What it does and what it brings.
    pub words: String,
    /// The figure that it makes better, before and after: "Thinnest wall 0.28 mm → 0.38 mm".
    pub figures: String,
    /// The layout with it.
    pub layout: Layout,
    /// The gauge of the pull's sheet with it in millimetres, when it is another.
    pub gauge: Option<f64>,
    /// The mold that has another shape with it: its number, and the mold in a plan of its own in the saved form.
    pub mold: Option<(u32, String)>,
}

impl Advised {
    fn of(before: &Plan, after: &Plan, pull: PullId, (words, figures): (String, String)) -> Self {
        let gauge = after.stock_of_pull(pull).gauge;
        let other = after.molds.iter().find(|(id, mold)| before.molds.get(id) != Some(mold));
        let alone = |(id, mold): (&MoldId, &Arc<Mold>)| {
            let mut plan = empty();
            plan.molds.insert(*id, Arc::clone(mold));
            (id.0, save(&plan))
        };
        Self {
            words,
            figures,
            layout: Layout::of(before, after, pull),
            gauge: (gauge != before.stock_of_pull(pull).gauge).then(|| gauge.to_mm()),
            mold: other.map(alone),
        }
    }

    /// The change of a plan as one step; nothing when it is made already. Of molds and stock only what the change is about is
    /// another: who renames a mold meanwhile keeps the name.
    #[must_use]
    pub fn edit(&self, plan: &Plan, pull: PullId) -> Option<Edit> {
        let gauge = self.gauge.map(|gauge| {
            let stock = Stock { gauge: Length::mm(gauge), ..*plan.stock_of_pull(pull) };
            Edit::sheet_of_pull(plan, pull, stock)
        });
        let mold = self.mold.as_ref().and_then(|(id, text)| {
            let id = MoldId(*id);
            let shaped = load(text).ok()?.molds.get(&id).cloned()?;
            let Mold { footprint, relief, height, draft, .. } = Mold::clone(&shaped);
            let own = plan.molds.get(&id)?;
            let mold = Mold { footprint, relief, height, draft, ..Mold::clone(own) };
            Some(Edit::ChangeMold(id, Box::new(mold)))
        });
        let steps: Vec<Edit> =
            [self.layout.edit(plan, pull), gauge, mold].into_iter().flatten().collect();
        (!steps.is_empty()).then_some(Edit::All(steps))
    }
}

impl Forecasting {
    fn settings(&self) -> Settings {
        Settings {
            mode: if self.is_uniform { Mode::Uniform } else { Mode::Rubber },
            mesh: Length::mm(self.mesh),
            sag: Length::mm(self.sag),
            friction: self.friction,
            ..Settings::default()
        }
    }
}

/// The forecast, in bytes; `tell` hears of each hundredth.
pub(super) fn forecasted(
    ask: &Forecasting,
    tell: &mut dyn FnMut(Answer),
) -> Result<Answer, String> {
    let plan = load(&ask.plan).map_err(|error| error.to_string())?;
    let told = forecast(&plan, PullId(ask.pull), &ask.settings(), &mut hundredths(tell));
    let told = told.map_err(|error| error.to_string())?;
    Ok(Answer::Forecast { bytes: told.to_bytes() })
}

/// What would help the whole layout or one finding, the best first; `bytes` are the forecast of the same layout.
pub(super) fn advised(
    ask: &Forecasting,
    bytes: &[u8],
    tell: &mut dyn FnMut(Answer),
) -> Result<Answer, String> {
    let plan = load(&ask.plan).map_err(|error| error.to_string())?;
    let told = Forecast::from_bytes(bytes).ok_or("the forecast to improve on cannot be read")?;
    if let Some(nth) = ask.finding {
        return helped(ask, &plan, (&told, nth), tell);
    }
    let (pull, settings) = (PullId(ask.pull), ask.settings());
    let found = advice(&plan, pull, &told, &settings, &mut hundredths(tell));
    let found = found.map_err(|error| error.to_string())?;
    let advised = found.iter().filter_map(|advice| {
        let after = plan.apply(&advice.edit).ok()?;
        let thinnest = [advice.before, advice.after].map(|one| one.thinnest);
        let figures = thinnest.map(|wall| plan.settings.lengths.show_gauge(wall));
        let words = (advice.words(&plan, pull), compared("Thinnest wall", &figures));
        Some(Advised::of(&plan, &after, pull, words))
    });
    Ok(Answer::Advised(advised.collect()))
}

/// What would help against one finding.
fn helped(
    ask: &Forecasting,
    plan: &Plan,
    (told, nth): (&Forecast, usize),
    tell: &mut dyn FnMut(Answer),
) -> Result<Answer, String> {
    let (pull, settings) = (PullId(ask.pull), ask.settings());
    let least = plan.settings.least_wall.unwrap_or(Length::ZERO);
    let found = findings(told, least);
    let finding = found.get(nth).ok_or("the forecast warns of no such thing")?;
    let remedies = advice_for(plan, pull, finding, &settings, &mut hundredths(tell));
    let remedies = remedies.map_err(|error| error.to_string())?;
    let advised = |one: &Remedy| {
        let after = plan.apply(&one.edit).ok()?;
        let figures = compared(finding.what.figure_name(), &one.figures(plan));
        Some(Advised::of(plan, &after, pull, (one.words(finding, plan, pull), figures)))
    };
    Ok(Answer::Advised(remedies.helping.iter().filter_map(advised).collect()))
}

fn compared(what: &str, [before, after]: &[String; 2]) -> String {
    format!("{what} {before} \u{2192} {after}")
}

/// Tells of progress whenever another hundredth is done.
fn hundredths(tell: &mut dyn FnMut(Answer)) -> impl FnMut(&Progress) -> ControlFlow<()> {
    let mut last = 0;
    move |progress: &Progress| {
        let done = hundredth(progress.share);
        if done > last {
            last = done;
            tell(Answer::Progress { done, of: 100 });
        }
        ControlFlow::Continue(())
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn hundredth(share: f64) -> u32 {
    (share * 100.0).clamp(0.0, 100.0) as u32
}

objects!(Advised);

#[cfg(test)]
mod tests {
    use engine::plan::sample;

    use super::*;

    fn ask(plan: &Plan) -> Forecasting {
        Forecasting {
            plan: save(plan),
            pull: 1,
            is_uniform: false,
            mesh: 12.0,
            sag: 0.0,
            friction: None,
            finding: None,
        }
    }

    #[test]
    fn a_forecast_is_that_of_the_engine_with_word_of_progress() {
        let (plan, mut done) = (sample(), Vec::new());
        let answer = forecasted(&ask(&plan), &mut |answer| {
            let Answer::Progress { done: share, of: 100 } = answer else { panic!("{answer:?}") };
            done.push(share);
        });
        let Ok(Answer::Forecast { bytes }) = answer else { panic!("{answer:?}") };
        let settings = Settings { mesh: Length::mm(12.0), ..Settings::default() };
        let own = forecast(&plan, PullId(1), &settings, &mut ()).expect("a forecast");
        assert_eq!(Forecast::from_bytes(&bytes), Some(own));
        assert!(done.is_sorted() && done.len() > 3, "{done:?}");
    }

    /// A sheet that hangs, as it is asked of the worker and of the engine.
    fn hanging(plan: &Plan) -> (Forecasting, Settings) {
        let settings =
            Settings { mesh: Length::mm(12.0), sag: Length::mm(15.0), ..Settings::default() };
        (Forecasting { sag: 15.0, ..ask(plan) }, settings)
    }

    #[test]
    fn a_sheet_that_hangs_is_forecast_and_advised_with_its_sag() {
        let plan = sample();
        let (ask, settings) = hanging(&plan);
        let Ok(Answer::Forecast { bytes }) = forecasted(&ask, &mut |_| {}) else {
            panic!("a forecast")
        };
        let own = forecast(&plan, PullId(1), &settings, &mut ()).expect("a forecast");
        let flat = Settings { sag: Length::ZERO, ..settings };
        let flat = forecast(&plan, PullId(1), &flat, &mut ()).expect("a forecast");
        assert_ne!(own, flat, "or nothing would be seen of it");
        assert_eq!(Forecast::from_bytes(&bytes).as_ref(), Some(&own));
        let Ok(Answer::Advised(all)) = advised(&ask, &bytes, &mut |_| {}) else { panic!("advice") };
        let advice = advice(&plan, PullId(1), &own, &settings, &mut ()).expect("advice");
        let told: Vec<String> = advice.iter().map(|one| one.words(&plan, PullId(1))).collect();
        assert_eq!(all.into_iter().map(|one| one.words).collect::<Vec<_>>(), told);
    }

    #[test]
    fn who_says_nothing_of_sag_asks_for_a_flat_sheet() {
        let words = r#"{ "plan": "", "pull": 1, "is_uniform": false, "mesh": 12.0 }"#;
        let read: Forecasting = serde_json::from_str(words).expect("a request");
        assert_eq!(read.settings().sag, Length::ZERO);
    }

    fn all(plan: &Plan, finding: Option<usize>) -> Vec<Advised> {
        let Ok(Answer::Forecast { bytes }) = forecasted(&ask(plan), &mut |_| {}) else {
            panic!("a forecast")
        };
        let answer = advised(&Forecasting { finding, ..ask(plan) }, &bytes, &mut |_| {});
        let Ok(Answer::Advised(all)) = answer else { panic!("{answer:?}") };
        all
    }

    #[test]
    fn every_advice_is_a_change_that_the_engine_gives_and_can_be_taken() {
        let plan = sample();
        let settings = Settings { mesh: Length::mm(12.0), ..Settings::default() };
        let told = forecast(&plan, PullId(1), &settings, &mut ()).expect("a forecast");
        let own = advice(&plan, PullId(1), &told, &settings, &mut ()).expect("advice");
        let all = all(&plan, None);
        assert!(!all.is_empty());
        assert_eq!(all.len(), own.len());
        for (one, own) in all.iter().zip(&own) {
            let edit = one.edit(&plan, PullId(1)).expect("a change");
            assert_eq!(plan.apply(&edit), plan.apply(&own.edit), "{one:?}");
        }
    }

    #[test]
    fn advice_for_a_thin_wall_is_told_with_figures_and_comes_back_as_the_edit_that_makes_it() {
        let mut plan = sample();
        plan.settings.least_wall = Some(Length::mm(1.2));
        let own = {
            let settings = Settings { mesh: Length::mm(12.0), ..Settings::default() };
            let told = forecast(&plan, PullId(1), &settings, &mut ()).expect("a forecast");
            let finding = findings(&told, Length::mm(1.2)).swap_remove(0);
            advice_for(&plan, PullId(1), &finding, &settings, &mut ()).expect("advice").helping
        };
        let all = all(&plan, Some(0));
        assert!(all.iter().any(|one| one.gauge.is_some()), "{all:?}");
        assert!(all.iter().any(|one| one.mold.is_some()), "{all:?}");
        assert_eq!(all.len(), own.len());
        for (one, own) in all.iter().zip(&own) {
            let told = serde_json::to_string(one).expect("JSON");
            let one: Advised = serde_json::from_str(&told).expect("an advice");
            let edit = one.edit(&plan, PullId(1)).expect("a change");
            assert_eq!(plan.apply(&edit), plan.apply(&own.edit), "{one:?}");
            assert!(one.figures.starts_with("Thinnest wall "), "{one:?}");
            let [before, after] = own.figures(&plan);
            assert!(one.words.contains(&format!("from {before} to {after}")), "{one:?}");
        }
        let answer = advised(&Forecasting { finding: Some(99), ..ask(&plan) }, &[], &mut |_| {});
        assert!(answer.is_err());
    }

    #[test]
    fn what_cannot_be_forecast_is_refused_in_words() {
        let plan = sample();
        let friction = Forecasting { friction: Some(-1.0), ..ask(&plan) };
        assert!(forecasted(&friction, &mut |_| {}).expect_err("no friction").contains("friction"));
        for sag in [-1.0, 500.0, f64::NAN] {
            let sag = Forecasting { sag, ..ask(&plan) };
            assert!(forecasted(&sag, &mut |_| {}).expect_err("no sag").contains("sag"));
        }
        let mesh = Forecasting { mesh: 0.0, ..ask(&plan) };
        assert!(forecasted(&mesh, &mut |_| {}).expect_err("no net").contains("mm"));
        let pull = Forecasting { pull: 9, ..ask(&plan) };
        assert!(forecasted(&pull, &mut |_| {}).is_err());
        assert!(advised(&ask(&plan), &[1, 2, 3], &mut |_| {}).is_err());
    }
}
