//! The `traywright` command: arguments in, one library call, an exit code out.
fn main() {}
