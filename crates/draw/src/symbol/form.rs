//! What a fixture looks like from above: plain outlines in the fixture's own frame, building mm.
//!
//! x runs to the right as seen facing the fixture, y out from the wall. Proportions are our own choice, to
//! be recognised rather than measured; outer sizes and drains come from the network.

use glam::{DVec3, dvec3};
use kurbo::BezPath;
use wyeline_network::model::Fixture;
use wyeline_network::way;

use super::flat::{Eye, Flat};
use super::maker::{Fill, Maker};

/// Shapes fixtures are drawn as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Tank and bowl.
    Closet,
    /// Bowl alone.
    Bidet,
    /// On the wall.
    Urinal,
    /// Basin on the wall.
    Lavatory,
    /// So many bowls in a counter.
    Sink(u8),
    /// Basin on the floor.
    FloorBasin,
    /// Bath.
    Bath,
    /// Pan on the floor.
    Shower,
    /// Floor or roof drain.
    Drain,
    /// Floor sink.
    FloorSink,
    /// Box with a round door.
    Washer,
    /// Upright cylinder.
    Cylinder,
    /// Box.
    Box,
}

impl Form {
    /// The form of a kind of the rough-in table; kinds not known here are boxes.
    pub fn of(kind: &str) -> Self {
        match kind {
            "water-closet" => Self::Closet,
            "bidet" => Self::Bidet,
            "urinal" => Self::Urinal,
            "lavatory" | "drinking-fountain" => Self::Lavatory,
            "bar-sink" | "hand-sink" | "laundry-tray" => Self::Sink(1),
            "kitchen-sink" => Self::Sink(2),
            "three-compartment-sink" => Self::Sink(3),
            "service-sink" | "mop-sink" => Self::FloorBasin,
            "bathtub" => Self::Bath,
            "shower" => Self::Shower,
            "floor-drain" | "roof-drain" => Self::Drain,
            "floor-sink" => Self::FloorSink,
            "clothes-washer" | "gas-dryer" => Self::Washer,
            "water-heater" | "storage-tank" => Self::Cylinder,
            _ => Self::Box,
        }
    }

    /// Equipment rather than a fixture: drawn with the heavier of the two pens.
    pub const fn equipment(self) -> bool {
        matches!(self, Self::Cylinder | Self::Box)
    }
}

/// Radius of a closet's outlet as drawn, mm: 4 in pipe, common practice.
const OUTLET: f64 = 50.8;

/// A fixture's own frame in space.
#[derive(Clone, Copy, Debug)]
pub struct Stand {
    /// On the floor: the anchor, or the middle of the back for fixtures anchored at their centre.
    pub back: DVec3,
    /// To the right as seen facing it.
    pub right: DVec3,
    /// Out from the wall, the way its front looks.
    pub out: DVec3,
    /// Across, mm.
    pub wide: f64,
    /// Out from the wall, mm.
    pub deep: f64,
}

impl Stand {
    /// The frame of a fixture.
    pub fn of(fixture: &Fixture) -> Self {
        let out = way(fixture.faces).extend(0.0);
        let (wide, deep) = fixture.size;
        let back = if fixture.centred {
            fixture.anchor - out * (deep / 2.0)
        } else {
            fixture.anchor
        };
        Self {
            back,
            right: dvec3(-out.y, out.x, 0.0),
            out,
            wide,
            deep,
        }
    }

    /// The level plane of the fixture at a height over its floor, in building millimetres.
    pub fn level(&self, eye: Eye, height: f64) -> Flat {
        let by = eye.factor();
        let mut flat = eye.flat(
            eye.point(self.back + DVec3::Z * height),
            self.right,
            self.out,
        );
        flat.x *= by;
        flat.y *= by;
        flat
    }

    /// The point of space of a point of the frame.
    pub fn point(&self, x: f64, y: f64, z: f64) -> DVec3 {
        self.back + self.right * x + self.out * y + DVec3::Z * z
    }

    /// Where in the frame a port lies in plan.
    pub fn port(&self, fixture: &Fixture, name: &str) -> Option<(f64, f64)> {
        let at = fixture.ports.iter().find(|p| p.name == name)?.at - self.back;
        Some((at.dot(self.right), at.dot(self.out)))
    }
}

/// An ellipse in a plane: middle, half width across, half depth.
pub fn oval(f: &Flat, centre: (f64, f64), rx: f64, ry: f64) -> BezPath {
    let flat = Flat {
        at: f.point(centre),
        x: f.x * rx,
        y: f.y * ry,
    };
    flat.circle((0.0, 0.0), 1.0)
}

/// A rectangle with rounded corners.
pub fn rounded(f: &Flat, (x0, y0): (f64, f64), (x1, y1): (f64, f64), r: f64) -> BezPath {
    let r = r
        .min((x1 - x0).abs() / 2.0)
        .min((y1 - y0).abs() / 2.0)
        .max(0.0);
    let mut path = BezPath::new();
    for (i, c) in [
        (x1 - r, y0 + r),
        (x1 - r, y1 - r),
        (x0 + r, y1 - r),
        (x0 + r, y0 + r),
    ]
    .into_iter()
    .enumerate()
    {
        let arc = f.arc(c, r, -90.0 + 90.0 * i as f64, 90.0);
        for (k, el) in arc.elements().iter().enumerate() {
            match el {
                kurbo::PathEl::MoveTo(p) if i > 0 && k == 0 => path.line_to(*p),
                el => path.push(*el),
            }
        }
    }
    path.close_path();
    path
}

/// Draws what is seen of a fixture from above, into the fixture's level plane (building mm).
pub fn from_above(m: &mut Maker, f: &Flat, form: Form, stand: &Stand, drain: Option<(f64, f64)>) {
    let (w, d) = (stand.wide, stand.deep);
    let whole = |inset: f64, r: f64| {
        rounded(
            f,
            (-w / 2.0 + inset, inset),
            (w / 2.0 - inset, d - inset),
            r,
        )
    };
    let strainer = |m: &mut Maker, at: (f64, f64)| m.circle(f, at, 0.022 * (w + d), Fill::Open);
    match form {
        Form::Closet => {
            m.path(
                rounded(f, (-w * 0.46, 0.0), (w * 0.46, d * 0.28), 0.04 * w),
                Fill::Open,
            );
            m.path(oval(f, (0.0, d * 0.65), w * 0.37, d * 0.35), Fill::Open);
            m.path(oval(f, (0.0, d * 0.68), w * 0.23, d * 0.23), Fill::Open);
            if let Some(at) = drain {
                m.circle(f, at, OUTLET, Fill::Open);
            }
        }
        Form::Bidet => {
            m.path(oval(f, (0.0, d * 0.5), w * 0.48, d * 0.5), Fill::Open);
            m.path(oval(f, (0.0, d * 0.56), w * 0.3, d * 0.32), Fill::Open);
            strainer(m, drain.unwrap_or((0.0, d * 0.5)));
        }
        Form::Urinal => {
            m.path(
                rounded(f, (-w * 0.5, 0.0), (w * 0.5, d), 0.45 * w),
                Fill::Open,
            );
            m.line(f, &[(-w * 0.5, 0.0), (w * 0.5, 0.0)]);
            m.path(oval(f, (0.0, d * 0.55), w * 0.25, d * 0.3), Fill::Open);
        }
        Form::Lavatory => {
            m.path(whole(0.0, 0.18 * w), Fill::Open);
            m.path(oval(f, (0.0, d * 0.57), w * 0.36, d * 0.33), Fill::Open);
            strainer(m, drain.unwrap_or((0.0, d * 0.5)));
        }
        Form::Sink(bowls) => {
            m.path(whole(0.0, 0.03 * w), Fill::Open);
            let each = (w * 0.92) / f64::from(bowls);
            for i in 0..bowls {
                let x = -w * 0.46 + each * f64::from(i);
                let corner = ((x + each * 0.06, d * 0.22), (x + each * 0.94, d * 0.92));
                m.path(rounded(f, corner.0, corner.1, 0.08 * d), Fill::Open);
            }
            if let Some(at) = drain {
                strainer(m, at);
            }
        }
        Form::FloorBasin => {
            m.path(whole(0.0, 0.05 * w), Fill::Open);
            m.path(whole(0.1 * w, 0.05 * w), Fill::Open);
            strainer(m, drain.unwrap_or((0.0, d * 0.5)));
        }
        Form::Bath => {
            m.path(whole(0.0, 0.02 * w), Fill::Open);
            m.path(whole(0.1 * d, 0.3 * d), Fill::Open);
            if let Some((x, y)) = drain {
                m.circle(f, (x, y), 0.06 * d, Fill::Open);
            }
        }
        Form::Shower => {
            m.path(whole(0.0, 0.0), Fill::Open);
            m.path(whole(0.06 * w, 0.0), Fill::Open);
            let (x, y) = drain.unwrap_or((0.0, d * 0.5));
            let (i, r) = (0.06 * w, 0.06 * w);
            for (cx, cy) in [
                (-w / 2.0 + i, i),
                (w / 2.0 - i, i),
                (w / 2.0 - i, d - i),
                (-w / 2.0 + i, d - i),
            ] {
                // The falls of the pan run from its corners to the strainer.
                let length = (cx - x).hypot(cy - y).max(r);
                m.line(
                    f,
                    &[
                        (cx, cy),
                        (x + (cx - x) / length * r, y + (cy - y) / length * r),
                    ],
                );
            }
            m.circle(f, (x, y), r, Fill::Open);
        }
        Form::Drain => {
            m.path(whole(0.0, 0.0), Fill::Open);
            m.circle(f, (0.0, d / 2.0), w * 0.4, Fill::Open);
            m.circle(f, (0.0, d / 2.0), w * 0.1, Fill::Ink);
        }
        Form::FloorSink => {
            m.path(whole(0.0, 0.0), Fill::Open);
            m.path(whole(0.14 * w, 0.0), Fill::Open);
            m.circle(f, (0.0, d / 2.0), w * 0.16, Fill::Open);
        }
        Form::Washer => {
            m.path(whole(0.0, 0.04 * w), Fill::Open);
            m.line(f, &[(-w / 2.0, d * 0.16), (w / 2.0, d * 0.16)]);
            m.circle(f, (0.0, d * 0.58), w * 0.32, Fill::Open);
        }
        Form::Cylinder => m.circle(f, (0.0, d / 2.0), w / 2.0, Fill::Open),
        Form::Box => {
            m.path(whole(0.0, 0.0), Fill::Open);
            // A line along the front shows which way it faces.
            m.line(f, &[(-w / 2.0, d * 0.92), (w / 2.0, d * 0.92)]);
        }
    }
}
