//! Cut files: what the machine is told to cut, and in which order.

use std::collections::BTreeMap;

use crate::support::kite_spread::kite_spread;
use crate::support::routed::routed;
use cutleaf::emit::cut_svg::cut_svg;
use cutleaf::geometry::{FLATTENING, Ring, laying, ring_area, rings};
use cutleaf::model::{Process, Tool};
use cutleaf::record::{Record, Sheet};
use kurbo::{Affine, BezPath, ParamCurve, Point, Shape};

fn sheet<'a>(record: &'a Record, id: &str) -> &'a Sheet {
    record.sheets.iter().find(|sheet| sheet.id == id).unwrap()
}

fn machine_files(record: &Record) -> Vec<(&Sheet, String)> {
    let files = record.sheets.iter();
    files.filter_map(|sheet| Some((sheet, cut_svg(record, sheet)?))).collect()
}

/// The paths of a group of a cut file: piece, copy, path, in order.
fn group(svg: &str, name: &str) -> Vec<(String, String, BezPath)> {
    let document = roxmltree::Document::parse(svg).unwrap();
    let group = document.descendants().find(|node| node.attribute("id") == Some(name));
    let paths = group.into_iter().flat_map(|group| group.children().filter(|n| n.is_element()));
    paths
        .map(|path| {
            let text = |name| path.attribute(name).unwrap_or_default().to_owned();
            let data = BezPath::from_svg(&text("d")).unwrap();
            (text("data-piece"), text("data-copy"), data)
        })
        .collect()
}

#[test]
fn only_sheets_with_machine_pieces_have_a_file() {
    let record = kite_spread();
    let names: Vec<&str> = machine_files(&record).iter().map(|(sheet, _)| &*sheet.id).collect();
    assert_eq!(names, ["picnic-1", "harbour-1", "dune grass-1", "snow-1"]);
}

#[test]
fn files_are_true_to_size() {
    let record = kite_spread();
    for (sheet, svg) in machine_files(&record) {
        let tree = usvg::Tree::from_str(&svg, &usvg::Options::default()).unwrap();
        let [width, height] = sheet.size;
        assert!((f64::from(tree.size().width()) - width * 96.0).abs() < 1e-3);
        assert!((f64::from(tree.size().height()) - height * 96.0).abs() < 1e-3);
        assert!(svg.contains(&format!("viewBox=\"0 0 {width} {height}\"")), "{svg}");
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
    }
}

#[test]
fn every_machine_piece_is_cut_once_with_all_its_contours() {
    let record = kite_spread();
    for (sheet, svg) in machine_files(&record) {
        let mut expected = BTreeMap::new();
        for placed in sheet.placed.iter().filter(|placed| placed.tool == Tool::Machine) {
            expected
                .insert((placed.piece.to_string(), placed.copy.to_string()), placed.rings.len());
        }
        let mut found = BTreeMap::new();
        for (piece, copy, _) in group(&svg, "cut") {
            *found.entry((piece, copy)).or_insert(0) += 1;
        }
        assert_eq!(found, expected, "{}", sheet.id);
    }
}

#[test]
fn cut_contours_lie_where_the_record_puts_them() {
    let record = kite_spread();
    let mut compared = 0;
    for (sheet, svg) in machine_files(&record) {
        for (piece, copy, path) in group(&svg, "cut") {
            let placed = sheet
                .placed
                .iter()
                .find(|placed| placed.piece == piece && placed.copy.to_string() == copy);
            let bounds = path.bounding_box();
            let near = |ring: &Ring| {
                let left = ring.iter().map(|point| point[0]).fold(f64::INFINITY, f64::min);
                let bottom = ring.iter().map(|point| point[1]).fold(0.0, f64::max);
                (bounds.x0 - left).abs() < 0.002
                    && (bounds.y1 - bottom).abs() < 0.002
                    && (path.area().abs() - ring_area(ring).abs()).abs() < 0.01
            };
            assert!(placed.unwrap().rings.iter().any(near), "{piece} is elsewhere");
            compared += 1;
        }
    }
    assert!(compared > 8);
}

#[test]
fn curves_stay_curves() {
    let record = kite_spread();
    let svg = cut_svg(&record, sheet(&record, "picnic-1")).unwrap();
    for (piece, _, path) in group(&svg, "cut") {
        let curved = path.elements().iter();
        let curved = curved.filter(|element| matches!(element, kurbo::PathEl::CurveTo(..)));
        assert!(curved.count() >= 4, "{piece}");
        assert!(path.elements().len() < 12, "{piece}: a circle is not a polygon");
    }
}

#[test]
fn groups_come_in_the_order_of_work() {
    let record = kite_spread();
    let svg = cut_svg(&record, sheet(&record, "dune grass-1")).unwrap();
    let document = roxmltree::Document::parse(&svg).unwrap();
    let groups: Vec<_> = document
        .root_element()
        .children()
        .filter(|node| node.has_tag_name("g"))
        .map(|group| (group.attribute("id").unwrap(), group.attribute("stroke").unwrap()))
        .collect();
    let inks = &record.inks;
    let expected = [
        ("register", inks.register.as_str()),
        ("pen", inks.pen.as_str()),
        ("perforate", inks.perforate.as_str()),
        ("score", inks.score.as_str()),
        ("cut", inks.cut.as_str()),
    ];
    assert_eq!(groups, expected);
    assert_eq!(group(&svg, "score").len(), 1);
    assert_eq!(group(&svg, "perforate").len(), 1);
}

#[test]
fn what_lies_inside_is_cut_first() {
    let mut record = kite_spread();
    // The core of the sun is cut from the middle of its ring.
    let ring = sheet(&record, "picnic-1").placed.last().unwrap().clone();
    let core = record.pieces.iter().find(|piece| piece.id == "right.sun.core").unwrap();
    let outline = BezPath::from_svg(&core.path).unwrap();
    let at = [ring.at[0] + 0.55, ring.at[1] + 0.55];
    let mut placed = ring.clone();
    placed.piece = core.id.clone();
    placed.at = at;
    placed.rings = rings(&(laying(&outline, 0.0, at) * outline), FLATTENING);
    let place = record.sheets.iter().position(|sheet| sheet.id == "picnic-1").unwrap();
    record.sheets[place].placed.push(placed);
    routed(&mut record);
    let svg = cut_svg(&record, &record.sheets[place]).unwrap();
    let order: Vec<_> =
        group(&svg, "cut").into_iter().map(|(piece, _, path)| (piece, path.area().abs())).collect();
    let names: Vec<&str> = order.iter().map(|(piece, _)| &**piece).collect();
    assert_eq!(names, ["right.sun.core", "right.sun", "right.sun"]);
    assert!(order[1].1 < order[2].1, "the hole comes before the rim");
}

#[test]
fn inner_contours_come_before_the_outer_one_of_every_piece() {
    let record = kite_spread();
    let mut holes = 0;
    for (_, svg) in machine_files(&record) {
        let contours = group(&svg, "cut");
        for (place, (piece, copy, path)) in contours.iter().enumerate() {
            for (other, other_copy, later) in &contours[place + 1..] {
                let bounds = path.bounding_box();
                let inside = (other, other_copy) == (piece, copy)
                    && bounds.contains(later.bounding_box().center())
                    && bounds.area() > later.bounding_box().area();
                assert!(!inside, "{piece}: a hole is cut after its rim");
                holes += usize::from((other, other_copy) == (piece, copy));
            }
        }
    }
    assert!(holes >= 3);
}

#[test]
fn the_order_saves_travel() {
    let record = kite_spread();
    let harbour = sheet(&record, "harbour-1");
    let work = harbour.work.as_ref().unwrap();
    let (cut, travel) = (harbour.length_of(Process::Cut), work.travel);
    assert_eq!(work.done.len(), 1);
    let length: f64 = harbour
        .placed
        .iter()
        .filter(|placed| placed.tool == Tool::Machine)
        .flat_map(|placed| &placed.rings)
        .map(perimeter)
        .sum();
    assert!((cut - length).abs() < 0.02, "{cut} against {length}");
    let svg = cut_svg(&record, harbour).unwrap();
    let mut blade = Point::ORIGIN;
    let mut drawn = 0.0;
    for (_, _, path) in group(&svg, "cut") {
        let start = path.segments().next().map(|segment| segment.start());
        drawn += start.unwrap().distance(blade);
        blade = start.unwrap();
    }
    assert!((drawn - travel).abs() < 1e-3, "{drawn} against {travel}");
    // In the record's order, from first corner to first corner, the way is longer.
    let mut naive = 0.0;
    blade = Point::ORIGIN;
    for placed in harbour.placed.iter().filter(|placed| placed.tool == Tool::Machine) {
        for ring in &placed.rings {
            let start = Point::new(ring[0][0], ring[0][1]);
            naive += start.distance(blade);
            blade = start;
        }
    }
    assert!(travel < naive, "{travel} against {naive}");
}

fn perimeter(ring: &Ring) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(one, two)| (one[0] - two[0]).hypot(one[1] - two[1])).sum()
}

#[test]
fn a_piece_without_readable_curves_is_cut_by_its_rings() {
    let mut record = kite_spread();
    for piece in &mut record.pieces {
        piece.path = "M0 0L1e400 nonsense".into();
    }
    for (_, svg) in machine_files(&record) {
        assert!(!group(&svg, "cut").is_empty());
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
    }
}

#[test]
fn hostile_names_stay_names() {
    let mut record = kite_spread();
    let name = "\"><script>alert(1)</script>\u{0}&'";
    let place = record.sheets.iter().position(|sheet| sheet.id == "harbour-1").unwrap();
    for piece in record.pieces.iter_mut().filter(|piece| piece.id == "right.kite") {
        piece.id = name.into();
    }
    let placed = record.sheets[place].placed.iter_mut().find(|placed| placed.piece == "right.kite");
    placed.unwrap().piece = name.into();
    record.name = name.into();
    routed(&mut record);
    let svg = cut_svg(&record, &record.sheets[place]).unwrap();
    let document = roxmltree::Document::parse(&svg).unwrap();
    assert!(document.descendants().all(|node| !node.has_tag_name("script")));
    assert!(document.descendants().all(|node| node.attribute("onload").is_none()));
    let ids: Vec<_> = document.descendants().filter_map(|node| node.attribute("id")).collect();
    let mut unique = ids.clone();
    unique.sort_unstable();
    unique.dedup();
    assert_eq!(ids.len(), unique.len());
}

#[test]
fn the_same_record_gives_the_same_bytes() {
    let files = || -> Vec<String> {
        machine_files(&kite_spread()).into_iter().map(|(_, svg)| svg).collect()
    };
    assert_eq!(files(), files());
}

proptest::proptest! {
    #[test]
    fn any_placing_is_followed(x in 0.0..5.0f64, y in 0.0..5.0f64, turn in 0.0..360.0f64) {
        let mut record = kite_spread();
        let place = record.sheets.iter().position(|sheet| sheet.id == "harbour-1").unwrap();
        let kite = record.sheets[place].placed.iter_mut().find(|placed| placed.piece == "right.kite");
        let kite = kite.unwrap();
        (kite.at, kite.turn) = ([x, y], turn);
        routed(&mut record);
        let svg = cut_svg(&record, &record.sheets[place]).unwrap();
        let contours = group(&svg, "cut");
        let (_, _, path) = contours.iter().find(|(piece, _, _)| piece == "right.kite").unwrap();
        let bounds = path.bounding_box();
        proptest::prop_assert!((bounds.x0 - x).abs() < 1e-4 && (bounds.y0 - y).abs() < 1e-4);
        let piece = record.pieces.iter().find(|piece| piece.id == "right.kite").unwrap();
        proptest::prop_assert!((path.area().abs() - piece.area).abs() < 1e-3);
        let straight = Affine::rotate(turn.to_radians()) * BezPath::from_svg(&piece.path).unwrap();
        proptest::prop_assert!((straight.bounding_box().width() - bounds.width()).abs() < 1e-4);
    }
}

#[test]
fn rounding_leaves_no_lines_without_length() {
    let mut record = kite_spread();
    for piece in record.pieces.iter_mut().filter(|piece| piece.id == "right.kite") {
        piece.path = "M1 0L2 1.2L2.0000000001 1.2L1 2L0 1.2L1 0.0000000001Z".into();
    }
    routed(&mut record);
    let svg = cut_svg(&record, sheet(&record, "harbour-1")).unwrap();
    for (piece, _, path) in group(&svg, "cut") {
        let felt = path.segments().all(|segment| segment.start() != segment.end());
        assert!(felt, "{piece}: {}", path.to_svg());
        assert!(piece != "right.kite" || path.segments().count() == 4);
    }
}
