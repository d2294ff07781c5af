//! The command line, from outside: what is written, what is said, and with which exit code.
#![expect(clippy::tests_outside_test_module, reason = "an integration test is all test")]

mod advise;
mod batch;
mod check;
mod cut;
mod faults;
mod hostile;
mod interrupt;
mod manual;
mod plan;
mod quote;
mod readme;
mod room;
mod second;
mod shop;
mod start;
mod tolerance;
