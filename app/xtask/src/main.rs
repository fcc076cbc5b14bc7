//! Sets up, builds, serves and tests Onepull: `cargo xtask serve | build | test`.

fn main() {}
