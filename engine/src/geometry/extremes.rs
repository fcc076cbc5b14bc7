//! The smaller and the larger of two numbers by one comparison.
//!
//! `f64::min` and `f64::max` see to it that what is no number loses. In the browser that is a call each, and they were a fifth of
//! an arrangement's time; what runs in the innermost loops has numbers only.

/// `b` where it is less than `a`, else `a`.
#[inline(always)]
pub(crate) fn lesser<T: PartialOrd>(a: T, b: T) -> T {
    if b < a { b } else { a }
}

/// `b` where it is more than `a`, else `a`: zero for `greater(0.0, x)` where `x` is no number.
#[inline(always)]
pub(crate) fn greater<T: PartialOrd>(a: T, b: T) -> T {
    if b > a { b } else { a }
}
