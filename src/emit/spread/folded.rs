//! A folded piece as it lies on its page: face on face, each with what is drawn on the side that is seen.

use svg::node::element::{ClipPath, Group, Path, Title};

use crate::emit::drawing::{data, moved, plain, readable};
use crate::geometry::laying;
use crate::record::{Face, Folded, Piece};

use super::{PREFIX, Picture, drawn, edged, used};

/// Width in inches and darkness of the shade along the edge of a face that lies on another.
const SHADE: [&str; 2] = ["0.035", "0.16"];

impl Picture<'_> {
    /// The `number`th piece, folded.
    pub(super) fn folded(&mut self, number: usize, piece: &Piece, folded: &Folded) -> Group {
        let [x, y] = self.corner(piece.page);
        let outline = piece.seen();
        let place = laying(&outline, piece.turn, [x + piece.at[0], y + piece.at[1]]);
        let shape = format!("{PREFIX}-piece-{number}");
        let on_flat = self.on_flat(number, piece, &shape);
        let clip = format!("{shape}-clip");
        self.define(ClipPath::new().set("id", clip.as_str()).add(used(&shape)));
        let mut on_page = moved(place).set("clip-path", format!("url(#{clip})"));
        for (index, face) in folded.faces.iter().enumerate() {
            on_page = on_page.add(self.face(index, face, piece, &shape, on_flat.as_deref()));
        }
        let title = format!("{}: {} of {}", piece.id, piece.kind, piece.paper);
        self.cast(&shape, &outline, place).add(on_page).add(Title::new(plain(&title)))
    }

    /// A face in the folded thing's coordinates.
    fn face(
        &mut self,
        index: usize,
        face: &Face,
        piece: &Piece,
        shape: &str,
        on_flat: Option<&str>,
    ) -> Group {
        let mut group = Group::new();
        let Some(path) = readable(&face.path) else { return group };
        let id = format!("{shape}-face-{index}");
        self.define(Path::new().set("id", id.as_str()).set("d", data(&path)));
        if index > 0 {
            let [width, dark] = SHADE;
            let shade = used(&id).set("fill", "none").set("stroke", "#2e2418");
            group = group.add(shade.set("stroke-width", width).set("stroke-opacity", dark));
        }
        let edge = edged(used(&id).set("fill", "none"));
        let Some(on_flat) = on_flat.filter(|_| face.up) else {
            return self.paper(group, piece, &id).add(edge);
        };
        let [clip, flat] = ["clip", "paper"].map(|what| format!("{id}-{what}"));
        self.define(ClipPath::new().set("id", clip.as_str()).add(used(&id)));
        let unfolded = data(&(face.from().inverse() * path));
        self.define(Path::new().set("id", flat.as_str()).set("d", unfolded));
        // The paper lies in one group with its print, which is multiplied by what is under it there.
        let on_paper = self.paper(moved(face.from()), piece, &flat).add(used(on_flat));
        let clipped = Group::new().set("clip-path", format!("url(#{clip})")).add(on_paper);
        group.add(clipped).add(edge)
    }

    /// A group with paper of a defined shape: its colour, and its pattern if it has one.
    fn paper(&self, group: Group, piece: &Piece, shape: &str) -> Group {
        let group = group.add(used(shape).set("fill", self.papers.color(&piece.paper)));
        match self.papers.pattern_name(&piece.paper) {
            Some(pattern) => group.add(used(shape).set("fill", format!("url(#{pattern})"))),
            None => group,
        }
    }

    /// Defines what is printed and drawn on the flat piece, its folds left out; the definition's id, if
    /// there is anything.
    fn on_flat(&mut self, number: usize, piece: &Piece, shape: &str) -> Option<String> {
        let mut group = Group::new();
        if let Some(print) = &piece.print {
            let flat = format!("{shape}-flat");
            self.define(Path::new().set("id", flat.as_str()).set("d", data(&piece.curves())));
            group = group.add(self.print(number, print, &flat));
        }
        let lines = piece.lines.iter().filter(|line| line.fold.is_none());
        let drawn_lines: Vec<Path> = lines
            .filter_map(|line| Some(drawn(&readable(&line.path)?, line, self.record)))
            .collect();
        if piece.print.is_none() && drawn_lines.is_empty() {
            return None;
        }
        let id = format!("{shape}-drawn");
        group = drawn_lines.into_iter().fold(group, Group::add);
        self.define(group.set("id", id.as_str()));
        Some(id)
    }
}
