//! What was worked out before, kept by what it follows from: asked again in the same process, it is there at
//! once. How much is kept is bounded, and nothing but time depends on it.

use std::collections::VecDeque;
use std::convert::Infallible;
use std::sync::{Mutex, PoisonError};

/// The last answers, each with its question, newest last.
#[derive(Debug)]
pub(crate) struct Kept<Question, Answer> {
    most: usize,
    known: Mutex<VecDeque<(Question, Answer)>>,
}

impl<Question: PartialEq, Answer: Clone> Kept<Question, Answer> {
    /// Keeps at most so many answers, the newest.
    pub(crate) const fn new(most: usize) -> Self {
        Self { most, known: Mutex::new(VecDeque::new()) }
    }

    /// The answer to a question, worked out by `answer` unless it is known. `answer` must follow from the
    /// question alone.
    pub(crate) fn of(
        &self,
        question: Question,
        answer: impl FnOnce(&Question) -> Answer,
    ) -> Answer {
        let sure = |question: &Question| Ok::<_, Infallible>(answer(question));
        self.if_found(question, sure).unwrap_or_else(|never| match never {})
    }

    /// The same where `answer` may fail, for reasons that may be gone the next time: they are not kept.
    pub(crate) fn if_found<Reason>(
        &self,
        question: Question,
        answer: impl FnOnce(&Question) -> Result<Answer, Reason>,
    ) -> Result<Answer, Reason> {
        let known = || self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, answer)) = known().iter().rev().find(|(asked, _)| *asked == question) {
            return Ok(answer.clone());
        }
        // Others may ask meanwhile: the same question twice at once is answered twice, alike.
        let found = answer(&question)?;
        let mut known = known();
        if known.len() >= self.most {
            known.pop_front();
        }
        known.push_back((question, found.clone()));
        Ok(found)
    }
}
