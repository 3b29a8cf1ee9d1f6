//! Loads, flows, sizes, pressures and waits of water, each against figures from outside or derived in sight.

mod water_support;

use water_support::{FOOT, GPM, HEAD, PSI, line, size, size_anyhow};
use wyeline_sizing::{Governs, Role};

fn near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found} where {expected} was expected"
    );
}

/// Two general hydraulics libraries give 7.17735 psi for 8 gpm through 100 ft of 3/4 in type L copper at 10 C.
#[test]
fn what_is_left_is_the_supply_less_friction() {
    let text = line(
        100,
        "supply pressure 55 psi\n",
        "  size 3/4\"\n  material copper",
        "8",
    );
    let done = size("ipc-2021", &text);
    near(
        done.pipe("c/HB1/1").water.unwrap().loss_pa / PSI,
        7.177_35,
        0.002,
    );
    near(
        done.fixture("HB1").residual_pa[0].unwrap() / PSI,
        55.0 - 7.177_35,
        0.002,
    );
}

/// 23.1 ft of rise take 10 psi (9.8 kPa a metre, IPC E103.2.2: 0.433 psi a foot); the pressure was measured 23.1 ft lower.
#[test]
fn height_counts_from_where_the_pressure_was_measured() {
    let at = "supply pressure 55 psi at main floor -21.6'\n";
    let low = size(
        "ipc-2021",
        &line(1, at, "  size 2\"\n  material copper", "0.1"),
    );
    near(
        low.fixture("HB1").residual_pa[0].unwrap() / PSI,
        55.0 - 23.1 * 0.433_2,
        0.02,
    );
}

const BATH: &str = "
fixture WC1  water-closet main 10',0' faces north
fixture LAV1 lavatory     main 14',0' faces north
fixture TUB1 bathtub      main 20',4' faces west
fixture WH1  water-heater main 4',-4' faces north
cold c
  start 0',-2' main floor -1'
  east  to abreast WH1.cold
  catch WH1.cold
  east  to abreast WC1.cold
  catch WC1
  east  to abreast LAV1.cold
  catch LAV1
  east  to abreast TUB1.cold
  end   TUB1
hot h
  start WH1.hot
  up    1'
  east  to abreast LAV1.hot
  catch LAV1
  east  to abreast TUB1.hot
  end   TUB1
";

/// IPC Table E103.3(2): tank closet 2.2, lavatory 0.7 (0.5 hot), bath 1.4 (1.0 hot). The service feeds all of it: 4.3, read
/// at the row of 5: 9.4 gpm. The heater feeds 1.5, read at 2: 5 gpm. Cold behind the heater's branch: 2.2 + 0.5 + 1.0 = 3.7, read at 4: 8 gpm.
#[test]
fn a_pipe_that_feeds_both_taps_carries_the_total() {
    let done = size("ipc-2021", &format!("{HEAD}{BATH}"));
    let service = done.pipe("c/1");
    assert_eq!(service.role, Role::Service);
    near(service.load.water[2], 4.3, 1e-9);
    near(service.load.water[0], 3.7, 1e-9);
    near(service.load.water[1], 1.5, 1e-9);
    near(done.gpm("c/1"), 9.4, 1e-9);
    near(done.gpm("c/WH1/1"), 5.0, 1e-9);
    near(done.pipe("c/2").load.water[2], 3.7, 1e-9);
    near(done.gpm("c/2"), 8.0, 1e-9);
}

/// Between the rows 4 (8.0 gpm) and 5 (9.4): 4.3 gives 8.0 + 0.3 x 1.4 = 8.42 gpm.
#[test]
fn demand_between_rows_where_the_job_says_so() {
    let done = size(
        "ipc-2021",
        &format!("{HEAD}method demand interpolated\n{BATH}"),
    );
    near(done.gpm("c/1"), 8.42, 1e-9);
}

/// The work sheet of IPC Appendix E reads 288, 264 and 132 wsfu with flushometers as 108.0, 104.5 and 77.0 gpm.
#[test]
fn flushometers_are_read_in_their_own_column() {
    for (units, gpm) in [(288, 108.0), (264, 104.5), (132, 77.0)] {
        let rest = units - 10;
        let text = format!(
            "{HEAD}fixture WC1 water-closet main 10',4' faces south use public flushometer\n\
             cold c\n  start 0',0' main floor -1'\n  east to abreast WC1.cold\n  catch WC1\n  east 5'\n  continues \"on\" load {rest} wsfu\n"
        );
        let done = size("ipc-2021", &text);
        near(done.gpm("c/1"), gpm, 0.05);
    }
}

/// A two-unit house in a worked question: 68.5 wsfu, 34.6 gpm by the tank column between rows; 8 ft/s allow 1-1/4 in
/// (1.265 in: 8.8 ft/s is too fast) only up to 31 gpm, so 1-1/2 in.
#[test]
fn velocity_sizes_a_service() {
    let text = format!(
        "{HEAD}method demand interpolated\ncold c\n  start 0',0' main floor -1'\n  material copper\n  east 50'\n  continues \"on\" load 68.5 wsfu\n"
    );
    let done = size("ipc-2021", &text);
    near(done.gpm("c/1"), 34.6, 0.06);
    assert_eq!(done.needed("c/1"), "1-1/2\"");
    assert!(matches!(done.pipe("c/1").governs, Governs::Velocity { .. }));
}

/// IPC 603.1: no service under 3/4 in, however little it carries.
#[test]
fn a_service_has_a_least_size() {
    let text = format!(
        "{HEAD}cold c\n  start 0',0' main floor -1'\n  east 50'\n  continues \"on\" load 1 wsfu\n"
    );
    let done = size("ipc-2021", &text);
    assert_eq!(done.needed("c/1"), "3/4\"");
}

/// Table 604.5: a flushometer closet hangs on 1 in, and so does what feeds it.
#[test]
fn a_fixtures_least_supply_holds() {
    let text = format!(
        "{HEAD}fixture WC1 water-closet main 10',4' faces south flushometer\ncold c\n  start 0',0' main floor -1'\n  east to abreast WC1.cold\n  end WC1\n"
    );
    let done = size("ipc-2021", &text);
    // 25 gpm (Table 604.3) in 1 in type L would run at 9.7 ft/s: the limit of 8 asks for 1-1/4 in.
    assert_eq!(done.needed("c/1"), "1-1/4\"");
    let tank = text.replace(" flushometer", "");
    assert_eq!(size("ipc-2021", &tank).needed("c/WC1/2"), "3/8\"");
}

/// By velocity alone 8 gpm go through 3/4 in; over 400 ft that costs 4 x 7.18 = 28.7 psi, and 30 psi less 8 leave 22.
#[test]
fn want_of_pressure_makes_a_pipe_larger() {
    let free = size("ipc-2021", &line(400, "", "  material copper", "8"));
    assert_eq!(free.needed("c/HB1/1"), "3/4\"");
    let short = size(
        "ipc-2021",
        &line(400, "supply pressure 30 psi\n", "  material copper", "8"),
    );
    assert_eq!(short.needed("c/HB1/1"), "1\"");
    assert!(matches!(
        short.pipe("c/HB1/1").governs,
        Governs::Pressure { .. }
    ));
    let result = short.fixture("HB1");
    assert!(result.residual_pa[0] >= result.needs_pa);
}

/// Behind a valve set to 60 psi there is no more, running or standing; 100 psi stand before it.
#[test]
fn a_reducing_valve_holds_its_setting() {
    let pipe = "  size 3/4\"\n  material copper\n  east 2'\n  pressure-reducing-valve PRV1 set 60 psi loses 0 psi";
    let text = line(
        10,
        "supply pressure 90 psi\nsupply pressure 100 psi static\n",
        pipe,
        "1",
    );
    let done = size("ipc-2021", &text);
    near(
        done.pipe("c/1").water.unwrap().standing_pa.unwrap() / PSI,
        100.0,
        1e-6,
    );
    near(
        done.fixture("HB1").standing_pa[0].unwrap() / PSI,
        60.0,
        1e-6,
    );
    let left = done.fixture("HB1").residual_pa[0].unwrap() / PSI;
    assert!(left < 60.0 && left > 59.9, "{left}");
}

/// A meter of 3/4 in costs 15 psi at 30 gpm (AWWA C700), with the square of the flow: at 8 gpm 15 x (8/30)^2 = 1.07 psi.
#[test]
fn a_meter_costs_by_the_square_of_the_flow() {
    let with = "  size 3/4\"\n  material copper\n  east 2'\n  meter M1";
    let done = size(
        "ipc-2021",
        &line(100, "supply pressure 55 psi\n", with, "8"),
    );
    near(
        done.fixture("HB1").residual_pa[0].unwrap() / PSI,
        55.0 - 7.177 - 1.067,
        0.005,
    );
}

/// A stated loss goes before any assumption, and only what was assumed is listed.
#[test]
fn stated_losses_are_taken_as_stated() {
    let device = |loses: &str| {
        let pipe =
            format!("  size 3/4\"\n  material copper\n  east 2'\n  backflow-preventer BFP {loses}");
        size(
            "ipc-2021",
            &line(100, "supply pressure 55 psi\n", &pipe, "8"),
        )
    };
    let stated = device("loses 9 psi");
    near(
        stated.fixture("HB1").residual_pa[0].unwrap() / PSI,
        55.0 - 7.177 - 9.0,
        0.005,
    );
    let lists = |done: &water_support::Done| {
        let assumed = &done.water().conditions.assumed;
        assumed
            .iter()
            .any(|one| one.what.contains("backflow-preventer"))
    };
    assert!(!lists(&stated));
    assert!(lists(&device("")));
}

/// An article reckons 60 ft of 3/4 in and 10 ft of 1/2 in type M as 1.742 gal, which run off at 2.2 gpm in 47 s.
#[test]
fn hot_water_is_waited_for() {
    let text = format!(
        "{HEAD}fixture WH1 water-heater main 0',0' faces east
fixture LAV1 lavatory main 70',-4\" faces east hot left 0\" up 60\" flow 2.2 gpm
hot h
  start WH1.hot
  material copper-m
  size  3/4\"
  east  60'
  size  1/2\"
  end   LAV1
"
    );
    let done = size("ipc-2021", &text);
    let lav = done.fixture("LAV1");
    near(lav.hot_length_mm.unwrap() / FOOT, 70.0, 1e-6);
    near(lav.hot_volume_l.unwrap() / 3.785_411_784, 1.742, 0.0005);
    near(lav.hot_wait.unwrap().0, 47.5, 0.5);
    assert!(!lav.hot_from_loop);
    assert!(done.says("no cold pipe feeds WH1"));
}

/// 100 ft of bare 3/4 in tube (0.875 in outside) lose pi D h dT = pi x 0.02223 x 10 x (60 - 20) = 27.9 W/m, together 851 W;
/// 5 K of cooling ask for 851/(983.2 x 4184 x 5) m3/s = 0.0414 l/s. From the end of the loop it is 10 ft to the tap.
#[test]
fn a_circulation_makes_up_for_the_heat_it_loses() {
    let text = format!(
        "{HEAD}fixture WH1 water-heater main 0',0' faces east
fixture LAV1 lavatory main 110',-4\" faces east hot left 0\" up 60\"
hot h
  start WH1.hot
  material copper
  size  3/4\"
  east  100'
  point FAR
  end   LAV1
hot-return r
  start FAR
  material copper
  down  1'
  west  to abreast WH1.return
  end   WH1.return
"
    );
    let done = size("ipc-2021", &text);
    let heater = &done.water().heaters[0];
    near(heater.circulation_heat_w, 851.0, 1.0);
    near(heater.circulation_lps, 0.0414, 0.0001);
    assert!(heater.circulation_head_pa > 0.0);
    let lav = done.fixture("LAV1");
    assert!(lav.hot_from_loop);
    near(lav.hot_length_mm.unwrap() / FOOT, 10.0, 1e-6);
    assert_eq!(done.pipe("r/1").role, Role::HotReturn);
    near(
        done.pipe("r/1").load.flow_lps.unwrap(),
        heater.circulation_lps,
        1e-12,
    );
}

/// A check valve before the heater keeps swelling water from going back to the street.
#[test]
fn a_closed_heater_asks_for_an_expansion_tank() {
    let open = size("ipc-2021", &format!("{HEAD}supply pressure 60 psi\n{BATH}"));
    assert_eq!(open.water().heaters[0].closed_by, None);
    let shut = BATH.replace(
        "  start 0',-2' main floor -1'\n",
        "  start 0',-2' main floor -1'\n  east 1'\n  check-valve\n",
    );
    let closed = size("ipc-2021", &format!("{HEAD}supply pressure 60 psi\n{shut}"));
    let heater = &closed.water().heaters[0];
    assert!(heater.closed_by.is_some() && !heater.tank_there);
    // 50 gal from 10 to 60 C swell by 999.7/983.2 - 1 = 1.68 %: 3.18 l.
    near(heater.tank.unwrap().acceptance_l, 3.18, 0.01);
}

/// The rows of a budget lead from the supply to what is left, one pipe after the other.
#[test]
fn the_budget_adds_up() {
    let done = size("ipc-2021", &format!("{HEAD}supply pressure 60 psi\n{BATH}"));
    let budget = done.water().governing.clone().unwrap();
    let spent: f64 = budget
        .rows
        .iter()
        .map(|row| row.reduced_pa + row.height_pa + row.devices_pa + row.friction_pa)
        .sum();
    near(budget.supply_pa - spent, budget.residual_pa, 1e-6);
    let fixture = &done.sized.fixtures[budget.fixture.0 as usize];
    near(
        fixture.residual_pa[usize::from(budget.hot)].unwrap(),
        budget.residual_pa,
        1e-6,
    );
    for tag in ["WC1", "LAV1", "TUB1"] {
        for hot in [false, true] {
            let ix = done.fixture_ix(tag);
            if let Some(other) =
                wyeline_sizing::water::budget(&done.job, &done.network, done.pack, ix, hot)
            {
                assert!(other.spare_pa() >= budget.spare_pa() - 1e-6, "{tag}");
            }
        }
    }
}

/// Without a pressure nothing is guessed: sizes by velocity, no residuals, and it is said.
#[test]
fn an_unknown_pressure_is_not_guessed() {
    let done = size("ipc-2021", &format!("{HEAD}{BATH}"));
    assert!(done.says("the pressure of the supply is not stated"));
    assert_eq!(done.fixture("TUB1").residual_pa, [None, None]);
    assert_eq!(done.water().governing, None);
    assert_eq!(done.needed("c/1"), "3/4\"");
}

/// 5 gpm that run on are added after the units are turned into flow: 4.3 wsfu give 9.4, together 14.4 gpm.
#[test]
fn a_continuous_draw_is_added_as_flow() {
    let more = format!("{HEAD}{BATH}").replace(
        "  end   TUB1\nhot",
        "  catch TUB1\n  east 5'\n  continues \"on\" load 5 gpm\nhot",
    );
    let done = size("ipc-2021", &more);
    near(done.pipe("c/1").load.continuous_lps / GPM, 5.0, 1e-6);
    near(done.gpm("c/1"), 14.4, 1e-6);
}

/// A loop, a second feed, hot water from nowhere, pipe without known bores: told, never followed for ever.
#[test]
fn what_is_no_tree_is_told() {
    let circle = format!(
        "{HEAD}cold c\n  start 0',0' main floor +1'\n  east 10'\n  point A\n  east 10'\n  north 10'\n  west 10'\n  join A\n"
    );
    assert!(size_anyhow("ipc-2021", &circle).says("fed already"));
    let hot = format!(
        "{HEAD}fixture LAV1 lavatory main 10',0' faces north\nhot h\n  start 0',-2' main floor -1'\n  east to abreast LAV1.hot\n  end LAV1\n"
    );
    assert!(size_anyhow("ipc-2021", &hot).says("hot water begins here"));
    let glass = line(
        10,
        "supply pressure 50 psi\n",
        "  size 1\"\n  material multilayer",
        "2",
    );
    assert!(size_anyhow("ipc-2021", &glass).says("the bores of multilayer pipe are not known"));
}

/// The derivation names the taps with their units, the flow, what decided, and what is left; one step governs.
#[test]
fn a_pipe_says_why() {
    let done = size("ipc-2021", &format!("{HEAD}supply pressure 60 psi\n{BATH}"));
    let ix = done.pipe_ix("c/1");
    let steps = wyeline_sizing::water::why(&done.job, &done.network, done.pack, &done.sized, ix);
    let text: Vec<&str> = steps.iter().map(|step| step.text.as_str()).collect();
    let text = text.join("\n");
    for words in [
        "feeds 3 fixtures",
        "WC1 cold 2.2 wsfu",
        "LAV1 0.7 wsfu",
        "together 4.3 wsfu",
        "9.4 gpm",
        "the limit is 8.0 ft/s",
        "is left at its end",
    ] {
        assert!(text.contains(words), "{words} is missing in:\n{text}");
    }
    assert_eq!(steps.iter().filter(|step| step.governs).count(), 1);
    let demand = steps
        .iter()
        .find(|step| step.text.contains("likely peak"))
        .unwrap();
    assert!(demand.cite.as_ref().unwrap().place.contains("E103.3(3)"));
}
