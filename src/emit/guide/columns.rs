//! Blocks of headings, text, steps and drawings, set in two columns over as few pages as they take.

use kurbo::Affine;

use super::super::printed_page::{GREY, PLAIN, line, words};
use super::entries::{Block, Entry};
use super::flow::PAGE;
use super::setter::{Row, Setter};
use crate::draw::Anchor;
use crate::draw::display_list::{Group, Item, Shape, Text};
use crate::draw::pdf::{Document, PageSetup};

/// Rim of the pages in inches: more than any home printer leaves blank.
pub(super) const RIM: f64 = 0.6;
/// Width of a column and room between two, in inches.
pub(super) const COLUMN: f64 = 3.5;
const BETWEEN: f64 = PAGE[0] - 2.0 * RIM - 2.0 * COLUMN;
/// Where columns begin and end on a page, in inches from its top.
const TOP: f64 = RIM + 0.3;
const BOTTOM: f64 = PAGE[1] - RIM;
/// Room between two blocks in one column, in inches.
const APART: f64 = 0.22;
/// What a block over both columns may leave blank above it before it goes to a new page, in inches.
const MOST_BLANK: f64 = 1.2;
/// Type size of the line that heads each page, in points.
const RUNNING: f64 = 10.0;

/// A row at its place.
struct Put<'a> {
    at: [f64; 2],
    row: Row<'a>,
}

/// A page under construction.
#[derive(Default)]
struct Page<'a> {
    rows: Vec<Put<'a>>,
    /// Names that bookmarks give to places on it, with how far down these are.
    places: Vec<(String, f64)>,
    /// Vertical lines between its columns, from where to where.
    parted: Vec<[f64; 2]>,
}

/// Blocks on their way into columns.
struct Filling<'a> {
    pages: Vec<Page<'a>>,
    column: usize,
    /// Where this page's columns begin: below a drawing over both.
    top: f64,
    y: f64,
}

/// Writes blocks; `running` heads each page.
pub(super) fn write(document: &mut Document, running: &str, blocks: Vec<Block<'_>>) {
    let mut filling = Filling { pages: vec![Page::default()], column: 0, top: TOP, y: TOP };
    for block in blocks {
        filling.add(document, block);
    }
    filling.close_columns();
    let count = filling.pages.len();
    for (page, number) in filling.pages.into_iter().zip(1..) {
        let setup = PageSetup::new(PAGE, "").with_places(page.places.clone());
        let place = format!("{number} of {count}");
        let heads = [(RIM, running, Anchor::Start), (PAGE[0] - RIM, &place, Anchor::End)];
        let heads = heads.map(|(x, head, anchor)| {
            let head = words(PLAIN, RUNNING, [x, RIM + 0.1], head);
            Text { ink: GREY, anchor, ..head }.into()
        });
        let middle = PAGE[0] / 2.0;
        let parted = page
            .parted
            .iter()
            .map(|[from, to]| Shape::line((middle, *from), (middle, *to), line(GREY, 0.4)).into());
        let rows = page.rows.into_iter().map(|Put { at: [x, y], row }| {
            Group::laid(Affine::translate((x, y)), row.items).into()
        });
        let items: Vec<Item<'_>> = heads.into_iter().chain(parted).chain(rows).collect();
        document.add(setup, &items);
    }
}

impl<'a> Filling<'a> {
    fn add(&mut self, document: &Document, block: Block<'a>) {
        let setter = Setter { document, width: COLUMN };
        let Block { bookmark, again, wide, entries, kept_together } = block;
        if self.y > self.top {
            self.y += APART;
        }
        let mut rows = Vec::new();
        if let Some((title, drawing)) = wide {
            let across = Setter { document, width: 2.0 * COLUMN + BETWEEN };
            let mut head = across.set(title);
            head.extend(across.set(Entry::Drawing(drawing)));
            self.over_both(head, bookmark);
        } else if !bookmark.is_empty() {
            rows.push(Row { named: Some(bookmark), keep: true, ..Row::default() });
        }
        for (place, entry) in entries.into_iter().enumerate() {
            let set = setter.set(entry).into_iter();
            rows.extend(set.map(|row| Row { keep: row.keep || place < kept_together, ..row }));
        }
        let again = setter.set(Entry::Again(again));
        self.rows(rows, &again);
    }

    /// Rows in this column and the next ones; `again` heads a column in which a block goes on.
    fn rows(&mut self, rows: Vec<Row<'a>>, again: &[Row<'a>]) {
        let mut rest = std::collections::VecDeque::from(rows);
        let mut begun = false;
        while !rest.is_empty() {
            let together = rest.iter().take_while(|row| row.keep).count() + 1;
            let together = together.min(rest.len());
            let height: f64 = rest.iter().take(together).map(|row| row.height).sum();
            let fits = |y: f64, height: f64| y + height <= BOTTOM + 1e-9;
            if !fits(self.y, height) && self.y > self.top {
                self.next_column();
                if begun {
                    for row in again {
                        self.put(row.clone());
                    }
                }
            }
            // What is higher than a whole column is parted where it must be.
            for _ in 0..together {
                let Some(row) = rest.pop_front() else { break };
                if !fits(self.y, row.height) && self.y > self.top {
                    self.next_column();
                }
                self.put(row);
            }
            begun = true;
        }
    }

    /// Rows over both columns, on a page of which little is used.
    fn over_both(&mut self, rows: Vec<Row<'a>>, bookmark: String) {
        let height: f64 = rows.iter().map(|row| row.height).sum();
        let high = self.column == 0 && self.y - self.top <= MOST_BLANK;
        if !(high && self.y + height + APART <= BOTTOM) {
            self.next_page();
        }
        self.close_columns();
        self.put(Row { named: Some(bookmark), ..Row::default() });
        for row in rows {
            self.put(row);
        }
        self.top = self.y + 0.05;
        self.y = self.top;
    }

    fn put(&mut self, mut row: Row<'a>) {
        let x = if self.column == 0 { RIM } else { RIM + COLUMN + BETWEEN };
        let (at, height) = ([x, self.y], row.height);
        if let Some(page) = self.pages.last_mut() {
            page.places.extend(row.named.take().map(|name| (name, at[1])));
            page.rows.push(Put { at, row });
        }
        self.y += height;
    }

    fn next_column(&mut self) {
        if self.column == 0 {
            self.column = 1;
            self.y = self.top;
        } else {
            self.next_page();
        }
    }

    fn next_page(&mut self) {
        self.close_columns();
        self.pages.push(Page::default());
        (self.column, self.top, self.y) = (0, TOP, TOP);
    }

    /// Parts the columns of this page with a line, if both are used.
    fn close_columns(&mut self) {
        let (top, both) = (self.top, self.column == 1);
        if let Some(page) = self.pages.last_mut().filter(|_| both) {
            let ends = page.rows.iter().map(|put| put.at[1] + put.row.height);
            page.parted.push([top, ends.fold(top, f64::max).min(BOTTOM)]);
        }
    }
}
