//! Long work away from the window: one job a thread, with progress, cancel and a result to collect.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::thread;

/// What a job is told and tells while it runs.
#[derive(Clone, Default)]
pub struct Progress {
    permille: Arc<AtomicU32>,
    cancelled: Arc<AtomicBool>,
}

impl Progress {
    /// Says how far the job is, from 0 to 1; answers whether it is to go on.
    pub fn report(&self, share: f32) -> bool {
        self.permille.store((share.clamp(0.0, 1.0) * 1000.0) as u32, Ordering::Relaxed);
        !self.is_cancelled()
    }

    /// How far the job is, from 0 to 1.
    pub fn share(&self) -> f32 {
        self.permille.load(Ordering::Relaxed) as f32 / 1000.0
    }

    /// Asks the job to stop at its next report.
    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
    }

    /// Whether it was asked to stop.
    pub fn is_cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }
}

/// A job on its own thread.
pub struct Job<T> {
    /// What it is, as shown beside its progress.
    pub label: String,
    /// How far it is, and the way to stop it.
    pub progress: Progress,
    result: Receiver<T>,
}

/// How a job stands.
pub enum JobState<T> {
    /// Still at it.
    Running,
    /// Done, with its result.
    Done(T),
    /// Ended without a result: the job failed in a way it did not foresee.
    Lost,
}

impl<T: Send + 'static> Job<T> {
    /// Starts a job; `wake` is called once its result is there.
    pub fn start(
        label: impl Into<String>,
        work: impl FnOnce(&Progress) -> T + Send + 'static,
        wake: impl FnOnce() + Send + 'static,
    ) -> Self {
        let (sender, result) = channel();
        let progress = Progress::default();
        let told = progress.clone();
        thread::spawn(move || {
            let outcome = work(&told);
            // The window may have closed meanwhile; then nobody waits for the result.
            drop(sender.send(outcome));
            wake();
        });
        Self { label: label.into(), progress, result }
    }

    /// Looks whether it is done, without waiting.
    pub fn poll(&self) -> JobState<T> {
        match self.result.try_recv() {
            Ok(outcome) => JobState::Done(outcome),
            Err(TryRecvError::Empty) => JobState::Running,
            Err(TryRecvError::Disconnected) => JobState::Lost,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;

    fn wait<T: Send + 'static>(job: &Job<T>) -> Option<T> {
        loop {
            match job.poll() {
                JobState::Running => thread::sleep(Duration::from_millis(1)),
                JobState::Done(outcome) => return Some(outcome),
                JobState::Lost => return None,
            }
        }
    }

    #[test]
    fn a_job_hands_over_its_result() {
        let job = Job::start("sum", |progress| (progress.report(0.5), 6 * 7), || ());
        assert_eq!(wait(&job), Some((true, 42)));
        assert!((job.progress.share() - 0.5).abs() < 1e-6);
    }

    #[test]
    fn a_cancelled_job_stops_at_its_next_report() {
        let job = Job::start("endless", |progress| while progress.report(0.1) {}, || ());
        job.progress.cancel();
        assert!(wait(&job).is_some());
    }
}
