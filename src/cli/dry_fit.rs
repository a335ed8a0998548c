//! `dry-fit`: a page on this machine that shows the spread as it is, and writes back what is moved on it.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use cutleaf::description::{Problem, Problems, slug};
use cutleaf::emit::stock::stock_html;
use cutleaf::emit::stock_pictures::PaperPictures;
use cutleaf::layout::{Layout, advise};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::page::{self, Done, Serving, Workshop};
use cutleaf::stock::STOCK_NAME;

use super::args::{BuildArguments, CutArguments, DryFitArguments, RedoArguments};
use super::stock::args::FromStockArguments;
use super::stock::{OfSpread, of_spread};
use super::{Failure, Stage, build, chain, cut, files, listen, one_line, print_scale, redo, say};

/// Serves the page.
pub fn run(arguments: &DryFitArguments) -> Result<(), Failure> {
    // A spec that can't be read at all is told here, with all that is known of it; one with a mistake is
    // shown.
    if !arguments.spec.is_file() {
        files::read_spec(&arguments.spec)?;
    }
    let workshop = Files {
        spec: arguments.spec.clone(),
        out: arguments.out.clone(),
        stock: arguments.stock.clone(),
        name: Mutex::default(),
    };
    let serving = Serving { port: arguments.port, share: arguments.share };
    let served = page::serve(&arguments.spec, Arc::new(workshop), serving, |addresses| {
        say(format_args!("The dry-fit of {} is at", arguments.spec.display()));
        say(format_args!("  {}", addresses.here));
        if let Some(share) = &addresses.share {
            say(format_args!("and, once, for a device in the same house, at"));
            say(format_args!("  {share}"));
        }
        say("Ctrl-C ends it.");
    });
    served.map_err(|error| {
        let message =
            format!("the page of `{}` can't be served: {error}", arguments.spec.display());
        Problem::input(message, "name another port, or check the file and its folder").into()
    })
}

/// The work that the page has done, on the files of one spec.
struct Files {
    spec: PathBuf,
    out: PathBuf,
    stock: FromStockArguments,
    /// The spread's name as it was laid out last.
    name: Mutex<String>,
}

impl Files {
    fn of(result: (Vec<String>, bool)) -> Done {
        let (lines, well) = result;
        Done { well, lines: lines.iter().map(|line| one_line(line)).collect() }
    }

    /// The spec's folder.
    fn folder(&self) -> &Path {
        let folder = self.spec.parent().filter(|folder| !folder.as_os_str().is_empty());
        folder.unwrap_or(Path::new("."))
    }
}

impl Workshop for Files {
    fn lay_out(&self, text: &str) -> Result<Layout, Problems> {
        let standing = chain::standing(&self.spec, &self.out);
        let stock = OfSpread::find(&self.stock, &self.spec, standing.as_ref())
            .map_err(Failure::into_problems)?;
        let stock = stock.as_ref().map(|known| &known.stock);
        let mut layout = files::lay_out_text(text, &self.spec, stock)?;
        print_scale::correct(&mut layout).map_err(Failure::into_problems)?;
        layout.name.clone_into(&mut self.name.lock().unwrap_or_else(PoisonError::into_inner));
        Ok(layout)
    }

    fn advise(&self, layout: &mut Layout) {
        let folder = self.spec.parent().unwrap_or(Path::new("."));
        layout.advice = advise(layout, folder, &files::font_book(folder));
    }

    fn build(&self, stage: Stage) -> Done {
        let arguments = BuildArguments {
            spec: self.spec.clone(),
            out: self.out.clone(),
            effort: None,
            copies: None,
            strict: false,
            set_aside: false,
            json: false,
            stock: self.stock.clone(),
        };
        Self::of(listen(Some(stage), || build::run(&arguments)))
    }

    fn cut_again(&self, pieces: &[String], sheets: &[String], stage: Stage) -> Done {
        let arguments = RedoArguments {
            build: self.spec.clone(),
            out: self.out.clone(),
            piece: pieces.to_vec(),
            sheet: sheets.to_vec(),
            start: None,
            r#try: false,
            changed: false,
            undo: false,
            from: None,
            strict: false,
            json: false,
            stock: self.stock.clone(),
        };
        Self::of(listen(Some(stage), || redo::run(&arguments)))
    }

    fn enter_cut(&self, sheets: &[String]) -> Done {
        let arguments = CutArguments {
            build: self.spec.clone(),
            out: self.out.clone(),
            sheet: sheets.to_vec(),
            stock: self.stock.clone(),
        };
        Self::of(listen(None, || cut::run(&arguments).map(super::Done::whole)))
    }

    fn has_stock(&self) -> bool {
        !self.stock.no_stock
            && (self.stock.file.is_some() || cutleaf::stock::find_file(self.folder()).is_some())
    }

    fn stock_files(&self) -> Vec<PathBuf> {
        if self.stock.no_stock {
            return Vec::new();
        }
        let files = match &self.stock.file {
            // A folder stands for the stock in it.
            Some(file) if file.is_dir() => vec![file.join(STOCK_NAME)],
            Some(file) => vec![file.clone()],
            None => {
                let found = cutleaf::stock::find_file(self.folder());
                found.into_iter().chain([self.folder().join(STOCK_NAME)]).collect()
            }
        };
        files.iter().filter_map(|file| std::path::absolute(file).ok()).collect()
    }

    fn stock(&self) -> Option<String> {
        let mut page = None;
        let _ = listen(None, || {
            let Some(mut held) = of_spread::open(&self.stock, &self.spec)? else {
                return Ok(super::Done::Whole);
            };
            held.note();
            let font = FontBook::default().find("text").map_err(Problem::from)?;
            let pictures = PaperPictures::of(held.shelf.stock(), held.folder());
            let notes = super::stock::notes(&held, &pictures);
            page = Some(stock_html(&held.shelf, &pictures, &font, &notes));
            Ok(super::Done::Whole)
        });
        page
    }

    fn out(&self) -> PathBuf {
        self.out.join(slug(&self.name.lock().unwrap_or_else(PoisonError::into_inner)))
    }
}
