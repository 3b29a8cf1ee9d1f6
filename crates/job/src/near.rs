//! Finds the word that was probably meant.

/// Longest word looked at; nobody mistypes a longer one into a keyword.
const LONGEST: usize = 32;

/// Letters to change, add, drop or swap with the next to get from one word to the other
/// (optimal string alignment), or nothing above `most`.
fn distance(from: &[char], to: &[char], most: usize) -> Option<usize> {
    if from.len().abs_diff(to.len()) > most {
        return None;
    }
    let width = to.len() + 1;
    let mut before: Vec<usize> = vec![0; width];
    let mut last: Vec<usize> = (0..width).collect();
    let mut row = vec![0; width];
    for (i, a) in from.iter().enumerate() {
        row[0] = i + 1;
        for (j, b) in to.iter().enumerate() {
            let change = last[j] + usize::from(a != b);
            row[j + 1] = change.min(last[j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && *a == to[j - 1] && from[i - 1] == *b {
                row[j + 1] = row[j + 1].min(before[j - 1] + 1);
            }
        }
        std::mem::swap(&mut before, &mut last);
        std::mem::swap(&mut last, &mut row);
    }
    Some(last[width - 1]).filter(|&found| found <= most)
}

/// The candidate nearest to `word`, where it is near enough to be a slip: one letter
/// in words of up to four, two in longer ones. Capitals do not count.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let from: Vec<char> = word.to_lowercase().chars().take(LONGEST + 1).collect();
    if from.len() > LONGEST {
        return None;
    }
    let most = if from.len() <= 4 { 1 } else { 2 };
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let to: Vec<char> = candidate.to_lowercase().chars().collect();
        // A word of one or two letters is near to every other.
        let most = if to.len() <= 2 || from.len() <= 2 {
            0
        } else {
            most
        };
        if let Some(found) = distance(&from, &to, most)
            && best.is_none_or(|(least, _)| found < least)
        {
            best = Some((found, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// `did you mean …?` for the nearest candidate.
pub fn did_you_mean<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<String> {
    nearest(word, candidates).map(|near| format!("did you mean `{near}`?"))
}
