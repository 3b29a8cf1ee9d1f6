//! Where a vent ends.

use wyeline_job::model::System;
use wyeline_network::model::{NodeKind, PipeIx};

use super::facts::choice;
use super::{Asking, At, Kind, Question};

/// What a vent's far end can be.
const ENDS: [&str; 4] = [
    "in the open air above the roof",
    "in another vent",
    "in a drain",
    "at a cap",
];

/// Asks what stands at the end of a vent pipe that lies away from the drain.
pub(super) fn ask(asking: &mut Asking) -> Option<Question> {
    let facts = asking.facts;
    let network = facts.network;
    let mut candidates: Vec<(At, (PipeIx, usize))> = Vec::new();
    for (ix, pipe) in facts
        .plain()
        .filter(|(_, pipe)| pipe.system == System::Vent)
    {
        let end = network.node(pipe.to);
        let goes_on = end
            .pipes
            .iter()
            .filter(|&&other| other != ix && network.pipe(other).system == System::Vent)
            .count();
        let right = match &end.kind {
            NodeKind::RoofEnd => 0,
            // The vent whose pipes go through there is another's only where this one comes in from the side.
            NodeKind::Junction if goes_on >= 2 && joins(asking, ix) => 1,
            NodeKind::Cap => 3,
            _ => continue,
        };
        candidates.push((At::Pipe(ix), (ix, right)));
    }
    let (at, (ix, right)) = asking.pick(Kind::Vent, candidates)?;
    let about = asking.letters(&[at])?;
    let letter = about[0].letter;
    let height = network.node(network.pipe(ix).to).at.z;
    let why = match right {
        0 => format!(
            "It goes through the roof and ends at {}.",
            facts.length(height)
        ),
        1 => format!(
            "At {} it comes into a vent that goes on to the open air.",
            facts.length(height)
        ),
        _ => "Its end is closed.".to_owned(),
    };
    let wrong: Vec<String> = ENDS
        .iter()
        .enumerate()
        .filter(|(n, _)| *n != right)
        .map(|(_, end)| (*end).to_owned())
        .collect();
    let answer = choice(ENDS[right], &wrong, asking.dice)?;
    Some(facts.question(
        Kind::Vent,
        format!("Where does vent pipe {letter} end, away from its drain?"),
        answer,
        why,
        about,
    ))
}

/// Whether a vent pipe comes into its far node from the side of a vent that goes straight on there.
fn joins(asking: &Asking, pipe: PipeIx) -> bool {
    let network = asking.facts.network;
    let meeting = network.meeting(network.pipe(pipe).to);
    meeting.is_some_and(|meeting| meeting.branches.contains(&pipe))
}
