//! Random pieces from two sizes of sheets with prices: what is paid against the least that the area
//! and the sizes permit, beside the crate `cut-optimizer-2d` on the same jobs in the same run.
//!
//! `cargo bench --bench mixed_stock -- [quick|normal|long] [pieces 30,60,120,200] [alone]`

use std::time::Instant;

use cut_optimizer_2d::{CutPiece, Optimizer, PatternDirection, StockPiece};
use cutleaf::length::{Length, Size};
use cutleaf::nest::{Effort, Form, Item, Job, Stock, Tool, Turns, least_price, nest};

/// Width, height and price of the sheets, in sixteenths of an inch and hundredths of a coin.
const SHEETS: [([i64; 2], i64); 2] = [([192, 192], 100), ([136, 176], 62)];
/// Jobs of each number of pieces.
const JOBS: u64 = 3;
/// Shortest and longest side of a piece, in sixteenths of an inch.
const SIDES: [u64; 2] = [16, 112];

/// Split mix (Steele, Lea, Flood, OOPSLA 2014).
fn chance(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mut mixed = *state;
    mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    mixed ^ (mixed >> 31)
}

fn pieces(count: u64, seed: u64) -> Vec<[i64; 2]> {
    let mut state = count * 1000 + seed;
    let mut side = || {
        let side = SIDES[0] + chance(&mut state) % (SIDES[1] - SIDES[0] + 1);
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
        price: price as f64 / 100.0,
        offcut: None,
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

/// What the nester pays, and the sheets it takes.
fn ours(pieces: &[[i64; 2]], effort: Effort) -> (i64, usize) {
    let nested = nest(&job(pieces, effort));
    assert!(nested.left_out.is_empty());
    (nested.sheets.iter().map(|sheet| SHEETS[sheet.stock].1).sum(), nested.sheets.len())
}

/// What the other crate pays, and the sheets it takes.
fn theirs(pieces: &[[i64; 2]]) -> (i64, usize) {
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
    (i64::try_from(paid).expect("a price"), solution.stock_pieces.len())
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

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let effort = match words.iter().find(|word| word.as_str() != "--bench").map(String::as_str) {
        Some("quick") => Effort::Quick,
        Some("long") => Effort::Long,
        _ => Effort::Normal,
    };
    let counts =
        words.iter().position(|word| word == "pieces").and_then(|place| words.get(place + 1));
    let counts = counts.map_or("30,60,120,200", String::as_str);
    let alone = words.iter().any(|word| word == "alone");
    println!("12 x 12 in at 1.00 and 8.5 x 11 in at 0.62, {effort:?} effort, {JOBS} jobs a line");
    println!(
        "{:>6} {:>7} {:>7} {:>7} {:>8} {:>7} {:>7} {:>8}",
        "pieces", "bound", "ours", "ratio", "s/job", "theirs", "ratio", "s/job"
    );
    for count in counts.split(',').map(|count| count.parse::<u64>().expect("numbers of pieces")) {
        let (mut sums, mut seconds, mut worse) = ([0; 3], [0.0; 2], 0);
        for seed in 0..JOBS {
            let pieces = pieces(count, seed);
            let begun = Instant::now();
            let (paid, _) = ours(&pieces, effort);
            seconds[0] += begun.elapsed().as_secs_f64();
            let begun = Instant::now();
            let (other, _) = if alone { (i64::MAX / 1000, 0) } else { theirs(&pieces) };
            seconds[1] += begun.elapsed().as_secs_f64();
            worse += u32::from(paid > other);
            for (sum, value) in sums.iter_mut().zip([bound(&pieces), paid, other]) {
                *sum += value;
            }
        }
        let coin = |sum: i64| sum as f64 / 100.0;
        let ratio = |sum: i64| sum as f64 / sums[0] as f64;
        let each = seconds.map(|seconds| seconds / JOBS as f64);
        println!(
            "{count:>6} {:>7.2} {:>7.2} {:>7.4} {:>8.2} {:>7.2} {:>7.4} {:>8.2}{}",
            coin(sums[0]),
            coin(sums[1]),
            ratio(sums[1]),
            each[0],
            coin(sums[2]),
            ratio(sums[2]),
            each[1],
            if worse > 0 { format!("  {worse} worse") } else { String::new() }
        );
    }
}
