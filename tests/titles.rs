//! Titles: fonts set by axes and features, lines, circles, joined letters, bridges, stencils, layers.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::support::spreads::{layout_of, record_of};
use cutleaf::geometry::boolean::contours;
use cutleaf::geometry::bridges::{join_parts, widest_gap};
use cutleaf::geometry::offset::{Holes, outward};
use cutleaf::geometry::rectangle;
use cutleaf::lettering::fonts::{Font, FontBook};
use cutleaf::lettering::stencil::{StencilError, stencil};
use cutleaf::lettering::words::{
    Align, Baseline, Height, Joined, Side, Span, Word, WordStyle, set_word, set_words,
};
use cutleaf::model::Process;
use cutleaf::plan::Chain;
use cutleaf::record::Record;
use kurbo::{Affine, BezPath, Point, Shape};

fn display() -> Arc<Font> {
    FontBook::default().find("display").expect("built in")
}

fn variable() -> Font {
    let data = std::fs::read("tests/data/fonts/sample-variable.ttf").expect("it lies there");
    Font::read(data, "sample-variable.ttf", None).expect("a font")
}

fn set(text: &str, style: &WordStyle) -> Word {
    set_word(&display(), text, style).unwrap_or_else(|error| panic!("{text}: {}", error.message))
}

fn depths(path: &BezPath, depth: usize) -> usize {
    contours(path).iter().filter(|contour| contour.depth == depth).count()
}

fn record(title: &str) -> Record {
    let yaml = format!("{PAPERS}title:\n{title}");
    record_of(&yaml).unwrap_or_else(|problems| panic!("{}", problems.render("a", &yaml, false)))
}

const PAPERS: &str = "name: Dunes\npapers:\n  chalk: {color: '#f4efe3', sheets: {12 x 12: 9}}\n  coral: {color: '#d9624b', sheets: {12 x 12: 9}}\n  felt: {color: '#555555', sheets: {12 x 12: 9}, thinnest: 1/4}\ncutting: {effort: quick}\nsingle: {}\n";

/// `tests/data/fonts/make.py` draws an I 60 units wide at wght 100 and 180 at 900, of an em of 1000,
/// with capitals of 700.
#[test]
fn an_axis_thickens_outlines_and_widens_advances() {
    let font = variable();
    let at = |weight: f64| {
        font.used_with(&BTreeMap::from([("wght".to_owned(), weight)]), &BTreeMap::new())
            .expect("within its range")
    };
    let width = |font: &Font| set_word(font, "I", &WordStyle::default()).expect("set").size[0];
    for (weight, units) in [(100.0, 60.0), (500.0, 120.0), (900.0, 180.0)] {
        assert!((width(&at(weight)) - units / 700.0).abs() < 1e-3, "{weight}");
    }
    let pitch = |font: &Font| {
        let word = set_word(font, "II", &WordStyle::default()).expect("set");
        let [one, two] = [0, 1].map(|index| word.letters[index].outline.bounding_box().x0);
        two - one
    };
    assert!((pitch(&at(100.0)) - 500.0 / 700.0).abs() < 1e-3);
    assert!((pitch(&at(900.0)) - 540.0 / 700.0).abs() < 1e-3);
    let axes = font.axis_ranges();
    assert_eq!(axes.len(), 1);
    assert_eq!((axes[0].tag.as_str(), axes[0].least, axes[0].most), ("wght", 100.0, 900.0));
}

#[test]
fn a_feature_changes_the_glyph() {
    let font = variable();
    let features = BTreeMap::from([("ss01".to_owned(), 1)]);
    let alternate = font.used_with(&BTreeMap::new(), &features).expect("it has the feature");
    let width = |font: &Font| set_word(font, "I", &WordStyle::default()).expect("set").size[0];
    assert!((width(&alternate) - 300.0 / 700.0).abs() < 1e-3);
    assert!((width(&font) - 60.0 / 700.0).abs() < 1e-3);
    assert_eq!(font.feature_tags(), ["ss01"]);
}

#[test]
fn unknown_axes_and_features_are_told_with_those_there_are() {
    let font = variable();
    let axis = |tag: &str, value| {
        let axes = BTreeMap::from([(tag.to_owned(), value)]);
        font.used_with(&axes, &BTreeMap::new()).expect_err("no such axis")
    };
    assert!(axis("wdth", 100.0).help.contains("wght (100 to 900)"));
    assert!(axis("wght", 950.0).help.contains("100 to 900"));
    assert!(axis("wght", f64::NAN).help.contains("100 to 900"));
    let features = BTreeMap::from([("ss02".to_owned(), 1)]);
    let error = font.used_with(&BTreeMap::new(), &features).expect_err("no such feature");
    assert!(error.help.contains("`ss01`"), "{}", error.help);
}

#[test]
fn the_record_keeps_axes_and_features_and_a_redo_reads_them() {
    let record = record(
        "  - {words: IO, font: tests/data/fonts/sample-variable.ttf, axes: {wght: 650}, features: {ss01: 1}, height: 1, paper: coral}\n",
    );
    let font = &record.fonts[0];
    assert_eq!(font.axes, BTreeMap::from([("wght".to_owned(), 650.0)]));
    assert_eq!(font.features, BTreeMap::from([("ss01".to_owned(), 1)]));
    let text = serde_json::to_string(&record).expect("written");
    let read: Record = serde_json::from_str(&text).expect("read");
    assert_eq!(read, record);
    let book = FontBook::new(vec!["tests/data/fonts".into()]);
    let redo = [cutleaf::plan::Redo::Piece("title.io.O".into())];
    let layout =
        cutleaf::plan::redo_layout(&Chain::of(read.clone()), &redo, &book).expect("found again");
    assert_eq!(layout.fonts[0].axes, font.axes);
    assert_eq!(layout.pieces.len(), 1);
    let area = |id: &str| record.pieces.iter().find(|piece| piece.id == id).expect("there").area;
    let redone = layout.pieces[0].drawing.outline.area().abs();
    assert!((redone - area("title.io.O")).abs() < 1e-5);
}

#[test]
fn lines_stand_apart_and_align() {
    let bounds = |align| {
        let style = WordStyle { align, ..WordStyle::default() };
        let word = set("HHHH\nHH", &style);
        let boxes: Vec<_> = word.letters.iter().map(|one| one.outline.bounding_box()).collect();
        assert_eq!(boxes.len(), 6);
        // The default gap between lines is 15 % of the capitals' height.
        assert!((boxes[4].y0 - boxes[0].y1 - 0.15).abs() < 1e-6);
        [boxes[0].x0, boxes[3].x1, boxes[4].x0, boxes[5].x1]
    };
    let [begin, end, second, _] = bounds(Align::Left);
    assert!((begin - second).abs() < 1e-9 && begin.abs() < 1e-9);
    let [.., last] = bounds(Align::Right);
    assert!((last - end).abs() < 1e-6);
    let [_, end, second, last] = bounds(Align::Center);
    assert!((second - (end - last)).abs() < 1e-6);
    let leading = WordStyle { leading: Some(2.0), ..WordStyle::default() };
    assert!((set("H\nH\nH", &leading).size[1] - 5.0).abs() < 1e-6);
}

/// A square letter on a circle: its foot's middle lies on the circle, and it points away from (or, in
/// the bottom, to) the centre.
#[test]
fn letters_stand_on_a_circle_by_the_middle_of_their_advance() {
    let font = variable();
    for (side, sign) in [(Side::Over, -1.0), (Side::Under, 1.0)] {
        let baseline = Baseline::Circle { radius: 3.0, side };
        let style = WordStyle { baseline, ..WordStyle::default() };
        let word = set_word(&font, "xxxxxxx", &style).expect("set");
        let middle = word.letters[3].outline.bounding_box();
        // The middle letter stands upright at the top or the bottom.
        assert!((middle.width() - 300.0 / 700.0).abs() < 1e-6, "{side:?}: {}", middle.width());
        let foot = Point::new(middle.center().x, middle.y1);
        let centre = Point::new(foot.x, foot.y - sign * 3.0);
        for letter in &word.letters {
            let corners: Vec<Point> = letter
                .outline
                .segments()
                .map(|segment| kurbo::ParamCurve::start(&segment))
                .collect();
            let mut away: Vec<f64> = corners.iter().map(|at| at.distance(centre)).collect();
            away.sort_by(f64::total_cmp);
            // The foot's corners, equally far, half the foot's width off its middle.
            let feet = if side == Side::Over { &away[..2] } else { &away[away.len() - 2..] };
            let wanted = 3.0_f64.hypot(150.0 / 700.0);
            for foot in feet {
                assert!((foot - wanted).abs() < 1e-6, "{side:?}: {foot} against {wanted}");
            }
        }
    }
    let tight = Baseline::Circle { radius: 0.3, side: Side::Over };
    let style = WordStyle { baseline: tight, ..WordStyle::default() };
    let error = set_word(&font, "xxxxxxx", &style).expect_err("too long for the circle");
    assert!(error.message.contains("in round"), "{}", error.message);
}

#[test]
fn an_angle_is_filled_from_the_first_letter_to_the_last() {
    for side in [Side::Over, Side::Under] {
        let baseline = Baseline::Angle { degrees: 180.0, side };
        let word = set("HHHHHHHHHHHH", &WordStyle { baseline, ..WordStyle::default() });
        // The feet of a half circle's first and last letters stand level with its centre.
        let [first, last] = [0, 11].map(|index| word.letters[index].outline.bounding_box());
        assert!((first.y0 - last.y0).abs() < 1e-6);
        let size = word.size;
        assert!((1.7..2.3).contains(&(size[0] / size[1])), "{side:?}: {size:?}");
    }
}

#[test]
fn letters_follow_a_path_and_its_slope() {
    let mut path = BezPath::new();
    path.move_to((0.0, 0.0));
    path.line_to((4.0, 4.0));
    let font = variable();
    let style = WordStyle { baseline: Baseline::Along(path), ..WordStyle::default() };
    let word = set_word(&font, "xx", &style).expect("it is long enough");
    let straight = set_word(&font, "xx", &WordStyle::default()).expect("set");
    for (bent, plain) in word.letters.iter().zip(&straight.letters) {
        let back = Affine::rotate(-std::f64::consts::FRAC_PI_4) * &bent.outline;
        assert!((back.bounding_box().width() - plain.outline.bounding_box().width()).abs() < 1e-6);
    }
    let error = set_word(&font, "xxxxxxxxxxxx", &style).expect_err("longer than the path");
    assert!(error.message.contains("the path only"), "{}", error.message);
    let error = set_word(&font, "x\nx", &style).expect_err("two lines");
    assert!(error.message.contains("one line"), "{}", error.message);
}

/// Along a drawn half circle words stand as they do in or on the circle itself.
#[test]
fn a_drawn_arc_spaces_letters_as_a_circle_does() {
    let font = variable();
    for (side, sign) in [(Side::Over, -1.0), (Side::Under, 1.0)] {
        let arc = kurbo::Arc::new(
            (0.0, 0.0),
            (3.0, 3.0),
            std::f64::consts::PI,
            -sign * std::f64::consts::PI,
            0.0,
        );
        let path = arc.to_path(1e-7);
        let on = |baseline| {
            let style = WordStyle { align: Align::Center, baseline, ..WordStyle::default() };
            set_word(&font, "xxxxx", &style).expect("set")
        };
        let (drawn, round) =
            (on(Baseline::Along(path)), on(Baseline::Circle { radius: 3.0, side }));
        for axis in 0..2 {
            let apart = (drawn.size[axis] - round.size[axis]).abs();
            assert!(apart < 0.02, "{side:?}: {:?} against {:?}", drawn.size, round.size);
        }
    }
}

#[test]
fn words_on_a_circle_fit_a_width() {
    for side in [Side::Over, Side::Under] {
        let baseline = Baseline::Circle { radius: 3.0, side };
        let height = Height::Width(5.0);
        let word = set("over dunes", &WordStyle { height, baseline, ..WordStyle::default() });
        assert!((word.size[0] - 5.0).abs() < 1e-3, "{:?}", word.size);
    }
}

#[test]
fn letters_are_joined_as_asked() {
    let tight = WordStyle { letter_spacing: -0.12, ..WordStyle::default() };
    let joined = |joined, text: &str| set(text, &WordStyle { joined, ..tight.clone() });
    let word = joined(Joined::Auto, "Ho  ld");
    let texts: Vec<&str> = word.letters.iter().map(|one| one.text.as_str()).collect();
    assert_eq!(texts, ["Ho", "ld"]);
    assert_eq!(joined(Joined::Never, "Hold").letters.len(), 4);
    let always = set("Ho ld", &WordStyle { joined: Joined::Always, ..WordStyle::default() });
    assert_eq!((always.letters.len(), always.letters[0].text.as_str()), (1, "Ho ld"));
    assert_eq!(always.loose, [("Ho ld".to_owned(), 3)]);
    let font = display();
    let spans = [("Ho", 1), ("ld", 2)].map(|(text, paper)| Span {
        text: text.to_owned(),
        font: Arc::clone(&font),
        paper,
    });
    let word = set_words(&spans, &[], &tight).expect("set");
    let papers: Vec<usize> = word.letters.iter().map(|one| one.paper).collect();
    assert_eq!(papers, [1, 2], "letters of different papers stay apart");
    let cycled = set_words(&spans, &[], &WordStyle { papers: vec![7, 8], ..WordStyle::default() });
    let papers: Vec<usize> = cycled.expect("set").letters.iter().map(|one| one.paper).collect();
    assert_eq!(papers, [7, 8, 7, 8]);
}

#[test]
fn loose_parts_are_counted_named_and_bridged() {
    let word = set("iiü!é", &WordStyle::default());
    let expected = [("i", 2), ("ü", 2), ("!", 1), ("é", 1)];
    assert_eq!(word.loose, expected.map(|(text, count)| (text.to_owned(), count)));
    let style = WordStyle { bridge: Some(1.0 / 16.0), ..WordStyle::default() };
    let bridged = set("iiü!é", &style);
    for (before, after) in word.letters.iter().zip(&bridged.letters) {
        assert_eq!(after.parts(), 1, "{}", after.text);
        assert!(after.outline.area().abs() > before.outline.area().abs());
    }
    let whole = WordStyle { joined: Joined::Always, ..style };
    assert_eq!(set("Hi there", &whole).letters[0].parts(), 1);
    assert_eq!(join_parts(&BezPath::new(), 0.1), BezPath::new());
}

#[test]
fn growing_closes_counters_and_thinning_eats_letters_and_both_are_told() {
    let grown = set("ea", &WordStyle { embolden: 0.12, ..WordStyle::default() });
    assert!(!grown.closed.is_empty());
    let slight = set("HO", &WordStyle { embolden: 1.0 / 64.0, ..WordStyle::default() });
    assert!(slight.closed.is_empty());
    assert!((slight.size[1] - set("HO", &WordStyle::default()).size[1] - 1.0 / 32.0).abs() < 1e-3);
    let thin = WordStyle { embolden: -0.2, ..WordStyle::default() };
    let error = set_word(&display(), "HO", &thin).expect_err("nothing is left");
    assert!(error.message.contains("eats"), "{}", error.message);
    let height = Height::Width(5.0);
    let fitted = set("HO", &WordStyle { embolden: 0.05, height, ..WordStyle::default() });
    assert!((fitted.size[0] - 5.0).abs() < 1e-3);
}

#[test]
fn a_stencil_holds_every_counter_by_two_bridges() {
    let word = set("BOARD 8&@ gaeoqp", &WordStyle::default());
    let outlines: Vec<BezPath> = word.letters.iter().map(|one| one.outline.clone()).collect();
    let ink = cutleaf::geometry::boolean::union(&outlines);
    let counters = depths(&ink, 1);
    let [width, height] = word.size;
    let panel = Affine::translate((-0.5, -0.5)) * rectangle(width + 1.0, height + 1.0);
    for bridge in [1.0 / 32.0, 1.0 / 16.0, 1.0 / 8.0] {
        let made = stencil(&panel, &ink, bridge).expect("it can be cut");
        assert_eq!(made.counters, counters);
        assert_eq!((depths(&made.outline, 0), depths(&made.outline, 2)), (1, 0), "{bridge}");
        assert!(made.bridges >= 2 * counters - made.weak.len());
        assert!(made.weak.len() <= 1, "{bridge}: {:?}", made.weak);
        // Bridges give back paper, and not much.
        let cut = panel.area().abs() - made.outline.area().abs();
        assert!(cut < ink.area().abs() && cut > 0.7 * ink.area().abs(), "{bridge}: {cut}");
    }
    assert_eq!(stencil(&rectangle(1.0, 1.0), &ink, 0.05), Err(StencilError::TooSmall));
}

#[test]
fn the_gap_between_parts_is_the_margin_that_joins_them_doubled() {
    let mut path = rectangle(1.0, 1.0);
    path.extend(Affine::translate((1.5, 0.0)) * rectangle(1.0, 1.0));
    path.extend(Affine::translate((2.8, 0.0)) * rectangle(1.0, 1.0));
    assert!((widest_gap(&path) - 0.5).abs() < 1e-6);
    assert_eq!(depths(&outward(&path, 0.24, Holes::Fill), 0), 2);
    assert_eq!(depths(&outward(&path, 0.26, Holes::Fill), 0), 1);
}

#[test]
fn layers_grow_by_their_margin_and_carry_lines_that_letters_hide() {
    let record = record(
        "  - {words: Hold, height: 1, paper: coral, backing: {paper: [chalk, coral, chalk], margin: 1/8, placement: pen}}\n",
    );
    let piece = |id: &str| record.pieces.iter().find(|piece| piece.id == id).expect(id);
    let [one, two, three] =
        ["title.hold.backing", "title.hold.backing-2", "title.hold.backing-3"].map(piece);
    for (smaller, larger) in [(one, two), (two, three)] {
        for axis in 0..2 {
            assert!((larger.size[axis] - smaller.size[axis] - 0.25).abs() < 2e-3);
        }
        assert!(larger.order < smaller.order);
    }
    assert_eq!([&one.paper, &two.paper, &three.paper], ["chalk", "coral", "chalk"]);
    assert_eq!((one.lines.len(), two.lines.len()), (4, 1));
    // Each line lies inside its letter, where the two lie on the page.
    for (line, id) in one.lines.iter().zip(["H", "o", "l", "d"]) {
        assert_eq!(line.process, Process::Pen);
        let letter = piece(&format!("title.hold.{id}"));
        let on_page = |path: &str, at: [f64; 2]| {
            Affine::translate((at[0], at[1])) * BezPath::from_svg(path).expect("path data")
        };
        let drawn = on_page(&line.path, one.at);
        let glued = on_page(&letter.path, letter.at);
        assert!(cutleaf::geometry::boolean::subtract(&drawn, &glued).is_empty(), "{id}");
        let inset = drawn.bounding_box().x0 - glued.bounding_box().x0;
        assert!((inset - 1.0 / 32.0).abs() < 2e-3, "{id}: {inset}");
    }
}

#[test]
fn a_backing_in_parts_is_told_with_the_margin_that_joins_it() {
    let record = record(
        "  - {words: H H, id: gap, height: 1, paper: coral, backing: {paper: chalk, margin: 1/32}}\n",
    );
    let warning =
        record.warnings.iter().find(|one| one.kind == "backing in parts").expect("it is told");
    assert!(warning.message.contains("2 parts"), "{}", warning.message);
    let margin =
        warning.help.split("a margin of ").nth(1).and_then(|rest| rest.split(" in").next());
    let margin = margin.expect("it names one").to_owned();
    let joined = self::record(&format!(
        "  - {{words: H H, id: gap, height: 1, paper: coral, backing: {{paper: chalk, margin: {margin}}}}}\n"
    ));
    assert!(joined.warnings.iter().all(|one| one.kind != "backing in parts"));
}

#[test]
fn thin_strokes_are_measured_against_their_paper_and_recorded() {
    let title = |paper: &str| record(&format!("  - {{words: HO, height: 1, paper: {paper}}}\n"));
    assert!(title("coral").pieces.iter().all(|piece| piece.thin.is_empty()));
    let felt = title("felt");
    let warning = felt.warnings.iter().find(|one| one.kind == "thin stroke").expect("told");
    assert!(
        warning.message.starts_with("strokes under 1/4 in in felt in 2 pieces, the thinnest: `"),
        "{}",
        warning.message
    );
    let places: Vec<_> = felt.pieces.iter().flat_map(|piece| &piece.thin).collect();
    assert!(!places.is_empty());
    assert!(places.iter().all(|place| place.width <= 0.25 && place.width > 0.1));
    for piece in &felt.pieces {
        let inside =
            |at: [f64; 2]| (0..2).all(|axis| at[axis] > 0.0 && at[axis] < piece.size[axis]);
        assert!(piece.thin.iter().all(|place| inside(place.at)), "{}", piece.id);
    }
}

#[test]
fn spans_part_by_space_line_or_nothing_and_carry_their_papers() {
    let layout = layout_of(&format!(
        "{PAPERS}title:\n  - words:\n      - {{words: Ho, paper: coral}}\n      - {{words: ld, after: nothing, paper: chalk}}\n      - {{words: on, after: line}}\n    height: 1\n    paper: felt\n"
    ))
    .expect("sound");
    let papers: Vec<usize> = layout.pieces.iter().map(|piece| piece.paper).collect();
    assert_eq!(papers, [1, 1, 0, 0, 2, 2]);
    let at: Vec<f64> = layout.pieces.iter().map(|piece| piece.at[1]).collect();
    assert!(at[4] > 1.0 && at[0] < 0.5, "{at:?}");
}

#[test]
fn a_fallback_is_used_for_what_is_missing_and_told() {
    let record = record(
        "  - {words: HOW, font: tests/data/fonts/sample-variable.ttf, fallback: [text], height: 1, paper: coral}\n",
    );
    let warning = record.warnings.iter().find(|one| one.kind == "font fallback").expect("told");
    assert!(warning.message.contains("`W` (U+0057)"), "{}", warning.message);
    assert!(warning.message.contains("Noto Sans"), "{}", warning.message);
    assert_eq!(record.fonts.len(), 2);
    let height = |id: &str| record.pieces.iter().find(|piece| piece.id == id).expect(id).size[1];
    // Both fonts' capitals are made equally tall.
    assert!((height("title.how.W") - height("title.how.H")).abs() < 0.01);
}

/// The `embolden` that a warning offers.
fn offered(record: &cutleaf::record::Record) -> Option<String> {
    let warning = record.warnings.iter().find(|one| one.kind == "thin stroke")?;
    let rest = warning.help.split("`embolden: ").nth(1)?;
    Some(rest.split('`').next()?.to_owned())
}

#[test]
fn thin_strokes_are_told_once_a_paper_with_the_embolden_that_would_do() {
    // The title's keys, the warnings, and what is offered for the first; bars are 60 units of capitals 700
    // high, so 0.0857 in at 1 in, and 1/4 in takes 0.0821 in more on each side, which is 6/64.
    let bars = "font: tests/data/fonts/sample-variable.ttf, height: 1";
    let cases = [
        (format!("words: HIHI, {bars}, paper: felt"), 1, Some("3/32")),
        (format!("words: HIHI, {bars}, papers: [felt, coral]"), 1, Some("3/32")),
        (format!("words: HIHI, {bars}, papers: [felt, wool]"), 2, Some("3/32")),
        (format!("words: HIHI, {bars}, embolden: 1/32, paper: felt"), 1, Some("3/32")),
        (format!("words: IO, {bars}, paper: rug"), 1, None),
        (format!("words: HIHI, {bars}, paper: coral"), 0, None),
    ];
    const SHEETS: &str = "sheets: {12 x 12: 2}";
    let spec = |keys: &str| {
        format!(
            "name: Thin\npapers:\n  coral: {{color: '#e2725b', {SHEETS}}}\n  felt: {{color: '#aabbcc', thinnest: 1/4, {SHEETS}}}\n  wool: {{color: '#aabbdd', thinnest: 1/4, {SHEETS}}}\n  rug: {{color: '#aabbee', thinnest: 3/4, {SHEETS}}}\nsingle: {{}}\ntitle:\n  - {{{keys}}}\n"
        )
    };
    let run = |keys: &str| {
        let spec = cutleaf::description::parse(&spec(keys)).expect(keys);
        let book = FontBook::new(vec![]);
        let layout = cutleaf::layout::lay_out(&spec, std::path::Path::new("."), &book).expect(keys);
        cutleaf::plan::record(&layout).expect(keys)
    };
    let thin = |record: &cutleaf::record::Record| {
        record.warnings.iter().filter(|one| one.kind == "thin stroke").count()
    };
    for (keys, count, amount) in cases {
        let record = run(&keys);
        assert_eq!(thin(&record), count, "{keys}: {:?}", record.warnings);
        assert_eq!(offered(&record).as_deref(), amount, "{keys}: {:?}", record.warnings);
        let Some(amount) = amount else { continue };
        let bare = keys.replace(", embolden: 1/32", "");
        assert_eq!(thin(&run(&format!("{bare}, embolden: {amount}"))), 0, "{keys}");
        assert!(thin(&run(&format!("{bare}, embolden: 5/64"))) > 0, "a mark less would do: {keys}");
    }
}
