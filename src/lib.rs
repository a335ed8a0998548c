//! Cutleaf turns a written description of a paper-craft spread into everything that is cut and
//! printed for it, true to size.
//!
//! ```text
//! spec (YAML) -> layout  pieces, measured and placed on pages
//!             -> nest    pieces placed on sheets; cuts; offcuts
//!             -> record  everything decided, as data
//!             -> emit    cut SVGs, print PDFs, proof, guide
//! ```
//!
//! Data flows one way. A later stage never decides again what an earlier one decided, and the same
//! input gives the same bytes on any number of threads.

#![forbid(unsafe_code)]

mod chance;
mod color;
pub mod emit;
pub mod journal;
pub mod layout;
pub mod length;
pub mod model;
pub mod naming;
pub mod nest;
pub mod outline;
pub mod picture;
pub mod printer;
pub mod record;
pub mod run;
pub mod spec;
