//! The icons of the toolbar, drawn for it: lines on a field of 24 by 24.

use crate::reactive::prelude::*;

/// One icon; what it stands for is said by the button that wears it.
#[component]
pub(super) fn Icon(
    /// The lines, as SVG path data.
    lines: &'static str,
) -> impl IntoView {
    view! {
        <svg class="icon" viewBox="0 0 24 24" aria-hidden="true">
            <path d=lines/>
        </svg>
    }
}

pub(super) const TURN_LEFT: &str = "M6.5 8.5a7.5 7.5 0 1 1 -1.6 6.5M6 3.5v5h5";
pub(super) const TURN_RIGHT: &str = "M17.5 8.5a7.5 7.5 0 1 0 1.6 6.5M18 3.5v5h-5";
pub(super) const QUARTER: &str = "M4.5 19.5v-7h7v7zM14 4.5h5.5V10M19.5 4.5A11 11 0 0 0 8 9";
pub(super) const ALIGN_LEFT: &str = "M4 3v18M7.5 6h12v4.5h-12zM7.5 13.5h7V18h-7z";
pub(super) const ALIGN_MIDDLE: &str = "M12 3v3M12 10.5v3M12 18v3M5 6h14v4.5H5zM8 13.5h8V18H8z";
pub(super) const ALIGN_RIGHT: &str = "M20 3v18M4.5 6h12v4.5h-12zM9.5 13.5h7V18h-7z";
pub(super) const ALIGN_BACK: &str = "M3 4h18M6 7.5v12h4.5v-12zM13.5 7.5v7H18v-7z";
pub(super) const ALIGN_CENTER: &str = "M3 12h3M10.5 12h3M18 12h3M6 5v14h4.5V5zM13.5 8v8H18V8z";
pub(super) const ALIGN_FRONT: &str = "M3 20h18M6 4.5v12h4.5v-12zM13.5 9.5v7H18v-7z";
pub(super) const SPREAD_WIDTH: &str = "M3 4v16M21 4v16M9.5 7h5v10h-5zM5 12h2.5M16.5 12H19";
pub(super) const SPREAD_DEPTH: &str = "M4 3h16M4 21h16M7 9.5v5h10v-5zM12 5v2.5M12 16.5V19";
pub(super) const CENTRE: &str = "M4 5h16v14H4zM12 8.5v7M8.5 12h7";
pub(super) const ARRANGE: &str =
    "M3.5 4.5h17v15h-17zM6.5 7.5h4.5v4H6.5zM14 7.5h3.5v6H14zM6.5 14.5h5v2.5h-5zM15.7 16.6h.1";
pub(super) const DUPLICATE: &str = "M4 8h11v11H4zM8.5 8V4.5H20V15h-5M9.5 11v5M7 13.5h5";
pub(super) const LOCK: &str = "M6 11h12v9H6zM8.5 11V8a3.5 3.5 0 0 1 7 0v3M12 14.5v2";
pub(super) const TAKE_OFF: &str = "M4 20h16M6.5 16.5h11M12 13V4M8 8l4 -4l4 4";
pub(super) const ZOOM_IN: &str =
    "M10.5 4a6.5 6.5 0 1 0 0 13a6.5 6.5 0 1 0 0 -13zM15.5 15.5L21 21M7.5 10.5h6M10.5 7.5v6";
pub(super) const ZOOM_OUT: &str =
    "M10.5 4a6.5 6.5 0 1 0 0 13a6.5 6.5 0 1 0 0 -13zM15.5 15.5L21 21M7.5 10.5h6";
pub(super) const FIT: &str = "M4 9V4h5M15 4h5v5M20 15v5h-5M9 20H4v-5M8 9h8v6H8z";
pub(super) const SNAP: &str =
    "M5 4v8a7 7 0 0 0 14 0V4h-4.5v8a2.5 2.5 0 0 1 -5 0V4zM5 8h4.5M14.5 8H19";
pub(super) const SEVERAL: &str = "M4 4h9v9H4zM17 12.5v8M13 16.5h8";
