//! The cautions: common practice; the makers' manuals and local rules come first.

/// What we print with everything that leads to blades and glue.
pub(super) const CAUTIONS: [&str; 7] = [
    "Cut away from your body, with a finger guard or a metal rule, on a mat that holds the paper still.",
    "Cap or close the blade whenever it rests, and count your blades before you clear the table.",
    "Stay beside children while blades, needles or hot tools are about.",
    "Follow the manual of your own machine and your own trimmer: it knows them best.",
    "Never cut plastics you don't know with heat or a laser: some give off poisonous smoke.",
    "Air the room when you use glues and sprays, and follow their labels.",
    "What touches photos should be acid-free and lignin-free, so that they last.",
];
