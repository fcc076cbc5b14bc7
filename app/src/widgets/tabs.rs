//! Tabs: one panel shown of several, by pointer or with the arrow keys.

use crate::platform::focus;
use crate::reactive::prelude::*;

/// One tab.
#[derive(Clone, Debug)]
pub(crate) struct Tab<T> {
    /// Which panel it shows.
    pub(crate) key: T,
    /// Its word.
    pub(crate) label: &'static str,
    /// The id that its panel is found by, unique in the page.
    pub(crate) id: &'static str,
}

/// A row of tabs; the panel itself is the caller's, with the id `<tab id>-panel`.
#[component]
pub(crate) fn Tabs<T>(
    /// What the row is called for a screen reader.
    label: &'static str,
    /// The tabs in order.
    tabs: Vec<Tab<T>>,
    /// Which is open.
    open: RwSignal<T>,
) -> impl IntoView
where
    T: Copy + PartialEq + Send + Sync + 'static,
{
    let order: Vec<(T, &'static str)> = tabs.iter().map(|tab| (tab.key, tab.id)).collect();
    let go = move |key: &str| {
        let here = order.iter().position(|(key, _)| *key == open.get_untracked()).unwrap_or(0);
        let Some(next) = neighbour(key, here, order.len()) else { return false };
        open.set(order[next].0);
        focus(order[next].1);
        true
    };
    let on_key = move |event: leptos::ev::KeyboardEvent| {
        if go(&event.key()) {
            event.prevent_default();
        }
    };
    let one = move |tab: Tab<T>| {
        let is_open = move || open.get() == tab.key;
        view! {
            <button
                type="button"
                role="tab"
                class="tab"
                id=tab.id
                aria-controls=format!("{}-panel", tab.id)
                aria-selected=move || if is_open() { "true" } else { "false" }
                tabindex=move || if is_open() { "0" } else { "-1" }
                on:click=move |_| open.set(tab.key)
            >
                {tab.label}
            </button>
        }
    };
    view! {
        <div role="tablist" class="tabs" aria-label=label on:keydown=on_key>
            {tabs.into_iter().map(one).collect_view()}
        </div>
    }
}

/// Where a key leads from the tab at `here` of `count`; `None` for a key that leads nowhere.
fn neighbour(key: &str, here: usize, count: usize) -> Option<usize> {
    match key {
        "ArrowRight" | "ArrowDown" => Some((here + 1) % count),
        "ArrowLeft" | "ArrowUp" => Some((here + count - 1) % count),
        "Home" => Some(0),
        "End" => Some(count - 1),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arrow_keys_go_round_and_other_keys_are_left_alone() {
        assert_eq!(neighbour("ArrowRight", 6, 7), Some(0));
        assert_eq!(neighbour("ArrowLeft", 0, 7), Some(6));
        assert_eq!(neighbour("Home", 4, 7), Some(0));
        assert_eq!(neighbour("End", 4, 7), Some(6));
        assert_eq!(neighbour("Tab", 4, 7), None);
    }
}
