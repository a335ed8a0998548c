//! Small copies of the photos' pictures for what is looked at on screen.

use std::collections::BTreeMap;
use std::sync::Arc;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use rayon::prelude::*;
use sha2::{Digest, Sha256};

use crate::kept::Kept;
use crate::model::{PieceId, Rect};
use crate::picture::PictureFile;
use crate::picture::dots::small_copy;
use crate::record::{Picture, PrintedPicture, Record};

/// Dots an inch of a copy: as fine as a screen shows when the spread is seen at its real size.
const RESOLUTION: f64 = 150.0;
/// The most dots that all copies of a spread may have; with more photos they get coarser, so that the
/// proof stays a file to send.
const MOST_DOTS: f64 = 16e6;

/// How fine copies of papers' pictures are, as a share of photos; and the longest side that counts, in
/// inches.
const COARSER: f64 = 0.6;
const MOST_OF_PAPER: f64 = 10.0;

/// Pictures that are decoded side by side, as long as they have no more dots than that together: a dot takes
/// 3 to 8 bytes.
const AT_ONCE: usize = 2;
const MOST_DOTS_AT_ONCE: u64 = 40_000_000;

/// Copies made last, by the file's hash, what is shown of it and with how many dots: those of a few spreads.
static MADE: Kept<(String, Rect, [u32; 2]), Arc<str>> = Kept::new(64);

/// Small copies of photos by id and of pictures printed on pieces, as addresses that hold their data.
#[derive(Clone, Debug, Default)]
pub struct SmallCopies {
    copies: BTreeMap<PieceId, Arc<str>>,
    printed: Vec<(Picture, Arc<str>)>,
    /// Those of papers, by the paper's place in the record.
    papers: Vec<(usize, Arc<str>)>,
}

impl SmallCopies {
    /// Makes a copy for each photo of a record whose file is among `pictures`, a few at a time, so that no
    /// more pictures than that are in memory.
    pub fn of(record: &Record, pictures: &[Arc<PictureFile>]) -> Result<Self, String> {
        let photos = || record.photos.iter().filter(|photo| photo.picture.is_some());
        let shown: Vec<(&Picture, [f64; 2])> = photos()
            .filter_map(|photo| Some((photo.picture.as_ref()?, photo.field().size)))
            .chain(printed_pictures(record).map(|shown| (&shown.picture, shown.area.size)))
            .chain(of_papers(record).map(|(_, picture, size)| (picture, size)))
            .collect();
        let mut made = made(&shown, pictures).into_iter();
        let mut copies = BTreeMap::new();
        for photo in photos() {
            let copy = made.next().transpose()?.flatten();
            copies.extend(copy.map(|copy| (photo.id.clone(), copy)));
        }
        let mut printed: Vec<(Picture, Arc<str>)> = Vec::new();
        for shown in printed_pictures(record) {
            let copy = made.next().transpose()?.flatten();
            if printed.iter().all(|(picture, _)| *picture != shown.picture) {
                printed.extend(copy.map(|copy| (shown.picture.clone(), copy)));
            }
        }
        let mut papers = Vec::new();
        for (place, _, _) in of_papers(record) {
            let copy = made.next().transpose()?.flatten();
            papers.extend(copy.map(|copy| (place, copy)));
        }
        Ok(Self { copies, printed, papers })
    }

    /// Makes the copies of pictures that a record will show, each of a size in inches, while there is no
    /// record yet: [`SmallCopies::of`] then finds them made. What fails here, fails there again.
    pub fn ahead(shown: &[(Picture, [f64; 2])], pictures: &[Arc<PictureFile>]) {
        let shown: Vec<_> = shown.iter().map(|(picture, size)| (picture, *size)).collect();
        made(&shown, pictures);
    }

    /// The copies by short addresses in place of those that hold their data, and the data by these addresses:
    /// for a page that is shown again and again, and asks for a picture once.
    pub fn by_address(self, below: &str) -> (Self, BTreeMap<String, Arc<str>>) {
        let mut data = BTreeMap::new();
        let mut named = |copy: Arc<str>| -> Arc<str> {
            let hash = Sha256::digest(copy.as_bytes());
            let hash: String = hash.iter().map(|byte| format!("{byte:02x}")).collect();
            let address = [below, &hash].concat();
            let named = address.as_str().into();
            data.insert(address, copy);
            named
        };
        let copies = self.copies.into_iter().map(|(id, copy)| (id, named(copy))).collect();
        let printed =
            self.printed.into_iter().map(|(picture, copy)| (picture, named(copy))).collect();
        let papers = self.papers.into_iter().map(|(place, copy)| (place, named(copy))).collect();
        (Self { copies, printed, papers }, data)
    }

    /// All copies: those of a record's photos, in its order, and those of the pictures on pieces.
    pub(super) fn addresses(&self, record: &Record) -> Vec<Option<&str>> {
        let photos = record.photos.iter().map(|photo| self.get(&photo.id));
        let printed = self.printed.iter().map(|(_, copy)| Some(&**copy));
        photos.chain(printed).chain(self.papers.iter().map(|(_, copy)| Some(&**copy))).collect()
    }

    /// The place of a paper's picture among all copies, by the paper's place in the record.
    pub(super) fn of_paper(&self, record: &Record, paper: usize) -> Option<usize> {
        let place = self.papers.iter().position(|(place, _)| *place == paper)?;
        Some(record.photos.len() + self.printed.len() + place)
    }

    /// The place of a picture among those that are printed on pieces.
    pub(super) fn printed(&self, picture: &Picture) -> Option<usize> {
        self.printed.iter().position(|(other, _)| other == picture)
    }

    /// The copy of a photo.
    pub fn get(&self, photo: &str) -> Option<&str> {
        self.copies.get(photo).map(|copy| &**copy)
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.copies.is_empty() && self.printed.is_empty() && self.papers.is_empty()
    }
}

/// Copies of pictures of these sizes, in their order, each made once; nothing for one whose file is not at
/// hand.
fn made(
    shown: &[(&Picture, [f64; 2])],
    files: &[Arc<PictureFile>],
) -> Vec<Result<Option<Arc<str>>, String>> {
    let resolution = resolution(shown);
    let of = |(picture, size): &(&Picture, [f64; 2])| copy(picture, *size, resolution, files);
    let mut firsts: Vec<(&Picture, [f64; 2])> = Vec::new();
    for one in shown {
        if !firsts.contains(one) {
            firsts.push(*one);
        }
    }
    let turns = in_turns(&firsts, files);
    let made: Vec<_> = turns.flat_map(|some| some.par_iter().map(of).collect::<Vec<_>>()).collect();
    let find = |one| firsts.iter().position(|first| first == one).and_then(|at| made.get(at));
    shown.iter().map(|one| find(one).cloned().unwrap_or(Ok(None))).collect()
}

/// Pictures to decode in turns: those of a turn are in memory together.
fn in_turns<'a, T>(
    photos: &'a [(&Picture, T)],
    files: &'a [Arc<PictureFile>],
) -> impl Iterator<Item = &'a [(&'a Picture, T)]> {
    let dots = |picture: &Picture| {
        let file = files.iter().find(|file| file.sha256 == picture.sha256);
        file.map_or(0, |file| file.stored.into_iter().map(u64::from).product::<u64>())
    };
    let mut rest = photos;
    std::iter::from_fn(move || {
        let mut sum = 0;
        let fits = rest.iter().take(AT_ONCE).take_while(|(picture, _)| {
            sum += dots(picture);
            sum <= MOST_DOTS_AT_ONCE
        });
        let count = fits.count().max(1).min(rest.len());
        let (turn, later) = rest.split_at(count);
        rest = later;
        (!turn.is_empty()).then_some(turn)
    })
}

/// Dots an inch at which all copies together stay below the limit.
fn resolution(shown: &[(&Picture, [f64; 2])]) -> f64 {
    let area: f64 = shown.iter().map(|(_, [width, height])| width * height).sum();
    RESOLUTION.min((MOST_DOTS / area.max(1e-9)).sqrt())
}

/// The pictures that are printed on pieces.
fn printed_pictures(record: &Record) -> impl Iterator<Item = &PrintedPicture> {
    record.pieces.iter().filter_map(|piece| piece.print.as_ref()?.picture.as_ref())
}

/// The pictures of papers, each with the paper's place and a size in inches by which it is as fine as it
/// needs to be.
fn of_papers(record: &Record) -> impl Iterator<Item = (usize, &Picture, [f64; 2])> {
    let papers = record.papers.iter().enumerate();
    papers.filter_map(|(place, paper)| {
        let on = paper.picture.as_ref()?;
        Some((place, &on.picture, on.size.map(|side| (side * COARSER).min(MOST_OF_PAPER))))
    })
}

/// A copy of a picture as an address; nothing if its file is not at hand.
fn copy(
    picture: &Picture,
    size: [f64; 2],
    resolution: f64,
    files: &[Arc<PictureFile>],
) -> Result<Option<Arc<str>>, String> {
    let Some(file) = files.iter().find(|file| file.sha256 == picture.sha256) else {
        return Ok(None);
    };
    let question = (picture.sha256.clone(), picture.crop, dots(size, resolution));
    let copy = MADE.if_found(question, |(_, crop, dots)| {
        let jpeg = small_copy(file, crop, *dots).map_err(|error| error.to_string())?;
        Ok::<_, String>(format!("data:image/jpeg;base64,{}", STANDARD.encode(jpeg)).into())
    });
    copy.map(Some)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn dots(size: [f64; 2], resolution: f64) -> [u32; 2] {
    size.map(|side| (side * resolution).round().clamp(1.0, 20_000.0) as u32)
}
