//! The fonts of a word group: looked up, their axes and features set, fallbacks told.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::description::{
    AxisValue, FeatureValue, FromText, Marked, Ordered, Parting, Place, SpanSpec, Text, Written,
};
use crate::layout::Layout;
use crate::layout::reading::Reader;
use crate::lettering::fonts::{Font, FontBook};
use crate::lettering::shaping::with_code_point;
use crate::lettering::words::{Span, Word, WordError};
use crate::model::Warning;

use super::Group;

/// Fonts that a message names at most.
const MOST_NAMED: usize = 6;
/// Fallback fonts of one word group.
const MOST_FALLBACKS: usize = 20;

/// A font by name or file; its place among the layout's fonts.
pub(in crate::layout) fn font(
    reader: &mut Reader<'_>,
    layout: &mut Layout,
    fonts: &FontBook,
    name: Option<&Marked<Text>>,
    otherwise: &str,
) -> Option<(usize, Arc<Font>)> {
    let font = find(reader, fonts, name, otherwise)?;
    Some((used(layout, &font), font))
}

/// A font by name or file.
fn find(
    reader: &mut Reader<'_>,
    fonts: &FontBook,
    name: Option<&Marked<Text>>,
    otherwise: &str,
) -> Option<Arc<Font>> {
    match fonts.find(name.map_or(otherwise, |name| &name.value)) {
        Ok(font) => Some(font),
        Err(error) => {
            let place = name.map_or(Place::default(), |name| name.place);
            reader.problem(place, error.message, error.help);
            None
        }
    }
}

/// A font's place among the layout's fonts.
pub(in crate::layout) fn used(layout: &mut Layout, font: &Arc<Font>) -> usize {
    layout.fonts.iter().position(|other| other.is_used_like(font)).unwrap_or_else(|| {
        layout.fonts.push(Arc::clone(font));
        layout.fonts.len() - 1
    })
}

impl Group<'_, '_> {
    /// The group's words with their fonts and papers.
    pub(super) fn spans(&mut self) -> Option<Vec<Span>> {
        let spec = self.spec;
        let usual = self.font_set(spec.font.as_ref(), &spec.axes, &spec.features)?;
        let group_paper = self.group_paper()?;
        let mut spans: Vec<Span> = Vec::new();
        for (index, span) in spec.words.value.0.iter().enumerate() {
            self.reader.choice(span.after.as_ref(), Parting::Space);
            let font = self.span_font(span, &usual)?;
            let paper = match &span.paper {
                Some(_) if spec.stencil.is_some() => {
                    self.stencil_paper(span.paper.as_ref());
                    0
                }
                Some(paper) => self.reader.paper(paper),
                None => self.paper_or_problem(group_paper, span.words.place)?,
            };
            let before = if index == 0 { "" } else { span.between() };
            spans.push(Span { text: format!("{before}{}", &*span.words.value), font, paper });
        }
        for span in &spans {
            used(self.layout, &span.font);
        }
        Some(spans)
    }

    /// The paper of words that name none.
    fn group_paper(&mut self) -> Option<Option<usize>> {
        let spec = self.spec;
        if spec.stencil.is_some() {
            self.stencil_paper(spec.paper.as_ref().or(spec.papers.first()));
            return Some(Some(0));
        }
        if let (Some(paper), Some(_)) = (&spec.paper, spec.papers.first()) {
            let message = "`paper` and `papers` both say what the letters are cut from";
            self.reader.problem(paper.place, message, "keep one of the two");
            return None;
        }
        let first = spec.paper.as_ref().or(spec.papers.first());
        Some(first.map(|paper| self.reader.paper(paper)))
    }

    fn paper_or_problem(&mut self, paper: Option<usize>, place: Place) -> Option<usize> {
        if paper.is_none() {
            let place = place.or(self.spec.words.place);
            let help = "write `paper`, or `papers` to change letter by letter";
            self.reader.problem(place, "nothing says which paper the letters are cut from", help);
        }
        paper
    }

    fn stencil_paper(&mut self, paper: Option<&Marked<Text>>) {
        if let Some(paper) = paper {
            let help = "write the panel's paper under `stencil`, and remove this one";
            self.reader.problem(paper.place, "the letters of a stencil are cut away", help);
        }
    }

    /// A span's font: its own, or the group's; axes and features without a font change the group's.
    fn span_font(&mut self, span: &SpanSpec, usual: &Arc<Font>) -> Option<Arc<Font>> {
        let has_own = !span.axes.0.is_empty() || !span.features.0.is_empty();
        match (&span.font, has_own) {
            (None, false) => Some(Arc::clone(usual)),
            (None, true) => self.font_set(self.spec.font.as_ref(), &span.axes, &span.features),
            (Some(_), _) => self.font_set(span.font.as_ref(), &span.axes, &span.features),
        }
    }

    /// A font with axes and features set.
    fn font_set(
        &mut self,
        name: Option<&Marked<Text>>,
        axes: &Ordered<Written<AxisValue>>,
        features: &Ordered<Written<FeatureValue>>,
    ) -> Option<Arc<Font>> {
        let font = find(self.reader, self.fonts, name, "display")?;
        if axes.0.is_empty() && features.0.is_empty() {
            return Some(font);
        }
        let mut known = Some(Arc::clone(&font));
        let values = self.settings(axes, |AxisValue(value)| value);
        // One by one, so that each fault is told where it stands.
        for (tag, value, place) in &values {
            let one = BTreeMap::from([(tag.clone(), *value)]);
            if let Err(error) = font.used_with(&one, &BTreeMap::new()) {
                self.reader.problem(*place, error.message, error.help);
                known = None;
            }
        }
        let axes: BTreeMap<String, f64> =
            values.into_iter().map(|(tag, value, _)| (tag, value)).collect();
        let values = self.settings(features, |FeatureValue(value)| value);
        for (tag, value, place) in &values {
            let one = BTreeMap::from([(tag.clone(), *value)]);
            if let Err(error) = font.used_with(&BTreeMap::new(), &one) {
                self.reader.problem(*place, error.message, error.help);
                known = None;
            }
        }
        let features: BTreeMap<String, u32> =
            values.into_iter().map(|(tag, value, _)| (tag, value)).collect();
        known?.used_with(&axes, &features).ok().map(Arc::new)
    }

    /// The numbers of a mapping of tags.
    fn settings<T: FromText, N>(
        &mut self,
        written: &Ordered<Written<T>>,
        number: impl Fn(T) -> N,
    ) -> Vec<(String, N, Place)> {
        let mut settings = Vec::new();
        for (tag, written) in &written.0 {
            match &written.value {
                Ok(value) => settings.push((tag.clone(), number(value.clone()), written.place)),
                Err(error) => {
                    let message = format!("`{tag}: {}` is no setting of a font", &*written.text);
                    self.reader.problem(written.place, message, &error.help);
                }
            }
        }
        settings
    }

    /// The fonts for letters that the words' own font lacks.
    pub(super) fn fallbacks(&mut self) -> Option<Vec<Arc<Font>>> {
        let Some(names) = &self.spec.fallback else { return Some(Vec::new()) };
        if names.value.0.len() > MOST_FALLBACKS {
            let message = format!("there are more than {MOST_FALLBACKS} fallback fonts");
            self.reader.problem(names.place, message, "name those that are needed");
            return None;
        }
        let mut fonts = Vec::new();
        for name in names.each() {
            fonts.push(find(self.reader, self.fonts, Some(&name), "display")?);
        }
        Some(fonts)
    }

    /// A warning that names each letter taken from another font.
    pub(super) fn tell_fallbacks(&mut self, word: &Word, fallbacks: &[Arc<Font>]) {
        for (index, font) in fallbacks.iter().enumerate() {
            let letters: Vec<String> = word
                .fallbacks
                .iter()
                .filter(|(_, place)| *place == index)
                .map(|(letter, _)| with_code_point(*letter))
                .collect();
            if letters.is_empty() {
                continue;
            }
            used(self.layout, font);
            self.reader.warn(Warning {
                kind: "font fallback".to_owned(),
                message: format!(
                    "{} of `{}` is set in {}",
                    letters.join(", "),
                    self.name,
                    font.family
                ),
                help: "its own font has none; choose another font if the two don't go together"
                    .to_owned(),
                piece: Some(format!("title.{}", self.name)),
                line: self.spec.words.place.line,
            });
        }
    }

    /// What to do about words that can't be set.
    pub(super) fn help_with(&self, error: &WordError) -> String {
        if error.missing.is_empty() {
            return error.help.clone();
        }
        let names = self.fonts.with_letters(&error.missing, MOST_NAMED);
        if names.is_empty() {
            return "no font here has it: drop one that does into `fonts`, and name it under \
                    `fallback`"
                .to_owned();
        }
        format!("write `fallback: {}`; fonts that have it: {}", names[0], names.join(", "))
    }
}
