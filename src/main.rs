//! The `claimgauge` program: parses arguments, calls the library, exits.

fn main() {}
