//! The manual's pages of the rules, made from the rules themselves.

use std::fmt::Write;

use wyeline_codes::Pack;

use crate::keys;
use crate::rule::Rule;
use crate::rules;

/// A rule's page in Markdown: what it asks, why, what is measured, and where each code says it.
pub fn page(rule: &Rule) -> String {
    let mut page = format!("# {}\n\n{}\n\n", rule.name, rule.title);
    for paragraph in rule.page.split("\n\n") {
        let lines = paragraph.split_whitespace();
        let mut first = true;
        for word in lines {
            if !std::mem::replace(&mut first, false) {
                page.push(' ');
            }
            page.push_str(word);
        }
        page.push_str("\n\n");
    }
    page.push_str("| code | where it stands |\n| --- | --- |\n");
    for pack in Pack::all() {
        let place = (rule.cite)(pack);
        let place = place.map_or_else(
            || "no such rule, or no value at hand: not checked".to_owned(),
            |cite| match keys::says(pack, rule.name) {
                Some(says) => format!("{cite}: {says}"),
                None => cite.to_string(),
            },
        );
        let _ = writeln!(page, "| {} | {place} |", pack.name());
    }
    page
}

/// Every rule's name and page, in the order in which they are explained.
pub fn pages() -> Vec<(&'static str, String)> {
    let all = rules::ALL.iter();
    all.map(|rule| (rule.name, page(rule))).collect()
}
