//! Banks whose photos end flush: cropped, enlarged or matted, in rows, columns and grids.

use proptest::prelude::*;

use crate::support::spreads::layout_of;
use cutleaf::description::BankBy;
use cutleaf::layout::Layout;
use cutleaf::layout::fit::flush::{Flush, FlushLine, Print};
use cutleaf::model::FittedKind;
use cutleaf::model::length::{Length, Units};

const PICTURES: &str = "name: Wall
papers: {moss: {color: '#5f7a4f', sheets: {12 x 12: 9}}}
photos:
";

/// A page with a bank of photos, each by its size and what else it says.
fn bank(photos: &[&str], keys: &str) -> String {
    let listed = photos.iter().enumerate();
    let listed: String = listed.map(|(n, photo)| format!("  p{n}: {{size: {photo}}}\n")).collect();
    let names: Vec<String> = (0..photos.len()).map(|n| format!("p{n}")).collect();
    let names = names.join(", ");
    format!(
        "{PICTURES}{listed}single:\n  base: moss\n  pieces:\n    - panel: {{id: sky, paper: moss, size: 1 x 1}}\n    - bank: {{id: wall, photos: [{names}], {keys}}}\n"
    )
}

const FILE: &str = "file: kite-day/crest.jpg, allow low resolution: true";

fn photo_sizes(layout: &Layout) -> Vec<[f64; 2]> {
    layout.photos.iter().map(|photo| photo.size.to_inches()).collect()
}

#[test]
fn rows_of_photos_end_flush() {
    let with_file = |size: &str| format!("{size}, {FILE}");
    let [four, three, five] = ["4 x 6", "3 x 3", "3 1/2 x 5"].map(with_file);
    let photos: [&str; 3] = [&four, &three, &five];
    // Keys; the sizes that photos get.
    let cases: [(&str, [[f64; 2]; 3]); 6] = [
        // To the lowest, and 10 1/2 in as they are.
        ("align: heights", [[4.0, 3.0], [3.0, 3.0], [3.5, 3.0]]),
        // 9 in and two gaps: 1/2 in less each.
        ("align: heights, width: 9 1/2, gap: 1/4", [[3.5, 3.0], [2.5, 3.0], [3.0, 3.0]]),
        ("align: heights, height: 2 1/2", [[4.0, 2.5], [3.0, 2.5], [3.5, 2.5]]),
        ("align: widths, gap: 1/8", [[3.0, 6.0], [3.0, 3.0], [3.0, 5.0]]),
        // The mean of 6, 3 and 5 in is 4 11/16 in on the ruler, each photo in its shape.
        ("align: heights, by: enlarge", [[3.125, 4.6875], [4.6875, 4.6875], [3.25, 4.6875]]),
        // A mat round all of them is part of the width.
        (
            "align: heights, width: 10, mats: [{paper: moss, reveal: 1/4}]",
            [[3.6875, 3.0], [2.625, 3.0], [3.1875, 3.0]],
        ),
    ];
    for (keys, sizes) in cases {
        let layout =
            layout_of(&bank(&photos, keys)).unwrap_or_else(|problems| panic!("{keys}: {problems}"));
        let found = photo_sizes(&layout);
        let near = found.iter().flatten().zip(sizes.iter().flatten());
        // A mark this way or that, where photos share what is no even number.
        assert!(
            near.clone().all(|(one, other)| (one - other).abs() <= 1.0 / 16.0),
            "{keys}: {found:?}"
        );
        let down = usize::from(keys.contains("widths"));
        let cross = 1 - down;
        assert!(found.windows(2).all(|pair| pair[0][cross] == pair[1][cross]), "{keys}: {found:?}");
        for (photo, framed) in layout.photos.iter().zip(&layout.pictures) {
            let [width, height] = photo.size.to_inches();
            let shape = framed.crop.size[0] / framed.crop.size[1];
            assert!((shape - width / height).abs() < 1e-6, "{keys}: cropped to its size");
        }
    }
    let row = |keys: &str| -> f64 {
        let layout = layout_of(&bank(&photos, keys)).expect("sound");
        let ends = layout.photos.iter().map(|photo| photo.at[0] + photo.size.to_inches()[0]);
        ends.fold(0.0, f64::max)
    };
    assert_eq!(row("align: heights, width: 9 1/2, gap: 1/4"), 9.5);
    assert_eq!(row("align: heights, by: enlarge, width: 11, gap: 1/8"), 11.0);
    assert_eq!(row("align: heights, by: enlarge, width: fit, gap: 1/8, at: {right of: sky}"), 12.0);
}

/// Common practice, no source: photos 4 in wide, 4 and 5 1/2 in high, with a reveal of 1/4 in need a mat of
/// 4 1/2 x 10 in one under the other; beside each other mats of one height, 6 in.
#[test]
fn mats_make_up_for_what_photos_lack() {
    let photos = ["4 x 4", "4 x 5 1/2"];
    let mats = |keys: &str| -> Vec<[f64; 2]> {
        let yaml = bank(&photos, &format!("{keys}, mats: [{{paper: moss, reveal: 1/4}}]"));
        let layout = layout_of(&yaml).unwrap_or_else(|problems| panic!("{keys}: {problems}"));
        let mats = layout.pieces.iter().filter(|piece| piece.kind == "mat");
        mats.map(|piece| piece.size.to_inches()).collect()
    };
    assert_eq!(mats("run: down"), [[4.5, 10.0]]);
    assert_eq!(mats("align: widths, by: mat"), [[4.5, 4.5], [4.5, 6.0]]);
    assert_eq!(mats("align: heights, by: mat"), [[4.5, 6.0], [4.5, 6.0]]);
    assert_eq!(mats("align: heights, by: mat, width: 10 1/4, gap: 1/4"), [[5.0, 6.0], [5.0, 6.0]]);
    let yaml = bank(&photos, "align: heights, by: mat, mats: [{paper: moss, reveal: 1/4}]");
    let layout = layout_of(&yaml).expect("sound");
    // The reveal above and below the lower photo is 1 in.
    assert_eq!(layout.photos[0].at, [0.25, 1.0]);
    assert_eq!(photo_sizes(&layout), [[4.0, 4.0], [4.0, 5.5]]);
    assert_eq!(layout.fitted[0].kind, FittedKind::Bank);
}

#[test]
fn a_print_on_hand_is_trimmed_only_if_it_may_be() {
    let layout = layout_of(&bank(&["4 x 6, trim: true", "3 x 3"], "align: heights")).err();
    assert!(
        layout.is_some_and(|problems| problems.to_string().contains("`p1` is a print on hand"))
    );
    let layout = layout_of(&bank(&["4 x 6, trim: true", "3 x 3, trim: true"], "align: heights"));
    let layout = layout.unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(photo_sizes(&layout), [[4.0, 3.0], [3.0, 3.0]]);
    let told: Vec<&str> = layout.warnings.iter().map(|warning| warning.message.as_str()).collect();
    let trimmed = "the print `p0` of 4 x 6 in is trimmed to 4 x 3 in: 1 1/2 in off the top and as much off the bottom";
    assert!(told.contains(&trimmed), "{told:?}");
    assert!(!told.iter().any(|message| message.contains("`p1`")), "{told:?}");
}

#[test]
fn a_print_to_trim_says_how_much_goes_on_which_side() {
    let row = "align: heights";
    for (first, second, keys, wanted) in [
        ("4 x 6, trim: true, focus: [0.5, 0]", "3 x 3", row, "3 in off the bottom"),
        ("4 x 6, trim: true, focus: [0.5, 1]", "3 x 3", row, "3 in off the top"),
        (
            "4 x 6, trim: true, focus: [0.5, 0.4]",
            "3 x 3",
            row,
            "7/8 in off the top and 2 1/8 in off the bottom",
        ),
        // An odd mark goes below or to the right.
        ("4 x 6, trim: true", "3 x 5 15/16", row, "1/16 in off the bottom"),
        ("4 x 6, trim: true", "3 x 5 13/16", row, "1/16 in off the top and 1/8 in off the bottom"),
        ("6 x 4, trim: true, focus: [0, 0.5]", "3 x 3", "align: widths", "3 in off the right"),
    ] {
        let layout = layout_of(&bank(&[first, &format!("{second}, trim: true")], keys));
        let layout = layout.unwrap_or_else(|problems| panic!("{first}: {problems}"));
        let told: Vec<&str> =
            layout.warnings.iter().map(|warning| warning.message.as_str()).collect();
        assert!(
            told.iter().any(|one| one.contains("`p0`") && one.ends_with(&format!(": {wanted}"))),
            "{first}: {told:?}"
        );
    }
    let problems =
        layout_of(&bank(&["4 x 6, focus: [0.5, 0]", "4 x 6"], "align: heights, by: mat"));
    let problems = problems.expect_err("a focus of nothing").to_string();
    assert!(problems.contains("names no file"), "{problems}");
}

#[test]
fn what_can_t_end_flush_says_why() {
    let files = [format!("4 x 6, {FILE}"), format!("3 x 3, {FILE}")];
    let files: Vec<&str> = files.iter().map(String::as_str).collect();
    let cases: [(&[&str], &str, &str); 11] = [
        (
            &["4 x 6", "3 x 3"],
            "align: heights",
            "`p0` is a print on hand, which may not be cropped",
        ),
        (&["4 x 6", "3 x 3"], "align: heights, by: enlarge", "which gets no larger"),
        (
            &["4 x 6, trim: true, border: 1/8", "3 x 3, trim: true"],
            "align: heights",
            "`p0` has a white border",
        ),
        (&files, "align: heights, width: 9", "`p0` is 4 in wide at most"),
        (&files, "align: heights, height: 4", "`p1` is 3 in high at most"),
        (&files, "align: heights, run: down", "one under the other by their widths"),
        (&files, "align: heights, by: mat", "no mats"),
        (&files, "align: heights, run: grid, columns: 2", "leave `columns` out"),
        (&files, "align: heights, run: grid, height: 5", "rows are as high as they come out"),
        (&files, "align: heights, run: grid, width: 9", "no rows of these photos"),
        (&files, "width: 9", "made to end flush"),
    ];
    for (photos, keys, message) in cases {
        let problems = layout_of(&bank(photos, keys)).err();
        let told = problems.unwrap_or_else(|| panic!("accepted: {keys}")).to_string();
        assert!(told.contains(message), "{keys}: {told}");
        assert!(told.contains("line "), "{keys}: {told}");
    }
    let mut twice = bank(&files, "align: heights");
    twice.push_str("    - photo: {photo: p0, at: {top: 8}}\n");
    let told = layout_of(&twice).err().map(|problems| problems.to_string()).unwrap_or_default();
    assert!(told.contains("`p0` lies in 2 places"), "{told}");
}

#[test]
fn a_grid_has_no_holes() {
    let sizes = ["4 x 6", "6 x 4", "3 x 3", "5 x 7", "4 x 4", "3 1/2 x 5", "6 x 4"];
    let photos: Vec<String> = sizes.iter().map(|size| format!("{size}, {FILE}")).collect();
    let photos: Vec<&str> = photos.iter().map(String::as_str).collect();
    for keys in ["by: enlarge, width: 11", "by: enlarge", "by: crop", "by: crop, width: 8"] {
        let yaml = bank(&photos, &format!("align: heights, run: grid, gap: 1/8, {keys}"));
        let layout = layout_of(&yaml).unwrap_or_else(|problems| panic!("{keys}: {problems}"));
        let mut rows: Vec<(f64, f64, f64)> = Vec::new();
        for photo in &layout.photos {
            let [width, height] = photo.size.to_inches();
            assert_eq!((width * 16.0).fract(), 0.0, "{keys}");
            match rows.last_mut().filter(|(top, ..)| *top == photo.at[1]) {
                Some((_, high, end)) => {
                    assert_eq!((*high, *end + 0.125), (height, photo.at[0]), "{keys}");
                    *end += width + 0.125;
                }
                None => rows.push((photo.at[1], height, photo.at[0] + width)),
            }
        }
        assert!(rows.len() > 1, "{keys}: {rows:?}");
        assert!(rows.windows(2).all(|pair| pair[0].2 == pair[1].2), "{keys}: {rows:?}");
        assert!(rows.windows(2).all(|pair| pair[0].0 + pair[0].1 + 0.125 == pair[1].0), "{keys}");
    }
}

/// What is written off the marks is kept: gaps of 2 mm and a bank of 100 mm in a spec in inches.
#[test]
fn a_bank_is_as_long_as_is_written() {
    let photos = ["4 x 6, trim: true", "3 x 6, trim: true", "5 x 7, trim: true"];
    let mm = |[width, height]: [f64; 2]| [width * 25.4, height * 25.4];
    let ends = |layout: &Layout, axis: usize| -> Vec<f64> {
        let ends = layout.photos.iter().map(|photo| photo.at[axis] + photo.size.to_inches()[axis]);
        ends.map(|end| end * 25.4).collect()
    };
    let laid = |keys: &str| {
        layout_of(&bank(&photos, keys)).unwrap_or_else(|problems| panic!("{keys}: {problems}"))
    };
    let layout = laid("run: grid, align: heights, gap: 2 mm");
    let right = ends(&layout, 0);
    let long = right.iter().copied().fold(0.0, f64::max);
    assert!(right.iter().filter(|end| (*end - long).abs() < 1e-4).count() >= 1, "{right:?}");
    let layout = laid("align: heights, width: 250 mm, height: 100 mm, gap: 2 mm");
    assert!((ends(&layout, 0)[2] - 250.0).abs() < 1e-4);
    assert!(photo_sizes(&layout).into_iter().all(|size| (mm(size)[1] - 100.0).abs() < 1e-4));
    let told = layout_of(&bank(&photos, "align: heights, width: 400 mm, gap: 2 mm")).err();
    let told = told.map(|problems| problems.to_string()).unwrap_or_default();
    assert!(
        told.contains("gaps of about 3/32 in") && told.contains("about 15 3/4 in long"),
        "{told}"
    );
}

/// Equal photos change in no row of one length: the bank comes as near to a square as it can.
#[test]
fn equal_photos_make_no_long_column() {
    for (count, wanted) in [(6, [12.0, 12.0]), (9, [12.0, 18.0]), (5, [20.0, 6.0])] {
        let sizes = vec!["4 x 6, trim: true"; count];
        let layout = layout_of(&bank(&sizes, "run: grid, align: heights")).expect("sound");
        let far = |axis: usize| {
            let ends = layout.photos.iter();
            ends.map(|photo| photo.at[axis] + photo.size.to_inches()[axis]).fold(0.0, f64::max)
        };
        assert_eq!([far(0), far(1)], wanted);
    }
}

/// As many photos as an aligned bank may have, all of different sizes, are broken into rows at once.
#[test]
fn many_photos_are_broken_into_rows_at_once() {
    let of = |count: usize| -> Vec<String> {
        let size = |n: usize| format!("{} mm x {} mm, {FILE}", 14 + n * 37 % 61, 30 + n * 53 % 59);
        (0..count).map(size).collect()
    };
    for by in ["crop", "enlarge"] {
        let sizes = of(60);
        let sizes: Vec<&str> = sizes.iter().map(String::as_str).collect();
        let yaml = bank(&sizes, &format!("run: grid, align: heights, by: {by}, gap: 1 mm"));
        let layout = layout_of(&yaml).unwrap_or_else(|problems| panic!("{by}: {problems}"));
        assert_eq!(layout.photos.len(), 60);
    }
    let sizes = of(61);
    let sizes: Vec<&str> = sizes.iter().map(String::as_str).collect();
    let told = layout_of(&bank(&sizes, "run: grid, align: heights")).err();
    let told = told.map(|problems| problems.to_string()).unwrap_or_default();
    assert!(told.contains("61 photos are too many"), "{told}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Whatever the gap and the length, on the marks or off them: all lines end exactly where is asked for,
    /// and at most one photo of each lies off the marks.
    #[test]
    fn lines_end_exactly_off_the_marks(
        sizes in prop::collection::vec((60_000_000_i64..180_000_000, 60_000_000_i64..180_000_000), 1..9),
        by in prop::sample::select(vec![BankBy::Crop, BankBy::Enlarge, BankBy::Mat]),
        gap in 0_i64..6_000_000,
        long in prop_oneof![Just(None), (80_000_000_i64..400_000_000).prop_map(Some)],
        along in 0_usize..2,
        units in prop::sample::select(vec![Units::Inches, Units::Millimetres]),
    ) {
        let gap = Length::nanometres(gap);
        let prints: Vec<Print> = sizes.iter().enumerate().map(|(number, (width, height))| Print {
            name: format!("`{number}`"), size: [*width, *height].map(Length::nanometres),
        }).collect();
        let long = long.map(Length::nanometres);
        let flush = Flush { along, by, gap, long, thick: None, units };
        let Some(lines) = flush.lines(&prints) else {
            prop_assert!(long.is_some());
            return Ok(());
        };
        let lines = lines.map_err(|clash| TestCaseError::fail(format!("{clash:?}")))?;
        let whole = |line: &FlushLine| {
            line.long.iter().copied().sum::<Length>() + gap * (line.count as i64 - 1)
        };
        let mark = cutleaf::layout::fit::line::mark(units).to_nanometres();
        let mut rest = prints.iter();
        for line in &lines {
            prop_assert_eq!(whole(line), long.unwrap_or(whole(&lines[0])));
            let off = line.long.iter().filter(|side| side.to_nanometres() % mark != 0).count();
            prop_assert!(off <= 1);
            for (side, print) in line.long.iter().zip(rest.by_ref()) {
                match by {
                    BankBy::Crop => prop_assert!(*side <= print.size[along]),
                    BankBy::Mat => prop_assert!(*side >= print.size[along]),
                    BankBy::Enlarge => {}
                }
            }
        }
    }

    /// Any photos: lines are as long as is asked for, every photo is as thick as its line, and rows chosen by
    /// the dynamic programme cost no more than any other way to break the photos into rows.
    #[test]
    fn photos_end_flush(
        sizes in prop::collection::vec((16_i64..112, 16_i64..112), 1..7),
        by in prop::sample::select(vec![BankBy::Crop, BankBy::Enlarge, BankBy::Mat]),
        gap in 0_i64..4,
        long in prop_oneof![Just(None), (40_i64..260).prop_map(Some)],
        along in 0_usize..2,
    ) {
        let marks = |marks: i64| Length::part(marks, 16);
        let prints: Vec<Print> = sizes.iter().enumerate().map(|(number, (width, height))| Print {
            name: format!("`{number}`"), size: [marks(*width), marks(*height)],
        }).collect();
        let flush = Flush {
            along, by, gap: marks(gap), long: long.map(marks), thick: None, units: Units::Inches,
        };
        let Some(Ok(lines)) = flush.lines(&prints) else {
            // Rows of one length can always be had where photos change both ways, if they are long enough.
            prop_assert!(long.is_some());
            return Ok(());
        };
        let whole = |line: &FlushLine| {
            line.long.iter().copied().sum::<Length>() + marks(gap) * (line.count as i64 - 1)
        };
        let first = whole(&lines[0]);
        prop_assert_eq!(lines.iter().map(|line| line.count).sum::<usize>(), prints.len());
        for line in &lines {
            prop_assert_eq!(whole(line), long.map_or(first, marks));
            for (relations, settled) in &line.solved {
                prop_assert_eq!(relations.broken(settled.all()), None);
            }
        }
        // Where photos are cropped or matted, what the solver finds between marks is what was weighed.
        if by != BankBy::Enlarge {
            let one = Flush { long: Some(first), ..flush };
            let least = |lines: &[FlushLine]| -> f64 {
                lines.iter().flat_map(|line| &line.solved).map(|(_, settled)| settled.least).sum()
            };
            let ways = 0_u32..1 << (prints.len() - 1);
            let others = ways.filter_map(|way| {
                let mut lines = Vec::new();
                let mut start = 0;
                for end in 1..=prints.len() {
                    if end == prints.len() || way & (1 << (end - 1)) != 0 {
                        lines.push(one.line(&prints[start..end]).ok()?);
                        start = end;
                    }
                }
                Some(least(&lines))
            });
            let best = others.fold(f64::MAX, f64::min);
            let chosen = least(&lines);
            prop_assert!(chosen <= best + 1e-4 * best.max(1.0), "{chosen} and {best}");
        }
        let mut rest = prints.iter();
        for line in &lines {
            for (side, print) in line.long.iter().zip(rest.by_ref()) {
                let (before, over) = (print.size[along], print.size[1 - along]);
                match by {
                    BankBy::Crop => prop_assert!(*side <= before && line.thick <= over),
                    BankBy::Mat => prop_assert!(*side >= before && line.thick >= over),
                    BankBy::Enlarge => {}
                }
            }
        }
    }
}
