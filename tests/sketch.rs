//! Sketches fitted to photos: relations, assignment, the ruler, what is written.

use std::path::Path;

use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::Facing;
use cutleaf::model::length::Size;
use cutleaf::model::{AdviceKind, Color};
use cutleaf::sketch::wanted::{self, Wanted};
use cutleaf::sketch::{self, Field, Fit, Papers, Proposals, Sketch, Words};
use cutleaf::stock::Stock;
use cutleaf::{description, layout};
use proptest::prelude::*;

/// Sizes of photos that are common, width x height in inches.
const COMMON: [(f64, f64); 17] = [
    (2.0, 2.0),
    (3.0, 3.0),
    (3.0, 4.0),
    (4.0, 3.0),
    (4.0, 4.0),
    (3.5, 5.0),
    (5.0, 3.5),
    (4.0, 6.0),
    (6.0, 4.0),
    (5.0, 7.0),
    (7.0, 5.0),
    (6.0, 8.0),
    (8.0, 6.0),
    (8.0, 8.0),
    (10.0, 4.0),
    (8.0, 3.0),
    (12.0, 4.0),
];
const PAGES: [(f64, f64); 4] = [(12.0, 12.0), (8.5, 11.0), (8.0, 8.0), (8.2677165, 11.6929134)];

fn built_in() -> Vec<Sketch> {
    sketch::texts().iter().map(|text| Sketch::read(text).unwrap()).collect()
}

fn overlaps(one: &Field, other: &Field, apart: i64) -> bool {
    (0..2).all(|axis| {
        one.at[axis] < other.at[axis] + other.size[axis] + apart
            && other.at[axis] < one.at[axis] + one.size[axis] + apart
    })
}

/// Everything that a fit promises, looked at from outside: whole marks, photos at their size, on their page,
/// clear of its edges, of the gutter and of each other, on their mats with the reveal all round.
fn keeps_its_promises(fit: &Fit, sketch: &Sketch, asked: &[Wanted]) {
    let name = &fit.sketch;
    let mut placed: Vec<usize> = fit.photos.iter().map(|photo| photo.photo).collect();
    placed.sort_unstable();
    assert_eq!(placed, (0..asked.len()).collect::<Vec<_>>(), "{name}: each photo once");
    for (relations, settled) in &fit.relations {
        assert_eq!(relations.broken(settled.all()), None, "{name}");
    }
    for (place, photo) in fit.photos.iter().enumerate() {
        let bank = &fit.banks[photo.bank];
        let [least, most] = asked[photo.photo].bounds;
        for axis in [0, 1] {
            let (at, size) = (photo.field.at[axis], photo.field.size[axis]);
            assert!((least[axis]..=most[axis]).contains(&size), "{name}: size kept");
            assert!(
                at >= sketch.margin && at + size <= fit.marks[axis] - sketch.margin,
                "{name}: on its page"
            );
            assert!(at >= bank.field.at[axis] + bank.bank.reveal, "{name}: reveal");
            let end = bank.field.at[axis] + bank.field.size[axis] - bank.bank.reveal;
            assert!(at + size <= end, "{name}: reveal");
        }
        for other in &fit.photos[place + 1..] {
            let own = bank.each.map_or(0, |(_, shows)| 2 * shows);
            let apart = if other.bank == photo.bank { sketch.gap + own } else { 0 };
            let same = other.page == photo.page;
            assert!(
                !same || !overlaps(&photo.field, &other.field, apart),
                "{name}: photos lie apart"
            );
        }
        for (number, other) in fit.banks.iter().enumerate() {
            let elsewhere = number == photo.bank || other.page != photo.page;
            let empty = other.field.size.contains(&0);
            assert!(
                elsewhere || empty || !overlaps(&photo.field, &other.field, 0),
                "{name}: mats lie apart"
            );
        }
        for (_, page, field) in &fit.others {
            assert!(
                *page != photo.page || !overlaps(&photo.field, field, 0),
                "{name}: words lie apart"
            );
        }
    }
    // Each side of a mat is a reveal away from the photo nearest to it.
    for (number, bank) in fit.banks.iter().enumerate() {
        let its = || fit.photos.iter().filter(|photo| photo.bank == number);
        for axis in [0, 1] {
            let first = its().map(|photo| photo.field.at[axis]).min();
            let last = its().map(|photo| photo.field.at[axis] + photo.field.size[axis]).max();
            if let (Some(first), Some(last)) = (first, last) {
                let (at, end) = (bank.field.at[axis], bank.field.at[axis] + bank.field.size[axis]);
                let reveal = bank.bank.reveal + bank.each.map_or(0, |(_, shows)| shows);
                assert_eq!([first - at, end - last], [reveal; 2], "{name}: {}", bank.id);
            }
        }
    }
}

fn words() -> Words {
    Words { name: "Dunes".to_owned(), title: "Dunes".to_owned(), story: None }
}

/// Advice that no page written from a sketch may need.
const NEVER_NEEDED: [AdviceKind; 6] = [
    AdviceKind::Contrast,
    AdviceKind::Gap,
    AdviceKind::NearMiss,
    AdviceKind::OverPhoto,
    AdviceKind::PageEdge,
    AdviceKind::SameColor,
];

/// The spec of a fit, what its layout warns of, and the advice on it of the kinds that it may not need.
fn warnings(fit: &Fit, papers: &Papers) -> (String, Vec<String>, Vec<String>) {
    let title = FontBook::default().find("display").unwrap();
    let text = sketch::spec(fit, papers, &words(), &title);
    let spec = description::parse(&text).unwrap_or_else(|problems| panic!("{problems}\n{text}"));
    let fonts = FontBook::default();
    let layout = layout::lay_out(&spec, Path::new("templates"), &fonts)
        .unwrap_or_else(|problems| panic!("{problems}\n{text}"));
    let told = layout.warnings.iter().map(|warning| warning.message.clone()).collect();
    let advice = layout::advise(&layout, Path::new("templates"), &fonts);
    // Where the story ends, its words decide.
    let of_words = |message: &str| {
        message.contains("`journaling`")
            && ["right edges", "lower edges"].iter().any(|edges| message.contains(edges))
    };
    let advice = advice
        .into_iter()
        .filter(|one| NEVER_NEEDED.contains(&one.kind) && !of_words(&one.message));
    (text, told, advice.map(|one| one.message).collect())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn every_offer_keeps_its_relations(
        photos in prop::collection::vec((0..COMMON.len(), 0_u8..4), 1..=14),
        page in 0..PAGES.len(),
    ) {
        let asked: Vec<Wanted> = photos
            .iter()
            .enumerate()
            .map(|(number, &(size, facing))| {
                let facing = [None, None, Some(Facing::Left), Some(Facing::Right)][usize::from(facing)];
                let (width, height) = COMMON[size];
                Wanted::print(&format!("photo-{number}"), Size::inches(width, height), facing)
            })
            .collect();
        let page = Size::inches(PAGES[page].0, PAGES[page].1);
        let sketches = built_in();
        let offers = sketch::offers(&sketches, page, &asked);
        prop_assert!(!offers.fits.is_empty() || !offers.refusals.is_empty());
        for refusal in &offers.refusals {
            prop_assert!(!refusal.message.is_empty() && !refusal.help.is_empty());
        }
        for fit in &offers.fits {
            let sketch = sketches.iter().find(|sketch| sketch.name == fit.sketch).unwrap();
            keeps_its_promises(fit, sketch, &asked);
        }
        let again = sketch::offers(&sketches, page, &asked);
        let title = FontBook::default().find("display").unwrap();
        for (fit, again) in offers.fits.iter().zip(&again.fits) {
            let [one, other] =
                [fit, again].map(|fit| sketch::spec(fit, &Papers::usual(), &words(), &title));
            prop_assert_eq!(one, other);
        }
    }
}

/// Photos that every page of its size should take well, and how many sketches do at least.
const SETS: [(&str, (f64, f64), usize); 12] = [
    ("5x7", (12.0, 12.0), 1),
    ("4x6, 6x4", (12.0, 12.0), 3),
    ("4x6, 3x3, 3x4 facing right", (12.0, 12.0), 4),
    ("4x6, 4x6 facing left, 3x3, 5x7, 3.5x5", (12.0, 12.0), 4),
    ("4x6, 4x4, 6x4, 3x4, 3x3, 3.5x5, 4x3", (12.0, 12.0), 4),
    ("3x4, 3x4, 4x3, 4x4, 3x3, 3x3, 2x2, 4x6, 3x4, 4x3", (12.0, 12.0), 3),
    ("4x6,4x4,6x4,3x4,3x3,4x6,3.5x5,4x3,3x3,4x4,2x2,5x3.5", (12.0, 12.0), 1),
    ("3x4, 3x4, 3x4, 3x4, 4x3, 4x3, 3x3, 3x3, 2x2, 2x2, 4x4, 4x4, 3x3, 3x3", (12.0, 12.0), 2),
    ("4x6, 3x3", (8.5, 11.0), 2),
    ("3x4, 4x3, 3x3, 2x2", (8.2677165, 11.6929134), 2),
    ("3x4, 2x2", (8.0, 8.0), 3),
    ("3x3, 2x2, 3x4, 2x2, 3x3", (8.0, 8.0), 2),
];

#[test]
fn what_is_offered_is_laid_out_without_a_warning() {
    let sketches = built_in();
    let mut advised = Vec::new();
    for (list, (width, height), least) in SETS {
        let asked = wanted::photos(list).unwrap();
        let offers = sketch::offers(&sketches, Size::inches(width, height), &asked);
        let told: Vec<_> = offers.refusals.iter().map(|one| (&one.sketch, &one.message)).collect();
        assert!(offers.fits.len() >= least, "{list}: {} of {least}, {told:#?}", offers.fits.len());
        for fit in &offers.fits {
            let (text, mut warnings, mut advice) = warnings(fit, &Papers::usual());
            // One that the ranking tells, too, is known.
            let looks_out = fit.rank.faults.iter().any(|(fault, _)| fault.contains("looks out"));
            warnings.retain(|warning| !(looks_out && warning.contains(" looks ")));
            assert!(warnings.is_empty(), "{list}: {}: {warnings:?}\n{text}", fit.sketch);
            let close = fit.rank.faults.iter().any(|(fault, _)| fault.contains("stand close"));
            advice.retain(|one| !(close && one.starts_with("the gap between")));
            if !advice.is_empty() {
                advised.push(format!("{list} on {width} x {height}: {}: {advice:?}", fit.sketch));
            }
        }
    }
    assert!(advised.is_empty(), "{advised:#?}");
}

/// A title that is too wide for its room at the least height is parted into two lines, and ends on its page.
#[test]
fn a_long_title_stays_in_its_room() {
    let asked = wanted::photos("4x6, 4x6, 3x3, 5x7, 3.5x5").unwrap();
    let offers = sketch::offers(&built_in(), Size::inches(12.0, 12.0), &asked);
    let title = FontBook::default().find("display").unwrap();
    let words = Words { title: "Over the dunes".to_owned(), ..words() };
    let mut parted = 0;
    for fit in &offers.fits {
        let text = sketch::spec(fit, &Papers::usual(), &words, &title);
        let spec = description::parse(&text).unwrap();
        let layout = layout::lay_out(&spec, Path::new("."), &FontBook::default()).unwrap();
        let off = layout.warnings.iter().filter(|warning| warning.kind == "off the page");
        assert_eq!(off.count(), 0, "{}\n{text}", fit.sketch);
        parted += usize::from(text.contains("leading:"));
    }
    assert!(parted > 0, "no title was parted");
}

#[test]
fn two_photos_of_a_column_need_the_mat_that_practice_says() {
    // Common practice, no source: photos of 4 x 4 and 4 x 5 1/2 with 1/4 round them need 4 1/2 x 10.
    let column =
        "name: Column\ngap: 0\nsingle: {photos: {takes: 2, run: down, mat: mat, reveal: 1/4}}\n";
    let asked = wanted::photos("4 x 4, 4 x 5 1/2").unwrap();
    let fit =
        sketch::fit(&Sketch::read(column).unwrap(), Size::inches(12.0, 12.0), &asked).unwrap();
    assert_eq!(fit.banks[0].field.size, [72, 160]);
    // Thirds of 12 in are 4 and 8.
    let thirds = "name: Thirds\nsingle:\n  columns:\n    - {share: 1/3 page, paper: panel}\n    - {share: 1/3 page, photos: {takes: 1}}\n    - {share: 1/3 page, paper: panel}\n";
    let asked = wanted::photos("3 x 4").unwrap();
    let fit =
        sketch::fit(&Sketch::read(thirds).unwrap(), Size::inches(12.0, 12.0), &asked).unwrap();
    let edges: Vec<_> =
        fit.panels.iter().map(|panel| (panel.field.at[0], panel.field.size[0])).collect();
    assert_eq!(edges, [(0, 64), (128, 64)]);
}

/// Sizes of prints, short side first, in inches and in whole millimetres: the article "Photo print sizes",
/// Wikipedia (2 x 3 and 3R as its table has them, 4R, 5R and 6R by its rule that the long side is 2 in more).
/// It names ISO 1008, which was not at hand; the millimetres of 4R, 5R and 6R are from memory.
const PUBLISHED_PRINTS: [([f64; 2], [u32; 2]); 5] = [
    ([2.0, 3.0], [51, 76]),
    ([3.5, 5.0], [89, 127]),
    ([4.0, 6.0], [102, 152]),
    ([5.0, 7.0], [127, 178]),
    ([6.0, 8.0], [152, 203]),
];

#[test]
fn prints_have_the_sizes_of_the_published_table() {
    for ([short, long], [short_mm, long_mm]) in PUBLISHED_PRINTS {
        let inches = &wanted::photos(&format!("{short}x{long}")).unwrap()[0];
        assert_eq!(inches.size.map(|marks| marks as f64 / 16.0), [short, long]);
        // The same print in whole millimetres lies within half a millimetre, so it takes a mark more at most.
        let mm = &wanted::photos(&format!("{short_mm} x {long_mm} mm")).unwrap()[0];
        for axis in [0, 1] {
            let more = mm.size[axis] - inches.size[axis];
            assert!((0..=1).contains(&more), "{short_mm} x {long_mm}: {:?}", mm.size);
        }
    }
}

#[test]
fn mats_have_the_sizes_of_the_published_table() {
    // Opening, border on all sides, mat, in inches. First row: a published table of openings for mats.
    // Second row: by the rule given there, a 4 x 6 print in a 5 x 7 mat has an opening 1/2 in less.
    let rows = [("11.5 x 15.5", "2 1/4", [16, 20]), ("3.5 x 5.5", "3/4", [5, 7])];
    for (opening, border, mat) in rows {
        let text =
            format!("name: Mat\nsingle: {{photos: {{takes: 1, mat: mat, reveal: {border}}}}}\n");
        let asked = wanted::photos(opening).unwrap();
        let page = Size::inches(24.0, 24.0);
        let fit = sketch::fit(&Sketch::read(&text).unwrap(), page, &asked).unwrap();
        assert_eq!(fit.banks[0].field.size, mat.map(|side: i64| side * 16), "{opening}");
    }
}

/// A stock of one size of sheet: names, colours, how many.
fn stock(units: &str, size: &str, papers: &[(&str, &str, u32)]) -> Stock {
    let mut text = format!("units: {units}\npapers:\n");
    for (name, color, count) in papers {
        text += &format!(
            "  - {{name: {name}, color: \"{color}\", sheets: [{{size: {size}, count: {count}}}]}}\n"
        );
    }
    Stock::parse(&text).unwrap_or_else(|problems| panic!("{problems}\n{text}"))
}

#[test]
fn papers_are_chosen_from_her_stock() {
    let four = [
        ("chalk", "#f3efe6", 4),
        ("slate", "#33454f", 3),
        ("moss", "#7c9a72", 3),
        ("brick", "#b5523b", 2),
    ];
    let page = Size::inches(12.0, 12.0);
    let names = |papers: &Papers| -> Vec<String> {
        papers.parts.iter().map(|(_, name, _)| name.clone()).collect()
    };
    for (units, size) in [("mm", "305 x 305"), ("in", "12 x 12")] {
        let papers = Papers::of_stock(&stock(units, size, &four), page).unwrap();
        assert!(papers.from_stock);
        assert_eq!(names(&papers), ["chalk", "moss", "slate", "brick"], "{units}");
        // What is written with them needs no advice that it could have done without.
        let asked = wanted::photos("4x6, 3x3, 3x4").unwrap();
        for fit in &sketch::offers(&built_in(), page, &asked).fits {
            let mut listed = papers.clone();
            listed.from_stock = false;
            let (text, warnings, advice) = warnings(fit, &listed);
            assert!(warnings.is_empty() && advice.is_empty(), "{warnings:?} {advice:?}\n{text}");
        }
    }
    // Sheets too small for the page, too few papers, or no contrast: the usual papers, and why.
    let pale = [("chalk", "#f3efe6", 4), ("sand", "#e5d3ae", 3), ("mist", "#dfe6e8", 3)];
    let none = [("a", "#ffffff", 0), ("b", "#000000", 0), ("c", "#808080", 0)];
    let twice = [("chalk", "#f3efe6", 4), ("slate", "#33454f", 3), ("slate 2", "#34464f", 3)];
    let too_few = "a sheet that holds a page of 12 x 12 in, and it takes three";
    for (stock, wanted) in [
        (stock("mm", "300 x 300", &four), format!("none of its papers with a `color` has {too_few}")),
        (stock("in", "8 x 8", &four), format!("none of its papers with a `color` has {too_few}")),
        (
            stock("in", "12 x 12", &four[..1]),
            format!("only one of its papers with a `color` has {too_few}"),
        ),
        (
            stock("in", "12 x 12", &four[..2]),
            format!("only 2 of its papers with a `color` have {too_few}"),
        ),
        (
            stock("in", "12 x 12", &pale),
            "no mat stands out from the page: sand on chalk has a contrast of 1.3 to 1, and it takes 3"
                .to_owned(),
        ),
        (stock("in", "12 x 12", &none), format!("none of its papers with a `color` has {too_few}")),
        (
            stock("in", "12 x 12", &twice),
            "base and mat are there, but no further paper is told from both and can be read with them"
                .to_owned(),
        ),
    ] {
        assert_eq!(Papers::of_stock(&stock, page), Err(wanted.clone()), "{stock:?}");
        let proposals = Proposals::new(Some(&stock), page, &wanted::photos("4x6").unwrap());
        assert_eq!(proposals.papers(), &Papers::usual());
        assert_eq!(proposals.not_from_stock, Some(wanted));
    }
    // The lightest that is there often enough is the base, whatever its place in the stock.
    let turned: Vec<_> = four.iter().rev().copied().collect();
    let papers = Papers::of_stock(&stock("in", "12 x 12", &turned), page).unwrap();
    assert_eq!(names(&papers), ["chalk", "moss", "slate", "brick"]);
    let [base, panel, mat] = [0, 1, 2].map(|part| -> Color { papers.parts[part].2 });
    assert!(mat.contrast(base) >= 3.0 && mat.contrast(panel).max(base.contrast(panel)) >= 3.0);
}

#[test]
fn pictures_are_cropped_to_rows_that_end_together() {
    let asked = wanted::folder(
        Path::new("templates/kite-day"),
        Path::new("kite-day"),
        &wanted::Notes::default(),
    )
    .unwrap();
    assert_eq!(asked.len(), 5);
    let sketches = built_in();
    let offers = sketch::offers(&sketches, Size::inches(12.0, 12.0), &asked);
    assert!(offers.fits.len() >= 4);
    for fit in &offers.fits {
        let (text, warnings, advice) = warnings(fit, &Papers::usual());
        assert!(warnings.is_empty(), "{}: {warnings:?}\n{text}", fit.sketch);
        assert!(advice.is_empty(), "{}: {advice:?}\n{text}", fit.sketch);
        for photo in &fit.photos {
            let Some((file, _)) = &fit.wanted[photo.photo].picture else { panic!("a picture") };
            let fine = file
                .seen()
                .iter()
                .zip(photo.field.size)
                .all(|(dots, side)| dots * 16 >= 240 * u32::try_from(side).unwrap());
            assert!(fine, "{}: {:?} of {:?}", fit.sketch, photo.field.size, file.seen());
        }
    }
}

#[test]
fn the_sketch_of_the_manual_is_one() {
    let manual = include_str!("../docs/sketches.md");
    let blocks: Vec<&str> =
        manual.split("```yaml\n").skip(1).filter_map(|rest| rest.split("```").next()).collect();
    assert!(!blocks.is_empty());
    for block in blocks {
        let read = Sketch::read(block).unwrap_or_else(|problems| panic!("{problems}\n{block}"));
        let asked = wanted::photos("2x3, 3x3, 4x6").unwrap();
        let fit = sketch::fit(&read, Size::inches(12.0, 12.0), &asked).unwrap();
        // The edges that it keeps together are together.
        let top =
            |id: &str| fit.banks.iter().find(|bank| bank.id == id).map(|bank| bank.field.at[1]);
        assert_eq!(top("column"), top("lead"));
    }
}

#[test]
fn built_in_sketches_say_what_they_are() {
    let sketches = built_in();
    assert!(sketches.len() >= 14);
    let mut names: Vec<&str> = sketches.iter().map(|sketch| sketch.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), sketches.len());
    for sketch in &sketches {
        assert!(sketch.about.ends_with('.'), "{}", sketch.name);
    }
    // Together they take from 1 to 14 photos.
    for count in 1..=14 {
        let takes = |sketch: &&Sketch| (sketch.takes().0..=sketch.takes().1).contains(&count);
        assert!(sketches.iter().any(|sketch| takes(&sketch)), "{count} photos");
    }
}

/// Twenty rooms that take any number of photos can be filled in more ways than anyone can look at: the search
/// ends, and photos stand about as even as the rooms are.
#[test]
fn a_sketch_of_many_rooms_is_filled_at_once() {
    let rooms = |page: &str| {
        let column = |at: usize| {
            let room = |row: usize| format!("{{id: {page}{at}{row}, photos: {{takes: 0-20}}}}");
            let rooms: Vec<String> = (0..2).map(room).collect();
            format!("{{bands: [{}]}}", rooms.join(", "))
        };
        let columns: Vec<String> = (0..5).map(column).collect();
        format!("{page}:\n  columns: [{}]\n", columns.join(", "))
    };
    let text = format!("name: Many\n{}{}", rooms("left"), rooms("right"));
    let read = Sketch::read(&text).unwrap_or_else(|problems| panic!("{problems}"));
    let asked = wanted::photos(&vec!["1x1"; 20].join(", ")).unwrap();
    let fit = sketch::fit(&read, Size::inches(12.0, 12.0), &asked);
    let fit = fit.unwrap_or_else(|refusal| panic!("{}", refusal.message));
    let held = |bank: usize| fit.photos.iter().filter(|photo| photo.bank == bank).count();
    assert_eq!(fit.photos.len(), 20);
    assert!((0..fit.banks.len()).all(|bank| held(bank) <= 3));
}
