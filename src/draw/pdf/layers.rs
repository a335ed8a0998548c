//! Layers that a printer's or plotter's software can tell apart: optional content (ISO 32000-1, 8.11),
//! named and typed as processing steps (ISO 19593-1).

use pdf_writer::writers::Catalog;
use pdf_writer::{Chunk, Finish, Name, Ref, TextStr};

use crate::draw::Layer;

impl Layer {
    pub(super) const ALL: [Self; 3] = [Self::Cut, Self::Marks, Self::Notes];

    /// Name in the file, group and, where it has one, type after ISO 19593-1.
    const fn names(self) -> (&'static str, &'static str, &'static str) {
        match self {
            Self::Cut => ("cut", "Structural", "Cutting"),
            Self::Marks => ("marks", "Dimensions", ""),
            Self::Notes => ("notes", "Legend", ""),
        }
    }

    /// Name in a page's resources.
    pub(super) const fn resource(self) -> &'static [u8] {
        match self {
            Self::Cut => b"LayerCut",
            Self::Marks => b"LayerMarks",
            Self::Notes => b"LayerNotes",
        }
    }

    /// Writes the layer.
    pub(super) fn write(self, pdf: &mut Chunk, id: Ref) {
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
    }
}

/// The list of layers, all of them shown.
pub(super) fn write_list(catalog: &mut Catalog<'_>, layers: &[(Layer, Ref)]) {
    let ids = || layers.iter().map(|(_, id)| *id);
    let mut optional = catalog.insert(Name(b"OCProperties")).dict();
    optional.insert(Name(b"OCGs")).array().items(ids());
    let mut usual = optional.insert(Name(b"D")).dict();
    usual.pair(Name(b"Name"), TextStr("Layers"));
    usual.insert(Name(b"Order")).array().items(ids());
    usual.insert(Name(b"ON")).array().items(ids());
    usual.finish();
}
