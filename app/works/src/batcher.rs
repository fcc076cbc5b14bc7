//! Has a batch planned, and tells meanwhile how few pulls were found so far.

use std::ops::ControlFlow;

use engine::batch::{
    self, BatchPlan, Budget, Progress, Seed, batch_cost, batch_table, plan_batch, sheet_name,
};
use engine::export::csv;
use engine::file::{load, save};
use engine::objects;
use engine::plan::Plan;
use serde::{Deserialize, Serialize};

use super::Answer;
use super::heater::HeaterSaid;

/// Word is sent at most so many times in a run, and besides whenever something else begins.
const TIMES: u64 = 200;

/// A batch to be planned.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Batching {
    /// The plan in the saved form, with its batch.
    pub plan: String,
    /// Where chance begins.
    pub seed: u64,
    /// How much is tried at most.
    pub steps: u64,
    /// The heater, as far as it is known.
    #[serde(default)]
    pub heater: HeaterSaid,
}

/// Word of where the planning stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct BatchNews {
    /// Steps done.
    pub done: u64,
    /// Of at most so many; it may be over sooner.
    pub of: u64,
    /// What is being done, in a few words.
    pub phase: String,
    /// The fewest pulls so far of the sheet that is being planned.
    pub pulls: Option<u32>,
    /// No way takes fewer.
    pub at_least: u32,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct Batched {
    /// A few words.
    pub title: String,
    /// What there is to say, in whole sentences.
    pub sentences: Vec<String>,
    /// The layouts and how often to pull each.
    pub layouts: Vec<BatchLayout>,
    /// What it costs: what, and how much.
    pub costs: Vec<(String, String)>,
    /// Blanks of the plan's own sheet that it takes, one a pull.
    pub own_blanks: u32,
    /// All of it as a table for a spreadsheet.
    pub csv: String,
    /// The plan in the saved form with the layouts in it; nothing when it has them all.
    pub after: Option<String>,
}

/// One layout of a batch.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(remote = "Self")]
pub struct BatchLayout {
    /// What the pull is called.
    pub name: String,
    /// The number of the pull.
    pub pull: u32,
    /// Whether it is to be put in the plan first.
    pub is_new: bool,
    /// What stands on it.
    pub molds: String,
    /// The sheet it is pulled in.
    pub sheet: String,
    /// How often it is pulled.
    pub times: u32,
}

/// Plans a batch; `tell` hears of progress.
pub(super) fn batched(ask: &Batching, tell: &mut dyn FnMut(Answer)) -> Result<Answer, String> {
    let plan = load(&ask.plan).map_err(|error| error.to_string())?;
    let (mut phase, mut told) = (None::<(batch::Phase, Option<u32>)>, 0);
    let mut watch = |news: &Progress| {
        let now = Some((news.phase, news.pulls));
        if phase != now || news.done >= told + news.of / TIMES {
            (phase, told) = (now, news.done);
            tell(Answer::Batching(BatchNews {
                done: news.done,
                of: news.of,
                phase: news.phase.words().to_owned(),
                pulls: news.pulls,
                at_least: news.at_least,
            }));
        }
        ControlFlow::Continue(())
    };
    let (seed, budget) = (Seed(ask.seed), Budget { steps: ask.steps });
    let planned =
        plan_batch(&plan, (seed, budget), &mut watch).map_err(|error| error.to_string())?;
    Ok(Answer::Batched(Box::new(answered(&plan, &planned, &ask.heater))))
}

fn answered(plan: &Plan, planned: &BatchPlan, heater: &HeaterSaid) -> Batched {
    let cost = batch_cost(plan, planned, &heater.heater());
    let own = planned.sheets.iter().find(|sheet| sheet.stock.is_none());
    let after = planned.edit.as_ref().and_then(|edit| plan.apply(edit).ok());
    let layouts = planned.sheets.iter().flat_map(|sheet| {
        let name = sheet_name(plan, sheet.stock);
        sheet.layouts.iter().map(move |layout| BatchLayout {
            name: layout.name.clone(),
            pull: layout.pull.0,
            is_new: layout.is_new,
            molds: layout.molds_in_words(plan),
            sheet: name.clone(),
            times: layout.times,
        })
    });
    Batched {
        own_blanks: own.map_or(0, |sheet| sheet.pulls),
        title: planned.title(),
        sentences: planned.sentences(plan),
        layouts: layouts.collect(),
        costs: cost.lines(plan),
        csv: csv(&batch_table(plan, planned, &cost)),
        after: after.as_ref().map(save),
    }
}

objects!(Batched, BatchLayout, BatchNews);

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use engine::edit::Edit;
    use engine::plan::{Batch, MoldId, PartWanted, sample};

    use super::*;

    #[test]
    fn the_sample_kit_is_planned_in_words_and_layouts() {
        let part = |id| PartWanted { per_kit: if id == 3 { 2 } else { 1 }, stock: None };
        let wanted: BTreeMap<MoldId, PartWanted> =
            (1..=5).map(|id| (MoldId(id), part(id))).collect();
        let batch = Batch { kits: 20, wanted, ..Batch::default() };
        let plan = sample().apply(&Edit::SetBatch(Box::new(batch))).expect("fits");
        let heater = HeaterSaid::default();
        let ask = Batching { plan: save(&plan), seed: 1, steps: 1_000_000, heater };
        let mut news = Vec::new();
        let answer = batched(&ask, &mut |answer| news.push(answer)).expect("an answer");
        let Answer::Batched(batched) = answer else { panic!("{answer:?}") };
        assert_eq!(batched.title, "20 pulls of one layout; no way takes fewer pulls");
        assert_eq!(batched.own_blanks, 20);
        assert!(batched.csv.starts_with("Kind,Name,Detail,Amount,Unit\r\n"), "{}", batched.csv);
        let after = load(&batched.after.expect("a new layout")).expect("opens");
        assert_eq!(after.pulls.len(), plan.pulls.len() + 1);
        assert!(!news.is_empty() && news.iter().all(|one| matches!(one, Answer::Batching(_))));
    }
}
