//! What is known of the pictures of a folder: `photos.yaml` in it.

use serde::Deserialize;

use crate::description::{
    self, FileKind, Focus, Marked, Ordered, Problem, Problems, Written, printable,
};
use crate::model::Facing;
use crate::model::length::{Length, Sides, Size, Units};
use crate::model::naming::nearest;

/// Its name.
pub const NOTES: &str = "photos.yaml";
/// It, as messages speak of it.
const KIND: FileKind = FileKind {
    name: "list of photos",
    too_long: "list the pictures of one spread",
    begin: "the name of a picture: `crest.jpg: {focus: [0.6, 0.3]}`",
    keys: "a picture has `focus`, `facing` and `size`",
};
/// Sides of a photo that can be placed.
pub(super) const SIDES: [Length; 2] = [Length::part(1, 2), Length::part(50, 1)];

/// What is known of pictures, by the names of their files.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Notes(Vec<(String, Note)>);

/// What is known of a picture.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Note {
    /// The point that matters most, as shares of width and height.
    pub focus: Option<[f64; 2]>,
    /// The way people in it look.
    pub facing: Option<Facing>,
    /// The size of its print on hand.
    pub size: Option<Size>,
}

/// The same as it is written.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct NoteSpec {
    focus: Option<Marked<Focus>>,
    #[serde(alias = "looks")]
    facing: Option<Written<Facing>>,
    size: Option<Written<Sides>>,
}

impl Notes {
    /// Reads what is known of the pictures with these names.
    ///
    /// ```
    /// use cutleaf::sketch::wanted::Notes;
    /// let notes = Notes::read("crest.jpg: {focus: [0.6, 0.3]}\n", &["crest.jpg".to_owned()]).unwrap();
    /// assert_eq!(notes.of("crest.jpg").focus, Some([0.6, 0.3]));
    /// ```
    pub fn read(text: &str, pictures: &[String]) -> Result<Self, Problems> {
        let (file, _) = description::read::<Ordered<Marked<NoteSpec>>>(text, &KIND)?;
        let mut problems = Vec::new();
        let mut notes = Vec::new();
        for (name, spec) in file.0 {
            if !pictures.contains(&name) {
                let message = format!("there is no picture `{}` in the folder", printable(&name));
                let help = nearest(&name, pictures.iter().map(String::as_str)).map_or_else(
                    || "write the name of its file, with its ending".to_owned(),
                    |near| format!("did you mean `{}`?", printable(near)),
                );
                problems.push(Problem::at(spec.place, message, help));
            }
            let note = spec.value.note(&mut problems);
            notes.push((name, note));
        }
        if problems.is_empty() { Ok(Self(notes)) } else { Err(Problems(problems)) }
    }

    /// What is known of a picture.
    pub fn of(&self, name: &str) -> Note {
        let found = self.0.iter().find(|(other, _)| other == name);
        found.map(|(_, note)| *note).unwrap_or_default()
    }
}

impl NoteSpec {
    fn note(&self, problems: &mut Vec<Problem>) -> Note {
        let focus = self.focus.as_ref().and_then(|focus| match &focus.value.0 {
            Ok(point) => Some(*point),
            Err(fault) => {
                problems.push(Problem::at(focus.place, &fault.message, &fault.help));
                None
            }
        });
        let facing = self.facing.as_ref().and_then(|facing| match &facing.value {
            Ok(facing) => Some(*facing),
            Err(fault) => {
                problems.push(Problem::at(facing.place, &fault.message, &fault.help));
                None
            }
        });
        let size = self.size.as_ref().and_then(|size| match read_size(size) {
            Ok(size) => Some(size),
            Err(problem) => {
                problems.push(problem);
                None
            }
        });
        Note { focus, facing, size }
    }
}

fn read_size(written: &Written<Sides>) -> Result<Size, Problem> {
    let told =
        |fault: &crate::model::Fault| Problem::at(written.place, &fault.message, &fault.help);
    let sides = written.value.as_ref().map_err(told)?.in_units(Units::Inches);
    let [width, height] = sides.map(|side| side.map(|side| side.of(Length::ZERO)));
    let size =
        Size::new(width.map_err(|fault| told(&fault))?, height.map_err(|fault| told(&fault))?);
    if [size.width, size.height].iter().any(|side| *side < SIDES[0] || *side > SIDES[1]) {
        let message = format!("a photo of `{}` can't be placed", printable(&written.text));
        return Err(Problem::at(written.place, message, "write sides of 1/2 in to 50 in"));
    }
    Ok(size)
}
