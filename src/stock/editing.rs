//! The user's text, changed where it must be and nowhere else.
//!
//! A count is replaced where it stands. Entries of lists come and go by way of `yaml-edit`, which keeps
//! comments, order, quotes and line ends, in block and in flow style. What comes out is read again by the one
//! reader: a change that would not say just what it should is never made.

use std::fmt::Write;
use std::str::FromStr;

use yaml_edit::{Mapping, Sequence, YamlFile, YamlNode};

use crate::description::{self, Problem};
use crate::model::length::{Length, Size, Units, parse_length};
use crate::model::yaml;

use super::file::StockFile;
use super::ledger::Edit;
use super::on_hand::OnHand;
use super::paper::{Offcut, Stock, key, of_key};
use super::reading;

/// Letters beside an edit that are kept to find it again.
const BESIDE: usize = 48;
/// Decimals of lengths that no ruler shows: enough to tell nanometres apart in inches.
const DECIMALS: usize = 8;

/// A paper that is new to the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct NewPaper {
    pub name: String,
    pub color: String,
}

/// The text that shows what is on hand, changed from one that shows a `stock`.
pub(super) fn shown(
    text: &str,
    stock: &Stock,
    on_hand: &OnHand,
    fresh: Option<&NewPaper>,
) -> Result<String, Problem> {
    if fresh.is_none() && on_hand.is_shown(stock) {
        return Ok(text.to_owned());
    }
    let changed = changed(text, stock, on_hand, fresh);
    let says_so = |text: &String| {
        Stock::parse(text).is_ok_and(|read| on_hand.is_shown(&read) && keeps(stock, &read))
    };
    changed.filter(says_so).ok_or_else(|| {
        Problem::input(
            "stock.yaml is written in a way that the program can't change without harm",
            "write papers, sheets and offcuts as `cutleaf stock init` does, without anchors and \
             aliases, or change the file by hand: the next command takes note of it",
        )
    })
}

/// Whether a changed stock says of its papers all that it said before.
fn keeps(before: &Stock, after: &Stock) -> bool {
    before.units == after.units
        && before.papers.iter().all(|paper| {
            after.paper(&paper.name).is_some_and(|other| {
                let same = super::StockPaper { sheets: paper.sheets.clone(), ..other.clone() };
                let prices = paper.sheets.iter().all(|sheets| {
                    other.sheets_of(sheets.size).is_some_and(|now| now.price == sheets.price)
                });
                same == *paper && prices
            })
        })
        && before.offcuts.iter().all(|offcut| {
            after
                .offcut(&offcut.label)
                .is_none_or(|other| other == offcut || other.shape != offcut.shape)
        })
}

fn changed(
    text: &str,
    stock: &Stock,
    on_hand: &OnHand,
    fresh: Option<&NewPaper>,
) -> Option<String> {
    let mut text = counts(text, on_hand)?;
    let listed = |one: &(String, [i64; 2])| {
        stock.paper(&one.0).is_some_and(|paper| paper.sheets_of(of_key(one.1)).is_some())
    };
    let news: Vec<_> = on_hand.sheets.iter().filter(|(one, _)| !listed(one)).collect();
    let same = |offcut: &Offcut, other: &Offcut| {
        offcut.paper == other.paper && offcut.shape == other.shape
    };
    let stays = |offcut: &Offcut| {
        on_hand.offcuts.get(&offcut.label).is_some_and(|other| same(offcut, other))
    };
    let gone: Vec<usize> =
        (0..stock.offcuts.len()).filter(|at| !stays(&stock.offcuts[*at])).collect();
    let is_new =
        |offcut: &&Offcut| !stock.offcut(&offcut.label).is_some_and(|other| same(offcut, other));
    let come: Vec<&Offcut> = on_hand.offcuts.values().filter(is_new).collect();
    if news.is_empty() && gone.is_empty() && come.is_empty() && fresh.is_none() {
        return Some(text);
    }
    if let Some(paper) = fresh {
        text = with_paper(&text, stock, paper)?;
    }
    if !come.is_empty() && !has_key(&text, "offcuts")? {
        text = at_end(text, "offcuts:", &item(come.first()?, stock.units)?);
        // The first is there; the others follow it.
        return self::changed(&text, &Stock::parse(&text).ok()?, on_hand, None);
    }
    let document = YamlFile::from_str(&text).ok()?;
    let root = document.document()?.as_mapping()?;
    for ((paper, size), count) in news {
        if *count > 0 {
            add_size(&root, &Stock::parse(&text).ok()?, paper, of_key(*size), *count)?;
        }
    }
    if let Some(offcuts) = root.get_sequence("offcuts") {
        for at in gone.iter().rev() {
            offcuts.remove(*at)?;
        }
        for offcut in come {
            offcuts.push(parsed(&item(offcut, stock.units)?)?);
        }
    } else if !come.is_empty() {
        let list = Sequence::new_flow();
        for offcut in come {
            list.push(parsed(&item(offcut, stock.units)?)?);
        }
        root.set("offcuts", list);
    }
    Some(document.to_string())
}

/// The text with each count as it is on hand.
fn counts(text: &str, on_hand: &OnHand) -> Option<String> {
    let (file, _) = description::read::<StockFile>(text, &reading::STOCK).ok()?;
    let stock = Stock::parse(text).ok()?;
    let papers = file.papers.iter().flat_map(|papers| &papers.entries);
    let mut places = Vec::new();
    for ((_, entry), paper) in papers.zip(&stock.papers) {
        let listed = entry.value.sheets.iter().flat_map(|sheets| &sheets.entries);
        for (written, sheets) in listed.zip(&paper.sheets) {
            let count = on_hand.sheets(&paper.name, sheets.size);
            if count != sheets.count {
                places.push((written.value.count.place, count));
            }
        }
    }
    places.sort_by_key(|(place, _)| std::cmp::Reverse(place.offset));
    let mut changed = text.to_owned();
    for (place, count) in places {
        let end = place.offset.checked_add(place.length)?;
        let written = text.get(place.offset..end)?;
        // What ends a line is none of the number.
        let end = place.offset + written.trim_end().len();
        changed.replace_range(place.offset..end, &count.to_string());
    }
    Some(changed)
}

/// Adds a size to a paper that is listed.
fn add_size(root: &Mapping, stock: &Stock, paper: &str, size: Size, count: u32) -> Option<()> {
    let at = stock.papers.iter().position(|other| other.name == paper)?;
    let entry = paper_at(root, at)?;
    let written = written_size(size, stock.units)?;
    let (count, sheets) = (i64::from(count), entry.get("sheets"));
    let listed = parsed(&format!("{{size: {written}, count: {count}}}"))?;
    match sheets.as_ref() {
        Some(YamlNode::Sequence(sheets)) => sheets.push(listed),
        Some(YamlNode::Mapping(sheets)) => sheets.set(written.as_str(), count),
        _ => {
            let list = Sequence::new_flow();
            list.push(listed);
            entry.set("sheets", list);
        }
    }
    Some(())
}

/// The entry of a paper, by its place in the list or among the keys.
fn paper_at(root: &Mapping, at: usize) -> Option<Mapping> {
    let papers = root.get("papers")?;
    let entry = match &papers {
        YamlNode::Sequence(papers) => papers.get(at)?,
        YamlNode::Mapping(papers) => papers.values().nth(at)?,
        YamlNode::Scalar(_) | YamlNode::Alias(_) | YamlNode::TaggedNode(_) => return None,
    };
    entry.as_mapping().cloned()
}

/// The text with a new paper, which has no sheets yet.
fn with_paper(text: &str, stock: &Stock, paper: &NewPaper) -> Option<String> {
    let (name, color) = (yaml::value(&paper.name), &paper.color);
    let listed = format!("{{name: {name}, color: \"{color}\", sheets: []}}");
    if stock.papers.is_empty() && !has_key(text, "papers")? {
        return Some(at_end(text.to_owned(), "papers:", &listed));
    }
    let document = YamlFile::from_str(text).ok()?;
    let root = document.document()?.as_mapping()?;
    match root.get("papers") {
        Some(YamlNode::Sequence(papers)) => papers.push(parsed(&listed)?),
        Some(YamlNode::Mapping(papers)) => {
            papers.set(
                paper.name.as_str(),
                parsed(&format!("{{color: \"{color}\", sheets: {{}}}}"))?,
            );
        }
        _ => {
            let list = Sequence::new_flow();
            list.push(parsed(&listed)?);
            root.set("papers", list);
        }
    }
    Some(document.to_string())
}

/// Whether a text in block style has a key; nothing where it is in flow style.
fn has_key(text: &str, name: &str) -> Option<bool> {
    let document = YamlFile::from_str(text).ok()?;
    let root = document.document()?.as_mapping()?;
    Some(root.is_flow_style() || root.contains_key(name))
}

/// A list of one as the last of a text.
fn at_end(mut text: String, key: &str, item: &str) -> String {
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let is_ended = text.is_empty() || text.ends_with('\n');
    if !is_ended {
        text.push_str(end);
    }
    let _ = write!(text, "{key}{end}  - {item}{}", if is_ended { end } else { "" });
    text
}

/// An entry in flow style as `yaml-edit` has it.
fn parsed(item: &str) -> Option<Mapping> {
    YamlFile::from_str(item).ok()?.document()?.as_mapping()
}

/// An offcut as an entry of the list.
fn item(offcut: &Offcut, units: Units) -> Option<String> {
    let Offcut { label, paper, shape, from, added } = offcut;
    let mut item = format!("{{label: {}, paper: {}, ", yaml::value(label), yaml::value(paper));
    let ring = |corners: &Vec<[Length; 2]>| -> Option<String> {
        let corner = |[x, y]: &[Length; 2]| {
            Some(format!("[{}, {}]", written(*x, units)?, written(*y, units)?))
        };
        let corners: Option<Vec<String>> = corners.iter().map(corner).collect();
        Some(format!("[{}]", corners?.join(", ")))
    };
    match shape.as_rectangle() {
        Some(size) => item += &format!("size: {}", written_size(size, units)?),
        None => {
            let rings: Option<Vec<String>> = shape.rings().map(ring).collect();
            let rings = rings?;
            item += &format!("corners: {}", rings.first()?);
            if rings.len() > 1 {
                item += &format!(", holes: [{}]", rings[1..].join(", "));
            }
        }
    }
    if !from.is_empty() {
        item += &format!(", from: {}", yaml::value(from));
    }
    if *added > 0 {
        item += &format!(", added: {added}");
    }
    Some(item + "}")
}

/// A size as it is written in the file.
pub(super) fn written_size(size: Size, units: Units) -> Option<String> {
    let written = format!("{} x {}", written(size.width, units)?, written(size.height, units)?);
    let sides = crate::model::length::Sides::parse(&written)?;
    reading::size_in(&sides, units).ok().filter(|read| key(*read) == key(size)).map(|_| written)
}

/// A length as it is written in the file, exact to the nanometre: as a ruler shows it where it can, else with
/// decimals.
fn written(length: Length, units: Units) -> Option<String> {
    let short = |number: f64| {
        let digits = format!("{number:.DECIMALS$}");
        digits.trim_end_matches('0').trim_end_matches('.').to_owned()
    };
    let candidates = match units {
        Units::Inches => [length.ruler().text, short(length.to_inches())],
        Units::Millimetres => [short(length.to_mm()), short(length.to_mm())],
    };
    candidates.into_iter().find(|text| parse_length(text, units) == Ok(length))
}

/// What makes one text of another: a single part, as short as can be.
pub(super) fn edit(before: &str, after: &str) -> Option<Edit> {
    if before == after {
        return None;
    }
    let same = |one: &mut dyn Iterator<Item = (char, char)>| -> usize {
        one.take_while(|(one, other)| one == other).map(|(letter, _)| letter.len_utf8()).sum()
    };
    let at = same(&mut before.chars().zip(after.chars()));
    let rests = (&before[at..], &after[at..]);
    let tail = same(&mut rests.0.chars().rev().zip(rests.1.chars().rev()));
    let old = rests.0[..rests.0.len() - tail].to_owned();
    let new = rests.1[..rests.1.len() - tail].to_owned();
    let last = |text: &str| -> String {
        let from = text.char_indices().rev().take(BESIDE).last().map_or(0, |(at, _)| at);
        text[from..].to_owned()
    };
    let first: String = before[before.len() - tail..].chars().take(BESIDE).collect();
    Some(Edit { at, old, new, beside: [last(&before[..at]), first] })
}

/// The text before an edit, where the text after it still stands so.
pub(super) fn taken_back(text: &str, edit: &Edit) -> Option<String> {
    let end = edit.at.checked_add(edit.new.len())?;
    (text.get(edit.at..end)? == edit.new)
        .then(|| format!("{}{}{}", &text[..edit.at], edit.old, &text[end..]))
}

/// The text before an edit, where other lines of it have changed since: by what stands beside it, which must
/// occur once.
pub(super) fn taken_back_elsewhere(text: &str, edit: &Edit) -> Option<String> {
    let [before, after] = &edit.beside;
    let whole = format!("{before}{}{after}", edit.new);
    let mut places = text.match_indices(&whole);
    let (Some((at, _)), None) = (places.next(), places.next()) else { return None };
    let old = format!("{before}{}{after}", edit.old);
    Some(format!("{}{old}{}", &text[..at], &text[at + whole.len()..]))
}
