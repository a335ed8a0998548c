//! A path that words stand on, from an SVG file.

use crate::model::Fault;
use kurbo::{Affine, BezPath, Shape};

use super::{LARGEST, MOST_SEGMENTS, in_inches, refuse, tree};
use crate::geometry::{boolean, number};

/// The shortest path that words can stand on, in inches.
const SHORTEST: f64 = 0.25;

/// The one path of a drawing, open or closed, in inches: as large as the file says, or this wide. It
/// runs as it was drawn, from its first point.
pub fn read_baseline(text: &str, width: Option<f64>) -> Result<BezPath, Fault> {
    let names = refuse::check(text)?;
    if width.is_none() {
        names.real_size()?;
    }
    let tree = tree(&names)?;
    let mut paths = Vec::new();
    collect(tree.root(), &mut paths);
    let [path] = paths.as_slice() else {
        return Err(Fault::new(
            format!("the drawing has {} paths", paths.len()),
            "leave the one that the words stand on",
        ));
    };
    if boolean::subpaths(path).len() > 1 || path.segments().count() > MOST_SEGMENTS {
        return Err(Fault::new(
            "the path is in several pieces, or has too many points",
            "draw it in one go",
        ));
    }
    let finite = path.elements().iter().all(kurbo::PathEl::is_finite);
    let bounds = path.bounding_box();
    let scale = width.map_or(1.0, |width| width / bounds.width());
    let size = [bounds.width() * scale, bounds.height() * scale];
    let is_sound = finite && scale.is_finite() && size.iter().all(|side| *side <= LARGEST);
    let path = Affine::scale(scale) * path;
    if !is_sound || path.perimeter(1e-3) < SHORTEST {
        return Err(Fault::new(
            format!("the path would be {} x {} in", number(size[0], 3), number(size[1], 3)),
            format!("make it at least {SHORTEST} in long and at most {LARGEST} in wide and high"),
        ));
    }
    Ok(path)
}

fn collect(group: &usvg::Group, paths: &mut Vec<BezPath>) {
    for child in group.children() {
        match child {
            usvg::Node::Group(group) => collect(group, paths),
            usvg::Node::Path(path) => paths.push(in_inches(path)),
            // Refused before, by name.
            usvg::Node::Image(_) | usvg::Node::Text(_) => {}
        }
    }
}
