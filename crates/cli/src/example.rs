//! `wyeline example`: the shipped examples.

use std::fmt::Write;

use wyeline_whole::examples::{ALL, first_sentence};

use crate::{FINE, Failure, output};

/// Prints an example, or all their names with what they show.
pub fn example(name: Option<&str>) -> Result<u8, Failure> {
    let Some(name) = name else {
        let mut list = String::new();
        for (name, text) in ALL {
            let _ = writeln!(list, "{name:<19} {}", first_sentence(text));
        }
        output::print(list.as_bytes())?;
        return Ok(FINE);
    };
    let wanted = name.strip_suffix(".wye").unwrap_or(name);
    let Some((_, text)) = ALL.iter().find(|(known, _)| *known == wanted) else {
        let near = wyeline_job::did_you_mean(wanted, ALL.iter().map(|(known, _)| *known));
        let help = near.unwrap_or_else(|| "`wyeline example` lists them".to_owned());
        return Err(format!("there is no example {wanted}; {help}").into());
    };
    output::print(text.as_bytes())?;
    Ok(FINE)
}
