//! Kits: several copies of an element, a page or a whole spread.

use std::collections::BTreeMap;
use std::path::Path;

use assert_cmd::Command;

use crate::support::spreads::{layout_of, record_of, strict_record_of};
use cutleaf::description::{self, Problems};
use cutleaf::emit::SmallCopies;
use cutleaf::emit::guide::guide_pdf;
use cutleaf::emit::proof::proof_html;
use cutleaf::emit::spread::spread_svg;
use cutleaf::layout::{Layout, lay_out};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::nest::Search;
use cutleaf::plan::{self, Chain, Redo, redo_layout};
use cutleaf::record::{Record, Sheet};

const SAME_AREA: f64 = 1e-6;

/// Seed packets of a garden club; `more` are keys of the spec, `of_page` of its page, `of_tag` of its tag.
fn seeds(more: &str, of_page: &str, of_tag: &str) -> String {
    format!(
        "name: Seed swap\n{more}\npage: 6 x 8\n\
         cutting: {{effort: quick}}\n\
         papers:\n\
        \x20 moss: {{color: \"#6b7d4f\", sheets: {{12 x 12: {{count: 90, price: 0.9}}}}}}\n\
        \x20 oat: {{color: \"#efe3c8\", sheets: {{12 x 12: 60}}, offcuts: [{{size: 6 x 9}}]}}\n\
         single:\n\
        \x20 base: moss\n{of_page}\
        \x20 pieces:\n\
        \x20   - pocket: {{id: packet, paper: oat, size: 3 x 4, at: {{left: 1, top: 1}}}}\n\
        \x20   - tag: {{id: label, paper: oat, size: 1 x 2, at: {{right: 1/4, top: 1/4}}{of_tag}}}\n\
         title:\n\
        \x20 - {{words: Sow, height: 3/4, paper: oat, backing: {{paper: moss, margin: 1/8}}, at: {{left: 1, bottom: 1/2}}}}\n\
         journaling:\n\
        \x20 paper: oat\n\
        \x20 text: Sow after the last frost, a thumb deep, and water them until they show.\n\
        \x20 strip: {{height: 1/4, widest: 2 1/2}}\n\
        \x20 at: {{left: 1/4, bottom: 1 3/4}}\n"
    )
}

fn count_of(number: usize) -> u32 {
    u32::try_from(number).expect("few")
}

/// Every copy that lies on some sheets, by piece: on the k-th sheet of a count, later copies follow.
fn copies_on(sheets: &[Sheet]) -> BTreeMap<String, Vec<u32>> {
    let mut copies: BTreeMap<String, Vec<u32>> = BTreeMap::new();
    for sheet in sheets {
        let each = |id: &str| count_of(sheet.placed.iter().filter(|one| one.piece == id).count());
        for placed in &sheet.placed {
            let all = copies.entry(placed.piece.to_string()).or_default();
            all.extend((0..sheet.count.get()).map(|k| placed.copy + k * each(&placed.piece)));
        }
    }
    copies.values_mut().for_each(|copies| copies.sort_unstable());
    copies
}

/// Every copy of every piece is cut once, and the areas come to each other.
fn check(record: &Record) {
    let mut wanted: BTreeMap<String, Vec<u32>> = BTreeMap::new();
    for piece in &record.pieces {
        wanted.insert(piece.id.to_string(), (1..=piece.copies).collect());
    }
    assert_eq!(copies_on(&record.sheets), wanted);
    let strips = record.strips.iter().map(|strip| strip.id.to_string());
    for id in strips {
        let count = |strip: &&cutleaf::record::Strip| {
            let page =
                record.printed.iter().find(|page| page.number == strip.page).expect("a page");
            page.count.get()
        };
        let printed: u32 = record
            .strips
            .iter()
            .filter(|strip| strip.id == id.as_str())
            .map(|strip| count(&strip))
            .sum();
        assert_eq!(printed as usize, wanted[&id].len(), "{id}");
    }
    let area = |size: [f64; 2]| size[0] * size[1];
    let parts: Vec<&str> =
        record.sheets.iter().flat_map(|sheet| &sheet.parts).map(|part| part.id.as_str()).collect();
    let sheets: f64 = record
        .sheets
        .iter()
        .filter(|sheet| !parts.contains(&sheet.id.as_str()))
        .map(|sheet| area(sheet.size) * sheet.count.factor())
        .sum();
    assert!((sheets - record.totals.sheet_area).abs() < SAME_AREA);
    let pieces: f64 = record.pieces.iter().map(|piece| piece.area * f64::from(piece.copies)).sum();
    assert!((pieces - record.totals.piece_area).abs() < 1e-3 * pieces, "rings are flattened");
    for sheet in &record.sheets {
        let rings = sheet
            .placed
            .iter()
            .map(|placed| placed.rings.iter().map(cutleaf::geometry::ring_area).sum::<f64>().abs());
        let on_parts: f64 = sheet
            .parts
            .iter()
            .map(|part| {
                let part = record.sheets.iter().find(|one| one.id == part.id).expect("a part");
                part.used * area(part.size) * part.count.factor()
            })
            .sum();
        let used = (rings.sum::<f64>() * sheet.count.factor() + on_parts)
            / (area(sheet.size) * sheet.count.factor());
        assert!((used - sheet.used).abs() < SAME_AREA, "{}: {used} {}", sheet.id, sheet.used);
    }
    let count: u32 = record.sheets.iter().map(|sheet| sheet.count.get()).sum();
    assert_eq!(record.totals.sheets, count);
    // Names go on after the sheets of a count.
    let mut names: BTreeMap<&str, Vec<(u32, u32)>> = BTreeMap::new();
    for sheet in &record.sheets {
        let number = sheet.id.rsplit_once('-').and_then(|(_, number)| number.parse().ok());
        let of_paper = names.entry(&sheet.paper).or_default();
        of_paper.push((number.expect("a number"), sheet.count.get()));
    }
    for (paper, mut numbers) in names {
        numbers.sort_unstable();
        let mut next = 1;
        for (number, count) in numbers {
            assert_eq!(number, next, "{paper}");
            next += count;
        }
    }
}

#[test]
fn copies_of_element_page_and_spread_multiply() {
    let page = "  copies: 2\n";
    for (spec, of_page, of_tag, kits, pocket, tag) in [
        ("", "", "", 1, 1, 1),
        ("", "", ", copies: 3", 1, 1, 3),
        ("", page, ", copies: 3", 1, 2, 6),
        ("copies: 3", "", "", 3, 3, 3),
        ("copies: 3", page, ", copies: 2", 3, 6, 12),
    ] {
        let record = record_of(&seeds(spec, of_page, of_tag)).expect("a plan");
        check(&record);
        assert_eq!(record.kits.get(), kits);
        let copies =
            |id: &str| record.pieces.iter().find(|piece| piece.id == id).map(|piece| piece.copies);
        for id in
            ["single.base", "single.packet", "title.sow.S", "title.sow.backing", "journaling.1"]
        {
            assert_eq!(copies(id), Some(pocket), "{id}");
        }
        assert_eq!(copies("single.label"), Some(tag));
        let all: u32 = record.pieces.iter().map(|piece| piece.copies).sum();
        assert_eq!(record.totals.pieces, all);
        assert_eq!(record.totals.words, 14, "a story is told once");
    }
}

#[test]
fn one_copy_is_no_copy() {
    let record =
        |more: &str| serde_json::to_string(&record_of(&seeds(more, "", "")).expect("a plan"));
    let (one, none) = (record("copies: 1").expect("JSON"), record("").expect("JSON"));
    assert_eq!(one, none);
    assert!(!none.contains("\"count\":1,\"from\""), "a count of one is not told");
}

#[test]
fn a_number_of_copies_that_is_none_is_refused() {
    for (spec, of_page, of_tag) in [
        ("copies: 0", "", ""),
        ("copies: 1001", "", ""),
        ("copies: many", "", ""),
        ("", "  copies: -2\n", ""),
        ("", "", ", copies: 2.5"),
    ] {
        let problems = layout_of(&seeds(spec, of_page, of_tag)).expect_err("no number").to_string();
        assert!(problems.contains("is not a number of copies"), "{problems}");
        assert!(problems.contains("write a whole number, 1 to 1000"), "{problems}");
    }
    let problems = layout_of(&seeds("copies: 1000", "  copies: 6\n", "")).expect_err("too many");
    let problems = problems.to_string();
    assert!(problems.contains("`single.base` is made 6000 times"), "{problems}");
    assert!(problems.contains("5000 of one thing at most"), "{problems}");
}

#[test]
fn too_little_paper_for_all_copies_is_told_with_numbers() {
    let few = seeds("copies: 4", "", "").replace("{count: 90, price: 0.9}", "1");
    let problems = strict_record_of(&few).expect_err("one sheet of moss").to_string();
    assert!(problems.contains("of 4 `single.base`"), "{problems}");
    let record = record_of(&few).expect("a plan with sheets to buy");
    check(&record);
    let line = record.totals.shopping.iter().find(|line| line.paper == "moss").expect("a line");
    assert_eq!((line.uses - line.buy, line.on_hand), (1, 1));
}

#[test]
fn the_story_of_several_kits_shares_printed_sheets() {
    let sheets = |kits: &str| {
        let record = record_of(&seeds(kits, "", "")).expect("a plan");
        check(&record);
        record.printed.iter().map(|page| page.count.get()).sum::<u32>()
    };
    assert_eq!(sheets(""), 1);
    assert_eq!(sheets("copies: 5"), 1);
    let many = sheets("copies: 20");
    assert!((1..=4).contains(&many), "{many}");
}

/// A record as a file has it.
fn read_back(record: &Record) -> Record {
    let text = serde_json::to_string(record).expect("JSON");
    plan::read_record("record.json", &text).expect("a record")
}

#[test]
fn of_a_piece_with_copies_one_is_cut_again_or_as_many_as_are_asked_for() {
    let build = read_back(&record_of(&seeds("copies: 4", "", ", copies: 2")).expect("a plan"));
    let mut chain = Chain::of(build.clone());
    let fonts = FontBook::new(vec![]);
    let mut offcuts: u32 = 0;
    for (words, copies) in [
        ("single.label", 1),
        ("single.label x 3", 3),
        ("single.label x all", 8),
        ("journaling.2 x 4", 4),
        ("single.base", 1),
    ] {
        let words = words.to_owned();
        let wanted = plan::wanted(&chain, std::slice::from_ref(&words)).expect(&words);
        let layout = redo_layout(&chain, &wanted, &fonts).expect(&words);
        let redo = read_back(&plan::record(&layout).expect(&words));
        check(&redo);
        assert_eq!(redo.totals.pieces, copies, "{words}");
        assert_eq!(redo.kits.get(), 1);
        offcuts += count_of(redo.sheets.iter().filter(|sheet| sheet.from.is_some()).count());
        chain = chain.then(redo).expect("the chain holds");
    }
    assert!(offcuts > 0, "what the build left is used");
    // No offcut is spent more often than there is one of it.
    let records: Vec<&Record> = [&build].into_iter().chain(chain.redos()).collect();
    let mut left: BTreeMap<String, u32> = BTreeMap::new();
    for record in records {
        for sheet in &record.sheets {
            if let Some(from) = sheet.from.as_ref().filter(|from| from.contains("offcut")) {
                let there = left.entry(from.clone()).or_insert(u32::from(from == "oat-offcut-1"));
                assert!(*there >= sheet.count.get(), "{from} is spent twice");
                *there -= sheet.count.get();
            }
            for offcut in &sheet.offcuts {
                *left.entry(offcut.id.to_string()).or_default() += offcut.count.get();
            }
        }
    }
    for words in ["single.label x 9", "single.label x 0", "single.base x 5"] {
        let fault = plan::wanted(&chain, &[words.to_owned()]).expect_err(words);
        assert!(fault.message.contains("is made"), "{fault:?}");
    }
}

#[test]
fn a_sheet_of_several_that_are_cut_alike_is_cut_again_once() {
    let build = read_back(&record_of(&seeds("copies: 8", "", "")).expect("a plan"));
    let plain = |sheet: &&Sheet| sheet.from.is_none() && sheet.parts.is_empty();
    for sheet in build.sheets.iter().filter(plain) {
        let chain = Chain::of(build.clone());
        let wanted = [Redo::Sheet(sheet.id.clone())];
        let fonts = FontBook::new(vec![]);
        let mut layout = redo_layout(&chain, &wanted, &fonts).expect("a layout");
        let repeated = plan::repeat(&mut layout, &chain, &wanted);
        let plan = plan::plan_with(&layout, &repeated, &Search::new()).expect("a plan");
        let redo = plan.record();
        assert_eq!(redo.totals.pieces as usize, sheet.placed.len(), "{}", sheet.id);
        assert_eq!(redo.sheets.len(), 1);
        assert!(redo.sheets[0].count.is_one());
        assert!(redo.sheets[0].placed == sheet.placed, "{} as it was", sheet.id);
    }
}

/// Tags by name, in a folder with a list of names.
fn club(list: &str, each: &str, more: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let file = if each.contains("csv") { "class.csv" } else { "names.txt" };
    std::fs::write(folder.path().join(file), list).expect("a list");
    let spec = format!(
        "name: Club tags\neach: {each}\n{more}\npage: 6 x 4\n\
         cutting: {{effort: quick}}\n\
         papers:\n\
        \x20 moss: {{color: \"#6b7d4f\", sheets: {{12 x 12: 10}}}}\n\
        \x20 oat: {{color: \"#efe3c8\", sheets: {{8.5 x 11: 20}}}}\n\
         single:\n\
        \x20 base: moss\n\
        \x20 pieces:\n\
        \x20   - tag: {{id: tag, paper: oat, size: 2 x 3, at: {{left: 1/4, top: 1/4}}, print: {{text: \"{{name}}'s seeds\"}}}}\n\
         title:\n\
        \x20 - {{words: \"{{name}}\", height: 5/8, paper: moss, at: {{left: 2 1/2, bottom: 1/2}}}}\n\
         journaling:\n\
        \x20 paper: oat\n\
        \x20 text: \"{{name}} sows beans.\"\n\
        \x20 strip: {{height: 1/4, widest: 2 1/2}}\n\
        \x20 at: {{right: 1/4, top: 1 3/4}}\n"
    );
    (folder, spec)
}

fn laid_out(folder: &tempfile::TempDir, spec: &str) -> Result<Layout, Problems> {
    let spec = description::parse(spec)?;
    lay_out(&spec, folder.path(), &FontBook::new(vec![]))
}

#[test]
fn a_list_of_names_makes_a_kit_for_each() {
    let names = "# the club\nAda\nBen\n\nAda\n  Oona  \n";
    let table = "row,name\n1,Ada\n2,Ben\n3,\"Ada\"\n4,\n5,Oona\n";
    let semicolons = "row;name\r\n1;Ada\r\n2;Ben\r\n3;Ada\r\n5;Oona\r\n";
    for (list, each) in [
        (names, "names.txt"),
        (table, "{file: class.csv, column: name}"),
        (semicolons, "{file: class.csv, column: name}"),
    ] {
        let (folder, spec) = club(list, each, "");
        let layout = laid_out(&folder, &spec).expect("a layout");
        let record = plan::record(&layout).expect("a plan");
        check(&record);
        assert_eq!(record.kits.get(), 4);
        assert_eq!(record.names, ["Ada", "Ben", "Ada", "Oona"]);
        let piece = |id: &str| record.pieces.iter().find(|piece| piece.id == id).expect(id);
        assert_eq!((piece("single.base").copies, &piece("single.base").kit), (4, &None));
        for (id, copies, kit) in [
            ("single.tag@ada", 2, "Ada"),
            ("single.tag@ben", 1, "Ben"),
            ("title.name.A@ada", 2, "Ada"),
            ("title.name.B@ben", 1, "Ben"),
            ("title.name.n@oona", 1, "Oona"),
            ("journaling.1@ada", 2, "Ada"),
        ] {
            assert_eq!((piece(id).copies, piece(id).kit.as_deref()), (copies, Some(kit)), "{id}");
        }
        let texts: Vec<&str> = record.strips_once().map(|strip| strip.text.as_str()).collect();
        assert_eq!(texts, ["Ada sows beans.", "Ben sows beans.", "Oona sows beans."]);
        let print = |id: &str| piece(id).print.as_ref().and_then(|print| print.text.clone());
        assert_eq!(print("single.tag@ben").expect("words").text, "Ben's seeds");
        // The first kit alone is drawn on the spread.
        let drawn: Vec<&str> = record.drawn().map(|piece| piece.id.as_str()).collect();
        assert!(drawn.contains(&"title.name.A@ada") && !drawn.contains(&"title.name.B@ben"));
        let read = read_back(&record);
        for (word, ids) in [
            ("title.name@ben", 3),
            ("@oona", 6),
            ("title.name.A", 1),
            ("title.name.n:1@oona", 1),
            ("single.tag", 3),
        ] {
            let chain = Chain::of(read.clone());
            let found = plan::select(&chain, &[word.to_owned()])
                .unwrap_or_else(|fault| panic!("{word}: {fault:?}"));
            assert_eq!(found.len(), ids, "{word}: {found:?}");
        }
    }
}

#[test]
fn a_list_of_names_that_is_none_is_told_with_its_place() {
    let many = "Ada\n".repeat(1_001);
    let different: String = (0..301).map(|number| format!("A{number}\n")).collect();
    let long = "A".repeat(61);
    for (list, each, more, told) in [
        (
            "Ada\nBen\n",
            "names.txt",
            "copies: 3",
            "3 copies are asked for, and `names.txt` has 2 names",
        ),
        ("# nobody\n\n", "names.txt", "", "there is no name in `names.txt`"),
        (many.as_str(), "names.txt", "", "there are 1001 names"),
        (different.as_str(), "names.txt", "", "there are 301 different names"),
        (long.as_str(), "names.txt", "", "is longer than 60 letters"),
        ("Ada\nB\u{7}n\n", "names.txt", "", "has a sign that can't be set"),
        ("Ada\nBen\n", "class.txt", "", "there is no file `class.txt`: did you mean"),
        ("Ada\nBen\n", "../names.txt", "", "leads out of the spec's folder"),
        ("row,name\n1,Ada\n", "class.csv", "", "no column of it is named"),
        ("row,name\n1,Ada\n", "{file: class.csv, column: nam}", "", "did you mean `name`?"),
        ("row,name\n", "{file: class.csv, column: name}", "", "there is no name"),
        ("Ada\n\u{4e00}\n", "names.txt", "", "for the name `\u{4e00}`"),
    ] {
        let (folder, spec) = club(list, each, more);
        let problems = laid_out(&folder, &spec).expect_err(told);
        assert!(problems.to_string().contains(told), "{told} in {problems}");
        assert!(problems.0.iter().all(|problem| problem.place.is_some()), "{told}");
    }
    let (folder, spec) = club("Ada\nBen\n", "names.txt", "copies: 2");
    assert!(laid_out(&folder, &spec).is_ok(), "both said, and the same");
    let (folder, _) = club("Ada\nBen\n", "names.txt", "");
    std::fs::write(folder.path().join("names.txt"), [0xff, 0xfe, 0x41]).expect("bytes");
    let problems = laid_out(&folder, &spec).expect_err("no text").to_string();
    assert!(problems.contains("is no text in UTF-8"), "{problems}");
}

#[test]
fn a_list_without_a_place_for_the_name_is_asked_about() {
    let (folder, spec) = club("Ada\nBen\n", "names.txt", "");
    let layout = laid_out(&folder, &spec.replace("{name}", "You")).expect("a layout");
    assert!(layout.warnings.iter().any(|warning| warning.kind == "no name used"));
    assert!(layout.pieces.iter().all(|piece| piece.copies == 2 && piece.kit.is_none()));
}

/// The names of the guide's blocks, which a PDF has in clear as bookmarks.
fn guide(record: &Record) -> String {
    let label = FontBook::default().find("text").expect("built in");
    let bytes = guide_pdf(record, &label).expect("a guide");
    String::from_utf8_lossy(&bytes).into_owned()
}

#[test]
fn the_guide_tells_sheets_that_are_cut_alike_once_and_packs_bags() {
    let stacked = seeds("copies: 12", "", "").replace("effort: quick", "effort: quick, stack: 4");
    let record = record_of(&stacked).expect("a plan");
    check(&record);
    let alike = record.sheets.iter().find(|sheet| sheet.paper == "moss" && sheet.count.get() > 1);
    let alike = alike.expect("bases are cut alike");
    assert_eq!(record.rules.stack.get(), 4);
    let guide = guide(&record);
    assert!(guide.contains(&format!("{}: moss", alike.names())), "{} is named", alike.names());
    assert!(guide.contains("The bags"));
    let label = FontBook::default().find("text").expect("built in");
    let copies = SmallCopies::default();
    let spread = spread_svg(&record, std::slice::from_ref(&label), &label, &copies);
    let proof = proof_html(&record, &spread, &label, &copies);
    assert!(proof.contains(&format!("{} sheets like this", alike.count)));
    let ticks = proof.matches("data-tick=\"cut alike").count();
    let of_alike: usize = record
        .sheets
        .iter()
        .filter(|sheet| !sheet.count.is_one())
        .map(|sheet| sheet.count.places())
        .sum();
    assert_eq!(ticks, of_alike);
}

fn told(folder: &Path, arguments: &[&str], code: i32) -> String {
    let mut command = Command::cargo_bin("cutleaf").expect("the binary is built");
    command.current_dir(folder).env("NO_COLOR", "1").args(arguments);
    let output = command.assert().code(code).get_output().clone();
    String::from_utf8_lossy(&output.stderr).into_owned() + &String::from_utf8_lossy(&output.stdout)
}

#[test]
fn the_stock_knows_sheets_that_are_cut_alike_by_their_number() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    let stock =
        "papers:\n  - {name: moss, color: \"#6b7d4f\", sheets: [{size: 12 x 12, count: 9}]}\n";
    let spec = "name: Bases\npapers: {moss: {}}\npage: 6 x 8\ncutting: {effort: quick}\n\
                single: {base: moss, pieces: [{panel: {id: strip, paper: moss, size: 6 x 1}}]}\n";
    std::fs::write(folder.join("stock.yaml"), stock).expect("a stock");
    std::fs::write(folder.join("bases.yaml"), spec).expect("a spec");
    let on_hand = || std::fs::read_to_string(folder.join("stock.yaml")).expect("a stock");
    told(folder, &["check", "bases.yaml", "--copies", "0"], 2);
    told(folder, &["build", "bases.yaml", "--copies", "12"], 0);
    let text = std::fs::read_to_string(folder.join("out/bases/record.json")).expect("a record");
    let record = plan::read_record("record.json", &text).expect("a record");
    check(&record);
    let alike = record.sheets.iter().find(|sheet| sheet.count.get() > 1).expect("cut alike");
    let second = alike.id.all(alike.count).nth(1).expect("a second");
    let fault = told(folder, &["cut", "bases.yaml", "--sheet", &second], 1);
    assert!(fault.contains("sheets that are cut alike"), "{fault}");
    assert!(fault.contains(&format!("--sheet {}", alike.id)), "{fault}");
    assert!(told(folder, &["stock"], 0).contains('9'), "nothing is entered yet");
    let before = on_hand();
    let cut = told(folder, &["cut", "bases.yaml", "--sheet", &alike.id], 0);
    assert!(cut.contains(&alike.names()), "{cut}");
    assert!(cut.contains(&format!("{} sheets entered", alike.count)), "{cut}");
    let left = 9 - alike.count.get();
    assert!(on_hand().contains(&format!("count: {left}")), "{}", on_hand());
    let kept: u32 = alike.offcuts.iter().map(|offcut| offcut.count.get()).sum();
    assert_eq!(count_of(cut.matches("Pencil ").count()), kept, "a label for each offcut: {cut}");
    told(folder, &["undo"], 0);
    assert_eq!(on_hand(), before, "taken back, byte for byte");
    told(folder, &["cut", "bases.yaml"], 0);
    told(folder, &["redo", "bases.yaml", "--piece", "single.strip x 13"], 1);
    let redo = told(folder, &["redo", "bases.yaml", "--piece", "single.strip x 2"], 0);
    assert!(redo.contains("2 pieces"), "{redo}");
    told(folder, &["cut", "bases.yaml"], 0);
}
