//! The `partpledge` command line: composition root.

fn main() {}
