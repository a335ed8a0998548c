//! How long it takes to rank the sketches for 12 photos, and to draw the gallery.
//!
//! `cargo bench --bench sketch`. Times are the median of 9 runs after one to warm up. The targets are 2 s for
//! ranking fourteen sketches or more, and 4 s with the gallery, on 2 cores. Each sketch is asked as if it
//! took any number of photos in its grids, so that all of them work; what they can't place counts as well.

use std::path::Path;
use std::time::{Duration, Instant};

use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::length::Size;
use cutleaf::sketch::wanted::{self, Wanted};
use cutleaf::sketch::{self, Holds, Offers, Papers, Proposals, Room, Sketch, Words};

/// A handful and a dozen of photos.
const LISTS: [(&str, &str); 3] = [
    ("5 photos", "4x6, 4x6 facing left, 3x3, 5x7, 3.5x5"),
    ("12 photos", "4x6,4x4,6x4,3x4,3x3,4x6,3.5x5,4x3,3x3,4x4,2x2,5x3.5"),
    ("14 photos", "3x4,3x4,3x4,3x4,4x3,4x3,3x3,3x3,2x2,2x2,4x4,4x4,3x3,3x3"),
];
const RUNS: usize = 9;

fn main() {
    let sketches: Vec<Sketch> =
        sketch::texts().iter().filter_map(|text| Sketch::read(text).ok()).map(hungry).collect();
    let page = Size::inches(12.0, 12.0);
    let sketches: Vec<Sketch> =
        sketches.into_iter().map(|sketch| Sketch { made_for: vec![page], ..sketch }).collect();
    let book = FontBook::default();
    let (Ok(label), Ok(title)) = (book.find("text"), book.find("display")) else { return };
    let words = Words { name: "Dunes".to_owned(), title: "Dunes".to_owned(), story: None };
    println!("{} sketches, {} threads", sketches.len(), rayon_threads());
    println!("{:<12} {:>7} {:>9} {:>12}", "", "offered", "rank ms", "gallery ms");
    let mut sets: Vec<(&str, Vec<Wanted>)> = LISTS
        .into_iter()
        .filter_map(|(name, list)| Some((name, wanted::photos(list).ok()?)))
        .collect();
    sets.extend(pictures().map(|photos| ("12 pictures", photos)));
    for (name, photos) in sets {
        let (offers, rank) = timed(|| sketch::offers(&sketches, page, &photos));
        let (_, gallery) = timed(|| {
            sketch::gallery(
                &offers,
                &photos,
                &Proposals::of(Papers::usual()),
                &words,
                [&*label, &*title],
            )
        });
        let Offers { fits, .. } = &offers;
        let [rank, gallery] = [rank, gallery].map(|time| time.as_secs_f64() * 1000.0);
        println!("{name:<12} {:>7} {rank:>9.0} {gallery:>12.0}", fits.len());
    }
}

/// The pictures of the kite day time and again, to print in any form: a dozen.
fn pictures() -> Option<Vec<Wanted>> {
    let folder = Path::new("templates/kite-day");
    let five = wanted::folder(folder, folder, &wanted::Notes::default()).ok()?;
    let named =
        |(number, photo): (usize, Wanted)| Wanted { name: format!("photo-{number}"), ..photo };
    Some(five.iter().cloned().cycle().take(12).enumerate().map(named).collect())
}

fn rayon_threads() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
}

/// The sketch with banks that take any number of photos.
fn hungry(mut sketch: Sketch) -> Sketch {
    fn feed(room: &mut Room) {
        match &mut room.holds {
            Holds::Photos(bank) => (bank.takes.least, bank.takes.most) = (0, 14),
            Holds::Rooms(_, rooms) => rooms.iter_mut().for_each(feed),
            Holds::Nothing | Holds::Other(_) => {}
        }
    }
    sketch.pages.iter_mut().for_each(|(_, room)| feed(room));
    sketch
}

fn timed<T>(work: impl Fn() -> T) -> (T, Duration) {
    let result = work();
    let mut times: Vec<Duration> = (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(work());
            start.elapsed()
        })
        .collect();
    times.sort();
    (result, times[RUNS / 2])
}
