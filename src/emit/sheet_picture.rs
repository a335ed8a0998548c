//! One sheet as a picture: what is cut from it, where the trimmer goes, and what is kept.

use kurbo::{BezPath, Point, Rect};
use svg::node::element::{Circle, Definitions, Group, Path, Pattern, Rectangle, Title};

use super::drawing::{area, color, dashes, data, fixed, legible_on, plain, slug, straight};
use super::sheet_layout::label::{CAPITALS, DEPTH, Label};
use super::sheet_layout::{LaidCut, LaidOffcut, LaidPiece, SheetLayout, Style, lay_out};
use super::spread::papers::Papers;
use crate::draw::Anchor;
use crate::draw::lettering::Lettering;
use crate::draw::svg::Svg;
use crate::length::{Length, Size, Units};
use crate::lettering::fonts::Font;
use crate::lettering::label::label_width;
use crate::record::{Area, Record, Sheet};

/// Type size of the ruler's numbers in inches.
const RULER_TYPE: f64 = 0.24;
/// How a sheet is laid out at its real size. It is shown at a third to a half of that, where the smallest
/// type is still read with ease.
const STYLE: Style = Style {
    at: [0.0; 2],
    scale: 1.0,
    sizes: &[0.34, 0.3, 0.27, 0.24, 0.21],
    room: 0.05,
    discs: &[0.19, 0.16],
    rim: 0.2,
    all_names: true,
};
/// Legs of the triangle in the corner that lies in the mat's, in inches.
const CORNER: f64 = 0.35;
/// Ink of the trimmer's cuts and their numbers.
const TRIMMER: &str = "#8c2f39";

/// Room round a sheet for the ruler in inches, left and top, right and bottom: for the figures of two places
/// that inches have, and the four of millimetres.
fn margins(record: &Record) -> [f64; 2] {
    match record.shown_units() {
        Units::Inches => [0.66, 0.2],
        Units::Millimetres => [0.94, 0.32],
    }
}

/// A picture of `sheet` with a ruler along its top and left edge.
///
/// Pieces bear their names where there is room and their numbers in [`Record::pieces`], from 1,
/// where there isn't. Trimmer cuts are numbered in order. There is no text element in the picture.
pub fn sheet_svg(record: &Record, sheet: &Sheet, label_font: &Font) -> Svg {
    let place = record.sheets.iter().position(|other| other.id == sheet.id).unwrap_or(0);
    let prefix = format!("sheet-{}-{}", place + 1, slug(&sheet.id));
    let lettering = Lettering::new(&prefix, label_font);
    let papers = Papers::new(record, &prefix);
    let fonts = label_font.with_its_stand_ins();
    let laid = lay_out(record, sheet, &STYLE, &|text| label_width(&fonts, &plain(text)));
    let mut picture = Picture { record, sheet, prefix: &prefix, papers, lettering, laid: &laid };
    let body = [
        picture.ground(),
        picture.offcuts(),
        picture.parts(),
        picture.pieces(),
        picture.names(),
        edge_to_buy(sheet),
        picture.machine(),
        picture.cuts(),
        picture.ruler(),
    ];
    let [before, after] = margins(record);
    let svg = Svg::new([-before; 2], sheet.size.map(|side| side + before + after))
        .with(&Title::new(plain(&format!("{}: {}", record.name, sheet.id))))
        .with(&picture.definitions());
    body.iter().fold(svg, |svg, part| svg.with(part))
}

/// The edge of a sheet.
pub(super) fn sheet_edge(sheet: Rectangle) -> Rectangle {
    sheet.set("stroke", "#8a7f70").set("stroke-width", "0.03")
}

/// The edge of a sheet that has to be bought, over all that lies on it: dark dashes on a pale band, so that
/// they are seen on any colour.
pub(super) fn edge_to_buy(sheet: &Sheet) -> Group {
    if !sheet.to_buy {
        return Group::new();
    }
    let edge = || area(&Area { at: [0.0; 2], size: sheet.size }).set("fill", "none");
    let dashes = edge().set("stroke", "#2b2721").set("stroke-width", "0.08");
    Group::new()
        .set("class", "to-buy")
        .add(edge().set("stroke", "#fffdf8").set("stroke-width", "0.12"))
        .add(dashes.set("stroke-dasharray", "0.4 0.25"))
        .add(Title::new("to buy"))
}

struct Picture<'a> {
    record: &'a Record,
    sheet: &'a Sheet,
    prefix: &'a str,
    papers: Papers<'a>,
    lettering: Lettering<'a>,
    laid: &'a SheetLayout<'a>,
}

impl Picture<'_> {
    fn whole(&self) -> Area {
        Area { at: [0.0, 0.0], size: self.sheet.size }
    }

    fn hatching(&self) -> String {
        format!("{}-keep", self.prefix)
    }

    fn definitions(&self) -> Definitions {
        let hatch = Path::new().set("d", "M0 0V0.2").set("stroke", "#5d7f5a");
        let hatching = Pattern::new()
            .set("id", self.hatching())
            .set("width", "0.2")
            .set("height", "0.2")
            .set("patternUnits", "userSpaceOnUse")
            .set("patternTransform", "rotate(45)")
            .add(hatch.set("stroke-width", "0.05").set("stroke-opacity", "0.55"));
        let papers = self.papers.define(Definitions::new(), &[&self.sheet.paper]);
        self.lettering.define(papers.add(hatching))
    }

    /// The sheet itself, pale, so that what is cut from it stands out.
    fn ground(&self) -> Group {
        let paper = self.papers.color(&self.sheet.paper);
        let sheet = || area(&self.whole());
        Group::new()
            .add(sheet().set("fill", "#fffdf8"))
            .add(sheet().set("fill", paper).set("fill-opacity", "0.3"))
            .add(sheet_edge(sheet().set("fill", "none")))
    }

    fn offcuts(&mut self) -> Group {
        let offcuts = self.laid.offcuts.iter();
        offcuts.fold(Group::new(), |group, offcut| group.add(self.offcut(offcut)))
    }

    fn offcut(&mut self, laid: &LaidOffcut) -> Group {
        let size = Size::inches(laid.offcut.size[0], laid.offcut.size[1]);
        let size = size.show(self.record.shown_units());
        let fill = format!("url(#{})", self.hatching());
        let edge = rectangle(laid.part).set("fill", fill).set("stroke", "#5d7f5a");
        let mut group = Group::new()
            .add(rectangle(laid.part).set("fill", "#ffffff").set("fill-opacity", "0.5"))
            .add(edge.set("stroke-width", "0.02"));
        if let Some(label) = &laid.label {
            group = group.add(self.label(label, "#2f4a2d", "#fffdf8"));
        }
        group.add(Title::new(plain(&format!("keep {}, {size}", laid.offcut.id))))
    }

    /// Parts that are sheets of their own.
    fn parts(&mut self) -> Group {
        let mut group = Group::new();
        for laid in &self.laid.parts {
            let paper = rectangle(laid.part).set("fill", self.papers.color(&self.sheet.paper));
            group = group.add(paper.set("stroke", "#5c5347").set("stroke-width", "0.02"));
            if let Some(label) = &laid.label {
                group = group.add(self.label(label, "#2b2721", "#fffdf8"));
            }
            group = group.add(Title::new(plain(&laid.told)));
        }
        group
    }

    fn pieces(&self) -> Group {
        self.laid.pieces.iter().fold(Group::new(), |group, laid| group.add(self.piece(laid)))
    }

    fn piece(&self, laid: &LaidPiece) -> Group {
        let cut = color(&self.record.inks.cut);
        let shape = || Path::new().set("d", data(&laid.outline)).set("fill-rule", "evenodd");
        let pattern = self.papers.pattern_fill(&self.sheet.paper);
        let paper = self.papers.color(&self.sheet.paper);
        let edged = shape().set("fill", paper).set("stroke-linejoin", "round");
        let edged = match laid.placed.tool.as_str() {
            "machine" => edged.set("stroke", cut).set("stroke-width", "0.03"),
            "hand" => edged
                .set("stroke", "#7a5b3a")
                .set("stroke-width", "0.03")
                .set("stroke-dasharray", "0.1 0.07"),
            _ => edged.set("stroke", "#5c5347").set("stroke-width", "0.02"),
        };
        let mut piece = Group::new().add(edged);
        if let Some(pattern) = pattern {
            piece = piece.add(shape().set("fill", pattern));
        }
        for (process, fold, line) in &laid.lines {
            let line = dashed(line).set("stroke", color(self.record.inks.of(*process)));
            piece = piece.add(match fold {
                Some(_) => line.set("stroke-dasharray", dashes(*fold)),
                None => line,
            });
        }
        piece.add(Title::new(plain(&laid.name)))
    }

    fn names(&mut self) -> Group {
        let paper = self.papers.color(&self.sheet.paper);
        let patterned = self.papers.pattern_fill(&self.sheet.paper).is_some();
        let mut group = Group::new();
        for label in self.laid.pieces.iter().filter_map(|piece| piece.label.as_ref()) {
            let (ink, ground) = match label.outside || patterned {
                true => ("#2b2721", "#fffdf8"),
                false => (legible_on(paper), paper),
            };
            group = group.add(self.label(label, ink, ground));
        }
        group
    }

    /// A label as outlines in `ink`, on a ground of its own.
    fn label(&mut self, label: &Label, ink: &str, ground: &str) -> Group {
        let room = STYLE.room;
        let at = [-label.width / 2.0, label.size * (CAPITALS - DEPTH) / 2.0];
        let words = self.lettering.words(&label.text, at, label.size, Anchor::Start);
        let turn = if label.upright { "" } else { " rotate(-90)" };
        let [x, y] = [label.center.x, label.center.y].map(fixed);
        let half = [label.width / 2.0 + room, label.size * (CAPITALS + DEPTH) / 2.0 + room / 2.0];
        let part = Area { at: half.map(|side| -side), size: half.map(|side| 2.0 * side) };
        Group::new()
            .set("transform", format!("translate({x} {y}){turn}"))
            .add(area(&part).set("fill", ground).set("rx", "0.06"))
            .add(words.set("fill", ink))
    }

    /// The part that goes to the machine.
    fn machine(&mut self) -> Group {
        let Some(machine) = self.sheet.machine else { return Group::new() };
        let ink = color(&self.record.inks.cut);
        let edge = area(&machine).set("fill", "none").set("stroke", ink);
        let mut group = Group::new()
            .add(edge.set("stroke-width", "0.035").set("stroke-dasharray", "0.24 0.1 0.04 0.1"));
        let paper = self.sheet.loaded();
        if machine != self.whole() {
            let when = match (paper.after, self.sheet.cuts.len()) {
                (_, 0) => "machine".to_owned(),
                (0, _) => "machine first".to_owned(),
                (after, _) => format!("machine after cut {after}"),
            };
            let at = [machine.at[0] + machine.size[0] - 0.1, machine.at[1] + machine.size[1] - 0.1];
            let words = self.lettering.words(&when, at, RULER_TYPE, Anchor::End);
            group = group.add(words.set("fill", ink));
        }
        // The corner of the paper that lies in the corner of the mat.
        let mut corner = BezPath::new();
        corner.move_to((0.0, 0.0));
        corner.line_to((CORNER, 0.0));
        corner.line_to((0.0, CORNER));
        corner.close_path();
        let corner = data(&(paper.onto_sheet() * corner));
        group.add(Path::new().set("d", corner).set("fill", ink).set("class", "corner"))
    }

    fn cuts(&mut self) -> Group {
        let mut group = Group::new();
        for cut in &self.laid.cuts {
            // A pale line below makes the cut stand out on dark paper.
            let pale = line(cut.from, cut.to).set("stroke", "#fffdf8");
            group = group.add(pale.set("stroke-width", "0.06").set("stroke-opacity", "0.75"));
            let line = line(cut.from, cut.to).set("stroke", TRIMMER);
            group =
                group.add(line.set("stroke-width", "0.035").set("stroke-dasharray", "0.2 0.09"));
        }
        for cut in &self.laid.cuts {
            group = group.add(self.badge(cut));
        }
        group
    }

    /// A cut's number.
    fn badge(&mut self, cut: &LaidCut) -> Group {
        let mut group = Group::new();
        if let Some(point) = cut.points_to {
            let leads = line(point, cut.disc).set("stroke", TRIMMER);
            group = group.add(leads.set("stroke-width", "0.02"));
        }
        let [x, y] = [cut.disc.x, cut.disc.y];
        let disc =
            Circle::new().set("cx", fixed(x)).set("cy", fixed(y)).set("r", fixed(cut.radius));
        let disc = disc.set("fill", "#fffdf8").set("stroke", TRIMMER).set("stroke-width", "0.03");
        let number = cut.number.to_string();
        let size = cut.radius * if number.len() > 2 { 0.9 } else { 1.2 };
        let words = self.lettering.words(&number, [x, y + size * 0.36], size, Anchor::Middle);
        group.add(disc).add(words.set("fill", TRIMMER))
    }

    /// Inches or centimetres along the top and the left edge.
    fn ruler(&mut self) -> Group {
        let (step, named, unit) = match self.record.shown_units() {
            Units::Inches => (Length::inches(1.0), 3, 1),
            Units::Millimetres => (Length::mm(10.0), 5, 10),
        };
        let mut marks = String::new();
        let mut group = Group::new();
        for axis in [0, 1] {
            let mut count = 0;
            // The last mark is at the end itself; a hundred marks are more than any sheet has.
            while (step * count).to_inches() <= self.sheet.size[axis] + 1e-6 && count <= 100 {
                let at = (step * count).to_inches();
                let long = if count % named == 0 { 0.2 } else { 0.11 };
                let (x, y, direction) = if axis == 0 { (at, -0.08, 'v') } else { (-0.08, at, 'h') };
                marks += &format!("M{} {}{direction}-{}", fixed(x), fixed(y), fixed(long));
                if count % named == 0 {
                    group = group.add(self.ruler_number(axis, at, &(count * unit).to_string()));
                }
                count += 1;
            }
        }
        let marks = Path::new().set("d", marks).set("fill", "none");
        let marks =
            marks.set("stroke", "#8a7f70").set("stroke-width", "0.02").set("class", "ruler");
        Group::new().add(marks).add(group.set("class", "ruler-text").set("fill", "#6d6253"))
    }

    fn ruler_number(&mut self, axis: usize, at: f64, number: &str) -> Group {
        if axis == 0 {
            self.lettering.words(number, [at, -0.33], RULER_TYPE, Anchor::Middle)
        } else {
            self.lettering.words(number, [-0.32, at + RULER_TYPE * 0.36], RULER_TYPE, Anchor::End)
        }
    }
}

fn rectangle(part: Rect) -> svg::node::element::Rectangle {
    area(&Area { at: [part.x0, part.y0], size: [part.width(), part.height()] })
}

fn line(from: Point, to: Point) -> Path {
    straight([from.x, from.y], [to.x, to.y])
}

fn dashed(line: &BezPath) -> Path {
    let path = Path::new().set("d", data(line)).set("fill", "none").set("stroke-width", "0.03");
    path.set("stroke-dasharray", "0.1 0.06")
}
