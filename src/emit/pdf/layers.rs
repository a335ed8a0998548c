//! Layers that a printer's or plotter's software can tell apart: optional content (ISO 32000-1, 8.11),
//! named and typed as processing steps (ISO 19593-1).

use pdf_writer::writers::Catalog;
use pdf_writer::{Chunk, Finish, Name, Ref, TextStr};

/// A layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    /// Where paper is cut.
    Cut,
    /// Where it is folded.
    Score,
    /// Where it is perforated.
    Perforate,
    /// Crop and registration marks, rulers: where trims lie, and how long things are.
    Marks,
    /// Notes and numbers outside the trim.
    Notes,
}

impl Layer {
    pub(super) const ALL: [Self; 5] =
        [Self::Cut, Self::Score, Self::Perforate, Self::Marks, Self::Notes];

    /// Name in the file, group and, where it has one, type after ISO 19593-1.
    const fn names(self) -> (&'static str, &'static str, &'static str) {
        match self {
            Self::Cut => ("cut", "Structural", "Cutting"),
            Self::Score => ("score", "Structural", "Creasing"),
            Self::Perforate => ("perforate", "Structural", "Perforating"),
            Self::Marks => ("marks", "Dimensions", ""),
            Self::Notes => ("notes", "Legend", ""),
        }
    }

    /// Name in a page's resources.
    pub(super) const fn resource(self) -> &'static [u8] {
        match self {
            Self::Cut => b"LayerCut",
            Self::Score => b"LayerScore",
            Self::Perforate => b"LayerPerforate",
            Self::Marks => b"LayerMarks",
            Self::Notes => b"LayerNotes",
        }
    }

    /// Whether it tells a tool where to go, not what is seen on paper.
    const fn is_for_a_tool(self) -> bool {
        matches!(self, Self::Cut | Self::Score | Self::Perforate)
    }

    /// Writes the layer; if `on_screen_only`, what a tool follows is not printed.
    pub(super) fn write(self, pdf: &mut Chunk, id: Ref, on_screen_only: bool) {
        let (name, group, kind) = self.names();
        let mut dictionary = pdf.indirect(id).dict();
        dictionary.pair(Name(b"Type"), Name(b"OCG"));
        dictionary.pair(Name(b"Name"), TextStr(name));
        let mut metadata = dictionary.insert(Name(b"GTS_Metadata")).dict();
        metadata.pair(Name(b"GTS_ProcStepsGroup"), Name(group.as_bytes()));
        if !kind.is_empty() {
            metadata.pair(Name(b"GTS_ProcStepsType"), Name(kind.as_bytes()));
        }
        metadata.finish();
        if on_screen_only && self.is_for_a_tool() {
            let mut usage = dictionary.insert(Name(b"Usage")).dict();
            usage.insert(Name(b"Print")).dict().pair(Name(b"PrintState"), Name(b"OFF"));
            usage.insert(Name(b"View")).dict().pair(Name(b"ViewState"), Name(b"ON"));
        }
    }
}

/// The list of layers, all of them shown. If `on_screen_only`, a viewer that prints leaves out those that
/// a tool follows (ISO 32000-1, 8.11.4.4).
pub(super) fn write_list(catalog: &mut Catalog<'_>, layers: &[(Layer, Ref)], on_screen_only: bool) {
    let ids = || layers.iter().map(|(_, id)| *id);
    let mut optional = catalog.insert(Name(b"OCProperties")).dict();
    optional.insert(Name(b"OCGs")).array().items(ids());
    let mut usual = optional.insert(Name(b"D")).dict();
    usual.pair(Name(b"Name"), TextStr("Layers"));
    usual.insert(Name(b"Order")).array().items(ids());
    usual.insert(Name(b"ON")).array().items(ids());
    if on_screen_only {
        let for_tools = || layers.iter().filter(|(layer, _)| layer.is_for_a_tool());
        let mut events = usual.insert(Name(b"AS")).array();
        for (event, category) in [(b"Print".as_slice(), b"Print".as_slice()), (b"View", b"View")] {
            let mut event_usage = events.push().dict();
            event_usage.pair(Name(b"Event"), Name(event));
            event_usage.insert(Name(b"Category")).array().item(Name(category));
            event_usage.insert(Name(b"OCGs")).array().items(for_tools().map(|(_, id)| *id));
        }
    }
    usual.finish();
}
