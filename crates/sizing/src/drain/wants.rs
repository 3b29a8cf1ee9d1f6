//! What is asked of the size of one pipe, by what, and what is settled; and what flows into each node.
//!
//! In: sizes asked for by tables, least sizes and pipes upstream. Out: the largest of them with its reason, which stands beside the
//! size that the job states.

use wyeline_codes::Cite;
use wyeline_network::Network;
use wyeline_network::model::{Pipe, PipeIx};
use wyeline_units::Size;

use super::pick::Picked;
use crate::model::{Governs, Sized};
use crate::ranks::{larger, rank, stated};

/// A size asked for, and by what.
pub(crate) type Want = (Size, Governs);

/// Collects what is asked of one drain.
#[derive(Default)]
pub(crate) struct Wants {
    best: Option<Want>,
    /// Everything that was asked, where somebody wants to know.
    all: Option<Vec<Want>>,
}

impl Wants {
    /// Keeps everything that is asked, for a derivation.
    pub fn recording() -> Self {
        Self {
            best: None,
            all: Some(Vec::new()),
        }
    }
    /// Everything that was asked, in order.
    pub fn all(&self) -> &[Want] {
        self.all.as_deref().unwrap_or_default()
    }
    /// The larger is kept; of two alike the one that was first.
    pub fn add(&mut self, size: Size, governs: impl FnOnce() -> Governs) {
        if let Some(all) = &mut self.all {
            let governs = governs();
            all.push((size, governs.clone()));
            if self
                .best
                .as_ref()
                .is_none_or(|(best, _)| rank(size) > rank(*best))
            {
                self.best = Some((size, governs));
            }
            return;
        }
        let larger = self
            .best
            .as_ref()
            .is_none_or(|(best, _)| rank(size) > rank(*best));
        if larger {
            self.best = Some((size, governs()));
        }
    }
    /// A line of a table.
    pub fn table(&mut self, picked: Picked) {
        let Picked {
            size,
            allows,
            carries,
            unit,
            cite,
        } = picked;
        self.add(size, || Governs::Table {
            cite,
            allows,
            carries,
            unit,
        });
    }
    /// A least size.
    pub fn least(&mut self, least: Option<(Size, Cite)>, why: &'static str) {
        if let Some((size, cite)) = least {
            self.add(size, || Governs::Least { cite, why });
        }
    }
    /// The size asked for so far.
    pub fn size(&self) -> Option<Size> {
        self.best.as_ref().map(|(size, _)| *size)
    }
    /// What all ask together.
    pub fn take(self) -> Option<Want> {
        self.best
    }
}

/// The largest pipe that flows into each node, with what it is; and the sizes that loads alone require.
pub(crate) struct Inflow {
    largest: Vec<Option<(Size, PipeIx)>>,
    /// For each node, the largest size required of a pipe flowing in.
    at_node: Vec<Option<Size>>,
    /// For each pipe.
    required: Vec<Option<Size>>,
}

impl Inflow {
    pub fn new(network: &Network) -> Self {
        Self {
            largest: vec![None; network.nodes.len()],
            at_node: vec![None; network.nodes.len()],
            required: vec![None; network.pipes.len()],
        }
    }
    /// For each pipe, the size that its load and the loads upstream require.
    pub fn required(self) -> Vec<Option<Size>> {
        self.required
    }
    /// Notes what a pipe's own load requires.
    pub fn require(&mut self, network: &Network, ix: PipeIx, own: Option<Size>) {
        let pipe = network.pipe(ix);
        let above = self.at_node[pipe.from.0 as usize];
        let size = own.into_iter().chain(above).reduce(larger);
        self.required[ix.0 as usize] = size;
        let below = &mut self.at_node[pipe.to.0 as usize];
        *below = below.iter().copied().chain(size).reduce(larger);
    }
    /// The largest pipe flowing in at the upstream end of a pipe.
    pub fn at(&self, pipe: &Pipe) -> Option<(Size, PipeIx)> {
        self.largest[pipe.from.0 as usize]
    }
    /// Hands a pipe's size on downstream.
    pub fn pass(&mut self, network: &Network, ix: PipeIx, size: Option<Size>) {
        let slot = &mut self.largest[network.pipe(ix).to.0 as usize];
        if let Some(size) = size
            && slot.is_none_or(|(known, _)| rank(size) > rank(known))
        {
            *slot = Some((size, ix));
        }
    }
}

/// Records the result for a pipe: the least size, and the size it has.
pub(crate) fn settle(network: &Network, sized: &mut Sized, ix: PipeIx, want: Option<Want>) {
    let stated = stated(network.pipe(ix));
    let result = &mut sized.pipes[ix.0 as usize];
    result.stated = stated.is_some();
    match want {
        Some((size, governs)) => {
            result.needed = Some(size);
            result.governs = governs;
        }
        None if result.stated => result.governs = Governs::Stated,
        None => {}
    }
    result.size = stated.or(result.needed);
}
