//! `sketch`: fits sketches to the photos at hand, draws them, and writes the one that is taken as a spec.

pub mod args;
mod told;

use std::fs;
use std::path::{Path, PathBuf};

use cutleaf::description::{Problem, nearest, printable, slug};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::length::{Length, Size, Units, parse_sides};
use cutleaf::sketch::wanted::{self, NOTES, Notes, Wanted};
use cutleaf::sketch::{self, Fit, Offers, Papers, Proposals, Sketch, Words};

use super::args::BuildArguments;
use super::stock::OfSpread;
use super::{Done, Failure, build, counted, progress, say};
use args::SketchArguments;

/// The folder of her own sketches where none is named.
const OWN: &str = "sketches";
/// Sides of a page that sketches are fitted to, in inches.
const PAGE: [f64; 2] = [3.0, 40.0];

/// Fits sketches, and writes the one that is taken.
pub fn run(arguments: &SketchArguments) -> Result<Done, Failure> {
    let (asked, folder) = photos(&arguments.photos)?;
    let page = page(&arguments.page)?;
    let sketches = chosen(sketches(arguments.sketches.as_deref())?, &arguments.only)?;
    let offers = progress::with("fitting", || sketch::offers(&sketches, page, &asked));
    if offers.fits.is_empty() {
        if offers.refusals.len() > 1 {
            told::table(&offers);
        }
        return Err(told::nothing_fits(&offers, page).into());
    }
    let words = words(arguments, folder.as_deref());
    let spec = PathBuf::from(format!("{}.yaml", slug(&words.name)));
    let stock = OfSpread::find(&arguments.stock, &spec, None)?.map(|known| known.stock);
    let mut proposals = Proposals::new(stock.as_ref(), page, &asked);
    proposals.taken = set(&proposals, arguments.papers)?;
    if arguments.json {
        told::json(&offers, &asked, &proposals);
        return Ok(Done::Whole);
    }
    told::stock_passed_over(&proposals);
    match arguments.take {
        Some(number) => {
            let fit = taken(&offers, number)?;
            write(&spec, fit, proposals.papers(), &words)?;
            if arguments.no_build {
                say(format_args!("`cutleaf build {}` makes everything for it.", spec.display()));
                return Ok(Done::Whole);
            }
            build::run(&BuildArguments {
                spec,
                out: arguments.out.clone(),
                effort: None,
                copies: None,
                strict: false,
                set_aside: false,
                json: false,
                stock: arguments.stock.clone(),
            })
        }
        None => {
            told::table(&offers);
            told::papers(&proposals);
            draw(&arguments.html, &offers, &asked, &proposals, &words)?;
            say(format_args!(
                "Open {} to look at them; the same command with --take 1 writes the first as a spec and builds it.",
                arguments.html.display()
            ));
            Ok(Done::Whole)
        }
    }
}

/// The photos that are named, and the folder if they are in one.
fn photos(named: &[String]) -> Result<(Vec<Wanted>, Option<PathBuf>), Failure> {
    let list = named.join(" ");
    let folder = Path::new(&list);
    if folder.is_dir() {
        let notes = notes(folder)?;
        return Ok((wanted::folder(folder, folder, &notes)?, Some(folder.to_owned())));
    }
    let looks_like_a_path =
        !list.contains(',') && list.contains(['/', '\\']) && !list.contains('x');
    if folder.is_file() || looks_like_a_path {
        let message = format!("`{}` is no folder of pictures", printable(&list));
        let help = "name a folder, or sizes such as \"4x6, 3x3\"";
        return Err(Problem::input(message, help).into());
    }
    Ok((wanted::photos(&list)?, None))
}

/// What is noted of the pictures of a folder.
fn notes(folder: &Path) -> Result<Notes, Failure> {
    let file = folder.join(NOTES);
    if !file.exists() {
        return Ok(Notes::default());
    }
    let pictures = wanted::names(folder)?;
    let text = fs::read_to_string(&file).map_err(|error| {
        let message = format!("`{}` can't be read: {error}", file.display());
        Problem::input(message, "it is a text file in UTF-8")
    })?;
    Notes::read(&text, &pictures).map_err(|problems| Failure::of_spec(problems, &file, &text))
}

fn page(text: &str) -> Result<Size, Failure> {
    let none = || {
        let message = format!("`{}` is not the size of a page", printable(text));
        Problem::input(message, "write it like 12 x 12, 8.5 x 11 or 210 x 297 mm")
    };
    let [width, height] = parse_sides(text, Units::Inches).ok_or_else(none)?;
    let [width, height] = [width, height].map(|side| side.map(|side| side.of(Length::ZERO)));
    let size = Size::new(width.map_err(|_| none())?, height.map_err(|_| none())?);
    let [least, most] = PAGE;
    if size.to_inches().iter().any(|side| *side < least || *side > most) {
        let message = format!("no sketch fits a page of `{}`", printable(text));
        let help = format!("write sides of {least} to {most} in");
        return Err(Problem::input(message, help).into());
    }
    Ok(size)
}

/// The sketches that are built in, and her own.
fn sketches(folder: Option<&Path>) -> Result<Vec<Sketch>, Failure> {
    let mut sketches = Vec::new();
    for text in sketch::texts() {
        sketches.push(Sketch::read(text)?);
    }
    let own = folder.unwrap_or(Path::new(OWN));
    if folder.is_none() && !own.is_dir() {
        return Ok(sketches);
    }
    let unread = |error: std::io::Error| {
        let message = format!("`{}` can't be read: {error}", own.display());
        Problem::input(message, "name a folder of sketches, YAML files as in templates/sketches")
    };
    let mut files = Vec::new();
    for entry in fs::read_dir(own).map_err(unread)? {
        let path = entry.map_err(unread)?.path();
        if path.extension().is_some_and(|kind| kind == "yaml" || kind == "yml") {
            files.push(path);
        }
    }
    files.sort();
    for file in files {
        let text = fs::read_to_string(&file).map_err(|error| {
            let message = format!("`{}` can't be read: {error}", file.display());
            Problem::input(message, "a sketch is a text file in UTF-8")
        })?;
        let sketch =
            Sketch::read(&text).map_err(|problems| Failure::of_spec(problems, &file, &text))?;
        // Hers takes the place of a built-in one of the same name.
        sketches.retain(|other: &Sketch| other.name != sketch.name);
        sketches.push(sketch);
    }
    Ok(sketches)
}

/// The sketches with these names; all where none is named.
fn chosen(sketches: Vec<Sketch>, only: &[String]) -> Result<Vec<Sketch>, Failure> {
    if only.is_empty() {
        return Ok(sketches);
    }
    for name in only {
        if !sketches.iter().any(|sketch| slug(&sketch.name) == slug(name)) {
            let names = || sketches.iter().map(|sketch| sketch.name.as_str());
            let help = match nearest(name, names()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("there are: {}", names().collect::<Vec<_>>().join(", ")),
            };
            let message = format!("there is no sketch `{}`", printable(name));
            return Err(Problem::input(message, help).into());
        }
    }
    let named = |sketch: &Sketch| only.iter().any(|name| slug(name) == slug(&sketch.name));
    Ok(sketches.into_iter().filter(named).collect())
}

/// What the spread is called, and what its title and story say.
fn words(arguments: &SketchArguments, folder: Option<&Path>) -> Words {
    let of_folder = folder.and_then(|folder| {
        let whole = fs::canonicalize(folder).ok()?;
        let name = whole.file_name()?.to_string_lossy().replace(['-', '_'], " ");
        let mut letters = name.chars();
        let first = letters.next()?.to_uppercase().collect::<String>();
        Some(first + letters.as_str())
    });
    let name = arguments.name.clone().or(arguments.title.clone()).or(of_folder);
    let name = name.filter(|name| !slug(name).is_empty()).unwrap_or("Our day".to_owned());
    let title = arguments.title.clone().unwrap_or_else(|| name.clone());
    Words { name, title, story: arguments.story.clone() }
}

/// The place of the set of papers that is asked for.
fn set(proposals: &Proposals, number: usize) -> Result<usize, Failure> {
    let sets = proposals.sets.len();
    let place = number.checked_sub(1).filter(|place| *place < sets);
    place.ok_or_else(|| {
        let message = format!("there are no papers {number}");
        let help = match (sets, proposals.colors.is_empty()) {
            (1, true) => "without pictures there is one set, `--papers 1`".to_owned(),
            (1, false) => "the stock and the photos make one set, `--papers 1`".to_owned(),
            (sets, _) => {
                format!("name one of the {sets} sets, which the command shows without --take")
            }
        };
        Problem::input(message, help).into()
    })
}

fn taken(offers: &Offers, number: usize) -> Result<&Fit, Failure> {
    let found = number.checked_sub(1).and_then(|place| offers.fits.get(place));
    found.ok_or_else(|| {
        let count = counted(offers.fits.len(), "sketch");
        let count =
            if offers.fits.len() == 1 { count } else { format!("{} sketches", offers.fits.len()) };
        let message = format!("there is no sketch {number}: {count} can take the photos");
        Problem::input(message, "name one of the list, which the command shows without --take")
            .into()
    })
}

fn fonts() -> Result<[std::sync::Arc<cutleaf::lettering::fonts::Font>; 2], Problem> {
    let book = FontBook::default();
    let of = |name: &str| book.find(name).map_err(Problem::from);
    Ok([of("text")?, of("display")?])
}

fn draw(
    file: &Path,
    offers: &Offers,
    asked: &[Wanted],
    proposals: &Proposals,
    words: &Words,
) -> Result<(), Failure> {
    let [label, title] = fonts()?;
    let page = progress::with("drawing", || {
        sketch::gallery(offers, asked, proposals, words, [&*label, &*title])
    });
    fs::write(file, page).map_err(|error| {
        let message = format!("`{}` can't be written: {error}", file.display());
        Problem::input(message, "check the folder and its permissions").into()
    })
}

/// Writes the spec, where no other stands.
fn write(file: &Path, fit: &Fit, papers: &Papers, words: &Words) -> Result<(), Failure> {
    let [_, title] = fonts()?;
    let text = sketch::spec(fit, papers, words, &title);
    if let Ok(there) = fs::read_to_string(file)
        && there != text
    {
        let message = format!("`{}` stands there already", file.display());
        return Err(Problem::input(message, "give the spread another name with --name").into());
    }
    fs::write(file, text).map_err(|error| {
        let message = format!("`{}` can't be written: {error}", file.display());
        Problem::input(message, "check the folder and its permissions")
    })?;
    say(format_args!("{}, written to {}", fit.sketch, file.display()));
    Ok(())
}
