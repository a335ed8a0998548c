//! Drawings from SVG files: what is cut, and what is scored, perforated or drawn with a pen.
//!
//! In comes the text of a file, out comes a [`Drawing`] of real size at the origin. Filled closed
//! shapes are united, each by its own fill rule. A closed shape that is only stroked is a cut line:
//! within paper it takes a window out, elsewhere it adds to the outline. Shapes under an `id`,
//! `class` or `label` that says `score`, `perforate` or `pen` become such lines, open or closed.
//!
//! Whatever can't be cut is refused by name, never left out: text, pictures, clips, masks, filters,
//! markers, outside files, entities. Limits keep hostile files short; see the constants.

mod baseline;
mod bounds;
mod refuse;
mod size;

use crate::model::Fault;
use kurbo::{Affine, BezPath, PathEl, Point, Shape};

use crate::geometry::LARGEST;
use crate::geometry::boolean::{self, Rule};
use crate::geometry::crossings;
use crate::geometry::{Drawing, Line};
use crate::kept::Kept;
use crate::model::{Color, Process};
use refuse::Names;

pub use baseline::read_baseline;

/// Largest file in bytes; a detailed lace panel takes a tenth of it.
pub const MOST_BYTES: usize = 5_000_000;

/// Most paths in a file, copies by reference counted each.
pub const MOST_PATHS: usize = 2_000;

/// Most segments in all paths together.
pub const MOST_SEGMENTS: usize = 100_000;

/// Most closed shapes without a fill: each is tried against all paper before it.
const MOST_UNFILLED: usize = 200;

/// Most crossings of lines: more is a scribble or a weave drawn as strips. Uniting takes a quarter of a
/// second and 15 MB for a thousand.
const MOST_CROSSINGS: usize = 4_000;

/// Drawings of at most so many bytes are kept: larger ones would fill the memory.
const LARGEST_KEPT: usize = 1_000_000;
/// Drawings read last, by text, size and colours.
static READ: Kept<Asked, Result<Drawing, Fault>> = Kept::new(16);

/// Bytes of the stack on which a drawing is read.
const READER_STACK: usize = 32_000_000;

/// Ends of a path this near, in inches, are taken for one point.
const CLOSED_GAP: f64 = 0.001;

/// SVG's pixels to the inch.
const PIXELS: f64 = 96.0;

/// How large a drawing is made.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Fit {
    /// As large as the file says; it must give a width and height in in, mm, cm, pt or pc.
    #[default]
    RealSize,
    /// This many inches wide.
    Width(f64),
    /// This many inches high.
    Height(f64),
    /// As large as goes into this width and height in inches.
    Within([f64; 2]),
}

/// Reads a drawing from the text of an SVG file.
pub fn read_svg(text: &str, fit: Fit) -> Result<Drawing, Fault> {
    read_svg_by_color(text, fit, &[])
}

/// Reads a drawing in which lines of some colours (`#rrggbb`) are a process of their own, unless an `id`
/// says otherwise. A colour that no line has is refused: it is likely misspelt.
pub fn read_svg_by_color(
    text: &str,
    fit: Fit,
    colors: &[(Color, Process)],
) -> Result<Drawing, Fault> {
    if text.len() > LARGEST_KEPT {
        return read(text, fit, colors);
    }
    READ.of((text.to_owned(), fit, colors.to_vec()), |(text, fit, colors)| read(text, *fit, colors))
}

/// The text of a drawing, its size, and the processes of colours.
type Asked = (String, Fit, Vec<(Color, Process)>);

fn read(text: &str, fit: Fit, colors: &[(Color, Process)]) -> Result<Drawing, Fault> {
    size::check_fit(fit)?;
    let names = refuse::check(text)?;
    if fit == Fit::RealSize {
        names.real_size()?;
    }
    let tree = tree(&names)?;
    let mut found = Contents {
        names: &names,
        colors,
        seen: Vec::new(),
        cut: Vec::new(),
        lines: Vec::new(),
        paths: 0,
        segments: 0,
    };
    found.group(tree.root(), None)?;
    found.check_colors()?;
    found.check_crossings()?;
    let drawing = Drawing { outline: outline_of(&found.cut)?, lines: found.lines };
    size::fitted(drawing, fit)
}

/// A drawing that was found sound, as a tree of shapes.
fn tree(names: &Names) -> Result<usvg::Tree, Fault> {
    let help = "open it in a drawing program and save it as plain SVG with a width and a height";
    let read = || usvg::Tree::from_str(&names.text, &options());
    // The reader calls itself for some parts of a path: it gets a stack of its own that holds as many of
    // them as are let through.
    let read = std::thread::scope(|scope| {
        let reader = std::thread::Builder::new().stack_size(READER_STACK);
        reader.spawn_scoped(scope, read).ok().and_then(|reader| reader.join().ok())
    });
    match read {
        Some(Ok(tree)) => Ok(tree),
        Some(Err(cause)) => Err(Fault::new(format!("the drawing can't be read: {cause}"), help)),
        None => Err(Fault::new("the drawing can't be read", help)),
    }
}

/// Nothing outside the file is ever opened.
fn options() -> usvg::Options<'static> {
    usvg::Options {
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(|_, _| None),
        },
        ..usvg::Options::default()
    }
}

/// A closed shape that is cut.
struct Cut {
    path: BezPath,
    fill: Option<Rule>,
}

/// What a drawing holds, in inches.
struct Contents<'a> {
    names: &'a Names,
    /// Colours of lines that tell the process.
    colors: &'a [(Color, Process)],
    /// Colours of the lines that were met.
    seen: Vec<Color>,
    cut: Vec<Cut>,
    lines: Vec<Line>,
    paths: usize,
    segments: usize,
}

impl Contents<'_> {
    fn group(&mut self, group: &usvg::Group, process: Option<Process>) -> Result<(), Fault> {
        let name = || self.names.shown(group.id());
        let refused = [
            (group.clip_path().is_some(), "is clipped"),
            (group.mask().is_some(), "is masked"),
            (!group.filters().is_empty(), "has a filter"),
        ];
        if let Some((_, what)) = refused.iter().find(|(is_so, _)| *is_so) {
            return Err(Fault::new(
                format!("{} {what}, which a blade can't follow", name()),
                "apply it to the shapes in a drawing program, or remove it",
            ));
        }
        let process = self.names.process(group.id()).or(process);
        for child in group.children() {
            match child {
                usvg::Node::Group(group) => self.group(group, process)?,
                usvg::Node::Path(path) => self.path(path, process)?,
                usvg::Node::Image(image) => {
                    return Err(refuse::element("image", &self.names.shown(image.id())));
                }
                usvg::Node::Text(text) => {
                    return Err(refuse::element("text", &self.names.shown(text.id())));
                }
            }
        }
        Ok(())
    }

    fn path(&mut self, drawn: &usvg::Path, process: Option<Process>) -> Result<(), Fault> {
        let name = self.names.shown(drawn.id());
        let path = in_inches(drawn);
        self.count(&path)?;
        if !path.elements().iter().all(|element| element.is_finite()) {
            return Err(Fault::new(
                format!("{name} has points that are no place on paper"),
                "draw it anew, smaller",
            ));
        }
        let colored = self.by_color(drawn);
        let process = self.names.process(drawn.id()).or(process).or(colored);
        let process = process.unwrap_or(Process::Cut);
        if process != Process::Cut {
            self.lines.push(Line { process, path, fold: None });
            return Ok(());
        }
        if !drawn.is_visible() {
            return Err(Fault::new(
                format!(
                    "{name} has neither a fill nor a stroke, so it can't be told whether it is cut"
                ),
                "give it a fill or a stroke, or delete it",
            ));
        }
        let Some(path) = closed(&path) else {
            return Err(Fault::new(
                format!("{name} is an open path and can't be cut out"),
                "close it, put it in a group with the id `score`, `perforate` or `pen`, or name its colour in `processes`",
            ));
        };
        let fill = drawn.fill().map(|fill| match fill.rule() {
            usvg::FillRule::NonZero => Rule::NonZero,
            usvg::FillRule::EvenOdd => Rule::EvenOdd,
        });
        self.cut.push(Cut { path, fill });
        Ok(())
    }

    /// What the colour of a line says is done along it.
    fn by_color(&mut self, drawn: &usvg::Path) -> Option<Process> {
        let usvg::Paint::Color(color) = drawn.stroke()?.paint() else { return None };
        let color = Color::new([color.red, color.green, color.blue]);
        if !self.seen.contains(&color) {
            self.seen.push(color);
        }
        let known = self.colors.iter().find(|(known, _)| *known == color);
        known.map(|(_, process)| *process)
    }

    fn check_colors(&self) -> Result<(), Fault> {
        let unseen =
            self.colors.iter().find(|(color, _)| !self.seen.iter().any(|seen| seen == color));
        let Some((color, process)) = unseen else { return Ok(()) };
        let seen: Vec<&str> = self.seen.iter().map(Color::as_str).collect();
        let seen = if seen.is_empty() { "none".to_owned() } else { seen.join(", ") };
        Err(Fault::new(
            format!("no line of the drawing is {color}, which is to be {}", process.name()),
            format!("its lines are: {seen}"),
        ))
    }

    fn count(&mut self, path: &BezPath) -> Result<(), Fault> {
        self.paths += 1;
        self.segments += path.elements().len();
        let limits =
            [(self.paths, MOST_PATHS, "paths"), (self.segments, MOST_SEGMENTS, "segments")];
        match limits.iter().find(|(count, most, _)| count > most) {
            None => Ok(()),
            Some((_, most, what)) => Err(Fault::new(
                format!("the drawing has more than {most} {what}"),
                "simplify it in a drawing program",
            )),
        }
    }

    /// Scribbles are refused before time is spent on matching every line with every other.
    fn check_crossings(&self) -> Result<(), Fault> {
        if !crossings::more_than(self.cut.iter().map(|cut| &cut.path), MOST_CROSSINGS) {
            return Ok(());
        }
        Err(Fault::new(
            "the lines of the drawing cross each other too often",
            "unite the shapes in a drawing program, and remove scribbles and hatching",
        ))
    }
}

/// All paper that the shapes leave standing.
fn outline_of(cut: &[Cut]) -> Result<BezPath, Fault> {
    let filled: Vec<BezPath> = cut
        .iter()
        .filter_map(|shape| shape.fill.map(|rule| boolean::resolve(&shape.path, rule)))
        .collect();
    let mut paper = boolean::union(&filled);
    // Stroked shapes from the largest to the smallest, so that each meets the paper it lies in.
    let mut lines: Vec<BezPath> = cut
        .iter()
        .filter(|shape| shape.fill.is_none())
        .map(|shape| boolean::resolve(&shape.path, Rule::EvenOdd))
        .collect();
    if lines.len() > MOST_UNFILLED {
        return Err(Fault::new(
            format!("the drawing has more than {MOST_UNFILLED} closed shapes without a fill"),
            "fill the shapes that are paper, and unite windows with them",
        ));
    }
    lines.sort_by(|one, other| other.area().total_cmp(&one.area()));
    for line in lines {
        let within = boolean::subtract(&line, &paper).is_empty();
        paper =
            if within { boolean::subtract(&paper, &line) } else { boolean::union(&[paper, line]) };
    }
    if paper.is_empty() {
        return Err(Fault::new(
            "there is no closed shape to cut in the drawing",
            "draw the outline as a closed path with a fill",
        ));
    }
    Ok(paper)
}

/// A path as inches on the page.
fn in_inches(drawn: &usvg::Path) -> BezPath {
    let moved = drawn.abs_transform();
    let [a, b, c, d, e, f] =
        [moved.sx, moved.ky, moved.kx, moved.sy, moved.tx, moved.ty].map(f64::from);
    let to_inches = Affine::scale(1.0 / PIXELS) * Affine::new([a, b, c, d, e, f]);
    let point = |at: usvg::tiny_skia_path::Point| Point::new(f64::from(at.x), f64::from(at.y));
    let elements = drawn.data().segments().map(|segment| match segment {
        usvg::tiny_skia_path::PathSegment::MoveTo(to) => PathEl::MoveTo(point(to)),
        usvg::tiny_skia_path::PathSegment::LineTo(to) => PathEl::LineTo(point(to)),
        usvg::tiny_skia_path::PathSegment::QuadTo(one, to) => PathEl::QuadTo(point(one), point(to)),
        usvg::tiny_skia_path::PathSegment::CubicTo(one, two, to) => {
            PathEl::CurveTo(point(one), point(two), point(to))
        }
        usvg::tiny_skia_path::PathSegment::Close => PathEl::ClosePath,
    });
    to_inches * BezPath::from_vec(elements.collect())
}

/// The path with every subpath closed, unless one has ends that lie apart.
fn closed(path: &BezPath) -> Option<BezPath> {
    let mut whole = BezPath::new();
    for part in boolean::subpaths(path) {
        let is_closed = matches!(part.elements().last(), Some(PathEl::ClosePath));
        let ends = [part.elements().first(), part.elements().last()]
            .map(|element| element.and_then(PathEl::end_point));
        let meets = matches!(ends, [Some(one), Some(other)] if one.distance(other) <= CLOSED_GAP);
        if !is_closed && (!meets || part.elements().len() < 3) {
            return None;
        }
        whole.extend(part);
        if !is_closed {
            whole.close_path();
        }
    }
    Some(whole)
}
