//! A fit as a picture: its pages side by side, paper in its colours, photos in place.

use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape as _};

use crate::draw::Anchor;
use crate::draw::display_list::{Image, Item, Outline, Paint, Shape, Stroke, Text};
use crate::draw::svg::{Means, Pictures, Svg};
use crate::lettering::fonts::Font;
use crate::lettering::label::label_width;
use crate::model::Color;
use crate::picture::frame::crop;

use super::file::{Held, Role};
use super::fit::{Field, Fit};
use super::papers::Papers;
use super::title::SetTitle;
use super::wanted::Wanted;
use super::writing::{discs, title_paper};
use crate::relations::MARKS_PER_INCH;

/// Room between the pages and table round them, in inches.
const BETWEEN: f64 = 0.14;
const TABLE: f64 = 0.4;
/// Sky, sun and two dunes of a photo that is still to come; muted, so that the papers keep the stage.
const SCENES: [[&str; 4]; 3] = [
    ["#c3d5d9", "#f3e6c0", "#d9c8a6", "#c2aa82"],
    ["#dacdd3", "#f4dfb8", "#cdbca2", "#b59e7f"],
    ["#cad8cb", "#f1e7c8", "#d6caab", "#bcad86"],
];
const WORDS: &str = "#4a4034";
const SHADE: &str = "#2e2418";
/// What the ids of the photos' row begin with, which holds the pictures of papers too.
pub(super) const PHOTOS: &str = "photos";
/// Height of a line of the story and the gap to the next, in inches.
const LINE: [f64; 2] = [0.3125, 0.0625];

/// What pictures are drawn with.
#[derive(Clone, Copy)]
pub(super) struct Brush<'a> {
    pub papers: &'a Papers,
    pub title: &'a str,
    pub label_font: &'a Font,
    pub title_font: &'a Font,
}

impl<'a> Brush<'a> {
    /// A fit; `prefix` begins every id, the pictures of photos stand in the picture called `owner`.
    pub fn fit(&self, fit: &'a Fit, prefix: &str, owner: &str) -> Svg {
        let [width, height] = fit.page.to_inches();
        let pages = fit.pages.len() as f64;
        let table = Rect::new(
            0.0,
            0.0,
            pages * width + (pages - 1.0) * BETWEEN + 2.0 * TABLE,
            height + 2.0 * TABLE,
        );
        let mut items: Vec<Item<'a>> = vec![fill(table, "#e9e2d6")];
        for page in 0..fit.pages.len() {
            let corner = Point::new(TABLE + page as f64 * (width + BETWEEN), TABLE);
            items.extend(self.page(fit, page, corner));
        }
        let pictures = Pictures::In(owner);
        let means = Means { pictures, ..Means::lettered(prefix, self.label_font) };
        Svg::new(table).titled(&fit.sketch).over(&items, means)
    }

    fn page(&self, fit: &'a Fit, page: usize, corner: Point) -> Vec<Item<'a>> {
        let [width, height] = fit.page.to_inches();
        let whole = Rect::from_origin_size(corner, (width, height));
        let mut items = shadow(whole);
        items.extend(self.papered(Outline::Rectangle(whole, 0.0), Role::Base));
        let lie = |field: Field| lying(field, corner);
        for panel in fit.panels.iter().filter(|panel| panel.page == page) {
            let mut there = lie(panel.field);
            for (axis, ends) in panel.bleeds.iter().enumerate() {
                // What reaches the edge of the page goes on to it.
                if ends[1] && panel.field.at[axis] + panel.field.size[axis] == fit.marks[axis] {
                    if axis == 0 { there.x1 = whole.x1 } else { there.y1 = whole.y1 }
                }
            }
            items.extend(self.papered(Outline::Rectangle(there, 0.0), panel.paper));
        }
        for (role, top, across) in &fit.strips {
            let field = Field { at: [0, *top], size: [fit.marks[0], *across] };
            let strip = Rect { x1: whole.x1, ..lie(field) };
            items.extend(self.papered(Outline::Rectangle(strip, 0.0), *role));
        }
        let filled = |number: usize| fit.photos.iter().any(|photo| photo.bank == number);
        let banks = fit.banks.iter().enumerate();
        for (_, bank) in banks.filter(|(number, bank)| bank.page == page && filled(*number)) {
            if let Some(mat) = bank.bank.mat {
                items.extend(shadow(lie(bank.field)));
                items.extend(self.papered(Outline::Rectangle(lie(bank.field), 0.0), mat));
            }
        }
        for photo in fit.photos.iter().filter(|photo| photo.page == page) {
            let there = lie(photo.field);
            if let Some((mat, shows)) = fit.banks[photo.bank].each {
                let mat_there = lie(photo.field.widened(shows));
                items.extend(shadow(mat_there));
                items.extend(self.papered(Outline::Rectangle(mat_there, 0.0), mat));
            }
            items.extend(shadow(there));
            items.extend(self.photo(&fit.wanted[photo.photo], photo.photo, there));
        }
        for (held, _, field) in fit.others.iter().filter(|(_, on, _)| *on == page) {
            items.extend(self.other(fit, page, *held, *field, corner));
        }
        items
    }

    /// A photo: its picture, or a scene with its size.
    pub fn photo(&self, wanted: &Wanted, number: usize, there: Rect) -> Vec<Item<'a>> {
        if let Some((file, _)) = &wanted.picture {
            let (seen, focus) = (file.seen(), wanted.focus.unwrap_or([0.5, 0.5]));
            let shown = crop(seen, [there.width(), there.height()], focus);
            let scale = [there.width() / shown.size[0], there.height() / shown.size[1]];
            let lay = Affine::translate((
                there.x0 - shown.at[0] * scale[0],
                there.y0 - shown.at[1] * scale[1],
            )) * Affine::scale_non_uniform(
                f64::from(seen[0]) * scale[0],
                f64::from(seen[1]) * scale[1],
            );
            return vec![Image { number, lay, field: there }.into()];
        }
        let [sky, sun, far, near] = SCENES[number % SCENES.len()];
        let mirrored = !number.is_multiple_of(2);
        let at = |across: f64, down: f64| {
            let across = if mirrored { 1.0 - across } else { across };
            Point::new(there.x0 + across * there.width(), there.y0 + down * there.height())
        };
        let side = there.width().min(there.height());
        let disc = Shape::new(Outline::Disc(Circle::new(at(0.7, 0.27), side * 0.11)));
        let dune = |left: f64, right: f64, ink: &'static str| {
            let mut path = BezPath::new();
            path.move_to(at(0.0, left));
            path.curve_to(at(0.35, left - 0.14), at(0.62, right + 0.12), at(1.0, right));
            path.line_to(at(1.0, 1.0));
            path.line_to(at(0.0, 1.0));
            path.close_path();
            Shape::path(path).filled(Paint::Ink(ink, 1.0)).into()
        };
        let mut items: Vec<Item<'a>> = vec![
            fill(there, sky),
            disc.filled(Paint::Ink(sun, 1.0)).into(),
            dune(0.62, 0.54, far),
            dune(0.74, 0.84, near),
        ];
        items.extend(self.size_on(wanted, there));
        items
    }

    fn size_on(&self, wanted: &Wanted, there: Rect) -> Option<Item<'a>> {
        use crate::model::length::{Length, Size, Units};
        let [width, height] = wanted.size.map(|marks| Length::part(marks, MARKS_PER_INCH));
        let looks = wanted.facing.map_or_else(String::new, |way| format!(", looks {way}"));
        let words = format!("{}{looks}", Size::new(width, height).show(Units::Inches));
        let width = label_width(&self.label_font.with_its_stand_ins(), &words).max(0.1);
        let size = (there.width() * 0.86 / width).min(there.height() * 0.14).min(0.34);
        let at = (there.center().x, there.y1 - size * 0.6);
        (size > 0.1).then(|| Text::new(&words, at, size, WORDS).anchored(Anchor::Middle).into())
    }

    fn other(
        &self,
        fit: &Fit,
        page: usize,
        held: Held,
        field: Field,
        corner: Point,
    ) -> Vec<Item<'a>> {
        match held {
            Held::Title if self.title.trim().is_empty() => Vec::new(),
            Held::Title => {
                let title = SetTitle::of(self.title.trim(), field, self.title_font);
                let [left, mut top] = title.place(field);
                let paper = title_paper(fit, self.papers, page, field);
                let mut items = Vec::new();
                for line in &title.lines {
                    let there = lying(Field { at: [left, top], size: [0, title.height] }, corner);
                    let lettering =
                        self.lettering(line, there.height(), (there.x0, there.y1).into());
                    items.extend(self.papered(Outline::Path(lettering), paper));
                    top += title.leading;
                }
                items
            }
            Held::Story => {
                let room = lying(field, corner);
                let lines = ((room.height() + LINE[1]) / (LINE[0] + LINE[1])).floor().min(4.0);
                let shares = [1.0, 0.86, 0.94, 0.55];
                let mut items = Vec::new();
                for (line, share) in shares.into_iter().enumerate() {
                    if line as f64 >= lines {
                        break;
                    }
                    let top = room.y0 + line as f64 * (LINE[0] + LINE[1]);
                    let strip =
                        Rect::new(room.x0, top, room.x0 + room.width() * share, top + LINE[0]);
                    items.extend(shadow(strip));
                    items.extend(self.papered(Outline::Rectangle(strip, 0.0), Role::Base));
                    let middle = strip.center().y;
                    let stroke = Stroke { opacity: 0.45, ..Stroke::new(WORDS, 0.045) };
                    let ends = [(strip.x0 + 0.125, middle), (strip.x1 - 0.125, middle)];
                    items.push(Shape::line(ends[0], ends[1], stroke).into());
                }
                items
            }
            Held::Cluster => discs(fit, page, field)
                .into_iter()
                .flat_map(|(role, at, across)| {
                    let there = lying(Field { at, size: [across; 2] }, corner);
                    let disc = |shift: f64| {
                        let middle = there.center() + kurbo::Vec2::new(shift, shift * 1.4);
                        Outline::Disc(Circle::new(middle, there.width() / 2.0))
                    };
                    let shade = Shape::new(disc(0.025)).filled(Paint::Ink(SHADE, 0.16));
                    std::iter::once(shade.into()).chain(self.papered(disc(0.0), role))
                })
                .collect(),
        }
    }

    /// A line of the title as outlines, its capitals as high as that, from a point of its baseline on.
    pub fn lettering(&self, line: &str, height: f64, mut at: Point) -> BezPath {
        let mut whole = BezPath::new();
        let scale = height / self.title_font.cap_height.max(0.1);
        for letter in line.chars() {
            let Some(glyph) = self.title_font.glyph(letter) else { continue };
            let lay = Affine::translate(at.to_vec2()) * Affine::scale(scale);
            whole.extend(
                self.title_font.outline(glyph).map(|outline| lay * outline).unwrap_or_default(),
            );
            at.x += self.title_font.advance(glyph) * scale;
        }
        whole
    }

    /// An outline of the paper of a part; a pattern begins in its corner.
    pub fn papered(&self, outline: Outline, role: Role) -> Vec<Item<'a>> {
        let ink = Paint::Ink(self.color(role), 1.0);
        let pattern = self.papers.pattern(role).map(|drawn| {
            let bounds = outline.path().bounding_box();
            let lay = Affine::translate(bounds.origin().to_vec2());
            drawn.on(&outline, lay, [bounds.width(), bounds.height()])
        });
        let plain = Shape::new(outline).filled(ink).into();
        std::iter::once(plain).chain(pattern).collect()
    }

    fn color(&self, role: Role) -> &'a str {
        let color: &'a Color = self.papers.of(role).1;
        color.as_str()
    }
}

fn lying(field: Field, corner: Point) -> Rect {
    let [left, top] = field.at.map(|marks| marks as f64 / MARKS_PER_INCH as f64);
    let [width, height] = field.size.map(|marks| marks as f64 / MARKS_PER_INCH as f64);
    Rect::from_origin_size((corner.x + left, corner.y + top), (width, height))
}

fn fill<'a>(there: Rect, ink: &'a str) -> Item<'a> {
    Shape::rectangle(there).filled(Paint::Ink(ink, 1.0)).into()
}

/// Two copies below that make a shadow; light comes from the top left.
pub(super) fn shadow<'a>(of: Rect) -> Vec<Item<'a>> {
    let below = |by: f64, dark: f64| {
        let there = of + kurbo::Vec2::new(by, by * 1.4);
        Shape::rectangle(there).filled(Paint::Ink(SHADE, dark)).into()
    };
    vec![below(0.035, 0.10), below(0.015, 0.14)]
}
