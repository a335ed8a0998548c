//! Any word, any font of the set, any offset: no panic, nothing crosses itself, no counter is lost that
//! has room, no sliver is cut.

use cutleaf::geometry::boolean::{contours, intersect, subtract, union};
use cutleaf::geometry::bridges::join_parts;
use cutleaf::geometry::offset::{Holes, inward, outward};
use cutleaf::geometry::rectangle;
use cutleaf::lettering::fonts::{Font, FontBook};
use cutleaf::lettering::stencil::stencil;
use cutleaf::lettering::words::{Align, Baseline, Height, Joined, Side, WordStyle, set_word};
use kurbo::{Affine, BezPath, Shape};
use proptest::prelude::*;

fn font(number: usize) -> Font {
    let built_in = ["display", "text", "text italic", "text bold", "text bold italic"];
    match built_in.get(number) {
        Some(name) => (*FontBook::default().find(name).expect("built in")).clone(),
        None => {
            let file = "tests/data/fonts/sample-variable.ttf";
            Font::read(std::fs::read(file).expect("it lies there"), file, None).expect("a font")
        }
    }
}

/// Less area than this, in square inches, is no paper that a blade could leave.
const SLIVER: f64 = 1e-6;

/// Contours touch at most in points, wind as they should and hold some paper.
fn is_sound(path: &BezPath, what: &str) {
    let resolved = union(std::slice::from_ref(path));
    let apart = (resolved.area() - path.area()).abs();
    assert!(apart < 1e-4 * path.area().abs() + 1e-6, "{what} crosses itself: {apart}");
    for contour in contours(path) {
        assert!(contour.area.abs() >= SLIVER, "{what} has a sliver of {}", contour.area);
        assert_eq!(contour.area > 0.0, contour.depth % 2 == 0, "{what} winds the wrong way");
    }
}

fn counters(path: &BezPath) -> usize {
    contours(path).iter().filter(|contour| contour.depth % 2 == 1).count()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn any_word_grows_shrinks_and_joins(
        text in "[A-Za-z0-9&!?.,:'\"éüñçåß@%-]{1,7}( [A-Za-z0-9]{1,5})?",
        number in 0_usize..5,
        height in 0.3_f64..2.5,
        offset in 0.004_f64..0.3,
        spacing in -0.1_f64..0.2,
        shape in 0_u8..3,
    ) {
        let joined = [Joined::Auto, Joined::Always, Joined::Never][usize::from(shape)];
        let baseline = match shape {
            0 => Baseline::Straight,
            1 => Baseline::Circle { radius: 12.0, side: Side::Over },
            _ => Baseline::Angle { degrees: 100.0, side: Side::Under },
        };
        let style = WordStyle {
            height: Height::Cap(height), letter_spacing: spacing, baseline, joined,
            align: Align::Center, ..WordStyle::default()
        };
        let Ok(word) = set_word(&font(number), &text, &style) else { return Ok(()) };
        for letter in &word.letters {
            is_sound(&letter.outline, &format!("`{}`", letter.text));
        }
        let outlines: Vec<BezPath> = word.letters.iter().map(|one| one.outline.clone()).collect();
        let whole = union(&outlines);
        is_sound(&whole, "the word");

        let grown = outward(&whole, offset, Holes::Keep);
        is_sound(&grown, "the grown word");
        prop_assert!(subtract(&whole, &grown).area().abs() < 2e-3 * (1.0 + whole.perimeter(1e-3)));
        // A counter with room for the offset twice over stays; the offset eats less than itself.
        let hollow = outward(&whole, offset, Holes::Fill);
        for contour in contours(&whole).iter().filter(|contour| contour.depth == 1) {
            let room = inward(&contour.path.reverse_subpaths(), offset + 0.01);
            prop_assert!(
                intersect(&room, &grown).area().abs() < 1e-3 * room.area().abs() + 1e-4,
                "a counter is lost"
            );
        }
        prop_assert_eq!(counters(&hollow), 0);
        let shrunk = inward(&whole, offset);
        is_sound(&shrunk, "the shrunk word");
        prop_assert!(shrunk.area().abs() <= whole.area().abs());

        let bridged = join_parts(&whole, 1.0 / 16.0);
        is_sound(&bridged, "the bridged word");
        prop_assert_eq!(contours(&bridged).iter().filter(|one| one.depth % 2 == 0).count(), 1);
    }

    #[test]
    fn any_stencil_is_one_piece_or_is_told(
        text in "[A-Za-z0-9&@%]{1,6}",
        number in 0_usize..6,
        height in 0.4_f64..2.5,
        bridge in 0.02_f64..0.15,
    ) {
        let style = WordStyle { height: Height::Cap(height), ..WordStyle::default() };
        let Ok(word) = set_word(&font(number), &text, &style) else { return Ok(()) };
        let outlines: Vec<BezPath> = word.letters.iter().map(|one| one.outline.clone()).collect();
        let ink = union(&outlines);
        let [width, tall] = word.size;
        let panel = Affine::translate((-0.25, -0.25)) * rectangle(width + 0.5, tall + 0.5);
        if let Ok(made) = stencil(&panel, &ink, bridge) {
            is_sound(&made.outline, "the panel");
            let parts = contours(&made.outline);
            prop_assert_eq!(parts.iter().filter(|one| one.depth % 2 == 0).count(), 1);
            prop_assert_eq!(made.counters, counters(&ink));
            prop_assert!(made.bridges + made.weak.len() >= 2 * made.counters);
        } else {
            prop_assert!(bridge > 0.03 || height < 1.0, "{text} at {height} holds {bridge}");
        }
    }
}
