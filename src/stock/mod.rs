//! Paper on hand, over time: the user's file `stock.yaml` and the ledger beside it.
//!
//! `stock.yaml` shows what is on hand now, and belongs to the user: she may write in it, and the program
//! keeps her comments and order when it changes a number. The ledger holds every move of paper as an
//! [`Entry`]: from the shop to the box, from the box to the pieces of a spread, to the bin. What is on hand
//! is the sum of all entries; a number that she changed by hand becomes an entry, too ([`Shelf::noticed`]).
//!
//! This room reads and writes no files but looks for them ([`find_file`]); texts go in and come out.
//!
//! ```
//! use cutleaf::model::Count;
//! use cutleaf::model::length::Size;
//! use cutleaf::stock::{CutSheet, Shape, Shelf, Source, Use};
//!
//! let text = "papers:\n  - {name: oat, color: \"#e9d8a6\", sheets: [{size: 12 x 12, count: 2}]} # best\n";
//! let mut shelf = Shelf::read(text, None).unwrap();
//! let whole = Size::inches(12.0, 12.0);
//! shelf.reserve("kite-day.yaml", vec![Use::Sheets { paper: "oat".into(), size: whole, count: 1 }]).unwrap();
//! let cut = CutSheet {
//!     id: "oat-1".into(),
//!     paper: "oat".into(),
//!     source: Source::Sheet(whole),
//!     count: Count::default(),
//!     pieces: 12.0 * 8.0,
//!     offcuts: vec![Shape::rectangle(Size::inches(12.0, 4.0))],
//! };
//! let kept = shelf.cut("kite-day.yaml", &[cut]).unwrap();
//! assert_eq!(kept[0].label, "A1");
//! assert!(shelf.text().contains("count: 1}]} # best"));
//! shelf.undo().unwrap();
//! shelf.undo().unwrap();
//! assert_eq!((shelf.text(), shelf.ledger_text()), (text, None));
//! ```

mod ask;
mod cutting;
mod editing;
mod file;
mod find;
mod fit;
mod labels;
mod ledger;
mod on_hand;
mod paper;
mod reading;
mod shape;
mod shelf;

pub use ask::Ask;
pub use cutting::{CutSheet, Source};
pub use file::{OffcutEntry, PaperEntry, PatternEntry, SheetsEntry, StockFile};
pub use find::{LEDGER_NAME, STOCK_NAME, find_file};
pub use fit::Found;
pub use ledger::{Entry, EntryKind, Lot, Move, SheetOfRun, Spot, Use};
pub use on_hand::{Conflict, OnHand};
pub use paper::{Grain, Offcut, PaperKind, Sheets, Stock, StockPaper};
pub use shape::Shape;
pub use shelf::{ReadFault, Shelf};

/// The JSON Schema of `stock.yaml`, made from the same types that read one.
pub fn schema() -> serde_json::Value {
    schemars::schema_for!(StockFile).to_value()
}
