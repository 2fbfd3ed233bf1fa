//! Speed and quality benches, as ratios against a reference in the same run.

fn main() {}
