//! A folded or torn piece as it lies on its page: face on face, each with what is drawn on the side that is
//! seen.

use std::sync::Arc;

use kurbo::BezPath;

use crate::draw::display_list::{Group, Item, Outline, Paint, Shape, Stroke};
use crate::emit::drawing::readable;
use crate::record::{Face, Finished, Piece};

use super::{EDGE, Picture, SHADE, drawn};

/// Width in inches and darkness of the shade along the edge of a face that lies on another.
const FOLD_SHADE: Stroke<'static> = Stroke { opacity: 0.16, ..Stroke::new(SHADE, 0.035) };

impl<'a> Picture<'a> {
    /// A folded or torn piece, clipped to what is seen of it.
    pub(super) fn finished(
        &self,
        piece: &'a Piece,
        finished: &'a Finished,
        seen: &Arc<BezPath>,
    ) -> Item<'a> {
        let on_flat = self.on_flat(piece);
        let faces = finished.faces.iter().enumerate();
        let faces = faces.filter_map(|(index, face)| self.face(index, face, piece, &on_flat));
        let whole = || Outline::Shared(Arc::clone(seen));
        let core = piece.torn.iter().filter_map(|torn| torn.core.as_ref());
        let core =
            core.map(|core| Shape::new(whole()).filled(Paint::Ink(core.as_str(), 1.0)).into());
        let items = core.chain(faces.map(Item::from)).collect();
        Group { clip: Some(whole()), ..Group::new(items) }.into()
    }

    /// A face in the finished thing's coordinates.
    fn face(
        &self,
        index: usize,
        face: &Face,
        piece: &Piece,
        on_flat: &[Item<'a>],
    ) -> Option<Group<'a>> {
        let path = Arc::new(readable(&face.path)?);
        let outline = || Outline::Shared(Arc::clone(&path));
        let mut items = Vec::new();
        if index > 0 {
            items.push(Shape::new(outline()).stroked(FOLD_SHADE).into());
        }
        let has_pattern = self.papers.drawn(&piece.paper).is_some();
        if face.up && (has_pattern || !on_flat.is_empty()) {
            // The paper lies in one group with its print, which is multiplied by what is under it there.
            let unfolded = Outline::Path(face.from().inverse() * BezPath::clone(&path));
            let on_paper = [self.paper(piece, &unfolded), on_flat.to_vec()].concat();
            let on_paper = Group::laid(face.from(), on_paper).into();
            items.push(Group { clip: Some(outline()), ..Group::new(vec![on_paper]) }.into());
        } else {
            items.extend(self.plain_paper(&piece.paper, &outline()));
        }
        items.push(Shape::new(outline()).stroked(EDGE).into());
        Some(Group { class: "face", ..Group::new(items) })
    }

    /// What is printed and drawn on the flat piece, its folds left out.
    fn on_flat(&self, piece: &'a Piece) -> Vec<Item<'a>> {
        let flat = Outline::Shared(Arc::new(piece.curves()));
        let mut items: Vec<Item<'a>> =
            piece.print.iter().map(|print| self.print(print, flat.clone())).collect();
        let lines = piece.lines.iter().filter(|line| line.fold.is_none());
        items.extend(lines.filter_map(|line| drawn(line, self.record)));
        items
    }
}
