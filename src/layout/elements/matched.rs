//! Strips over both pages whose pattern is to run on over the gutter.

use crate::description::Strip;
use crate::layout::Layout;
use crate::layout::blocks::{Block, Content};
use crate::layout::reading::Reader;
use crate::model::{Tool, Warning};

/// Notes on a strip's block whether its pattern runs on, and what stands in the way whatever sheets there
/// are.
pub(super) fn ask(reader: &mut Reader<'_>, layout: &Layout, block: &mut Block, strip: &Strip) {
    let Some(asked) = strip.match_pattern.as_ref().filter(|asked| asked.value) else { return };
    if !block.across_spread {
        let message = "only a strip over both pages has a pattern to match at the gutter";
        let help = "write `across: spread`, or leave `match pattern` out";
        return reader.problem(asked.place, message, help);
    }
    let Some(Content::Paper { paper, tool, .. }) = block.parts.first().map(|part| &part.content)
    else {
        return;
    };
    let Some(paper) = layout.papers.get(*paper) else { return };
    let name = &paper.name;
    let found = if paper.pattern.is_none() && paper.picture.is_none() {
        Some((
            format!("{name} has neither a pattern nor a picture that could run on over the gutter"),
            format!("write the `pattern` of {name}, or leave `match pattern` out"),
        ))
    } else if let (None, Some(pattern)) = (paper.repeats(), &paper.pattern) {
        let angle = pattern.angle;
        Some((
            format!(
                "the pattern of {name} lies at {angle} degrees and can't be matched at the gutter"
            ),
            "take a pattern at 0 or 90 degrees, or leave `match pattern` out".to_owned(),
        ))
    } else if strip.print.is_some() || *tool == Tool::Machine {
        Some((
            "the halves of a strip that the machine cuts are not matched at the gutter".to_owned(),
            "have it cut on the trimmer, without print, or leave `match pattern` out".to_owned(),
        ))
    } else if block.turn != 0.0 {
        Some((
            "the pattern of a strip that is turned does not run on over the gutter".to_owned(),
            "leave `turn` out, or leave `match pattern` out".to_owned(),
        ))
    } else {
        None
    };
    block.match_pattern = found.is_none();
    if let Some((message, help)) = found {
        let piece = block.parts.first().map(|part| part.id.clone());
        let line = asked.place.line;
        reader.warn(Warning { kind: "not matched".to_owned(), message, help, piece, line });
    }
}
