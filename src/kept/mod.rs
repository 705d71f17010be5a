//! Answers kept by their questions, from one run to the next.
//!
//! A question holds all that its answer depends on, so an answer found here is the one that would be worked out anew;
//! nothing is ever out of date, it is only no longer asked. Knows nothing of Plica.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// The answers to questions of one kind. Threads may ask at the same time.
pub struct Memo<Question, Answer> {
    ages: Mutex<Ages<Question, Answer>>,
    most: usize,
}

struct Ages<Question, Answer> {
    /// Asked since the last turn.
    now: BTreeMap<Question, Arc<Answer>>,
    /// Asked between the turn before and the last one, and not since.
    before: BTreeMap<Question, Arc<Answer>>,
}

impl<Question: Ord + Clone, Answer> Memo<Question, Answer> {
    /// A turn comes by itself after `most` answers, so that at most twice as many are kept.
    pub fn holding(most: usize) -> Self {
        Self { ages: Mutex::new(Ages { now: BTreeMap::new(), before: BTreeMap::new() }), most }
    }

    /// The answer when it is known.
    pub fn known(&self, question: &Question) -> Option<Arc<Answer>> {
        let mut ages = self.ages();
        if let Some(answer) = ages.now.get(question) {
            return Some(Arc::clone(answer));
        }
        let (question, answer) = ages.before.remove_entry(question)?;
        let given = Arc::clone(&answer);
        ages.now.insert(question, answer);
        Some(given)
    }

    /// The answer, worked out when it is not known. Two threads that ask at once may both work; they find the same.
    pub fn answer(&self, question: &Question, work: impl FnOnce() -> Answer) -> Arc<Answer> {
        if let Some(answer) = self.known(question) {
            return answer;
        }
        let answer = Arc::new(work());
        let mut ages = self.ages();
        if ages.now.len() >= self.most {
            ages.turn();
        }
        Arc::clone(ages.now.entry(question.clone()).or_insert(answer))
    }

    /// Forgets what was not asked since the last turn.
    pub fn turn(&self) {
        self.ages().turn();
    }

    /// How many answers are kept.
    pub fn len(&self) -> usize {
        let ages = self.ages();
        ages.now.len() + ages.before.len()
    }

    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

impl<Question, Answer> Memo<Question, Answer> {
    /// Answers are put in whole, so a thread that stopped halfway has left nothing broken.
    fn ages(&self) -> MutexGuard<'_, Ages<Question, Answer>> {
        self.ages.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl<Question: Ord, Answer> Ages<Question, Answer> {
    fn turn(&mut self) {
        self.before = std::mem::take(&mut self.now);
    }
}

impl<Question, Answer> fmt::Debug for Memo<Question, Answer> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let ages = self.ages();
        write!(f, "Memo of {} and {} answers", ages.now.len(), ages.before.len())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;

    #[test]
    fn an_answer_is_worked_out_once_and_forgotten_when_it_is_not_asked_for_two_turns() {
        let memo: Memo<u32, u32> = Memo::holding(10);
        let worked = Cell::new(0);
        let square = |n: u32| {
            *memo.answer(&n, || {
                worked.set(worked.get() + 1);
                n * n
            })
        };
        assert_eq!((square(3), square(3), worked.get()), (9, 9, 1));
        memo.turn();
        assert_eq!((square(3), worked.get()), (9, 1), "asked again within a turn");
        memo.turn();
        memo.turn();
        assert!(memo.is_empty());
        assert_eq!((square(3), worked.get()), (9, 2));
    }

    #[test]
    fn no_more_than_twice_the_most_is_kept() {
        let memo: Memo<u32, u32> = Memo::holding(4);
        for n in 0..100 {
            memo.answer(&n, || n);
            assert!(memo.len() <= 8, "{memo:?}");
        }
        assert_eq!(memo.known(&99).as_deref(), Some(&99));
        assert_eq!(memo.known(&0), None);
    }
}
