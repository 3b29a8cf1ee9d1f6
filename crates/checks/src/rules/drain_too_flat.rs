//! Least slope of a drain by its size.
//!
//! IPC 704.1 and its table, UPC 708.1, EN 12056-2 by branch, Canada 2.4.8.1: the values are the pack's.

use wyeline_codes::Cited;
use wyeline_job::model::System;
use wyeline_network::model::PipeIx;
use wyeline_units::{Size, Slope};

use crate::context::{Context, is_level};
use crate::finding::At;
use crate::keys::BySize;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "drain-too-flat",
    title: "A drain falls at least as much as its size asks for.",
    page: "Water in a drain that is too flat runs slower than it needs to carry solids along, and the pipe silts up. \
        A large pipe scours at a flatter slope than a small one, so the least slope goes by the nominal size.\n\n\
        Measured is the slope stated for each level piece of waste pipe; plumb and tilted pieces are steeper than any table asks. \
        Codes in inches mean 1/4 in per ft exactly: 1:48, or 20.8 mm per m. The 1:50 that is usual in metric work is flatter, and is told as such.\n\n\
        Not checked is a piece whose size is neither stated nor found, whose size the table does not hold, or whose slope nobody stated, where the one that is \
        assumed is too flat: the drain may well be laid as it has to be.",
    cite: |pack| {
        pack.least_slope(Size::Inch { eighths: 16 })
            .or_else(|_| pack.least_slope(Size::Dn(50)))
            .ok()
            .map(|c| c.cite)
    },
    look,
};

/// Level pieces of a run that are alike, and too flat.
struct Flat {
    pipe: PipeIx,
    size: Size,
    length: f64,
    least: Cited<Slope>,
}

fn look(context: &Context, said: &mut Said) {
    let mut table = BySize::default();
    let mut flat: Vec<Flat> = Vec::new();
    for (ix, pipe) in context.pipes_of(System::Waste) {
        if !is_level(pipe) {
            continue;
        }
        let Some(fall) = pipe.slope else {
            said.unknown(At::Pipe(ix), "the slope of this drain is not known");
            continue;
        };
        let Some(size) = context.size(ix) else {
            said.unknown(At::Pipe(ix), "the size of this drain is not known");
            continue;
        };
        let Some(least) = table.get(size, |size| context.pack.least_slope(size).ok()) else {
            said.unknown(
                At::Pipe(ix),
                "the code's table of slopes does not hold this size",
            );
            continue;
        };
        if fall.assumed && flatter(fall.slope, least.value) {
            let why = format!(
                "nobody stated its slope, and the {} that is assumed is flatter than the {} that {size} needs: say `slope` in the job",
                meant(context, fall.slope),
                meant(context, least.value)
            );
            said.unknown(At::Pipe(ix), why);
            continue;
        }
        said.looked();
        if !flatter(fall.slope, least.value) {
            continue;
        }
        let length = context.length(ix);
        // Pieces of one run that are alike are one finding, at the most downstream of them.
        let alike = flat.iter_mut().find(|known| {
            let other = context.pipe(known.pipe);
            other.run == pipe.run
                && other.slope == pipe.slope
                && known.size == size
                && other.existing == pipe.existing
        });
        match alike {
            Some(known) => known.length += length,
            None => flat.push(Flat {
                pipe: ix,
                size,
                length,
                least: least.clone(),
            }),
        }
    }
    for Flat {
        pipe: ix,
        size,
        length,
        least,
    } in flat
    {
        let Some(fall) = context.pipe(ix).slope else {
            continue;
        };
        let (has, needs) = (meant(context, fall.slope), meant(context, least.value));
        let drop = (least.value.ratio() - fall.slope.ratio()) * length;
        let help = format!(
            "give it {needs}, which takes {} more fall over its {}; or lay a larger pipe, which may lie flatter",
            context.show(drop),
            context.show(length)
        );
        let message = format!(
            "{size} drain {} falls {has}; it needs {needs}",
            context.run(ix)
        );
        said.breaks(context, At::Pipe(ix), message, help)
            .by(&least.cite);
    }
}

/// A slope in the job's units; in metric ones with the fall in a metre, since 1:48 and 1:50 are read as one else.
fn meant(context: &Context, slope: Slope) -> String {
    let units = context.network.units;
    let shown = slope.show(units);
    if units.is_metric() {
        format!("{shown} ({:.1} mm per m)", slope.ratio() * 1000.0)
    } else {
        shown
    }
}

/// Whether one slope is less than another, exactly.
fn flatter(a: Slope, b: Slope) -> bool {
    let ((fall, run), (other_fall, other_run)) = (a.terms(), b.terms());
    u64::from(fall) * u64::from(other_run) < u64::from(other_fall) * u64::from(run)
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires_upc, one, silent, unchecked, whole};

    fn drain(size: &str, slope: &str) -> String {
        format!(
            "fixture FD floor-drain main 10',0' faces east\n\
             waste d\nstart 0',0' main floor -2'\nsize {size}\nslope {slope}\neast to abreast FD.drain\nend FD\n"
        )
    }

    /// IPC Table 704.1: 1/4 in per ft up to 2-1/2 in. 3/16 is too flat, 1/4 is the limit itself.
    #[test]
    fn two_inch() {
        let found = one(&drain("2\"", "3/16 in per ft"), "drain-too-flat");
        assert!(found.message.contains("1/4 in/ft"), "{}", found.message);
        // 1/16 in per ft over 10 ft is 5/8 in.
        assert!(found.help.contains("5/8"), "{}", found.help);
        silent(&drain("2\"", "1/4 in per ft"), "drain-too-flat");
        silent(&drain("2\"", "17/64 in per ft"), "drain-too-flat");
    }

    /// The same table: 1/8 in per ft for 3 to 6 in.
    #[test]
    fn three_inch_lies_flatter() {
        silent(&drain("3\"", "1/8 in per ft"), "drain-too-flat");
        one(&drain("3\"", "1/16 in per ft"), "drain-too-flat");
    }

    /// UPC 708.1 allows less than 1/4 in per ft from 4 in on only.
    #[test]
    fn the_upc_asks_more_of_three_inch() {
        let found = fires_upc(&drain("3\"", "1/8 in per ft"), "drain-too-flat");
        assert_eq!(found.len(), 1, "{found:#?}");
    }

    /// 1/4 in per ft is 1:48, 20.83 mm in a metre; 1:50 is 20.0. Over 10 m the two differ by 10,000/48 - 10,000/50 = 8.3 mm.
    #[test]
    fn in_a_metric_job_1_in_50_misses_a_quarter_inch() {
        let metric = |slope: &str| {
            format!(
                "job t\nunits mm\nlevel main floor 0 ceiling 2400\n\
                 fixture FD floor-drain main 10000,0 faces east\n\
                 waste d\nstart 0,0 main floor -600\nsize 2\"\n{slope}\neast to abreast FD.drain\nend FD\n"
            )
        };
        let told = whole("ipc-2021", &metric("slope 1:50"), "drain-too-flat");
        assert_eq!(told.findings.len(), 1, "{told:#?}");
        let found = &told.findings[0];
        assert!(
            found
                .message
                .ends_with("falls 1:50 (20.0 mm per m); it needs 1:48 (20.8 mm per m)"),
            "{}",
            found.message
        );
        assert!(
            found.help.contains("8 mm more fall over its 10000 mm"),
            "{}",
            found.help
        );
        assert!(
            whole("ipc-2021", &metric("slope 1:48"), "drain-too-flat")
                .findings
                .is_empty()
        );
        // Assumed, it is nobody's mistake: it is not checked, and that is said.
        let assumed = whole("ipc-2021", &metric("note \"as usual\""), "drain-too-flat");
        assert!(assumed.findings.is_empty(), "{assumed:#?}");
        assert_eq!(assumed.unchecked.len(), 1, "{assumed:#?}");
        assert!(
            assumed.unchecked[0]
                .why
                .starts_with("nobody stated its slope"),
            "{assumed:#?}"
        );
    }

    /// Plumb pipe is not looked at.
    #[test]
    fn plumb_pipe_is_let_through() {
        let body = "fixture WC water-closet main 0',1' faces north\n\
             waste d\nstart 0',2' main floor -2'\nsize 3\"\nup 1'\nend WC\n";
        assert!(unchecked(body, "drain-too-flat").is_empty());
    }
}
