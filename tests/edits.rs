//! Edits of a spec's text from the page: each says just what it should, touches nothing else, and is undone
//! to the first byte.

use std::fs;
use std::path::Path;
use std::sync::LazyLock;

use cutleaf::page::edit::{Change, Step, Value, edit, said, spliced};
use proptest::prelude::*;
use serde_json::Value as Json;

/// Every spec of the house, in several hands: block and flow style, comments, other line ends.
fn texts() -> &'static [(String, String)] {
    static TEXTS: LazyLock<Vec<(String, String)>> = LazyLock::new(all_texts);
    &TEXTS
}

fn all_texts() -> Vec<(String, String)> {
    let mut texts = Vec::new();
    for folder in ["templates", "tests/outside/specs"] {
        let files = fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)).unwrap();
        for file in files.map(|file| file.unwrap().path()) {
            if file.extension().is_some_and(|end| end == "yaml") {
                let text = fs::read_to_string(&file).unwrap();
                let name = file.file_name().unwrap().to_string_lossy().into_owned();
                texts.push((format!("{name} with other line ends"), text.replace('\n', "\r\n")));
                texts.push((format!("{name} without a last line end"), text.trim_end().to_owned()));
                texts.push((name, text));
            }
        }
    }
    texts.push(("by hand".to_owned(), BY_HAND.to_owned()));
    texts.push(("in brackets".to_owned(), IN_BRACKETS.to_owned()));
    let commented =
        texts.iter().map(|(name, text)| (format!("{name} with comments"), commented(text)));
    let commented: Vec<_> = commented.collect();
    texts.extend(commented);
    texts.sort();
    texts
}

/// A text with a comment behind and above each line where one can stand.
fn commented(text: &str) -> String {
    let mut lines: Vec<String> = text.split_inclusive('\n').map(str::to_owned).collect();
    let same = said(text).unwrap();
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    for number in (0..lines.len()).rev() {
        for is_above in [false, true] {
            let line = lines[number].clone();
            let body = line.trim_end_matches(['\r', '\n']);
            let indent = &body[..body.len() - body.trim_start().len()];
            lines[number] = match is_above {
                false => format!("{body}   # c{number}b.{}", &line[body.len()..]),
                true => format!("{indent}# c{number}a.{end}{line}"),
            };
            if said(&lines.concat()).as_ref() != Some(&same) {
                lines[number] = line;
            }
        }
    }
    lines.concat()
}

/// The numbers of the comments that [`commented`] made.
fn comments(text: &str) -> Vec<String> {
    let ends = text.split("# c").skip(1).filter_map(|rest| rest.split_once('.'));
    let is_one = |name: &&str| {
        name.len() > 1 && name[..name.len() - 1].bytes().all(|digit| digit.is_ascii_digit())
    };
    ends.map(|(name, _)| name).filter(is_one).map(str::to_owned).collect()
}

const IN_BRACKETS: &str = r##"name: x
papers: {
    oat: {color: "#eeddcc"},   # oats
    # the deep one
    moss: {color: "#445533"}   # moss
}
single:
    base: oat
    pieces: [   # lowest first
        {circle: {paper: moss, diameter: 2, at: &here [1, 1]}},   # the sun
        # what lies on it
        {panel: {paper: moss, size: 3 x 1,   # wide
                 at: *here}},   # the sea
        {rectangle: {paper: moss, size: 1 x 1}}, {circle: {paper: oat, diameter: 1}}   # both
    ]
# the story
journaling: {paper: oat, text: "It was."}
"##;

const BY_HAND: &str = r##"# first line
name: 'It''s hers'   # a name
papers:
    oat: {color: "#eeddcc", sheets: {12 x 12: 2}}   # oats

    moss: {
        color: "#445533",    # deep
        sheets: {8.5 x 11: 3},
    }
single:
    base: oat
    pieces:
    # the first one
    - circle:   # round
        paper: moss
        diameter: 2
        at: [1, 1]   # top left

    - {rectangle: {paper: moss, size: 3 x 1, id: "a b"}}
    - panel:
        id: last
        paper: moss
        size: 1/4 page x 12
journaling:
    paper: oat
    text: >-
        One line
        and more.

        Another.
"##;

/// Every way to a value, its parents first.
fn ways(value: &Value, way: &mut Vec<Step>, found: &mut Vec<Vec<Step>>) {
    found.push(way.clone());
    match value {
        Value::List(items) => {
            for (number, item) in items.iter().enumerate() {
                way.push(Step::Item(number));
                ways(item, way, found);
                way.pop();
            }
        }
        Value::Keys(pairs) => {
            for (key, item) in pairs {
                way.push(Step::Key(key.clone()));
                ways(item, way, found);
                way.pop();
            }
        }
        Value::Nothing | Value::Text(_) | Value::Alias(_) => {}
    }
}

fn at<'a>(value: &'a Value, way: &[Step]) -> &'a Value {
    way.iter().fold(value, |value, step| match (value, step) {
        (Value::List(items), Step::Item(number)) => &items[*number],
        (Value::Keys(pairs), Step::Key(key)) => {
            &pairs.iter().find(|(name, _)| name == key).unwrap().1
        }
        _ => panic!("no such way"),
    })
}

/// A change of some kind that this text allows, by numbers that are drawn.
fn change(text: &Value, kind: usize, one: usize, two: usize, value: Value) -> Option<Change> {
    let mut all = Vec::new();
    ways(text, &mut Vec::new(), &mut all);
    let lists: Vec<_> = all.iter().filter(|way| matches!(at(text, way), Value::List(_))).collect();
    let pick = |from: &[&Vec<Step>], number: usize| {
        from.get(number % from.len().max(1)).map(|way| (*way).clone())
    };
    let full: Vec<_> =
        lists.iter().copied().filter(|way| at(text, way) != &Value::List(Vec::new())).collect();
    let length =
        |way: &[Step]| if let Value::List(items) = at(text, way) { items.len() } else { 0 };
    let words: Vec<_> = all.iter().filter(|way| matches!(at(text, way), Value::Text(_))).collect();
    let keys: Vec<_> = all
        .iter()
        .filter(|way| matches!(at(text, way), Value::Keys(keys) if !keys.is_empty()))
        .collect();
    Some(match kind {
        0 => Change::Set { at: pick(&words, one)?, value },
        1 => {
            let mut way = pick(&keys, one)?;
            way.push(Step::Key("a new key".to_owned()));
            Change::Set { at: way, value }
        }
        2 => {
            let way = pick(&all.iter().skip(1).collect::<Vec<_>>(), one)?;
            let lone =
                matches!(at(text, &way[..way.len() - 1]), Value::Keys(keys) if keys.len() == 1);
            if lone {
                return None;
            }
            Change::Remove { at: way }
        }
        3 => {
            let list = pick(&lists, one)?;
            let before = two % (length(&list) + 1);
            Change::Insert { list, before, value }
        }
        4 => {
            let list = pick(&full, one)?;
            let items = length(&list);
            Change::Move { list, from: two % items, to: (two / items) % items }
        }
        5 => {
            let list = pick(&full, one)?;
            let from = two % length(&list);
            Change::Copy { list, from }
        }
        6 => {
            let many: Vec<_> = all
                .iter()
                .skip(1)
                .filter(|way| matches!(at(text, way), Value::Keys(_) | Value::List(_)))
                .collect();
            Change::Set { at: pick(&many, one)?, value }
        }
        _ => {
            let (list, to) = (pick(&full, one)?, pick(&lists, two)?);
            let number = two % length(&list);
            if list.starts_with(&to) || to.starts_with(&list) {
                return None;
            }
            let from = [list, vec![Step::Item(number)]].concat();
            Change::Transfer { from, to }
        }
    })
}

/// The same change made on what another reader makes of the text.
fn meant(json: &mut Json, change: &Change) {
    fn place<'a>(json: &'a mut Json, way: &[Step]) -> &'a mut Json {
        way.iter().fold(json, |json, step| match step {
            Step::Key(key) => &mut json[key.as_str()],
            Step::Item(number) => &mut json[*number],
        })
    }
    match change {
        Change::Set { at, value } => *place(json, at) = serde_json::to_value(value).unwrap(),
        Change::Remove { at } => match at.split_last().unwrap() {
            (Step::Key(key), above) => {
                place(json, above).as_object_mut().unwrap().remove(key);
            }
            (Step::Item(number), above) => {
                place(json, above).as_array_mut().unwrap().remove(*number);
            }
        },
        Change::Insert { list, before, value } => {
            let value = serde_json::to_value(value).unwrap();
            place(json, list).as_array_mut().unwrap().insert(*before, value);
        }
        Change::Move { list, from, to } => {
            let items = place(json, list).as_array_mut().unwrap();
            let item = items.remove(*from);
            items.insert(*to, item);
        }
        Change::Copy { list, from } => {
            let items = place(json, list).as_array_mut().unwrap();
            items.insert(*from + 1, items[*from].clone());
        }
        Change::Transfer { from, to } => {
            let (last, above) = from.split_last().unwrap();
            let Step::Item(number) = last else { panic!("not an item") };
            let item = place(json, above).as_array_mut().unwrap().remove(*number);
            place(json, to).as_array_mut().unwrap().push(item);
        }
    }
}

/// What another reader makes of a text, numbers and truths as words.
fn read(text: &str) -> Json {
    fn words(json: Json) -> Json {
        match json {
            Json::Number(number) => Json::String(number.to_string()),
            Json::Bool(truth) => Json::String(truth.to_string()),
            Json::Array(items) => items.into_iter().map(words).collect(),
            Json::Object(keys) => {
                keys.into_iter().map(|(key, value)| (key, words(value))).collect()
            }
            other @ (Json::Null | Json::String(_)) => other,
        }
    }
    words(serde_saphyr::from_str(text).unwrap())
}

/// Values that an edit may write: lengths, words that need quotes, elements.
fn values() -> impl Strategy<Value = Value> {
    let words = prop_oneof![
        Just("4 1/2".to_owned()),
        Just("it's: so # fine, [really] {yes}".to_owned()),
        Just("<script>alert(\"x\")</script>".to_owned()),
        Just("- a dash".to_owned()),
        Just("one\ntwo\n\nthree".to_owned()),
        Just("#2b5673".to_owned()),
        Just("*so* & so".to_owned()),
        "[ -~äß€\u{1f600}]{1,12}",
    ];
    let text = words.prop_map(Value::Text);
    text.prop_recursive(3, 8, 3, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..3).prop_map(Value::List),
            prop::collection::vec(("[a-z ]{1,6}[a-z]", inner), 1..3).prop_map(|mut pairs| {
                pairs.sort_by(|one, other| one.0.cmp(&other.0));
                pairs.dedup_by(|one, other| one.0 == other.0);
                Value::Keys(pairs)
            }),
        ]
    })
}

/// Only what is taken away takes comments with it: those within it and the one behind it.
fn lost_none_but_its_own(text: &str, edited: &str, change: &Change) -> Result<(), TestCaseError> {
    let (before, after) = (comments(text), comments(edited));
    let is_lost = |name: &String| !after.contains(name);
    let lost: Vec<_> = before.iter().filter(|name| is_lost(name)).collect();
    let told = format!("{change:?} lost {lost:?}:\n{text}\n{edited}");
    match change {
        Change::Set { at: way, .. } | Change::Remove { at: way } => {
            let all = said(text).unwrap();
            let is_there = matches!(way.last(), Some(Step::Item(_)))
                || matches!(at(&all, &way[..way.len() - 1]), Value::Keys(keys)
                    if keys.iter().any(|(key, _)| way.last() == Some(&Step::Key(key.clone()))));
            let most = match is_there.then(|| at(&all, way)) {
                None => 0,
                Some(Value::List(_) | Value::Keys(_)) => usize::MAX,
                Some(_) if matches!(change, Change::Set { .. }) => 0,
                // Behind its header and on its line.
                Some(Value::Text(words)) => 1 + usize::from(words.contains('\n')),
                Some(Value::Nothing | Value::Alias(_)) => 1,
            };
            prop_assert!(lost.len() <= most, "{}", told);
            // They stood together.
            let first = before.iter().position(is_lost).unwrap_or(0);
            let together = before.iter().skip(first).take_while(|name| is_lost(name)).count();
            if matches!(change, Change::Remove { .. }) {
                prop_assert_eq!(together, lost.len(), "{}", told);
            }
        }
        Change::Insert { .. }
        | Change::Move { .. }
        | Change::Copy { .. }
        | Change::Transfer { .. } => prop_assert!(lost.is_empty(), "{}", told),
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn an_edit_says_just_what_it_should_and_is_undone_to_the_first_byte(
        which in any::<prop::sample::Index>(),
        steps in prop::collection::vec((0_usize..8, any::<usize>(), any::<usize>(), values()), 1..6),
    ) {
        let texts = texts();
        let (name, first) = &texts[which.index(texts.len())];
        let (mut text, mut backs) = (first.clone(), Vec::new());
        for (kind, one, two, value) in steps {
            let Some(change) = change(&said(&text).unwrap(), kind, one, two, value) else { continue };
            // An alias follows what it stands for, which `meant` doesn't know.
            let is_alias = text.contains("*here");
            let edited = match edit(&text, std::slice::from_ref(&change)) {
                Ok(edited) => edited,
                Err(fault) => {
                    // Only an alias, or a comment for which there is no place, is out of reach.
                    let is_comment = fault.message.contains("comment");
                    let may_lose = matches!(change, Change::Transfer { .. });
                    prop_assert!(is_alias || is_comment && may_lose, "{name}: {change:?}: {fault}\n{text}");
                    continue;
                }
            };
            // Numbers such as `2` are words in ours, so they are compared as words.
            if !is_alias && !matches!(change, Change::Set { .. } | Change::Insert { .. }) {
                let mut json = read(&text);
                meant(&mut json, &change);
                prop_assert_eq!(read(&edited.text), json, "{}: {:?}", name, change);
            }
            lost_none_but_its_own(&text, &edited.text, &change)?;
            let before = spliced(&edited.text, &edited.back);
            prop_assert_eq!(before.as_deref(), Some(&*text));
            backs.push(edited.back);
            text = edited.text;
        }
        for back in backs.iter().rev() {
            text = spliced(&text, back).unwrap();
        }
        prop_assert_eq!(&text, first);
    }

    #[test]
    fn a_value_changes_no_other_byte(
        which in any::<prop::sample::Index>(),
        one in any::<usize>(),
        words in "[0-9]{1,2} [1-3]/8",
    ) {
        let texts = texts();
        let (name, text) = &texts[which.index(texts.len())];
        let Some(change) = change(&said(text).unwrap(), 0, one, 0, Value::text(&*words)) else { return Ok(()) };
        let Change::Set { at: way, .. } = &change else { return Ok(()) };
        let Value::Text(old) = at(&said(text).unwrap(), way).clone() else { return Ok(()) };
        let edited = edit(text, std::slice::from_ref(&change)).unwrap();
        let same = text.bytes().zip(edited.text.bytes()).take_while(|(one, other)| one == other).count();
        let ends = text.bytes().rev().zip(edited.text.bytes().rev());
        let room = text.len().min(edited.text.len()) - same;
        let end = ends.take(room).take_while(|(one, other)| one == other).count();
        let gone = &text[same..text.len() - end];
        prop_assert!(gone.len() <= old.len().max(1) * 2 + 40, "{}: `{}` went for `{}`", name, gone, old);
        if !old.contains('\n') && !gone.contains('\n') {
            prop_assert!(old.contains(gone) || gone.replace("''", "'").contains(&old), "{}: `{}` went for `{}`", name, gone, old);
        }
    }
}

#[test]
fn comments_order_and_style_stay() {
    let place = |steps: &[&str]| -> Vec<Step> {
        steps
            .iter()
            .map(|step| step.parse().map_or_else(|_| Step::Key((*step).to_owned()), Step::Item))
            .collect()
    };
    let pieces = place(&["single", "pieces"]);
    let cases: [(Change, &str, &str); 8] = [
        (
            Change::Set {
                at: place(&["single", "pieces", "0", "circle", "at", "1"]),
                value: Value::text("2 1/4"),
            },
            "at: [1, 1]   # top left",
            "at: [1, 2 1/4]   # top left",
        ),
        (
            Change::Set {
                at: place(&["single", "pieces", "2", "panel", "size"]),
                value: Value::text("1/3 page x 12"),
            },
            "size: 1/4 page x 12",
            "size: 1/3 page x 12",
        ),
        (
            Change::Set {
                at: place(&["single", "pieces", "2", "panel", "turn"]),
                value: Value::text("14"),
            },
            "        size: 1/4 page x 12\n",
            "        size: 1/4 page x 12\n        turn: 14\n",
        ),
        (
            Change::Set {
                at: place(&["single", "pieces", "1", "rectangle", "id"]),
                value: Value::text("c"),
            },
            "id: \"a b\"",
            "id: \"c\"",
        ),
        (
            Change::Set { at: place(&["name"]), value: Value::text("It's theirs") },
            "name: 'It''s hers'   # a name",
            "name: 'It''s theirs'   # a name",
        ),
        (
            Change::Remove { at: place(&["single", "pieces", "0", "circle", "at"]) },
            "        diameter: 2\n        at: [1, 1]   # top left\n",
            "        diameter: 2\n",
        ),
        (
            Change::Move { list: pieces.clone(), from: 1, to: 2 },
            "    - {rectangle: {paper: moss, size: 3 x 1, id: \"a b\"}}\n    - panel:\n        id: last\n        \
             paper: moss\n        size: 1/4 page x 12\n",
            "    - panel:\n        id: last\n        paper: moss\n        size: 1/4 page x 12\n    - {rectangle: \
             {paper: moss, size: 3 x 1, id: \"a b\"}}\n",
        ),
        (
            Change::Set {
                at: place(&["journaling", "text"]),
                value: Value::text("One line and much more.\nAnother."),
            },
            "        One line\n        and more.\n",
            "        One line and much more.\n",
        ),
    ];
    for (change, before, after) in cases {
        let wanted = BY_HAND.replacen(before, after, 1);
        assert_ne!(wanted, BY_HAND);
        assert_eq!(edit(BY_HAND, &[change]).unwrap().text, wanted);
    }
}

#[test]
fn what_can_t_be_changed_without_harm_is_refused() {
    let text = "name: x\na: &one {b: 1}\nc: *one\n";
    let at = vec![Step::Key("c".to_owned()), Step::Key("b".to_owned())];
    let fault = edit(text, &[Change::Set { at, value: Value::text("2") }]).unwrap_err();
    assert!(fault.message.contains("not there"), "{fault}");
    let fault =
        edit("a: [1", &[Change::Remove { at: vec![Step::Key("a".to_owned())] }]).unwrap_err();
    assert!(fault.message.contains("mistake"), "{fault}");
}
