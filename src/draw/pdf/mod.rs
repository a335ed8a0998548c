//! One page builder for everything that is printed, in inches, y down.
//!
//! Pages have exact boxes (ISO 32000-1, 14.11.2), ask the viewer not to scale (12.2), embed their
//! fonts as subsets, and draw cut lines and marks on layers that are named and typed as processing
//! steps (ISO 19593-1). The same calls give the same bytes: there is no date, and the file's id is a
//! hash of its content.

mod canvas;
mod fonts;
mod images;
mod layers;
mod list;
mod navigation;
mod said;
mod setup;

use std::io::Write;
use std::sync::Arc;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use pdf_writer::{Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};
use sha2::{Digest, Sha256};

use crate::lettering::fonts::Font;

use super::Layer;
use super::display_list::Item;
use canvas::Canvas;
use fonts::FontUse;
pub use images::{Image, Laid};
pub use setup::PageSetup;

/// Points in an inch.
const POINTS: f64 = 72.0;

/// A document under construction.
pub struct Document {
    title: String,
    fonts: Vec<FontUse>,
    /// Places of the fonts that stand in where one lacks a letter of a label.
    stand_ins: Vec<usize>,
    /// Places of the fonts of plain and of bold words.
    faces: [usize; 2],
    images: Vec<Image>,
    pages: Vec<Page>,
    /// What everything on a page is stretched by, across and down, about the page's middle.
    stretch: [f64; 2],
}

/// A finished page.
struct Page {
    setup: PageSetup,
    content: Vec<u8>,
    /// Pictures on it, by place in the document.
    images: Vec<usize>,
    /// Layers on it.
    layers: Vec<Layer>,
}

impl Document {
    /// A document with a title and the fonts that its pages use, by place; those that stand in for one of
    /// them come after. `faces` are the places of those for plain and for bold words.
    pub fn new(title: &str, fonts: &[Arc<Font>], faces: [usize; 2]) -> Self {
        let mut all: Vec<Arc<Font>> = fonts.to_vec();
        let mut stand_ins: Vec<usize> = Vec::new();
        for stand_in in fonts.iter().flat_map(|font| &font.stand_ins) {
            let place = all.iter().position(|other| other.is_used_like(stand_in));
            let place = place.unwrap_or_else(|| {
                all.push(Arc::clone(stand_in));
                all.len() - 1
            });
            if !stand_ins.contains(&place) {
                stand_ins.push(place);
            }
        }
        let fonts = all.into_iter().map(FontUse::new).collect();
        let title = title.to_owned();
        let (images, pages, stretch) = (Vec::new(), Vec::new(), [1.0, 1.0]);
        Self { title, fonts, stand_ins, faces, images, pages, stretch }
    }

    /// Stretches all pages that are added from now on about their middles, so that a printer which
    /// prints `scale` (across and down) of every length prints them true.
    pub fn corrected(mut self, scale: [f64; 2]) -> Self {
        self.stretch = scale.map(|share| if share > 0.0 { 1.0 / share } else { 1.0 });
        self
    }

    /// Adds a picture that pages can show; they name it by the number returned.
    pub fn image(&mut self, image: Image) -> usize {
        self.images.push(image);
        self.images.len() - 1
    }

    /// Width in inches of plain or bold words at a type size in points.
    pub fn width(&self, bold: bool, size: f64, text: &str) -> f64 {
        canvas::width(&self.fonts, &self.stand_ins, self.faces[usize::from(bold)], size, text)
    }

    /// Adds a page of a size in inches with what is drawn on it; `name` is its bookmark.
    pub fn page(&mut self, size: [f64; 2], name: &str, items: &[Item<'_>]) {
        self.add(PageSetup::new(size, name), items);
    }

    /// Adds a page with a label, boxes or a bookmark under another, and what is drawn on it.
    pub fn add(&mut self, setup: PageSetup, items: &[Item<'_>]) {
        let mut canvas = Canvas::new(setup.size, self.stretch, &mut self.fonts, &self.stand_ins);
        canvas.draw(items, self.faces);
        let (content, images, layers) = canvas.finish();
        let setup = setup.stretched(self.stretch);
        self.pages.push(Page { setup, content, images, layers });
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
        let used = |layer: &Layer| self.pages.iter().any(|page| page.layers.contains(layer));
        let layers: Vec<(Layer, Ref)> =
            Layer::ALL.into_iter().filter(used).map(|layer| (layer, fresh())).collect();
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
        let pages: Vec<[Ref; 2]> = self.pages.iter().map(|_| [fresh(), fresh()]).collect();
        let setups = self.pages.iter().zip(&pages).map(|(page, ids)| (&page.setup, ids[0]));
        let bookmarks = navigation::bookmarks(setups, &mut fresh);
        self.write_catalog(&mut pdf, catalog, tree, outline, &layers);
        pdf.document_info(info).title(TextStr(&self.title)).creator(TextStr("Cutleaf"));
        let kids = pages.iter().map(|ids| ids[0]);
        let count = i32::try_from(self.pages.len()).map_err(|error| error.to_string())?;
        pdf.pages(tree).kids(kids).count(count);
        for (layer, id) in &layers {
            layer.write(&mut pdf, *id);
        }
        for (page, ids) in self.pages.iter().zip(&pages) {
            page.write(&mut pdf, *ids, tree, &font_ids, &image_ids, &layers)?;
        }
        navigation::write_outline(&mut pdf, outline, &bookmarks);
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

    fn write_catalog(
        &self,
        pdf: &mut Pdf,
        id: Ref,
        tree: Ref,
        outline: Ref,
        layers: &[(Layer, Ref)],
    ) {
        let mut catalog = pdf.catalog(id);
        catalog.pages(tree);
        catalog.lang(TextStr("en"));
        let named =
            |page: &&Page| !(page.setup.bookmark.is_empty() && page.setup.places.is_empty());
        if self.pages.iter().any(|page| named(&page)) {
            catalog.outlines(outline);
        }
        if self.pages.len() > 1 {
            catalog.pair(Name(b"PageMode"), Name(b"UseOutlines"));
        }
        navigation::write_labels(&mut catalog, self.pages.iter().map(|page| &page.setup));
        let mut viewer = catalog.insert(Name(b"ViewerPreferences")).dict();
        viewer.pair(Name(b"PrintScaling"), Name(b"None"));
        viewer.pair(Name(b"DisplayDocTitle"), true);
        viewer.finish();
        if !layers.is_empty() {
            layers::write_list(&mut catalog, layers);
        }
    }

    fn hash(&self) -> Vec<u8> {
        let mut hash = Sha256::new();
        hash.update(self.title.as_bytes());
        for page in &self.pages {
            hash.update(page.setup.bookmark.as_bytes());
            for (place, _) in &page.setup.places {
                hash.update(place.as_bytes());
            }
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
        [id, content]: [Ref; 2],
        tree: Ref,
        fonts: &[Option<Ref>],
        images: &[[Ref; 2]],
        layers: &[(Layer, Ref)],
    ) -> Result<(), String> {
        let [width, height] = self.setup.size.map(points);
        let mut page = pdf.page(id);
        page.parent(tree).media_box(Rect::new(0.0, 0.0, width, height)).contents(content);
        page.bleed_box(self.setup.bleed_box()).trim_box(self.setup.trim_box());
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
        for (layer, id) in layers {
            properties.pair(Name(layer.resource()), *id);
        }
        properties.finish();
        resources.finish();
        page.finish();
        pdf.stream(content, &deflated(&self.content)?).filter(Filter::FlateDecode);
        Ok(())
    }
}

/// Bytes made smaller (RFC 1950).
fn deflated(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::default());
    encoder
        .write_all(bytes)
        .and_then(|()| encoder.finish())
        .map_err(|error| format!("a page can't be compressed: {error}"))
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
