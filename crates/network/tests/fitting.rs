//! What a job says of materials and fittings reaches the pipes and nodes it is about.

mod support;

use support::{INCH, built, codes, near, network, node, pipe};
use wyeline_network::to_json;

/// A drain of 3 in whose invert is told, 10 ft long; `{}` stands for the job's and the run's own lines.
fn drain(job: &str, run: &str) -> String {
    format!(
        "level main floor 0'\n{job}waste d\nstart 0',0' invert datum -1'\nsize 3\"\n{run}slope 1/4 in per ft\n\
         east 10'\ncap\n"
    )
}

/// No-hub iron of 3 in has a bore of 2.96 in, Schedule 40 plastic one of 3.500 - 2 x 0.216 = 3.068 in (the pipe
/// table's sources): with the invert at -12 in the centre lies half of that higher.
#[test]
fn the_bore_follows_the_material_that_the_job_tells() {
    let told = network(&drain("material waste cast-iron\n", ""));
    assert_eq!(told.pipes[0].material.as_deref(), Some("cast-iron"));
    near(node(&told, "d:0").at.z / INCH, -12.0 + 2.96 / 2.0, 1e-9);
    let silent = network(&drain("", ""));
    assert_eq!(silent.pipes[0].material, None);
    near(node(&silent, "d:0").at.z / INCH, -12.0 + 3.068 / 2.0, 1e-9);
}

#[test]
fn a_material_that_is_told_is_not_assumed() {
    let doubts = |text: &str| -> usize {
        let network = network(text);
        let doubts = network.doubts.iter();
        doubts.filter(|d| d.text.contains("material")).count()
    };
    assert_eq!(doubts(&drain("", "")), 1);
    assert_eq!(doubts(&drain("material waste abs\n", "")), 0);
    assert_eq!(doubts(&drain("material vent abs\n", "")), 1);
}

#[test]
fn a_run_that_names_its_material_keeps_it() {
    let told = network(&drain("material waste abs\n", "material cast-iron\n"));
    assert_eq!(told.pipes[0].material.as_deref(), Some("cast-iron"));
}

/// The job's material holds wherever it stands, and in a run until the run names another.
#[test]
fn the_systems_material_holds_until_the_run_names_one() {
    let told = network(
        "level main floor 0'\ncold c\nstart 0',0' main floor\neast 5'\nmaterial pex\nnorth 5'\ncap\n\
         hot h\nstart 0',3' main floor\neast 5'\ncap\nmaterial cold copper-l\n",
    );
    let material = |id| pipe(&told, id).material.as_deref();
    assert_eq!(material("c/1"), Some("copper-l"));
    assert_eq!(material("c/2"), Some("pex"));
    assert_eq!(material("h/1"), None);
}

#[test]
fn the_branch_to_a_fixture_is_of_the_systems_material() {
    let told = network(
        "level main floor 0'\nmaterial waste abs\nfixture L lavatory main 5',5' faces south\n\
         waste d\nstart 0',5' main floor -1'\nsize 2\"\neast to abreast L.tee\nend L\n",
    );
    assert!(told.pipes.len() > 2);
    assert!(
        told.pipes
            .iter()
            .all(|pipe| pipe.material.as_deref() == Some("abs"))
    );
}

/// Told of two systems at once, an unknown name is one mistake.
#[test]
fn a_material_that_is_none_is_the_same_mistake_everywhere() {
    for line in [
        "material waste, vent pcv",
        "measured pcv 3\" long-sweep 4\"",
        "stock pcv 10'",
        "offcut pcv 3\" 4'",
        "kerf pcv 0",
        "spare 5 % for pcv",
    ] {
        let built = built(&drain(&format!("{line}\n"), ""));
        assert_eq!(codes(&built), ["unknown-material"], "{line}");
        let found = &built.diagnostics[0];
        assert_eq!(found.help.as_deref(), Some("did you mean `pvc`?"));
    }
}

#[test]
fn fittings_stand_at_the_point_where_they_are_told() {
    let told = network(
        "level main floor 0'\ncold c\nstart 0',0' main floor\neast 5'\nfitting elbow-45 elbow-45\n\
         up 5'\ncap\n",
    );
    assert_eq!(node(&told, "c:1").fitting, ["elbow-45", "elbow-45"]);
    let others = told.nodes.iter().filter(|node| node.id != "c:1");
    assert!(others.into_iter().all(|node| node.fitting.is_empty()));
    let json = to_json(&told);
    let nodes = json["nodes"].as_array().expect("nodes");
    let of = |id: &str| nodes.iter().find(|node| node["id"] == id).expect("a node");
    assert_eq!(
        of("c:1")["fitting"],
        serde_json::json!(["elbow-45", "elbow-45"])
    );
    assert!(of("c:0").get("fitting").is_none());
}

/// Two runs that meet at a point may both tell of it.
#[test]
fn what_two_runs_tell_of_one_point_stands_there_together() {
    let told = network(
        "level main floor 0'\ncold a\nstart 0',0' main floor\neast 5'\npoint P\nfitting tee\neast 5'\ncap\n\
         cold b\nstart P\nfitting bushing\nnorth 5'\ncap\n",
    );
    assert_eq!(node(&told, "a:1").fitting, ["tee", "bushing"]);
}
