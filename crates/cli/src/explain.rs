//! `wyeline explain`: the page of a rule, or the rules there are.

use serde_json::json;
use wyeline_checks::{Rule, limits, page, rules};
use wyeline_codes::Pack;

use crate::args::Explain;
use crate::table::Table;
use crate::{FINE, Failure, output};

/// Prints a rule's page, or all rules with what they ask.
pub fn explain(args: &Explain) -> Result<u8, Failure> {
    let words = match &args.rule {
        None if args.json => {
            let all: Vec<_> = rules::ALL.iter().map(|rule| to_json(rule)).collect();
            format!("{:#}\n", json!(all))
        }
        None => list(),
        Some(name) => {
            let rule = rules::ALL.iter().find(|rule| rule.name == name);
            let Some(rule) = rule else {
                let near = wyeline_job::did_you_mean(name, rules::ALL.iter().map(|rule| rule.name));
                let help = near.unwrap_or_else(|| "`wyeline explain` lists them".to_owned());
                return Err(format!("there is no rule {name}; {help}").into());
            };
            if args.json {
                format!("{:#}\n", to_json(rule))
            } else {
                page(rule)
            }
        }
    };
    output::print(words.as_bytes())?;
    Ok(FINE)
}

fn list() -> String {
    let mut table = Table::new(&["rule", "what it asks"]);
    for rule in rules::ALL {
        table.row(vec![rule.name.to_owned(), rule.title.to_owned()]);
    }
    let mut words = String::new();
    table.write("", &mut words);
    let mut table = Table::new(&["figure", "what it is", "unit"]);
    for (key, what, unit) in limits::listed() {
        table.row(vec![key.to_owned(), what.to_owned(), unit.to_owned()]);
    }
    words.push_str(
        "\nFigures of rules that a job may amend (`amend limits FIGURE VALUE UNIT by \"…\"`)\n",
    );
    table.write("", &mut words);
    words
}

/// A rule with where each code says it.
fn to_json(rule: &Rule) -> serde_json::Value {
    let codes: serde_json::Map<String, serde_json::Value> = Pack::all()
        .iter()
        .map(|pack| (pack.id().to_owned(), json!((rule.cite)(pack))))
        .collect();
    json!({
        "rule": rule.name,
        "title": rule.title,
        "page": rule.page,
        "codes": codes,
    })
}
