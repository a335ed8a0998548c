//! The sketches that are built into the program.

/// Their texts.
const TEXTS: [&str; 17] = [
    include_str!("../../templates/sketches/column-and-lead.yaml"),
    include_str!("../../templates/sketches/four-corners.yaml"),
    include_str!("../../templates/sketches/lead-and-followers.yaml"),
    include_str!("../../templates/sketches/level-band.yaml"),
    include_str!("../../templates/sketches/mosaic.yaml"),
    include_str!("../../templates/sketches/one-alone.yaml"),
    include_str!("../../templates/sketches/page-bank.yaml"),
    include_str!("../../templates/sketches/small-pages.yaml"),
    include_str!("../../templates/sketches/small-square.yaml"),
    include_str!("../../templates/sketches/stairs.yaml"),
    include_str!("../../templates/sketches/thirds-and-ribbon.yaml"),
    include_str!("../../templates/sketches/three-across.yaml"),
    include_str!("../../templates/sketches/two-banks.yaml"),
    include_str!("../../templates/sketches/upright-bank.yaml"),
    include_str!("../../templates/sketches/upright-lead.yaml"),
    include_str!("../../templates/sketches/upright-pair.yaml"),
    include_str!("../../templates/sketches/wide-side.yaml"),
];

/// The texts of all built-in sketches, in the order of their files' names.
pub fn texts() -> &'static [&'static str] {
    &TEXTS
}
