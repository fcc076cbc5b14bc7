//! What a screen reader hears: one line for the whole page, so that nothing that is said cuts short what is being said.

use std::time::Duration;

use crate::reactive::prelude::*;

/// What is said within this time of the first words is heard with them, as one line.
const BREATH: Duration = Duration::from_millis(150);

/// Says things to those who listen; a newtype for the context, cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Voice {
    heard: RwSignal<String>,
    in_dialog: RwSignal<bool>,
    waiting: StoredValue<Vec<String>>,
}

/// Puts the voice of the page in reach of all that speak.
pub(crate) fn provide_voice() -> Voice {
    let voice = Voice {
        heard: RwSignal::default(),
        in_dialog: RwSignal::new(false),
        waiting: StoredValue::default(),
    };
    provide_context(voice);
    voice
}

/// The voice of the page; a page without one is a bug with this name.
pub(crate) fn use_voice() -> Voice {
    expect_context::<Voice>()
}

impl Voice {
    /// Says these words soon, in one line with all else that is said in the same breath.
    pub(crate) fn say(self, words: &str) {
        if words.is_empty() {
            return;
        }
        let is_first = self.waiting.with_value(Vec::is_empty);
        self.waiting.update_value(|waiting| waiting.push(words.to_owned()));
        if is_first {
            set_timeout(move || self.breathe(), BREATH);
        }
    }

    /// Says whatever `words` comes to be, from its next change on.
    pub(crate) fn follow(self, words: impl Fn() -> String + 'static) {
        Effect::watch(words, move |words, _, _| self.say(words), false);
    }

    /// Speaks from within a dialog from now on, or from the page again.
    pub(super) fn speak_in_dialog(self, is_in_dialog: bool) {
        self.in_dialog.set(is_in_dialog);
    }

    /// Whether it speaks from within a dialog.
    pub(crate) fn is_in_dialog(self) -> bool {
        self.in_dialog.get()
    }

    fn breathe(self) {
        let waiting = self.waiting.try_update_value(std::mem::take).unwrap_or_default();
        let _ = self.heard.try_update(|heard| *heard = line(heard, &waiting));
    }
}

/// The one place of the page that is read out when it changes.
#[component]
pub(crate) fn Spoken(voice: Voice) -> impl IntoView {
    view! { <p class="unseen" role="status">{voice.heard}</p> }
}

/// The words as one line, each once; never the line before, which would be no change and go unheard.
fn line(before: &str, waiting: &[String]) -> String {
    let mut said: Vec<&str> = Vec::new();
    for words in waiting {
        if !said.contains(&words.as_str()) {
            said.push(words);
        }
    }
    let line = said.join(" ");
    if line == before { format!("{line}\u{a0}") } else { line }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_said_in_one_breath_is_one_line_and_each_thing_is_heard_once() {
        let waiting = ["Limpet moved.", "2 cautions.", "Limpet moved."].map(str::to_owned);
        assert_eq!(line("", &waiting), "Limpet moved. 2 cautions.");
    }

    #[test]
    fn the_same_words_again_are_heard_again() {
        let waiting = ["One step back.".to_owned()];
        let again = line("One step back.", &waiting);
        assert_ne!(again, "One step back.");
        assert_eq!(again.trim_end(), "One step back.");
        assert_eq!(line(&again, &waiting), "One step back.");
    }
}
