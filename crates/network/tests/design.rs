//! What a job says for sizes and checks reaches the network where its place matters.

use wyeline_job::model::{Insulation, Setting, Use};
use wyeline_network::Network;
use wyeline_network::model::NodeKind;
use wyeline_units::{Len, Pressure};

fn network(text: &str) -> Network {
    let reading = wyeline_job::read(text);
    assert_eq!(reading.diagnostics, [], "{text}");
    wyeline_network::build(&reading.job, text).network
}

const LEVELS: &str = "units ft-in\nlevel cellar floor -8'\nlevel main floor 0'\n";

/// 2 ft above a floor at -8 ft is -6 ft.
#[test]
fn the_height_of_each_supply_is_worked_out_where_it_is_told() {
    let net = network(&format!(
        "{LEVELS}supply pressure 55 psi at cellar floor +2'\nsupply pressure 70 psi static\n"
    ));
    assert_eq!(net.supplies_mm, [Some(-6.0 * 304.8), None]);
}

#[test]
fn a_device_keeps_its_setting_and_its_loss() {
    let net = network(&format!(
        "{LEVELS}cold c\n  start 0',0' main floor +1'\n  pressure-reducing-valve P set 60 psi loses 3 psi\n  east 5'\n  cap\n"
    ));
    let device = net.nodes.iter().find_map(|node| node.device.as_ref());
    let device = device.expect("a device");
    assert_eq!(device.setting, Some(Setting::Pressure(Pressure::psi(60.0))));
    assert_eq!(device.loses, Some(Pressure::psi(3.0)));
}

#[test]
fn insulation_holds_until_the_pipe_is_bare() {
    let net = network(&format!(
        "{LEVELS}hot h\n  start 0',0' main floor +1'\n  insulated 1\"\n  east 5'\n  north 5'\n  bare\n  east 5'\n  cap\n"
    ));
    let inch = Some(Insulation {
        thick: Some(Len::inches(1)),
    });
    let all: Vec<_> = net.pipes.iter().map(|pipe| pipe.insulation).collect();
    assert_eq!(all, [inch, inch, None]);
}

#[test]
fn what_goes_on_beyond_is_told_in_figures_too() {
    let net = network(&format!(
        "{LEVELS}hot h\n  start 0',0' main floor +1'\n  east 5'\n  continues \"up\" load 4.5 wsfu needs 20 psi\n"
    ));
    let beyond = net.nodes.iter().find_map(|node| match &node.kind {
        NodeKind::Continues { beyond, .. } => Some(beyond),
        _ => None,
    });
    let beyond = beyond.expect("an end that goes on");
    assert_eq!(beyond.load, Some((4.5, "wsfu".to_owned())));
    assert_eq!(beyond.needs, Some(Pressure::psi(20.0)));
}

/// A load in words that are no amount of pressure was never a mistake, and is none now.
#[test]
fn a_need_that_is_no_pressure_is_kept_as_words_alone() {
    let net = network(&format!(
        "{LEVELS}hot h\n  start 0',0' main floor +1'\n  east 5'\n  continues \"up\" needs 3 gpm\n"
    ));
    let found = net.nodes.iter().find_map(|node| match &node.kind {
        NodeKind::Continues { load, beyond, .. } => Some((load.clone(), beyond.needs)),
        _ => None,
    });
    assert_eq!(found, Some((Some("3 gpm".to_owned()), None)));
}

#[test]
fn a_fixtures_facts_come_along() {
    let net = network(&format!(
        "{LEVELS}fixture WC1 water-closet main 0',0' faces south use public flushometer\n"
    ));
    let facts = net.fixtures[0].facts;
    assert_eq!(facts.usage, Some(Use::Public));
    assert!(facts.flushometer);
}
