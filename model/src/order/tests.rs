//! Orders by hand. Inches in the texts and comments.

#![allow(clippy::unwrap_used, clippy::panic)]
