//! A fit as an ordinary spec: every measure in ruler fractions, and why it is so.

use std::fmt::Write;

use crate::lettering::fonts::Font;
use crate::model::length::{Length, Size};
use crate::model::{PageName, yaml};

use super::file::{Held, Role};
use super::fit::{Field, Fit, FitBank, FitPanel, FitPhoto};
use super::frame::inches;
use super::papers::Papers;
use super::reading::marks_of;
use super::title::SetTitle;
use super::wanted::Wanted;
use crate::relations::MARKS_PER_INCH;

/// A strip of the story and the gap below it, in marks, and what a letter of 10 pt takes, in inches.
const STRIP: i64 = 5;
const STRIP_GAP: i64 = 1;
const LETTER: f64 = 0.078;
/// Strips are no wider than that, in marks: they are read at ease, and a page of the printer holds them.
const WIDEST: i64 = 104;
/// The story where none is given: as much of it as there is room for.
const STORY: [&str; 4] = [
    "Write here who was there.",
    "What the weather did, and what somebody said.",
    "What you could hear and smell,",
    "and the one thing that you want to remember of this day.",
];
/// Sheets that a spec without a stock lists of each paper: as many as a spread can need.
const SHEETS: u32 = 8;

/// What a spec holds besides photos.
#[derive(Clone, Debug)]
pub struct Words {
    /// Name of the spread.
    pub name: String,
    /// The title.
    pub title: String,
    /// The story; a prompt to write one if not given.
    pub story: Option<String>,
}

/// A fit as the text of a spec. `title_font` is the font that titles have where a spec names none.
pub fn spec(fit: &Fit, papers: &Papers, words: &Words, title_font: &Font) -> String {
    let mut text = String::new();
    let writer = Writer { fit, papers, words, title_font };
    // Writing to a string can't fail.
    let _ = writer.spec(&mut text);
    text
}

struct Writer<'a> {
    fit: &'a Fit,
    papers: &'a Papers,
    words: &'a Words,
    title_font: &'a Font,
}

impl Writer<'_> {
    fn spec(&self, text: &mut String) -> std::fmt::Result {
        let fit = self.fit;
        writeln!(text, "# {}", one_line(&fit.about))?;
        writeln!(
            text,
            "# From the sketch \"{}\": {:.0} of 100 points.",
            one_line(&fit.sketch),
            fit.rank.score
        )?;
        for merit in &fit.rank.merits {
            writeln!(text, "#   + {merit}")?;
        }
        for (fault, lost) in &fit.rank.faults {
            writeln!(text, "#   - {fault} ({lost:.0})")?;
        }
        writeln!(text, "name: {}", yaml::in_quotes(&self.words.name))?;
        writeln!(text, "page: {}\n", sides(fit.page))?;
        self.papers(text)?;
        self.photos(text)?;
        for page in 0..fit.pages.len() {
            self.page(text, page)?;
        }
        self.title(text)?;
        self.story(text)
    }

    fn papers(&self, text: &mut String) -> std::fmt::Result {
        if self.papers.from_stock {
            let mut names: Vec<&str> = Vec::new();
            for (_, name, _) in &self.papers.parts {
                if !names.contains(&name.as_str()) {
                    names.push(name);
                }
            }
            self.why(text)?;
            return writeln!(
                text,
                "# Papers are those of the stock: {}.\n",
                one_line(&names.join(", "))
            );
        }
        self.why(text)?;
        writeln!(text, "# Put your own papers here: colour, size and number of sheets.\npapers:")?;
        for (_, name, color) in &self.papers.parts {
            writeln!(
                text,
                "  {}: {{color: \"{color}\", sheets: {{12 x 12: {SHEETS}}}}}",
                yaml::value(name)
            )?;
        }
        writeln!(text)
    }

    /// Why these papers, if the photos had a say.
    fn why(&self, text: &mut String) -> std::fmt::Result {
        match self.papers.reason.as_str() {
            "" => Ok(()),
            reason => writeln!(text, "# Papers {}.", one_line(reason)),
        }
    }

    fn photos(&self, text: &mut String) -> std::fmt::Result {
        writeln!(text, "photos:")?;
        for photo in &self.fit.photos {
            let wanted = &self.fit.wanted[photo.photo];
            write!(text, "  {}: {{size: {}", yaml::value(&wanted.name), size_of(wanted))?;
            if let Some(facing) = wanted.facing {
                write!(text, ", facing: {facing}")?;
            }
            // Of a print on hand nothing is printed.
            if let Some((_, path)) = wanted.picture.as_ref().filter(|_| wanted.is_to_print()) {
                let path = path.to_string_lossy().replace('\\', "/");
                write!(text, ", file: {}", yaml::in_quotes(&path))?;
                if let Some([across, down]) = wanted.focus {
                    write!(text, ", focus: [{across}, {down}]")?;
                }
            }
            writeln!(text, "}}")?;
        }
        writeln!(text)
    }

    fn page(&self, text: &mut String, page: usize) -> std::fmt::Result {
        let fit = self.fit;
        let name = fit.pages[page];
        writeln!(text, "{name}:\n  base: {}\n  pieces:", self.paper(Role::Base))?;
        let panels = fit.panels.iter().filter(|panel| panel.page == page);
        for (number, panel) in panels.enumerate() {
            self.panel(text, panel, number + 1)?;
        }
        // A strip over both pages is listed once, on the left one.
        if name != PageName::Right {
            for (number, (role, top, width)) in fit.strips.iter().enumerate() {
                let across = if fit.pages.len() == 2 { ", across: spread" } else { "" };
                writeln!(
                    text,
                    "    - strip: {{id: ribbon-{}, paper: {}, width: {}{across}, at: {{top: {}}}}}",
                    number + 1,
                    self.paper(*role),
                    ruler(*width),
                    ruler(*top)
                )?;
            }
        }
        for (number, bank) in fit.banks.iter().enumerate().filter(|(_, bank)| bank.page == page) {
            self.bank(text, number, bank)?;
        }
        let clusters =
            fit.others.iter().filter(|(held, on, _)| *held == Held::Cluster && *on == page);
        for (number, (_, _, field)) in clusters.enumerate() {
            self.cluster(text, number + 1, page, *field)?;
        }
        writeln!(text)
    }

    fn panel(&self, text: &mut String, panel: &FitPanel, number: usize) -> std::fmt::Result {
        let Field { at, size } = panel.field;
        // What reaches the edge of a page that ends between two marks goes on to the edge.
        let sides = [0, 1].map(|axis| {
            let whole = [self.fit.page.width, self.fit.page.height][axis];
            let ends = panel.bleeds[axis][1] && at[axis] + size[axis] == self.fit.marks[axis];
            match (ends && marks_of(whole).is_none(), at[axis]) {
                (true, 0) => "1 page".to_owned(),
                (true, at) => format!("1 page - {}", ruler(at)),
                (false, _) => ruler(size[axis]),
            }
        });
        writeln!(
            text,
            "    - panel: {{id: panel-{number}, paper: {}, size: {} x {}, at: [{}, {}]}}",
            self.paper(panel.paper),
            sides[0],
            sides[1],
            ruler(at[0]),
            ruler(at[1])
        )
    }

    fn bank(&self, text: &mut String, number: usize, bank: &FitBank) -> std::fmt::Result {
        let photos: Vec<_> = self.fit.photos.iter().filter(|photo| photo.bank == number).collect();
        let Field { at, size } = bank.field;
        let reveal = bank.bank.reveal;
        match (bank.bank.mat, photos.as_slice()) {
            (_, []) => Ok(()),
            (Some(mat), [one]) => {
                writeln!(text, "    # {}: one photo, {} of mat round it", bank.id, inches(reveal))?;
                writeln!(
                    text,
                    "    - photo: {{photo: {}, mats: [{{paper: {}, reveal: {}}}], at: [{}, {}]}}",
                    self.named(one),
                    self.paper(mat),
                    ruler(reveal),
                    ruler(at[0]),
                    ruler(at[1])
                )
            }
            (Some(mat), several) => {
                let all = several.len();
                let shown = inches(reveal);
                writeln!(
                    text,
                    "    # {}: {all} photos on one mat, {shown} of it round them",
                    bank.id
                )?;
                writeln!(
                    text,
                    "    - panel: {{id: {}-mat, paper: {}, size: {} x {}, at: [{}, {}]}}",
                    bank.id,
                    self.paper(mat),
                    ruler(size[0]),
                    ruler(size[1]),
                    ruler(at[0]),
                    ruler(at[1])
                )?;
                for photo in several {
                    let within = [0, 1].map(|axis| ruler(photo.field.at[axis] - at[axis]));
                    writeln!(
                        text,
                        "    - photo: {{photo: {}, at: {{on: {}-mat, left: {}, top: {}}}}}",
                        self.named(photo),
                        bank.id,
                        within[0],
                        within[1]
                    )?;
                }
                Ok(())
            }
            (None, several) if bank.each.is_some() => {
                let Some((mat, shows)) = bank.each else { return Ok(()) };
                let all = counted(several.len());
                let rim = inches(shows);
                writeln!(
                    text,
                    "    # {}: {all}, each on its own mat, {rim} of it round it",
                    bank.id
                )?;
                for photo in several {
                    let [left, top] = photo.field.widened(shows).at.map(ruler);
                    writeln!(
                        text,
                        "    - photo: {{photo: {}, mats: [{{paper: {}, reveal: {}}}], at: [{left}, {top}]}}",
                        self.named(photo),
                        self.paper(mat),
                        ruler(shows)
                    )?;
                }
                Ok(())
            }
            (None, several) => {
                writeln!(text, "    # {}: {} without a mat", bank.id, counted(several.len()))?;
                for photo in several {
                    let [left, top] = photo.field.at.map(ruler);
                    let name = self.named(photo);
                    writeln!(text, "    - photo: {{photo: {name}, at: [{left}, {top}]}}")?;
                }
                Ok(())
            }
        }
    }

    /// Three discs, each smaller than the one before, as a visual triangle.
    fn cluster(
        &self,
        text: &mut String,
        number: usize,
        page: usize,
        field: Field,
    ) -> std::fmt::Result {
        let discs = discs(self.fit, page, field);
        let least = |axis: usize| discs.iter().map(|(_, at, _)| at[axis]).min().unwrap_or(0);
        writeln!(text, "    # A cluster of three, the largest lowest: it moves and turns as one")?;
        writeln!(
            text,
            "    - cluster:\n        id: dots-{number}\n        at: [{}, {}]\n        pieces:",
            ruler(least(0)),
            ruler(least(1))
        )?;
        // The anchor is the middle of the largest; half a mark is the finest of a middle.
        let halves = |at: [i64; 2], across: i64| at.map(|from| 2 * from + across);
        let anchor = halves(discs[0].1, discs[0].2);
        for (role, at, across) in discs {
            let middle = halves(at, across);
            let offset = [0, 1].map(|axis| signed(middle[axis] - anchor[axis]));
            writeln!(
                text,
                "          - circle: {{paper: {}, diameter: {}, at: {{offset: [{}, {}]}}}}",
                self.paper(role),
                ruler(across),
                offset[0],
                offset[1]
            )?;
        }
        Ok(())
    }

    fn title(&self, text: &mut String) -> std::fmt::Result {
        let Some((page, field)) = self.held(Held::Title) else { return Ok(()) };
        let words = self.words.title.trim();
        if words.is_empty() {
            return Ok(());
        }
        let title = SetTitle::of(words, field, self.title_font);
        let [left, top] = title.place(field).map(ruler);
        writeln!(text, "title:\n  - words: {}", yaml::in_quotes(&title.lines.join("\n")))?;
        writeln!(
            text,
            "    height: {}\n    paper: {}",
            ruler(title.height),
            self.paper(title_paper(self.fit, self.papers, page, field))
        )?;
        if title.lines.len() > 1 {
            writeln!(text, "    leading: {}", ruler(title.leading))?;
        }
        writeln!(text, "    page: {}\n    at: [{left}, {top}]\n", self.fit.pages[page])
    }

    fn story(&self, text: &mut String) -> std::fmt::Result {
        let Some((page, field)) = self.held(Held::Story) else { return Ok(()) };
        let widest = field.size[0].min(WIDEST);
        let story = self.words.story.clone().unwrap_or_else(|| prompt(field));
        writeln!(
            text,
            "journaling:\n  page: {}\n  paper: {}",
            self.fit.pages[page],
            self.paper(Role::Base)
        )?;
        writeln!(text, "  at: [{}, {}]", ruler(field.at[0]), ruler(field.at[1]))?;
        writeln!(
            text,
            "  strip: {{height: {}, widest: {}, pad: 1/8}}",
            ruler(STRIP),
            ruler(widest)
        )?;
        writeln!(text, "  gap: {}\n  size: 10 pt", ruler(STRIP_GAP))?;
        writeln!(text, "  text: {}", yaml::in_quotes(&story))
    }

    fn held(&self, held: Held) -> Option<(usize, Field)> {
        let found = self.fit.others.iter().find(|(other, _, _)| *other == held);
        found.map(|(_, page, field)| (*page, *field))
    }

    /// A photo's name.
    fn named(&self, photo: &FitPhoto) -> String {
        yaml::value(&self.fit.wanted[photo.photo].name)
    }

    /// The name of a part's paper.
    fn paper(&self, role: Role) -> String {
        yaml::value(self.papers.of(role).0)
    }
}

/// The discs of a cluster in its room: paper, place, diameter. None is of the paper that it lies on.
pub(super) fn discs(fit: &Fit, page: usize, field: Field) -> [(Role, [i64; 2], i64); 3] {
    let side = field.size[0].min(field.size[1]).min(40);
    let [large, middle, small] = [side * 5 / 8, side * 3 / 8, side / 4];
    let corner = [0, 1].map(|axis| field.at[axis] + (field.size[axis] - side) / 2);
    let at = |right: i64, down: i64| [corner[0] + right, corner[1] + down];
    let lightest = match under(fit, page, field) {
        Role::Panel => Role::Base,
        Role::Base | Role::Mat | Role::Accent => Role::Panel,
    };
    [
        (Role::Mat, at(0, side - large), large),
        (Role::Accent, at(side - middle, side / 4), middle),
        (lightest, at(side / 4, 0), small),
    ]
}

/// The paper on which a field of a page lies.
fn under(fit: &Fit, page: usize, field: Field) -> Role {
    let ends = |field: &Field, axis: usize| field.at[axis] + field.size[axis];
    let under = fit.panels.iter().rev().find(|panel| {
        let covers = |axis: usize| {
            panel.field.at[axis] <= field.at[axis] && ends(&panel.field, axis) >= ends(&field, axis)
        };
        panel.page == page && covers(0) && covers(1)
    });
    under.map_or(Role::Base, |panel| panel.paper)
}

/// The title is cut from the paper that stands out most from what lies under it.
pub(super) fn title_paper(fit: &Fit, papers: &Papers, page: usize, field: Field) -> Role {
    let under = under(fit, page, field);
    let contrast = |role: Role| papers.contrast(role, under);
    let roles = [Role::Mat, Role::Accent, Role::Base, Role::Panel].into_iter();
    let stands_out =
        |best: Role, role: Role| if contrast(role) > contrast(best) + 1e-9 { role } else { best };
    roles.reduce(stands_out).unwrap_or(Role::Mat)
}

/// As much of the prompt as its room holds.
fn prompt(room: Field) -> String {
    let lines = ((room.size[1] + STRIP_GAP) / (STRIP + STRIP_GAP)).max(1);
    let letters = (room.size[0].min(WIDEST) as f64 / MARKS_PER_INCH as f64 - 0.25) / LETTER;
    let room = letters * (lines as f64 - 0.7);
    let mut story = String::from(STORY[0]);
    for part in &STORY[1..] {
        if (story.chars().count() + part.chars().count()) as f64 > room {
            break;
        }
        story.push(' ');
        story.push_str(part);
    }
    story
}

/// A photo's size as the spec says it.
fn size_of(wanted: &Wanted) -> String {
    match wanted.given {
        Some(size) => sides(size),
        None => format!("{} x {}", ruler(wanted.size[0]), ruler(wanted.size[1])),
    }
}

/// A size in ruler fractions; both sides in millimetres where one lies between marks, since a unit behind the
/// last side goes for the first one too.
fn sides(size: Size) -> String {
    let [width, height] = [size.width, size.height].map(Length::ruler);
    if width.exact && height.exact {
        format!("{} x {}", width.text, height.text)
    } else {
        format!("{} x {} mm", millimetres(size.width), millimetres(size.height))
    }
}

/// A length's millimetres, to the nanometre.
fn millimetres(length: Length) -> String {
    let mm = format!("{:.6}", length.to_mm());
    mm.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Marks as a spec writes them.
fn ruler(marks: i64) -> String {
    Length::part(marks, MARKS_PER_INCH).ruler().text
}

/// Half marks as a spec writes them, with a sign.
fn signed(halves: i64) -> String {
    let sign = if halves < 0 { "-" } else { "" };
    format!("{sign}{}", Length::part(halves.abs(), 2 * MARKS_PER_INCH).ruler().text)
}

fn counted(photos: usize) -> String {
    if photos == 1 { "one photo".to_owned() } else { format!("{photos} photos") }
}

fn one_line(text: &str) -> String {
    crate::description::printable(text).replace('\n', " ")
}
