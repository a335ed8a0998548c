//! The proof, the spread and the sheet pictures.

use std::num::NonZeroU64;
use std::sync::Arc;

use crate::support::kite_spread::kite_spread;
use cutleaf::emit::SmallCopies;
use cutleaf::emit::proof::proof_html;
use cutleaf::emit::raster::png;
use cutleaf::emit::sheet_picture::sheet_svg;
use cutleaf::emit::spread::spread_svg;
use cutleaf::lettering::fonts::{Font, FontBook};
use cutleaf::model::length::Units;
use cutleaf::record::{Fall, FontUsed, Record, Run, ShoppingLine, ThinPlace, Warning};

fn fonts() -> Vec<Arc<Font>> {
    vec![FontBook::new(Vec::new()).find("text").unwrap()]
}

#[test]
#[ignore = "writes pictures to look at"]
fn write_pictures_to_look_at() {
    let record = kite_spread();
    let fonts = fonts();
    let Ok(folder) = std::env::var("CUTLEAF_LOOK") else { return };
    let spread = spread_svg(&record, &fonts, &fonts[0], &SmallCopies::default()).document();
    let write =
        |name: &str, bytes: &[u8]| std::fs::write(format!("{folder}/{name}"), bytes).unwrap();
    write("spread.svg", spread.as_bytes());
    write("spread.png", &png(&spread, 60.0).unwrap());
    for sheet in &record.sheets {
        let svg = sheet_svg(&record, sheet, &fonts[0]).document();
        write(&format!("{}.png", sheet.id), &png(&svg, 60.0).unwrap());
    }
    write("proof.html", proof(&record).as_bytes());
    for sheet in &record.sheets {
        if let Some(svg) = cutleaf::emit::cut_svg::cut_svg(&record, sheet) {
            write(&format!("cut-{}.svg", sheet.id), svg.as_bytes());
            write(&format!("cut-{}.png", sheet.id), &png(&svg, 60.0).unwrap());
        }
    }
}

const HOSTILE: &str =
    "\"><img src=x onerror=alert(1)>&'</title></svg><script>alert(2)</script>\u{1}";

fn hostile_record() -> Record {
    let mut record = kite_spread();
    record.name = HOSTILE.into();
    record.papers[3].name = HOSTILE.into();
    record.papers[3].notes = vec![HOSTILE.into(), "one ` tick".into()];
    for piece in record.pieces.iter_mut().filter(|piece| piece.paper == "harbour") {
        piece.paper = HOSTILE.into();
        piece.notes = vec![HOSTILE.into()];
    }
    record.pieces[2].id = HOSTILE.into();
    record.pieces[2].kind = HOSTILE.into();
    record.photos[0].name = HOSTILE.into();
    record.strips[0].text = HOSTILE.into();
    record.sheets[3].id = HOSTILE.into();
    record.sheets[3].from = Some(HOSTILE.into());
    record.sheets[3].offcuts[0].id = HOSTILE.into();
    record.sheets[3].cuts[0].keeps.what = Fall::Offcut(HOSTILE.into());
    record.fonts[0].family = HOSTILE.into();
    record.cutleaf = HOSTILE.into();
    record.totals.shopping[0].paper = HOSTILE.into();
    let words = || HOSTILE.to_owned();
    let warning = Warning {
        kind: words(),
        message: words(),
        help: words(),
        piece: Some(words()),
        line: NonZeroU64::new(3),
    };
    record.warnings.push(warning);
    record
}

/// Every picture of a record.
fn pictures(record: &Record) -> Vec<String> {
    let fonts = fonts();
    let mut pictures =
        vec![spread_svg(record, &fonts, &fonts[0], &SmallCopies::default()).document()];
    pictures
        .extend(record.sheets.iter().map(|sheet| sheet_svg(record, sheet, &fonts[0]).document()));
    pictures
}

fn proof(record: &Record) -> String {
    let fonts = fonts();
    let copies = SmallCopies::default();
    let spread = spread_svg(record, &fonts, &fonts[0], &copies);
    proof_html(record, &spread, &fonts[0], &copies)
}

/// The values of an attribute wherever it occurs.
fn values<'a>(html: &'a str, attribute: &str) -> Vec<&'a str> {
    let begin = format!(" {attribute}=\"");
    html.split(&begin).skip(1).filter_map(|rest| rest.split('"').next()).collect()
}

#[test]
fn pictures_are_read_back_without_text_or_anything_from_elsewhere() {
    for svg in pictures(&kite_spread()) {
        usvg::Tree::from_str(&svg, &usvg::Options::default()).unwrap();
        let document = roxmltree::Document::parse(&svg).unwrap();
        assert!(document.descendants().all(|node| !node.has_tag_name("text")));
        assert!(document.descendants().all(|node| !node.has_tag_name("image")));
        assert!(values(&svg, "href").iter().all(|link| link.starts_with('#')));
        assert!(!svg.contains("NaN") && !svg.contains("inf "), "{svg}");
    }
}

#[test]
fn every_link_inside_a_picture_leads_somewhere() {
    for svg in pictures(&kite_spread()) {
        let ids = values(&svg, "id");
        let mut unique = ids.clone();
        unique.sort_unstable();
        unique.dedup();
        assert_eq!(ids.len(), unique.len(), "an id is given twice");
        for link in values(&svg, "href") {
            assert!(ids.contains(&&link[1..]), "{link} leads nowhere");
        }
        for fill in values(&svg, "fill").iter().filter(|fill| fill.starts_with("url(#")) {
            assert!(ids.contains(&&fill[5..fill.len() - 1]), "{fill} leads nowhere");
        }
    }
}

#[test]
fn the_spread_shows_every_piece_and_photo_in_stacking_order() {
    let record = kite_spread();
    let fonts = fonts();
    let svg = spread_svg(&record, &fonts, &fonts[0], &SmallCopies::default()).document();
    let document = roxmltree::Document::parse(&svg).unwrap();
    let titles = document.descendants().filter(|node| node.has_tag_name("title"));
    let titles: Vec<&str> = titles.filter_map(|title| title.text()).skip(1).collect();
    let mut expected: Vec<(u32, String)> = record
        .pieces
        .iter()
        .map(|piece| (piece.order, format!("{}: {} of {}", piece.id, piece.kind, piece.paper)))
        .chain(record.photos.iter().map(|photo| (photo.order, format!("photo {}", photo.name))))
        .collect();
    expected.sort();
    let expected: Vec<String> = expected.into_iter().map(|(_, title)| title).collect();
    assert_eq!(titles, expected);
}

#[test]
fn the_spread_is_painted_in_the_papers_colours() {
    let record = kite_spread();
    let fonts = fonts();
    let bytes =
        png(&spread_svg(&record, &fonts, &fonts[0], &SmallCopies::default()).document(), 20.0)
            .unwrap();
    let dots = resvg::tiny_skia::Pixmap::decode_png(&bytes).unwrap();
    // Half an inch of table, then the left page: its base, and the blue mat round the first photo.
    let color = |x: f64, y: f64| {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "small")]
        let dot = dots.pixel(((0.5 + x) * 20.0) as u32, ((0.5 + y) * 20.0) as u32).unwrap();
        [dot.red(), dot.green(), dot.blue()]
    };
    assert_eq!(color(0.4, 0.4), [0xe6, 0xd6, 0xb4]);
    assert_eq!(color(0.87, 3.0), [0x2f, 0x5f, 0x78]);
    assert_eq!(color(12.0 + 0.14 + 0.95, 6.25), [0x2f, 0x5f, 0x78]);
    assert_eq!((dots.width(), dots.height()), (503, 260));
}

#[test]
fn strips_are_lettered_with_their_own_glyphs() {
    let record = kite_spread();
    let svg = &pictures(&record)[0];
    let used = values(svg, "href").iter().filter(|link| link.starts_with("#spread-g1-")).count();
    let letters = record.strips.iter().flat_map(|strip| strip.text.chars());
    assert_eq!(used, letters.filter(|letter| !letter.is_whitespace()).count());
    let blank = spread_svg(&record, &[], &fonts()[0], &SmallCopies::default()).document();
    assert!(!blank.contains("#spread-g1-"), "strips stay blank without their font");
}

#[test]
fn sheets_number_their_pieces_and_cuts() {
    let record = kite_spread();
    let fonts = fonts();
    for sheet in &record.sheets {
        let svg = sheet_svg(&record, sheet, &fonts[0]).document();
        let document = roxmltree::Document::parse(&svg).unwrap();
        let discs = document.descendants().filter(|node| node.has_tag_name("circle"));
        let discs = discs.filter(|node| !node.ancestors().any(|n| n.has_tag_name("pattern")));
        assert_eq!(discs.count(), sheet.cuts.len(), "{}", sheet.id);
        let titles = document.descendants().filter(|node| node.has_tag_name("title"));
        assert_eq!(titles.count(), 1 + sheet.placed.len() + sheet.offcuts.len());
    }
}

#[test]
fn the_proof_is_one_file_that_needs_nothing_else() {
    let html = proof(&kite_spread());
    assert!(!html.contains("http:") && !html.contains("https:") && !html.contains("@import"));
    assert!(values(&html, "src").is_empty());
    let ids = values(&html, "id");
    for link in values(&html, "href") {
        assert!(link.starts_with('#'), "{link}");
        assert!(ids.contains(&&link[1..]), "{link} leads nowhere");
    }
    let mut unique = ids.clone();
    unique.sort_unstable();
    unique.dedup();
    assert_eq!(ids.len(), unique.len(), "an id is given twice");
    for fill in values(&html, "fill").iter().filter(|fill| fill.starts_with("url(")) {
        assert!(ids.contains(&&fill[5..fill.len() - 1]), "{fill} leads nowhere");
    }
    assert!(!html.contains("NaN"));
    assert!(html.len() < 1_000_000, "{} bytes", html.len());
}

#[test]
fn the_proof_names_every_piece_sheet_strip_and_warning() {
    let record = kite_spread();
    let html = proof(&record);
    for (place, piece) in record.pieces.iter().enumerate() {
        let row = html.split(&format!("<tr id=\"piece-{}\">", place + 1)).nth(1).unwrap();
        let row = row.split("</tr>").next().unwrap();
        assert!(
            row.contains(&piece.id.replace('.', ".<wbr>")) && row.contains(&piece.paper),
            "{row}"
        );
    }
    for (place, sheet) in record.sheets.iter().enumerate() {
        assert!(html.contains(&format!("<h3 id=\"sheet-{}-name\">{}</h3>", place + 1, sheet.id)));
        let card = html.split(&format!("id=\"sheet-{}\"", place + 1)).nth(1).unwrap();
        let card = card.split("</article>").next().unwrap();
        assert_eq!(card.matches("<li value=").count(), sheet.cuts.len());
    }
    assert!(html.contains("The wind came in at noon &amp; it stayed."));
    assert!(html.contains("<code>right.<wbr>kite</code> is 1/32 in wide"));
    assert!(html.contains("6\u{a0}1/2 x\u{a0}4\u{a0}1/2\u{a0}in"));
    assert!(html.contains("Tear the lower edge by hand"));
}

#[test]
fn millimetres_are_shown_when_the_record_says_so() {
    let record = Record { shown_in: Units::Millimetres, ..kite_spread() };
    let html = proof(&record);
    assert!(html.contains("304.8 x\u{a0}304.8\u{a0}mm"));
    assert!(!html.contains("1/2\u{a0}in"), "a fraction of an inch is left over");
}

#[test]
fn hostile_names_are_shown_and_never_obeyed() {
    let record = hostile_record();
    let html = proof(&record);
    assert_eq!(html.matches("<script>").count(), 1, "only our own script");
    assert!(!html.contains("<img") && !html.contains("url(http"));
    assert_eq!(html.matches("</title></svg>").count(), 0);
    assert!(html.contains("&lt;img src=x onerror=alert(1)&gt;"));
    for svg in pictures(&record) {
        let document = roxmltree::Document::parse(&svg).unwrap();
        assert!(document.descendants().all(|node| !node.has_tag_name("script")));
        usvg::Tree::from_str(&svg, &usvg::Options::default()).unwrap();
    }
}

#[test]
fn an_empty_or_broken_record_still_gives_files() {
    let broken = {
        let mut record = kite_spread();
        record.page = [f64::NAN, f64::INFINITY];
        record.pieces[4].at = [f64::NAN, 1.0];
        record.pieces[5].path = String::new();
        record.pieces[5].outline.clear();
        record.photos[0].size = [0.0, -1.0];
        record.strips[0].type_size = 0.0;
        record.sheets[3].placed[0].at = [f64::INFINITY, 0.0];
        record.sheets[2].size = [0.0, 0.0];
        record
    };
    for record in [Record::default(), broken] {
        let html = proof(&record);
        assert!(html.ends_with("</html>\n"));
        for svg in pictures(&record) {
            roxmltree::Document::parse(&svg).unwrap();
            assert!(!svg.contains("NaN"), "{svg}");
        }
    }
}

#[test]
fn the_same_record_gives_the_same_bytes() {
    let one = kite_spread();
    let other = kite_spread();
    assert_eq!(proof(&one), proof(&other));
    assert_eq!(pictures(&one), pictures(&other));
    let png = |record| png(&pictures(record)[0], 20.0).unwrap();
    assert_eq!(png(&one), png(&other));
}

#[test]
fn pictures_of_absurd_size_are_refused() {
    let svg = pictures(&kite_spread()).remove(0);
    for resolution in [0.0, -5.0, 1e9, f64::NAN, f64::INFINITY] {
        assert!(png(&svg, resolution).is_err(), "{resolution}");
    }
    assert!(png("<svg", 60.0).is_err());
    let outside = "<svg xmlns='http://www.w3.org/2000/svg' width='1in' height='1in'>\
                   <image href='/etc/hostname' width='9' height='9'/></svg>";
    assert!(png(outside, 60.0).is_ok());
}

/// The texts of the strips in the proof, in their order, as HTML.
fn told(html: &str) -> Vec<&str> {
    let quotes = html.split("<q dir=\"auto\"").skip(1);
    quotes
        .filter_map(|rest| rest.split_once('>')?.1.split_once("</q>"))
        .map(|told| told.0)
        .collect()
}

#[test]
fn the_story_is_told_as_it_is_read_with_its_emphasis_and_paper() {
    let mut record = kite_spread();
    let plain: Vec<String> = told(&proof(&record)).into_iter().map(str::to_owned).collect();
    let words: Vec<String> =
        record.strips.iter().map(|strip| strip.text.replace('&', "&amp;")).collect();
    assert_eq!(plain, words);
    // Printed in another order than they are read, with one word in another face.
    record.strips.reverse();
    for (family, html) in [
        ("Noto Sans Italic", "<em>The</em>"),
        ("Noto Sans Bold", "<strong>The</strong>"),
        ("Noto Sans Bold Italic", "<strong><em>The</em></strong>"),
        ("Lobster Regular", "<em>The</em>"),
    ] {
        let mut record = record.clone();
        record.fonts.push(FontUsed { family: family.into(), ..FontUsed::default() });
        let first = record.strips.last_mut().unwrap();
        assert!(first.text.starts_with("The "));
        let rest = first.runs[0].glyphs.split_off(3);
        first.runs[0].font = 1;
        first.runs.push(Run { font: 0, glyphs: rest });
        let page = proof(&record);
        let told = told(&page);
        let expected = words[0].replacen("The", html, 1);
        // The blank belongs to the word before it, whichever way that is set.
        let found = told[0].replace(" </em>", "</em> ").replace(" </strong>", "</strong> ");
        assert_eq!(found.replace("</em> </strong>", "</em></strong> "), expected, "{family}");
        assert_eq!(told[1..], words[1..]);
        assert!(page.contains("snow, "), "the strip's paper");
    }
}

#[test]
fn one_is_told_in_the_singular_and_unpriced_paper_has_no_price() {
    let mut record = kite_spread();
    let totals = &mut record.totals;
    (totals.pieces, totals.sheets, totals.trimmer_cuts, totals.words) = (1, 1, 1, 1);
    let line = totals.shopping[0].clone();
    totals.shopping = vec![
        ShoppingLine { price: Some(0.9), ..line.clone() },
        ShoppingLine { price: None, ..line },
    ];
    let html = proof(&record);
    for many in ["pieces to cut", "sheets in all", "trimmer cuts", "words of story"] {
        assert!(!html.contains(&format!("<dt>{many}</dt>")), "1 {many}");
    }
    assert!(html.contains("<td>0.90</td>") && !html.contains("<td>0.00</td>"));
}

#[test]
fn only_the_proof_rings_thin_places() {
    let mut record = kite_spread();
    let kite = record.pieces.iter_mut().find(|piece| piece.id == "right.kite").unwrap();
    kite.thin = vec![ThinPlace { at: [0.5, 0.5], width: 0.03, length: 0.2 }];
    assert!(!pictures(&record)[0].contains("class=\"thin\""));
    assert!(proof(&record).contains("class=\"thin\""));
}

#[test]
fn everything_has_a_box_whose_tick_is_kept_for_this_plan_alone() {
    let record = kite_spread();
    let html = proof(&record);
    let boxes = record.pieces.len() + record.sheets.len() + record.strips.len();
    assert_eq!(html.matches(" data-tick=\"").count(), boxes);
    let key = |record: &Record| values(&proof(record), "data-ticks")[0].to_owned();
    let mut moved = record.clone();
    moved.sheets[2].placed[0].at[0] += 0.125;
    let renamed = Record { name: "Another".into(), ..record.clone() };
    assert!(key(&record).contains(&record.name));
    assert_eq!(key(&record), key(&record.clone()));
    assert_ne!(key(&record), key(&moved), "stale ticks would show");
    assert_ne!(key(&record), key(&renamed));
}

#[test]
fn all_sheets_are_shown_at_one_scale_and_no_figure_is_cut_off() {
    for shown_in in [Units::Inches, Units::Millimetres] {
        let mut record = Record { shown_in, ..kite_spread() };
        record.sheets[0].size = [24.0, 30.0];
        let html = proof(&record);
        let scale = |sheet: &cutleaf::record::Sheet| {
            let told = format!("aria-label=\"Sheet {} of", sheet.id);
            let tag = html.split(&told).nth(1).unwrap().split('>').next().unwrap();
            let share = tag.split("width:").nth(1).and_then(|rest| rest.split('%').next());
            let share: f64 = share.map_or(100.0, |share| share.parse().unwrap());
            let width = values(tag, "viewBox")[0].split(' ').nth(2).unwrap();
            share / width.parse::<f64>().unwrap()
        };
        let scales: Vec<f64> = record.sheets.iter().map(scale).collect();
        assert!(scales.iter().all(|one| (one - scales[0]).abs() < 0.01), "{scales:?}");
        for svg in &pictures(&record)[1..] {
            let tree = usvg::Tree::from_str(svg, &usvg::Options::default()).unwrap();
            let (drawn, size) = (tree.root().abs_bounding_box(), tree.size());
            assert!(drawn.left() >= 0.0 && drawn.top() >= 0.0, "{shown_in}: {drawn:?}");
            assert!(drawn.right() <= size.width() && drawn.bottom() <= size.height());
        }
    }
}
