//! Where fonts are found: the user's folders, the built-in ones, the system's.

use crate::model::Fault;
use std::cmp::Reverse;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use rayon::prelude::*;

use crate::model::naming::{nearest, nearest_file};

use super::files::{self, FontFile, is_font};
use super::{AxisRange, Embedding, Font, sha256};

/// What the usual upright style of a family is called.
const UPRIGHT: [&str; 4] = ["regular", "book", "roman", "normal"];
/// Bytes of fonts that are read to find one by its letters or its hash: what lies beyond is found by its
/// names.
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
    own: OnceLock<Vec<FontFile>>,
    system: OnceLock<Vec<FontFile>>,
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
    pub fn find(&self, name: &str) -> Result<Arc<Font>, Fault> {
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
        let help = near_name(name, own.iter().chain(self.system()).collect())
            .map_or_else(String::new, |near| format!("did you mean `{near}`? "));
        Err(Fault {
            message: format!("there is no font `{name}`"),
            help: format!("{help}`cutleaf fonts` lists them; drop font files into `fonts`"),
        })
    }

    /// The font with these very bytes.
    pub fn find_by_sha256(&self, sha256: &str) -> Option<Arc<Font>> {
        let mut inside = BUILT_IN.iter().filter_map(|name| self.find(name).ok());
        let with_these = |files: &[FontFile]| {
            let mut found = within_reach(files)
                .par_iter()
                .find_first(|file| sha256_of(&file.path).is_some_and(|own| own == sha256));
            found.take().and_then(FontFile::font)
        };
        inside
            .find(|font| font.sha256 == sha256)
            .or_else(|| with_these(self.own()))
            .or_else(|| with_these(self.system()))
    }

    /// Every font whose family holds `name`, in any case: the user's first, then the built-in ones, then
    /// the system's.
    pub fn list(&self, name: &str) -> Vec<(FontListing, Arc<Font>)> {
        fn named(file: &FontFile) -> (String, Option<&FontFile>) {
            (file.family.clone(), Some(file))
        }
        let inside = BUILT_IN.iter().map(|name| ((*name).to_owned(), None));
        let name = name.to_lowercase();
        let wanted: Vec<(String, Option<&FontFile>)> = self
            .own()
            .iter()
            .map(named)
            .chain(inside)
            .chain(self.system().iter().map(named))
            .filter(|(family, _)| family.to_lowercase().contains(&name))
            .collect();
        let read = |(family, file): (String, Option<&FontFile>)| {
            let font = file.map_or_else(|| self.find(&family).ok(), FontFile::font)?;
            Some((listing(family, &font), font))
        };
        wanted.into_par_iter().filter_map(read).collect()
    }

    /// Names of fonts that hold every one of some letters: the user's, the built-in ones, the system's,
    /// at most `most` families.
    pub fn with_letters(&self, letters: &[char], most: usize) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        let mut add = |name: &str, holds: &dyn Fn() -> bool| {
            if names.len() < most && !names.iter().any(|known| known == name) && holds() {
                names.push(name.to_owned());
            }
        };
        let holds =
            |file: &FontFile| file.count_of(letters) == letters.len() && file.font().is_some();
        for file in within_reach(self.own()) {
            add(&file.family, &|| holds(file));
        }
        for name in BUILT_IN {
            let font = self.find(name);
            let all = |font: &Arc<Font>| letters.iter().all(|one| font.glyph(*one).is_some());
            add(name, &|| font.as_ref().is_ok_and(all));
        }
        for file in within_reach(self.system()) {
            add(&file.family, &|| holds(file));
        }
        names
    }

    /// The font that holds the most of some letters: one of the user's if any holds one, else one of the
    /// system's; upright and regular rather than not, then the first by its path. Nothing if none holds any,
    /// or may go into a document.
    pub fn with_most_letters(&self, letters: &[char]) -> Option<Arc<Font>> {
        let best = |files: &[FontFile]| {
            let counted = |file| (FontFile::count_of(file, letters), file);
            let mut held: Vec<(usize, &FontFile)> =
                within_reach(files).par_iter().map(counted).filter(|(held, _)| *held > 0).collect();
            let regular = |file: &FontFile| file.style.eq_ignore_ascii_case("regular");
            held.sort_by_key(|(held, file)| Reverse((*held, regular(file))));
            let usable = |font: &Arc<Font>| font.barred_from_pdf().is_none();
            held.iter().filter_map(|(_, file)| file.font()).find(usable)
        };
        best(self.own()).or_else(|| best(self.system()))
    }

    fn file(&self, name: &str) -> Result<Arc<Font>, Fault> {
        let beside = self.folders.first().and_then(|folder| folder.parent());
        let places = [beside.map(|folder| folder.join(name)), Some(PathBuf::from(name))];
        let path = places.iter().flatten().find(|path| path.is_file()).ok_or_else(|| {
            let near = places.iter().flatten().find_map(|path| nearest_file(path));
            let near = near.map(|near| Path::new(name).with_file_name(near));
            let near = near
                .map_or_else(String::new, |near| format!("did you mean `{}`? ", near.display()));
            Fault {
                message: format!("there is no font file `{name}`"),
                help: format!("{near}write its path from the spec's folder"),
            }
        })?;
        files::read(path).map(Arc::new)
    }

    fn own(&self) -> &[FontFile] {
        self.own.get_or_init(|| {
            let mut folders: Vec<PathBuf> = Vec::new();
            for folder in &self.folders {
                // The spec's folder may be the project's: its fonts are listed once.
                let folder = fs::canonicalize(folder).unwrap_or_else(|_| folder.clone());
                if !folders.contains(&folder) {
                    folders.push(folder);
                }
            }
            folders.iter().flat_map(|folder| files::in_folder(folder)).collect()
        })
    }

    fn system(&self) -> &[FontFile] {
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
                .flat_map(|folder| files::in_folder(&folder))
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

/// The font of a family and style; the regular style where only the family is named. Files that can't be used
/// are passed by.
fn by_family(files: &[FontFile], name: &str) -> Option<Arc<Font>> {
    let name = name.to_lowercase();
    let family: Vec<&FontFile> =
        files.iter().filter(|file| file.family.to_lowercase() == name).collect();
    let whole = files.iter().filter(|file| file.whole_name().to_lowercase() == name);
    let upright = UPRIGHT.iter().flat_map(|style| {
        family.iter().copied().filter(|file| file.style.eq_ignore_ascii_case(style))
    });
    whole.chain(upright).chain(family.iter().copied()).find_map(FontFile::font)
}

/// The name nearest to `name` by which one of some fonts that can be used is found, or a built-in one.
fn near_name(name: &str, mut files: Vec<&FontFile>) -> Option<String> {
    loop {
        let whole: Vec<String> = files.iter().map(|file| file.whole_name()).collect();
        let known: Vec<&str> = BUILT_IN
            .into_iter()
            .chain(files.iter().map(|file| file.family.as_str()))
            .chain(whole.iter().map(String::as_str))
            .collect();
        let near = nearest(name, known)?.to_owned();
        let is_near = |file: &FontFile| file.family == near || file.whole_name() == near;
        let named: Vec<&FontFile> = files.iter().copied().filter(|file| is_near(file)).collect();
        if named.is_empty() || named.iter().any(|file| file.font().is_some()) {
            return Some(near);
        }
        files.retain(|file| !is_near(file));
    }
}

/// The files that a search may read one after the other: the first 300 MB.
fn within_reach(files: &[FontFile]) -> &[FontFile] {
    let mut bytes = 0;
    let fit = files.iter().take_while(|file| {
        bytes += file.size;
        bytes <= MOST_BYTES
    });
    &files[..fit.count()]
}

fn sha256_of(path: &Path) -> Option<String> {
    fs::read(path).ok().map(|data| sha256(&data))
}
