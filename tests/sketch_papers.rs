//! Papers by the colours of the photos: gathered, proposed in sets that differ, told from each other.

use std::path::Path;
use std::sync::Arc;

use cutleaf::description;
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::Color;
use cutleaf::model::length::Size;
use cutleaf::picture::PictureFile;
use cutleaf::sketch::file::Role;
use cutleaf::sketch::photo_colors::photo_colors;
use cutleaf::sketch::wanted::{self, Wanted};
use cutleaf::sketch::{self, Papers, Proposals, Sketch, Words};
use cutleaf::stock::Stock;
use proptest::prelude::*;

const PAGE: Size = Size::new(
    cutleaf::model::length::Length::part(12, 1),
    cutleaf::model::length::Length::part(12, 1),
);
/// Height of a picture in dots.
const HIGH: u32 = 640;
const ROLES: [Role; 4] = [Role::Base, Role::Panel, Role::Mat, Role::Accent];

/// A drawer with papers of many colours.
const DRAWER: &str = "papers:
  - {name: chalk, color: \"#f3efe6\", sheets: [{size: 12 x 12, count: 4}]}
  - {name: mist, color: \"#e4ecf0\", sheets: [{size: 12 x 12, count: 4}]}
  - {name: navy, color: \"#22344f\", sheets: [{size: 12 x 12, count: 3}]}
  - {name: bark, color: \"#4a3426\", sheets: [{size: 12 x 12, count: 3}]}
  - {name: sky, color: \"#8fb3cf\", sheets: [{size: 12 x 12, count: 3}]}
  - {name: fern, color: \"#7fa36f\", sheets: [{size: 12 x 12, count: 3}]}
  - {name: brick, color: \"#b5523b\", sheets: [{size: 12 x 12, count: 3}]}
  - {name: maize, color: \"#e3b04b\", sheets: [{size: 12 x 12, count: 3}]}
  - {name: stone, color: \"#c9c3b8\", sheets: [{size: 12 x 12, count: 3}]}
  - {name: vellum, color: \"#ffffff\", kind: vellum, sheets: [{size: 12 x 12, count: 9}]}
  - {name: small, color: \"#ffffff\", sheets: [{size: 8 x 8, count: 9}]}
";

fn stock(text: &str) -> Stock {
    Stock::parse(text).unwrap_or_else(|problems| panic!("{problems}"))
}

/// Photos of flat colours, each a picture of bands as wide as its share, in dots.
fn photos(folder: &Path, pictures: &[&[([u8; 3], u32)]]) -> Vec<Wanted> {
    let photo = |(number, bands): (usize, &&[([u8; 3], u32)])| {
        let width = bands.iter().map(|(_, share)| share).sum();
        let mut picture = image::RgbImage::new(width, HIGH);
        let mut left = 0;
        for (color, share) in *bands {
            for x in left..left + share {
                (0..HIGH).for_each(|y| picture.put_pixel(x, y, image::Rgb(*color)));
            }
            left += share;
        }
        let name = format!("photo-{number}.png");
        picture.save(folder.join(&name)).unwrap();
        let file = Arc::new(PictureFile::open(&folder.join(&name), &name).unwrap());
        let size = Size::inches(4.0, 6.0);
        Wanted {
            picture: Some((file, name.clone().into())),
            ..Wanted::print(&format!("photo-{number}"), size, None)
        }
    };
    pictures.iter().enumerate().map(photo).collect()
}

/// What must hold of any set: the base is light, the mat stands out from it, and on each paper one of the
/// others is read at 3 to 1.
fn holds(papers: &Papers) -> Result<(), String> {
    let contrast = |one: Role, other: Role| papers.of(one).1.contrast(*papers.of(other).1);
    if contrast(Role::Mat, Role::Base) < 3.0 {
        return Err(format!("the mat is lost on the base: {papers:?}"));
    }
    for under in ROLES {
        let best = ROLES.iter().map(|role| contrast(*role, under)).fold(0.0, f64::max);
        if best < 3.0 {
            return Err(format!("nothing is read on {under:?}: {papers:?}"));
        }
    }
    Ok(())
}

fn names(papers: &Papers) -> Vec<&str> {
    papers.parts.iter().map(|(_, name, _)| name.as_str()).collect()
}

#[test]
fn photos_of_flat_colours_give_these_colours() {
    let folder = tempfile::tempdir().unwrap();
    let asked = photos(
        folder.path(),
        &[
            &[([0x2a, 0x6f, 0xb0], 60)],
            &[([0x2a, 0x6f, 0xb0], 30), ([0xf0, 0xe6, 0xd0], 15), ([0xc8, 0x50, 0x3c], 15)],
        ],
    );
    let colors = photo_colors(&asked);
    let found: Vec<(&str, i32)> = colors
        .iter()
        .map(|one| {
            #[expect(clippy::cast_possible_truncation, reason = "a percentage")]
            let percent = (one.share * 100.0).round() as i32;
            (one.color.as_str(), percent)
        })
        .collect();
    // Dots between two bands are a little of both.
    assert_eq!(found.len(), 3, "{found:?}");
    for (wanted, of) in [("#2a6fb0", 75), ("#f0e6d0", 12), ("#c8503c", 12)] {
        let apart =
            |color: &str| Color::parse(color).unwrap().difference(Color::parse(wanted).unwrap());
        let near =
            found.iter().find(|(color, share)| apart(color) < 3.0 && (share - of).abs() <= 2);
        assert!(near.is_some(), "{wanted}: {found:?}");
    }
    assert!(photo_colors(&wanted::photos("4x6, 3x3").unwrap()).is_empty());
}

#[test]
fn papers_come_from_the_drawer_by_the_photos_colours() {
    let folder = tempfile::tempdir().unwrap();
    let drawer = stock(DRAWER);
    // A day at sea with an orange buoy; a forest; bricks at dusk.
    for (number, (bands, first)) in [
        (
            vec![([0x5d, 0x94, 0xbf], 50), ([0xd8, 0xa0, 0x30], 10), ([0x1d, 0x2c, 0x45], 8)],
            ["mist", "sky", "navy", "maize"],
        ),
        (
            vec![([0x6c, 0x94, 0x5c], 50), ([0x3f, 0x2c, 0x20], 12), ([0xb0, 0x48, 0x32], 9)],
            ["chalk", "fern", "bark", "brick"],
        ),
    ]
    .into_iter()
    .enumerate()
    {
        let here = folder.path().join(number.to_string());
        std::fs::create_dir(&here).unwrap();
        let asked = photos(&here, &[&bands]);
        let proposals = Proposals::new(Some(&drawer), PAGE, &asked);
        assert_eq!(proposals.sets.len(), 3, "{proposals:?}");
        let own = names(&proposals.sets[0]);
        assert_eq!([own[1], own[2], own[3]], [first[1], first[2], first[3]], "{own:?}");
        for set in &proposals.sets {
            assert!(set.from_stock && !set.reason.is_empty());
            holds(set).unwrap();
        }
        // Alternatives differ in a paper, and in a reason.
        for [one, other] in [[0, 1], [0, 2], [1, 2]] {
            let [one, other] = [one, other].map(|set| &proposals.sets[set]);
            assert!(names(one) != names(other) && one.reason != other.reason, "{proposals:?}");
        }
        assert_eq!(Proposals::new(Some(&drawer), PAGE, &asked), proposals);
    }
}

#[test]
fn without_a_stock_colours_are_proposed_and_named() {
    let folder = tempfile::tempdir().unwrap();
    let asked = photos(folder.path(), &[&[([0x5d, 0x94, 0xbf], 500), ([0xd8, 0xa0, 0x30], 100)]]);
    let proposals = Proposals::new(None, PAGE, &asked);
    assert_eq!(proposals.sets.len(), 3, "{proposals:?}");
    let own = names(&proposals.sets[0]);
    assert!(own[1].ends_with("blue") && !proposals.sets[0].from_stock, "{own:?}");
    // What is written with them is a spec that needs no advice on contrast.
    let sketches: Vec<Sketch> =
        sketch::texts().iter().map(|text| Sketch::read(text).unwrap()).collect();
    let offers = sketch::offers(&sketches, PAGE, &asked);
    let title = FontBook::default().find("display").unwrap();
    let words = Words { name: "Buoy".to_owned(), title: "Buoy".to_owned(), story: None };
    for set in &proposals.sets {
        let text = sketch::spec(&offers.fits[0], set, &words, &title);
        assert!(text.contains(&format!("# Papers {}.", set.reason)), "{text}");
        let spec =
            description::parse(&text).unwrap_or_else(|problems| panic!("{problems}\n{text}"));
        let laid = cutleaf::layout::lay_out(&spec, folder.path(), &FontBook::default());
        let laid = laid.unwrap_or_else(|problems| panic!("{problems}\n{text}"));
        let advice = cutleaf::layout::advise(&laid, folder.path(), &FontBook::default());
        let of_contrast =
            advice.iter().filter(|one| one.kind == cutleaf::model::AdviceKind::Contrast);
        assert_eq!(of_contrast.count(), 0, "{text}");
    }
}

#[test]
fn without_pictures_papers_are_as_before() {
    let asked = wanted::photos("4x6, 3x3").unwrap();
    assert_eq!(Proposals::new(None, PAGE, &asked), Proposals::of(Papers::usual()));
    let drawer = stock(DRAWER);
    let proposals = Proposals::new(Some(&drawer), PAGE, &asked);
    assert_eq!(proposals, Proposals::of(Papers::of_stock(&drawer, PAGE).unwrap()));
}

#[test]
fn a_drawer_without_papers_that_go_together_gives_colours() {
    let folder = tempfile::tempdir().unwrap();
    let asked = photos(folder.path(), &[&[([0x5d, 0x94, 0xbf], 50), ([0xd8, 0xa0, 0x30], 10)]]);
    let pale = stock(
        "papers:\n  - {name: chalk, color: \"#f3efe6\", sheets: [{size: 12 x 12, count: 4}]}\n  \
         - {name: sand, color: \"#e5d3ae\", sheets: [{size: 12 x 12, count: 4}]}\n",
    );
    let proposals = Proposals::new(Some(&pale), PAGE, &asked);
    assert!(proposals.sets.iter().all(|set| !set.from_stock), "{proposals:?}");
    assert!(proposals.not_from_stock.is_some_and(|why| why.starts_with("only 2 of its papers")));
    // Each reason, by the papers of the drawer.
    let paper = |name: &str, color: &str| {
        format!("  - {{name: {name}, color: \"{color}\", sheets: [{{size: 12 x 12, count: 4}}]}}\n")
    };
    let [chalk, sand, mist] = [("chalk", "#f3efe6"), ("sand", "#e5d3ae"), ("mist", "#dfe6e8")]
        .map(|(name, color)| paper(name, color));
    let [navy, ink, bark] = [("navy", "#22344f"), ("ink", "#23354e"), ("bark", "#4a3428")]
        .map(|(name, color)| paper(name, color));
    let all_light = chalk.clone() + &sand + &mist;
    for (papers, wanted) in [
        (chalk.clone() + &sand + &mist, Some("no mat stands out from the page")),
        (
            navy.clone() + &ink + &bark,
            Some("no paper is light enough for a page; the lightest is bark"),
        ),
        (chalk + &navy + &ink, Some("base and mat are there")),
        (DRAWER.replace("papers:\n", ""), None),
        // Panels and strips of one paper, since sand and mist are not told from chalk.
        (all_light + &navy + &paper("moss", "#7c9a72"), None),
    ] {
        let proposals = Proposals::new(Some(&stock(&format!("papers:\n{papers}"))), PAGE, &asked);
        let told = proposals.not_from_stock.as_deref();
        assert_eq!(told.is_some(), wanted.is_some(), "{told:?}");
        assert!(told.is_none_or(|told| told.starts_with(wanted.unwrap_or_default())), "{told:?}");
        assert_eq!(proposals.sets[0].from_stock, wanted.is_none());
    }
}

#[test]
fn a_patterned_paper_counts_with_all_its_colours() {
    let folder = tempfile::tempdir().unwrap();
    let asked = photos(folder.path(), &[&[([0x5d, 0x94, 0xbf], 50), ([0xd8, 0xa0, 0x30], 10)]]);
    // A light paper with broad dark stripes is no base.
    let text = DRAWER.replace(
        "- {name: mist, color: \"#e4ecf0\",",
        "- {name: mist, color: \"#e4ecf0\", pattern: {stripe: {colors: [\"#22344f\"]}},",
    );
    let proposals = Proposals::new(Some(&stock(&text)), PAGE, &asked);
    assert!(!proposals.sets.is_empty());
    for set in &proposals.sets {
        assert_ne!(set.of(Role::Base).0, "mist", "{set:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    /// Whatever the photos' colours: contrast holds, sets differ, and the same photos give the same papers.
    #[test]
    fn contrast_holds_whatever_the_colours(
        bands in prop::collection::vec((any::<[u8; 3]>(), 1..40_u32), 1..7),
        papers in prop::collection::vec(any::<[u8; 3]>(), 0..12),
        has_stock in any::<bool>(),
    ) {
        let folder = tempfile::tempdir().unwrap();
        let asked = photos(folder.path(), &[&bands]);
        let mut text = "papers:\n  - {name: white, color: \"#fafafa\"}\n".to_owned();
        for (number, color) in papers.iter().enumerate() {
            let color = Color::new(*color);
            text += &format!("  - {{name: p{number}, color: \"{color}\", sheets: [{{size: 12 x 12, count: 2}}]}}\n");
        }
        let known = has_stock.then(|| stock(&text));
        let proposals = Proposals::new(known.as_ref(), PAGE, &asked);
        prop_assert!((1..=3).contains(&proposals.sets.len()));
        for (number, set) in proposals.sets.iter().enumerate() {
            prop_assert_eq!(holds(set), Ok(()));
            for other in &proposals.sets[..number] {
                let differs = ROLES.iter().any(|role| set.of(*role).1.difference(*other.of(*role).1) >= 14.0);
                prop_assert!(differs, "{:?}", proposals.sets);
            }
        }
        prop_assert_eq!(Proposals::new(known.as_ref(), PAGE, &asked), proposals);
    }
}

/// The address of a picture of dots in a page, by its id, and how often it is shown.
fn shown<'a>(page: &'a str, id: &str) -> Option<(&'a str, usize)> {
    let (_, found) = page.split_once(&format!("id=\"{id}\""))?;
    let (element, _) = found.split_once('>')?;
    // Attributes stand in the order of their names.
    let before = page[..page.len() - found.len()].rsplit_once('<')?.1;
    let of = |text: &'a str| Some(text.split_once("href=\"")?.1.split_once('"')?.0);
    let address = of(element).or_else(|| of(before))?;
    Some((address, page.matches(&format!("href=\"#{id}\"")).count()))
}

#[test]
fn papers_with_a_picture_are_drawn_with_it() {
    let folder = tempfile::tempdir().unwrap();
    let scan = image::RgbImage::from_fn(900, 600, |x, y| {
        image::Rgb(if (x / 150 + y / 150) % 2 == 0 {
            [0x6f, 0x9a, 0x62]
        } else {
            [0x84, 0xa8, 0x74]
        })
    });
    scan.save(folder.path().join("scan.png")).unwrap();
    let sketches: Vec<Sketch> =
        sketch::texts().iter().map(|text| Sketch::read(text).unwrap()).collect();
    let [label, title] = ["text", "display"].map(|name| FontBook::default().find(name).unwrap());
    let words = Words { name: "Pond".to_owned(), title: "Pond".to_owned(), story: None };
    let page_of = |asked: &[Wanted], drawer: &Stock| {
        let proposals = Proposals::new(Some(drawer), PAGE, asked);
        let offers = sketch::offers(&sketches, PAGE, asked);
        let page = sketch::gallery(&offers, asked, &proposals, &words, [&label, &title]);
        (page, proposals)
    };
    let green = &[([0x6c, 0x94, 0x5c], 500), ([0x3f, 0x2c, 0x20], 120), ([0xb0, 0x48, 0x32], 90)];
    let with_pictures = photos(folder.path(), &[green, green]);
    let sizes = wanted::photos("4x6, 3x3").unwrap();
    let plain = "name: fern, color: \"#7fa36f\",";
    let keys = "picture: scan.png, picture size: 3 x 2,";
    for (fern, is_there) in [
        (format!("name: fern, color: \"#7fa36f\", {keys}"), true),
        // Its colour is that of its picture where none is written.
        (format!("name: fern, {keys}"), true),
        (format!("name: fern, color: \"#7fa36f\", {}", keys.replace("scan", "gone")), false),
        (plain.to_owned(), false),
    ] {
        let text = DRAWER.replace(plain, &fern);
        // Fewer greens and blues, so that fern is a panel.
        let text: Vec<&str> = text.lines().filter(|line| !line.contains("sky")).collect();
        let drawer = Stock { folder: Some(folder.path().to_owned()), ..stock(&text.join("\n")) };
        let (page, proposals) = page_of(&with_pictures, &drawer);
        assert!(proposals.sets.iter().any(|set| names(set).contains(&"fern")), "{proposals:?}");
        let found = shown(&page, "photos-picture-2");
        assert_eq!(found.is_some(), is_there, "{fern}");
        assert!(shown(&page, "photos-picture-0").is_some_and(|(_, times)| times > 3), "{fern}");
        let Some((address, times)) = found else { continue };
        // In a swatch and on the panels of sketches, again and again at its real size.
        assert!(times > 20, "{times}");
        let data = address.strip_prefix("data:image/jpeg;base64,").unwrap();
        let data =
            base64::Engine::decode(&base64::engine::general_purpose::STANDARD, data).unwrap();
        let copy = image::load_from_memory(&data).unwrap();
        assert_eq!([copy.width(), copy.height()], [480, 320]);
    }
    // Without pictures of photos too, where a set is chosen by colour alone.
    let three = DRAWER.replace(plain, &format!("{plain} {keys}"));
    let three: Vec<&str> = three
        .lines()
        .filter(|line| ["papers", "chalk", "navy", "fern"].iter().any(|name| line.contains(name)))
        .collect();
    let drawer = Stock { folder: Some(folder.path().to_owned()), ..stock(&three.join("\n")) };
    let (page, proposals) = page_of(&sizes, &drawer);
    assert_eq!(proposals.not_from_stock, None);
    assert!(shown(&page, "photos-picture-2").is_some_and(|(_, times)| times > 3));
    // Nothing is drawn that no paper of a set shows.
    let bare = Stock { folder: None, ..drawer };
    assert_eq!(shown(&page_of(&sizes, &bare).0, "photos-picture-2"), None);
}
