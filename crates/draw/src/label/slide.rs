//! A box pushed straight along, and on which part of its way it touches what.
//!
//! Two convex shapes are apart exactly when some side's normal separates them; while one of them
//! moves straight, each normal separates them except during one stretch of the way, and they touch
//! where all these stretches overlap.

use kurbo::Vec2;

use super::field::{Field, Thing};
use super::shape::Oblong;

/// A stretch of the way, from and to, mm.
pub(super) type Span = (f64, f64);

/// A box and the unit vector along which it is pushed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slide {
    area: Oblong,
    way: Vec2,
    /// How far it reaches to either side of its way.
    breadth: f64,
}

impl Slide {
    /// A box pushed along a unit vector.
    pub fn new(area: Oblong, way: Vec2) -> Self {
        Self {
            area,
            way,
            breadth: area.reach_along(Vec2::new(-way.y, way.x)),
        }
    }

    /// The box after `far` mm.
    pub fn at(&self, far: f64) -> Oblong {
        Oblong {
            centre: self.area.centre + self.way * far,
            ..self.area
        }
    }

    /// Where between `from` and `to` it touches `other`.
    pub fn touching(&self, other: &Oblong, (from, to): Span) -> Option<Span> {
        let apart = other.centre - self.area.centre;
        // Most things lie wholly beside the way.
        let beside = other.reach_along(Vec2::new(-self.way.y, self.way.x));
        if apart.cross(self.way).abs() >= self.breadth + beside {
            return None;
        }
        let (one, two) = (self.area.reach(), other.reach());
        let span = narrow((from, to), apart.x, self.way.x, one.x + two.x)?;
        let mut span = narrow(span, apart.y, self.way.y, one.y + two.y)?;
        for (sides, facing) in [(&self.area, other), (other, &self.area)] {
            let along = sides.along;
            if along.x == 0.0 || along.y == 0.0 {
                continue; // its normals are the page's, tried above
            }
            let across = Vec2::new(-along.y, along.x);
            for (normal, half) in [(along, sides.half.0), (across, sides.half.1)] {
                let reach = half + facing.reach_along(normal);
                span = narrow(span, apart.dot(normal), self.way.dot(normal), reach)?;
            }
        }
        Some(span)
    }
}

/// The part of a span in which a normal does not separate two boxes `apart` along it, one of them coming
/// nearer by `pace` for each mm, that reach `reach` together.
pub(super) fn narrow(span: Span, apart: f64, pace: f64, reach: f64) -> Option<Span> {
    if pace.abs() < 1e-12 {
        return (apart.abs() < reach).then_some(span);
    }
    let by = 1.0 / pace;
    let (one, other) = ((apart - reach) * by, (apart + reach) * by);
    let span = (span.0.max(one.min(other)), span.1.min(one.max(other)));
    (span.0 < span.1).then_some(span)
}

/// What boxes met last: neighbouring ways are mostly barred by the same things.
#[derive(Clone, Debug, Default)]
pub(super) struct Bars {
    shapes: Vec<Oblong>,
    oldest: usize,
}

/// So many are remembered.
const REMEMBERED: usize = 4;

impl Bars {
    /// Forgets all: things may be taken away.
    pub fn clear(&mut self) {
        self.shapes.clear();
        self.oldest = 0;
    }

    /// Something in these fields that a box touches and must not.
    fn met(&mut self, area: &Oblong, fields: &[&Field]) -> Option<Oblong> {
        let again = self.shapes.iter().find(|shape| area.touches(shape));
        if again.is_some() {
            return again.copied();
        }
        let mut found = None;
        fields.iter().find(|field| {
            field.any(area, |_, shape, thing| {
                let touches = thing != Thing::Frame && area.touches(shape);
                if touches {
                    found = Some(*shape);
                }
                touches
            })
        });
        let shape = found?;
        if self.shapes.len() < REMEMBERED {
            self.shapes.push(shape);
        } else {
            self.shapes[self.oldest] = shape;
            self.oldest = (self.oldest + 1) % REMEMBERED;
        }
        found
    }
}

/// The first place from `from` on, up to `to`, at which the box touches nothing that must not be touched and that
/// lies in none of the `bad` spans.
pub(super) fn first_free(
    slide: &Slide,
    (from, to): Span,
    fields: &[&Field],
    bad: &[Span],
    bars: &mut Bars,
) -> Option<f64> {
    let mut at = from;
    while at <= to {
        let area = slide.at(at);
        let ends = match bad.iter().find(|s| s.0 < at && at < s.1) {
            Some(span) => Some(span.1),
            None => bars.met(&area, fields).map(|shape| {
                let rest = (f64::NEG_INFINITY, f64::INFINITY);
                slide.touching(&shape, rest).map_or(at, |s| s.1)
            }),
        };
        match ends {
            // Past what it meets there; rounding must not keep it where it is.
            Some(end) => at = end.max(at) + HAIR,
            None => return Some(at),
        }
    }
    None
}

/// So far off what it just missed does a box stop, mm: nothing to the eye, more than rounding.
const HAIR: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Point, Rect};
    use proptest::prelude::*;

    #[test]
    fn a_box_pushed_level_touches_a_post_from_edge_to_edge() {
        // 10 wide from x = 0, towards a post from 29 to 31: edges meet after 29 - 5 and 31 + 5.
        let slide = Slide::new(Oblong::level(Point::ZERO, (5.0, 2.0)), Vec2::new(1.0, 0.0));
        let post = Oblong::level(Point::new(30.0, 0.0), (1.0, 10.0));
        assert_eq!(slide.touching(&post, (0.0, 99.0)), Some((24.0, 36.0)));
        assert_eq!(slide.touching(&post, (0.0, 30.0)), Some((24.0, 30.0)));
        assert_eq!(slide.touching(&post, (0.0, 20.0)), None);
        let above = Oblong::level(Point::new(30.0, 12.0), (1.0, 10.0));
        assert_eq!(slide.touching(&above, (0.0, 99.0)), None);
    }

    #[test]
    fn the_first_free_place_lies_behind_all_that_overlaps() {
        // 2 wide, pushed to the right past posts 2 wide with middles at 5 and 8: behind both at 8 + 2;
        // it fits before the first up to 5 - 2, and a span to be kept out of counts like a post.
        let mut field = Field::new(Rect::new(0.0, 0.0, 50.0, 50.0), 2);
        for x in [5.0, 8.0] {
            field.add(
                Oblong::level(Point::new(x, 25.0), (1.0, 3.0)),
                Thing::Symbol,
            );
        }
        let slide = Slide::new(
            Oblong::level(Point::new(0.0, 25.0), (1.0, 1.0)),
            Vec2::new(1.0, 0.0),
        );
        let mut bars = Bars::default();
        let mut free = |span, bad: &[Span]| first_free(&slide, span, &[&field], bad, &mut bars);
        let at = free((4.0, 100.0), &[]).expect("free from 10");
        assert!((at - 10.0).abs() < 1e-5);
        assert_eq!(free((2.0, 4.0), &[]), Some(2.0));
        assert_eq!(free((4.0, 9.0), &[]), None);
        let late = free((4.0, 100.0), &[(9.0, 12.0)]).expect("from 12");
        assert!((late - 12.0).abs() < 1e-5);
    }

    prop_compose! {
        fn oblong()(x in -20.0..20.0_f64, y in -20.0..20.0_f64, turn in 0..12_i32, w in 0.2..9.0_f64, h in 0.2..4.0_f64) -> Oblong {
            let (sin, cos) = f64::from(turn * 30).to_radians().sin_cos();
            Oblong { centre: Point::new(x, y), along: Vec2::new(cos, sin), half: (w, h) }
        }
    }

    proptest! {
        #[test]
        fn it_touches_within_the_stretch_and_nowhere_else(a in oblong(), b in oblong(), turn in 0.0..6.3_f64, far in -40.0..40.0_f64) {
            let slide = Slide::new(a, Vec2::new(turn.cos(), turn.sin()));
            let within = slide.touching(&b, (-99.0, 99.0));
            // Hairs at the ends of the stretch are left to rounding.
            prop_assume!(within.is_none_or(|(p, q)| (far - p).abs() > 1e-6 && (far - q).abs() > 1e-6));
            prop_assert_eq!(slide.at(far).touches(&b), within.is_some_and(|(p, q)| far > p && far < q));
        }
    }
}
