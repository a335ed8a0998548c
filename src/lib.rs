//! Cutleaf turns a written description of a paper-craft spread into everything that is cut and
//! printed for it, true to size.
//!
//! ```text
//! spec (YAML) + stock -> layout  pieces, measured and placed on pages
//!                     -> nest    pieces placed on sheets; cuts; offcuts
//!                     -> plan    everything decided, typed
//!                     -> record  the plan written down as data
//!                     -> emit    cut SVGs, print PDFs, proof, guide
//! ```
//!
//! ```
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! use cutleaf::{description, emit, layout, lettering::fonts::FontBook, plan};
//! use std::{fs, path::Path};
//!
//! let folder = Path::new("templates"); // where the spec's fonts and pictures are looked for
//! let spec = description::parse(&fs::read_to_string(folder.join("beach-walk.yaml"))?)?;
//! let spread = layout::lay_out(&spec, folder, &FontBook::default())?;
//! let record = plan::record(&spread)?;
//! let out = tempfile::tempdir()?;
//! for (name, bytes) in emit::all(&record, &spread.fonts, &spread.picture_files())? {
//!     let file = out.path().join(name);
//!     fs::create_dir_all(file.parent().unwrap_or(out.path()))?;
//!     fs::write(file, bytes)?;
//! }
//! assert!(out.path().join("guide.pdf").exists());
//! # Ok(())
//! # }
//! ```
//!
//! Data flows one way. A later stage never decides again what an earlier one decided, and the same
//! input gives the same bytes on any number of threads.

//! The feature `cli`, on unless switched off, is the command alone, and `page` the dry-fit's server: the
//! library needs nothing of either.

#![forbid(unsafe_code)]

pub mod description;
pub mod draw;
pub mod emit;
pub mod geometry;
pub mod journal;
mod kept;
pub mod layout;
pub mod lettering;
pub mod model;
pub mod nest;
#[cfg(feature = "page")]
pub mod page;
pub mod picture;
pub mod plan;
pub mod record;
pub mod relations;
mod search;
pub mod shapes;
pub mod sketch;
pub mod stock;
pub mod svg_import;
pub mod toolpath;
