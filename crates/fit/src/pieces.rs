//! From joints to pieces: straights between fittings, what is taken off at their ends, and what is left to cut.
//!
//! cut = centre to centre less both takeouts (less what couplings keep apart where no bar is long enough);
//! *floor of the possible*: pipe between two sockets is never shorter than the two depths (trade mathematics).

use std::collections::HashMap;

use wyeline_network::model::{NodeIx, PipeIx};
use wyeline_units::Len;

use crate::joint::Given;
use crate::model::{
    Allowance, Finding, Fitting, Joint, Leg, Piece, Shape, Straight, Stuff, Takeout, Trust, Wanted,
    Where,
};
use crate::shelf::LegKind;

/// Shorter than this is nothing, mm: far below what a saw does.
const NOTHING: f64 = 1e-6;

/// All straights, in the order of their first pipe, with their pieces numbered.
///
/// `longest` tells the longest bar or coil that is bought of a material, mm. The cost grows with the pipes.
pub(crate) fn straights(
    given: &Given,
    joints: &[Joint],
    longest: &dyn Fn(&Stuff) -> Option<f64>,
    findings: &mut Vec<Finding>,
) -> Vec<Straight> {
    let network = given.network;
    let mut seen = vec![false; network.pipes.len()];
    let mut all = Vec::new();
    let mut mark = 0;
    for ix in 0..network.pipes.len() as u32 {
        if seen[ix as usize] {
            continue;
        }
        let (pipes, ends) = chain(given, joints, PipeIx(ix));
        for pipe in &pipes {
            seen[pipe.0 as usize] = true;
        }
        let mut straight = straight(given, joints, pipes, ends);
        cut(given, &mut straight, longest, &mut mark);
        judge(given, &straight, findings);
        all.push(straight);
    }
    all
}

/// The pipes in line with one, through nodes where nothing stands, and the nodes at the far ends.
fn chain(given: &Given, joints: &[Joint], start: PipeIx) -> (Vec<PipeIx>, [NodeIx; 2]) {
    let network = given.network;
    let walk = |mut node: NodeIx| {
        let mut pipes = Vec::new();
        let mut last = start;
        while joints[node.0 as usize].through {
            let here = &network.node(node).pipes;
            let Some(&next) = here.iter().find(|pipe| **pipe != last) else {
                break;
            };
            if next == start {
                break;
            }
            pipes.push(next);
            let pipe = network.pipe(next);
            node = if pipe.from == node {
                pipe.to
            } else {
                pipe.from
            };
            last = next;
        }
        (pipes, node)
    };
    let pipe = network.pipe(start);
    let (mut up, from) = walk(pipe.from);
    let (down, to) = walk(pipe.to);
    up.reverse();
    up.push(start);
    up.extend(down);
    (up, [from, to])
}

fn leg(joints: &[Joint], node: NodeIx, pipe: PipeIx) -> Option<&Leg> {
    joints[node.0 as usize]
        .legs
        .iter()
        .find(|leg| leg.pipe == pipe)
}

fn straight(given: &Given, joints: &[Joint], pipes: Vec<PipeIx>, ends: [NodeIx; 2]) -> Straight {
    let network = given.network;
    let length = |pipe: &PipeIx| {
        let (a, b) = network.true_ends(network.pipe(*pipe));
        a.distance(b)
    };
    let outer = [pipes[0], pipes[pipes.len() - 1]];
    let legs = [0, 1].map(|end| leg(joints, ends[end], outer[end]));
    Straight {
        centre_mm: pipes.iter().map(length).sum(),
        takeouts: legs.map(|leg| leg.map_or(Takeout::Known(Vec::new()), |leg| leg.takeout.clone())),
        makeups: legs.map(|leg| leg.and_then(|leg| leg.makeup_mm)),
        pipes,
        ends,
        couplings: Vec::new(),
        coupling_mm: Vec::new(),
        pieces: Vec::new(),
    }
}

/// Cuts a straight into pieces that bars are long enough for.
fn cut(
    given: &Given,
    straight: &mut Straight,
    longest: &dyn Fn(&Stuff) -> Option<f64>,
    mark: &mut u32,
) {
    let first = straight.pipes[0];
    let pipe = given.network.pipe(first);
    let stuff = given.stuff[first.0 as usize].clone();
    let plumb = matches!(pipe.lie, wyeline_network::model::Lie::Vertical);
    let estimated = straight.takeouts.iter().any(|takeout| match takeout {
        Takeout::Known(parts) => parts.iter().any(|part| part.trust == Trust::Low),
        Takeout::Missing(_) => false,
    });
    let whole = match (straight.takeouts[0].mm(), straight.takeouts[1].mm()) {
        (Some(a), Some(b)) => Some(straight.centre_mm - a - b),
        _ => None,
    };
    let bar = longest(&stuff).filter(|_| !pipe.existing);
    let lengths = whole.map(|whole| split(given, straight, &stuff, whole, bar));
    let lengths = match lengths {
        Some(lengths) => lengths.into_iter().map(Some).collect(),
        None => vec![None],
    };
    let several = lengths.len() > 1;
    for (at, cut_mm) in lengths.into_iter().enumerate() {
        *mark += 1;
        straight.pieces.push(Piece {
            id: if several {
                format!("{}/{}", pipe.id, at + 1)
            } else {
                pipe.id.clone()
            },
            mark: *mark,
            stuff: stuff.clone(),
            system: pipe.system,
            pipe: first,
            cut_mm,
            estimated,
            plumb,
            existing: pipe.existing,
        });
    }
}

/// Lengths of the pieces of a straight: one, or bars with couplings between and the rest; where the rest would be
/// shorter than two sockets, the last two share what they have.
fn split(
    given: &Given,
    straight: &mut Straight,
    stuff: &Stuff,
    whole: f64,
    bar: Option<f64>,
) -> Vec<f64> {
    let Some(bar) = bar.filter(|bar| whole > *bar + NOTHING) else {
        return vec![whole];
    };
    let Some(size) = stuff.size else {
        return vec![whole];
    };
    // Where no length of a coupling is held, its stop is taken as nothing, and said to be so.
    let shape = if stuff.family == crate::model::Family::NoHub {
        Shape::NoHubCoupling
    } else {
        Shape::Coupling
    };
    let stop = given
        .shelf
        .leg(stuff.family, shape, &[size], LegKind::Total)
        .unwrap_or_else(|missing| Allowance {
            what: missing.what,
            mm: 0.0,
            trust: Trust::Low,
            error_mm: None,
            source: "not held: taken as nothing".to_owned(),
            tell: None,
        });
    let count = ((whole + stop.mm) / (bar + stop.mm) - NOTHING).ceil() as usize;
    let mut lengths = vec![bar; count - 1];
    let rest = whole - (count - 1) as f64 * (bar + stop.mm);
    let least = 2.0 * straight.makeups[1].unwrap_or(0.0).max(25.4);
    if rest < least {
        let shared = f64::midpoint(bar, rest);
        if let Some(last) = lengths.last_mut() {
            *last = shared;
        }
        lengths.push(shared);
    } else {
        lengths.push(rest);
    }
    let pipe = given.network.pipe(straight.pipes[0]);
    for at in 1..count {
        straight.couplings.push(Fitting {
            node: straight.ends[1],
            id: format!("{}/coupling/{at}", pipe.id),
            family: stuff.family,
            other: None,
            shape,
            sizes: vec![size],
            system: pipe.system,
            street: false,
            existing: false,
            cite: None,
            span: pipe.span,
        });
        straight.coupling_mm.push(stop.clone());
    }
    lengths
}

/// Pieces that cannot be.
fn judge(given: &Given, straight: &Straight, findings: &mut Vec<Finding>) {
    let [piece] = &straight.pieces[..] else {
        return;
    };
    let Some(cut) = piece.cut_mm.filter(|_| !piece.existing) else {
        return;
    };
    let least: f64 = straight.makeups.iter().flatten().sum();
    if cut >= least - NOTHING || (least == 0.0 && cut > -NOTHING) {
        return;
    }
    let pipe = given.network.pipe(piece.pipe);
    let units = given.network.units;
    let show = |mm: f64| Len::from_mm(mm).show(units, 16);
    let need = straight.centre_mm - cut + least;
    let size = piece
        .stuff
        .size
        .map_or(String::new(), |size| size.to_string());
    let off = may_be_off(straight);
    let doubtful = least - cut <= off;
    let about = if off > NOTHING {
        format!(" (by estimates that may be off by {})", show(off))
    } else {
        String::new()
    };
    findings.push(Finding {
        code: if doubtful {
            "piece-may-be-short"
        } else {
            "piece-too-short"
        },
        at: Where::Pipe(piece.pipe),
        message: format!(
            "{size} fittings need {} between centres{about}, there are {}",
            show(need),
            show(straight.centre_mm)
        ),
        help: Some(
            if doubtful {
                "measure the fittings in hand and tell the job (`wyeline cuts` has the lines to type), or move them apart"
            } else {
                "move the fittings apart, or set a street fitting (spigot into socket) and tell what it measures"
            }
            .to_owned(),
        ),
        doubtful,
        span: pipe.span,
    });
}

/// What the estimates at the ends of a straight may be off by together, mm.
fn may_be_off(straight: &Straight) -> f64 {
    let parts = straight.takeouts.iter().flat_map(|takeout| match takeout {
        Takeout::Known(parts) => parts.as_slice(),
        Takeout::Missing(_) => &[],
    });
    parts
        .filter(|part| part.trust == Trust::Low)
        .filter_map(|part| part.error_mm)
        .sum()
}

/// Dimensions that pieces wait for, and those that are only estimated, each once.
pub(crate) fn wanted(straights: &[Straight]) -> (Vec<Wanted>, Vec<Wanted>) {
    let (mut missing, mut estimated) = (Gathered::default(), Gathered::default());
    for straight in straights {
        let marks: Vec<u32> = straight
            .pieces
            .iter()
            .filter(|piece| !piece.existing)
            .map(|piece| piece.mark)
            .collect();
        if marks.is_empty() {
            continue;
        }
        let low = |part: &&Allowance| part.trust == Trust::Low && part.mm != 0.0;
        let mut guess = |part: &Allowance| {
            let taken = Some((part.mm, part.error_mm));
            estimated.note(&part.what, taken, part.tell.as_ref(), &marks);
        };
        for takeout in &straight.takeouts {
            match takeout {
                Takeout::Missing(one) => {
                    missing.note(&one.what, None, Some(&one.tell), &marks);
                }
                Takeout::Known(parts) => parts.iter().filter(low).for_each(&mut guess),
            }
        }
        straight.coupling_mm.iter().filter(low).for_each(guess);
    }
    (missing.list, estimated.list)
}

/// Wanted dimensions by their words, in the order they are met.
#[derive(Default)]
struct Gathered {
    list: Vec<Wanted>,
    at: HashMap<String, usize>,
}

impl Gathered {
    fn note(
        &mut self,
        what: &str,
        taken: Option<(f64, Option<f64>)>,
        tell: Option<&String>,
        marks: &[u32],
    ) {
        let at = self.at.get(what).copied().unwrap_or_else(|| {
            self.at.insert(what.to_owned(), self.list.len());
            self.list.push(Wanted {
                what: what.to_owned(),
                taken,
                tell: tell.cloned(),
                pieces: Vec::new(),
            });
            self.list.len() - 1
        });
        let pieces = &mut self.list[at].pieces;
        // Marks come in rising order.
        let last = pieces.last().copied().unwrap_or(0);
        pieces.extend(marks.iter().filter(|mark| **mark > last));
    }
}
