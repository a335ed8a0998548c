//! Specs run through the library as the command line does.

use std::path::Path;

use cutleaf::description::{self, Problems};
use cutleaf::layout::{Layout, lay_out};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::plan;
use cutleaf::record::Record;

/// Lays a spec out; files are read from `templates`.
pub fn layout_of(yaml: &str) -> Result<Layout, Problems> {
    let spec = description::parse(yaml)?;
    lay_out(&spec, Path::new("templates"), &FontBook::new(vec![]))
}

/// Runs a spec to its record.
pub fn record_of(yaml: &str) -> Result<Record, Problems> {
    plan::record(&layout_of(yaml)?)
}

/// Runs a spec without leave to plan with sheets to buy.
pub fn strict_record_of(yaml: &str) -> Result<Record, Problems> {
    let mut layout = layout_of(yaml)?;
    layout.strict = true;
    plan::record(&layout)
}
