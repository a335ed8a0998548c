//! The `cutleaf` command.

fn main() {}
