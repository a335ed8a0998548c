//! Edges along one side of a spread, the relations that they keep, and the wishes that they come near: the
//! solver of sketches and of what a spec leaves to be fitted.
//!
//! An edge is a whole number of marks of a ruler, such as 1/16 in, from the origin. A relation says that one
//! edge lies at least, or exactly, so many marks behind another: edges aligned, gaps, reveals, columns of a
//! share of the page, photos inside their page. Such relations are difference constraints (Cormen, Leiserson,
//! Rivest & Stein, Introduction to Algorithms, 24.4), which has two uses: where they contradict each other
//! there is a chain of them that says why ([`Relations::conflict`]), and a place between marks can be taken
//! to the ruler without breaking any ([`Relations::settle`]). A wish is a square that is made as small as the
//! relations let it be.
//!
//! ```
//! use cutleaf::relations::{ORIGIN, Relations};
//! // A 4 in photo within 12 in, as near the middle as can be.
//! let mut across = Relations::default();
//! let (left, right) = (across.edge(), across.edge());
//! across.exactly(left, right, 64, "the photo is 4 in wide");
//! across.at_least(ORIGIN, left, 0, "the page begins");
//! across.at_least(right, ORIGIN, -192, "the page ends");
//! across.wish(&[(left, 1.0), (right, 1.0)], 192.0, 1.0);
//! let settled = across.settle().unwrap();
//! assert_eq!((settled.at(left), settled.at(right)), (64, 128));
//! ```

mod conflict;
mod quadratic;
mod ruler;
mod system;

pub use conflict::Conflict;
pub use ruler::Settled;
pub use system::{Edge, Kind, MARKS_PER_INCH, ORIGIN, Relation, Relations, Wish};
