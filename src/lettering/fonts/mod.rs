//! Fonts: read, checked, described; found by file or family name in a [`FontBook`].

mod book;
mod files;
mod instance;
mod stroke;

use crate::model::Fault;
use std::collections::BTreeMap;
use std::fmt;
use std::path::PathBuf;
use std::sync::Arc;

use harfrust::Tag;
use harfrust::font::glyph::outline::{DrawMemory, DrawOptions, PathSink};
use harfrust::font::name::{NameId, Names};
use kurbo::{BezPath, Shape};
use read_fonts::{FontData, FontRef};
use sha2::{Digest, Sha256};

use crate::geometry::crossings;
use crate::kept::Kept;

pub use book::{FontBook, FontListing};
pub use instance::AxisRange;

/// The largest font file that is read, in bytes; the largest with every script have about 30 MB.
const LARGEST_FONT: usize = 64_000_000;
/// Most points of a letter: distressed and brush faces have some 2 000, and a blade that follows more tears
/// the paper.
const MOST_POINTS: usize = 6_000;
/// Most contours of a letter; distressed faces have up to 300.
const MOST_CONTOURS: usize = 800;
/// Most crossings of a letter's lines; sound letters of overlapping strokes have a few dozen.
const MOST_CROSSINGS: usize = 500;
/// Height of a capital where neither the table nor an `H` tells it, in em (common practice, no
/// source).
const USUAL_CAP_HEIGHT: f64 = 0.7;
/// Height of an x where neither the table nor an `x` tells it, in em (common practice, no source).
const USUAL_X_HEIGHT: f64 = 0.5;

/// Fonts of at most so many bytes are kept: larger ones, which hold every script, would fill the memory.
const LARGEST_KEPT: usize = 4_000_000;
/// Fonts read last, by their bytes and where these are from: those of a spread.
static READ: Kept<FontSource, Result<Font, Fault>> = Kept::new(16);

/// A font's bytes, the name of their source and the file, if it is one.
type FontSource = (Arc<Vec<u8>>, String, Option<PathBuf>);

/// A font that has outlines. Heights are in em, above the baseline.
#[derive(Clone)]
pub struct Font {
    /// Family name.
    pub family: String,
    /// Style name.
    pub style: String,
    /// `built in`, or the file's name without its folder.
    pub source: String,
    /// The file, if it is one.
    pub path: Option<PathBuf>,
    /// The file's bytes.
    pub data: Arc<Vec<u8>>,
    /// SHA-256 of the bytes, hexadecimal.
    pub sha256: String,
    /// What may be done with it in a document.
    pub embedding: Embedding,
    /// Units of an em.
    pub units_per_em: f64,
    /// Height of flat capitals.
    pub cap_height: f64,
    /// Height of flat small letters.
    pub x_height: f64,
    /// How far the tallest letters rise.
    pub ascender: f64,
    /// How far the deepest letters sink, below 0.
    pub descender: f64,
    /// Number of glyphs.
    pub glyph_count: u32,
    /// Variable axes that are set, by tag; empty for the font as it comes.
    pub axes: BTreeMap<String, f64>,
    /// OpenType features that are switched, by tag.
    pub features: BTreeMap<String, u32>,
    /// Fonts that stand in where it lacks a letter of a label, best first.
    pub stand_ins: Vec<Arc<Font>>,
    pub(super) face: harfrust::Font,
}

impl fmt::Debug for Font {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "Font({} {})", self.family, self.style)
    }
}

/// What the `fsType` of the OS/2 table permits (OpenType specification, OS/2, fsType).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Embedding {
    /// Bits 0 to 3.
    pub permission: Permission,
    /// Bit 8: the whole font is embedded or nothing.
    pub no_subsetting: bool,
    /// Bit 9: only bitmaps may be embedded.
    pub bitmaps_only: bool,
}

/// Bits 0 to 3 of `fsType`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Permission {
    /// 0: may be embedded and installed.
    Installable,
    /// 2: must not be embedded.
    Restricted,
    /// 4: may be embedded to view and print.
    PreviewAndPrint,
    /// 8: may be embedded in documents that are edited.
    Editable,
    /// The table is missing.
    Unknown,
}

impl Embedding {
    /// Whether it may go into a PDF: as a subset, or whole where it may not be parted.
    pub fn allows_pdf(self) -> bool {
        self.permission != Permission::Restricted && !self.bitmaps_only
    }

    fn read(os2: Option<&[u8]>) -> Self {
        let Some(bits) = os2.and_then(|table| FontData::new(table).read_at::<u16>(8).ok()) else {
            return Self {
                permission: Permission::Unknown,
                no_subsetting: false,
                bitmaps_only: false,
            };
        };
        let permission = match bits & 0xf {
            0 => Permission::Installable,
            bits if bits & 8 != 0 => Permission::Editable,
            bits if bits & 4 != 0 => Permission::PreviewAndPrint,
            _ => Permission::Restricted,
        };
        Self { permission, no_subsetting: bits & 0x100 != 0, bitmaps_only: bits & 0x200 != 0 }
    }
}

impl fmt::Display for Embedding {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self.permission {
            Permission::Installable => "installable",
            Permission::Restricted => "restricted",
            Permission::PreviewAndPrint => "preview and print",
            Permission::Editable => "editable",
            Permission::Unknown => "not stated",
        })?;
        if self.no_subsetting {
            formatter.write_str(", whole only")?;
        }
        if self.bitmaps_only {
            formatter.write_str(", bitmaps only")?;
        }
        Ok(())
    }
}

impl Font {
    /// Reads a font from the bytes of a file.
    pub fn read(data: Vec<u8>, source: &str, path: Option<PathBuf>) -> Result<Self, Fault> {
        if data.len() > LARGEST_FONT {
            return Err(fault(source, "is too large for a font", "use a smaller file"));
        }
        if data.len() > LARGEST_KEPT {
            return Self::parsed(Arc::new(data), source, path);
        }
        let asked = (Arc::new(data), source.to_owned(), path);
        READ.of(asked, |(data, source, path)| Self::parsed(Arc::clone(data), source, path.clone()))
    }

    fn parsed(data: Arc<Vec<u8>>, source: &str, path: Option<PathBuf>) -> Result<Self, Fault> {
        let shared: Arc<dyn AsRef<[u8]> + Send + Sync> = Arc::clone(&data) as _;
        let face = harfrust::Font::new(shared, 0)
            .ok_or_else(|| fault(source, "is not a font", "use a .ttf or .otf file"))?;
        let os2 = table(&data, b"OS/2");
        let units_per_em = f64::from(face.metrics().units_per_em);
        let [family, style] = family_and_style(face.names(), source);
        let mut font = Self {
            family,
            style,
            source: source.to_owned(),
            path,
            sha256: sha256(&data),
            embedding: Embedding::read(os2),
            units_per_em,
            cap_height: 0.0,
            x_height: 0.0,
            ascender: 0.0,
            descender: 0.0,
            glyph_count: face.num_glyphs(),
            axes: BTreeMap::new(),
            features: BTreeMap::new(),
            stand_ins: Vec::new(),
            data: Arc::clone(&data),
            face,
        };
        if font.glyph_count == 0 || !font.has_outlines() {
            return Err(fault(
                source,
                "has no outlines to cut",
                "fonts made of bitmaps or colour layers can't be cut: use an outline font",
            ));
        }
        font.measure();
        Ok(font)
    }

    /// Why the font can't go into a print file, in a few words: what its maker allows, or a form of outlines
    /// that PDF doesn't know.
    pub fn barred_from_pdf(&self) -> Option<String> {
        if !self.embedding.allows_pdf() {
            Some(format!("its maker does not allow it ({})", self.embedding))
        } else if table(&self.data, b"CFF2").is_some() {
            Some("its outlines are of the form CFF2, which PDF does not know".to_owned())
        } else {
            None
        }
    }

    /// The font with others that stand in where it lacks a letter of a label; those that may not go into
    /// a document, or are set to something other than as they come, are passed over.
    pub fn with_stand_ins(self, fonts: &[Arc<Self>]) -> Self {
        let fits = |font: &&Arc<Self>| {
            font.barred_from_pdf().is_none() && font.axes.is_empty() && font.sha256 != self.sha256
        };
        let stand_ins = fonts.iter().filter(fits).cloned().collect();
        Self { stand_ins, ..self }
    }

    /// The font, then those that stand in for it.
    pub fn with_its_stand_ins(&self) -> Vec<&Self> {
        let others = self.stand_ins.iter().map(|font| &**font);
        std::iter::once(self).chain(others).collect()
    }

    /// Takes the heights from the tables and outlines.
    fn measure(&mut self) {
        let (ascender, descender) = match self.face.metrics().h_line() {
            Some(line) => (
                line.ascender.to_f64() / self.units_per_em,
                line.descender.to_f64() / self.units_per_em,
            ),
            None => (0.9, -0.25),
        };
        (self.ascender, self.descender) = (ascender, descender);
        self.cap_height = self.height_of('H').unwrap_or(USUAL_CAP_HEIGHT);
        self.x_height = self.height_of('x').unwrap_or(USUAL_X_HEIGHT);
    }

    /// The glyph that stands for a letter before shaping.
    pub fn glyph(&self, letter: char) -> Option<u16> {
        glyph_for(&self.face, letter)
    }

    /// A glyph's outline in em, y down, its baseline at 0. Contours keep their curves.
    pub fn outline(&self, glyph: u16) -> Option<BezPath> {
        let outlines = self.face.outline_glyphs();
        let outline = outlines.get(harfrust::GlyphId::from(glyph))?;
        let mut sink = Sink { path: BezPath::new(), scale: 1.0 / self.units_per_em };
        outline.draw(&DrawOptions::new(), DrawMemory::default(), &mut sink).ok()?;
        let finite = sink.path.elements().iter().all(kurbo::PathEl::is_finite);
        finite.then_some(sink.path)
    }

    /// Why a letter of this outline can't be cut: it is made of more than a blade could follow.
    pub fn too_involved(outline: &BezPath) -> Option<String> {
        let elements = outline.elements();
        let contours =
            elements.iter().filter(|element| matches!(element, kurbo::PathEl::MoveTo(_))).count();
        if elements.len() > MOST_POINTS {
            return Some(format!("more than {MOST_POINTS} points"));
        }
        if contours > MOST_CONTOURS {
            return Some(format!("more than {MOST_CONTOURS} contours"));
        }
        let crosses = crossings::more_than([outline], MOST_CROSSINGS);
        crosses.then(|| "lines that cross each other again and again".to_owned())
    }

    /// How far the pen moves on after a glyph, in em, before any kerning.
    pub fn advance(&self, glyph: u16) -> f64 {
        let shaper = harfrust::ShaperFont::new(&self.face);
        f64::from(shaper.glyph_h_advance(harfrust::GlyphId::from(glyph))) / self.units_per_em
    }

    /// Height of a flat-topped letter, measured from its outline.
    fn height_of(&self, letter: char) -> Option<f64> {
        let outline = self.outline(self.glyph(letter)?)?;
        let height = -outline.bounding_box().y0;
        (height > 0.0 && !outline.elements().is_empty()).then_some(height)
    }

    /// Whether any letter of the font, or failing that any of its first glyphs, has an outline.
    fn has_outlines(&self) -> bool {
        let letters = ('A'..='z').filter_map(|letter| self.glyph(letter));
        letters
            .chain(1..200)
            .filter(|glyph| u32::from(*glyph) < self.glyph_count)
            .any(|glyph| self.outline(glyph).is_some_and(|path| !path.elements().is_empty()))
    }
}

/// Draws a glyph as a path in em, y down.
struct Sink {
    path: BezPath,
    scale: f64,
}

impl Sink {
    fn point(&self, x: f32, y: f32) -> (f64, f64) {
        (f64::from(x) * self.scale, -f64::from(y) * self.scale)
    }
}

impl PathSink for Sink {
    fn move_to(&mut self, x: f32, y: f32) {
        self.path.move_to(self.point(x, y));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.path.line_to(self.point(x, y));
    }
    fn quad_to(&mut self, cx0: f32, cy0: f32, x: f32, y: f32) {
        self.path.quad_to(self.point(cx0, cy0), self.point(x, y));
    }
    fn curve_to(&mut self, cx0: f32, cy0: f32, cx1: f32, cy1: f32, x: f32, y: f32) {
        self.path.curve_to(self.point(cx0, cy0), self.point(cx1, cy1), self.point(x, y));
    }
    fn close(&mut self) {
        self.path.close_path();
    }
}

fn fault(source: &str, what: &str, help: &str) -> Fault {
    Fault { message: format!("`{source}` {what}"), help: help.to_owned() }
}

/// Family and style by a font's names; the file's name and `Regular` where it has none.
fn family_and_style(names: Names<'_>, source: &str) -> [String; 2] {
    let name = |id: NameId| -> Option<String> {
        let name = names.get(id)?.english_or_first()?;
        let text: String = name.name().chars().filter(|letter| !letter.is_control()).collect();
        (!text.is_empty()).then_some(text)
    };
    let family = name(NameId::TYPOGRAPHIC_FAMILY_NAME).or_else(|| name(NameId::FAMILY_NAME));
    let style = name(NameId::TYPOGRAPHIC_SUBFAMILY_NAME).or_else(|| name(NameId::SUBFAMILY_NAME));
    [family.unwrap_or_else(|| source.to_owned()), style.unwrap_or_else(|| "Regular".to_owned())]
}

/// The glyph that stands for a letter before shaping.
fn glyph_for(face: &harfrust::Font, letter: char) -> Option<u16> {
    let glyph = face.charmap().map_unicode(letter)?;
    u16::try_from(glyph.to_u32()).ok().filter(|glyph| *glyph != 0)
}

/// SHA-256 of bytes, hexadecimal.
fn sha256(data: &[u8]) -> String {
    Sha256::digest(data).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A table of a font file.
pub(crate) fn table<'a>(data: &'a [u8], tag: &[u8; 4]) -> Option<&'a [u8]> {
    Some(FontRef::from_index(data, 0).ok()?.table_data(Tag::new(tag))?.as_bytes())
}
