//! Every starter builds, and a general-purpose SVG reader finds every line of its cut files.

use std::fs;

use cutleaf::emit::cut_svg::cut_svg;
use cutleaf::nest::Effort;
use cutleaf::plan;
use cutleaf::record::Record;

use crate::support::spreads::{layout_of, record_of};

/// The starters' records by file name.
fn records() -> Vec<(String, Record)> {
    let mut files: Vec<_> = fs::read_dir("templates")
        .expect("the starters lie in templates")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "yaml"))
        .collect();
    files.sort();
    let record = |yaml: &str| {
        let mut layout = layout_of(yaml).expect("a good spec");
        layout.effort = Effort::Quick;
        plan::record(&layout).expect("enough paper")
    };
    let name = |path: &std::path::Path| path.display().to_string();
    files
        .iter()
        .map(|path| (name(path), record(&fs::read_to_string(path).expect("text"))))
        .collect()
}

/// Sheets on hand and bought are those used and left, and an offcut is used or left.
#[test]
fn the_account_of_every_paper_adds_up() {
    let mut used = 0;
    for (name, record) in records() {
        for paper in &record.papers {
            let lines = record.totals.shopping.iter().filter(|line| line.paper == paper.name);
            let mut new = 0;
            for line in lines {
                let left = paper.left.iter().find(|left| left.size == line.size);
                let left = left.map_or(0, |left| left.count);
                assert_eq!(line.on_hand + line.buy, line.uses + left, "{name}: {line:?}");
                new += line.uses;
            }
            assert_eq!(new, paper.new_sheets, "{name}: {}", paper.name);
            let sheets = record.sheets.iter().filter(|sheet| sheet.paper == paper.name);
            assert_eq!(sheets.clone().filter(|sheet| sheet.from.is_none()).count(), new as usize);
            for left in &paper.offcuts_left {
                assert!(
                    sheets.clone().all(|sheet| sheet.from.as_deref() != Some(left.id.as_str())),
                    "{name}"
                );
            }
            used += new;
        }
    }
    assert!(used > 0);
}

fn paths<'a>(group: &'a usvg::Group, found: &mut Vec<&'a usvg::Path>) {
    for node in group.children() {
        match node {
            usvg::Node::Group(group) => paths(group, found),
            usvg::Node::Path(path) => found.push(path),
            usvg::Node::Image(_) | usvg::Node::Text(_) => panic!("cut files hold lines only"),
        }
    }
}

#[test]
fn cut_files_of_all_starters_are_read_back() {
    let mut files = 0;
    for (name, record) in records() {
        for sheet in &record.sheets {
            let Some(svg) = cut_svg(&record, sheet) else { continue };
            files += 1;
            let tree = usvg::Tree::from_str(&svg, &usvg::Options::default()).expect("an SVG file");
            let size = [tree.size().width(), tree.size().height()].map(f64::from);
            let mut found = Vec::new();
            paths(tree.root(), &mut found);
            let lines = sheet.strokes.len() + sheet.marks.len();
            assert_eq!(found.len(), lines, "{name}: {}", sheet.id);
            // SVG units are 1/96 in (CSS Values 4, 6.2); the size is written to 1e-4 in.
            let true_to_size = size
                .iter()
                .zip(sheet.loaded().lying())
                .all(|(found, side)| (found - side * 96.0).abs() < 1e-2);
            assert!(true_to_size, "{name}: {} is {size:?}", sheet.id);
            for path in found {
                let bounds = path.abs_bounding_box();
                let [right, bottom] = [bounds.right(), bounds.bottom()].map(f64::from);
                let inside = bounds.left() > -1e-2 && bounds.top() > -1e-2;
                assert!(
                    inside && right < size[0] + 1e-2 && bottom < size[1] + 1e-2,
                    "{name}: {bounds:?}"
                );
            }
        }
    }
    assert!(files >= 10, "{files} cut files");
}

#[test]
fn no_starter_warns() {
    for (name, record) in records() {
        let told: Vec<&str> = record.warnings.iter().map(|one| one.message.as_str()).collect();
        assert!(told.is_empty(), "{name}: {told:?}");
    }
}

#[test]
fn a_spread_without_machine_pieces_has_no_cut_file() {
    let record = record_of(
        "name: Plain\npapers: {chalk: {color: '#f4efe3', sheets: {12 x 12: 1}}}\nsingle: {base: chalk}\n",
    )
    .expect("a good spec");
    assert!(record.sheets.iter().all(|sheet| cut_svg(&record, sheet).is_none()));
}
