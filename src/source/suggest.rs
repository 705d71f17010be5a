//! Which known name was probably meant.

/// The candidate nearest to `word`: same letters in another case first, then the least edit distance of at most a
/// third of the word's length (at least one edit); ties go to the alphabetically first.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let mut names: Vec<&str> = candidates.into_iter().filter(|c| *c != word).collect();
    names.sort_unstable();
    names.dedup();
    let lower = word.to_lowercase();
    if let Some(same) = names.iter().find(|c| c.to_lowercase() == lower) {
        return Some(same);
    }
    let limit = (word.chars().count() / 3).max(1);
    names
        .into_iter()
        .map(|c| (distance(&lower, &c.to_lowercase()), c))
        .filter(|(d, c)| *d <= limit && *d < c.chars().count())
        .min_by_key(|(d, _)| *d)
        .map(|(_, c)| c)
}

/// Edit distance with transpositions of neighbours (optimal string alignment).
fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, cb) in b.iter().enumerate() {
            let mut best = (last[j] + usize::from(ca != cb)).min(last[j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && *ca == b[j - 1] && a[i - 1] == *cb {
                best = best.min(before[j - 1] + 1);
            }
            row.push(best);
        }
        before = std::mem::replace(&mut last, row);
    }
    last.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn suggestions() {
        let names = ["heron", "shell", "runner"];
        assert_eq!(nearest("Heron", names), Some("heron"));
        assert_eq!(nearest("hreon", names), Some("heron"));
        assert_eq!(nearest("shel", names), Some("shell"));
        assert_eq!(nearest("boat", names), None);
    }
}
