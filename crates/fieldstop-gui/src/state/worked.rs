//! An answer that takes a while: worked out on a thread, kept until the question changes.

use std::sync::Arc;

use crate::worker::{Job, JobState, Progress};

/// A question, its answer once there is one, and the job that is at it.
pub struct Worked<Q, A> {
    question: Option<Q>,
    answer: Option<Arc<A>>,
    job: Option<Job<Option<A>>>,
}

impl<Q, A> Default for Worked<Q, A> {
    fn default() -> Self {
        Self { question: None, answer: None, job: None }
    }
}

impl<Q: PartialEq, A: Send + Sync + 'static> Worked<Q, A> {
    /// Whether this very question was asked last.
    pub fn is_asked(&self, question: &Q) -> bool {
        self.question.as_ref() == Some(question)
    }

    /// Asks another question: what was being worked out for the last one is stopped.
    pub fn ask(
        &mut self,
        question: Q,
        label: &str,
        ctx: &egui::Context,
        work: impl FnOnce(&Progress) -> Option<A> + Send + 'static,
    ) {
        self.stop();
        let ctx = ctx.clone();
        self.question = Some(question);
        self.job = Some(Job::start(label, work, move || ctx.request_repaint()));
    }

    /// Forgets the answer, which is no longer one.
    pub fn forget(&mut self) {
        self.stop();
        self.question = None;
        self.answer = None;
        self.job = None;
    }

    /// Takes the answer if it has come; true if it did.
    pub fn collect(&mut self) -> bool {
        let Some(job) = &self.job else { return false };
        match job.poll() {
            JobState::Running => return false,
            JobState::Done(answer) => self.answer = answer.map(Arc::new).or(self.answer.take()),
            JobState::Lost => {}
        }
        self.job = None;
        true
    }

    /// The answer to the last question, or while that is worked out to the one before.
    pub fn answer(&self) -> Option<&Arc<A>> {
        self.answer.as_ref()
    }

    /// What is being worked out and how far it is.
    pub fn progress(&self) -> Option<(&str, f32)> {
        self.job.as_ref().map(|job| (job.label.as_str(), job.progress.share()))
    }

    /// Stops the job at its next report.
    pub fn stop(&self) {
        if let Some(job) = &self.job {
            job.progress.cancel();
        }
    }
}

impl<Q, A> Drop for Worked<Q, A> {
    /// Nobody waits for the answer any more.
    fn drop(&mut self) {
        if let Some(job) = &self.job {
            job.progress.cancel();
        }
    }
}

#[cfg(test)]
mod tests {
    use std::thread;
    use std::time::Duration;

    use super::*;

    fn wait<A: Send + Sync + 'static>(worked: &mut Worked<u32, A>) {
        while !worked.collect() {
            thread::sleep(Duration::from_millis(1));
        }
    }

    #[test]
    fn an_answer_stays_until_the_next_one_is_there() {
        let (ctx, mut worked) = (egui::Context::default(), Worked::default());
        worked.ask(1, "double", &ctx, |_| Some(2));
        assert!(worked.answer().is_none() && worked.is_asked(&1) && worked.progress().is_some());
        wait(&mut worked);
        worked.ask(4, "double", &ctx, |_| Some(8));
        assert_eq!(worked.answer().map(|answer| **answer), Some(2));
        wait(&mut worked);
        assert_eq!(worked.answer().map(|answer| **answer), Some(8));
    }

    #[test]
    fn a_stopped_job_leaves_the_question_without_an_answer() {
        let (ctx, mut worked) = (egui::Context::default(), Worked::<u32, u32>::default());
        worked.ask(1, "endless", &ctx, |progress| {
            while progress.report(0.5) {
                thread::sleep(Duration::from_millis(1));
            }
            None
        });
        worked.stop();
        wait(&mut worked);
        assert!(worked.answer().is_none() && worked.progress().is_none() && worked.is_asked(&1));
    }
}
