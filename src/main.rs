//! The door: everything is in the library.

fn main() {}
