//! Edits of texts as people write them: what is said behind a piece goes with it, what is said elsewhere
//! stays, and a text keeps the form in which it stands.

use cutleaf::page::edit::{Change, Step, Value, edit, said};
use proptest::prelude::*;

/// A way, its steps apart by blanks.
fn way(steps: &str) -> Vec<Step> {
    let step = |step: &str| step.parse().map_or_else(|_| Step::Key(step.to_owned()), Step::Item);
    steps.split(' ').map(step).collect()
}

fn set(at: &str, value: &str) -> Change {
    Change::Set { at: way(at), value: said(value).unwrap() }
}

fn remove(at: &str) -> Change {
    Change::Remove { at: way(at) }
}

fn after(text: &str, change: Change) -> String {
    edit(text, &[change]).unwrap_or_else(|fault| panic!("{fault}\n{text}")).text
}

/// Two pieces in brackets, each on a line of its own.
const IN_BRACKETS: &str = "\
pieces: [
  {circle: {paper: sun}},   # the sun
  {panel: {paper: sea}},   # the sea
]
";

#[test]
fn what_is_said_behind_a_piece_in_brackets_goes_with_it_alone() {
    let sun = "pieces: [\n  {circle: {paper: sun}},   # the sun\n]\n";
    let sea = "pieces: [\n  {panel: {paper: sea}},   # the sea\n]\n";
    assert_eq!(after(IN_BRACKETS, remove("pieces 1")), sun);
    assert_eq!(after(IN_BRACKETS, remove("pieces 0")), sea);
    let turned = "pieces: [\n  {panel: {paper: sea}},   # the sea\n  {circle: {paper: sun}},   # the sun\n]\n";
    for (from, to) in [(0, 1), (1, 0)] {
        let list = way("pieces");
        assert_eq!(after(IN_BRACKETS, Change::Move { list, from, to }), turned);
    }
    // The last one has no comma.
    let text = IN_BRACKETS.replace("},   # the sea", "}   # the sea");
    let change = Change::Move { list: way("pieces"), from: 0, to: 1 };
    assert_eq!(after(&text, change), turned);
    // A new one comes on a line of its own.
    let change =
        Change::Insert { list: way("pieces"), before: 2, value: said("{row: {}}").unwrap() };
    let more = after(&text, change);
    assert_eq!(more, text.replace("}   # the sea", "},   # the sea\n  {row: {}}"));
    // On one line with others.
    let text = "a: [1,   # one\n    2, 3,   # two and three\n    4]\n";
    assert_eq!(after(text, remove("a 0")), "a: [   # one\n    2, 3,   # two and three\n    4]\n");
    assert_eq!(after(text, remove("a 1")), "a: [1,   # one\n    3,   # two and three\n    4]\n");
    assert_eq!(after(text, remove("a 2")), "a: [1,   # one\n    2,   # two and three\n    4]\n");
    assert_eq!(after(text, remove("a 3")), "a: [1,   # one\n    2, 3,   # two and three\n    ]\n");
    let text = "a: {b: 1,   # one\n    c: 2}   # both\n";
    assert_eq!(after(text, remove("a c")), "a: {b: 1,   # one\n    }   # both\n");
    let text = "a: [{b: 1},   # one\n    {c: 2}]\nd: [\n  {e: 1},   # three\n]\n";
    let change = Change::Transfer { from: way("d 0"), to: way("a") };
    assert_eq!(
        after(text, change),
        "a: [{b: 1},   # one\n    {c: 2}, {e: 1}]\nd: [\n     # three\n]\n"
    );
    let change = Change::Transfer { from: way("pieces 1"), to: way("more") };
    let more = "more: [\n    {row: {}}   # a row\n]\n";
    assert_eq!(
        after(&format!("{IN_BRACKETS}{more}"), change),
        format!(
            "{sun}more: [\n    {{row: {{}}}},   # a row\n    {{panel: {{paper: sea}}}},   # the sea\n]\n"
        )
    );
}

#[test]
fn a_piece_goes_to_a_page_without_pieces_as_it_is_written() {
    let left = "left:\n  base: sky\n  pieces:\n    - circle: {paper: sun}\n    # on it\n    - panel:   # the sea\n        paper: 'sea'   # deep\n        size: 3 x 1   # wide\n";
    let stays = "left:\n  base: sky\n  pieces:\n    - circle: {paper: sun}\n    # on it\n";
    let goes =
        "    - panel:   # the sea\n        paper: 'sea'   # deep\n        size: 3 x 1   # wide\n";
    let change = || Change::Transfer { from: way("left pieces 1"), to: way("right pieces") };
    let text = format!("{left}right:\n  base: sand\n  pieces: []   # none yet\nname: x\n");
    let wanted = format!("{stays}right:\n  base: sand\n  pieces:   # none yet\n{goes}name: x\n");
    assert_eq!(after(&text, change()), wanted);
    // The page makes the list first.
    let text = format!("{left}right:\n  base: sand\nname: x\n");
    let wanted = format!("{stays}right:\n  base: sand\n  pieces:\n{goes}name: x\n");
    let made = edit(&text, &[set("right pieces", "[]"), change()]).unwrap();
    assert_eq!(made.text, wanted);
    // Within brackets there is no place for a comment: it is said, and nothing is lost.
    let text = format!("{left}right: {{base: sand, pieces: [{{row: {{}}}}]}}\n");
    let fault = edit(&text, &[change()]).unwrap_err();
    assert!(fault.message.contains("# the sea"), "{fault}");
}

#[test]
fn comments_between_keys_stay() {
    let text = "at:   # where\n  # from the page\n  left: 1   # a bit\n  top: 2   # two\nsize: 3\n";
    assert_eq!(
        after(text, set("at", "{left: 1, bottom: 5}")),
        "at:   # where\n  # from the page\n  left: 1   # a bit\n  bottom: 5\nsize: 3\n"
    );
    let text = "- id: a   # its name\n  # of oats\n  paper: oat\n  size: 3\n";
    let change = Change::Remove { at: vec![Step::Item(0), Step::Key("id".to_owned())] };
    let edited = after(text, change);
    assert_eq!(edited, "- # of oats\n  paper: oat\n  size: 3\n");
    let change = Change::Copy { list: Vec::new(), from: 0 };
    assert_eq!(after(&edited, change), edited.repeat(2));
}

#[test]
fn a_list_grows_and_shrinks_where_it_stands() {
    let text = "mats:\n  - {paper: oat, reveal: 1/4}   # near\nsize: 3\n";
    let two =
        "mats:\n  - {paper: oat, reveal: 1/4}   # near\n  - {paper: moss, reveal: 1/8}\nsize: 3\n";
    let value = "[{paper: oat, reveal: 1/4}, {paper: moss, reveal: 1/8}]";
    assert_eq!(after(text, set("mats", value)), two);
    assert_eq!(after(two, set("mats", "[{paper: oat, reveal: 1/4}]")), text);
    assert_eq!(
        after(two, set("mats", "[{paper: moss, reveal: 1/8}]")),
        "mats:\n  - {paper: moss, reveal: 1/8}\nsize: 3\n"
    );
    assert_eq!(after(text, set("mats", "[]")), "mats: []\nsize: 3\n");
    assert_eq!(after("a:\n- 1\n- 2\nb: 3\n", set("a", "x")), "a: x\nb: 3\n");
    assert_eq!(after("a: [1, 2]\n", set("a", "[0, 1, 2, 3]")), "a: [0, 1, 2, 3]\n");
}

#[test]
fn a_key_with_nothing_behind_it_gets_a_value() {
    let cases = [
        ("r:\n  a:\nb: x\n", "r:\n  a: 3\nb: x\n"),
        ("r:\n  a:   # none\nb: x\n", "r:\n  a: 3   # none\nb: x\n"),
        ("r:\n  a:", "r:\n  a: 3"),
        ("r: {a: , b: x}\n", "r: {a: 3 , b: x}\n"),
        ("r: {b: x, a: }\n", "r: {b: x, a: 3 }\n"),
    ];
    for (text, wanted) in cases {
        assert_eq!(after(text, set("r a", "3")), wanted);
    }
    assert_eq!(after("r: {b: x, a: }\n", remove("r a")), "r: {b: x }\n");
    assert_eq!(after("r: {b: x, a: }\n", set("r c", "1")), "r: {b: x, a:, c: 1 }\n");
}

#[test]
fn a_copy_takes_no_alias_over() {
    let text = "a:\n  - circle: &sun\n      at: &here [1, 1]\n      turn: 2\nb: *here\n";
    let copied = after(text, Change::Copy { list: way("a"), from: 0 });
    let copy = "  - circle:\n      at: [1, 1]\n      turn: 2\n";
    assert_eq!(copied, text.replace("b: ", &format!("{copy}b: ")));
    let text = "a: [{at: &here [1, 1]}]\nb: *here\n";
    let copied = after(text, Change::Copy { list: way("a"), from: 0 });
    assert_eq!(copied, "a: [{at: &here [1, 1]}, {at: [1, 1]}]\nb: *here\n");
    // An anchor goes with what it stands before.
    let text = "a: [&one 1, 2, 3]\nb: *one\n";
    let moved = after(text, Change::Move { list: way("a"), from: 0, to: 1 });
    assert_eq!(moved, "a: [2, &one 1, 3]\nb: *one\n");
}

#[test]
fn a_story_keeps_its_block() {
    let text = "text: >-   # a > b\n    One line\n    and more.\n\n    Another.\nsize: 3\n";
    let story = |words: &str| Change::Set { at: way("text"), value: Value::text(words) };
    let cases = [
        ("A\n\nB", ">-   # a > b\n    A\n\n\n    B"),
        ("A\n\n\n\nB\nC", ">-   # a > b\n    A\n\n\n\n\n    B\n\n    C"),
        ("two  spaces", ">-   # a > b\n    two  spaces"),
        (
            "A\n  - set in\n  - twice\nB",
            ">-   # a > b\n    A\n      - set in\n      - twice\n    B",
        ),
        (" set in\nB", ">4-   # a > b\n     set in\n    B"),
        ("# no comment", ">-   # a > b\n    # no comment"),
        ("", "\"\"   # a > b"),
        ("\ta tab", "\"\\ta tab\"   # a > b"),
    ];
    for (words, wanted) in cases {
        assert_eq!(after(text, story(words)), format!("text: {wanted}\nsize: 3\n"), "{words:?}");
    }
    let literal = text.replace(">-", "|");
    assert_eq!(after(&literal, story(" A\n\nB")), "text: |4   # a > b\n     A\n\n    B\nsize: 3\n");
    let long = format!("{} {}", "a".repeat(90), "b  ".repeat(20));
    let edited = after(text, story(long.trim_end()));
    assert_eq!(edited.lines().count(), 4, "{edited}");
}

proptest! {
    #[test]
    fn a_block_says_any_words_and_stays_one(
        style in prop::sample::select(vec![">-", ">", "|", "|-", ">3-", "|3", ">+"]),
        first in "[ab]{1,3}( [ab]{1,3})?",
        words in prop::collection::vec("[ab ]{0,6}|[ab ]{90,120}", 1..6),
        more in prop::collection::vec("[ab ]{0,6}", 1..4),
        ends in prop::sample::select(vec!["\n", "\r\n"]),
    ) {
        let text = format!("name: x\nstory:\n  text: {style}   # the story\n     {first}\n\n  # behind\n  size: 3\n");
        let mut text = text.replace('\n', ends);
        let at = vec![Step::Key("story".to_owned()), Step::Key("text".to_owned())];
        for words in [words.join("\n"), more.join("\n")] {
            let words = words.trim_end();
            let value = Value::text(words);
            text = edit(&text, &[Change::Set { at: at.clone(), value }]).unwrap().text;
            let json: serde_json::Value = serde_saphyr::from_str(&text).unwrap();
            let read = json["story"]["text"].as_str().unwrap();
            prop_assert_eq!(read.trim_end_matches('\n'), words, "{}", &text);
            prop_assert!(text.contains("   # the story"), "{}", &text);
            prop_assert!(text.contains("  # behind"), "{}", &text);
        }
    }
}
