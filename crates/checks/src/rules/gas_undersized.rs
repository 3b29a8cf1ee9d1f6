//! A stated gas pipe is at least as large as the table finds.
//!
//! IFGC 402.3, UPC 1215.1: worked out by sizing from the table in force, for a licensed fitter to verify.

use wyeline_job::model::System;

use crate::context::Context;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::undersized::{TooSmall, too_small};

/// The rule.
pub static RULE: Rule = Rule {
    name: "gas-undersized",
    title: "A stated gas pipe is large enough for its load and length.",
    page: "A burner that does not get its gas burns yellow, soots, and makes carbon monoxide.\n\n\
        The inputs of the appliances are summed back to where the gas comes in and each piece is sized by the code's table for its length; a stated \
        size below that is a finding.\n\n\
        Sizes come from the table and are for a licensed fitter to verify. Not checked is a pipe whose load or length is not known: an appliance \
        without `input`, a job without `supply gas`.",
    cite: |pack| limits::cite(pack, "gas-size"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let unknown = "no least size could be worked out for this gas pipe";
    for found in too_small(context, said, System::Gas, unknown) {
        let TooSmall { size, needed, .. } = found;
        let message = format!(
            "gas pipe {} is {size} and has to be {needed}: {}",
            context.run(found.pipe),
            found.why
        );
        let help =
            format!("lay {needed} from the meter to here, and have a licensed fitter verify it");
        found.tell(context, said, message, help);
    }
}

#[cfg(test)]
mod tests {
    use wyeline_units::Size;

    use crate::tell::{Tell, inch};

    fn told(needed: Option<Size>, stated: bool) -> Tell {
        let body = "fixture R gas-range main 20',0' faces north\n\
             gas g\nstart 0',0' main floor +4\"\nsize 1/2\"\neast 5'\neast to abreast R.gas\nend R\n";
        Tell::of(body, "gas-undersized", move |_, sized| {
            for pipe in &mut sized.pipes {
                (pipe.needed, pipe.size, pipe.stated) = (needed, Some(inch(4)), stated);
            }
        })
    }

    /// 1/2 in where 3/4 in is needed; 1/2 in where it is enough.
    #[test]
    fn too_small_and_just_right() {
        let small = told(Some(inch(6)), true);
        assert!(
            small.one().message.contains("is 1/2\" and has to be 3/4\""),
            "{}",
            small.one().message
        );
        assert!(small.one().help.contains("licensed fitter"));
        told(Some(inch(4)), true).silent();
    }

    /// Exception: a size nobody stated.
    #[test]
    fn not_stated() {
        told(Some(inch(6)), false).nowhere();
        assert!(!told(None, true).said.unchecked.is_empty());
    }
}
