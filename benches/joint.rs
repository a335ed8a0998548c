//! Jobs of trimmer and machine together: cards, mats, letters and strips from two sizes of sheets with
//! prices. What is paid over the least that the area permits, at quick, normal and long, on the same jobs
//! in one run. Fails if more effort is ever worse by the order of whole plans.
//!
//! `cargo bench --bench joint -- [jobs 3] [kind 0] [quick|normal|long]`: jobs of each kind, one kind alone,
//! and the last effort that is run, `normal` if not given.

use std::process::ExitCode;
use std::time::Instant;

use cutleaf::model::Price;
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::worth::Worth;
use cutleaf::nest::{Effort, Form, Item, Job, Rules, Stock, Tool, Turns, least_price, nest};
use cutleaf::shapes;
use kurbo::{Affine, BezPath, Shape as _};
use rand_xoshiro::SplitMix64;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// The kinds of jobs, by number.
const KINDS: [&str; 3] = ["cards and stars", "mats and letters", "strips, tags, letters"];
/// Width, height and price of the sheets.
const SHEETS: [(f64, f64, f64); 2] = [(12.0, 12.0, 1.0), (8.5, 11.0, 0.62)];

struct Chance(SplitMix64);

impl Chance {
    fn below(&mut self, limit: u64) -> u64 {
        self.0.next_u64() % limit
    }

    /// A length in eighths from `least` to `most`.
    fn length(&mut self, least: u64, most: u64) -> f64 {
        (least + self.below(most - least + 1)) as f64 / 8.0
    }
}

fn item(form: Form, copies: u64, tool: Tool) -> Item {
    Item {
        id: "kite".to_owned(),
        form,
        copies: u32::try_from(copies).expect("few copies"),
        tool,
        turns: Turns::Quarter,
        together: None,
    }
}

fn rectangle(width: f64, height: f64, copies: u64) -> Item {
    item(Form::Rectangle(Size::inches(width, height)), copies, Tool::Trimmer)
}

fn outline(path: &BezPath, copies: u64) -> Item {
    let bounds = path.bounding_box();
    let path = Affine::translate((-bounds.x0, -bounds.y0)) * path.clone();
    item(Form::Outline(path), copies, Tool::Machine)
}

/// Stars, hearts, rings and plain letters (an L and a T), about as large as a title's.
fn machine_pieces(chance: &mut Chance, count: u64) -> Vec<Item> {
    let letter = |points: &[(f64, f64)], size: f64| {
        let mut path = BezPath::new();
        path.move_to((points[0].0 * size, points[0].1 * size));
        points[1..].iter().for_each(|&(x, y)| path.line_to((x * size, y * size)));
        path.close_path();
        path
    };
    let l = [(0.0, 0.0), (0.3, 0.0), (0.3, 0.7), (0.8, 0.7), (0.8, 1.0), (0.0, 1.0)];
    let t = [
        (0.0, 0.0),
        (0.9, 0.0),
        (0.9, 0.3),
        (0.6, 0.3),
        (0.6, 1.0),
        (0.3, 1.0),
        (0.3, 0.3),
        (0.0, 0.3),
    ];
    (0..count)
        .map(|_| {
            let size = chance.length(8, 20);
            let copies = 1 + chance.below(6);
            let path = match chance.below(5) {
                0 => shapes::star(5, size, size / 4.0).expect("a star").outline,
                1 => shapes::heart(size, size).expect("a heart").outline,
                2 => shapes::ring(size, size / 6.0).expect("a ring").outline,
                3 => letter(&l, size),
                _ => letter(&t, size),
            };
            outline(&path, copies)
        })
        .collect()
}

/// A job of a kind: cards with stars, a spread's mats and title, a class's tags and strips.
fn job(kind: usize, seed: u64) -> Job {
    let mut chance = Chance(SplitMix64::from_seed((1000 * seed + kind as u64).to_le_bytes()));
    let mut items = Vec::new();
    match kind {
        0 => {
            let copies = 12 + chance.below(24);
            items.push(rectangle(chance.length(16, 24), chance.length(24, 36), copies));
            let size = chance.length(8, 16);
            let star = shapes::star(5, size, size / 4.0).expect("a star").outline;
            items.push(outline(&star, copies));
        }
        1 => {
            for _ in 0..6 + chance.below(8) {
                items.push(rectangle(chance.length(18, 70), chance.length(18, 70), 1));
            }
            items.extend(machine_pieces(&mut chance, 8));
        }
        _ => {
            for _ in 0..8 {
                let copies = 2 + chance.below(6);
                items.push(rectangle(chance.length(16, 80), chance.length(4, 8), copies));
            }
            for _ in 0..3 {
                let copies = 2 + chance.below(4);
                items.push(rectangle(chance.length(12, 30), chance.length(20, 40), copies));
            }
            items.extend(machine_pieces(&mut chance, 12));
        }
    }
    let stock = SHEETS.map(|(width, height, price)| Stock {
        size: Size::inches(width, height),
        count: 40,
        price: Price::new(price),
        ..Stock::default()
    });
    let rules = Rules {
        spacing: Length::part(1, 16),
        machine_margin: Length::part(1, 4),
        ..Rules::default()
    };
    Job { stock: stock.to_vec(), items, rules, effort: Effort::Quick }
}

/// The least that can be paid: by the paper that the pieces cover, and by the trimmer's sizes.
fn bound(job: &Job) -> f64 {
    let covered: f64 = job.items.iter().map(|item| item.area() * f64::from(item.copies)).sum();
    let mut least = f64::INFINITY;
    for large in 0..40 {
        for small in 0..40 {
            let [one, other] = [f64::from(large), f64::from(small)];
            let paper = one * SHEETS[0].0 * SHEETS[0].1 + other * SHEETS[1].0 * SHEETS[1].1;
            if paper >= covered {
                least = least.min(one * SHEETS[0].2 + other * SHEETS[1].2);
            }
        }
    }
    least.max(least_price(job))
}

/// What one effort came to over the jobs of a kind.
struct Told {
    paid: f64,
    seconds: f64,
    /// How many plans are better, and worse, than with the effort before.
    better: usize,
    worse: usize,
}

/// Nests the jobs with an effort; `known` is what the effort before came to.
fn run(jobs: &[Job], effort: Effort, known: &mut [Option<Worth>]) -> Told {
    let begun = Instant::now();
    let mut told = Told { paid: 0.0, seconds: 0.0, better: 0, worse: 0 };
    for (job, known) in jobs.iter().zip(known) {
        let job = Job { effort, ..job.clone() };
        let nested = nest(&job);
        assert!(nested.left_out.is_empty());
        told.paid += nested.sheets.iter().map(|sheet| job.stock[sheet.stock].cost()).sum::<f64>();
        let worth = Worth::of(&job, &nested);
        told.better += usize::from(known.as_ref().is_some_and(|known| worth < *known));
        told.worse += usize::from(known.as_ref().is_some_and(|known| worth > *known));
        *known = Some(worth);
    }
    told.seconds = begun.elapsed().as_secs_f64() / jobs.len() as f64;
    told
}

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let after = |name: &str| {
        let place = words.iter().position(|word| word == name)?;
        words.get(place + 1)?.parse::<u64>().ok()
    };
    let jobs = after("jobs").unwrap_or(3);
    let only = after("kind");
    let last = Effort::ALL.into_iter().find(|effort| words.iter().any(|w| w == effort.name()));
    println!(
        "12 x 12 in at 1.00 and 8.5 x 11 in at 0.62, {jobs} jobs a line: price over the bound, seconds a job, how \
         many times as long as quick, and of how many jobs the plan is better than with less effort"
    );
    let mut worse = 0;
    for (kind, name) in KINDS.iter().enumerate() {
        if only.is_some_and(|only| only != kind as u64) {
            continue;
        }
        let jobs: Vec<Job> = (0..jobs).map(|seed| job(kind, seed)).collect();
        let pieces: u32 = jobs.iter().flat_map(|job| &job.items).map(|item| item.copies).sum();
        let least: f64 = jobs.iter().map(bound).sum();
        let mut known: Vec<Option<Worth>> = vec![None; jobs.len()];
        let mut quick = None;
        println!("{name}, {} pieces a job", pieces as usize / jobs.len().max(1));
        for effort in Effort::ALL {
            let told = run(&jobs, effort, &mut known);
            let seconds = told.seconds;
            println!(
                "  {:<7} {:.3} {seconds:>7.2} s {:>6.0} x {:>3} better",
                effort.name(),
                told.paid / least,
                seconds / *quick.get_or_insert(seconds),
                told.better
            );
            worse += told.worse;
            if effort == last.unwrap_or_default() {
                break;
            }
        }
    }
    if worse > 0 {
        println!("{worse} plans were worse with more effort");
        return ExitCode::FAILURE;
    }
    ExitCode::SUCCESS
}
