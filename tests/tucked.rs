//! Pieces tucked under others: where they lie, in which order, and what is told of them.

use crate::support::spreads::{layout_of, record_of};
use cutleaf::layout::Layout;
use cutleaf::lettering::fonts::FontBook;
use cutleaf::plan::{Chain, Redo, redo_layout};
use kurbo::{Rect, Shape};

const HEAD: &str = "name: Cove
papers:
  slate: {color: '#44566c', sheets: {12 x 12: 9}}
  foam: {color: '#eef2ee', sheets: {12 x 12: 9}}
photos: {gull: {size: 4 x 3}, crab: {size: 2 x 2}}
single:
  base: foam
  pieces:
    - photo: {id: lookout, photo: gull, mats: [{paper: slate, reveal: 1/4}], at: [3, 4]}
";

fn laid(elements: &str) -> Layout {
    layout_of(&format!("{HEAD}{elements}")).unwrap_or_else(|problems| panic!("{problems:?}"))
}

/// Ids on the page, lowest first.
fn order(layout: &Layout) -> Vec<String> {
    let pieces = layout.pieces.iter().map(|piece| (piece.order, piece.id.to_string()));
    let photos = layout.photos.iter().map(|photo| (photo.order, photo.id.to_string()));
    let mut all: Vec<(u32, String)> = pieces.chain(photos).collect();
    all.sort();
    all.into_iter().map(|(_, id)| id.replace("single.", "")).collect()
}

fn bounds(layout: &Layout, id: &str) -> Rect {
    let piece = layout.pieces.iter().find(|piece| piece.id == format!("single.{id}"));
    piece.unwrap_or_else(|| panic!("no {id}")).on_page().bounding_box()
}

/// The mat lies at 3, 4 and is 4 1/2 x 3 1/2.
#[test]
fn so_much_sticks_out_on_the_side_that_is_named() {
    for (at, wanted) in [
        ("side: right, shows: 1/2", [6.0, 4.0, 8.0, 5.0]),
        ("side: left, shows: 1/2, align: center", [2.5, 5.25, 4.5, 6.25]),
        ("side: top, shows: 1/4, align: end", [5.5, 3.75, 7.5, 4.75]),
        ("side: bottom, shows: 3/4, align: center", [4.25, 7.25, 6.25, 8.25]),
        ("side: right, shows: 1/2, top: 6", [6.0, 6.0, 8.0, 7.0]),
        ("side: bottom, shows: 3/4, right: 5", [5.0, 7.25, 7.0, 8.25]),
    ] {
        let layout = laid(&format!(
            "    - panel: {{id: tab, paper: foam, size: 2 x 1, at: {{tucked under: lookout, {at}}}}}\n"
        ));
        let found = bounds(&layout, "tab");
        let found = [found.x0, found.y0, found.x1, found.y1];
        assert!(
            found.iter().zip(wanted).all(|(one, other)| (one - other).abs() < 1e-6),
            "{at}: {found:?}"
        );
        assert_eq!(order(&layout), ["base", "tab", "lookout.mat", "gull"], "{at}");
        assert!(layout.warnings.is_empty(), "{at}: {:?}", layout.warnings);
    }
    // A turned piece goes by the box round it.
    let layout = laid(
        "    - panel: {id: tab, paper: foam, size: 2 x 1, turn: 90, at: {tucked under: lookout, side: right, shows: 1/2}}\n",
    );
    let found = bounds(&layout, "tab");
    assert!((found.x1 - 8.0).abs() < 1e-6 && (found.width() - 1.0).abs() < 1e-6, "{found:?}");
}

#[test]
fn tucked_pieces_lie_beneath_their_hosts_whatever_their_place_in_the_list() {
    let tab = |id: &str, host: &str| {
        format!(
            "    - panel: {{id: {id}, paper: slate, size: 2 x 1, at: {{tucked under: {host}, side: right, shows: 1/2}}}}\n"
        )
    };
    let seal =
        "    - circle: {id: seal, paper: foam, diameter: 1/2, at: {right: 1/2, bottom: 1/2}}\n";
    for (elements, wanted) in [
        (tab("one", "lookout") + seal, vec!["base", "one", "lookout.mat", "gull", "seal"]),
        (
            seal.to_owned() + &tab("one", "lookout"),
            vec!["base", "one", "lookout.mat", "gull", "seal"],
        ),
        (
            tab("one", "lookout") + &tab("two", "lookout"),
            vec!["base", "one", "two", "lookout.mat", "gull"],
        ),
        // A chain, in either order.
        (
            tab("one", "lookout") + &tab("two", "one"),
            vec!["base", "two", "one", "lookout.mat", "gull"],
        ),
        (
            tab("two", "one") + &tab("one", "lookout"),
            vec!["base", "two", "one", "lookout.mat", "gull"],
        ),
        // What lies lower anyway stays where it is.
        (tab("one", "seal") + seal, vec!["base", "lookout.mat", "gull", "one", "seal"]),
    ] {
        assert_eq!(order(&laid(&elements)), wanted, "{elements}");
    }
}

#[test]
fn the_guide_says_what_goes_under_what() {
    let tag = "    - tag: {id: tag, paper: slate, size: 1 x 3, at: {tucked under: lookout, side: top, shows: 1}}\n    - photo: {photo: crab, at: {tucked under: lookout, side: right, shows: 1 1/4}}\n";
    let record = record_of(&format!("{HEAD}{tag}")).expect("enough paper");
    let piece = |id: &str| record.pieces.iter().find(|piece| piece.id == id).expect("there");
    let tag = piece("single.tag");
    assert!(
        tag.notes.iter().any(|note| note
            .starts_with("goes under the top edge of single.lookout.mat, 1 in of it showing")),
        "{:?}",
        tag.notes
    );
    let host = piece("single.lookout.mat");
    for note in ["single.tag goes under its top edge", "single.crab goes under its right edge"] {
        assert!(host.notes.iter().any(|one| one.starts_with(note)), "{:?}", host.notes);
    }
    let tucked = tag.tucked.as_ref().expect("tucked");
    assert_eq!(
        (tucked.under.as_str(), &*tucked.side, tucked.shows),
        ("single.lookout.mat", "top", 1.0)
    );
    let photo = record.photos.iter().find(|photo| photo.id == "single.crab").expect("there");
    assert_eq!(photo.tucked.as_ref().map(|tucked| tucked.shows), Some(1.25));
    // It is kept for a redo.
    let again = redo_layout(
        &Chain::of(record.clone()),
        &[Redo::Piece("single.tag".into())],
        &FontBook::new(vec![]),
    );
    let again = cutleaf::plan::record(&again.expect("redone")).expect("enough paper");
    assert_eq!(again.pieces[0].tucked, tag.tucked);
}

#[test]
fn what_can_not_be_tucked_is_told() {
    let panel =
        |at: &str| format!("    - panel: {{id: tab, paper: foam, size: 2 x 1, at: {{{at}}}}}\n");
    for (elements, told) in [
        (
            panel("tucked under: lokout, side: right, shows: 1/2"),
            "there is no piece `lokout` on this page",
        ),
        (panel("tucked under: tab, side: right, shows: 1/2"), "depends on itself"),
        (panel("tucked under: lookout, side: right, shows: 2"), "`tab` is 2 in that way"),
        (panel("tucked under: lookout, side: top, shows: 1 1/4"), "`tab` is 1 in that way"),
        (panel("tucked under: lookout, side: right, shows: 0"), "not more than 0"),
        (panel("tucked under: lookout, side: right"), "how much of it shows"),
        (panel("tucked under: lookout, shows: 1/2"), "the side on which it sticks out"),
        (panel("side: right, shows: 1/2"), "tell how a piece is tucked"),
        (panel("tucked under: lookout, side: rigt, shows: 1/2"), "`rigt` is not an edge"),
        (
            panel("tucked under: lookout, side: right, shows: 1/2, left: 1"),
            "`left` says another place",
        ),
        (
            panel("tucked under: lookout, side: top, shows: 1/2, below: base"),
            "`below` says another place",
        ),
        (
            panel("tucked under: two, side: right, shows: 1/2")
                + "    - panel: {id: two, paper: foam, size: 2 x 1, at: {tucked under: tab, side: right, shows: 1/2}}\n",
            "depends on itself",
        ),
    ] {
        let problems = layout_of(&format!("{HEAD}{elements}")).expect_err(&elements);
        assert!(problems.0[0].message.contains(told), "{elements}: {problems:?}");
        assert!(
            problems.0[0].place.is_some_and(|place| place.line.is_some()),
            "{elements}: {problems:?}"
        );
    }
    let hidden = laid(
        &(panel("tucked under: lookout, side: right, shows: 1/2")
            + "    - panel: {paper: slate, size: 2 x 2, at: [6, 3.5]}\n    - panel: {id: over, paper: slate, size: 2 x 2, at: [7, 4]}\n"),
    );
    let told: Vec<&str> = hidden.warnings.iter().map(|one| one.message.as_str()).collect();
    assert_eq!(told, ["`single.tab` is hidden by what lies on it"]);
    let spread = HEAD.replace("single:", "right: {}\nleft:")
        + "    - strip: {paper: slate, width: 1, across: spread, at: {tucked under: lookout, side: top, shows: 1/2}}\n";
    let problems = layout_of(&spread).expect_err("a strip of two pages");
    assert!(problems.0[0].message.contains("over both pages"), "{problems:?}");
}

/// The words of `held` take up the middle of the tag, 3 in long, that goes under the mat at 3, 4.
#[test]
fn words_beneath_a_host_are_told_with_what_must_show() {
    let tag = |more: &str, at: &str| {
        format!(
            "    - rectangle: {{id: tag, paper: foam, size: 3 x 1, {more}, at: {{tucked under: lookout, {at}}}}}\n"
        )
    };
    let held = "print: {text: held, size: 18 pt}";
    let wide = "print: {text: held by one string, size: 22 pt}";
    for (elements, told) in [
        (tag(held, "side: right, shows: 1/2"), Some("lie beneath `single.lookout.mat`")),
        (tag(held, "side: right, shows: 1 1/2"), Some("lie partly beneath `single.lookout.mat`")),
        (tag(held, "side: left, shows: 1 1/2"), Some("lie partly beneath")),
        (tag(held, "side: right, shows: 2"), None),
        (tag(wide, "side: right, shows: 2"), Some("lie partly beneath")),
        // Turned, its words run down: all of them are within 2 in of its lower end.
        (tag(&format!("turn: 90, {held}"), "side: bottom, shows: 1"), Some("lie beneath")),
        (tag(&format!("turn: 90, {held}"), "side: bottom, shows: 2"), None),
    ] {
        let layout = laid(&elements);
        let warnings: Vec<_> = layout.warnings.iter().filter(|one| one.kind == "hidden").collect();
        assert_eq!(warnings.len(), usize::from(told.is_some()), "{elements}: {warnings:?}");
        let (Some(told), Some(warning)) = (told, warnings.first()) else { continue };
        assert!(warning.message.contains(told), "{elements}: {}", warning.message);
        assert!(warning.message.starts_with("the words on `single.tag`"), "{}", warning.message);
        assert!(warning.line.is_some(), "{elements}");
        // What it says is enough, and a mark less is not.
        let (_, shows) = warning.help.split_once("`shows: ").expect(&warning.help);
        let (shows, _) = shows.split_once('`').expect("a measure");
        let (before, _) = elements.split_once("shows: ").expect("a measure");
        let mended = format!("{before}shows: {shows}}}}}\n");
        assert!(!laid(&mended).warnings.iter().any(|one| one.kind == "hidden"), "{mended}");
    }
}

/// A card that is folded shows its front, and the story may be tucked as well.
#[test]
fn words_on_folded_pieces_and_strips_are_told_too() {
    let card = "    - gatefold: {id: card, paper: foam, size: 3 x 2, print: {text: held, size: 18 pt}, at: {tucked under: lookout, side: right, shows: 1/2}}\n";
    let story = "journaling: {page: single, paper: foam, size: 11 pt, strip: {height: 3/8, widest: 3}, text: the wind did most of it, at: {tucked under: lookout, side: right, shows: 1}}\n";
    for (more, told) in [(card, "the words on `single.card`"), (story, "the words on `journaling`")]
    {
        let layout = laid(more);
        let told = |one: &&cutleaf::model::Warning| one.message.starts_with(told);
        assert_eq!(layout.warnings.iter().filter(told).count(), 1, "{:?}", layout.warnings);
    }
}
