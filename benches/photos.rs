//! A spread of 24 photos of 12 million dots each: time and peak memory of `cutleaf build`.
//!
//! `cargo bench --bench photos` draws the pictures into a temporary folder (a few seconds), then builds
//! the spread with the program itself and watches its memory, as Linux tells it (`VmHWM` of
//! `/proc/PID/status`, proc(5)). `cargo bench --bench photos -- 6` takes another number of photos.

use std::fmt::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use image::codecs::jpeg::JpegEncoder;
use image::{Rgb, RgbImage};
use rayon::prelude::*;

/// Dots of a picture: 12 million.
const SIZE: [u32; 2] = [4000, 3000];
/// Quality of the files, of 100: about what cameras write.
const QUALITY: u8 = 90;

fn main() {
    let count = std::env::args().find_map(|text| text.parse().ok()).unwrap_or(24);
    let folder = tempfile::tempdir().expect("a folder");

    let bytes: u64 = (0..count).into_par_iter().map(|number| draw(folder.path(), number)).sum();
    std::fs::write(folder.path().join("many.yaml"), spec(count)).expect("written");
    let started = Instant::now();
    let peak = watched(
        Command::new(env!("CARGO_BIN_EXE_cutleaf"))
            .args(["build", "many.yaml"])
            .current_dir(folder.path())
            .stdout(Stdio::null())
            .stderr(Stdio::null()),
    );
    let built = folder.path().join("out/many");
    let size = |name: &str| {
        std::fs::metadata(built.join(name)).map_or(0, |about| about.len()) as f64 / 1e6
    };
    println!(
        "{count} photos of {} x {} dots, {:.0} MB of JPEG: built in {:.1} s, peak of {}",
        SIZE[0],
        SIZE[1],
        bytes as f64 / 1e6,
        started.elapsed().as_secs_f64(),
        peak.map_or("unknown".to_owned(), |kilobytes| format!("{:.0} MB", kilobytes as f64 / 1e3)),
    );
    println!(
        "photos.pdf {:.1} MB, proof.html {:.1} MB",
        size("print/photos.pdf"),
        size("proof.html")
    );
}

/// A spread with the photos in a grid on each page.
fn spec(count: u32) -> String {
    let mut text = "name: many\nphotos:\n".to_owned();
    for number in 0..count {
        let _ = writeln!(text, "  p{number}: {{size: 3 x 2 1/4, file: {number}.jpg}}");
    }
    for (page, numbers) in [("left", 0..count / 2), ("right", count / 2..count)] {
        let names: Vec<String> = numbers.map(|number| format!("p{number}")).collect();
        let names = names.join(", ");
        let _ = writeln!(text, "{page}: {{pieces: [{{bank: {{photos: [{names}], run: grid}}}}]}}");
    }
    text
}

/// Writes a picture of soft waves with the grain of a photo; returns the file's size in bytes.
fn draw(folder: &Path, number: u32) -> u64 {
    let mut state = u64::from(number) * 2 + 0x9e37_79b9_7f4a_7c15;
    let picture = RgbImage::from_fn(SIZE[0], SIZE[1], |x, y| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        let grain = (state >> 58) as u8 / 2;
        let wave = |at: u32, length: u32| u8::try_from((at / length) % 256).unwrap_or(0);
        let [r, g, b] = [wave(x + 90 * number, 16), wave(y, 12), wave(x + y, 28)];
        Rgb([r / 2 + grain, g / 2 + 40 + grain, b / 2 + 20 + grain])
    });
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, QUALITY).encode_image(&picture).expect("encoded");
    std::fs::write(folder.join(format!("{number}.jpg")), &bytes).expect("written");
    bytes.len() as u64
}

/// Runs a program to its end; its peak memory in kilobytes, where the system tells it.
fn watched(command: &mut Command) -> Option<u64> {
    let mut program = command.spawn().expect("the program starts");
    let status = format!("/proc/{}/status", program.id());
    let mut peak = None;
    loop {
        let text = std::fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        peak = line.and_then(|line| line.trim().trim_end_matches(" kB").parse().ok()).max(peak);
        if let Some(ended) = program.try_wait().expect("watched") {
            assert!(ended.success(), "the build failed");
            return peak;
        }
        std::thread::sleep(Duration::from_millis(2));
    }
}
