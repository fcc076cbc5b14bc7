//! One line of text to type: shown, edited as a draft, and committed or refused as a whole.

use leptos::ev::KeyboardEvent;

use super::ids;
use super::voice::use_voice;
use super::why::Why;
use crate::reactive::prelude::*;

/// What became of a value: taken, or not, and then what would work.
pub(crate) type Committed = Result<(), String>;

/// A labelled line of text.
///
/// Typing makes a draft. Enter or leaving the field commits it; a refused draft stays, with the reason under
/// it. Escape throws the draft away.
#[component]
pub(super) fn Entry(
    /// What the field is called.
    #[prop(into)]
    label: Signal<String>,
    /// The committed value as text.
    #[prop(into)]
    shown: Signal<String>,
    /// Takes what was typed.
    commit: Callback<String, Committed>,
    /// The keyboard that a tablet offers: `decimal`, `numeric` or `text`.
    #[prop(default = "text")]
    keyboard: &'static str,
    /// What goes without saying for most, said small under the field.
    #[prop(optional, into)]
    hint: Signal<String>,
    /// Why it begins with its default.
    why: Option<Why>,
) -> impl IntoView {
    let (why_button, why_says) = Why::views(why, label);
    let draft = RwSignal::new(None::<String>);
    let error = RwSignal::new(None::<String>);
    let voice = use_voice();
    let id = ids::fresh("entry");
    let (error_id, hint_id) = (format!("{id}-error"), format!("{id}-hint"));
    let described_by = {
        let (error_id, hint_id) = (error_id.clone(), hint_id.clone());
        move || described_by(error.with(Option::is_some), &error_id, &hint.get(), &hint_id)
    };
    let finish = move || {
        // A field that is taken out of the page while it has the keyboard is left once more, with nothing behind it.
        let Some(text) = draft.try_get_untracked().flatten() else { return };
        let refused = (text != shown.get_untracked()).then(|| commit.run(text).err()).flatten();
        // A screen reader does not read a description again that changes while the field has the keyboard.
        match &refused {
            Some(words) => voice.say(words),
            None => draft.set(None),
        }
        error.set(refused);
    };
    let key = move |event: KeyboardEvent| match event.key().as_str() {
        "Enter" => finish(),
        "Escape" if draft.with_untracked(Option::is_some) => {
            // The board gives up its own gesture on Escape; this one is used up here.
            event.stop_propagation();
            event.prevent_default();
            draft.set(None);
            error.set(None);
        }
        _ => {}
    };
    view! {
        <div class="field">
            <div class="field-label"><label for=id.clone()>{label}</label>{why_button}</div>
            <div class="field-rest">
                <input
                    id=id
                    type="text"
                    inputmode=keyboard
                    autocomplete="off"
                    spellcheck="false"
                    prop:value=move || draft.get().unwrap_or_else(|| shown.get())
                    aria-invalid=move || error.with(Option::is_some).then_some("true")
                    aria-describedby=described_by
                    on:input=move |event| draft.set(Some(event_target_value(&event)))
                    on:blur=move |_| finish()
                    on:keydown=key
                />
                <Under error error_id hint hint_id/>
                {why_says}
            </div>
        </div>
    }
}

/// The lines under a field: what is wrong with the draft, or else the hint.
#[component]
pub(super) fn Under(
    /// What is wrong.
    #[prop(into)]
    error: Signal<Option<String>>,
    /// The id of that line.
    error_id: String,
    /// What goes without saying for most.
    #[prop(optional, into)]
    hint: Signal<String>,
    /// The id of that line.
    hint_id: String,
) -> impl IntoView {
    view! {
        <p class="field-error" id=error_id hidden=move || error.with(Option::is_none)>
            {move || error.get()}
        </p>
        <p class="field-hint" id=hint_id hidden=move || hint.with(String::is_empty)>
            {hint}
        </p>
    }
}

/// The ids of the lines that say something; nothing when none does.
pub(super) fn described_by(
    is_wrong: bool,
    error_id: &str,
    hint: &str,
    hint_id: &str,
) -> Option<String> {
    match (is_wrong, hint.is_empty()) {
        (true, true) => Some(error_id.to_owned()),
        (true, false) => Some(format!("{error_id} {hint_id}")),
        (false, false) => Some(hint_id.to_owned()),
        (false, true) => None,
    }
}
