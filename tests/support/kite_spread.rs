//! A whole record by hand: two pages about flying kites on the dunes.

use std::num::NonZeroU64;

use cutleaf::geometry::{FLATTENING, laying, path_data, rectangle, rings};
use cutleaf::model::{Choice, Color, Count, Facing, PageName, PieceId, Price, Process, Tool};
use cutleaf::record::*;
use kurbo::{Affine, BezPath, Circle, Point, Shape};

/// The record of the spread.
pub fn kite_spread() -> Record {
    let mut record = Record {
        format: FORMAT,
        cutleaf: "0.1.0".into(),
        name: "Kites over the dunes".into(),
        page: [12.0, 12.0],
        pages: vec![PageName::Left, PageName::Right],
        rules: Rules { spacing: 0.125, machine_margin: 0.25, ..Rules::default() },
        ..Record::default()
    };
    papers(&mut record);
    pages(&mut record);
    story(&mut record);
    sheets(&mut record);
    super::routed::routed(&mut record);
    record.warnings = vec![
        Warning {
            kind: "thin".into(),
            message: "The tail of `right.kite` is 1/32 in wide at its thinnest.".into(),
            help: "Cut it slowly, or make the kite 1/2 in larger.".into(),
            piece: Some("right.kite".into()),
            line: NonZeroU64::new(41),
        },
        Warning {
            kind: "photo".into(),
            message: "The photo \"landing\" has 160 dots an inch at 3 x 3 in.".into(),
            help: "Print it at 2 1/4 x 2 1/4 in, or take a larger file.".into(),
            ..Warning::default()
        },
    ];
    totals(&mut record);
    record
}

fn papers(record: &mut Record) {
    let paper = |name: &str, color: &str, directional: bool| Paper {
        name: name.into(),
        color: Color::parse(color).expect("a colour"),
        directional,
        left: vec![StockLeft { size: [12.0, 12.0], count: 3, price: Price::new(0.9) }],
        new_sheets: 1,
        bound: 1,
        used: 0.71,
        ..Paper::default()
    };
    record.papers = vec![
        paper("picnic", "#c8705f", true),
        paper("dune grass", "#9db59a", true),
        paper("sand", "#e6d6b4", false),
        paper("harbour", "#2f5f78", false),
        paper("snow", "#faf8f2", false),
    ];
    record.papers[3].notes = vec!["A piece 1/4 in narrower would save a sheet.".into()];
    record.papers[4].offcuts_left =
        vec![OffcutLeft { id: "snow-k1".into(), size: [4.0, 6.0], ..OffcutLeft::default() }];
}

fn pages(record: &mut Record) {
    for page in ["left", "right"] {
        rect(record, page, "base", "sand", [0.0, 0.0], [12.0, 12.0]);
        rect(record, page, "band", "picnic", [0.0, 6.5], [12.0, 3.0]);
    }
    rect(record, "left", "mat.launch", "harbour", [0.75, 0.75], [6.5, 4.5]);
    photo(record, "left", "launch", [1.0, 1.0], [6.0, 4.0], 0.0, 0.0);
    rect(record, "left", "mat.climb", "snow", [7.0, 3.0], [4.25, 6.25]);
    photo(record, "left", "climb", [7.125, 3.125], [4.0, 6.0], 0.125, 0.0);
    rect(record, "right", "bank", "harbour", [0.75, 6.0], [10.5, 4.0]);
    for (index, name) in ["crew", "turn", "landing"].iter().enumerate() {
        let x = 1.125 + index as f64 * 3.375;
        photo(record, "right", name, [x, 6.5], [3.0, 3.0], 0.0, 0.0);
    }
    let sun = circle(1.25, true);
    shape(record, "right", "sun", "circle", "picnic", ([8.9, 0.8], 0.0), sun);
    shape(
        record,
        "right",
        "sun.core",
        "circle",
        "dune grass",
        ([9.45, 1.35], 0.0),
        circle(0.7, false),
    );
    shape(record, "right", "cloud", "scallop", "snow", ([6.4, 2.6], 0.0), scallop(1.1, 12));
    shape(record, "right", "kite", "shape", "harbour", ([3.2, 0.5], 18.0), kite());
    shape(record, "left", "tag", "tag", "dune grass", ([0.9, 5.6], -6.0), tag());
    if let Some(piece) = record.pieces.last_mut() {
        let line = |process, path: &str| LineOnPiece { process, path: path.into(), fold: None };
        piece.lines = vec![
            line(Process::Pen, "M0.9 0.5C1.3 0.2 1.7 0.8 2.2 0.5"),
            line(Process::Score, "M0.7 0L0.7 1.2"),
            line(Process::Perforate, "M2.5 0L2.5 1.2"),
        ];
    }
    shape(record, "right", "banner", "banner", "dune grass", ([0.0, 10.4], 0.0), banner());
    for (letter, x) in [("W", 0.6), ("I", 2.05), ("N", 2.45), ("D", 3.6)] {
        let id = format!("title.{letter}");
        let outline = Affine::scale(1.3) * letter_outline(letter);
        shape(record, "right", &id, "letter", "harbour", ([x, 4.2], 0.0), outline);
    }
    rect(record, "left", "corner", "dune grass", [10.0, 10.25], [1.5, 1.25]);
    if let Some(piece) = record.pieces.last_mut() {
        piece.tool = Tool::Hand;
        piece.copies = 2;
        piece.notes = vec!["Tear the lower edge by hand towards you.".into()];
    }
}

fn add(record: &mut Record, mut piece: Piece, outline: &BezPath) {
    let bounds = outline.bounding_box();
    let outline = Affine::translate((-bounds.x0, -bounds.y0)) * outline.clone();
    piece.size = [bounds.width(), bounds.height()];
    piece.area = outline.area().abs();
    piece.outline = rings(&outline, FLATTENING);
    piece.path = path_data(&outline, 7);
    piece.copies = 1;
    piece.order = next_order(record);
    record.pieces.push(piece);
}

fn next_order(record: &Record) -> u32 {
    u32::try_from(record.pieces.len() + record.photos.len()).unwrap()
}

fn rect(record: &mut Record, page: &str, name: &str, paper: &str, at: [f64; 2], size: [f64; 2]) {
    let id = if name.contains("journaling") { name.into() } else { format!("{page}.{name}") };
    let kind = name.split('.').next().unwrap().to_owned();
    let (paper, page) = (paper.to_owned(), page_name(page));
    let piece = Piece { id: id.into(), kind, paper, page, at, ..Piece::default() };
    add(record, piece, &rectangle(size[0], size[1]));
}

fn page_name(name: &str) -> PageName {
    PageName::from_word(name).expect("a page")
}

fn shape(
    record: &mut Record,
    page: &str,
    name: &str,
    kind: &str,
    paper: &str,
    (at, turn): ([f64; 2], f64),
    outline: BezPath,
) {
    let piece = Piece {
        id: format!("{page}.{name}").into(),
        kind: kind.into(),
        paper: paper.into(),
        tool: Tool::Machine,
        page: page_name(page),
        at,
        turn,
        ..Piece::default()
    };
    add(record, piece, &outline);
}

fn photo(
    record: &mut Record,
    page: &str,
    name: &str,
    at: [f64; 2],
    size: [f64; 2],
    border: f64,
    turn: f64,
) {
    let photo = Photo {
        id: format!("{page}.{name}").into(),
        name: name.into(),
        copies: Count::default(),
        page: page_name(page),
        at,
        size,
        border,
        turn,
        looks: (name == "climb").then_some(Facing::Left),
        order: next_order(record),
        tucked: None,
        raised: None,
        picture: None,
    };
    record.photos.push(photo);
}

fn circle(radius: f64, ring: bool) -> BezPath {
    let mut path = Circle::new((radius, radius), radius).to_path(1e-5);
    if ring {
        path.extend(Circle::new((radius, radius), radius * 0.72).to_path(1e-5).reverse_subpaths());
    }
    path
}

fn scallop(radius: f64, bumps: u32) -> BezPath {
    let mut path = BezPath::new();
    let at = |share: f64, out: f64| {
        let angle = share * std::f64::consts::TAU / f64::from(bumps);
        Point::new(angle.cos() * out, angle.sin() * out)
    };
    path.move_to(at(0.0, radius));
    for bump in 0..bumps {
        let bump = f64::from(bump);
        let out = radius * 1.28;
        path.curve_to(at(bump + 0.2, out), at(bump + 0.8, out), at(bump + 1.0, radius));
    }
    path.close_path();
    path
}

fn kite() -> BezPath {
    BezPath::from_svg(
        "M1 0L2 1.2C1.6 1.9 1.3 2.4 1.04 2.9L1.3 3.4L0.7 3.4L0.96 2.9C0.7 2.4 0.4 1.9 0 1.2Z",
    )
    .unwrap()
}

fn tag() -> BezPath {
    let mut path = BezPath::from_svg("M0.4 0L3 0L3 1.2L0.4 1.2L0 0.8L0 0.4Z").unwrap();
    path.extend(Circle::new((0.35, 0.6), 0.12).to_path(1e-5).reverse_subpaths());
    path
}

fn banner() -> BezPath {
    BezPath::from_svg("M0 0L5 0L4.6 0.55L5 1.1L0 1.1Z").unwrap()
}

fn letter_outline(letter: &str) -> BezPath {
    let data = match letter {
        "W" => "M0 0L.18 0L.3 .6L.42 .2L.58 .2L.7 .6L.82 0L1 0L.8 1L.62 1L.5 .55L.38 1L.2 1Z",
        "I" => "M0 0L.2 0L.2 1L0 1Z",
        "N" => "M0 0L.2 0L.55 .62L.55 0L.75 0L.75 1L.55 1L.2 .38L.2 1L0 1Z",
        _ => "M0 0L.3 0C.9 0 .9 1 .3 1L0 1ZM.2 .2L.2 .8L.3 .8C.6 .8 .6 .2 .3 .2Z",
    };
    BezPath::from_svg(data).unwrap()
}

const STORY: [&str; 4] = [
    "The wind came in at noon & it stayed.",
    "We ran, we tripped, we ran again,",
    "and on the seventh try she took the line",
    "and the kite hung over the dunes till dusk.",
];

fn story(record: &mut Record) {
    let face = ttf_parser::Face::parse(notosans::REGULAR_TTF, 0).unwrap();
    let em = 12.0 / 72.0;
    record.fonts = vec![FontUsed {
        family: "Noto Sans Regular".into(),
        source: "built in".into(),
        ..FontUsed::default()
    }];
    for (index, words) in STORY.iter().enumerate() {
        let (mut glyphs, mut pen) = (Vec::new(), 0.1);
        for letter in words.chars() {
            let id = face.glyph_index(letter).unwrap();
            let advance = f64::from(face.glyph_hor_advance(id).unwrap())
                / f64::from(face.units_per_em())
                * em;
            let text = letter.to_string();
            glyphs.push(Glyph { id: id.0, x: pen, y: 0.0, advance, text });
            pen += advance;
        }
        let row = index as f64;
        let (id, size) = (format!("journaling.{}", index + 1), [pen + 0.1, 0.375]);
        let at = [0.9 + 0.35 * (row % 2.0), 9.9 + 0.47 * row];
        rect(record, "left", &id, "snow", at, size);
        record.strips.push(Strip {
            id: id.into(),
            copy: Count::default(),
            text: (*words).into(),
            paper: "snow".into(),
            size,
            page: 1,
            at: [1.0, 1.0 + 0.45 * row],
            baseline: 0.25,
            type_size: 12.0,
            ink: Color::new([0x2b, 0x27, 0x21]),
            ground: None,
            runs: vec![Run { font: 0, glyphs }],
        });
    }
    record.printed = vec![PrintedPage {
        number: 1,
        paper: "snow".into(),
        size: [8.5, 11.0],
        sheet: "snow-2".into(),
        count: Count::default(),
        start: None,
    }];
}

fn sheets(record: &mut Record) {
    sheet(record, "sand-1", "sand", [12.0, 12.0], &[("left.base", [0.0, 0.0], 0.0)]);
    sheet(record, "sand-2", "sand", [12.0, 12.0], &[("right.base", [0.0, 0.0], 0.0)]);
    let bands = [
        ("left.band", [0.0, 0.0], 0.0),
        ("right.band", [0.0, 3.0], 0.0),
        ("right.sun", [0.4, 6.5], 0.0),
    ];
    sheet(record, "picnic-1", "picnic", [12.0, 12.0], &bands);
    part(record, [0.0, 6.0], [4.0, 6.0], &[("picnic-1-k1", [4.0, 6.0], [8.0, 6.0])]);
    let lines = [
        ("across", 3.0, [0.0, 0.0, 12.0, 12.0], ["piece left.band", "more"]),
        ("across", 6.0, [0.0, 3.0, 12.0, 9.0], ["piece right.band", "more"]),
        ("down", 4.0, [0.0, 6.0, 12.0, 6.0], ["machine", "offcut picnic-1-k1"]),
    ];
    cuts(record, &lines);
    let mats = [
        ("left.mat.launch", [0.0, 0.0], 90.0),
        ("right.bank", [4.5, 0.0], 90.0),
        ("right.kite", [8.9, 0.5], 0.0),
        ("right.title.W", [9.0, 4.4], 0.0),
        ("right.title.I", [10.7, 4.4], 0.0),
        ("right.title.N", [9.0, 6.0], 0.0),
        ("right.title.D", [10.3, 6.0], 0.0),
    ];
    sheet(record, "harbour-1", "harbour", [12.0, 12.0], &mats);
    part(record, [8.5, 0.0], [3.5, 12.0], &[("harbour-1-k1", [0.0, 6.5], [4.5, 5.5])]);
    let lines = [
        ("down", 4.5, [0.0, 0.0, 12.0, 12.0], ["more", "more"]),
        ("down", 8.5, [4.5, 0.0, 7.5, 12.0], ["more", "machine"]),
        ("across", 6.5, [0.0, 0.0, 4.5, 12.0], ["piece left.mat.launch", "offcut harbour-1-k1"]),
        ("across", 10.5, [4.5, 0.0, 4.0, 12.0], ["piece right.bank", "scrap"]),
    ];
    cuts(record, &lines);
    let grass = [
        ("right.banner", [0.4, 0.4], 0.0),
        ("left.tag", [0.4, 1.8], 0.0),
        ("right.sun.core", [3.8, 1.8], 0.0),
        ("left.corner", [0.0, 4.0], 0.0),
        ("left.corner", [1.5, 4.0], 0.0),
    ];
    sheet(record, "dune grass-1", "dune grass", [8.5, 11.0], &grass);
    part(record, [0.0, 0.0], [8.5, 4.0], &[("grass-k1", [0.0, 5.25], [8.5, 5.75])]);
    let lines = [
        ("across", 4.0, [0.0, 0.0, 8.5, 11.0], ["machine", "more"]),
        ("across", 5.25, [0.0, 4.0, 8.5, 7.0], ["more", "offcut grass-k1"]),
        ("down", 1.5, [0.0, 4.0, 8.5, 1.25], ["piece left.corner", "more"]),
        ("down", 3.0, [1.5, 4.0, 7.0, 1.25], ["piece left.corner", "scrap"]),
    ];
    cuts(record, &lines);
    let snow = [("left.mat.climb", [0.0, 0.0], 0.0), ("right.cloud", [4.9, 0.5], 0.0)];
    sheet(record, "snow-1", "snow", [12.0, 12.0], &snow);
    part(record, [4.25, 0.0], [7.75, 6.25], &[("snow-1-k1", [0.0, 6.25], [12.0, 5.75])]);
    let lines = [
        ("across", 6.25, [0.0, 0.0, 12.0, 12.0], ["more", "offcut snow-1-k1"]),
        ("down", 4.25, [0.0, 0.0, 12.0, 6.25], ["piece left.mat.climb", "machine"]),
    ];
    cuts(record, &lines);
    let strips: Vec<(PieceId, [f64; 2])> =
        record.strips.iter().map(|strip| (strip.id.clone(), strip.at)).collect();
    let strips: Vec<_> = strips.iter().map(|(id, at)| (id.as_str(), *at, 0.0)).collect();
    sheet(record, "snow-2", "snow", [8.5, 11.0], &strips);
    if let Some(sheet) = record.sheets.last_mut() {
        sheet.printed = Some(1);
        sheet.from = Some("snow-k7".into());
    }
}

fn sheet(
    record: &mut Record,
    id: &str,
    paper: &str,
    size: [f64; 2],
    pieces: &[(&str, [f64; 2], f64)],
) {
    let mut sheet = Sheet { id: id.into(), paper: paper.into(), size, ..Sheet::default() };
    for &(piece, at, turn) in pieces {
        let found = record.pieces.iter().find(|other| other.id == piece).unwrap();
        let outline = BezPath::from_svg(&found.path).unwrap();
        let copy = sheet.placed.iter().filter(|placed| placed.piece == piece).count() + 1;
        sheet.used += found.area / (size[0] * size[1]);
        sheet.placed.push(Placed {
            piece: piece.into(),
            copy: u32::try_from(copy).unwrap(),
            at,
            turn,
            tool: found.tool,
            rings: rings(&(laying(&outline, turn, at) * outline), FLATTENING),
        });
    }
    if sheet.placed.iter().any(|placed| placed.tool == Tool::Machine) {
        let [right, bottom] = size.map(|side| side - 0.25);
        let corners = [[0.25, 0.25], [right, 0.25], [right, bottom], [0.25, bottom]];
        let mark = |at| Mark { at, arm: 0.125, weight: 0.01, ..Mark::default() };
        sheet.marks = corners.map(mark).to_vec();
    }
    record.sheets.push(sheet);
}

fn part(record: &mut Record, at: [f64; 2], size: [f64; 2], keep: &[(&str, [f64; 2], [f64; 2])]) {
    let sheet = record.sheets.last_mut().unwrap();
    sheet.machine = Some(Rect { at, size });
    let offcut = |&(id, at, size): &(&str, [f64; 2], [f64; 2])| Offcut {
        id: id.into(),
        at,
        size,
        ..Offcut::default()
    };
    sheet.offcuts = keep.iter().map(offcut).collect();
}

/// Trimmer cuts: `down` or `across`, where, the paper in hand, what either side becomes.
fn cuts(record: &mut Record, lines: &[(&str, f64, [f64; 4], [&str; 2])]) {
    let sheet = record.sheets.last_mut().unwrap();
    for &(direction, place, [x, y, width, height], falls) in lines {
        let in_hand = Rect { at: [x, y], size: [width, height] };
        let axis = usize::from(direction == "across");
        let (mut from, mut to) = ([x, y], [x + width, y + height]);
        (from[axis], to[axis]) = (place, place);
        let (mut kept, mut dropped) = (in_hand, in_hand);
        kept.size[axis] = place - in_hand.at[axis];
        dropped.at[axis] = place;
        dropped.size[axis] = in_hand.size[axis] - kept.size[axis];
        let fall = |name: &str, area| {
            let what = match name.split_once(' ') {
                Some(("piece", id)) => Fall::Piece(id.into()),
                Some(("offcut", id)) => Fall::Offcut(id.into()),
                _ if name == "machine" => Fall::Machine,
                _ if name == "scrap" => Fall::Scrap,
                _ => Fall::More,
            };
            Falls { what, area }
        };
        sheet.cuts.push(Cut {
            number: u32::try_from(sheet.cuts.len() + 1).unwrap(),
            in_hand,
            from,
            to,
            fence: kept.size[axis],
            keeps: fall(falls[0], kept),
            drops: fall(falls[1], dropped),
        });
    }
}

fn totals(record: &mut Record) {
    let area = |size: [f64; 2]| size[0] * size[1];
    record.totals = Totals {
        pieces: record.pieces.iter().map(|piece| piece.copies).sum(),
        sheets: u32::try_from(record.sheets.len()).unwrap(),
        new_sheets: 6,
        price: Some(5.4),
        buy: 1,
        buy_price: Some(0.9),
        piece_area: record.pieces.iter().map(|piece| piece.area).sum(),
        sheet_area: record.sheets.iter().map(|sheet| area(sheet.size)).sum(),
        trimmer_cuts: 13,
        machine_length: 96.4,
        words: 32,
        foam: Vec::new(),
        shopping: ["sand", "picnic", "harbour"]
            .map(|paper| ShoppingLine {
                paper: paper.into(),
                size: [12.0, 12.0],
                uses: if paper == "sand" { 2 } else { 1 },
                on_hand: 1,
                price: Some(0.9),
                buy: u32::from(paper == "sand"),
                buy_price: (paper == "sand").then_some(0.9),
            })
            .to_vec(),
    };
}
