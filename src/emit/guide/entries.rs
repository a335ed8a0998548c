//! What the guide consists of: blocks of titles, text, steps and drawings.

use crate::draw::display_list::Item;

/// A drawing of a size in inches.
pub(super) struct Drawing<'a> {
    /// Width and height.
    pub size: [f64; 2],
    /// What is drawn, from its top left.
    pub items: Vec<Item<'a>>,
}

/// A line of a list.
pub(super) enum Entry<'a> {
    /// What the guide is about, large.
    Cover {
        /// The spread's name.
        title: String,
        /// What the file is.
        about: String,
    },
    /// What a block is about.
    Title {
        /// A sheet or a piece.
        title: String,
        /// Its paper and size.
        about: String,
    },
    /// That a block goes on in the next column.
    Again(String),
    /// What the next lines are about.
    Heading(String),
    /// A line of a list.
    Item(String),
    /// A line of a list on the cover, which is read in peace: smaller.
    Small(String),
    /// Cuts at one setting of the fence.
    Step(Step),
    /// A drawing.
    Drawing(Drawing<'a>),
    /// A drawing with lines of a list beside and below it.
    Beside(Drawing<'a>, Vec<String>),
}

/// Cuts at one setting of the fence, in words.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Step {
    /// Numbers of the first and the last cut.
    pub cuts: [u32; 2],
    /// The fence setting.
    pub fence: String,
    /// How often, which way, and whether the fence stays where it is.
    pub way: String,
    /// What lies at the fence and what falls off.
    pub parts: Vec<String>,
}

/// Entries that belong together.
#[derive(Default)]
pub(super) struct Block<'a> {
    /// Its bookmark; none if empty.
    pub bookmark: String,
    /// What it is called where it goes on in the next column.
    pub again: String,
    /// A title and a drawing that take the width of both columns.
    pub wide: Option<(Entry<'a>, Drawing<'a>)>,
    /// The rest.
    pub entries: Vec<Entry<'a>>,
    /// How many of them stay in one column with the next, at least.
    pub kept_together: usize,
}

impl<'a> Block<'a> {
    /// A block with a bookmark; `again` heads a column in which it goes on.
    pub fn new(bookmark: &str, again: &str) -> Self {
        // Bookmarks are single lines: plain spaces keep them readable to every program.
        let bookmark = bookmark.replace('\u{a0}', " ");
        Self { bookmark, again: format!("{again}, continued"), ..Self::default() }
    }

    /// Adds an entry.
    pub fn add(&mut self, entry: Entry<'a>) {
        self.entries.push(entry);
    }

    /// Adds a heading.
    pub fn heading(&mut self, text: &str) {
        self.add(Entry::Heading(text.to_owned()));
    }

    /// Adds a line of a list.
    pub fn item(&mut self, text: &str) {
        self.add(Entry::Item(text.to_owned()));
    }

    /// Adds a small line of a list.
    pub fn small(&mut self, text: &str) {
        self.add(Entry::Small(text.to_owned()));
    }
}
