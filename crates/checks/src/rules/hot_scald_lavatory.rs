//! A public lavatory gives tempered water.
//!
//! IPC 419.5, UPC 407.3.

use wyeline_job::model::Use;
use wyeline_network::model::FixtureIx;

use super::hot_scald_shower::at;
use crate::context::Context;
use crate::kind::Kind;
use crate::limits;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "hot-scald-lavatory",
    title: "A lavatory for the public gives tempered water.",
    page: "Nobody knows the tap of a public room, and it is opened without thinking.\n\n\
        Looked at is every lavatory with hot water that anybody uses: `use public` or `use assembly`, on its line or for the whole job. \
        Its line says what its valve limits the water to (`limit 110 F`), or a `mixing-valve` sits in the hot pipe before it, set to no more.\n\n\
        Lavatories of dwellings are not meant, and those of a job that says nothing of its use are taken for such.",
    cite: |pack| limits::cite(pack, "scald-lavatory"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for ix in 0..context.network.fixtures.len() as u32 {
        let ix = FixtureIx(ix);
        if context.kind(ix) == Kind::Lavatory && context.usage(ix) != Use::Private {
            at(context, said, ix, "scald-lavatory");
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(fact: &str) -> Tell {
        let body = format!(
            "fixture L lavatory main 10',0' faces north{fact}\nfixture W water-heater main 0',5' faces south\n\
             hot h\nstart W.hot\nsize 1/2\"\nup 1'\nsouth 3'\neast to abreast L.hot\nend L\n"
        );
        Tell::plain(&body, "hot-scald-lavatory")
    }

    #[test]
    fn for_the_public() {
        told(" use public").one();
        told(" use assembly").one();
    }

    /// 110 F is the limit itself; 115 F is over it.
    #[test]
    fn tempered() {
        told(" use public limit 110 F").silent();
        told(" use public limit 105 F").silent();
        told(" use public limit 115 F").one();
    }

    /// Exception: the lavatory of a dwelling.
    #[test]
    fn in_a_dwelling() {
        told("").nowhere();
        told(" use private").nowhere();
    }
}
