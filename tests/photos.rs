//! Photos from files: turned, cropped and printed at exact size, JPEG data as it is.

use crate::support::line_number;
use crate::support::pictures;

use std::path::Path;
use std::sync::Arc;

use cutleaf::description::{self, Problems};
use cutleaf::emit;
use cutleaf::emit::photos::photos_pdf;
use cutleaf::layout::{Layout, lay_out};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::Rect;
use cutleaf::picture::PictureFile;
use cutleaf::picture::dots::printed;
use cutleaf::picture::frame::{crop, onto_field, seen, stored_part};
use cutleaf::plan::{self, Chain, Redo};
use cutleaf::record::Record;
use kurbo::Point;
use proptest::prelude::*;
use tempfile::TempDir;

fn folder() -> TempDir {
    tempfile::tempdir().expect("a folder")
}

fn laid_out(folder: &Path, photos: &str, printer: &str) -> Result<Layout, Problems> {
    let names: Vec<&str> = photos
        .lines()
        .filter_map(|line| line.trim().split_once(':'))
        .map(|(name, _)| name)
        .collect();
    let yaml = format!(
        "name: photos\npapers: {{chalk: {{color: \"#f4efe3\", sheets: {{12 x 12: 4}}}}}}\n{printer}\n\
         photos:\n{photos}\nleft:\n  base: chalk\n  pieces:\n    - bank: {{photos: [{}], run: grid}}\n",
        names.join(", ")
    );
    lay_out(&description::parse(&yaml)?, folder, &FontBook::new(vec![]))
}

fn record_of(folder: &Path, photos: &str, printer: &str) -> Result<(Layout, Record), Problems> {
    let layout = laid_out(folder, photos, printer)?;
    let record = plan::record(&layout)?;
    Ok((layout, record))
}

fn files(layout: &Layout) -> Vec<Arc<PictureFile>> {
    layout.pictures.iter().map(|framed| Arc::clone(&framed.file)).collect()
}

fn holds(bytes: &[u8], part: &[u8]) -> bool {
    bytes.windows(part.len()).any(|window| window == part)
}

#[test]
fn every_exif_turn_shows_the_picture_upright() {
    let folder = folder();
    for orientation in 1..=8 {
        // Stored so that it is seen with its patch at the top left.
        let mut image = image::DynamicImage::ImageRgb8(pictures::drawn(60, 40));
        let turn = image::metadata::Orientation::from_exif(orientation).expect("1 to 8");
        // Turning back: each turn but the quarter turns undoes itself.
        let back = match orientation {
            6 => 8,
            8 => 6,
            other => other,
        };
        image.apply_orientation(image::metadata::Orientation::from_exif(back).expect("1 to 8"));
        let mut png = std::io::Cursor::new(Vec::new());
        image.write_to(&mut png, image::ImageFormat::Png).expect("encoded");
        let name = format!("turn-{orientation}.png");
        let path = pictures::write(folder.path(), &name, png.get_ref());
        let mut file = PictureFile::open(&path, &name).expect("sound");
        file.orientation = turn.to_exif();
        assert_eq!(file.seen(), [60, 40], "{orientation}");
        let whole = Rect { at: [0.0; 2], size: [60.0, 40.0] };
        let (dots, _) = printed(&file, &whole).expect("decoded");
        assert_eq!(dots.samples, pictures::drawn(60, 40).into_raw(), "{orientation}");
        // A crop's dots are those of the same place in the whole.
        let part = Rect { at: [11.0, 7.0], size: [20.0, 30.0] };
        let (dots, inside) = printed(&file, &part).expect("decoded");
        assert_eq!((dots.size, inside.at), ([20, 30], [0.0, 0.0]), "{orientation}");
        let same = image::imageops::crop_imm(&pictures::drawn(60, 40), 11, 7, 20, 30).to_image();
        assert_eq!(dots.samples, same.into_raw(), "{orientation}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn a_crop_has_the_prints_form_and_holds_the_focus(
        dots in [1_u32..6000, 1_u32..6000],
        field in [0.25_f64..12.0, 0.25_f64..12.0],
        focus in [0.0_f64..=1.0, 0.0_f64..=1.0],
    ) {
        let part = crop(dots, field, focus);
        let form = (part.size[0] / part.size[1]) / (field[0] / field[1]);
        prop_assert!((form - 1.0).abs() < 1e-9);
        let full = (0..2).any(|axis| (part.size[axis] - f64::from(dots[axis])).abs() < 1e-6);
        prop_assert!(full, "the crop could be larger");
        for axis in 0..2 {
            let whole = f64::from(dots[axis]);
            prop_assert!(part.at[axis] >= 0.0 && part.at[axis] + part.size[axis] <= whole + 1e-9);
            let focus = whole * focus[axis];
            prop_assert!(part.at[axis] <= focus + 1e-9);
            prop_assert!(focus <= part.at[axis] + part.size[axis] + 1e-9);
        }
    }

    #[test]
    fn the_stored_part_covers_the_field_and_little_more(
        stored in [8_u32..3000, 8_u32..3000],
        orientation in 1_u8..=8,
        field in [0.5_f64..6.0, 0.5_f64..6.0],
        focus in [0.0_f64..=1.0, 0.0_f64..=1.0],
    ) {
        let part = crop(seen(stored, orientation), field, focus);
        let lay = onto_field(stored, orientation, &part, field);
        let [left, top, width, height] = stored_part(stored, orientation, &part).map(f64::from);
        let corner = |x: f64, y: f64| lay * Point::new(x / f64::from(stored[0]), y / f64::from(stored[1]));
        let shown = kurbo::Rect::from_points(corner(left, top), corner(left + width, top + height));
        let dot = field[0] / part.size[0];
        prop_assert!(shown.x0 <= 1e-5 && shown.y0 <= 1e-5);
        prop_assert!(shown.x1 >= field[0] - 1e-5 && shown.y1 >= field[1] - 1e-5);
        prop_assert!(shown.x0 > -1.01 * dot && shown.x1 < field[0] + 1.01 * dot);
        prop_assert!(shown.y0 > -1.01 * dot && shown.y1 < field[1] + 1.01 * dot);
    }
}

#[test]
fn jpeg_data_passes_untouched_and_once() {
    let folder = folder();
    let bytes = pictures::jpeg(folder.path(), "a.jpg", [900, 1350], 6);
    let photos =
        "  one: {size: 4 x 3, file: a.jpg}\n  two: {size: 3 x 4, border: 1/8, file: a.jpg}";
    let (layout, record) = record_of(folder.path(), photos, "").expect("sound");
    let label = FontBook::default().find("text").expect("built in");
    let pdf = photos_pdf(&record, &files(&layout), &label).expect("drawn");
    assert!(holds(&pdf, &bytes));
    assert!(pdf.len() < bytes.len() + 40_000, "{} for {}", pdf.len(), bytes.len());
    assert_eq!(pdf, photos_pdf(&record, &files(&layout), &label).expect("drawn again"));
    let picture = record.photos[0].picture.as_ref().expect("a picture");
    assert_eq!((picture.dots, picture.orientation), ([900, 1350], 6));
    assert_eq!(picture.crop.size, [1200.0, 900.0]);
    assert_eq!(picture.resolution, 300.0);
}

/// Readers of documents decode JPEG data up to a number of dots a side; a longer picture goes in as its dots.
#[test]
fn a_jpeg_that_is_too_long_for_readers_goes_in_as_dots() {
    let label = FontBook::default().find("text").expect("built in");
    for (tall, is_passed_on) in [(65_500, true), (65_501, false), (65_535, false)] {
        let folder = folder();
        let bytes = pictures::jpeg(folder.path(), "thread.jpg", [1, tall], 1);
        let photos = "  thread: {size: 1 x 4, file: thread.jpg, allow low resolution: true}";
        let (layout, record) = record_of(folder.path(), photos, "").expect("sound");
        let pdf = photos_pdf(&record, &files(&layout), &label).expect("drawn");
        assert_eq!(holds(&pdf, &bytes), is_passed_on, "{tall}");
        assert_eq!(holds(&pdf, b"/DCTDecode"), is_passed_on, "{tall}");
        assert_eq!(holds(&pdf, b"/Predictor"), !is_passed_on, "{tall}");
    }
}

#[test]
fn the_focus_moves_the_crop() {
    let folder = folder();
    pictures::jpeg(folder.path(), "a.jpg", [2000, 1000], 1);
    let crop_at = |focus: &str| {
        let photos = format!("  one: {{size: 3 x 3, file: a.jpg{focus}}}");
        let (_, record) = record_of(folder.path(), &photos, "").expect("sound");
        record.photos[0].picture.as_ref().expect("a picture").crop.at
    };
    assert_eq!(crop_at(""), [500.0, 0.0]);
    assert_eq!(crop_at(", focus: [0.3, 0.5]"), [100.0, 0.0]);
    assert_eq!(crop_at(", focus: [1, 0]"), [1000.0, 0.0]);
}

#[test]
fn resolution_at_size_is_judged() {
    let folder = folder();
    pictures::jpeg(folder.path(), "a.jpg", [480, 720], 1);
    let photo = |size: &str, more: &str| format!("  one: {{size: {size}, file: a.jpg{more}}}");
    let kinds = |size: &str, more: &str| {
        let layout = laid_out(folder.path(), &photo(size, more), "").expect("sound");
        layout.warnings.into_iter().map(|warning| warning.kind).collect::<Vec<_>>()
    };
    assert_eq!(kinds("2 x 3", ""), Vec::<String>::new());
    assert_eq!(kinds("2 1/4 x 3 3/8", ""), ["low resolution"]);
    assert_eq!(kinds("4 x 1 1/2", ""), ["low resolution", "cropped hard"]);
    let problems = laid_out(folder.path(), &photo("5 x 7 1/2", ""), "").expect_err("too coarse");
    assert!(problems.0[0].message.contains("96 dots an inch"), "{}", problems.0[0].message);
    assert!(problems.0[0].help.contains("allow low resolution"), "{}", problems.0[0].help);
    assert_eq!(kinds("5 x 7 1/2", ", allow low resolution: true"), Vec::<String>::new());
}

#[test]
fn a_photo_that_lies_on_no_page_is_told() {
    let folder = folder();
    pictures::jpeg(folder.path(), "a.jpg", [480, 720], 1);
    let yaml = "name: photos\nphotos:\n  one: {size: 2 x 3, file: a.jpg}\n  two: {size: 2 x 3, file: a.jpg}\n\
                left: {pieces: [{photo: {photo: two}}]}\n";
    let spec = description::parse(yaml).expect("a spec");
    let layout = lay_out(&spec, folder.path(), &FontBook::new(vec![])).expect("sound");
    let told: Vec<_> =
        layout.warnings.iter().map(|one| (one.kind.as_str(), line_number(one.line))).collect();
    assert_eq!(told, [("not placed", 3)]);
}

#[test]
fn prints_lie_apart_within_the_printers_reach() {
    let folder = folder();
    pictures::jpeg(folder.path(), "a.jpg", [1000, 1500], 1);
    let photos: String = (0..9)
        .map(|number| format!("  p{number}: {{size: {} x 3, file: a.jpg}}\n", 2 + number % 3))
        .collect();
    let (_, record) = record_of(folder.path(), &photos, "printer: {margin: 1/4}").expect("sound");
    let mut seen = Vec::new();
    for sheet in &record.prints {
        assert_eq!(sheet.size, [8.5, 11.0]);
        let boxes: Vec<kurbo::Rect> = sheet
            .placed
            .iter()
            .map(|placed| {
                seen.push(placed.piece.clone());
                let points = placed.rings[0].iter().map(|point| Point::new(point[0], point[1]));
                points.fold(None, |all: Option<kurbo::Rect>, point| {
                    let one = kurbo::Rect::from_points(point, point);
                    Some(all.map_or(one, |all| all.union(one)))
                })
            })
            .map(|found| found.expect("a ring"))
            .collect();
        for (number, one) in boxes.iter().enumerate() {
            assert!(one.x0 >= 0.25 && one.y0 >= 0.25 && one.x1 <= 8.25 && one.y1 <= 10.75);
            for other in &boxes[..number] {
                let common = one.intersect(*other);
                assert!(common.width() < 1e-6 || common.height() < 1e-6);
            }
        }
    }
    seen.sort();
    assert_eq!(seen, (0..9).map(|number| format!("left.p{number}")).collect::<Vec<_>>());
}

#[test]
fn a_print_may_fill_its_paper() {
    let folder = folder();
    pictures::jpeg(folder.path(), "a.jpg", [1200, 1800], 1);
    let printer = "printer: {photo paper: 4 x 6}";
    let bordered = "  one: {size: 4 x 6, border: 1/4, file: a.jpg}";
    let (_, record) = record_of(folder.path(), bordered, printer).expect("the border is white");
    assert_eq!((record.prints.len(), record.prints[0].cuts.len()), (1, 0));
    let bare = "  one: {size: 4 x 6, file: a.jpg}";
    let problems = record_of(folder.path(), bare, printer).expect_err("the rim stays white");
    assert_eq!(problems.exit_code(), 3);
    assert!(problems.0[0].message.contains("4 x 6"), "{}", problems.0[0].message);
    let borderless = "printer: {photo paper: 6 x 4, photo margin: 0}";
    let (_, record) = record_of(folder.path(), bare, borderless).expect("the printer reaches all");
    assert_eq!(record.prints[0].size, [4.0, 6.0]);
}

#[test]
fn the_pictures_show_what_the_files_show() {
    let folder = folder();
    pictures::jpeg(folder.path(), "a.jpg", [1200, 800], 1);
    let photos = "  one: {size: 4 x 2 1/2, file: a.jpg}\n  two: {size: 2 x 2}";
    let (layout, record) = record_of(folder.path(), photos, "").expect("sound");
    let made = emit::all(&record, &layout.fonts, &files(&layout)).expect("drawn");
    let file = |name: &str| {
        let found = made.iter().find(|(path, _)| path == name);
        found.map(|(_, bytes)| String::from_utf8_lossy(bytes).into_owned()).expect("written")
    };
    let proof = file("proof.html");
    assert_eq!(proof.matches("data:image/jpeg;base64,").count(), 1, "one copy in the proof");
    assert!(proof.contains("Photos without a file are stand-ins"));
    assert!(proof.contains("href=\"#spread-picture-0\""), "the prints show the same copy");
    assert!(file("spread.svg").contains("data:image/jpeg;base64,"));
    assert!(file("guide.pdf").starts_with("%PDF"));
    let again = emit::all(&record, &layout.fonts, &files(&layout)).expect("drawn again");
    assert_eq!(made, again);
}

#[test]
fn a_photo_is_printed_again_from_the_same_file() {
    let folder = folder();
    pictures::jpeg(folder.path(), "a.jpg", [1200, 1800], 1);
    let photos = "  one: {size: 4 x 6, file: a.jpg}\n  two: {size: 2 x 3, file: a.jpg}";
    let (_, record) = record_of(folder.path(), photos, "").expect("sound");
    let fonts = FontBook::new(vec![]);
    let redone = |wanted: Redo| {
        let wanted = [wanted];
        let mut layout = plan::redo_layout(&Chain::of(record.clone()), &wanted, &fonts)?;
        plan::add_photos(&mut layout, &Chain::of(record.clone()), &wanted, folder.path())?;
        plan::record(&layout)
    };
    let one = redone(Redo::Piece("left.two".into())).expect("a redo");
    assert_eq!(one.prints.len(), 1);
    assert_eq!(one.prints[0].placed.len(), 1);
    assert_eq!(one.photos[0].picture, record.photos[1].picture);
    assert!(one.pieces.is_empty());
    let sheet = record.prints[0].id.clone();
    let all = redone(Redo::Sheet(sheet)).expect("a redo");
    assert_eq!(all.photos.len(), record.prints[0].placed.len());
    let problems = redone(Redo::Piece("left.tow".into())).expect_err("no such photo");
    assert!(problems.0[0].help.contains("left.two"), "{}", problems.0[0].help);
    pictures::jpeg(folder.path(), "a.jpg", [1200, 1801], 1);
    let problems = redone(Redo::Piece("left.two".into())).expect_err("another picture");
    assert!(problems.0[0].message.contains("has changed"), "{}", problems.0[0].message);
}
