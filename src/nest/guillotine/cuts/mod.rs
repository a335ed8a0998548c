//! From a pattern to the trimmer's cuts: the rim, the plan of one sheet, the order of cuts.

mod plan;
mod rim;
mod rules;
mod sequence;

pub(in crate::nest) use rules::CutRules;
