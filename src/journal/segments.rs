//! Where a paragraph may be broken.

use unicode_linebreak::{BreakOpportunity, linebreaks};

/// Longest word that is broken with hyphens, in letters.
const LONGEST_WORD: usize = 60;

/// What stands between two places at which a paragraph may be broken.
pub(super) struct Segment {
    /// Byte where the segment begins.
    pub start: usize,
    /// Whether a hyphen is set when the line is broken before this segment.
    pub hyphen: bool,
}

/// The segments of a text (UAX 14, and hyphens by Liang's patterns, 1983, if asked for).
pub(super) fn segments(text: &str, hyphens: bool) -> Vec<Segment> {
    let mut segments = vec![Segment { start: 0, hyphen: false }];
    for (at, opportunity) in linebreaks(text) {
        if at < text.len() && opportunity == BreakOpportunity::Allowed {
            segments.push(Segment { start: at, hyphen: false });
        }
    }
    if hyphens {
        let mut inside = Vec::new();
        for (index, segment) in segments.iter().enumerate() {
            let end = segments.get(index + 1).map_or(text.len(), |next| next.start);
            let word = text.get(segment.start..end).unwrap_or_default().trim_end();
            if word.len() > LONGEST_WORD || !word.chars().all(char::is_alphabetic) {
                continue;
            }
            let mut at = segment.start;
            for syllable in hypher::hyphenate(word, hypher::Lang::English) {
                if at > segment.start {
                    inside.push(Segment { start: at, hyphen: true });
                }
                at += syllable.len();
            }
        }
        segments.extend(inside);
        segments.sort_by_key(|segment| segment.start);
    }
    segments
}
