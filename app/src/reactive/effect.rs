//! Effects: what is done when a value has changed.

use leptos::prelude::Effect as LibEffect;
use leptos::reactive::effect::EffectFunction;

use super::held::Held;

/// What is done when what it reads has changed, until its owner is gone.
pub(crate) struct Effect;

impl Effect {
    /// Runs `run` once the work at hand is done, and again whenever what it read has changed.
    #[expect(clippy::new_ret_no_self, reason = "an effect lives with its owner; nobody keeps it")]
    pub(crate) fn new<M>(mut run: impl EffectFunction<(), M> + 'static) {
        boxed(Box::new(move |before| run.run(before)));
    }

    /// Hands what `of` gives to `tell` with what it gave before, whenever what it read has changed; the first time too if `at_once`.
    pub(crate) fn watch<T: Send + Sync + 'static>(
        of: impl Fn() -> T + 'static,
        tell: impl FnMut(&T, Option<&T>, Option<()>) + 'static,
        at_once: bool,
    ) {
        watch_boxed(Box::new(of), Box::new(tell), at_once);
    }
}

fn boxed(run: Box<dyn FnMut(Option<()>)>) {
    LibEffect::new(run);
}

type Tell<T> = Box<dyn FnMut(&T, Option<&T>, Option<()>)>;

fn watch_boxed<T: Send + Sync + 'static>(of: Box<dyn Fn() -> T>, mut tell: Tell<T>, at_once: bool) {
    let of = Box::new(move || Held::new(of()));
    let tell = Box::new(move |now: &Held, before: Option<&Held>, _: Option<()>| {
        tell(now.get(), before.map(Held::get), None);
    });
    watch_held(of, tell, at_once);
}

fn watch_held(of: Box<dyn Fn() -> Held>, tell: Tell<Held>, at_once: bool) {
    LibEffect::watch(of, tell, at_once);
}
