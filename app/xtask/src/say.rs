//! What xtask tells the person at the terminal.

use std::io::{self, Write};

/// Prints what is going on to standard error, beside cargo's own progress.
pub(crate) fn note(text: &str) {
    // A closed pipe is the reader's wish to hear no more, not a reason to stop the work.
    _ = writeln!(io::stderr().lock(), "{text}");
}

/// Prints a result that was asked for (an address, a size) to standard output.
pub(crate) fn result(text: &str) {
    _ = writeln!(io::stdout().lock(), "{text}");
}
