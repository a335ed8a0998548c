//! Papers with a pattern: drawn true to scale, from the corner of the sheet, turned with each piece.

use cutleaf::draw::patterns::DrawnPattern;
use cutleaf::emit::SmallCopies;
use cutleaf::emit::raster::png;
use cutleaf::emit::spread::spread_svg;
use cutleaf::emit::stock::stock_html;
use cutleaf::layout::{advise, with_stock};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::{AdviceKind, Color, PageName, Pattern, PatternKind};
use cutleaf::record::{Piece, Record};
use cutleaf::stock::Stock;
use cutleaf::{description, layout, plan};
use proptest::prelude::*;

use crate::support::spreads::{layout_of, record_of};

/// Dots an inch of the pictures that are looked at.
const RESOLUTION: f64 = 100.0;
/// Where the pages begin in the picture of a spread, and how far apart they are, in inches.
const MARGIN: f64 = 0.5;
const GUTTER: f64 = 0.14;

/// A spread with one paper of a pattern, of which pieces of several forms are cut and laid down at angles.
fn patterned(pattern: &str) -> String {
    format!(
        "name: Picnic\npapers:\n  cream: {{color: \"#fbf6ea\", sheets: {{12 x 12: 4}}}}\n  \
         cloth: {{color: \"#f7f3ea\", pattern: {pattern}, sheets: {{12 x 12: 2}}}}\n\
         left:\n  base: cream\n  pieces:\n    - panel: {{id: wide, paper: cloth, size: 6 1/4 x 3 1/8, at: [1, 1]}}\n    \
         - panel: {{id: high, paper: cloth, size: 2 3/16 x 6 7/16, at: [8, 5]}}\n    \
         - circle: {{id: plate, paper: cloth, diameter: 3 1/2, at: [1, 6]}}\n\
         right:\n  base: cream\n  pieces:\n    - panel: {{id: turned, paper: cloth, size: 3 x 4, turn: 30, at: [5, 3]}}\n    \
         - tag: {{id: label, paper: cloth, size: 2 x 4, turn: 90, at: [1, 9]}}\n"
    )
}

/// The dots of a spread's picture.
fn picture(record: &Record) -> resvg::tiny_skia::Pixmap {
    let font = FontBook::default().find("text").unwrap();
    let svg = spread_svg(record, &[], &font, &SmallCopies::default()).document();
    let bytes = png(&svg, RESOLUTION).unwrap();
    resvg::tiny_skia::Pixmap::decode_png(&bytes).unwrap()
}

/// A turn by degrees clockwise, about the origin, y down.
pub fn turned([x, y]: [f64; 2], degrees: f64) -> [f64; 2] {
    let (sine, cosine) = degrees.to_radians().sin_cos();
    [x * cosine - y * sine, x * sine + y * cosine]
}

/// Where a place of a piece comes to lie when its outline is turned and its box is moved: the placing rule of
/// records, worked out from its rings.
pub fn placed(piece: &Piece, place: [f64; 2], turn: f64, at: [f64; 2]) -> [f64; 2] {
    let corners = piece.outline.iter().flatten().map(|corner| turned(*corner, turn));
    let least = corners.fold([f64::INFINITY; 2], |least, corner| {
        [least[0].min(corner[0]), least[1].min(corner[1])]
    });
    let [x, y] = turned(place, turn);
    [x - least[0] + at[0], y - least[1] + at[1]]
}

/// Whether a place lies on a piece's paper, its holes left out.
fn is_inside(piece: &Piece, [x, y]: [f64; 2]) -> bool {
    let sides = piece.outline.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
    let crossings = sides.filter(|([x0, y0], [x1, y1])| {
        (*y0 > y) != (*y1 > y) && x < x0 + (y - y0) / (y1 - y0) * (x1 - x0)
    });
    crossings.count() % 2 == 1
}

/// The places of a spread's patterned pieces where the picture shows another colour than the sheet has there,
/// and how many were looked at.
fn astray(record: &Record) -> (Vec<String>, usize) {
    let dots = picture(record);
    let paper = record.papers.iter().find(|paper| paper.name == "cloth").unwrap();
    let pattern = paper.pattern.as_ref().unwrap();
    let on_sheet = |[x, y]: [f64; 2]| pattern.color_at(paper.color, turned([x, y], -pattern.angle));
    let (mut wrong, mut looked) = (Vec::new(), 0);
    for piece in record.pieces.iter().filter(|piece| piece.paper == "cloth") {
        let (_, lies) = record
            .sheets
            .iter()
            .flat_map(|sheet| sheet.placed.iter().map(move |placed| (sheet, placed)))
            .find(|(_, placed)| placed.piece == piece.id)
            .unwrap();
        let page = f64::from(u8::from(piece.page == PageName::Right));
        let corner = [MARGIN + page * (record.page[0] + GUTTER), MARGIN];
        let at = [corner[0] + piece.at[0], corner[1] + piece.at[1]];
        for step in 0..700 {
            let share = [f64::from(step % 28) / 27.3, f64::from(step / 28) / 24.4];
            let place = [share[0] * piece.size[0], share[1] * piece.size[1]];
            let near = [[0.0, 0.0], [0.05, 0.0], [-0.05, 0.0], [0.0, 0.05], [0.0, -0.05]]
                .map(|[x, y]| [place[0] + x, place[1] + y]);
            if !near.iter().all(|place| is_inside(piece, *place)) {
                continue;
            }
            let colors = near.map(|place| on_sheet(placed(piece, place, lies.turn, lies.at)));
            if colors.iter().any(|color| *color != colors[0]) {
                continue;
            }
            let [x, y] = placed(piece, place, piece.turn, at).map(|inches| inches * RESOLUTION);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a dot")]
            let Some(seen) = dots.pixel(x as u32, y as u32) else { continue };
            let seen = Color::new([seen.red(), seen.green(), seen.blue()]);
            looked += 1;
            if seen.difference(colors[0]) > 3.0 {
                wrong.push(format!("{} at {place:?}: {seen}, not {}", piece.id, colors[0]));
            }
        }
    }
    (wrong, looked)
}

#[test]
fn pieces_show_the_part_of_the_pattern_that_they_are_cut_from() {
    for pattern in [
        "{stripe: {colors: [\"#a9cdd1\", \"#e8a05c\"], pitch: 7/8}}",
        "{stripe: {colors: [\"#30475e\"], pitch: 2/3, angle: 45}}",
        "{gingham: {colors: [\"#c8553d\"], pitch: 1/2}}",
        "{gingham: {colors: [\"#c8553d\", \"#30475e\"], pitch: 12 mm, angle: -20}}",
        "{dot: {colors: [\"#30475e\", \"#f2b950\"], pitch: 3/4}}",
        "{chevron: {colors: [\"#588b8b\", \"#30475e\"], pitch: 1 1/3}}",
        "{plaid: {colors: [\"#1f3a34\", \"#c8553d\", \"#f2b950\"], pitch: 3}}",
        "{plaid: {pitch: 2 1/2, angle: 45}}",
        "{grid: {colors: [\"#30475e\", \"#c8553d\"], pitch: 2}}",
    ] {
        let record = record_of(&patterned(pattern)).unwrap();
        let (wrong, looked) = astray(&record);
        assert!(looked > 600, "{pattern}: {looked}");
        assert!(wrong.is_empty(), "{pattern}: {} of {looked}: {wrong:#?}", wrong.len());
    }
}

#[test]
fn a_piece_that_is_turned_on_its_sheet_turns_its_pattern() {
    let record = record_of(&patterned("{stripe: {pitch: 1}}")).unwrap();
    let turned = |piece: &&Piece| {
        let placed = record.sheets.iter().flat_map(|sheet| &sheet.placed);
        placed.clone().any(|placed| placed.piece == piece.id && placed.turn != 0.0)
    };
    let cloth = record.pieces.iter().filter(|piece| piece.paper == "cloth");
    assert!(cloth.filter(turned).count() > 0, "no piece is turned, and nothing was looked at");
}

#[test]
fn wood_is_the_same_each_time_and_has_grain() {
    let record = record_of(&patterned("{wood: {pitch: 1 1/2}}")).unwrap();
    let [one, other] = [(); 2].map(|()| picture(&record));
    assert_eq!(one.data(), other.data());
    let mut colors: Vec<[u8; 3]> =
        one.pixels().iter().map(|dot| [dot.red(), dot.green(), dot.blue()]).collect();
    colors.sort_unstable();
    colors.dedup();
    assert!(colors.len() > 40, "{}", colors.len());
}

#[test]
fn papers_without_a_pattern_keep_their_record() {
    let record = record_of(&patterned("{grid: {}}").replace("pattern: {grid: {}}, ", "")).unwrap();
    assert!(!serde_json::to_string(&record).unwrap().contains("pattern"));
    let record = record_of(&patterned("{grid: {}}")).unwrap();
    let again: Record = serde_json::from_str(&serde_json::to_string(&record).unwrap()).unwrap();
    assert_eq!(again.papers, record.papers);
}

#[test]
fn bad_patterns_are_told_with_what_to_write() {
    for (pattern, message) in [
        ("{gingam: {pitch: 1/2}}", "did you mean `gingham`?"),
        ("gingham", "nothing follows `gingham`"),
        ("{gingham: {color: \"#a9cdd1\"}}", "did you mean `colors`?"),
        ("{gingham: {colors: [blue]}}", "`blue` is not a colour"),
        ("{gingham: {pitch: 0}}", "a pattern can't repeat every `0`"),
        ("{gingham: {pitch: 1/1000}}", "a pattern can't repeat every `1/1000`"),
        ("{dot: {pitch: 99999999}}", "`99999999` is longer than 1000 inches"),
        ("{dot: {pitch: 25}}", "a pattern can't repeat every `25`"),
        ("{stripe: {pitch: 1/4 page}}", "is a share of the page"),
        ("{stripe: {angle: 1000}}", "the angle is not within 360 degrees"),
        ("{stripe: {angle: .nan}}", "`.nan` is not a number"),
        ("{stripe: {}, dot: {}}", "takes keys"),
        ("{plaid: 1/2, colors: [blue]}", "`plaid` takes keys, and `1/2` is a single value"),
        (
            "{stripe: {colors: [\"#000000\", \"#111111\", \"#222222\", \"#333333\", \"#444444\", \"#555555\", \
             \"#666666\", \"#777777\", \"#888888\"]}}",
            "a pattern has 8 colours at most",
        ),
    ] {
        let told = record_of(&patterned(pattern)).unwrap_err().to_string();
        assert!(told.contains(message), "{pattern}: {told}");
    }
}

#[test]
fn the_finest_pattern_on_the_largest_piece_stays_small() {
    for kind in PatternKind::ALL {
        let pattern = Pattern { kind, colors: vec![Color::BLACK], pitch: 1.0 / 32.0, angle: 33.0 };
        let drawn = DrawnPattern::new(&pattern, Color::WHITE);
        let whole = cutleaf::draw::display_list::Outline::Rectangle(
            kurbo::Rect::new(0.0, 0.0, 1000.0, 1000.0),
            0.0,
        );
        // Nothing but that it ends, soon and without much memory.
        let _ = drawn.on(&whole, kurbo::Affine::IDENTITY, [1000.0; 2]);
    }
}

#[test]
fn a_spec_takes_the_pattern_of_the_stock_where_it_has_none() {
    let stock = "units: mm\npapers:\n  - {name: cloth, color: \"#f7f3ea\", pattern: {gingham: {colors: [\"#c8553d\"], \
                 pitch: 10}}, sheets: [{size: 305 x 305, count: 2}]}\n  \
                 - {name: ticking, color: \"#f7f3ea\", pattern: Ticking no. 4, sheets: [{size: 305 x 305, count: 2}]}\n";
    let stock = Stock::parse(stock).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(stock.papers[0].pattern.as_deref(), Some("gingham"));
    assert_eq!(stock.papers[1].pattern.as_deref(), Some("Ticking no. 4"));
    let pattern = |spec: &str| {
        let spec = description::parse(spec).unwrap_or_else(|problems| panic!("{problems}"));
        let laid = layout::lay_out(
            &with_stock(&spec, &stock),
            std::path::Path::new("tests"),
            &FontBook::default(),
        );
        let laid = laid.unwrap_or_else(|problems| panic!("{problems}"));
        let record = plan::record(&laid).unwrap_or_else(|problems| panic!("{problems}"));
        record.papers[0].pattern.clone()
    };
    let of = |paper: &str| format!("name: A\nsingle: {{base: {paper}}}\npage: 8 x 8\n");
    let taken = pattern(&of("cloth")).unwrap();
    assert_eq!((taken.kind, taken.colors.len()), (PatternKind::Gingham, 1));
    assert!((taken.pitch - 10.0 / 25.4).abs() < 1e-9, "{}", taken.pitch);
    assert_eq!(pattern(&of("ticking")), None);
    let own = of("cloth") + "papers: {cloth: {pattern: {dot: {pitch: 1/2}}}}\n";
    assert_eq!(pattern(&own).unwrap().kind, PatternKind::Dot);
}

#[test]
fn the_stock_shows_its_patterns() {
    let text = "papers:\n  - {name: cloth, color: \"#f7f3ea\", pattern: {gingham: {colors: [\"#c8553d\"]}}, sheets: \
                [{size: 12 x 12, count: 2}]}\n";
    let shelf = cutleaf::stock::Shelf::read(text, None).unwrap_or_else(|fault| panic!("{fault:?}"));
    let font = FontBook::default().find("text").unwrap();
    let page =
        stock_html(&shelf, &cutleaf::emit::stock_pictures::PaperPictures::default(), &font, &[]);
    // The full colour where threads cross, and the half of it.
    let half = Color::parse("#f7f3ea").unwrap().mixed(Color::parse("#c8553d").unwrap(), 0.5);
    assert!(page.contains("#c8553d") && page.contains(half.as_str()));
    let bad = text.replace("gingham", "gingam");
    let told = Stock::parse(&bad).unwrap_err().to_string();
    assert!(told.contains("unknown pattern `gingam`") && told.contains("`gingham`"), "{told}");
}

#[test]
fn advice_counts_the_colours_of_a_pattern_by_their_area() {
    let advice = |pattern: &str, title: &str| {
        let text = format!(
            "name: Kites\npapers:\n  sky: {{color: \"#ffffff\"{pattern}}}\n  night: {{color: \"#10202f\"}}\n  \
             day: {{color: \"#f4e9d2\"}}\nsingle: {{base: sky}}\ntitle: [{{words: Kites, height: 1 1/2, paper: {title}, at: [2, 2]}}]\n"
        );
        let laid = layout_of(&text).unwrap_or_else(|problems| panic!("{problems}"));
        let advice = advise(&laid, std::path::Path::new("tests"), &FontBook::default());
        advice.into_iter().filter(|one| one.kind == AdviceKind::Contrast).count()
    };
    let stripes = ", pattern: {stripe: {colors: [\"#0d1b26\", \"#0d1b26\"]}}";
    // On white, pale letters are lost and dark ones are read; on stripes of which two thirds are dark, both
    // are lost over much of their edges.
    assert_eq!([advice("", "day"), advice("", "night")], [1, 0]);
    assert_eq!([advice(stripes, "day"), advice(stripes, "night")], [1, 1]);
    // A dot here and there is no ground.
    let few = ", pattern: {dot: {colors: [\"#ffffff\", \"#ffffff\", \"#ffffff\", \"#0d1b26\"]}}";
    assert_eq!(advice(few, "night"), 0);
}

/// A folder with a scan of four fields of flat colours, `wide` x `high` dots, in a file of a name.
pub fn scanned(name: &str, [wide, high]: [u32; 2]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let mut scan = image::RgbImage::new(wide, high);
    for (x, y, dot) in scan.enumerate_pixels_mut() {
        let color = FIELDS[usize::from(y >= high / 2) * 2 + usize::from(x >= wide / 2)];
        *dot = image::Rgb(color);
    }
    scan.save(folder.path().join(name)).unwrap();
    folder
}

/// The colours of a scan's quarters: above left and right, below left and right.
const FIELDS: [[u8; 3]; 4] = [[200, 60, 50], [240, 230, 200], [40, 70, 110], [130, 170, 90]];

pub fn record_in(folder: &std::path::Path, yaml: &str) -> Result<(Record, SmallCopies), String> {
    let spec = description::parse(yaml).map_err(|problems| problems.to_string())?;
    let laid = layout::lay_out(&spec, folder, &FontBook::default());
    let laid = laid.map_err(|problems| problems.to_string())?;
    let record = plan::record(&laid).map_err(|problems| problems.to_string())?;
    let copies = SmallCopies::of(&record, &laid.picture_files())?;
    Ok((record, copies))
}

#[test]
fn a_picture_lies_on_its_paper_at_its_real_size() {
    let folder = scanned("scan.png", [240, 240]);
    for (keys, side) in [
        // Four quarters of 1 1/2 in each; once over the sheet; as large as the largest sheet, which is the
        // same.
        ("picture size: 3 x 3", 3.0),
        ("picture size: 3 x 3, picture fill: whole", 12.0),
        ("picture fill: whole", 12.0),
        ("color: \"#123456\"", 12.0),
    ] {
        let yaml = patterned("{grid: {}}").replace(
            "color: \"#f7f3ea\", pattern: {grid: {}}",
            &format!("picture: scan.png, {keys}"),
        );
        let (record, copies) =
            record_in(folder.path(), &yaml).unwrap_or_else(|told| panic!("{told}"));
        let font = FontBook::default().find("text").unwrap();
        let svg = spread_svg(&record, &[], &font, &copies).document();
        assert_eq!(svg.matches("<image").count(), 1, "a copy is held once");
        let dots = resvg::tiny_skia::Pixmap::decode_png(&png(&svg, RESOLUTION).unwrap()).unwrap();
        let mut looked = 0;
        for piece in record.pieces.iter().filter(|piece| piece.paper == "cloth") {
            let lies = record.sheets.iter().flat_map(|sheet| &sheet.placed);
            let lies = lies.clone().find(|placed| placed.piece == piece.id).unwrap();
            let page = f64::from(u8::from(piece.page == PageName::Right));
            let at = [MARGIN + page * (12.0 + GUTTER) + piece.at[0], MARGIN + piece.at[1]];
            for step in 0..400 {
                let share = [f64::from(step % 20) / 19.7, f64::from(step / 20) / 19.7];
                let place = [share[0] * piece.size[0], share[1] * piece.size[1]];
                let on_sheet = placed(piece, place, lies.turn, lies.at);
                // In quarters of the picture; near their edges the copy's dots are a little of both.
                let halves = on_sheet.map(|inches| inches / side * 2.0);
                let near = halves.iter().any(|half| (half - half.round()).abs() * side < 0.25);
                let rim = [[0.05, 0.0], [-0.05, 0.0], [0.0, 0.05], [0.0, -0.05]];
                let beside = |[x, y]: [f64; 2]| is_inside(piece, [place[0] + x, place[1] + y]);
                if near || !rim.into_iter().all(beside) {
                    continue;
                }
                let [right, low] = halves.map(|half| half.rem_euclid(2.0) >= 1.0);
                let wanted = Color::new(FIELDS[usize::from(low) * 2 + usize::from(right)]);
                let [x, y] = placed(piece, place, piece.turn, at).map(|inches| inches * RESOLUTION);
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "a dot"
                )]
                let Some(seen) = dots.pixel(x as u32, y as u32) else { continue };
                let seen = Color::new([seen.red(), seen.green(), seen.blue()]);
                looked += 1;
                assert!(
                    seen.difference(wanted) < 8.0,
                    "{keys}: {} at {place:?}: {seen}, not {wanted}",
                    piece.id
                );
            }
        }
        assert!(looked > 500, "{keys}: {looked}");
    }
}

#[test]
fn a_scan_tells_its_size_and_a_camera_does_not() {
    // 300 dots an inch in a PNG's pHYs chunk: 11811 a metre.
    let folder = scanned("plain.png", [600, 300]);
    let bytes = std::fs::read(folder.path().join("plain.png")).unwrap();
    let with = |metre: u32| {
        let mut chunk = b"pHYs".to_vec();
        chunk.extend([metre, metre].into_iter().flat_map(u32::to_be_bytes));
        chunk.push(1);
        let mut crc = flate2::Crc::new();
        crc.update(&chunk);
        let chunk = [&9_u32.to_be_bytes()[..], &chunk, &crc.sum().to_be_bytes()[..]].concat();
        // After the head: 8 bytes of signature, 25 of IHDR.
        [&bytes[..33], &chunk, &bytes[33..]].concat()
    };
    let yaml = |keys: &str| {
        patterned("{grid: {}}").replace("color: \"#f7f3ea\", pattern: {grid: {}}", keys)
    };
    for (metre, size) in [(11811, [2.0, 1.0]), (2835, [24.0, 12.0])] {
        std::fs::write(folder.path().join("scan.png"), with(metre)).unwrap();
        let (record, _) = record_in(folder.path(), &yaml("picture: scan.png")).unwrap();
        let found = record.papers.iter().find_map(|paper| paper.picture.as_ref()).unwrap().size;
        let near = found.iter().zip(size).all(|(one, other)| (one - other).abs() < 1e-3);
        assert!(near, "{metre}: {found:?}");
    }
}

#[test]
fn bad_pictures_of_papers_are_told() {
    let folder = scanned("scan.png", [60, 60]);
    std::fs::write(folder.path().join("words.png"), "no picture at all").unwrap();
    let mut huge = std::fs::read(folder.path().join("scan.png")).unwrap();
    // Its head claims 2 000 000 dots across and down; the sum of the head is mended.
    huge[16..24].copy_from_slice(&[0x00, 0x1e, 0x84, 0x80, 0x00, 0x1e, 0x84, 0x80]);
    let mut crc = flate2::Crc::new();
    crc.update(&huge[12..29]);
    huge[29..33].copy_from_slice(&crc.sum().to_be_bytes());
    std::fs::write(folder.path().join("huge.png"), huge).unwrap();
    for (keys, message) in [
        ("picture: scam.png", "there is no file `scam.png`"),
        ("picture: scam.png", "did you mean `scan.png`?"),
        ("picture: ../scan.png", "leads out of the spec's folder"),
        ("picture: words.png", "is not a JPEG, PNG, TIFF or WebP picture"),
        ("picture: huge.png", "more than can be held"),
        ("picture: scan.png, picture size: 0 x 4", "not more than 0"),
        ("picture: scan.png, picture size: 1/100 x 1/100", "in wide and high at least"),
        ("picture: scan.png, picture fill: tiled", "`tiled` is not a way for a picture to lie"),
        ("picture: scan.png, pattern: {grid: {}}", "a pattern and a picture"),
        ("color: \"#ffffff\", picture size: 3 x 3", "the paper has none"),
        ("sheets: {12 x 12: 2}", "has no colour"),
    ] {
        let keys = if keys.starts_with("sheets") { String::new() } else { format!("{keys}, ") };
        let yaml =
            patterned("{grid: {}}").replace("color: \"#f7f3ea\", pattern: {grid: {}}, ", &keys);
        let told = record_in(folder.path(), &yaml).err().unwrap_or_default();
        assert!(told.contains(message), "{keys}: {message}: {told}");
    }
}

#[test]
fn a_spec_takes_the_picture_of_the_stock() {
    let folder = scanned("scan.png", [240, 240]);
    let text = "papers:\n  - {name: cloth, color: \"#f7f3ea\", picture: scan.png, picture size: 4 x 4, sheets: \
                [{size: 12 x 12, count: 2}]}\n";
    let stock = Stock { folder: Some(folder.path().to_owned()), ..Stock::parse(text).unwrap() };
    let spec = description::parse("name: A\nsingle: {base: cloth}\npage: 8 x 8\n").unwrap();
    let taken = |stock: &Stock| {
        let laid = layout::lay_out(
            &with_stock(&spec, stock),
            std::path::Path::new("tests"),
            &FontBook::default(),
        );
        laid.unwrap_or_else(|problems| panic!("{problems}")).papers[0].picture.clone()
    };
    assert!(taken(&stock).is_some_and(|picture| picture.size == [4.0, 4.0]));
    // A picture that is gone leaves the colour.
    std::fs::remove_file(folder.path().join("scan.png")).unwrap();
    assert!(taken(&stock).is_none());
}

proptest! {
    /// The shares of a pattern's colours are those of its area.
    #[test]
    fn shares_of_colours_make_a_whole(
        kind in prop::sample::select(PatternKind::ALL.to_vec()),
        colors in prop::collection::vec(any::<[u8; 3]>(), 1..6),
        pitch in 0.04..20.0_f64,
    ) {
        let colors: Vec<Color> = colors.into_iter().map(Color::new).collect();
        let pattern = Pattern { kind, colors, pitch, angle: 0.0 };
        let shades = pattern.shades(Color::WHITE);
        let sum: f64 = shades.iter().map(|(_, share)| share).sum();
        prop_assert!((sum - 1.0).abs() < 1e-9, "{shades:?}");
        prop_assert!(shades.windows(2).all(|two| two[0].1 >= two[1].1));
    }
}
