//! Where a point of the building falls in a picture, whatever its view.

use glam::DVec3;
use kurbo::Point;
use wyeline_network::model::Node;
use wyeline_units::Scale;

use crate::picture::Picture;
use crate::project::Projection;
use crate::view::View;

/// The way from the building to the paper of one picture.
#[derive(Clone, Copy, Debug)]
pub(super) struct Paper {
    view: View,
    scale: Scale,
}

impl Paper {
    pub fn of(picture: &Picture) -> Self {
        Self {
            view: picture.view,
            scale: picture.scale,
        }
    }

    /// A point in space, mm, on paper, mm: isometric, or the plan with north up.
    pub fn point(self, at: DVec3) -> Point {
        match self.view {
            View::Iso { corner, .. } => Projection::new(corner, self.scale).point(at),
            View::Plan { .. } => Point::new(self.scale.paper(at.x), -self.scale.paper(at.y)),
        }
    }

    /// Where a node is drawn.
    pub fn node(self, node: &Node) -> Point {
        let true_fall = matches!(
            self.view,
            View::Iso {
                true_fall: true,
                ..
            }
        );
        self.point(if true_fall { node.at } else { node.drawn() })
    }
}
