//! Random pieces from two sizes of sheets with prices: what is paid against the least that the area
//! and the sizes permit, beside the crate `cut-optimizer-2d` and PyPI's `rectpack` on the same jobs in
//! the same run. Fails if either ever pays less.
//!
//! `cargo bench --bench mixed_stock -- [quick|normal|long] [pieces 30,60,120,200] [python PATH] [alone]`
//!
//! `rectpack` is run by the Python at PATH, `target/outside-venv/bin/python` if not given; without it the
//! column stays empty.

use std::io::Write;
use std::process::{Command, ExitCode, Stdio};
use std::time::Instant;

use cut_optimizer_2d::{CutPiece, Optimizer, PatternDirection, StockPiece};
use cutleaf::model::Price;
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::{Effort, Form, Item, Job, Stock, Tool, Turns, least_price, nest};
use rand_xoshiro::SplitMix64;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// Width, height and price of the sheets, in sixteenths of an inch and hundredths of a coin.
const SHEETS: [([i64; 2], i64); 2] = [([192, 192], 100), ([136, 176], 62)];
/// Jobs of each number of pieces.
const JOBS: u64 = 3;
/// Where `.ci/run` puts the Python that has `rectpack`.
const PYTHON: &str = "target/outside-venv/bin/python";
/// Shortest and longest side of a piece, in sixteenths of an inch.
const SIDES: [u64; 2] = [16, 112];

fn pieces(count: u64, seed: u64) -> Vec<[i64; 2]> {
    let mut chance = SplitMix64::from_seed((count * 1000 + seed).to_le_bytes());
    let mut side = || {
        let side = SIDES[0] + chance.next_u64() % (SIDES[1] - SIDES[0] + 1);
        i64::try_from(side).expect("a short side")
    };
    (0..count).map(|_| [side(), side()]).collect()
}

fn size([width, height]: [i64; 2]) -> Size {
    Size::new(Length::part(width, 16), Length::part(height, 16))
}

fn job(pieces: &[[i64; 2]], effort: Effort) -> Job {
    let stock = SHEETS.map(|(sheet, price)| Stock {
        size: size(sheet),
        count: 1000,
        price: Price::new(price as f64 / 100.0),
        offcut: None,
        ..Stock::default()
    });
    let items = pieces.iter().enumerate().map(|(number, &piece)| Item {
        id: format!("kite {number}"),
        form: Form::Rectangle(size(piece)),
        copies: 1,
        tool: Tool::Trimmer,
        turns: Turns::Quarter,
        together: None,
    });
    Job { stock: stock.to_vec(), items: items.collect(), effort, ..Job::default() }
}

/// What the nester pays.
fn nester_pays(pieces: &[[i64; 2]], effort: Effort) -> i64 {
    let nested = nest(&job(pieces, effort));
    assert!(nested.left_out.is_empty());
    nested.sheets.iter().map(|sheet| SHEETS[sheet.stock].1).sum()
}

/// What the crate `cut-optimizer-2d` pays.
fn crate_pays(pieces: &[[i64; 2]]) -> i64 {
    let whole = |length: i64| usize::try_from(length).expect("a length");
    let mut optimizer = Optimizer::new();
    optimizer.set_random_seed(1);
    for ([width, length], price) in SHEETS {
        optimizer.add_stock_piece(StockPiece {
            width: whole(width),
            length: whole(length),
            pattern_direction: PatternDirection::None,
            price: whole(price),
            quantity: None,
        });
    }
    for (number, &[width, length]) in pieces.iter().enumerate() {
        optimizer.add_cut_piece(CutPiece {
            quantity: 1,
            external_id: Some(number),
            width: whole(width),
            length: whole(length),
            can_rotate: true,
            pattern_direction: PatternDirection::None,
        });
    }
    let solution = optimizer.optimize_guillotine(|_| {}).expect("every piece fits a sheet");
    let paid: usize = solution.stock_pieces.iter().map(|piece| piece.price).sum();
    i64::try_from(paid).expect("a price")
}

/// What `rectpack` pays for each job; nothing if this Python can't run it.
fn rectpack_pays(python: &str, jobs: &[Vec<[i64; 2]>]) -> Option<Vec<i64>> {
    let work = serde_json::json!({ "sheets": SHEETS, "jobs": jobs }).to_string();
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/mixed_stock.py");
    let mut packer = Command::new(python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .ok()?;
    packer.stdin.take()?.write_all(work.as_bytes()).ok()?;
    let told = packer.wait_with_output().ok().filter(|told| told.status.success())?;
    let told = String::from_utf8(told.stdout).ok()?;
    let prices: Vec<i64> = told.lines().filter_map(|line| line.parse().ok()).collect();
    (prices.len() == jobs.len() && prices.iter().all(|&price| price >= 0)).then_some(prices)
}

/// The least that can be paid: by the paper that the pieces cover, and by their sizes.
fn bound(pieces: &[[i64; 2]]) -> i64 {
    let price = (least_price(&job(pieces, Effort::Quick)) * 100.0).round();
    by_area(pieces).max((0..100_000).find(|&paid| paid as f64 >= price).unwrap_or(0))
}

/// The least that sheets with as much paper as the pieces cover cost.
fn by_area(pieces: &[[i64; 2]]) -> i64 {
    let area: i64 = pieces.iter().map(|piece| piece[0] * piece[1]).sum();
    let of = |kind: usize| SHEETS[kind].0[0] * SHEETS[kind].0[1];
    let most = area / of(0) + 1;
    let costs = (0..=most).map(|large| {
        let rest = (area - large * of(0)).max(0);
        large * SHEETS[0].1 + (rest + of(1) - 1) / of(1) * SHEETS[1].1
    });
    costs.min().unwrap_or(0)
}

/// The prices of all jobs, if they were found, and the seconds a job took.
struct Paid {
    prices: Option<Vec<i64>>,
    seconds: f64,
}

impl Paid {
    fn measured(pay: impl FnOnce() -> Option<Vec<i64>>) -> Self {
        let begun = Instant::now();
        let prices = pay();
        Self { prices, seconds: begun.elapsed().as_secs_f64() / JOBS as f64 }
    }

    /// How many of the jobs cost less than `ours`.
    fn cheaper_than(&self, ours: &[i64]) -> usize {
        let prices = self.prices.iter().flatten();
        prices.zip(ours).filter(|(paid, ours)| paid < ours).count()
    }

    /// The sum, its ratio to the bound, and the seconds.
    fn columns(&self, bound: i64) -> String {
        let Some(prices) = &self.prices else {
            return format!("{:>9} {:>7} {:>7}", "-", "-", "-");
        };
        let sum: i64 = prices.iter().sum();
        let ratio = sum as f64 / bound as f64;
        format!("{:>9.2} {ratio:>7.4} {:>7.2}", sum as f64 / 100.0, self.seconds)
    }
}

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let effort = match words.iter().find(|word| word.as_str() != "--bench").map(String::as_str) {
        Some("quick") => Effort::Quick,
        Some("long") => Effort::Long,
        _ => Effort::Normal,
    };
    let after = |name: &str| {
        let place = words.iter().position(|word| word == name)?;
        words.get(place + 1).map(String::as_str)
    };
    let counts = after("pieces").unwrap_or("30,60,120,200");
    let python = after("python").unwrap_or(PYTHON);
    let alone = words.iter().any(|word| word == "alone");
    println!("12 x 12 in at 1.00 and 8.5 x 11 in at 0.62, {effort:?} effort, {JOBS} jobs a line");
    println!(
        "{:>6} {:>7} {:>25} {:>25} {:>25}",
        "", "", "this program", "cut-optimizer-2d", "rectpack"
    );
    let columns = format!("{:>9} {:>7} {:>7}", "paid", "ratio", "s/job");
    println!("{:>6} {:>7} {columns} {columns} {columns}", "pieces", "bound");
    let (mut lost, mut missing) = (0, false);
    for count in counts.split(',').map(|count| count.parse::<u64>().expect("numbers of pieces")) {
        let jobs: Vec<_> = (0..JOBS).map(|seed| pieces(count, seed)).collect();
        let bound: i64 = jobs.iter().map(|pieces| bound(pieces)).sum();
        let each = |pay: &dyn Fn(&[[i64; 2]]) -> i64| jobs.iter().map(|job| pay(job)).collect();
        let paid = Paid::measured(|| Some(each(&|pieces| nester_pays(pieces, effort))));
        let ours = paid.prices.as_deref().unwrap_or_default();
        let others = [
            Paid::measured(|| (!alone).then(|| each(&crate_pays))),
            Paid::measured(|| if alone { None } else { rectpack_pays(python, &jobs) }),
        ];
        missing |= others[1].prices.is_none();
        let cheaper: usize = others.iter().map(|other| other.cheaper_than(ours)).sum();
        lost += cheaper;
        println!(
            "{count:>6} {:>7.2} {} {} {}{}",
            bound as f64 / 100.0,
            paid.columns(bound),
            others[0].columns(bound),
            others[1].columns(bound),
            if cheaper > 0 { format!("  {cheaper} cheaper") } else { String::new() }
        );
    }
    if missing && !alone {
        println!(
            "rectpack was not run: no Python with it at {python} (`python PATH` names another)"
        );
    }
    if lost > 0 {
        println!("{lost} jobs cost less elsewhere");
        return ExitCode::FAILURE;
    }
    ExitCode::SUCCESS
}
