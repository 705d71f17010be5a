//! Which known name was probably meant.

/// The work grows with the square of a word's length.
const LONGEST: usize = 100;

/// The candidate nearest to `word`: same letters in another case first, then the least edit distance of at most a
/// third of the word's length (at least one edit); ties go to the alphabetically first. A word beyond `LONGEST`
/// characters is no slip of the pen.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let own: Vec<char> = word.to_lowercase().chars().collect();
    if own.len() > LONGEST {
        return None;
    }
    let limit = (own.len() / 3).max(1);
    let mut distance = Distance::default();
    let mut best: Option<(usize, &str)> = None;
    for name in candidates.into_iter().filter(|c| *c != word) {
        // Names that differ in case alone come before all others.
        let rank = match distance.within(&own, name, limit) {
            Some(0) => 0,
            Some(edits) if edits < name.chars().count() => edits,
            _ => continue,
        };
        if best.is_none_or(|b| (rank, name) < b) {
            best = Some((rank, name));
        }
    }
    best.map(|(_, name)| name)
}

/// Edit distance with transpositions of neighbours (optimal string alignment), whatever the case. The rows are kept
/// from one comparison to the next: a design may ask for thousands.
#[derive(Default)]
struct Distance {
    other: Vec<char>,
    rows: [Vec<usize>; 3],
}

impl Distance {
    /// The distance to a name when it is at most `limit`.
    fn within(&mut self, own: &[char], name: &str, limit: usize) -> Option<usize> {
        self.other.clear();
        self.other.extend(name.chars().flat_map(char::to_lowercase));
        if own.len().abs_diff(self.other.len()) > limit {
            return None;
        }
        let [before, last, row] = &mut self.rows;
        before.clear();
        last.clear();
        last.extend(0..=self.other.len());
        for (i, ca) in own.iter().enumerate() {
            row.clear();
            row.push(i + 1);
            let mut least = i + 1;
            for (j, cb) in self.other.iter().enumerate() {
                let mut best = (last[j] + usize::from(ca != cb)).min(last[j + 1] + 1).min(row[j] + 1);
                if i > 0 && j > 0 && *ca == self.other[j - 1] && own[i - 1] == *cb {
                    best = best.min(before[j - 1] + 1);
                }
                row.push(best);
                least = least.min(best);
            }
            // No later row is below the least of the last two, and a transposition costs one.
            if least > limit + 1 {
                return None;
            }
            std::mem::swap(before, last);
            std::mem::swap(last, row);
        }
        last.last().copied().filter(|d| *d <= limit)
    }
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
        assert_eq!(nearest("a", ["b"]), None, "nothing of the word is left");
        assert_eq!(
            nearest("leaf1", ["leaf3", "leaf2"]),
            Some("leaf2"),
            "ties go to the first of the alphabet"
        );
        assert_eq!(nearest("sa", ["sae", "SA"]), Some("SA"));
    }
}
