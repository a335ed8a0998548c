//! The photos of the proof: the sheets of photo paper as they are printed, and each photo's picture.

use svg::Document;
use svg::node::element::{Group, Use};

use super::{Proof, counted, inline_at, name, percent, section, text};
use crate::emit::SmallCopies;
use crate::emit::drawing::{area, fixed, laying_rectangle, moved};
use crate::emit::lettering::{Anchor, Lettering};
use crate::emit::sheet_picture::{edge_to_buy, sheet_edge};
use crate::emit::spread::picture_id;
use crate::lettering::fonts::Font;
use crate::record::{Area, Photo, Placed, Sheet};

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
    pub(super) fn prints(&self, label_font: &Font, copies: &SmallCopies) -> String {
        let prints = &self.record.prints;
        let Some(first) = prints.first() else { return String::new() };
        let sheets = counted(prints.len(), "sheet", "sheets");
        let about = format!(
            "<p>{sheets} of {}, {}: print print/photos.pdf at 100 %, no scaling.</p>\n",
            self.size(first.size),
            text(&first.paper)
        );
        let cards: String =
            prints.iter().map(|sheet| self.print_sheet(sheet, label_font, copies)).collect();
        let photos = self.record.photos.iter().enumerate();
        let rows: String = photos.map(|(place, photo)| self.photo_row(place + 1, photo)).collect();
        let columns = ["No.", "Photo", "Print", "File", "Printed of it", "Dots an inch"];
        let table = super::tables::table(&columns, &rows);
        let body = format!(
            "{about}<div class=\"sheets\">\n{cards}</div>\n<div class=\"card prints\">{table}</div>"
        );
        section("sheets-part", "prints", "The photos to print", &body)
    }

    fn print_sheet(&self, sheet: &Sheet, label_font: &Font, copies: &SmallCopies) -> String {
        let number = sheet.printed;
        let photos = counted(sheet.placed.len(), "photo", "photos");
        let share = prints_width(sheet) / self.widest();
        let told = format!("Sheet {} of photo paper with {photos}", sheet.id);
        format!(
            "<article class=\"card\" id=\"prints-{number}\" aria-labelledby=\"prints-{number}-name\">\n\
             <div class=\"head\">{}<h3 id=\"prints-{number}-name\">{}</h3></div>\n\
             <p class=\"facts\">{}Page {number} of print/photos.pdf · {photos} · {} used</p>\n\
             <figure class=\"picture\">{}</figure>\n{}</article>\n",
            self.tick("sheet", &sheet.id, "is cut"),
            name(&sheet.id),
            if sheet.to_buy { "<strong class=\"buy\">to buy</strong> · " } else { "" },
            percent(sheet.used),
            inline_at(&self.print_picture(sheet, label_font, copies), &told, share),
            self.cuts(sheet),
        )
    }

    /// A sheet of photo paper; it shows the pictures that the spread holds already.
    fn print_picture(&self, sheet: &Sheet, label_font: &Font, copies: &SmallCopies) -> String {
        let prefix = format!("prints-{}", sheet.printed);
        let mut lettering = Lettering::new(&prefix, label_font);
        let mut body = Group::new();
        for placed in &sheet.placed {
            let photos = self.record.photos.iter().enumerate();
            let found = photos.into_iter().find(|(_, photo)| photo.id == placed.piece);
            let Some((number, photo)) = found else { continue };
            body = body.add(print(number, photo, placed, copies, &mut lettering));
        }
        let paper = Area { at: [0.0; 2], size: sheet.size };
        let [width, height] = sheet.size.map(fixed);
        Document::new()
            .set("width", format!("{width}in"))
            .set("height", format!("{height}in"))
            .set(
                "viewBox",
                format!(
                    "-0.05 -0.05 {} {}",
                    fixed(sheet.size[0] + 0.1),
                    fixed(sheet.size[1] + 0.1)
                ),
            )
            .add(lettering.define(svg::node::element::Definitions::new()))
            .add(sheet_edge(area(&paper).set("fill", "#ffffff")))
            .add(body)
            .add(edge_to_buy(sheet))
            .to_string()
    }

    fn photo_row(&self, number: usize, photo: &Photo) -> String {
        let Some(picture) = &photo.picture else { return String::new() };
        let [width, height] = picture.dots.map(f64::from);
        let kept = picture.crop.size[0] * picture.crop.size[1] / (width * height);
        let part = if kept > 0.9995 { "the whole".to_owned() } else { percent(kept) };
        format!(
            "<tr><td class=\"count\">{number}</td><th scope=\"row\">{}</th><td class=\"size\">{}</td><td>{}</td><td>{part}</td><td>{:.0}</td></tr>\n",
            name(&photo.id),
            self.size(photo.size),
            text(&picture.file),
            picture.resolution,
        )
    }
}

/// Width of the picture of a sheet of photo paper in inches.
pub(super) fn prints_width(sheet: &Sheet) -> f64 {
    sheet.size[0] + 0.1
}

/// One print where it lies on its sheet.
fn print(
    number: usize,
    photo: &Photo,
    placed: &Placed,
    copies: &SmallCopies,
    lettering: &mut Lettering<'_>,
) -> Group {
    let whole = Area { at: [0.0; 2], size: photo.size };
    let edge = area(&whole).set("fill", "#fffefb");
    let mut group = moved(laying_rectangle(photo.size, placed.turn, placed.at)).add(edge);
    if copies.get(&photo.id).is_some() {
        group = group.add(Use::new().set("href", format!("#{}", picture_id(number))));
    } else {
        let middle = photo.size.map(|side| side / 2.0);
        group = group.add(lettering.words(&photo.name, middle, 0.25, Anchor::Middle));
    }
    let edge = area(&whole).set("fill", "none").set("stroke", "#8c2f39");
    group.add(edge.set("stroke-width", "0.02").set("stroke-dasharray", "0.1 0.06"))
}
