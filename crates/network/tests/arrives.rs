//! Heights to arrive at, exactly or on one side: what is to spare, what misses, which slopes fit.

mod support;

use support::{INCH, built, codes, near};
use wyeline_network::model::{Fit, Limit};
use wyeline_network::{Built, report, to_json};

/// 8 ft from -12 in at 1/4 in per ft: the far end lies at -10.
fn drain(arrives: &str) -> Built {
    built(&format!(
        "level main floor 0'\nwaste d\nstart 0',0' datum -12\"\nsize 3\"\nmaterial pvc\nslope 1/4 in per ft\neast 8'\narrives {arrives}\ncap\n"
    ))
}

fn fit(built: &Built) -> &Fit {
    &built.network.runs[0].fits[0]
}

/// At or below -9: an inch to spare, and (12 - 9) / 96 = 1/32 would just fit.
#[test]
fn room_to_spare_below() {
    let found = drain("at-or-below datum -9\"");
    assert_eq!(codes(&found), [""; 0]);
    near(fit(&found).spare_mm() / INCH, 1.0, 1e-9);
    near(fit(&found).available, 3.0 / 96.0, 1e-12);
    assert_eq!(fit(&found).limit, Some(Limit::Steepest));
    let text = report(&found.network);
    assert!(
        text.contains("  d:1: fits with 1\" to spare; at most 0.375 in per ft over 8'-0\"\n"),
        "{text}"
    );
    let json = &to_json(&found.network)["runs"][0]["fits"][0];
    assert_eq!(
        (&json["bound"], &json["limit"]),
        (&"at-or-below".into(), &"steepest".into())
    );
    assert_eq!(json["spare"], 25.4);
}

/// At or below -10-1/2: half an inch too high; 1-1/2 over 96, 0.1875 in per ft, is the steepest that fits.
#[test]
fn too_high() {
    let found = drain("at-or-below datum -10-1/2\"");
    assert_eq!(codes(&found), ["misses-height"]);
    assert_eq!(
        found.diagnostics[0].message,
        "misses by 1/2\": arrives too high"
    );
    assert_eq!(
        found.diagnostics[0].help.as_deref(),
        Some("a slope of 0.188 in per ft over 8'-0\", or a flatter one, would meet it")
    );
    near(fit(&found).spare_mm() / INCH, -0.5, 1e-9);
    let text = report(&found.network);
    assert!(
        text.contains("  d:1: misses by 1/2\"; at most 0.188 in per ft"),
        "{text}"
    );
}

/// At or above -9: an inch too low, and 3 over 96 is the flattest that fits. Above -11 there is an inch to spare,
/// and half the slope would do.
#[test]
fn at_or_above() {
    let found = drain("at-or-above datum -9\"");
    assert_eq!(
        found.diagnostics[0].message,
        "misses by 1\": arrives too low"
    );
    assert_eq!(
        found.diagnostics[0].help.as_deref(),
        Some("a slope of 0.375 in per ft over 8'-0\", or a steeper one, would meet it")
    );
    let found = drain("at-or-above datum -11\"");
    assert_eq!(codes(&found), [""; 0]);
    near(fit(&found).spare_mm() / INCH, 1.0, 1e-9);
    near(fit(&found).available, 1.0 / 96.0, 1e-12);
    assert_eq!(fit(&found).limit, Some(Limit::Flattest));
}

/// Below where the drain began no slope fits a height above which it may not lie; any fits one it may not lie below.
#[test]
fn heights_beyond_the_start() {
    assert_eq!(codes(&drain("at-or-below datum -13\"")), ["drain-uphill"]);
    let found = drain("at-or-above datum -13\"");
    assert_eq!(codes(&found), [""; 0]);
    let text = report(&found.network);
    assert!(text.contains("  d:1: fits with 3\" to spare\n"), "{text}");
}

/// The top of the pipe, 3.500 / 2 above its centre, is what has to stay below a joist: -10 + 1.75 = -8.25.
#[test]
fn a_bound_of_the_top() {
    near(
        fit(&drain("at-or-below top datum -8\"")).spare_mm() / INCH,
        0.25,
        1e-9,
    );
    assert_eq!(
        codes(&drain("at-or-below top datum -8-1/2\"")),
        ["misses-height"]
    );
}

/// Told without a bound the height is exact, and is missed to either side.
#[test]
fn exactly() {
    for (height, message) in [
        ("datum -9\"", "misses by 1\": arrives too low"),
        ("datum -11\"", "misses by 1\": arrives too high"),
    ] {
        assert_eq!(drain(height).diagnostics[0].message, message);
    }
    assert_eq!(fit(&drain("datum -10\"")).limit, None);
    near(fit(&drain("datum -11\"")).spare_mm() / INCH, -1.0, 1e-9);
}

/// Where crowns meet at a change of size the pipe steps up by half the difference of the bores, (4.026 - 3.068) / 2 =
/// 0.479: that is no part of what the slope has to give. 8 ft at 1/4 in per ft give 2.
#[test]
fn a_step_at_a_change_of_size_is_not_slope() {
    let found = built(
        "level main floor 0'\nwaste d\nstart 0',0' datum -12\"\nsize 4\"\nmaterial pvc\nslope 1/4 in per ft\neast 4'\n\
         size 3\" crowns\neast 4'\narrives at-or-below datum -9\"\ncap\n",
    );
    near(fit(&found).got_mm / INCH, -10.0 + 0.479, 1e-9);
    near(fit(&found).available, (3.0 - 0.479) / 96.0, 1e-12);
}

/// A vent told down from the open air falls as told: from 7 ft, 4 ft at 1/4 in per ft to 6 ft 11. To arrive at or
/// below 6 ft 10 it has to lose 2 in 48, or more.
#[test]
fn a_vent_told_from_the_air() {
    let found = built(
        "level main floor 0'\nroof 9'\nwaste s\nstart 0',0' datum\nup 3'\npoint TOP\n\
         vent v\nstart 4',0' datum +7'\nslope 1/4 in per ft\nwest 4'\narrives at-or-below datum +6'10\"\njoin TOP\n",
    );
    assert_eq!(codes(&found), ["misses-height"]);
    let fit = &found.network.runs[1].fits[0];
    near(fit.available, 2.0 / 48.0, 1e-12);
    assert_eq!(fit.limit, Some(Limit::Flattest));
}
