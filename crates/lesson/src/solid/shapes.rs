//! The kinds of block that drawing textbooks begin with: steps, brackets, L and T shapes, channels, notched blocks, blocks on a base.
//!
//! Every kind is listed with all its whole measures, none larger than 5 by 4 squares and 4 high, plain and with one cut taken out of it. Which kinds: our
//! own choice after the order of the trade's texts, that begin with blocks on the axes (NAVEDTRA 14265, page 19).

use super::Solid;

/// A shape and what it is called.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    pub name: &'static str,
    pub solid: Solid,
}

/// Depths from south to north.
const DEPTHS: std::ops::RangeInclusive<i32> = 2..=4;
/// Widths from west to east.
const WIDTHS: std::ops::RangeInclusive<i32> = 3..=5;

/// All of them, in a fixed order; some differ by no more than a turn.
pub(super) fn all() -> Vec<Shape> {
    let mut shapes = Vec::with_capacity(8192);
    let mut add = |name, solid: Solid| {
        shapes.push(Shape {
            name,
            solid: solid.clone(),
        });
        shapes.extend(cuts(&solid).into_iter().map(|solid| Shape { name, solid }));
    };
    for deep in DEPTHS {
        steps(deep, &mut |solid| add("Steps", solid));
        for wide in WIDTHS {
            for high in 2..=4 {
                let block = Solid::flat(wide, deep).with([0, 0], [wide, deep], high);
                add("Notched block", block.clone());
                for low in 1..high {
                    channels(&block, low, &mut |solid| add("Channel", solid));
                    brackets(&block, low, &mut |solid| add("Bracket", solid));
                    on_base(&block, low, &mut |solid| add("Block on a base", solid));
                }
                for arm in 1..wide - 1 {
                    // An L: its second arm as high or lower.
                    for second in 1..=high {
                        let solid = Solid::flat(wide, deep)
                            .with([0, 0], [arm, deep], high)
                            .with([arm, 0], [wide, 1], second);
                        add("L block", solid);
                    }
                }
                if wide > 2 && deep > 2 {
                    for second in 1..=high {
                        let stem = (wide - 1) / 2;
                        let across = wide - 2 * stem;
                        let solid = Solid::flat(wide, deep)
                            .with([0, deep - 1], [wide, deep], high)
                            .with([stem, 0], [stem + across, deep - 1], second);
                        add("T block", solid);
                    }
                }
            }
        }
    }
    shapes
}

/// Flights of two and three steps.
fn steps(deep: i32, add: &mut impl FnMut(Solid)) {
    for first in 1..=2 {
        for second in 1..=2 {
            for third in 0..=1 {
                let wide = first + second + third;
                for top in 2..=4 {
                    for middle in 1..top {
                        for low in 1..=middle {
                            let three = third > 0;
                            if wide < 3 || three == (low == middle) {
                                continue;
                            }
                            let solid = Solid::flat(wide, deep)
                                .with([0, 0], [first, deep], top)
                                .with([first, 0], [first + second, deep], middle)
                                .with([first + second, 0], [wide, deep], low);
                            add(solid);
                        }
                    }
                }
            }
        }
    }
}

/// A channel through the block from south to north.
fn channels(block: &Solid, low: i32, add: &mut impl FnMut(Solid)) {
    let [wide, deep, _] = block.size();
    for from in 1..wide - 1 {
        for to in from + 1..wide {
            add(block.clone().with([from, 0], [to, deep], low));
        }
    }
}

/// A wall that stands along the north of a lower plate, over its whole width or not.
fn brackets(block: &Solid, low: i32, add: &mut impl FnMut(Solid)) {
    let [wide, deep, high] = block.size();
    for from in 0..wide - 1 {
        for to in from + 2..=wide {
            let plate = block.clone().with([0, 0], [wide, deep], low);
            add(plate.with([from, deep - 1], [to, deep], high));
        }
    }
}

/// A smaller block in a corner or in the middle of a plate.
fn on_base(block: &Solid, low: i32, add: &mut impl FnMut(Solid)) {
    let [wide, deep, high] = block.size();
    for across in 1..wide - 1 {
        for along in 1..deep - 1 {
            for east in [0, 1] {
                let plate = block.clone().with([0, 0], [wide, deep], low);
                add(plate.with([east, deep - along], [east + across, deep], high));
            }
        }
    }
}

/// The block with one cut: a corner taken out down to a lower height, or a slot in the middle of a side.
fn cuts(solid: &Solid) -> Vec<Solid> {
    let [wide, deep, _] = solid.size();
    let mut made = Vec::new();
    let mut cut = |from: [i32; 2], to: [i32; 2]| {
        let height = solid.height(from[0], from[1]);
        // One plane is cut, not a step between two.
        let even = (from[1]..to[1]).all(|y| (from[0]..to[0]).all(|x| solid.height(x, y) == height));
        if even && height > 0 {
            for low in 0..height {
                made.push(solid.clone().with(from, to, low));
            }
        }
    };
    for (a, b) in [(1, 1), (2, 1), (1, 2)] {
        if a >= wide || b >= deep {
            continue;
        }
        for (x, y) in [(0, 0), (wide - a, 0), (0, deep - b), (wide - a, deep - b)] {
            cut([x, y], [x + a, y + b]);
        }
    }
    if wide > 2 {
        let middle = [(wide - 1) / 2, wide - (wide - 1) / 2];
        cut([middle[0], 0], [middle[1], 1]);
        cut([middle[0], deep - 1], [middle[1], deep]);
    }
    if deep > 2 {
        let middle = [(deep - 1) / 2, deep - (deep - 1) / 2];
        cut([0, middle[0]], [1, middle[1]]);
        cut([wide - 1, middle[0]], [wide, middle[1]]);
    }
    made
}
