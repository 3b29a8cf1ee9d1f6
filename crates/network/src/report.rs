//! The network in words: runs with their lengths, falls and inverts, points, and what is in doubt.

use std::fmt::Write as _;

use wyeline_job::model::System;

use crate::junction::Openings;
use crate::model::{DoubtKind, Limit, Network, NodeIx, NodeKind, Pipe, RunSummary};
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
        let spare = fit.spare_mm();
        let verdict = if spare < -0.5 {
            format!("misses by {}", show(-spare, units))
        } else if fit.limit.is_some() {
            format!("fits with {} to spare", show(spare.max(0.0), units))
        } else {
            "fits".to_owned()
        };
        let _ = write!(out, "  {}: {verdict}", point(network, fit.node));
        let most = match fit.limit {
            None => "room for",
            Some(Limit::Steepest) => "at most",
            Some(Limit::Flattest) => "at least",
        };
        if fit.limit.is_some() && fit.available <= 0.0 {
            out.push('\n');
        } else {
            let ratio = crate::lay::show_ratio(fit.available, units);
            let _ = writeln!(out, "; {most} {ratio} over {}", show(fit.run_mm, units));
        }
    }
}

/// Where four or more pipes meet, and where a drain goes on as its vent.
fn write_meetings(network: &Network, out: &mut String) {
    let (mut meetings, mut changes) = (Table::default(), Table::default());
    for (ix, node) in network.nodes.iter().enumerate() {
        let ix = NodeIx(ix as u32);
        let line = format!("line {}", node.line);
        let meeting = network.meeting(ix);
        if let Some(meeting) = meeting.filter(|meeting| meeting.openings() > Openings::Single) {
            let branches: Vec<&str> = meeting
                .branches
                .iter()
                .map(|&pipe| network.pipe(pipe).id.as_str())
                .collect();
            meetings.row([
                line,
                point(network, ix),
                meeting.openings().to_string(),
                branches.join(", "),
            ]);
        } else if let &[a, b] = node.pipes.as_slice() {
            let (a, b) = (network.pipe(a).system, network.pipe(b).system);
            let drain = if a.drains() { a } else { b };
            if drain.drains() && [a, b].contains(&System::Vent) {
                let words = format!("{} goes on as vent", drain.word());
                changes.row([line, point(network, ix), words]);
            }
        }
    }
    for (heading, table) in [
        ("double junctions and larger, with their branches", meetings),
        ("stacks that go on as their vent", changes),
    ] {
        if !table.rows.is_empty() {
            let _ = writeln!(out, "\n{heading}");
            table.write(out);
        }
    }
}

/// How each fixture is drained and vented.
fn write_arms(network: &Network, out: &mut String) {
    let mut table = Table::default();
    for arm in network.trap_arms() {
        let length: f64 = arm
            .pipes
            .iter()
            .map(|&pipe| network.length_mm(network.pipe(pipe)))
            .sum();
        let vent = match arm.vent {
            None => "no vent".to_owned(),
            Some(vent) if vent.at == vent.from => format!("vent at {}", point(network, vent.at)),
            Some(vent) => format!(
                "vent from {} by way of {}",
                point(network, vent.from),
                point(network, vent.at)
            ),
        };
        table.row([
            network.fixtures[arm.fixture.0 as usize].tag.clone(),
            show(length, network.units),
            format!("to {}", point(network, arm.joins)),
            vent,
        ]);
    }
    if !table.rows.is_empty() {
        out.push_str("\nfixture drains, from the trap to where another pipe meets them\n");
        table.write(out);
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
    write_meetings(network, &mut out);
    write_arms(network, &mut out);
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
