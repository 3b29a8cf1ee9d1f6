//! A pipe passes a footing in a sleeve, or not at all.
//!
//! IPC 305.3, UPC 312.10.

use wyeline_job::model::BodyKind;

use super::structure_through_beam::through;
use crate::limits;
use crate::rule::Rule;

/// The rule.
pub static RULE: Rule = Rule {
    name: "structure-through-footing",
    title: "A pipe through a footing lies in a sleeve.",
    page: "A house settles on its footings; a pipe cast into one shears off.\n\n\
        Looked at is every pipe, with its outside diameter, against every footing that the job tells of.\n\n\
        Touching is allowed. Exceptions: a pipe that passes below the footing; a sleeve two pipe sizes larger, for which the footing is told with a gap.",
    cite: |pack| limits::cite(pack, "through-footing"),
    look: |context, said| through(context, said, |kind| kind == BodyKind::Footing),
};

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    /// A footing from -1 ft to -2 ft; 2 in copper (2-1/8 in outside) passes below it at -2 ft 1-1/16 in.
    fn told(z: &str) -> Tell {
        let body = format!(
            "footing F 0',-4' to 0',4' wide 16\" top main floor -1' deep 12\"\n\
             cold c\nstart -5',0' main floor {z}\nsize 2\"\nmaterial copper\neast 10'\ncap\n"
        );
        Tell::plain(&body, "structure-through-footing")
    }

    #[test]
    fn through_it() {
        assert!(told("-1'6\"").one().help.contains("sleeve"));
    }

    /// Just touching it from below, and well below it.
    #[test]
    fn below_it() {
        told("-2'1-1/16\"").silent();
        told("-3'").silent();
    }
}
