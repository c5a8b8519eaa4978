//! The same equations solved by general-purpose least-squares libraries.
//!
//! In the order in which data flows: the system of a `fuselage` is written out (`export`, by `algebra`) as `equations`, which are
//! evaluated (`evaluate`) and solved by libraries of this process (`gauss_newton` over the `sparse` factorisations
//! `cholesky` and `qr`; `dense`) and by programs of their own (`outside`: ceres.cpp, least_squares.py), which speak
//! `text`; what was `measured` becomes a `table`.

#![allow(dead_code, reason = "the test needs no table, the bench no text")]

pub mod algebra;
pub mod cholesky;
pub mod dense;
pub mod equations;
pub mod evaluate;
pub mod export;
pub mod fuselage;
pub mod gauss_newton;
pub mod lu;
pub mod measured;
pub mod outside;
pub mod qr;
pub mod sparse;
pub mod table;
pub mod text;
