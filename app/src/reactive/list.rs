//! A list of parts that stay as long as their keys, compiled once for all kinds of items.

use std::any::Any;
use std::hash::{Hash, Hasher};
use std::sync::Arc;

use leptos::prelude::{AnyView, IntoAny, IntoView, component};
use leptos::tachys::reactive_graph::OwnedView;
use leptos::tachys::view::keyed::keyed;

use super::held::Held;
use super::rows::Rows;

/// What `children` makes of each item; what was made stays while its item is among those of `each`.
///
/// As the component of the same name in the library, but that is compiled anew for every kind of item and key.
#[component(transparent)]
pub(crate) fn For<Each, Items, T, Of, K, Children, V>(
    /// The items.
    each: Each,
    /// What an item is known by.
    key: Of,
    /// What is shown of an item.
    children: Children,
) -> impl IntoView
where
    Each: Fn() -> Items + Send + 'static,
    Items: IntoIterator<Item = T>,
    T: Send + Sync + 'static,
    Of: Fn(&T) -> K + Send + 'static,
    K: Eq + Hash + Send + Sync + 'static,
    Children: Fn(T) -> V + Send + Sync + 'static,
    V: IntoAny,
{
    let item = move |item: T| Item { key: Key(Arc::new(key(&item))), held: Held::new(item) };
    let each = move || each().into_iter().map(&item).collect();
    list(Box::new(each), Arc::new(move |held: Held| children(held.take()).into_any()))
}

type Each = Box<dyn Fn() -> Vec<Item> + Send>;
type Children = Arc<dyn Fn(Held) -> AnyView + Send + Sync>;

fn list(each: Each, children: Children) -> AnyView {
    let rows = Rows::here();
    let row = move |_: usize, item: Item| {
        let owner = rows.owner();
        let view = owner.with(|| children(item.held));
        (drop::<usize>, OwnedView::new_with_owner(view, owner))
    };
    let key = |item: &Item| item.key.clone();
    (move || keyed(each(), key, row.clone())).into_any()
}

struct Item {
    key: Key,
    held: Held,
}

/// A key of any type.
#[derive(Clone)]
struct Key(Arc<dyn AnyKey>);

trait AnyKey: Send + Sync {
    fn is(&self, other: &dyn AnyKey) -> bool;
    fn feed(&self, hasher: &mut dyn Hasher);
    fn as_any(&self) -> &dyn Any;
}

impl<K: Eq + Hash + Send + Sync + 'static> AnyKey for K {
    fn is(&self, other: &dyn AnyKey) -> bool {
        other.as_any().downcast_ref() == Some(self)
    }

    fn feed(&self, mut hasher: &mut dyn Hasher) {
        self.hash(&mut hasher);
    }

    fn as_any(&self) -> &dyn Any {
        self
    }
}

impl PartialEq for Key {
    fn eq(&self, other: &Self) -> bool {
        self.0.is(&*other.0)
    }
}

impl Eq for Key {}

impl Hash for Key {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.0.feed(state);
    }
}

#[cfg(test)]
mod tests {
    use std::hash::DefaultHasher;

    use super::*;

    fn hashed(key: &Key) -> u64 {
        let mut hasher = DefaultHasher::new();
        key.hash(&mut hasher);
        hasher.finish()
    }

    #[test]
    fn keys_are_equal_as_what_they_hold() {
        let words = |words: &str| Key(Arc::new(words.to_owned()));
        let number = |number: u32| Key(Arc::new(number));
        assert!(words("limpet") == words("limpet") && words("limpet") != words("clam"));
        assert!(number(7) == number(7) && number(7) != number(8));
        assert!(number(7) != Key(Arc::new(7_u64)), "of another type");
        assert_eq!(hashed(&words("limpet")), hashed(&words("limpet").clone()));
        assert_ne!(hashed(&number(7)), hashed(&number(8)));
    }
}
