//! Sketches fitted to photos: relations, assignment, the ruler, what is written.

use std::path::Path;

use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::Facing;
use cutleaf::model::length::Size;
use cutleaf::model::{AdviceKind, Color};
use cutleaf::sketch::assignment::assign;
use cutleaf::sketch::relations::{ORIGIN, Relations};
use cutleaf::sketch::wanted::{self, Wanted};
use cutleaf::sketch::{self, Field, Fit, Papers, Sketch, Words};
use cutleaf::stock::Stock;
use cutleaf::{description, layout};
use proptest::prelude::*;

/// The least cost of all ways to give each photo a place of its own.
fn least_by_trying(costs: &[Vec<i64>], taken: &mut Vec<bool>) -> i64 {
    let Some((first, rest)) = costs.split_first() else { return 0 };
    let mut least = i64::MAX;
    for place in 0..first.len() {
        if !taken[place] {
            taken[place] = true;
            least = least.min(first[place] + least_by_trying(rest, taken));
            taken[place] = false;
        }
    }
    least
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn assignment_costs_what_trying_all_costs(
        costs in (1_usize..=7).prop_flat_map(|photos| {
            (photos..=7).prop_flat_map(move |places| {
                prop::collection::vec(prop::collection::vec(0_i64..1000, places), photos)
            })
        }),
    ) {
        let (cost, places) = assign(&costs).unwrap();
        prop_assert_eq!(cost, least_by_trying(&costs, &mut vec![false; costs[0].len()]));
        let sum: i64 = places.iter().zip(&costs).map(|(&place, row)| row[place]).sum();
        prop_assert_eq!(sum, cost);
    }

    /// A row of pieces between margins, with wishes of all kinds: relations hold in whole numbers, and the
    /// ruler costs no less than between marks.
    #[test]
    fn the_ruler_breaks_no_relation(
        widths in prop::collection::vec(16_i64..60, 1..6),
        page in 100_i64..400,
        gaps in 0_i64..12,
        wishes in prop::collection::vec((0_usize..12, 0_usize..12, -50.0..300.0_f64, 0.1..5.0_f64), 1..9),
    ) {
        let mut row = Relations::default();
        let (mut edges, mut before) = (Vec::new(), ORIGIN);
        for width in &widths {
            let (left, right) = (row.edge(), row.edge());
            row.at_least(before, left, gaps, "gap");
            row.exactly(left, right, *width, "width");
            edges.extend([left, right]);
            before = right;
        }
        row.at_least(before, ORIGIN, gaps - page, "page");
        for (one, other, target, weight) in wishes {
            let [one, other] = [one, other].map(|at| edges[at % edges.len()]);
            row.wish(&[(one, 1.0), (other, -0.5)], target, weight);
        }
        let needed: i64 = widths.iter().sum::<i64>() + gaps * (widths.len() as i64 + 1);
        match row.settle() {
            Ok(settled) => {
                prop_assert!(needed <= page);
                prop_assert_eq!(row.broken(settled.all()), None);
                prop_assert!(settled.cost >= settled.least - 1e-4 * settled.least.max(1.0));
                prop_assert_eq!(&row.settle().unwrap(), &settled);
            }
            Err(conflict) => prop_assert_eq!(conflict.excess, needed - page),
        }
    }
}

#[test]
fn the_ruler_is_as_near_as_trying_all_marks() {
    // Two photos of 3 and 5 marks on 17, wished at thirds that no mark lies on.
    let mut row = Relations::default();
    let [one, end_of_one, other, end_of_other] = [(); 4].map(|()| row.edge());
    row.exactly(one, end_of_one, 3, "first");
    row.exactly(other, end_of_other, 5, "second");
    row.at_least(ORIGIN, one, 0, "begins");
    row.at_least(end_of_one, other, 2, "gap");
    row.at_least(end_of_other, ORIGIN, -17, "ends");
    row.wish(&[(one, 1.0)], 5.4, 1.0);
    row.wish(&[(other, 1.0), (end_of_one, -1.0)], 2.7, 2.0);
    row.wish(&[(end_of_other, 1.0), (one, 1.0)], 20.5, 0.7);
    let mut least = f64::MAX;
    for first in 0..17_i64 {
        for second in first + 5..=12 {
            let at = [0, first, first + 3, second, second + 5].map(|mark| mark as f64);
            least = least.min(row.cost(&at));
        }
    }
    let settled = row.settle().unwrap();
    assert!((settled.cost - least).abs() < 1e-9, "{} and {least}", settled.cost);
}

#[test]
fn a_contradiction_is_told_as_a_chain() {
    let mut row = Relations::default();
    let [left, right, far] = [(); 3].map(|()| row.edge());
    row.at_least(ORIGIN, left, 8, "margin of 1/2");
    row.exactly(left, right, 96, "photo of 6 in");
    row.exactly(ORIGIN, far, 100, "column of 6 1/4 in");
    row.at_least(right, far, 4, "gap of 1/4");
    let conflict = row.settle().unwrap_err();
    let told: Vec<&str> = conflict.chain.iter().map(|relation| row.reason(relation)).collect();
    assert_eq!(conflict.excess, 8);
    assert_eq!(told.len(), 4, "{told:?}");
    for why in ["margin of 1/2", "photo of 6 in", "column of 6 1/4 in", "gap of 1/4"] {
        assert!(told.contains(&why), "{told:?}");
    }
}

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

/// What the program says when it is called so in a folder.
fn called(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let mut command = assert_cmd::Command::cargo_bin("cutleaf").unwrap();
    let output = command.current_dir(folder).args(arguments).output().unwrap();
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (output.status.code().unwrap(), text(&output.stdout), text(&output.stderr))
}

#[test]
fn what_cannot_be_placed_is_told_with_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    std::fs::create_dir(here.join("empty")).unwrap();
    std::fs::create_dir(here.join("own")).unwrap();
    let contradicting = "name: Too wide\nsingle:\n  columns:\n    - {id: one, share: 2/3 page, photos: {takes: 1}}\n    - {id: other, share: 1/2 page}\n";
    std::fs::write(here.join("own/wide.yaml"), contradicting).unwrap();
    let fifteen = ["3x4"; 15].join(",");
    let cases: [(&[&str], &[&str]); 9] = [
        (&["", "--json"], &["no photo is named", "write their sizes"]),
        (&["4x6, x5"], &["`x5` is not the size of a photo", "such as 4x6"]),
        (&["4x6 facing lft"], &["people face left or right", "did you mean `facing left`?"]),
        (&["14x16"], &["can take these photos", "too", "the page is 12 in"]),
        (&[&fifteen, "--only", "Three across"], &["takes 1 to 3 photos, and 15", "leave 12 out"]),
        (&["empty"], &["no picture in `empty`", "put JPEG"]),
        (&["missing/folder"], &["is no folder of pictures", "name a folder"]),
        (
            &["4x6", "--only", "Thre across"],
            &["no sketch `Thre across`", "did you mean `Three across`"],
        ),
        (
            &["4x6", "--sketches", "own", "--only", "too wide"],
            &["2 in too wide", "`one` is 8 in wide, 2/3", "`other` is 6 in wide, 1/2", "about"],
        ),
    ];
    for (arguments, told) in cases {
        let (code, _, errors) = called(here, &[&["sketch"], arguments].concat());
        assert_eq!(code, 1, "{arguments:?}: {errors}");
        for part in told {
            assert!(errors.contains(part), "{arguments:?}: `{part}` in {errors}");
        }
    }
    assert!(!here.join("sketches.html").exists());
}

#[test]
fn slips_of_a_sketch_are_told_where_they_are() {
    let page = "single: {photos: {takes: 1}}\n";
    let cases = [
        ("name: A\n".to_owned(), "has no page"),
        ("name: A\nsingle: {}\n".to_owned(), "no place for a photo"),
        (format!("name: A\nmargin: 1/3\n{page}"), "lies on no mark of 1/16 in"),
        ("name: A\nsingle: {photos: {takes: 3-1}}\n".to_owned(), "is not a number of photos"),
        (
            "name: A\nsingle: {photos: {takes: 1}, holds: title}\n".to_owned(),
            "holds several things",
        ),
        (format!("name: A\n{page}keep: [[room.tip, room.top]]\n"), "is no edge of a room"),
        (format!("name: A\n{page}strips: [{{paper: accent, width: 1}}]\n"), "no place, or two"),
        ("name: A\nsingle: {photos: {takes: 1, mat: frame}}\n".to_owned(), "`frame` is not a part"),
        ("name: A\nsingle: {photoes: {takes: 1}}\n".to_owned(), "unknown key `photoes`"),
        (
            "name: A\nsingle: {photos: {takes: 1, weight: -2}}\n".to_owned(),
            "weight is out of reach",
        ),
    ];
    for (text, told) in cases {
        let problems = Sketch::read(&text).unwrap_err();
        assert!(problems.to_string().contains(told), "{text}: {problems}");
        assert!(problems.0.iter().all(|problem| problem.place.is_some()), "{text}: {problems}");
    }
}

#[test]
fn what_is_taken_is_written_and_built() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    let list = "4x6, 3x3, 3x4 facing right";
    let (code, table, _) = called(here, &["sketch", list]);
    assert_eq!(code, 0);
    assert!(table.starts_with("  1  "), "{table}");
    assert!(std::fs::read_to_string(here.join("sketches.html")).unwrap().contains("--take 1"));
    let take = ["sketch", list, "--take", "1", "--name", "Pond", "--no-build"];
    let (code, _, errors) = called(here, &take);
    assert_eq!(code, 0, "{errors}");
    let written = std::fs::read_to_string(here.join("pond.yaml")).unwrap();
    assert!(written.contains("size: 3 x 4, facing: right"), "{written}");
    let (code, told, errors) = called(here, &["build", "pond.yaml", "--effort", "quick"]);
    assert_eq!(code, 0, "{errors}");
    assert!(!told.contains("Warning"), "{told}");
    assert!(here.join("out/pond/proof.html").exists());
    // The same is written again; a spec that she has changed is never written over.
    assert_eq!(called(here, &take).0, 0);
    std::fs::write(here.join("pond.yaml"), "name: Mine\nsingle: {}\n").unwrap();
    let (code, _, errors) = called(here, &take);
    assert!(code == 1 && errors.contains("stands there already"), "{errors}");
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
        let papers = Papers::of_stock(&stock(units, size, &four), page);
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
    // Sheets too small for the page, too few papers, or no contrast: the usual papers.
    let pale = [("chalk", "#f3efe6", 4), ("sand", "#e5d3ae", 3), ("mist", "#dfe6e8", 3)];
    let unfit = [
        stock("mm", "300 x 300", &four),
        stock("in", "8 x 8", &four),
        stock("in", "12 x 12", &four[..2]),
        stock("in", "12 x 12", &pale),
        stock("in", "12 x 12", &[("a", "#ffffff", 0), ("b", "#000000", 0), ("c", "#808080", 0)]),
    ];
    for stock in unfit {
        assert_eq!(Papers::of_stock(&stock, page), Papers::usual(), "{stock:?}");
    }
    // The lightest that is there often enough is the base, whatever its place in the stock.
    let turned: Vec<_> = four.iter().rev().copied().collect();
    let papers = Papers::of_stock(&stock("in", "12 x 12", &turned), page);
    assert_eq!(names(&papers), ["chalk", "moss", "slate", "brick"]);
    let [base, panel, mat] = [0, 1, 2].map(|part| -> Color { papers.parts[part].2 });
    assert!(mat.contrast(base) >= 3.0 && mat.contrast(panel).max(base.contrast(panel)) >= 3.0);
}

#[test]
fn pictures_are_cropped_to_rows_that_end_together() {
    let asked = wanted::folder(Path::new("templates/kite-day"), Path::new("kite-day")).unwrap();
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
