//! Font files in folders, known by their names before they are read.
//!
//! Of each file its table directory and its `name` table are read (OpenType specification, `otff` and
//! `name`); the rest once its font is asked for.

use crate::model::Fault;
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::io::{Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use harfrust::Tag;
use harfrust::font::name::Names;
use rayon::prelude::*;
use read_fonts::{FontData, FontRef, TableProvider};

use super::{Font, LARGEST_FONT, family_and_style, glyph_for};

/// Files a font folder and the folders in it may hold; more is no font folder.
const MOST_FILES: usize = 20_000;
/// How deep folders of fonts are followed.
const DEEPEST: usize = 6;
/// Folders that are looked through; a system has some hundred.
const MOST_FOLDERS: usize = 5_000;
/// Bytes at a file's beginning in which its table directory is looked for: room for a thousand tables.
const DIRECTORY: u64 = 16_384;
/// The largest `name` table that is read, in bytes; those in every language have some 100 000.
const LARGEST_NAMES: u64 = 4_000_000;
/// Tables of which an outline font has one.
const OUTLINES: [&[u8; 4]; 3] = [b"glyf", b"CFF ", b"CFF2"];

/// A font file by its names.
#[derive(Debug)]
pub(super) struct FontFile {
    pub path: PathBuf,
    /// Its length in bytes.
    pub size: u64,
    pub family: String,
    pub style: String,
    font: OnceLock<Option<Arc<Font>>>,
}

impl FontFile {
    /// A file by its names; nothing where it has no outlines or can't be read.
    fn of(path: PathBuf, size: u64) -> Option<Self> {
        let mut file = File::open(&path).ok()?;
        let mut head = Vec::new();
        file.by_ref().take(DIRECTORY).read_to_end(&mut head).ok()?;
        let directory = FontRef::from_index(&head, 0).ok()?.table_directory;
        let place = |tag: &[u8; 4]| {
            let mut records = directory.table_records().iter();
            let record = records.find(|record| record.tag() == Tag::new(tag))?;
            Some((u64::from(record.offset()), u64::from(record.length())))
        };
        OUTLINES.into_iter().find_map(place)?;
        let mut names = Vec::new();
        if let Some((begin, length)) = place(b"name") {
            file.seek(SeekFrom::Start(begin)).ok()?;
            file.take(length.min(LARGEST_NAMES)).read_to_end(&mut names).ok()?;
        }
        let [family, style] =
            family_and_style(Names::from_sfnt(&NameTable(&names)), &file_name(&path));
        Some(Self { path, size, family, style, font: OnceLock::new() })
    }

    /// The font, read when it is first asked for; nothing where it can't be used.
    pub fn font(&self) -> Option<Arc<Font>> {
        self.font.get_or_init(|| read(&self.path).ok().map(Arc::new)).clone()
    }

    /// Family and style in one.
    pub fn whole_name(&self) -> String {
        format!("{} {}", self.family, self.style)
    }

    /// How many of some letters it has; the file is read, and forgotten again.
    pub fn count_of(&self, letters: &[char]) -> usize {
        let face = fs::read(&self.path).ok().and_then(|data| harfrust::Font::new(data, 0));
        let has = |face: &harfrust::Font, letter: char| glyph_for(face, letter).is_some();
        face.map_or(0, |face| letters.iter().filter(|letter| has(&face, **letter)).count())
    }
}

/// A font of which the names alone are at hand.
struct NameTable<'a>(&'a [u8]);

impl<'a> TableProvider<'a> for NameTable<'a> {
    fn data_for_tag(&self, tag: Tag) -> Option<FontData<'a>> {
        (tag == Tag::new(b"name")).then(|| FontData::new(self.0))
    }
}

pub(super) fn is_font(extension: &str) -> bool {
    ["ttf", "otf"].iter().any(|known| extension.eq_ignore_ascii_case(known))
}

/// The outline fonts of a folder and the folders in it, in the order of their paths.
pub(super) fn in_folder(folder: &Path) -> Vec<FontFile> {
    let mut found = FontFolders::default();
    found.collect(folder, DEEPEST);
    let files: Vec<(PathBuf, u64)> = found.files.into_iter().collect();
    let largest = LARGEST_FONT as u64;
    files
        .into_par_iter()
        .filter(|(_, size)| *size <= largest)
        .filter_map(|(path, size)| FontFile::of(path, size))
        .collect()
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

fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}

/// Reads a font file.
pub(super) fn read(path: &Path) -> Result<Font, Fault> {
    let name = file_name(path);
    let data = fs::read(path).map_err(|error| Fault {
        message: format!("the font `{name}` can't be read: {error}"),
        help: "check the file".to_owned(),
    })?;
    Font::read(data, &name, Some(path.to_owned()))
}
