//! Photos that can't be printed: each ends in a message that names the file, soon and in little memory.

use crate::support::pictures;

use std::path::Path;
use std::time::{Duration, Instant};

use cutleaf::description::{self, Problem};
use cutleaf::emit;
use cutleaf::layout::lay_out;
use cutleaf::lettering::fonts::FontBook;
use cutleaf::plan;

const AT_ONCE: Duration = Duration::from_secs(1);

/// What is said about one photo.
fn problem(folder: &Path, photo: &str) -> Problem {
    let yaml = format!(
        "name: bad\npapers: {{chalk: {{color: \"#ffffff\", sheets: {{12 x 12: 1}}}}}}\nphotos:\n  one: {photo}\n\
         left: {{pieces: [{{photo: {{photo: one}}}}]}}\n"
    );
    let started = Instant::now();
    let found = description::parse(&yaml)
        .and_then(|spec| lay_out(&spec, folder, &FontBook::new(vec![])))
        .map(|layout| layout.warnings)
        .expect_err("this photo can't be printed");
    assert!(started.elapsed() < AT_ONCE, "{:?} for {photo}", started.elapsed());
    let first = found.0.into_iter().next().expect("a problem");
    assert!(first.place.is_some(), "no place: {}", first.message);
    assert!(!first.help.is_empty(), "no help: {}", first.message);
    first
}

#[track_caller]
fn says(folder: &Path, photo: &str, words: &str) {
    let problem = problem(folder, photo);
    assert!(problem.message.contains(words), "{photo}: {}", problem.message);
}

/// A PNG of one chunk that claims a size; `bits` a sample, three samples a dot.
fn claiming_png(width: u32, height: u32, bits: u8) -> Vec<u8> {
    let mut header = b"IHDR".to_vec();
    header.extend(width.to_be_bytes());
    header.extend(height.to_be_bytes());
    header.extend([bits, 2, 0, 0, 0]);
    // ISO/IEC 15948, annex D: the check of a chunk.
    let mut check = u32::MAX;
    for byte in &header {
        check ^= u32::from(*byte);
        for _ in 0..8 {
            check = if check & 1 == 1 { 0xedb8_8320 ^ (check >> 1) } else { check >> 1 };
        }
    }
    let mut png = b"\x89PNG\r\n\x1a\n\0\0\0\x0d".to_vec();
    png.extend(&header);
    png.extend((!check).to_be_bytes());
    png.extend(b"\0\0\0\x01IDAT\0\0\0\0\0\0\0\0\0IEND\xae\x42\x60\x82");
    png
}

/// A JPEG's header that claims a size.
fn claiming_jpeg(folder: &Path, size: [u16; 2]) -> Vec<u8> {
    let mut bytes = pictures::jpeg(folder, "small.jpg", [16, 16], 1);
    let frame = bytes.windows(2).position(|pair| pair == [0xff, 0xc0]).expect("a frame");
    bytes[frame + 5..frame + 7].copy_from_slice(&size[1].to_be_bytes());
    bytes[frame + 7..frame + 9].copy_from_slice(&size[0].to_be_bytes());
    bytes
}

#[test]
fn a_file_that_claims_to_be_huge_is_refused_at_once() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path();
    pictures::write(path, "huge.png", &claiming_png(60_000, 60_000, 8));
    pictures::write(path, "huge.jpg", &claiming_jpeg(path, [60_000, 60_000]));
    pictures::write(path, "large.png", &claiming_png(10_000, 10_000, 8));
    pictures::write(path, "large.jpg", &claiming_jpeg(path, [10_000, 10_000]));
    pictures::write(path, "deep.png", &claiming_png(9_000, 9_000, 16));
    says(path, "{size: 4 x 4, file: deep.png}", "claims 9000 x 9000 dots, more than can be held");
    says(path, "{size: 4 x 4, file: huge.png}", "`huge.png` claims 60000 x 60000 dots");
    says(path, "{size: 4 x 4, file: huge.jpg}", "`huge.jpg` claims 60000 x 60000 dots");
    says(path, "{size: 4 x 4, file: large.png}", "can't hold the 10000 x 10000 dots");
    says(path, "{size: 4 x 4, file: large.jpg}", "can't hold the 10000 x 10000 dots");
}

#[test]
fn broken_files_are_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path();
    let whole = pictures::jpeg(path, "whole.jpg", [600, 600], 1);
    pictures::write(path, "half.jpg", &whole[..whole.len() / 2]);
    pictures::write(path, "head.jpg", &whole[..60]);
    pictures::write(path, "empty.jpg", b"");
    pictures::write(path, "words.jpg", b"name: not a picture\n");
    pictures::write(path, "phone.jpg", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic");
    pictures::write(path, "short.tif", b"II\x2a\0\x08\0\0\0\xff\xff");
    pictures::write(path, "short.webp", b"RIFF\x10\0\0\0WEBPVP8 ");
    for (file, words) in [
        ("half.jpg", "ends in the middle"),
        ("head.jpg", "`head.jpg` is broken"),
        ("empty.jpg", "`empty.jpg` is not a JPEG"),
        ("words.jpg", "`words.jpg` is not a JPEG"),
        ("phone.jpg", "`phone.jpg` is not a JPEG"),
        ("short.tif", "`short.tif` is broken"),
        ("short.webp", "`short.webp` is broken"),
        ("none.jpg", "there is no file `none.jpg`"),
    ] {
        says(path, &format!("{{size: 2 x 2, file: {file}}}"), words);
    }
    assert!(problem(path, "{size: 2 x 2, file: phone.jpg}").help.contains("save it as JPEG"));
}

#[test]
fn every_cut_of_a_file_is_survived() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path();
    let image = image::DynamicImage::ImageRgb8(pictures::drawn(40, 30));
    for format in [
        image::ImageFormat::Jpeg,
        image::ImageFormat::Png,
        image::ImageFormat::Tiff,
        image::ImageFormat::WebP,
    ] {
        let mut bytes = std::io::Cursor::new(Vec::new());
        image.write_to(&mut bytes, format).expect("encoded");
        let bytes = bytes.into_inner();
        for end in (0..bytes.len()).step_by(1 + bytes.len() / 60) {
            let file = pictures::write(path, "cut", &bytes[..end]);
            if let Ok(opened) = cutleaf::picture::PictureFile::open(&file, "cut") {
                let whole = cutleaf::model::Rect { at: [0.0; 2], size: [40.0, 30.0] };
                let _ = cutleaf::picture::dots::small_copy(&opened, &whole, [20, 15]);
                let _ = cutleaf::picture::dots::printed(&opened, &whole);
            }
        }
    }
}

#[test]
fn dots_that_are_broken_behind_a_sound_header_name_the_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path();
    let mut bytes = std::io::Cursor::new(Vec::new());
    let image = image::DynamicImage::ImageRgb8(pictures::drawn(600, 600));
    image.write_to(&mut bytes, image::ImageFormat::Png).expect("encoded");
    let bytes = bytes.into_inner();
    pictures::write(path, "late.png", &bytes[..bytes.len() / 2]);
    let yaml = "name: late\nphotos: {one: {size: 2 x 2, file: late.png}}\n\
                left: {pieces: [{photo: {photo: one}}]}\n";
    let spec = description::parse(yaml).expect("a spec");
    let layout = lay_out(&spec, path, &FontBook::new(vec![])).expect("the header is sound");
    let record = plan::record(&layout).expect("nothing to cut");
    let files = [std::sync::Arc::clone(&layout.pictures[0].file)];
    let problem = emit::all(&record, &layout.fonts, &files).expect_err("half a picture");
    assert!(problem.message.contains("`late.png` is broken"), "{}", problem.message);
}

#[test]
fn paths_stay_in_the_specs_folder() {
    let folder = tempfile::tempdir().expect("a folder");
    let inside = folder.path().join("spec");
    std::fs::create_dir_all(inside.join("more")).expect("made");
    pictures::jpeg(folder.path(), "out.jpg", [600, 600], 1);
    for file in ["../out.jpg", "more/../../out.jpg", "/etc/hostname", "''"] {
        says(&inside, &format!("{{size: 2 x 2, file: {file}}}"), "leads out of the spec's folder");
    }
    says(&inside, "{size: 2 x 2, file: more}", "`more` is not a file");
}

#[test]
fn what_leaves_no_picture_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path();
    pictures::jpeg(path, "a.jpg", [1200, 1200], 1);
    says(path, "{size: 2 x 2, border: 1, file: a.jpg}", "the border leaves no picture");
    says(path, "{size: 0 x 2, file: a.jpg}", "not more than 0");
    for focus in ["[1.2, 0.5]", "[0.5, -0.1]", "[0.5]", "[0.1, 0.2, 0.3]"] {
        let photo = format!("{{size: 2 x 2, file: a.jpg, focus: {focus}}}");
        says(path, &photo, "the focus is a point of the picture");
    }
    says(path, "{size: 2 x 2, file: a.jpg, focus: [.nan, 0.5]}", "`.nan` is not a number");
    says(path, "{size: 2 x 2, focus: [0.5, 0.5]}", "names no file");
}
