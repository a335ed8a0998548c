//! One sheet as a picture: what is cut from it, where the trimmer goes, and what is kept.

mod label;

use kurbo::{BezPath, Rect, Shape};
use svg::Document;
use svg::node::element::{Circle, Definitions, Group, Path, Pattern, Rectangle, Title};

use super::drawing::{
    area, color, dashes, data, fixed, from_rings, legible_on, plain, readable, slug, straight,
};
use super::lettering::{Anchor, Lettering};
use super::spread::papers::Papers;
use crate::length::{Length, Size, Units};
use crate::outline::fonts::Font;
use crate::outline::{Fold, laying};
use crate::record::{Area, Cut, Offcut, Placed, Record, Sheet};
use label::Labels;

/// Room round the sheet for the ruler in inches: left and top, right and bottom.
const MARGINS: [f64; 2] = [0.62, 0.2];
/// Type size of the ruler's numbers in inches.
const RULER_TYPE: f64 = 0.24;
/// Radius of a cut's number in inches.
const BADGE: f64 = 0.19;
/// Where along a cut its number may stand, best first.
const BADGE_PLACES: [f64; 9] = [0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92, 0.27, 0.73];
/// Legs of the triangle in the corner that lies in the mat's, in inches.
const CORNER: f64 = 0.35;
/// Ink of the trimmer's cuts and their numbers.
const TRIMMER: &str = "#8c2f39";

/// A line on a sheet: its ink, the way it is folded, where it runs.
type Drawn<'a> = (&'a str, Option<Fold>, BezPath);

/// A picture of `sheet` as an SVG document in inches, with a ruler along its top and left edge.
///
/// Pieces bear their names where there is room and their numbers in [`Record::pieces`], from 1,
/// where there isn't. Trimmer cuts are numbered in order. There is no text element in the picture.
pub fn sheet_svg(record: &Record, sheet: &Sheet, label_font: &Font) -> String {
    let place = record.sheets.iter().position(|other| other.id == sheet.id).unwrap_or(0);
    let prefix = format!("sheet-{}-{}", place + 1, slug(&sheet.id));
    let lettering = Lettering::new(&prefix, label_font);
    let papers = Papers::new(record, &prefix);
    let mut picture =
        Picture { record, sheet, prefix: &prefix, papers, lettering, labels: Labels::default() };
    let body = [
        picture.ground(),
        picture.offcuts(),
        picture.parts(),
        picture.pieces(),
        picture.names(),
        picture.machine(),
        picture.cuts(),
        picture.ruler(),
    ];
    let [before, after] = MARGINS;
    let [width, height] = sheet.size.map(|side| fixed(side + before + after));
    let mut document = Document::new()
        .set("width", format!("{width}in"))
        .set("height", format!("{height}in"))
        .set("viewBox", format!("-{} -{} {width} {height}", fixed(before), fixed(before)))
        .add(Title::new(plain(&format!("{}: {}", record.name, sheet.id))))
        .add(picture.definitions());
    for part in body {
        document = document.add(part);
    }
    document.to_string() + "\n"
}

struct Picture<'a> {
    record: &'a Record,
    sheet: &'a Sheet,
    prefix: &'a str,
    papers: Papers<'a>,
    lettering: Lettering<'a>,
    labels: Labels,
}

impl Picture<'_> {
    fn whole(&self) -> Area {
        Area { at: [0.0, 0.0], size: self.sheet.size }
    }

    fn hatching(&self) -> String {
        format!("{}-keep", self.prefix)
    }

    fn edge(&self, sheet: Rectangle) -> Rectangle {
        let edge = sheet.set("fill", "none").set("stroke", "#8a7f70").set("stroke-width", "0.03");
        match self.sheet.to_buy {
            true => edge.set("class", "to-buy").set("stroke-dasharray", "0.3 0.15"),
            false => edge,
        }
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

    /// The sheet itself, pale, so that what is cut from it stands out; one that has to be bought has a
    /// dashed edge.
    fn ground(&self) -> Group {
        let paper = self.papers.color(&self.sheet.paper);
        let sheet = || area(&self.whole());
        Group::new()
            .add(sheet().set("fill", "#fffdf8"))
            .add(sheet().set("fill", paper).set("fill-opacity", "0.3"))
            .add(self.edge(sheet()))
    }

    fn offcuts(&mut self) -> Group {
        let mut group = Group::new();
        for offcut in &self.sheet.offcuts {
            group = group.add(self.offcut(offcut));
        }
        group
    }

    fn offcut(&mut self, offcut: &Offcut) -> Group {
        let part = Area { at: offcut.at, size: offcut.size };
        let size = Size::inches(offcut.size[0], offcut.size[1]).show(self.record.shown_units());
        let fill = format!("url(#{})", self.hatching());
        let edge = area(&part).set("fill", fill).set("stroke", "#5d7f5a");
        let mut group = Group::new()
            .add(area(&part).set("fill", "#ffffff").set("fill-opacity", "0.5"))
            .add(edge.set("stroke-width", "0.02"));
        let texts = [format!("keep {}, {size}", offcut.id), format!("keep {size}"), size.clone()];
        if let Some(label) = self.labels.in_rectangle(&part, &texts, &self.lettering) {
            let words = label.draw(&mut self.lettering, "#2f4a2d", Some("#fffdf8"));
            group = group.add(words);
        }
        group.add(Title::new(plain(&format!("keep {}, {size}", offcut.id))))
    }

    /// Parts that are sheets of their own.
    fn parts(&mut self) -> Group {
        let mut group = Group::new();
        for part in &self.sheet.parts {
            let size = Size::inches(part.size[0], part.size[1]).show(self.record.shown_units());
            let told = super::parts::told(self.record, &part.id);
            let bounds = Area { at: part.at, size: part.size };
            let paper = area(&bounds).set("fill", self.papers.color(&self.sheet.paper));
            group = group.add(paper.set("stroke", "#5c5347").set("stroke-width", "0.02"));
            let texts = [format!("{told}, {size}"), told.clone(), part.id.clone()];
            if let Some(label) = self.labels.in_rectangle(&bounds, &texts, &self.lettering) {
                let words = label.draw(&mut self.lettering, "#2b2721", Some("#fffdf8"));
                group = group.add(words);
            }
            group = group.add(Title::new(plain(&told)));
        }
        group
    }

    fn pieces(&self) -> Group {
        let mut group = Group::new();
        for placed in &self.sheet.placed {
            let (outline, lines) = self.laid(placed);
            let cut = color(&self.record.inks.cut);
            let shape = || Path::new().set("d", data(&outline)).set("fill-rule", "evenodd");
            let pattern = self.papers.pattern_fill(&self.sheet.paper);
            let pattern = pattern.map(|pattern| shape().set("fill", pattern));
            let paper = self.papers.color(&self.sheet.paper);
            let shape = shape().set("fill", paper).set("stroke-linejoin", "round");
            let shape = match placed.tool.as_str() {
                "machine" => shape.set("stroke", cut).set("stroke-width", "0.03"),
                "hand" => shape
                    .set("stroke", "#7a5b3a")
                    .set("stroke-width", "0.03")
                    .set("stroke-dasharray", "0.1 0.07"),
                _ => shape.set("stroke", "#5c5347").set("stroke-width", "0.02"),
            };
            let mut piece = Group::new().add(shape);
            if let Some(pattern) = pattern {
                piece = piece.add(pattern);
            }
            for (ink, fold, line) in lines {
                let line = dashed(&line).set("stroke", ink);
                piece = piece.add(match fold {
                    Some(_) => line.set("stroke-dasharray", dashes(fold)),
                    None => line,
                });
            }
            group = group.add(piece.add(Title::new(plain(&self.full_name(placed)))));
        }
        group
    }

    /// The outline and the lines of a placed piece in sheet coordinates.
    fn laid(&self, placed: &Placed) -> (BezPath, Vec<Drawn<'_>>) {
        match self.record.pieces.iter().find(|piece| piece.id == placed.piece) {
            Some(piece) => {
                let outline = piece.curves();
                let lay = laying(&outline, placed.turn, placed.at);
                let inks = &self.record.inks;
                let lines = piece.lines.iter();
                let lines = lines.filter_map(|line| {
                    Some((color(inks.of(line.process)), line.fold, lay * readable(&line.path)?))
                });
                (lay * outline, lines.collect())
            }
            None => (from_rings(&placed.rings).unwrap_or_default(), Vec::new()),
        }
    }

    fn full_name(&self, placed: &Placed) -> String {
        let copies = self.record.pieces.iter().find(|piece| piece.id == placed.piece);
        if copies.is_some_and(|piece| piece.copies > 1) {
            format!("{} ({})", placed.piece, placed.copy)
        } else {
            placed.piece.clone()
        }
    }

    fn names(&mut self) -> Group {
        let paper = self.papers.color(&self.sheet.paper);
        let patterned = self.papers.pattern_fill(&self.sheet.paper).is_some();
        let mut group = Group::new();
        let outlines: Vec<BezPath> =
            self.sheet.placed.iter().map(|placed| self.laid(placed).0).collect();
        let boxes: Vec<Rect> = outlines.iter().map(Shape::bounding_box).collect();
        self.labels.keep_off(boxes, self.sheet.size);
        for (placed, outline) in self.sheet.placed.iter().zip(&outlines) {
            let number = self.record.pieces.iter().position(|piece| piece.id == placed.piece);
            let number = number.map_or(String::new(), |place| (place + 1).to_string());
            let texts = [format!("{number} {}", self.full_name(placed)), number];
            let label = self.labels.of_outline(outline, &texts, &self.lettering);
            let (ink, ground) = match label.outside {
                true => ("#2b2721", "#fffdf8"),
                false if patterned => ("#2b2721", "#fffdf8"),
                false => (legible_on(paper), paper),
            };
            group = group.add(label.draw(&mut self.lettering, ink, Some(ground)));
        }
        group
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
        for cut in &self.sheet.cuts {
            // A pale line below makes the cut stand out on dark paper.
            let pale = straight(cut.from, cut.to).set("stroke", "#fffdf8");
            group = group.add(pale.set("stroke-width", "0.06").set("stroke-opacity", "0.75"));
            let line = straight(cut.from, cut.to).set("stroke", TRIMMER);
            group =
                group.add(line.set("stroke-width", "0.035").set("stroke-dasharray", "0.2 0.09"));
        }
        for cut in &self.sheet.cuts {
            group = group.add(self.badge(cut));
        }
        group
    }

    /// A cut's number on its line, where it covers the least.
    fn badge(&mut self, cut: &Cut) -> Group {
        let along = |share: f64| {
            [0, 1].map(|axis| cut.from[axis] + share * (cut.to[axis] - cut.from[axis]))
        };
        let places = BADGE_PLACES.map(along);
        let [x, y] = self.labels.least_covered(&places, BADGE);
        let disc = Circle::new().set("cx", fixed(x)).set("cy", fixed(y)).set("r", fixed(BADGE));
        let disc = disc.set("fill", "#fffdf8").set("stroke", TRIMMER).set("stroke-width", "0.03");
        let number = cut.number.to_string();
        let size = if number.len() > 2 { 0.17 } else { 0.23 };
        let words = self.lettering.words(&number, [x, y + size * 0.36], size, Anchor::Middle);
        Group::new().add(disc).add(words.set("fill", TRIMMER))
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

fn dashed(line: &BezPath) -> Path {
    let path = Path::new().set("d", data(line)).set("fill", "none").set("stroke-width", "0.03");
    path.set("stroke-dasharray", "0.1 0.06")
}
