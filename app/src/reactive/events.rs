//! What a view is told by the browser, in boxes of one type for each kind of event.

use leptos::ev::{EventDescriptor, On, on};
use leptos::html::{ElementType, HtmlElement};
use leptos::prelude::{AddAnyAttr, RenderHtml};
use leptos::tachys::html::attribute::Attribute;
use leptos::tachys::renderer::types::Event;

type Handler<E> = Box<dyn FnMut(<E as EventDescriptor>::EventType)>;

/// `on:click` and its like; in place of the library's trait, which is compiled anew for every handler.
pub(crate) trait OnAttribute<E, F> {
    /// The element with its handler.
    type Output;

    /// Lets `handler` hear of `event`.
    fn on(self, event: E, handler: F) -> Self::Output;
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
    type Output = <Self as AddAnyAttr>::Output<On<E, Handler<E>>>;

    fn on(self, event: E, handler: F) -> Self::Output {
        self.add_any_attr(on(event, Box::new(handler) as Handler<E>))
    }
}
