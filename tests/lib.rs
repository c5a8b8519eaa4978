//! Holds tests and benches only.
