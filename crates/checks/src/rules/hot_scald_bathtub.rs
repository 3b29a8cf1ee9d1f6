//! A bath's hot water is limited.
//!
//! IPC 412.5, UPC 409.4, Canada 2.2.10.7.

use super::hot_scald_shower::judge;
use crate::kind::Kind;
use crate::limits;
use crate::rule::Rule;

/// The rule.
pub static RULE: Rule = Rule {
    name: "hot-scald-bathtub",
    title: "The hot water of a bath is limited.",
    page: "Children are put into baths, and old people cannot get out of them quickly.\n\n\
        Looked at is every bathtub with hot water: its line says what its valve limits the water to (`limit 120 F`), or a `mixing-valve` sits in the hot \
        pipe before it, set to no more than the code's limit.\n\n\
        A mixing valve that feeds other outlets as well counts here.",
    cite: |pack| limits::cite(pack, "scald-bathtub"),
    look: |context, said| judge(context, said, "scald-bathtub", |kind| kind == Kind::Bathtub),
};

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(fact: &str, valve: &str) -> Tell {
        let body = format!(
            "fixture B bathtub main 10',0' faces north{fact}\nfixture L lavatory main 16',0' faces north\nfixture W water-heater main 0',5' faces south\n\
             hot h\nstart W.hot\nsize 1/2\"\nup 1'\nsouth 3'\n{valve}east to abreast B.hot\ncatch B\neast to abreast L.hot\nend L\n"
        );
        Tell::plain(&body, "hot-scald-bathtub")
    }

    #[test]
    fn nothing_is_told() {
        assert!(
            told("", "")
                .one()
                .message
                .contains("a limiting valve is not told")
        );
    }

    /// 120 F is the limit itself; 121 F is over it.
    #[test]
    fn its_own_valve() {
        told(" limit 120 F", "").silent();
        told(" limit 119 F", "").silent();
        told(" limit 121 F", "").one();
    }

    /// Exception: a mixing valve for all.
    #[test]
    fn a_mixing_valve_for_all() {
        told("", "mixing-valve set 120 F\neast 6\"\n").silent();
        told("", "mixing-valve set 140 F\neast 6\"\n").one();
    }
}
