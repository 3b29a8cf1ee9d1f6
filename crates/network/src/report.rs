//! The network in words: runs with their lengths, falls and inverts, points, and what is in doubt.

use std::fmt::Write as _;

use crate::model::{DoubtKind, Network, NodeIx, NodeKind, Pipe, RunSummary};
use crate::remarks::show;

/// Rows with their columns lined up.
#[derive(Default)]
struct Table {
    rows: Vec<Vec<String>>,
}

impl Table {
    fn row<const N: usize>(&mut self, cells: [String; N]) {
        self.rows.push(cells.into());
    }
    fn write(&self, out: &mut String) {
        let columns = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let mut widths = vec![0; columns];
        for row in &self.rows {
            for (width, cell) in widths.iter_mut().zip(row) {
                *width = (*width).max(cell.chars().count());
            }
        }
        for row in &self.rows {
            let mut line = String::from("  ");
            for (cell, width) in row.iter().zip(&widths) {
                let _ = write!(line, "{cell:<width$}  ");
            }
            out.push_str(line.trim_end());
            out.push('\n');
        }
    }
}

fn point(network: &Network, ix: NodeIx) -> String {
    let node = network.node(ix);
    node.name.clone().unwrap_or_else(|| node.id.clone())
}

fn invert(network: &Network, pipe: &Pipe, at: Option<f64>, node: NodeIx) -> String {
    match at {
        Some(invert) => format!("inv {}", show(invert, network.units)),
        // Without a bore only the centre line is known.
        None if pipe.system.drains() => {
            format!("CL {}", show(network.node(node).at.z, network.units))
        }
        None => show(network.node(node).at.z, network.units),
    }
}

fn write_run(network: &Network, run: &RunSummary, out: &mut String) {
    let units = network.units;
    let _ = write!(
        out,
        "\n{} {}: developed length {}",
        run.system.word(),
        run.name,
        show(run.developed_mm, units)
    );
    let _ = write!(out, ", rise {}", show(run.rise_mm, units));
    if run.fall_mm > 0.0 {
        let _ = write!(out, ", fall {}", show(run.fall_mm, units));
    }
    out.push('\n');
    let mut table = Table::default();
    for &ix in &run.pipes {
        let pipe = network.pipe(ix);
        let size = pipe
            .size
            .map_or_else(|| "-".to_owned(), |size| size.to_string());
        let slope = pipe.slope.map_or_else(String::new, |slope| {
            let assumed = if slope.assumed { " assumed" } else { "" };
            slope.slope.show(units) + assumed
        });
        table.row([
            pipe.id.clone(),
            size,
            show(network.length_mm(pipe), units),
            slope,
            format!(
                "{} {}",
                point(network, pipe.from),
                invert(network, pipe, pipe.invert_from, pipe.from)
            ),
            format!(
                "-> {} {}",
                point(network, pipe.to),
                invert(network, pipe, pipe.invert_to, pipe.to)
            ),
        ]);
    }
    table.write(out);
    for fit in &run.fits {
        let miss = fit.got_mm - fit.wanted_mm;
        let verdict = if miss.abs() < 0.5 {
            "fits".to_owned()
        } else {
            format!("misses by {}", show(miss.abs(), units))
        };
        let _ = writeln!(
            out,
            "  {}: {verdict}; room for {} over {}",
            point(network, fit.node),
            crate::lay::show_ratio(fit.available, units),
            show(fit.run_mm, units),
        );
    }
}

/// Returns the network in words, for people.
///
/// Lengths and heights in the job's units, to 1/16 in or 1 mm, true heights (not as drawn); heights from the job's zero.
/// Pipes are told from their upstream end (`inv` invert, `CL` centre line where no invert is known).
pub fn report(network: &Network) -> String {
    let mut out = String::new();
    let title = network
        .title
        .job
        .as_ref()
        .map_or("job", |name| name.text.as_str());
    let _ = writeln!(
        out,
        "{title}: {} runs, {} pipes, {} fixtures",
        network.runs.len(),
        network.pipes.len(),
        network.fixtures.len()
    );
    if let Some(add) = network.datum_mm {
        let _ = writeln!(
            out,
            "heights from the job's zero, which the benchmark calls {}",
            show(add, network.units)
        );
    }
    for run in &network.runs {
        write_run(network, run, &mut out);
    }
    let mut named = Table::default();
    for node in &network.nodes {
        let (units, Some(name)) = (network.units, &node.name) else {
            continue;
        };
        named.row([
            name.clone(),
            format!("{},{}", show(node.at.x, units), show(node.at.y, units)),
            show(node.at.z, units),
        ]);
    }
    if !named.rows.is_empty() {
        out.push_str("\npoints (east,north and height of the centre)\n");
        named.write(&mut out);
    }
    let loose = network
        .nodes
        .iter()
        .filter(|node| node.kind == NodeKind::Loose);
    for node in loose {
        let _ = writeln!(out, "\nloose end: {} (line {})", node.id, node.line);
    }
    for (why, heading) in [
        (DoubtKind::Unknown, "unknown"),
        (DoubtKind::Unverified, "unverified"),
        (DoubtKind::Assumed, "assumed"),
    ] {
        let mut table = Table::default();
        for doubt in network.doubts.iter().filter(|doubt| doubt.why == why) {
            table.row([format!("line {}", doubt.line), doubt.text.clone()]);
        }
        if !table.rows.is_empty() {
            let _ = writeln!(out, "\n{heading}");
            table.write(&mut out);
        }
    }
    out
}
