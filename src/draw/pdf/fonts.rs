//! Fonts in a PDF: subsets (or whole, where they may not be parted) with exact widths and text that can be
//! searched and copied.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::Arc;

use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Chunk, Filter, Finish, Name, Rect, Ref, Str};
use sha2::{Digest, Sha256};
use subsetter::GlyphRemapper;

use crate::lettering::fonts::{Font, table};

use super::deflated;

/// The ordering of glyph ids that stand for themselves (ISO 32000-1, 9.7.3).
const IDENTITY: SystemInfo<'static> =
    SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };

/// A font and the glyphs of it that a document uses.
pub(super) struct FontUse {
    pub font: Arc<Font>,
    glyphs: GlyphRemapper,
    /// Text and advance in em of each glyph, by its number in the subset.
    used: BTreeMap<u16, (String, f64)>,
}

/// Name of a font in a page's resources.
pub(super) fn resource(index: usize) -> String {
    format!("F{index}")
}

impl FontUse {
    pub fn new(font: Arc<Font>) -> Self {
        Self { font, glyphs: GlyphRemapper::new(), used: BTreeMap::new() }
    }

    pub fn is_used(&self) -> bool {
        !self.used.is_empty()
    }

    pub fn sha256(&self) -> &str {
        &self.font.sha256
    }

    /// Whether the font may not be parted (OpenType specification, OS/2, fsType, bit 8).
    fn is_whole(&self) -> bool {
        self.font.embedding.no_subsetting
    }

    /// Whether its glyphs are drawn as outlines, with unseen text over them: the file embeds the font as it
    /// comes, not as its axes are set.
    pub fn is_drawn(&self) -> bool {
        !self.font.axes.is_empty()
    }

    /// The glyph's number in the file. Its text in the map is what the first use that says anything does.
    pub fn glyph(&mut self, id: u16, text: &str) -> u16 {
        let number = if self.is_whole() { id } else { self.glyphs.remap(id) };
        let advance = self.font.advance(id);
        let entry = self.used.entry(number).or_insert_with(|| (text.to_owned(), advance));
        if entry.0.is_empty() {
            text.clone_into(&mut entry.0);
        }
        number
    }

    /// What the map says of a glyph, by its number in the file.
    pub fn text(&self, number: u16) -> &str {
        self.used.get(&number).map_or("", |(text, _)| text)
    }

    /// Width of a glyph in the file's width table, in em.
    pub fn width(&self, id: u16) -> f64 {
        f64::from(whole_thousandths(self.font.advance(id))) / 1000.0
    }

    /// The font's objects: font, descendant, descriptor, text map, file.
    pub fn write(
        &self,
        [font, descendant, descriptor, map, file]: [Ref; 5],
    ) -> Result<Chunk, String> {
        let embedded = self.embedded()?;
        let compact = table(&embedded, b"CFF ");
        let kind = if compact.is_some() { CidFontType::Type0 } else { CidFontType::Type2 };
        let name = match self.is_whole() {
            true => postscript_name(&self.font),
            false => format!("{}+{}", self.tag(), postscript_name(&self.font)),
        };
        let mut chunk = Chunk::new();
        chunk
            .type0_font(font)
            .base_font(Name(name.as_bytes()))
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(descendant)
            .to_unicode(map);
        let mut cid = chunk.cid_font(descendant);
        cid.subtype(kind).base_font(Name(name.as_bytes())).system_info(IDENTITY);
        cid.font_descriptor(descriptor).default_width(0.0);
        if kind == CidFontType::Type2 {
            cid.cid_to_gid_map_predefined(Name(b"Identity"));
        }
        let mut widths = cid.widths();
        for (number, (_, advance)) in &self.used {
            widths.consecutive(*number, [whole_thousandths(*advance)]);
        }
        widths.finish();
        cid.finish();
        self.write_descriptor(&mut chunk, descriptor, &name, file, compact.is_some());
        let mut texts = UnicodeCmap::new(Name(b"Cutleaf-Text"), IDENTITY);
        for (number, (text, _)) in &self.used {
            if !text.is_empty() {
                texts.pair_with_multiple(*number, text.chars());
            }
        }
        chunk.cmap(map, &deflated(&texts.finish())?).filter(Filter::FlateDecode);
        match compact {
            Some(compact) => {
                let small = deflated(compact)?;
                let mut stream = chunk.stream(file, &small);
                stream.filter(Filter::FlateDecode);
                stream.pair(Name(b"Subtype"), Name(b"CIDFontType0C"));
            }
            None => {
                let length = i32::try_from(embedded.len()).map_err(|error| error.to_string())?;
                let small = deflated(&embedded)?;
                let mut stream = chunk.stream(file, &small);
                stream.filter(Filter::FlateDecode);
                stream.pair(Name(b"Length1"), length);
            }
        }
        Ok(chunk)
    }

    /// The font file as it is embedded.
    fn embedded(&self) -> Result<Cow<'_, [u8]>, String> {
        let whole = self.is_whole();
        if whole && table(&self.font.data, b"glyf").is_some() {
            return Ok(Cow::Borrowed(self.font.data.as_slice()));
        }
        // A font of the other kind is rewritten with all its glyphs, so that their numbers are known.
        let mut all = GlyphRemapper::new();
        if whole {
            let count = u16::try_from(self.font.glyph_count).unwrap_or(u16::MAX);
            (0..count).for_each(|id| {
                all.remap(id);
            });
        }
        let glyphs = if whole { &all } else { &self.glyphs };
        let subset = subsetter::subset(&self.font.data, 0, glyphs);
        let subset = subset.map_err(|error| {
            format!("the font {} can't be embedded: {error:?}", self.font.family)
        })?;
        Ok(Cow::Owned(subset))
    }

    /// Six capitals that tell this subset from others of the same font (ISO 32000-1, 9.6.4).
    fn tag(&self) -> String {
        let mut hash = Sha256::new();
        hash.update(self.font.sha256.as_bytes());
        for glyph in self.glyphs.remapped_gids() {
            hash.update(glyph.to_be_bytes());
        }
        hash.finalize().iter().take(6).map(|byte| char::from(b'A' + byte % 26)).collect()
    }

    fn write_descriptor(&self, chunk: &mut Chunk, id: Ref, name: &str, file: Ref, compact: bool) {
        let font = &self.font;
        let (ascent, descent) = (thousandths(font.ascender), thousandths(font.descender));
        let mut descriptor = chunk.font_descriptor(id);
        descriptor
            .name(Name(name.as_bytes()))
            .flags(FontFlags::SYMBOLIC)
            .bbox(Rect::new(-500.0, descent, 2000.0, ascent))
            .italic_angle(0.0)
            .ascent(ascent)
            .descent(descent)
            .cap_height(thousandths(font.cap_height))
            .stem_v(80.0);
        if compact {
            descriptor.font_file3(file);
        } else {
            descriptor.font_file2(file);
        }
    }
}

/// Em to the thousandths of an em that PDF counts in, kept to a thousandth of those.
#[expect(clippy::cast_possible_truncation, reason = "font metrics are small")]
fn thousandths(em: f64) -> f32 {
    ((em * 1e6).round() / 1e3) as f32
}

/// A width in whole thousandths of an em: some readers leave out the fractions of those they find, so that
/// a line would drift; the page writes out what is left over.
#[expect(clippy::cast_possible_truncation, reason = "advances are small")]
fn whole_thousandths(em: f64) -> f32 {
    (em * 1e3).round() as f32
}

/// A name without blanks and signs, as PostScript wants it.
fn postscript_name(font: &Font) -> String {
    let name: String = format!("{}-{}", font.family, font.style)
        .chars()
        .filter(|letter| letter.is_ascii_alphanumeric() || *letter == '-')
        .collect();
    if name.is_empty() { "Font".to_owned() } else { name }
}
