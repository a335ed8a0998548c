//! Title letters against an independent reader of the same font, and hostile fonts.

use cutleaf::geometry::boolean::contours;
use cutleaf::lettering::fonts::{Font, FontBook};
use cutleaf::lettering::words::{Height, Word, WordStyle, set_word};
use kurbo::Shape;

fn style() -> WordStyle {
    WordStyle::default()
}

fn set(text: &str) -> Word {
    let font = FontBook::default().find("display").expect("built in");
    set_word(&font, text, &style()).unwrap_or_else(|error| panic!("{text}: {}", error.message))
}

/// Draws with ttf-parser, in font units, y up.
struct Drawn(kurbo::BezPath);

impl ttf_parser::OutlineBuilder for Drawn {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to((f64::from(x), f64::from(y)));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to((f64::from(x), f64::from(y)));
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.0.quad_to((f64::from(x1), f64::from(y1)), (f64::from(x), f64::from(y)));
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let point = |x, y| (f64::from(x), f64::from(y));
        self.0.curve_to(point(x1, y1), point(x2, y2), point(x, y));
    }
    fn close(&mut self) {
        self.0.close_path();
    }
}

#[test]
fn letters_have_the_area_that_another_reader_finds() {
    let font = FontBook::default().find("display").expect("built in");
    let face = ttf_parser::Face::parse(&font.data, 0).expect("a font");
    for letter in "HodtightBWgiseaR&8".chars() {
        let word = set(&letter.to_string());
        let mut drawn = Drawn(kurbo::BezPath::new());
        face.outline_glyph(face.glyph_index(letter).expect("a glyph"), &mut drawn);
        let scale = word.size[1] / drawn.0.bounding_box().height();
        let wanted = drawn.0.area().abs() * scale * scale;
        let area = word.letters[0].outline.area().abs();
        // Overlapping contours are united; of these letters none has any.
        assert!((area / wanted - 1.0).abs() < 1e-3, "{letter}: {area} against {wanted}");
    }
}

#[test]
fn counters_and_dots_are_kept() {
    for (letter, holes, parts) in
        [("B", 2, 1), ("8", 2, 1), ("i", 0, 2), ("e", 1, 1), ("H", 0, 1), ("g", 1, 1)]
    {
        let word = set(letter);
        let contours = contours(&word.letters[0].outline);
        let count = |odd: bool| contours.iter().filter(|c| (c.depth % 2 == 1) == odd).count();
        assert_eq!((count(true), count(false)), (holes, parts), "{letter}");
        assert_eq!(word.letters[0].parts(), parts);
    }
}

#[test]
fn capitals_have_the_height_asked_for() {
    for height in [0.5, 1.0, 1.25, 3.0] {
        let font = FontBook::default().find("display").expect("built in");
        let word = set_word(&font, "H", &WordStyle { height: Height::Cap(height), ..style() })
            .expect("sound");
        assert!((word.size[1] - height).abs() < 1e-3);
        let wide = set_word(&font, "Hold", &WordStyle { height: Height::Width(height), ..style() })
            .expect("sound");
        assert!((wide.size[0] - height).abs() < 1e-3);
    }
}

#[test]
fn kerning_draws_letters_together_and_words_keep_their_order() {
    let gap = |text: &str| {
        let word = set(text);
        word.size[0] - word.letters.iter().map(|l| l.outline.bounding_box().width()).sum::<f64>()
    };
    assert!(gap("AV") < gap("AH"), "A and V are kerned");
    let word = set("Hold on");
    let texts: Vec<&str> = word.letters.iter().map(|letter| letter.text.as_str()).collect();
    assert_eq!(texts, ["H", "o", "l", "d", "o", "n"]);
    assert!(!word.joined);
}

#[test]
fn letters_that_touch_become_one_piece() {
    let font = FontBook::default().find("display").expect("built in");
    let word =
        set_word(&font, "Hold", &WordStyle { letter_spacing: -0.15, ..style() }).expect("sound");
    assert!(word.joined);
    assert_eq!(word.letters.len(), 1);
    let lifted =
        set_word(&font, "Hold", &WordStyle { lift: vec![0.0, 0.25], ..style() }).expect("sound");
    assert!((lifted.size[1] - set("Hold").size[1]) > 0.1);
}

#[test]
fn broken_fonts_are_told_and_do_no_harm() {
    let font = FontBook::default().find("display").expect("built in");
    for cut in (0..font.data.len()).step_by(20_011) {
        if let Ok(font) = Font::read(font.data[..cut].to_vec(), "cut.otf", None) {
            let _ = set_word(&font, "Hold tight", &style());
        }
    }
    let mut state = 7_u32;
    for start in 0..200 {
        let mut data = font.data.to_vec();
        for _ in 0..40 {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let at = state as usize % data.len().min(4_000 + start * 500);
            data[at] = (state >> 24) as u8;
        }
        if let Ok(font) = Font::read(data, "spoilt.otf", None) {
            let _ = set_word(&font, "Hold", &style());
        }
    }
    for data in [Vec::new(), vec![0; 100], b"not a font".to_vec()] {
        assert!(Font::read(data, "none.ttf", None).is_err());
    }
}

#[test]
fn words_are_as_tall_or_wide_as_asked() {
    let font = FontBook::default().find("display").expect("built in");
    for (spacing, lift) in [(0.0, vec![]), (0.2, vec![0.0, 0.25]), (-0.02, vec![0.0, -0.1, 0.1])] {
        let set = |height| {
            let style = WordStyle {
                height,
                letter_spacing: spacing,
                lift: lift.clone(),
                ..WordStyle::default()
            };
            set_word(&font, "Kite xo", &style).expect("the font has them")
        };
        assert!((set(Height::Width(7.5)).size[0] - 7.5).abs() < 1e-6);
        assert!((set(Height::Total(1.25)).size[1] - 1.25).abs() < 1e-6);
    }
    let style = |height| WordStyle { height, ..WordStyle::default() };
    let tall = |height, text| set_word(&font, text, &style(height)).expect("set").size[1];
    assert!((tall(Height::SmallLetters(0.5), "x") - 0.5).abs() < 1e-3);
    assert!((tall(Height::Cap(0.5), "H") - 0.5).abs() < 1e-3);
    let crowded = WordStyle { letter_spacing: 2.0, ..style(Height::Width(3.0)) };
    let error = set_word(&font, "Kites", &crowded).expect_err("four gaps of 2 in are wider");
    assert!(error.message.contains("spacing"), "{}", error.message);
}
