//! The washroom that the language was designed around.

use wyeline_job::model::{Compass, Coord, PipePart, Reach, Rise, Start, StepKind, Surface, System};
use wyeline_job::read;
use wyeline_units::{Len, Size};

const WASHROOM: &str = include_str!("washroom.wye");

#[test]
fn the_washroom_reads_without_a_mistake() {
    assert_eq!(read(WASHROOM).diagnostics, []);
}

#[test]
fn everything_the_washroom_says_is_there() {
    let job = read(WASHROOM).job;
    assert_eq!(job.title.job.unwrap().text, "Heron Cottage, washroom");
    assert_eq!(job.code.unwrap().text, "ipc-2021");
    assert_eq!(job.levels.len(), 2);
    assert_eq!(job.levels[0].floor, Len::inches(-90)); // -(7 x 12 + 6)
    assert_eq!(
        job.levels[1].joists.as_ref().unwrap().depth,
        Len::sixty_fourths(9 * 64 + 16)
    ); // 9-1/4
    assert!(job.levels[1].joists.as_ref().unwrap().east_west);
    assert_eq!(job.roofs[0].height, Len::feet(12));
    assert_eq!(job.walls[0].points.len(), 5);
    assert_eq!(job.walls[0].points[2], (Len::feet(10), Len::inches(78)));
    assert_eq!(
        job.fixtures[0].at,
        (Coord::At(Len::ZERO), Coord::At(Len::inches(39)))
    );
    assert_eq!(job.fixtures[1].faces, Compass::South);
    let systems: Vec<System> = job.runs.iter().map(|run| run.system).collect();
    assert_eq!(systems, [System::Waste, System::Vent, System::Cold]);
}

#[test]
fn the_house_drain_is_told_step_by_step() {
    let drain = &read(WASHROOM).job.runs[0];
    assert_eq!(drain.steps.len(), 11);
    let StepKind::Start(Start::At { at, height }) = &drain.steps[0].kind else {
        panic!("no start")
    };
    assert_eq!(
        *at,
        (Coord::Wall(Compass::West), Coord::At(Len::inches(39)))
    );
    assert_eq!(height.offset, Len::inches(-9));
    assert_eq!(height.part, PipePart::Centre);
    assert!(matches!(&height.from, Surface::Floor(level) if level.text == "cellar"));
    assert!(matches!(
        drain.steps[1].kind,
        StepKind::Size {
            size: Size::Inch { eighths: 24 },
            ..
        }
    ));
    assert!(matches!(
        &drain.steps[3].kind,
        StepKind::Vertical {
            up: true,
            reach: Rise::To(_)
        }
    ));
    let StepKind::Level {
        way: Compass::East,
        reach: Reach::Abreast(port),
    } = &drain.steps[4].kind
    else {
        panic!("no move east")
    };
    assert_eq!(
        (
            port.name.text.as_str(),
            port.port.as_ref().unwrap().text.as_str()
        ),
        ("WC1", "drain")
    );
    assert!(
        matches!(&drain.steps[10].kind, StepKind::End { target, .. } if target.tag.text == "LAV1")
    );
}
