//! Reading specs and records.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use cutleaf::description::{self, Place, Problem, Spec, Written};
use cutleaf::layout::{Layout, add_shaped, advise, lay_out, with_stock};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::plan;
use cutleaf::record::Record;
use cutleaf::stock::Stock;

use super::{Failure, print_scale};

/// A spec that was read and laid out, with what is needed to tell its problems.
pub struct Spread {
    pub file: PathBuf,
    pub text: String,
    pub layout: Layout,
}

/// A spec that was read.
pub struct ReadSpec {
    file: PathBuf,
    text: String,
    spec: Spec,
}

/// Reads and lays out a spec, cut from the paper that it lists and that of a stock.
pub fn read_spread(file: &Path, stock: Option<&Stock>) -> Result<Spread, Failure> {
    read_spec(file)?.lay_out(stock)
}

/// Reads a spec.
#[expect(clippy::wildcard_enum_match_arm, reason = "an enum of the standard library")]
pub fn read_spec(file: &Path) -> Result<ReadSpec, Failure> {
    let text = fs::read_to_string(file).map_err(|error| {
        let help = match error.kind() {
            ErrorKind::NotFound => "check the path; `cutleaf new` makes a starter",
            ErrorKind::InvalidData => "a spec is a text file in UTF-8",
            _ => "check the file's permissions",
        };
        Problem::input(format!("`{}` can't be read: {error}", file.display()), help)
    })?;
    let spec = description::parse(&text);
    let spec = spec.map_err(|problems| Failure::of_spec(problems, file, &text))?;
    Ok(ReadSpec { file: file.to_owned(), text, spec })
}

/// Lays out a text that stands in `file` or is to stand there, without advice.
#[cfg(feature = "page")]
pub fn lay_out_text(
    text: &str,
    file: &Path,
    stock: Option<&Stock>,
) -> Result<Layout, description::Problems> {
    let spec = description::parse(text)?;
    let folder = file.parent().unwrap_or(Path::new("."));
    let filled = stock.map(|stock| with_stock(&spec, stock));
    let mut layout = lay_out(filled.as_ref().unwrap_or(&spec), folder, &font_book(folder))?;
    if let Some(stock) = stock {
        add_shaped(&mut layout.papers, stock, |_| true);
    }
    Ok(layout)
}

impl ReadSpec {
    /// The spread's name.
    pub fn name(&self) -> &str {
        self.spec.name.value.trim()
    }

    /// The spread in some number of copies, in place of what it says.
    pub fn with_copies(mut self, copies: Option<u32>) -> Self {
        if let Some(copies) = copies {
            let place = self.spec.copies.as_ref().map_or_else(Place::default, |said| said.place);
            self.spec.copies = Some(Written::of(&copies.to_string(), place));
        }
        self
    }

    /// Lays it out.
    pub fn lay_out(self, stock: Option<&Stock>) -> Result<Spread, Failure> {
        let Self { file, text, spec } = self;
        let folder = file.parent().unwrap_or(Path::new("."));
        let filled = stock.map(|stock| with_stock(&spec, stock));
        let fonts = font_book(folder);
        let mut layout = lay_out(filled.as_ref().unwrap_or(&spec), folder, &fonts)
            .map_err(|problems| Failure::of_spec(problems, &file, &text))?;
        if let Some(stock) = stock {
            add_shaped(&mut layout.papers, stock, |_| true);
        }
        layout.advice = advise(&layout, folder, &fonts);
        print_scale::correct(&mut layout)?;
        layout.spec = file.file_name().map(|name| name.to_string_lossy().into_owned());
        Ok(Spread { file, text, layout })
    }
}

/// The fonts that a spec in `folder` can name.
pub fn font_book(folder: &Path) -> FontBook {
    FontBook::new(vec![folder.join("fonts"), PathBuf::from("fonts")])
}

/// Reads a record.
pub fn read_record(file: &Path) -> Result<Record, Failure> {
    let text = fs::read_to_string(file).map_err(|error| {
        Problem::input(
            format!("`{}` can't be read: {error}", file.display()),
            "name the folder of a built spread, such as out/kite-day",
        )
    })?;
    Ok(plan::read_record(&file.display().to_string(), &text)?)
}
