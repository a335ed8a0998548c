//! What a command names: `oat 8.5 x 11`, or the label of an offcut.

use crate::description::Problem;
use crate::model::length::{Sides, Size, Units};
use crate::model::naming::nearest;

use super::Stock;
use super::editing::written_size;
use super::reading::size_in;

/// Paper that a command names.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// Sheets of a paper and size.
    Sheets {
        /// The paper's name.
        paper: String,
        /// The size; one that is listed, as it lies or turned, or one that isn't.
        size: Size,
    },
    /// An offcut, by its label.
    Offcut {
        /// The label.
        label: String,
    },
}

impl Ask {
    /// What a text names.
    ///
    /// ```
    /// use cutleaf::model::length::Size;
    /// use cutleaf::stock::{Ask, Stock};
    /// let stock = Stock::parse("papers: [{name: oat, sheets: [{size: 8.5 x 11, count: 2}]}]").unwrap();
    /// let oat = Ask::Sheets { paper: "oat".into(), size: Size::inches(8.5, 11.0) };
    /// assert_eq!(Ask::parse("oat 8.5 x 11", &stock), Ok(oat.clone()));
    /// assert_eq!(Ask::parse("oat", &stock), Ok(oat)); // the only size
    /// assert!(Ask::parse("oaat 8.5 x 11", &stock).unwrap_err().help.contains("`oat`"));
    /// ```
    pub fn parse(text: &str, stock: &Stock) -> Result<Self, Problem> {
        let text = text.trim();
        let is_label = |label: &&str| label.eq_ignore_ascii_case(text);
        let mut labels = stock.offcuts.iter().map(|offcut| offcut.label.as_str());
        if let Some(label) = labels.find(is_label) {
            return Ok(Self::Offcut { label: label.to_owned() });
        }
        let names = || stock.papers.iter().map(|paper| paper.name.as_str());
        let rest = |name: &str| -> Option<String> {
            let rest = text.get(name.len()..)?;
            let begins = text.get(..name.len())?.eq_ignore_ascii_case(name);
            (begins && (rest.is_empty() || rest.starts_with(char::is_whitespace)))
                .then(|| rest.trim().to_owned())
        };
        let longest =
            names().filter_map(|name| Some((name, rest(name)?))).max_by_key(|(name, _)| name.len());
        let Some((paper, rest)) = longest else { return Err(unknown(text, stock)) };
        let size = if rest.is_empty() {
            only_size(paper, stock)?
        } else {
            let size = named_size(&rest, stock.units)?;
            stock.listed(paper, size).unwrap_or(size)
        };
        Ok(Self::Sheets { paper: paper.to_owned(), size })
    }

    /// The paper's name and the size that a text ends with, whether the paper is known or not.
    pub(super) fn split(text: &str, units: Units) -> Option<(String, Size)> {
        let words: Vec<&str> = text.split_whitespace().collect();
        (1..words.len()).find_map(|at| {
            let size = Sides::parse(&words[at..].join(" "))?;
            Some((words[..at].join(" "), size_in(&size, units).ok()?))
        })
    }
}

/// A size that a command names.
fn named_size(text: &str, units: Units) -> Result<Size, Problem> {
    let sides = Sides::parse(text).ok_or_else(|| {
        Problem::input(format!("`{text}` is not a size"), "write it like 8.5 x 11")
    })?;
    size_in(&sides, units).map_err(Problem::from)
}

fn only_size(name: &str, stock: &Stock) -> Result<Size, Problem> {
    let sheets = stock.paper(name).map(|paper| &paper.sheets[..]).unwrap_or_default();
    match sheets {
        [only] => Ok(only.size),
        [] => {
            let message = format!("no size of `{name}` is listed");
            Err(Problem::input(message, format!("write the size, such as \"{name} 12 x 12\"")))
        }
        several => {
            let sizes: Vec<String> = several
                .iter()
                .filter_map(|sheets| written_size(sheets.size, stock.units))
                .map(|size| format!("\"{name} {size}\""))
                .collect();
            let message = format!("`{name}` has sheets of several sizes");
            Err(Problem::input(message, format!("write {}", sizes.join(" or "))))
        }
    }
}

/// What to say of a name that is none.
fn unknown(text: &str, stock: &Stock) -> Problem {
    let named = Ask::split(text, stock.units).map_or_else(|| text.to_owned(), |(name, _)| name);
    let names: Vec<&str> = stock.papers.iter().map(|paper| paper.name.as_str()).collect();
    let labels: Vec<&str> = stock.offcuts.iter().map(|offcut| offcut.label.as_str()).collect();
    let near = nearest(&named, names.iter().chain(&labels).copied());
    let help = match near {
        Some(near) => format!("did you mean `{near}`?"),
        None if names.is_empty() => "list papers in stock.yaml first".to_owned(),
        None if labels.is_empty() => format!("there are: {}", names.join(", ")),
        None => format!("there are: {}; offcuts: {}", names.join(", "), labels.join(", ")),
    };
    Problem::input(format!("there is no paper or offcut `{named}`"), help)
}
