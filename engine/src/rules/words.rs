//! A finding in words: a title for a list, the reason with its figures, and what to do next.

use super::voice::{Voice, Words};
use super::{
    Finding, Rule, clearance, copies, draft, edge, footprint, gauge, height_to_width, opening,
    overlap, platen, tall, texture,
};
use crate::plan::{Plan, PullId};

impl Finding {
    /// A few words for a list, without a full stop: "Limpet and Crab shell stand too close".
    ///
    /// `plan` and `pull` must be those the finding was found in; of others, names and figures may be missing.
    #[must_use]
    pub fn title(&self, plan: &Plan, pull: PullId) -> String {
        self.words(plan, pull).title
    }

    /// Why the rule speaks, with what was measured and what is allowed, in whole sentences.
    #[must_use]
    pub fn reason(&self, plan: &Plan, pull: PullId) -> String {
        self.words(plan, pull).reason
    }

    /// What to do about it, in whole sentences.
    #[must_use]
    pub fn next_step(&self, plan: &Plan, pull: PullId) -> String {
        self.words(plan, pull).next_step
    }

    fn words(&self, plan: &Plan, pull: PullId) -> Words {
        let voice = Voice::new(plan, pull);
        match self.rule {
            Rule::Footprint => footprint::words(self, &voice),
            Rule::Overlap => overlap::words(self, &voice),
            Rule::Clearance => clearance::words(self, &voice),
            Rule::Opening => opening::words(self, &voice),
            Rule::Platen => platen::words(self, &voice),
            Rule::Edge => edge::words(self, &voice),
            Rule::Tall => tall::words(self, &voice),
            Rule::Copies => copies::words(self, &voice),
            Rule::Draft => draft::words(self, &voice),
            Rule::HeightToWidth => height_to_width::words(self, &voice),
            Rule::Texture => texture::words(self, &voice),
            Rule::Gauge => gauge::words(self, &voice),
        }
    }
}
