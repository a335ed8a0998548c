//! Pictures of a folder in sketches: common prints, other forms, the focus, `photos.yaml`.

use std::path::Path;

use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::Facing;
use cutleaf::model::length::{Length, Size};
use cutleaf::picture::frame::crop;
use cutleaf::sketch::wanted::{self, Notes, Shape, Wanted};
use cutleaf::sketch::{self, Fit, Papers, Sketch, Words};
use proptest::prelude::*;

use crate::support::pictures::jpeg;

const PAGE: Size = Size::new(Length::part(12, 1), Length::part(12, 1));

/// The pictures of a folder: name, stored dots, EXIF orientation.
fn pictures(
    folder: &Path,
    all: &[(&str, [u32; 2], u8)],
    notes: &str,
) -> Result<Vec<Wanted>, String> {
    for (name, dots, orientation) in all {
        jpeg(folder, name, *dots, *orientation);
    }
    let notes = match notes {
        "" => Notes::default(),
        notes => {
            Notes::read(notes, &wanted::names(folder).unwrap()).map_err(|all| all.to_string())?
        }
    };
    wanted::folder(folder, Path::new("pond"), &notes).map_err(|problem| problem.to_string())
}

fn picture(dots: [u32; 2], orientation: u8) -> Result<Wanted, String> {
    let folder = tempfile::tempdir().unwrap();
    let all = pictures(folder.path(), &[("reed.jpg", dots, orientation)], "")?;
    Ok(all[0].clone())
}

#[test]
fn a_picture_becomes_the_largest_print_that_loses_least() {
    for (dots, orientation, size) in [
        ([1440, 960], 1, [96, 64]),
        // Stored lying, seen upright.
        ([1440, 960], 6, [64, 96]),
        ([960, 1440], 8, [96, 64]),
        ([1440, 960], 3, [96, 64]),
        // 4 1/2 x 6 shows all of it, 4 x 6 would cut a ninth.
        ([1440, 1080], 1, [96, 72]),
        ([1200, 1200], 1, [80, 80]),
        ([1199, 1199], 1, [64, 64]),
        ([2400, 768], 1, [128, 48]),
        ([768, 2400], 1, [48, 128]),
        // 240 dots an inch to the dot, and one less.
        ([480, 720], 1, [32, 48]),
        ([720, 960], 1, [48, 64]),
        ([719, 960], 1, [40, 56]),
    ] {
        let photo = picture(dots, orientation).unwrap();
        assert_eq!((photo.size, photo.cropped), (size, None), "{dots:?} turned {orientation}");
    }
}

#[test]
fn a_picture_is_cropped_to_another_form_if_it_is_large_enough() {
    for (dots, shape, size) in [
        ([1440, 960], Shape::Square, Some([64, 64])),
        ([1440, 960], Shape::Upright, Some([48, 64])),
        ([1440, 960], Shape::Panorama, Some([80, 32])),
        ([960, 1440], Shape::Panorama, Some([32, 80])),
        ([768, 480], Shape::Square, Some([32, 32])),
        // Too few dots for the smallest of that form; its own form.
        ([720, 479], Shape::Square, None),
        ([1440, 960], Shape::Level, None),
        // An upright print would leave out more than half.
        ([2400, 768], Shape::Upright, None),
    ] {
        let photo = picture(dots, 1).unwrap();
        let cropped = photo.as_shape(shape, 9);
        assert_eq!(cropped.as_ref().map(|photo| photo.size), size, "{dots:?} as {shape:?}");
        assert!(cropped.is_none_or(|photo| photo.cropped == Some(shape)));
    }
}

#[test]
fn a_picture_that_no_print_suits_is_told() {
    for (dots, told) in [
        ([190, 280], "190 x 280 dots, too few for any common print"),
        ([4000, 400], "4000 x 400 dots, too long a strip for any common print"),
    ] {
        let message = picture(dots, 1).unwrap_err();
        assert!(message.contains(told) && message.contains("photos.yaml"), "{message}");
    }
    // Between 100 and 240 dots an inch it is printed, and ranked below.
    let few = picture([300, 450], 1).unwrap();
    let fit = sketch::fit(&tower("1/2 page"), PAGE, &[few]).unwrap();
    assert!(faults(&fit).contains("reed has 150 dots an inch"), "{}", faults(&fit));
}

/// A sketch of one column for one photo.
fn tower(share: &str) -> Sketch {
    let text = format!(
        "name: Tower\nabout: One column.\nsingle:\n  columns:\n    - {{id: tower, share: {share}, \
         photos: {{takes: 1, run: down}}}}\n    - {{id: rest}}\n"
    );
    Sketch::read(&text).unwrap_or_else(|problems| panic!("{problems}"))
}

fn faults(fit: &Fit) -> String {
    fit.rank.faults.iter().map(|(fault, _)| fault.as_str()).collect::<Vec<_>>().join("; ")
}

#[test]
fn a_sketch_takes_the_crop_that_fits_and_says_so() {
    // A column of 3 in is too narrow for any level print.
    let level = picture([1200, 800], 1).unwrap();
    let fit = sketch::fit(&tower("1/4 page"), PAGE, std::slice::from_ref(&level)).unwrap();
    let shape = fit.wanted[0].cropped.unwrap();
    assert_eq!(shape, Shape::Square);
    assert!(faults(&fit).contains("reed is cropped to a square"), "{}", faults(&fit));
    // Where its own form fits as well, it stays; so does a picture with no dots to spare, and a print on
    // hand.
    let wide = sketch::fit(&tower("3/4 page"), PAGE, &[level]).unwrap();
    assert_eq!(wide.wanted[0].cropped, None);
    let small = picture([540, 360], 1).unwrap();
    assert!(sketch::fit(&tower("1/4 page"), PAGE, &[small]).is_err());
    let folder = tempfile::tempdir().unwrap();
    let all = [("reed.jpg", [1200, 800], 1)];
    let print = pictures(folder.path(), &all, "reed.jpg: {size: 6 x 4}\n").unwrap();
    assert!(sketch::fit(&tower("1/4 page"), PAGE, &print).is_err());
}

#[test]
fn the_more_is_cropped_away_the_more_points_it_costs() {
    let lost = |dots| {
        let photo = picture(dots, 1).unwrap();
        let fit = sketch::fit(&tower("1/4 page"), PAGE, &[photo]).unwrap();
        let crop = fit.rank.faults.iter().find(|(fault, _)| fault.contains("is cropped"));
        crop.map_or(0.0, |(_, lost)| *lost)
    };
    let costs = [[1200, 800], [1350, 800], [1500, 800]].map(lost);
    assert!(costs.is_sorted() && costs[0] >= 0.5 && costs[0] < costs[2], "{costs:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]
    /// Whatever is cropped to whatever form, within its bounds: the focus is on the print, no cut is nearer
    /// to it than a quarter of the picture, and a print has 240 dots an inch.
    #[test]
    fn no_crop_cuts_near_the_focus(
        dots in [400_u32..1600, 400_u32..1600],
        focus in [0.0..=1.0_f64, 0.0..=1.0_f64],
        shape in 0_usize..4,
        level in 0_usize..6,
    ) {
        static FILES: std::sync::OnceLock<Wanted> = std::sync::OnceLock::new();
        let any = FILES.get_or_init(|| picture([1200, 800], 1).unwrap()).clone();
        let (file, path) = any.picture.clone().unwrap();
        let mut file = (*file).clone();
        file.stored = dots;
        let photo = Wanted { picture: Some((file.into(), path)), ..any };
        let shape = [Shape::Level, Shape::Upright, Shape::Square, Shape::Panorama][shape];
        let Some(print) = photo.as_shape(shape, level) else { return Ok(()) };
        let [least, most] = print.bounds;
        for size in [print.size, least, most, [least[0], most[1]], [most[0], least[1]]] {
            let field = size.map(|side| side as f64 / 16.0);
            let shown = crop(dots, field, focus);
            for axis in [0, 1] {
                let side = f64::from(dots[axis]);
                let point = focus[axis] * side;
                let (from, to) = (shown.at[axis], shown.at[axis] + shown.size[axis]);
                prop_assert!(from <= point + 1e-6 && point <= to + 1e-6);
                prop_assert!(from < 1e-6 || point - from >= side / 4.0 - 1e-6, "{size:?} {shown:?}");
                prop_assert!(to > side - 1e-6 || to - point >= side / 4.0 - 1e-6, "{size:?} {shown:?}");
                prop_assert!(shown.size[axis] / field[axis] >= 240.0 - 1e-6);
            }
        }
    }
}

#[test]
fn what_is_noted_of_pictures_goes_into_the_spec() {
    let folder = tempfile::tempdir().unwrap();
    let all = [
        ("crane.jpg", [1200, 800], 1),
        ("pike.jpg", [1000, 1000], 1),
        ("reed.jpg", [1200, 800], 6),
    ];
    let notes = "crane.jpg: {focus: [0.6, 0.3], facing: left}\nreed.jpg:\n  size: 4 x 6\n";
    let asked = pictures(folder.path(), &all, notes).unwrap();
    assert_eq!((asked[0].focus, asked[0].facing), (Some([0.6, 0.3]), Some(Facing::Left)));
    let sketches: Vec<Sketch> =
        sketch::texts().iter().map(|text| Sketch::read(text).unwrap()).collect();
    let offers = sketch::offers(&sketches, PAGE, &asked);
    let title = FontBook::default().find("display").unwrap();
    let words = Words { name: "Pond".to_owned(), title: "Pond".to_owned(), story: None };
    let text = |offers: &sketch::Offers| -> Vec<String> {
        let of = |fit: &Fit| sketch::spec(fit, &Papers::usual(), &words, &title);
        offers.fits.iter().map(of).collect()
    };
    let specs = text(&offers);
    assert!(!specs.is_empty());
    for spec in &specs {
        let line = |name: &str| {
            spec.lines().find(|line| line.starts_with(&format!("  {name}: {{"))).unwrap()
        };
        assert!(
            line("crane").contains("facing: left, file: \"pond/crane.jpg\", focus: [0.6, 0.3]}"),
            "{spec}"
        );
        assert!(line("pike").ends_with("file: \"pond/pike.jpg\"}"), "{spec}");
        // A print on hand is not printed anew.
        assert_eq!(line("reed"), "  reed: {size: 4 x 6}");
        cutleaf::description::parse(spec).unwrap_or_else(|problems| panic!("{problems}\n{spec}"));
    }
    assert_eq!(text(&sketch::offers(&sketches, PAGE, &asked)), specs);
}

#[test]
fn what_can_t_be_noted_is_told_with_its_place() {
    let names = ["crane.jpg", "reed.jpg"].map(str::to_owned);
    for (text, line, told) in [
        ("cran.jpg: {facing: left}\n", 1, "did you mean `crane.jpg`?"),
        ("crane.jpg:\n  fokus: [0.5, 0.5]\n", 2, "focus"),
        ("crane.jpg:\n  focus: [0.5, 1.5]\n", 2, "each from 0 to 1"),
        ("crane.jpg:\n  facing: leftt\n", 2, "`left`"),
        ("reed.jpg: {}\ncrane.jpg: {size: 4 x}\n", 2, "size"),
        ("crane.jpg: {size: 400 x 600}\n", 1, "write sides of 1/2 in to 50 in"),
        ("crane.jpg: {}\ncrane.jpg: {}\n", 2, "written twice"),
    ] {
        let problems = Notes::read(text, &names).unwrap_err();
        let first = &problems.0[0];
        let said = format!("{} {}", first.message, first.help);
        assert!(said.contains(told), "{text}: {said}");
        let at = first.place.and_then(|place| place.line).map(std::num::NonZeroU64::get);
        assert_eq!(at, Some(line), "{text}: {said}");
    }
}
