//! Lengths as they are written, kept and shown.

use cutleaf::length::{Length, Measure, Size, Units, parse_length};
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
