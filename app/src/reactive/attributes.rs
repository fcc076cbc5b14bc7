//! What an element of a view is given, boxed before the library adds it.
//!
//! Each stands in place of the library's trait of the same name, which is compiled anew for every element, every
//! kind of value and every handler.

use leptos::attr::any_attribute::{AnyAttribute, IntoAnyAttribute};
use leptos::attr::custom::{CustomAttributeKey, custom_attribute};
use leptos::attr::{Attribute, AttributeValue};
use leptos::ev::{EventDescriptor, on};
use leptos::html::{ElementType, HtmlElement};
use leptos::prelude::{AddAnyAttr, RenderHtml};
use leptos::tachys::html::class::{IntoClass, class};
use leptos::tachys::html::property::{IntoProperty, prop};
use leptos::tachys::renderer::types::Event;

type Added<T> = <T as AddAnyAttr>::Output<AnyAttribute>;

/// `on:click` and its like.
pub(crate) trait OnAttribute<E, F>: AddAnyAttr + Sized {
    /// Lets `handler` hear of `event`.
    fn on(self, event: E, handler: F) -> Added<Self>;
}

impl<El, At, Ch, E, F> OnAttribute<E, F> for HtmlElement<El, At, Ch>
where
    El: ElementType + Send,
    At: Attribute + Send,
    Ch: RenderHtml + Send,
    E: EventDescriptor + Send + 'static,
    E::EventType: From<Event> + 'static,
    F: FnMut(E::EventType) + 'static,
{
    fn on(self, event: E, handler: F) -> Added<Self> {
        self.add_any_attr(heard(event, Box::new(handler)))
    }
}

type Handler<E> = Box<dyn FnMut(<E as EventDescriptor>::EventType)>;

fn heard<E>(event: E, handler: Handler<E>) -> AnyAttribute
where
    E: EventDescriptor + Send + 'static,
    E::EventType: From<Event> + 'static,
{
    on(event, handler).into_any_attr()
}

/// `class` and `class:name`.
pub(crate) trait ClassAttribute<C>: AddAnyAttr + Sized {
    /// Gives the element a class.
    fn class(self, value: C) -> Added<Self>;
}

impl<El, At, Ch, C> ClassAttribute<C> for HtmlElement<El, At, Ch>
where
    El: ElementType + Send,
    At: Attribute + Send,
    Ch: RenderHtml + Send,
    C: IntoClass,
{
    fn class(self, value: C) -> Added<Self> {
        self.add_any_attr(class(value).into_any_attr())
    }
}

/// `prop:name`.
pub(crate) trait PropAttribute<K, P>: AddAnyAttr + Sized {
    /// Sets a property of the element.
    fn prop(self, key: K, value: P) -> Added<Self>;
}

impl<El, At, Ch, K, P> PropAttribute<K, P> for HtmlElement<El, At, Ch>
where
    El: ElementType + Send,
    At: Attribute + Send,
    Ch: RenderHtml + Send,
    K: AsRef<str> + Send,
    P: IntoProperty,
{
    fn prop(self, key: K, value: P) -> Added<Self> {
        self.add_any_attr(prop(key, value).into_any_attr())
    }
}

/// `name` of a drawing's element, and `data-name`.
pub(crate) trait CustomAttribute<K, V>: AddAnyAttr + Sized {
    /// Gives the element an attribute of any name.
    fn attr(self, key: K, value: V) -> Added<Self>;
}

impl<El, At, Ch, K, V> CustomAttribute<K, V> for HtmlElement<El, At, Ch>
where
    El: ElementType + Send,
    At: Attribute + Send,
    Ch: RenderHtml + Send,
    K: CustomAttributeKey,
    V: AttributeValue,
{
    fn attr(self, key: K, value: V) -> Added<Self> {
        self.add_any_attr(custom_attribute(key, value).into_any_attr())
    }
}

/// Attributes by their names; one that is missing is added to its list below.
///
/// The library has a type for every name, and compiles all that an attribute does for each of them.
macro_rules! named {
    ($(#[$about:meta])* $of:ident: $($name:ident = $key:literal),*) => {
        $(#[$about])*
        pub(crate) trait $of<V>: AddAnyAttr + Sized {
            $(
                #[doc = concat!("Gives the element `", $key, "`.")]
                fn $name(self, value: V) -> Added<Self>;
            )*
        }

        impl<El, At, Ch, V> $of<V> for HtmlElement<El, At, Ch>
        where
            El: ElementType + Send,
            At: Attribute + Send,
            Ch: RenderHtml + Send,
            V: AttributeValue,
        {
            $(
                fn $name(self, value: V) -> Added<Self> {
                    self.attr($key, value)
                }
            )*
        }
    };
}

named! {
    /// What any element may have.
    GlobalAttributes:
    hidden = "hidden", id = "id", inputmode = "inputmode", role = "role",
    spellcheck = "spellcheck", tabindex = "tabindex", title = "title"
}

named! {
    /// What a screen reader goes by.
    AriaAttributes:
    aria_activedescendant = "aria-activedescendant", aria_autocomplete = "aria-autocomplete",
    aria_controls = "aria-controls", aria_describedby = "aria-describedby",
    aria_disabled = "aria-disabled", aria_expanded = "aria-expanded",
    aria_hidden = "aria-hidden", aria_invalid = "aria-invalid", aria_label = "aria-label",
    aria_labelledby = "aria-labelledby", aria_pressed = "aria-pressed",
    aria_roledescription = "aria-roledescription", aria_selected = "aria-selected",
    aria_valuetext = "aria-valuetext"
}
