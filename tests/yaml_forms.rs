//! Forms of YAML that mean the same are read the same: aliases, merged keys, quoted and bare values.

use cutleaf::description::{Element, Panel, Spec, parse};

use crate::support::line_number;

fn read(yaml: &str) -> Spec {
    parse(yaml).unwrap_or_else(|problems| panic!("{yaml}\n{problems}"))
}

/// The panels of the one page.
fn panels(spec: &Spec) -> Vec<&Panel> {
    let page = spec.single.as_ref().expect("one page");
    let panel = |element: &Element| matches!(element, Element::Panel(_));
    assert!(page.pieces.iter().all(|piece| panel(&piece.value)), "{page:?}");
    let mut panels = Vec::new();
    for piece in &page.pieces {
        if let Element::Panel(panel) = &piece.value {
            panels.push(panel);
        }
    }
    panels
}

#[test]
fn an_alias_is_what_it_repeats_at_its_own_place() {
    let spec = read(
        "name: &deep Dunes\nsingle:\n  base: *deep\n  pieces:\n    - panel: {paper: *deep, size: &wide 2 x 3}\n    - panel:\n        paper: sand\n        size: *wide\n",
    );
    let page = spec.single.as_ref().expect("one page");
    let base = page.base.as_ref().expect("a base");
    assert_eq!((base.value.0.as_str(), line_number(base.place.line)), ("Dunes", 3));
    let second = panels(&spec)[1];
    assert_eq!((second.size.text.0.as_str(), line_number(second.size.place.line)), ("2 x 3", 8));
}

#[test]
fn merged_keys_are_keys_and_own_ones_come_first() {
    let spec = read(
        "name: Dunes\nsingle:\n  pieces:\n    - panel: &first {paper: sand, size: 2 x 3, id: low}\n    - panel: {<<: *first, id: high}\n",
    );
    let second = panels(&spec)[1];
    assert_eq!(second.size.text.0, "2 x 3");
    assert_eq!(second.id.as_ref().expect("an id").value.0, "high");
}

#[test]
fn values_are_texts_as_they_were_written() {
    for (written, read_as) in [
        ("2 x 3", "2 x 3"),
        ("'2 x 3'", "2 x 3"),
        ("\"2 x 3\"", "2 x 3"),
        ("2.50", "2.50"),
        ("1e3", "1e3"),
        ("0x10", "0x10"),
        ("true", "true"),
        (">-\n          2 x\n          3", "2 x 3"),
    ] {
        let spec = read(&format!(
            "name: Dunes\nsingle:\n  pieces:\n    - panel:\n        paper: sand\n        size: {written}\n"
        ));
        assert_eq!(panels(&spec)[0].size.text.0, read_as, "{written}");
    }
}

#[test]
fn names_may_look_like_numbers() {
    let spec = read(
        "name: 2026\npapers: {12: {color: \"#ffffff\", sheets: {12: 1}}}\nsingle: {base: 12}\n",
    );
    assert_eq!(spec.name.value.0, "2026");
    assert_eq!(spec.papers.keys().collect::<Vec<_>>(), ["12"]);
    assert_eq!(spec.single.expect("one page").base.expect("a base").value.0, "12");
}

#[test]
fn a_key_without_a_value_is_told_unless_it_may_be_left_out() {
    for (yaml, key, line) in [
        ("single: {}\ntitle:\n", "title", 3),
        ("single: {}\nphotos:\ncutting: {}\n", "photos", 3),
        ("single:\n  pieces:\n    - panel:\ncutting: {}\n", "panel", 4),
    ] {
        let problems = parse(&format!("name: Dunes\n{yaml}")).expect_err(yaml);
        assert_eq!(problems.0[0].message, format!("`{key}` has no value"), "{yaml}");
        assert_eq!(problems.0[0].place.map(|place| line_number(place.line)), Some(line), "{yaml}");
    }
    let spec = read("name: Dunes\nsingle: {}\nleft:\n");
    assert!(spec.left.is_none());
}

#[test]
fn truth_is_read_in_the_words_of_yaml() {
    for (word, truth) in
        [("true", true), ("yes", true), ("On", true), ("no", false), ("off", false)]
    {
        let spec = read(&format!(
            "name: Dunes\nsingle:\n  pieces:\n    - panel: {{paper: sand, size: 2 x 3, gut: {word}}}\n"
        ));
        assert_eq!(panels(&spec)[0].gut.as_ref().map(|gut| gut.value), Some(truth), "{word}");
    }
}
