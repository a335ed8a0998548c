//! One page builder for everything that is printed, in inches, y down.
//!
//! Pages have exact boxes (ISO 32000-1, 14.11.2), ask the viewer not to scale (12.2), embed their
//! fonts as subsets, and draw cut lines and marks on layers that are named and typed as processing
//! steps (ISO 19593-1). The same calls give the same bytes: there is no date, and the file's id is a
//! hash of its content.

mod canvas;
mod fonts;
mod images;

use std::sync::Arc;

use pdf_writer::types::OutlineItemFlags;
use pdf_writer::{Chunk, Finish, Name, Pdf, Rect, Ref, Str, TextStr};
use sha2::{Digest, Sha256};

use crate::outline::fonts::Font;

pub use canvas::{Anchor, Canvas, Ink};
use fonts::FontUse;
pub use images::{Image, Laid};

/// Points in an inch.
const POINTS: f64 = 72.0;

/// A layer that a printer's or plotter's software can tell apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    /// Where paper is cut.
    Cut,
    /// Where it is folded.
    Score,
    /// Crop and registration marks, rulers and notes outside the trim.
    Marks,
}

impl Layer {
    const ALL: [Self; 3] = [Self::Cut, Self::Score, Self::Marks];

    /// Name in the file, group and, where it has one, type after ISO 19593-1.
    const fn names(self) -> (&'static str, &'static str, &'static str) {
        match self {
            Self::Cut => ("cut", "Structural", "Cutting"),
            Self::Score => ("score", "Structural", "Creasing"),
            Self::Marks => ("marks", "Positions", ""),
        }
    }

    const fn resource(self) -> &'static [u8] {
        match self {
            Self::Cut => b"LayerCut",
            Self::Score => b"LayerScore",
            Self::Marks => b"LayerMarks",
        }
    }
}

/// A document under construction.
pub struct Document {
    title: String,
    fonts: Vec<FontUse>,
    images: Vec<Image>,
    pages: Vec<Page>,
}

/// A finished page.
struct Page {
    size: [f64; 2],
    name: String,
    content: Vec<u8>,
    /// Pictures on it, by place in the document.
    images: Vec<usize>,
}

impl Document {
    /// A document with a title and the fonts that its pages use, by place.
    pub fn new(title: &str, fonts: &[Arc<Font>]) -> Self {
        let fonts = fonts.iter().map(|font| FontUse::new(Arc::clone(font))).collect();
        Self { title: title.to_owned(), fonts, images: Vec::new(), pages: Vec::new() }
    }

    /// Adds a picture that pages can show; they name it by the number returned.
    pub fn image(&mut self, image: Image) -> usize {
        self.images.push(image);
        self.images.len() - 1
    }

    /// Adds a page of a size in inches and draws on it; `name` is its bookmark.
    pub fn page(&mut self, size: [f64; 2], name: &str, draw: impl FnOnce(&mut Canvas<'_>)) {
        let mut canvas = Canvas::new(size, &mut self.fonts);
        draw(&mut canvas);
        let (content, images) = canvas.finish();
        self.pages.push(Page { size, name: name.to_owned(), content, images });
    }

    /// The file's bytes.
    pub fn finish(self) -> Result<Vec<u8>, String> {
        let mut pdf = Pdf::new();
        pdf.set_version(1, 7);
        let mut next = 1;
        let mut fresh = || {
            let id = Ref::new(next);
            next += 1;
            id
        };
        let (catalog, tree, info, outline) = (fresh(), fresh(), fresh(), fresh());
        let layers: Vec<Ref> = Layer::ALL.iter().map(|_| fresh()).collect();
        let mut font_ids = Vec::new();
        let mut chunks = Vec::new();
        for font in &self.fonts {
            if font.is_used() {
                let ids = [fresh(), fresh(), fresh(), fresh(), fresh()];
                chunks.push(font.write(ids)?);
                font_ids.push(Some(ids[0]));
            } else {
                font_ids.push(None);
            }
        }
        let image_ids: Vec<[Ref; 2]> = self.images.iter().map(|_| [fresh(), fresh()]).collect();
        let pages: Vec<[Ref; 3]> = self.pages.iter().map(|_| [fresh(), fresh(), fresh()]).collect();
        self.write_catalog(&mut pdf, catalog, tree, outline, &layers);
        pdf.document_info(info).title(TextStr(&self.title)).creator(TextStr("Cutleaf"));
        let kids = pages.iter().map(|ids| ids[0]);
        let count = i32::try_from(self.pages.len()).map_err(|error| error.to_string())?;
        pdf.pages(tree).kids(kids).count(count);
        for (layer, id) in Layer::ALL.into_iter().zip(&layers) {
            write_layer(&mut pdf, *id, layer);
        }
        for (page, ids) in self.pages.iter().zip(&pages) {
            page.write(&mut pdf, *ids, tree, &font_ids, &image_ids, &layers);
        }
        self.write_outline(&mut pdf, outline, &pages, count);
        for chunk in &chunks {
            pdf.extend(chunk);
        }
        let hash = self.hash();
        for (image, ids) in self.images.into_iter().zip(image_ids) {
            image.write(&mut pdf, ids)?;
        }
        pdf.set_file_id((hash.clone(), hash));
        Ok(pdf.finish())
    }

    fn write_catalog(&self, pdf: &mut Pdf, id: Ref, tree: Ref, outline: Ref, layers: &[Ref]) {
        let mut catalog = pdf.catalog(id);
        catalog.pages(tree);
        catalog.lang(TextStr("en"));
        if !self.pages.is_empty() {
            catalog.outlines(outline);
        }
        let mut viewer = catalog.insert(Name(b"ViewerPreferences")).dict();
        viewer.pair(Name(b"PrintScaling"), Name(b"None"));
        viewer.pair(Name(b"DisplayDocTitle"), true);
        viewer.finish();
        let mut optional = catalog.insert(Name(b"OCProperties")).dict();
        optional.insert(Name(b"OCGs")).array().items(layers.iter().copied());
        let mut usual = optional.insert(Name(b"D")).dict();
        usual.pair(Name(b"Name"), TextStr("Layers"));
        usual.insert(Name(b"Order")).array().items(layers.iter().copied());
        usual.insert(Name(b"ON")).array().items(layers.iter().copied());
    }

    /// One bookmark a page (ISO 32000-1, 12.3.3).
    fn write_outline(&self, pdf: &mut Pdf, id: Ref, pages: &[[Ref; 3]], count: i32) {
        let (Some(first), Some(last)) = (pages.first(), pages.last()) else { return };
        pdf.outline(id).first(first[2]).last(last[2]).count(count);
        for (index, page) in self.pages.iter().enumerate() {
            let mut item = pdf.outline_item(pages[index][2]);
            item.title(TextStr(&page.name)).parent(id).flags(OutlineItemFlags::empty());
            if index > 0 {
                item.prev(pages[index - 1][2]);
            }
            if let Some(next) = pages.get(index + 1) {
                item.next(next[2]);
            }
            item.dest().page(pages[index][0]).fit();
        }
    }

    fn hash(&self) -> Vec<u8> {
        let mut hash = Sha256::new();
        hash.update(self.title.as_bytes());
        for page in &self.pages {
            hash.update(&page.content);
        }
        for font in &self.fonts {
            hash.update(font.sha256().as_bytes());
        }
        for image in &self.images {
            hash.update(image.sha256().as_bytes());
        }
        hash.finalize().iter().take(16).copied().collect()
    }
}

impl Page {
    fn write(
        &self,
        pdf: &mut Pdf,
        [id, content, _]: [Ref; 3],
        tree: Ref,
        fonts: &[Option<Ref>],
        images: &[[Ref; 2]],
        layers: &[Ref],
    ) {
        let [width, height] = self.size.map(points);
        let whole = Rect::new(0.0, 0.0, width, height);
        let mut page = pdf.page(id);
        page.parent(tree).media_box(whole).contents(content);
        page.bleed_box(whole).trim_box(whole);
        let mut resources = page.resources();
        let mut dictionary = resources.fonts();
        for (index, font) in fonts.iter().enumerate() {
            if let Some(font) = font {
                dictionary.pair(Name(fonts::resource(index).as_bytes()), *font);
            }
        }
        dictionary.finish();
        if !self.images.is_empty() {
            let mut dictionary = resources.x_objects();
            for &image in &self.images {
                dictionary.pair(Name(images::resource(image).as_bytes()), images[image][0]);
            }
        }
        let mut properties = resources.insert(Name(b"Properties")).dict();
        for (layer, id) in Layer::ALL.into_iter().zip(layers) {
            properties.pair(Name(layer.resource()), *id);
        }
        properties.finish();
        resources.finish();
        page.finish();
        pdf.stream(content, &self.content);
    }
}

fn write_layer(pdf: &mut Chunk, id: Ref, layer: Layer) {
    let (name, group, kind) = layer.names();
    let mut dictionary = pdf.indirect(id).dict();
    dictionary.pair(Name(b"Type"), Name(b"OCG"));
    dictionary.pair(Name(b"Name"), TextStr(name));
    let mut metadata = dictionary.insert(Name(b"GTS_Metadata")).dict();
    metadata.pair(Name(b"GTS_ProcStepsGroup"), Name(group.as_bytes()));
    if !kind.is_empty() {
        metadata.pair(Name(b"GTS_ProcStepsType"), Name(kind.as_bytes()));
    }
}

/// Inches to the points of PDF user space.
#[expect(clippy::cast_possible_truncation, reason = "f32 is exact to 1e-6 in on a page")]
fn points(inches: f64) -> f32 {
    (inches * POINTS) as f32
}

/// A string of raw bytes.
fn bytes(bytes: &[u8]) -> Str<'_> {
    Str(bytes)
}
