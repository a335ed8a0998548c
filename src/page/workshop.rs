//! What the page has done by those who hold files: laying out with the stock, building, cutting again.

use std::path::PathBuf;
use std::sync::Arc;

use crate::description::Problems;
use crate::layout::Layout;

/// What a piece of work said, and whether all of it succeeded.
#[derive(Clone, Debug, Default, Eq, PartialEq, serde::Serialize)]
pub struct Done {
    /// Whether it succeeded.
    pub well: bool,
    /// What it said, line by line.
    pub lines: Vec<String>,
}

/// Called with what of a piece of work is done just now.
pub type Progress = Arc<dyn Fn(&str) + Send + Sync>;

/// Work on a spec's files that the page asks for.
pub trait Workshop: Send + Sync {
    /// Lays a text out as the spec that it is, with the paper on hand, without advice.
    fn lay_out(&self, text: &str) -> Result<Layout, Problems>;
    /// Adds advice to a layout.
    fn advise(&self, layout: &mut Layout);
    /// Builds the spread.
    fn build(&self, stage: Progress) -> Done;
    /// Cuts pieces and sheets of the build again.
    fn cut_again(&self, pieces: &[String], sheets: &[String], stage: Progress) -> Done;
    /// Enters sheets as cut; all of them where none is named.
    fn enter_cut(&self, sheets: &[String]) -> Done;
    /// Whether there is a stock.
    fn has_stock(&self) -> bool;
    /// Where the stock is written, or would be; none where it is left alone.
    fn stock_files(&self) -> Vec<PathBuf>;
    /// The paper on hand as a page of its own, if there is a stock.
    fn stock(&self) -> Option<String>;
    /// The folder into which the spread is built.
    fn out(&self) -> PathBuf;
}
