//! Bookmarks (ISO 32000-1, 12.3.3) and page labels (12.4.2).

use pdf_writer::writers::Catalog;
use pdf_writer::{Finish, Name, Pdf, Ref, TextStr};

use super::{PageSetup, points};

/// A bookmark and those under it.
pub(super) struct Bookmark {
    id: Ref,
    title: String,
    page: Ref,
    /// How far up the page its place is, in points; the whole page if not told.
    up: Option<f32>,
    under: Vec<Bookmark>,
}

/// The bookmarks of pages: one a page, neighbours of one part under that part's, and those of places.
pub(super) fn bookmarks<'a>(
    pages: impl Iterator<Item = (&'a PageSetup, Ref)>,
    fresh: &mut impl FnMut() -> Ref,
) -> Vec<Bookmark> {
    let mut tops: Vec<Bookmark> = Vec::new();
    let mut part = "";
    for (setup, page) in pages {
        if !setup.part.is_empty() && setup.part != part {
            let title = setup.part.clone();
            tops.push(Bookmark { id: fresh(), title, page, up: None, under: Vec::new() });
        }
        part = &setup.part;
        if !setup.bookmark.is_empty() {
            let title = setup.bookmark.clone();
            let own = Bookmark { id: fresh(), title, page, up: None, under: Vec::new() };
            match tops.last_mut() {
                Some(top) if !part.is_empty() => top.under.push(own),
                _ => tops.push(own),
            }
        }
        for (title, down) in &setup.places {
            let (title, up) = (title.clone(), Some(points(setup.size[1] - down)));
            tops.push(Bookmark { id: fresh(), title, page, up, under: Vec::new() });
        }
    }
    tops
}

/// Writes the bookmarks; parts stand open.
pub(super) fn write_outline(pdf: &mut Pdf, id: Ref, tops: &[Bookmark]) {
    let (Some(first), Some(last)) = (tops.first(), tops.last()) else { return };
    let open = tops.len() + tops.iter().map(|top| top.under.len()).sum::<usize>();
    pdf.outline(id).first(first.id).last(last.id).count(count(open));
    write_level(pdf, id, tops);
    for top in tops {
        write_level(pdf, top.id, &top.under);
    }
}

fn write_level(pdf: &mut Pdf, parent: Ref, level: &[Bookmark]) {
    for (index, bookmark) in level.iter().enumerate() {
        let mut item = pdf.outline_item(bookmark.id);
        item.title(TextStr(&bookmark.title)).parent(parent);
        if index > 0 {
            item.prev(level[index - 1].id);
        }
        if let Some(next) = level.get(index + 1) {
            item.next(next.id);
        }
        if let (Some(first), Some(last)) = (bookmark.under.first(), bookmark.under.last()) {
            item.first(first.id).last(last.id).count(count(bookmark.under.len()));
        }
        let place = item.dest().page(bookmark.page);
        match bookmark.up {
            Some(up) => place.xyz(0.0, up, None),
            None => place.fit(),
        }
    }
}

fn count(items: usize) -> i32 {
    i32::try_from(items).unwrap_or(i32::MAX)
}

/// Writes what a viewer calls each page: its label, or its number.
pub(super) fn write_labels<'a>(
    catalog: &mut Catalog<'_>,
    pages: impl Iterator<Item = &'a PageSetup>,
) {
    let mut tree = catalog.insert(Name(b"PageLabels")).dict();
    let mut labels = tree.insert(Name(b"Nums")).array();
    for (index, setup) in pages.enumerate() {
        labels.item(count(index));
        let mut label = labels.push().dict();
        label.pair(Name(b"Type"), Name(b"PageLabel"));
        if setup.label.is_empty() {
            label.pair(Name(b"S"), Name(b"D"));
            label.pair(Name(b"St"), count(index + 1));
        } else {
            label.pair(Name(b"P"), TextStr(&setup.label));
        }
    }
    labels.finish();
    tree.finish();
}
