//! What is printed on a piece, as it shows once the piece is cut.

use svg::node::element::{ClipPath, Definitions, Group, Path, Use};

use crate::emit::drawing::{color, data, fixed, printed, readable};
use crate::record::{Area, PrintedPicture};

use super::{PREFIX, Picture, photo};
use crate::record::Print;

impl Picture<'_> {
    /// The print of the `number`th piece in the piece's own coordinates, clipped to its outline, which is
    /// defined as `shape`.
    pub(super) fn print(&mut self, number: usize, print: &Print, shape: &str) -> Group {
        let clip = format!("{PREFIX}-print-{number}");
        let outline = Use::new().set("href", format!("#{shape}")).set("clip-rule", "evenodd");
        self.define(ClipPath::new().set("id", clip.as_str()).add(outline));
        let mut group = printed(Group::new().set("clip-path", format!("url(#{clip})")));
        if !print.ground.is_empty()
            && let Some(field) = readable(&print.field)
        {
            let ground = Path::new().set("d", data(&field)).set("fill", color(&print.ground));
            group = group.add(ground.set("fill-rule", "evenodd"));
        }
        if let Some(shown) = &print.picture {
            group = group.add(self.printed_picture(shown));
        }
        for line in &print.lines {
            if let Some(path) = readable(&line.path) {
                let path = Path::new().set("d", data(&path)).set("fill", "none");
                let path = path.set("stroke", color(&line.ink));
                group = group.add(path.set("stroke-width", fixed(line.weight)));
            }
        }
        if let Some(text) = &print.text {
            let size = text.type_size / 72.0;
            let mut words = Group::new().set("fill", color(&text.ink));
            for run in &text.runs {
                words = words.add(self.lettering.run(run, self.fonts, [0.0, text.baseline], size));
            }
            group = group.add(words);
        }
        group
    }

    /// A picture, defined once for all pieces that show a part of it.
    fn printed_picture(&mut self, shown: &PrintedPicture) -> Group {
        let Some((number, copy)) = self.copies.printed(&shown.picture) else {
            return Group::new();
        };
        let id = format!("{PREFIX}-printed-{number}");
        let [x, y] = shown.area.at.map(fixed);
        if !self.defined.contains(&number) {
            let field = Area { at: [0.0; 2], size: shown.area.size };
            let image = photo::image(&field, copy).set("id", id.as_str());
            self.defined.push(number);
            self.define(image);
        }
        Group::new().add(Use::new().set("href", format!("#{id}")).set("x", x).set("y", y))
    }

    pub(super) fn define(&mut self, node: impl Into<Box<dyn svg::Node>>) {
        self.shapes = std::mem::replace(&mut self.shapes, Definitions::new()).add(node);
    }
}
