//! Set-up, demo and check: the commands the README names.

fn main() {}
