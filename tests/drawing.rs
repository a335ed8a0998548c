//! One display list, two ways to write it: what SVG and PDF show lies in the same places.

use std::io::Read;
use std::sync::Arc;

use cutleaf::draw::display_list::{Group, Item, Outline, Paint, Pattern, Shape, Stroke, Text};
use cutleaf::draw::pdf::Document;
use cutleaf::draw::svg::{Means, Svg};
use cutleaf::draw::{Anchor, Layer};
use cutleaf::lettering::fonts::{Font, FontBook};
use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape as _};

/// The page in inches.
const PAGE: [f64; 2] = [9.0, 7.0];
/// Pictures are written with four decimals of an inch, and twice that is lost where things are turned.
const NEAR: f64 = 3e-4;

/// Something that shows: what it is, its colour, and the box round it in inches from the top left.
type Seen = (&'static str, String, Rect);

/// A leaf with two curves.
fn leaf() -> BezPath {
    let mut path = BezPath::new();
    path.move_to((0.0, 0.0));
    path.curve_to((0.5, -0.8), (1.5, -0.2), (2.0, 0.4));
    path.quad_to((0.7, 0.9), (0.0, 0.0));
    path.close_path();
    path
}

fn letter<'a>(at: Point, anchor: Anchor, ink: &'a str) -> Text<'a> {
    Text::new("H", at, 0.5, ink).anchored(anchor)
}

/// Each thing has a colour of its own.
fn list<'a>() -> Vec<Item<'a>> {
    let shared = Arc::new(leaf());
    let shape = |outline: Outline, ink: &'a str| Shape::new(outline).filled(Paint::Ink(ink, 1.0));
    let rectangle = Rect::new(0.5, 0.25, 2.0, 1.0);
    let edge = Stroke { round: true, ..Stroke::new("#000002", 0.03).dashed(&[0.1, 0.05]) };
    let inner = Group {
        clip: Some(Outline::Disc(Circle::new((0.5, 0.5), 0.9))),
        ..Group::laid(
            Affine::translate((0.3, 0.2)) * Affine::scale(1.5),
            vec![
                shape(Outline::Shared(Arc::clone(&shared)), "#000003").into(),
                letter(Point::new(0.2, 0.6), Anchor::End, "#000004").into(),
            ],
        )
    };
    let turned = Affine::translate((4.0, 3.0)) * Affine::rotate(0.7);
    let outer = Group {
        layer: Some(Layer::Marks),
        ..Group::laid(turned, vec![inner.into(), shape(Outline::Path(leaf()), "#000005").into()])
    };
    let squares = Pattern {
        name: "squares".to_owned(),
        side: 0.5,
        turn: 0.0,
        items: vec![Shape::rectangle(Rect::new(0.0, 0.0, 0.2, 0.2)).into()],
    };
    vec![
        shape(Outline::Rectangle(rectangle, 0.0), "#000001").stroked(edge).into(),
        outer.into(),
        shape(Outline::Rectangle(Rect::new(6.0, 1.0, 8.0, 2.0), 0.25), "#000006").into(),
        shape(Outline::Disc(Circle::new((7.0, 5.0), 0.75)), "#000007").into(),
        letter(Point::new(1.0, 6.0), Anchor::Start, "#000008").into(),
        letter(Point::new(3.0, 6.0), Anchor::Middle, "#000009").into(),
        Group::laid(
            Affine::translate((6.0, 3.0)) * Affine::FLIP_X,
            vec![shape(Outline::Shared(shared), "#00000a").into()],
        )
        .into(),
        Shape::lines([[Point::new(0.5, 4.0), Point::new(1.5, 4.5)]], Stroke::new("#00000b", 0.02))
            .into(),
        Shape::new(Outline::Disc(Circle::new((1.0, 2.0), 0.25)))
            .filled(Paint::Pattern(Arc::new(squares)))
            .stroked(Stroke::new("#00000c", 0.02))
            .into(),
    ]
}

fn font() -> Arc<Font> {
    FontBook::default().find("text").expect("built in")
}

/// What an independent reader of SVG finds.
fn seen_in_svg(svg: &str) -> Vec<Seen> {
    let tree = usvg::Tree::from_str(svg, &usvg::Options::default()).expect("SVG");
    let mut seen = Vec::new();
    in_group(tree.root(), &mut seen);
    seen
}

fn in_group(group: &usvg::Group, seen: &mut Vec<Seen>) {
    if let Some(clip) = group.clip_path() {
        let lay = group.abs_transform().pre_concat(clip.transform());
        for node in clip.root().children() {
            if let usvg::Node::Path(path) = node {
                let lay = lay.pre_concat(path.abs_transform());
                let path = path.data().clone().transform(lay).expect("a path");
                let bounds = path.compute_tight_bounds().expect("bounds");
                seen.push(("clip", String::new(), inches(bounds)));
            }
        }
    }
    for node in group.children() {
        match node {
            usvg::Node::Group(group) => in_group(group, seen),
            usvg::Node::Path(path) => {
                let bounds = inches(path.abs_bounding_box());
                for (what, paint) in [
                    ("fill", path.fill().map(usvg::Fill::paint)),
                    ("stroke", path.stroke().map(usvg::Stroke::paint)),
                ] {
                    if let Some(usvg::Paint::Color(color)) = paint {
                        let [red, green, blue] = [color.red, color.green, color.blue];
                        seen.push((what, format!("#{red:02x}{green:02x}{blue:02x}"), bounds));
                    }
                }
            }
            usvg::Node::Image(_) | usvg::Node::Text(_) => panic!("{node:?}"),
        }
    }
}

/// An SVG reader counts 96 to the inch.
fn inches(bounds: usvg::Rect) -> Rect {
    let sides = [bounds.left(), bounds.top(), bounds.right(), bounds.bottom()];
    let [left, top, right, bottom] = sides.map(|side| f64::from(side) / 96.0);
    Rect::new(left, top, right, bottom)
}

/// The content of a document's only page, inflated.
fn content(pdf: &[u8]) -> String {
    let starts = pdf.windows(7).enumerate().filter(|(_, at)| at == b"stream\n");
    let inflated = starts.filter_map(|(at, _)| {
        let mut text = Vec::new();
        let read = flate2::read::ZlibDecoder::new(&pdf[at + 7..]).read_to_end(&mut text);
        read.ok().and_then(|_| String::from_utf8(text).ok())
    });
    inflated.filter(|text| text.contains(" Tf")).collect()
}

/// A share of a colour as two hexadecimal figures.
fn byte(share: f64) -> String {
    let near = |byte: &u8| (f64::from(*byte) / 255.0 - share).abs() < 1e-3;
    format!("{:02x}", (0..=u8::MAX).find(near).expect("a colour's share"))
}

/// What the operators of a page paint (ISO 32000-1, table A.1).
fn seen_in_pdf(content: &str, font: &Font) -> Vec<Seen> {
    let page = Affine::new([1.0 / 72.0, 0.0, 0.0, -1.0 / 72.0, 0.0, PAGE[1]]);
    let face = ttf_parser::Face::parse(&font.data, 0).expect("a font");
    let glyph = face.glyph_bounding_box(face.glyph_index('H').expect("an H")).expect("its box");
    let em = f64::from(face.units_per_em());
    let [left, low, right, high] =
        [glyph.x_min, glyph.y_min, glyph.x_max, glyph.y_max].map(|side| f64::from(side) / em);
    let glyph = Rect::new(left, low, right, high);
    let (mut lay, mut kept, mut path) = (page, Vec::new(), BezPath::new());
    let (mut fill, mut stroke, mut size, mut clips) = (String::new(), String::new(), 0.0, false);
    let mut seen: Vec<Seen> = Vec::new();
    for line in content.lines() {
        let words: Vec<&str> = line.split_whitespace().collect();
        let Some((operator, operands)) = words.split_last() else { continue };
        let n: Vec<f64> = operands.iter().filter_map(|word| word.parse().ok()).collect();
        let color = || n.iter().map(|part| byte(*part)).fold("#".to_owned(), |all, one| all + &one);
        match *operator {
            "q" => kept.push((lay, fill.clone(), stroke.clone())),
            "Q" => (lay, fill, stroke) = kept.pop().expect("as many q as Q"),
            "cm" => lay *= Affine::new([n[0], n[1], n[2], n[3], n[4], n[5]]),
            "rg" => fill = color(),
            "RG" => stroke = color(),
            "re" => path.extend(Rect::new(n[0], n[1], n[0] + n[2], n[1] + n[3]).path_elements(0.1)),
            "m" => path.move_to((n[0], n[1])),
            "l" => path.line_to((n[0], n[1])),
            "c" => path.curve_to((n[0], n[1]), (n[2], n[3]), (n[4], n[5])),
            "h" => path.close_path(),
            "W*" => clips = true,
            "f*" | "S" | "B*" | "n" => {
                let bounds = (lay * std::mem::take(&mut path)).bounding_box();
                if std::mem::take(&mut clips) {
                    seen.push(("clip", String::new(), bounds));
                }
                let painted = [("fill", &fill, ["f*", "B*"]), ("stroke", &stroke, ["S", "B*"])];
                for (what, ink, _) in painted.into_iter().filter(|(_, _, by)| by.contains(operator))
                {
                    seen.push((what, ink.clone(), bounds));
                }
            }
            "Tf" => size = n[0],
            "Tm" => {
                let lay = lay * Affine::new([n[0], n[1], n[2], n[3], n[4], n[5]]);
                let glyph = lay * Affine::scale(size) * glyph.to_path(0.1);
                seen.push(("fill", fill.clone(), glyph.bounding_box()));
            }
            "d" | "w" | "J" | "BDC" | "EMC" | "BT" | "ET" | "TJ" | "Tj" => (),
            other => panic!("`{other}` is not read here"),
        }
    }
    assert!(kept.is_empty(), "as many Q as q");
    seen
}

#[test]
fn svg_and_pdf_show_a_list_in_the_same_places() {
    let (list, font) = (list(), font());
    let picture = Svg::new(Rect::new(0.0, 0.0, PAGE[0], PAGE[1]));
    let svg = picture.over(&list, Means::lettered("list", &font)).document();
    let mut document = Document::new("List", &[Arc::clone(&font)], [0, 0]);
    document.page(PAGE, "Page", &list);
    let pdf = document.finish().expect("written");
    let (svg, pdf) = (seen_in_svg(&svg), seen_in_pdf(&content(&pdf), &font));
    let told = |seen: &[Seen]| -> Vec<String> {
        seen.iter().map(|(what, ink, _)| format!("{what} {ink}")).collect()
    };
    assert_eq!(told(&svg), told(&pdf), "the same things, the lowest first");
    // Twelve things of their own colours, one of them filled and stroked, and a clip.
    assert_eq!(svg.len(), 13, "{svg:?}");
    for ((what, ink, one), (_, _, other)) in svg.iter().zip(&pdf) {
        let sides = |rect: &Rect| [rect.x0, rect.y0, rect.x1, rect.y1];
        let off = sides(one).into_iter().zip(sides(other)).map(|(a, b)| (a - b).abs());
        let off = off.fold(0.0, f64::max);
        assert!(off < NEAR, "{what} {ink}: {one:?} in SVG, {other:?} in PDF");
    }
    // Where a thing lies is told by hand, too: both could be wrong alike.
    let at = |ink: &str| svg.iter().find(|(_, found, _)| found == ink).expect("drawn").2;
    let near = |one: f64, other: f64| (one - other).abs() < NEAR;
    let rectangle = at("#000001");
    assert!(near(rectangle.x0, 0.5) && near(rectangle.y1, 1.0), "{rectangle:?}");
    let flipped = at("#00000a");
    assert!(near(flipped.x0, 4.0) && near(flipped.x1, 6.0), "{flipped:?}");
}

#[test]
fn what_is_drawn_twice_stands_in_svg_once() {
    let leaf = Arc::new(leaf());
    let shape = |ink| {
        Item::from(Shape::new(Outline::Shared(Arc::clone(&leaf))).filled(Paint::Ink(ink, 1.0)))
    };
    let picture = Svg::new(Rect::new(0.0, 0.0, PAGE[0], PAGE[1]));
    let list = [shape("#000001"), shape("#000002")];
    let svg = picture.over(&list, Means::lettered("list", &font())).document();
    assert_eq!(svg.matches("<path").count(), 1, "{svg}");
    assert_eq!(svg.matches("href=\"#list-shape-0\"").count(), 2, "{svg}");
}

/// What comes from a spec gets into no attribute but as a colour.
#[test]
fn only_colours_become_inks() {
    let list = [
        letter(Point::ZERO, Anchor::Start, "red\" onload=\"x").into(),
        Shape::rectangle(Rect::ZERO).filled(Paint::Ink("url(#x)", 1.0)).into(),
    ];
    let picture = Svg::new(Rect::new(0.0, 0.0, PAGE[0], PAGE[1]));
    let svg = picture.over(&list, Means::lettered("list", &font())).document();
    assert!(!svg.contains("onload") && !svg.contains("url("), "{svg}");
}
