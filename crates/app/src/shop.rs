//! What every request needs: the open jobs, who may ask, and a turn to work something out.

use std::sync::Arc;
use std::time::Duration;

use tokio::sync::Semaphore;

use crate::desk::Desk;
use crate::guard::Guard;
use crate::open::Open;
use crate::refusal::Refusal;

/// So much is worked out at once; the rest waits its turn. Our own choice, for two cores and more.
const AT_ONCE: usize = 4;
/// Longest wait for a turn.
const PATIENCE: Duration = Duration::from_secs(20);

/// What every request needs.
#[derive(Clone)]
pub struct Shop {
    /// The open jobs.
    pub desk: Arc<Desk>,
    /// Who may ask.
    pub guard: Guard,
    /// Nothing can be changed from here.
    pub read_only: bool,
    /// The job that the first page opens.
    pub first: Option<String>,
    turns: Arc<Semaphore>,
}

impl Shop {
    /// A shop on a desk.
    pub fn new(desk: Arc<Desk>, guard: Guard, read_only: bool, first: Option<String>) -> Self {
        Self {
            desk,
            guard,
            read_only,
            first,
            turns: Arc::new(Semaphore::new(AT_ONCE)),
        }
    }

    /// Whether a job may be seen from here: readers see the one that is shown to them.
    fn shows(&self, id: &str) -> Result<(), Refusal> {
        if self.read_only && self.first.as_deref() != Some(id) {
            return Err(Refusal::missing(format!("there is no job {id} here")));
        }
        Ok(())
    }

    /// Works something out about a job.
    pub(crate) async fn job<T: Send + 'static>(
        &self,
        id: String,
        work: impl FnOnce(&Arc<Open>) -> Result<T, Refusal> + Send + 'static,
    ) -> Result<T, Refusal> {
        self.shows(&id)?;
        self.work(move |desk| work(&desk.job(&id)?)).await
    }

    /// Works something out off the server's threads, when its turn has come.
    pub(crate) async fn work<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Desk) -> Result<T, Refusal> + Send + 'static,
    ) -> Result<T, Refusal> {
        let turn = tokio::time::timeout(PATIENCE, self.turns.clone().acquire_owned());
        let turn = turn
            .await
            .ok()
            .and_then(Result::ok)
            .ok_or_else(Refusal::busy)?;
        let desk = self.desk.clone();
        let done = tokio::task::spawn_blocking(move || {
            let _turn = turn;
            work(&desk)
        });
        done.await.unwrap_or_else(|_| {
            Err(Refusal::wrong(
                "that went wrong, by a fault of ours".to_owned(),
            ))
        })
    }
}
