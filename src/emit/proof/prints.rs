//! The photos of the proof: the sheets of photo paper as they are printed, and each photo's picture.

use kurbo::{Point, Rect};
use maud::{Markup, html};

use super::{Proof, counted, name, percent, section};
use crate::draw::Anchor;
use crate::draw::display_list::{Group, Image, Item, Paint, Shape, Stroke, Text};
use crate::draw::svg::{Means, Pictures, Svg};
use crate::emit::SmallCopies;
use crate::emit::drawing::laying_rectangle;
use crate::emit::sheet_drawing::edge_to_buy;
use crate::emit::sheet_picture::{EDGE, EDGE_TO_BUY};
use crate::emit::spread::PREFIX;
use crate::lettering::fonts::Font;
use crate::record::{Photo, Placed, Record, Sheet, in_all};

/// Room round a sheet in its picture, in inches: for half of its edge's line.
const PRINT_RIM: f64 = 0.05;

impl Proof<'_> {
    /// What is said below the spread about the photos on it.
    pub(super) fn about_photos(&self, copies: &SmallCopies) -> &'static str {
        let shown = |photo: &Photo| copies.get(&photo.id).is_some();
        let photos = &self.record.photos;
        match (photos.is_empty(), photos.iter().all(shown), photos.iter().any(shown)) {
            (true, _, _) => "",
            (false, true, _) => "The photos are shown as they are printed.",
            (false, false, true) => "Photos without a file are stand-ins of the right size.",
            (false, false, false) => "The photos are stand-ins of the right size.",
        }
    }

    /// The sheets of photo paper, and the photos on them.
    pub(super) fn prints(&self) -> Markup {
        let prints = &self.record.prints;
        let Some(first) = prints.first() else { return html! {} };
        let sheets = counted(in_all(prints), "sheet", "sheets");
        let columns = ["No.", "Photo", "Print", "File", "Printed of it", "Dots an inch"];
        let rows = html! {
            @for (photo, number) in self.record.photos.iter().zip(1..) {
                (self.photo_row(number, photo))
            }
        };
        let body = html! {
            p {
                (sheets) " of " (self.size(first.size)) ", " (first.paper)
                ": print print/photos.pdf at 100 %, no scaling."
            }
            div class="sheets" {
                @for (sheet, picture) in prints.iter().zip(&self.print_pictures) {
                    (self.print_sheet(sheet, picture))
                }
            }
            div class="card prints" { (super::tables::table(&columns, &rows)) }
        };
        section("sheets-part", "prints", "The photos to print", &body)
    }

    fn print_sheet(&self, sheet: &Sheet, picture: &Svg) -> Markup {
        let page = sheet.printed.unwrap_or_default();
        let id = format!("prints-{page}");
        let photos = counted(sheet.placed.len(), "photo", "photos");
        let told = format!("Sheet {} of photo paper with {photos}", sheet.id);
        let facts = html! {
            @if sheet.to_buy { strong class="buy" { "to buy" } " · " }
            "Page " (page) " of print/photos.pdf"
            @if !sheet.count.is_one() { ", " strong { "printed " (sheet.count) " times" } }
            " · " (photos) " · " (percent(sheet.used))
            " used"
        };
        let picture = self.picture(picture, &told);
        self.card(&id, sheet, &html! {}, &facts, &picture, &self.cuts(sheet))
    }

    fn photo_row(&self, number: u32, photo: &Photo) -> Markup {
        let Some(picture) = &photo.picture else { return html! {} };
        let [width, height] = picture.dots.map(f64::from);
        let kept = picture.crop.size[0] * picture.crop.size[1] / (width * height);
        let part = if kept > 0.9995 { "the whole".to_owned() } else { percent(kept) };
        html! {
            tr {
                td class="count" { (number) }
                th scope="row" {
                    (name(&photo.id))
                    @if !photo.copies.is_one() { " × " (photo.copies) }
                }
                td class="size" { (self.size(photo.size)) }
                td { (picture.file) }
                td { (part) }
                td { (format!("{:.0}", picture.resolution)) }
            }
        }
    }
}

/// A sheet of photo paper; it shows the pictures that the spread holds already.
pub(super) fn print_picture(
    record: &Record,
    sheet: &Sheet,
    label_font: &Font,
    copies: &SmallCopies,
) -> Svg {
    let prefix = format!("prints-{}", sheet.printed.unwrap_or_default());
    let whole = Rect::from_origin_size(Point::ORIGIN, (sheet.size[0], sheet.size[1]));
    let paper = Shape::rectangle(whole).filled(Paint::Ink("#ffffff", 1.0));
    let mut items = vec![paper.stroked(Stroke::new(EDGE, 0.03)).into()];
    for placed in &sheet.placed {
        let mut photos = record.photos.iter().enumerate();
        let found = photos.find(|(_, photo)| photo.id == placed.piece);
        items.extend(found.map(|(number, photo)| print(number, photo, placed, copies)));
    }
    items.extend(sheet.to_buy.then(|| edge_to_buy(whole, EDGE_TO_BUY)));
    let means = Means { pictures: Pictures::In(PREFIX), ..Means::lettered(&prefix, label_font) };
    Svg::new(whole.inflate(PRINT_RIM, PRINT_RIM)).over(&items, means)
}

/// One print where it lies on its sheet.
fn print<'a>(number: usize, photo: &Photo, placed: &Placed, copies: &SmallCopies) -> Item<'a> {
    let whole =
        Shape::rectangle(Rect::from_origin_size(Point::ORIGIN, (photo.size[0], photo.size[1])));
    let shown = match copies.get(&photo.id) {
        Some(_) => Image::filling(number, photo.field().into()).into(),
        None => {
            let middle = (photo.size[0] / 2.0, photo.size[1] / 2.0);
            Text::new(&photo.name, middle, 0.25, "#000000").anchored(Anchor::Middle).into()
        }
    };
    let edge = Stroke::new("#8c2f39", 0.02).dashed(&[0.1, 0.06]);
    let items = vec![
        whole.clone().filled(Paint::Ink("#fffefb", 1.0)).into(),
        shown,
        whole.stroked(edge).into(),
    ];
    Group::laid(laying_rectangle(photo.size, placed.turn, placed.at), items).into()
}
