//! A font as it is used: its variable axes set, its OpenType features switched.

use crate::model::Fault;
use std::collections::BTreeMap;
use std::sync::Arc;

use harfrust::Tag;
use read_fonts::tables::layout::FeatureList;
use read_fonts::{FontRef, TableProvider};

use super::{Font, table};
use crate::model::naming::nearest;

/// The largest value of a feature: alternates are numbered, and no font has more of one letter.
const LARGEST_FEATURE_VALUE: u32 = 999;
/// Features a font's tables may list; the richest have about a hundred.
const MOST_FEATURES: usize = 2_000;

/// An axis of a variable font, in the units of its designer (OpenType specification, `fvar`).
#[derive(Clone, Debug, PartialEq)]
pub struct AxisRange {
    /// Four letters, such as `wght`.
    pub tag: String,
    /// Least value.
    pub least: f64,
    /// Value where nothing is set.
    pub usual: f64,
    /// Greatest value.
    pub most: f64,
}

impl Font {
    /// The axes along which the font varies; none for most fonts.
    pub fn axis_ranges(&self) -> Vec<AxisRange> {
        let axes = self.face.axes();
        axes.iter()
            .map(|axis| AxisRange {
                tag: axis.tag().to_string(),
                least: f64::from(axis.min_value()),
                usual: f64::from(axis.default_value()),
                most: f64::from(axis.max_value()),
            })
            .collect()
    }

    /// The tags of the font's OpenType features, in order of the alphabet.
    pub fn feature_tags(&self) -> Vec<String> {
        let font = FontRef::from_index(&self.data, 0);
        let of = |list: FeatureList<'_>| {
            let records = list.feature_records().iter().take(MOST_FEATURES);
            records.map(|record| record.feature_tag()).collect::<Vec<Tag>>()
        };
        let placing = font.as_ref().ok().and_then(|font| font.gpos().ok()?.feature_list().ok());
        let replacing = font.as_ref().ok().and_then(|font| font.gsub().ok()?.feature_list().ok());
        let mut tags: Vec<String> = [placing, replacing]
            .into_iter()
            .flatten()
            .flat_map(of)
            .filter(|tag| tag.to_be_bytes().iter().all(u8::is_ascii_graphic))
            .map(|tag| tag.to_string())
            .collect();
        if table(&self.data, b"kern").is_some() {
            tags.push("kern".to_owned());
        }
        tags.sort_unstable();
        tags.dedup();
        tags
    }

    /// The same font with axes set and features switched; what is not named stays as usual.
    pub fn used_with(
        &self,
        axes: &BTreeMap<String, f64>,
        features: &BTreeMap<String, u32>,
    ) -> Result<Self, Fault> {
        let ranges = self.axis_ranges();
        for (tag, value) in axes {
            self.check_axis(&ranges, tag, *value)?;
        }
        let known = if features.is_empty() { Vec::new() } else { self.feature_tags() };
        for (tag, value) in features {
            self.check_feature(&known, tag, *value)?;
        }
        let mut font = Self { axes: axes.clone(), features: features.clone(), ..self.clone() };
        if !axes.is_empty() {
            #[expect(
                clippy::cast_possible_truncation,
                reason = "the format's own numbers are 16.16"
            )]
            let settings = axes.iter().map(|(tag, value)| (tag.as_str(), *value as f32));
            font.face = self.face.instance_builder().variations(settings).build();
            font.measure();
        }
        Ok(font)
    }

    fn check_axis(&self, ranges: &[AxisRange], tag: &str, value: f64) -> Result<(), Fault> {
        let Some(range) = ranges.iter().find(|range| range.tag == tag) else {
            let help = if ranges.is_empty() {
                "it is no variable font: remove `axes`, or use one that is".to_owned()
            } else {
                let all: Vec<String> = ranges
                    .iter()
                    .map(|axis| format!("{} ({} to {})", axis.tag, axis.least, axis.most))
                    .collect();
                format!("its axes: {}", all.join(", "))
            };
            let message = format!("the font {} has no axis `{tag}`", self.family);
            return Err(Fault { message, help });
        };
        if (range.least..=range.most).contains(&value) {
            return Ok(());
        }
        Err(Fault {
            message: format!("`{tag}: {value}` is beyond what the font {} has", self.family),
            help: format!(
                "write {} to {}; it is {} if not given",
                range.least, range.most, range.usual
            ),
        })
    }

    fn check_feature(&self, known: &[String], tag: &str, value: u32) -> Result<(), Fault> {
        if !known.iter().any(|known| known == tag) {
            let near = nearest(tag, known.iter().map(String::as_str))
                .map_or_else(String::new, |near| format!("did you mean `{near}`? "));
            let help = if known.is_empty() {
                "it has none: remove `features`, or use another font".to_owned()
            } else {
                format!("{near}its features: {}", known.join(", "))
            };
            let message = format!("the font {} has no feature `{tag}`", self.family);
            return Err(Fault { message, help });
        }
        if value <= LARGEST_FEATURE_VALUE {
            return Ok(());
        }
        Err(Fault {
            message: format!("`{tag}: {value}` is no value of a feature"),
            help: "write 0 (off), 1 (on), or the number of an alternate".to_owned(),
        })
    }

    /// The features as the shaper takes them.
    pub(crate) fn shaper_features(&self) -> Vec<harfrust::Feature> {
        let bytes = |tag: &str| <[u8; 4]>::try_from(tag.as_bytes()).ok();
        self.features
            .iter()
            .filter_map(|(tag, value)| {
                Some(harfrust::Feature::new(Tag::new(&bytes(tag)?), *value, ..))
            })
            .collect()
    }

    /// Whether another is the same font, set the same way.
    pub fn is_used_like(&self, other: &Arc<Self>) -> bool {
        self.sha256 == other.sha256 && self.axes == other.axes && self.features == other.features
    }
}
