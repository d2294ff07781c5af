//! The command line, from outside.
