//! Where fonts are found: the user's folders, the built-in ones, the system's.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use rayon::prelude::*;

use crate::naming::{nearest, nearest_file};

use super::{AxisRange, Embedding, Font, FontError};

/// Files a font folder and the folders in it may hold; more is no font folder.
const MOST_FILES: usize = 20_000;
/// What the usual upright style of a family is called.
const UPRIGHT: [&str; 4] = ["regular", "book", "roman", "normal"];
/// How deep folders of fonts are followed.
const DEEPEST: usize = 6;
/// Folders that are looked through; a system has some hundred.
const MOST_FOLDERS: usize = 5_000;
/// Bytes of all the fonts of a folder that are read: what lies beyond is found by its file alone.
const MOST_BYTES: u64 = 300_000_000;

/// The fonts that are built in: the name to write in a spec, and the file.
fn built_in(name: &str) -> Option<&'static [u8]> {
    match name {
        "display" => Some(ttf_inter::REGULAR),
        "text" => Some(notosans::REGULAR_TTF),
        "text italic" => Some(notosans::ITALIC_TTF),
        "text bold" => Some(notosans::BOLD_TTF),
        "text bold italic" => Some(notosans::BOLD_ITALIC_TTF),
        _ => None,
    }
}

/// Names of the built-in fonts.
const BUILT_IN: [&str; 5] = ["display", "text", "text italic", "text bold", "text bold italic"];

/// Finds fonts by name or file.
#[derive(Debug, Default)]
pub struct FontBook {
    folders: Vec<PathBuf>,
    own: OnceLock<Vec<Arc<Font>>>,
    system: OnceLock<Vec<Arc<Font>>>,
}

/// A font as a list shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct FontListing {
    /// The name to write in a spec.
    pub family: String,
    /// Style name.
    pub style: String,
    /// `built in`, or the file.
    pub source: String,
    /// Number of glyphs.
    pub glyph_count: u32,
    /// What may be done with it in a document.
    pub embedding: Embedding,
    /// Width of its thinnest strokes, in inches at capitals 1 in high.
    pub thinnest: Option<f64>,
    /// The axes along which it varies.
    pub axes: Vec<AxisRange>,
}

impl FontListing {
    /// Its axes with their ranges, such as `wght 100 to 900, opsz 14 to 32`; nothing if it has none.
    pub fn axes_told(&self) -> Option<String> {
        let told = |axis: &AxisRange| format!("{} {} to {}", axis.tag, axis.least, axis.most);
        let axes: Vec<String> = self.axes.iter().map(told).collect();
        (!axes.is_empty()).then(|| axes.join(", "))
    }
}

impl FontBook {
    /// A book that looks in `folders` first, in their order.
    pub fn new(folders: Vec<PathBuf>) -> Self {
        Self { folders, ..Self::default() }
    }

    /// A font by built-in name, by file (from the folder that holds the first font folder), or by
    /// family, or family and style, in any case.
    pub fn find(&self, name: &str) -> Result<Arc<Font>, FontError> {
        if let Some(data) = built_in(name) {
            return Font::read(data.to_vec(), "built in", None).map(Arc::new);
        }
        let extension = Path::new(name).extension().and_then(|text| text.to_str());
        if extension.is_some_and(is_font) {
            return self.file(name);
        }
        let own = self.own();
        if let Some(font) = by_family(own, name).or_else(|| by_family(self.system(), name)) {
            return Ok(font);
        }
        let fonts = || own.iter().chain(self.system());
        let styles: Vec<String> =
            fonts().map(|font| format!("{} {}", font.family, font.style)).collect();
        let known: Vec<&str> = BUILT_IN
            .into_iter()
            .chain(fonts().map(|font| font.family.as_str()))
            .chain(styles.iter().map(String::as_str))
            .collect();
        let help = nearest(name, known)
            .map_or_else(String::new, |near| format!("did you mean `{near}`? "));
        Err(FontError {
            message: format!("there is no font `{name}`"),
            help: format!("{help}`cutleaf fonts` lists them; drop font files into `fonts`"),
        })
    }

    /// The font with these very bytes.
    pub fn find_by_sha256(&self, sha256: &str) -> Option<Arc<Font>> {
        let inside = BUILT_IN.iter().filter_map(|name| self.find(name).ok());
        inside
            .chain(self.own().iter().cloned())
            .find(|font| font.sha256 == sha256)
            .or_else(|| self.system().iter().find(|font| font.sha256 == sha256).cloned())
    }

    /// Every font whose family holds `name`, in any case: the user's first, then the built-in ones, then
    /// the system's.
    pub fn list(&self, name: &str) -> Vec<(FontListing, Arc<Font>)> {
        let named = |font: &Arc<Font>| (font.family.clone(), Arc::clone(font));
        let inside =
            BUILT_IN.iter().filter_map(|name| Some(((*name).to_owned(), self.find(name).ok()?)));
        let own = self.own().iter().map(named);
        let name = name.to_lowercase();
        let wanted: Vec<(String, Arc<Font>)> = own
            .chain(inside)
            .chain(self.system().iter().map(named))
            .filter(|(family, _)| family.to_lowercase().contains(&name))
            .collect();
        wanted.into_par_iter().map(|(family, font)| (listing(family, &font), font)).collect()
    }

    /// Names of fonts that hold every one of some letters: the user's, the built-in ones, the system's,
    /// at most `most` families.
    pub fn with_letters(&self, letters: &[char], most: usize) -> Vec<String> {
        let holds = |font: &Font| letters.iter().all(|letter| font.glyph(*letter).is_some());
        let own = self.own().iter().filter(|font| holds(font)).map(|font| font.family.clone());
        let inside = BUILT_IN.iter().filter_map(|name| {
            self.find(name).ok().filter(|font| holds(font)).map(|_| (*name).to_owned())
        });
        let system =
            self.system().iter().filter(|font| holds(font)).map(|font| font.family.clone());
        let mut names: Vec<String> = Vec::new();
        for name in own.chain(inside).chain(system) {
            if names.len() >= most {
                break;
            }
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }

    /// The font that holds the most of some letters: one of the user's if any holds one, else one of the
    /// system's; upright and regular rather than not, then the first by its path. Nothing if none holds any,
    /// or may go into a document.
    pub fn with_most_letters(&self, letters: &[char]) -> Option<Arc<Font>> {
        let held = |font: &Font| letters.iter().filter(|one| font.glyph(**one).is_some()).count();
        let best = |fonts: &[Arc<Font>]| {
            let fit =
                fonts.iter().filter(|font| font.barred_from_pdf().is_none() && held(font) > 0);
            // Of equals the last is taken, so the list is read from its end.
            let regular = |font: &Font| font.style.eq_ignore_ascii_case("regular");
            fit.rev().max_by_key(|font| (held(font), regular(font))).cloned()
        };
        best(self.own()).or_else(|| best(self.system()))
    }

    fn file(&self, name: &str) -> Result<Arc<Font>, FontError> {
        let beside = self.folders.first().and_then(|folder| folder.parent());
        let places = [beside.map(|folder| folder.join(name)), Some(PathBuf::from(name))];
        let path = places.iter().flatten().find(|path| path.is_file()).ok_or_else(|| {
            let near = places.iter().flatten().find_map(|path| nearest_file(path));
            let near = near.map(|near| Path::new(name).with_file_name(near));
            let near = near
                .map_or_else(String::new, |near| format!("did you mean `{}`? ", near.display()));
            FontError {
                message: format!("there is no font file `{name}`"),
                help: format!("{near}write its path from the spec's folder"),
            }
        })?;
        read(path).map(Arc::new)
    }

    fn own(&self) -> &[Arc<Font>] {
        self.own.get_or_init(|| {
            let mut folders: Vec<PathBuf> = Vec::new();
            for folder in &self.folders {
                // The spec's folder may be the project's: its fonts are listed once.
                let folder = fs::canonicalize(folder).unwrap_or_else(|_| folder.clone());
                if !folders.contains(&folder) {
                    folders.push(folder);
                }
            }
            folders.iter().flat_map(|folder| read_folder(folder)).collect()
        })
    }

    fn system(&self) -> &[Arc<Font>] {
        self.system.get_or_init(|| {
            let home = std::env::var_os("HOME").map(PathBuf::from);
            let at_home = [".local/share/fonts", ".fonts", "Library/Fonts"];
            let shared = [
                "/usr/share/fonts",
                "/usr/local/share/fonts",
                "/Library/Fonts",
                "/System/Library/Fonts",
                "C:/Windows/Fonts",
            ];
            let home = home.iter().flat_map(|home| at_home.iter().map(|folder| home.join(folder)));
            home.chain(shared.iter().map(PathBuf::from))
                .flat_map(|folder| read_folder(&folder))
                .collect()
        })
    }
}

fn listing(family: String, font: &Font) -> FontListing {
    FontListing {
        family,
        style: font.style.clone(),
        source: font.source.clone(),
        glyph_count: font.glyph_count,
        embedding: font.embedding,
        thinnest: font.thinnest_stroke(),
        axes: font.axis_ranges(),
    }
}

fn is_font(extension: &str) -> bool {
    ["ttf", "otf"].iter().any(|known| extension.eq_ignore_ascii_case(known))
}

/// The font of a family and style; the regular style where only the family is named.
fn by_family(fonts: &[Arc<Font>], name: &str) -> Option<Arc<Font>> {
    let name = name.to_lowercase();
    let whole = |font: &Font| format!("{} {}", font.family, font.style).to_lowercase();
    let family: Vec<&Arc<Font>> =
        fonts.iter().filter(|font| font.family.to_lowercase() == name).collect();
    let regular = UPRIGHT
        .iter()
        .find_map(|style| family.iter().find(|font| font.style.eq_ignore_ascii_case(style)));
    fonts
        .iter()
        .find(|font| whole(font) == name)
        .or(regular.copied())
        .or(family.first().copied())
        .cloned()
}

/// The readable fonts of a folder and the folders in it, in the order of their paths.
fn read_folder(folder: &Path) -> Vec<Arc<Font>> {
    let mut found = FontFolders::default();
    found.collect(folder, DEEPEST);
    let mut bytes = 0;
    let files: Vec<PathBuf> = found
        .files
        .into_iter()
        .take_while(|(_, size)| {
            bytes += size;
            bytes <= MOST_BYTES
        })
        .map(|(path, _)| path)
        .collect();
    files.into_par_iter().filter_map(|path| read(&path).ok()).map(Arc::new).collect()
}

/// Font files with their sizes, and the folders that were looked through, each by its true path: links may
/// lead back to where they stand.
#[derive(Default)]
struct FontFolders {
    files: BTreeMap<PathBuf, u64>,
    folders: BTreeSet<PathBuf>,
}

impl FontFolders {
    fn collect(&mut self, folder: &Path, depth: usize) {
        let Ok(known) = fs::canonicalize(folder) else { return };
        if self.folders.len() >= MOST_FOLDERS || !self.folders.insert(known) {
            return;
        }
        let Ok(entries) = fs::read_dir(folder) else { return };
        let mut paths: Vec<PathBuf> =
            entries.flatten().take(MOST_FILES).map(|entry| entry.path()).collect();
        paths.sort_unstable();
        for path in paths {
            if self.files.len() >= MOST_FILES {
                return;
            }
            // What is neither folder nor file, such as a pipe, would never end.
            let Ok(about) = fs::metadata(&path) else { continue };
            let extension = path.extension().and_then(|text| text.to_str());
            if about.is_dir() && depth > 0 {
                self.collect(&path, depth - 1);
            } else if about.is_file() && extension.is_some_and(is_font) {
                self.files.insert(path, about.len());
            }
        }
    }
}

fn read(path: &Path) -> Result<Font, FontError> {
    let name =
        path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let data = fs::read(path).map_err(|error| FontError {
        message: format!("the font `{name}` can't be read: {error}"),
        help: "check the file".to_owned(),
    })?;
    Font::read(data, &name, Some(path.to_owned()))
}
