//! Lengths as they are written, kept and shown.

use crate::support::spreads;

use cutleaf::model::length::{Length, Measure, Size, Units, parse_length, parse_sides};
use proptest::prelude::*;

#[test]
fn every_way_to_write_a_length() {
    let inch = Length::inches;
    let cases = [
        ("4 1/2", inch(4.5)),
        ("4.5", inch(4.5)),
        ("4-1/2 in", inch(4.5)),
        ("4.5\"", inch(4.5)),
        ("4½", inch(4.5)),
        ("4 ½", inch(4.5)),
        ("⅛", inch(0.125)),
        ("3/4", inch(0.75)),
        ("114 mm", Length::mm(114.0)),
        ("11.4 cm", Length::mm(114.0)),
        ("27 pt", inch(0.375)),
        ("4 - 1/2", inch(3.5)),
        ("-1/4", inch(-0.25)),
        ("1 + 1/8 + 1/16 in", inch(1.1875)),
        ("  2  ", inch(2.0)),
    ];
    for (text, length) in cases {
        assert_eq!(parse_length(text, Units::Inches), Ok(length), "{text}");
    }
    assert_eq!(parse_length("114", Units::Millimetres), Ok(Length::mm(114.0)));
    let third = Measure::parse("1/3 page - 1/8", Units::Inches).expect("sound");
    assert_eq!(third.of(inch(12.0)), inch(3.875));
}

#[test]
fn a_number_without_a_unit_has_that_of_the_next_one_or_the_specs() {
    use Units::{Inches, Millimetres};
    let both = |width, height| Ok([width, height]);
    let inch = |width: f64, height: f64| both(Length::inches(width), Length::inches(height));
    let mm = |width: f64, height: f64| both(Length::mm(width), Length::mm(height));
    let cases = [
        ("8 x 8 in", Inches, inch(8.0, 8.0)),
        ("8 x 8 in", Millimetres, inch(8.0, 8.0)),
        ("8 by 8 in", Millimetres, inch(8.0, 8.0)),
        ("4 1/2 × 6\"", Millimetres, inch(4.5, 6.0)),
        ("4 x 6", Inches, inch(4.0, 6.0)),
        ("4 x 6", Millimetres, mm(4.0, 6.0)),
        ("100 x 150 mm", Inches, mm(100.0, 150.0)),
        ("100 x 150 mm", Millimetres, mm(100.0, 150.0)),
        ("10 x 15 cm", Inches, mm(100.0, 150.0)),
        ("10 x 15 cm", Millimetres, mm(100.0, 150.0)),
        ("10 cm x 15", Inches, Err("write 10 cm x 15 cm, or 10 cm x 15 in")),
        ("10 cm x 15", Millimetres, Err("write 10 cm x 15 cm, or 10 cm x 15 mm")),
        ("4 in x 6", Inches, inch(4.0, 6.0)),
        ("4 in x 6", Millimetres, Err("write 4 in x 6 in, or 4 in x 6 mm")),
        ("100 mm x 150", Millimetres, mm(100.0, 150.0)),
        ("100 mm x 15 cm", Inches, mm(100.0, 150.0)),
        // A share of the page, here of 12 in, has no unit to hand on.
        ("1/3 page x 100", Millimetres, both(Length::inches(4.0), Length::mm(100.0))),
        ("100 x 1/3 page", Millimetres, both(Length::mm(100.0), Length::inches(4.0))),
        ("1/3 page - 1/2 x 8 in", Millimetres, inch(3.5, 8.0)),
    ];
    for (text, units, wanted) in cases {
        let sides = parse_sides(text, units).unwrap_or_else(|| panic!("{text} is a size"));
        let page = Length::inches(12.0);
        let [width, height] = sides.map(|side| side.map(|side| side.of(page)));
        let read = width.and_then(|width| Ok([width, height?]));
        let read = read.map_err(|error| error.help);
        assert_eq!(read, wanted.map_err(str::to_owned), "{text} in {units:?}");
    }
    let sums = [
        ("1 + 1/8 in", Ok(Length::inches(1.125))),
        ("4 in - 10 mm + 2", Ok(Length::inches(4.0) - Length::mm(8.0))),
        ("4 in + 2", Err("write 4 in + 2 in, or 4 in + 2 mm")),
        ("2 + 4", Ok(Length::mm(6.0))),
    ];
    for (text, wanted) in sums {
        let read = parse_length(text, Millimetres).map_err(|error| error.help);
        assert_eq!(read, wanted.map_err(str::to_owned), "{text}");
    }
}

#[test]
fn sizes_of_page_papers_photos_and_mat_are_read_so() {
    let spec = "name: Dune\nunits: mm\npage: 8 x 8 in\npapers:
  sand: {color: '#e3cfa4', sheets: {12 x 12 in: 2}, offcuts: [{size: 5 x 7 in}]}
photos: {gull: {size: 4 x 6 in}}
cutting: {mat: 12 x 24 in}
printer: {paper: 8.5 x 11 in, photo paper: 5 x 7 in}
single:
  pieces:
    - panel: {id: ridge, paper: sand, size: 3 by 2 in}
    - photo: {photo: gull, at: {left: 10, top: 60}}\n";
    let layout = spreads::layout_of(spec).expect("sizes in inches");
    let inch = Size::inches;
    let ridge = layout.pieces.iter().find(|piece| piece.id == "single.ridge").expect("it");
    assert_eq!(layout.page, inch(8.0, 8.0));
    let stock: Vec<Size> = layout.papers[0].stock.iter().map(|stock| stock.size).collect();
    assert!(stock.contains(&inch(12.0, 12.0)) && stock.contains(&inch(5.0, 7.0)), "{stock:?}");
    assert_eq!(layout.photos[0].size, inch(4.0, 6.0));
    assert_eq!(layout.rules.mat, Some(inch(12.0, 24.0)));
    assert_eq!(layout.printer.paper, inch(8.5, 11.0));
    assert_eq!(layout.photo_paper.paper, inch(5.0, 7.0));
    assert_eq!(ridge.size, inch(3.0, 2.0));
    let mixed = spec.replace("3 by 2 in", "10 cm x 2");
    let problems = spreads::layout_of(&mixed).expect_err("two meanings");
    assert!(problems.0[0].help.contains("write 10 cm x 2 cm, or 10 cm x 2 mm"), "{problems:?}");
}

#[test]
fn what_is_no_length_is_told() {
    let cases = [
        ("1/0", "divides by zero"),
        ("", "is not a length"),
        ("x", "is not a length"),
        ("4 furlongs", "`furlongs` is not a unit"),
        ("1/", "is not a length"),
        ("4 4", "is not a length"),
        ("1e9", "is not a unit"),
        ("5000", "longer than 1000 inches"),
        ("99999999999999", "more digits"),
        ("1/3 page", "is a share of the page"),
        ("4 1/2 1/2", "is not a length"),
    ];
    for (text, phrase) in cases {
        let error = parse_length(text, Units::Inches).expect_err(text);
        assert!(error.to_string().contains(phrase), "{text}: {error}");
    }
}

#[test]
fn lengths_are_exact() {
    assert_eq!(Length::inches(4.0) * 3, Length::inches(12.0));
    assert_eq!(Length::part(1, 64) * 64, Length::inches(1.0));
    assert_eq!(Length::part(1, 64).to_nanometres(), 396_875);
    assert_eq!(Length::mm(25.4), Length::inches(1.0));
}

#[test]
fn a_ruler_shows_the_nearest_mark_and_says_so() {
    let shown = |inches: f64| Length::inches(inches).show(Units::Inches);
    assert_eq!(shown(4.5), "4 1/2 in");
    assert_eq!(shown(0.03125), "1/32 in");
    assert_eq!(shown(12.0), "12 in");
    assert_eq!(shown(0.0), "0 in");
    assert_eq!(shown(-1.25), "-1 1/4 in");
    assert_eq!(shown(4.49), "about 4 1/2 in");
    let size = |width, height| Size::inches(width, height).show(Units::Inches);
    assert_eq!(size(4.5, 10.0), "4 1/2 x 10 in");
    assert_eq!(size(4.49, 10.0), "about 4 1/2 x 10 in");
    assert_eq!(size(4.49, 9.99), "about 4 1/2 x 10 in");
    assert_eq!(Length::mm(114.0).show(Units::Millimetres), "114 mm");
    assert_eq!(Length::mm(114.26).show(Units::Millimetres), "114.3 mm");
}

proptest! {
    #[test]
    fn ruler_fractions_come_back(marks in 0_i64..3200) {
        let length = Length::part(marks, 32);
        let ruler = length.ruler();
        prop_assert!(ruler.exact);
        prop_assert_eq!(parse_length(&ruler.text, Units::Inches), Ok(length));
    }

    #[test]
    fn no_text_is_a_panic(text in ".{0,24}") {
        let _ = Measure::parse(&text, Units::Inches);
    }
}

proptest! {
    /// What a person can write, a record tells so that it is read back exactly.
    #[test]
    fn a_record_gives_back_what_was_written(steps in 1_i64..2_000_000, sixty_fourths in 1_i64..6_400) {
        for length in [Length::nanometres(steps * 1_000), Length::part(sixty_fourths, 64)] {
            let told = cutleaf::model::rounded(length.to_inches());
            prop_assert_eq!(Length::of_record(told), length);
        }
    }
}
