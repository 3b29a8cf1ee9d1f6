//! What joints use up.

use super::*;

/// An elbow and a cap of 1/2 in copper: 3 joints of 0.75 lb a hundred, and 2 oz of flux to a pound.
#[test]
fn solder_and_flux() {
    let (_, taken) = house(
        "cold c\nstart 0',0' main floor +4'\nsize 1/2\"\nmaterial copper\neast 5'\nnorth 5'\ncap\n",
    );
    let solder = 3.0 * 0.75 / 100.0 * 0.453_592_37;
    near(sum(&taken, What::Solder), solder);
    near(sum(&taken, What::Flux), solder / 8.0);
    assert!(of(&taken, What::Solder)[0].estimated);
}

/// A bend and a cap of 3 in PVC: 3 joints, 40 to the quart of cement, 80 to that of primer; ABS takes no primer.
#[test]
fn cement_and_primer() {
    let run = |material: &str| {
        house(&format!(
            "waste s\nstart 0',0' upper floor +1'\nsize 3\"\nmaterial {material}\neast 5'\nup 3'\ncap\n"
        ))
        .1
    };
    let cement = 3.0 / 40.0 * 0.946_352_946;
    near(sum(&run("pvc"), What::Cement), cement);
    near(sum(&run("pvc"), What::Primer), cement / 2.0);
    near(sum(&run("abs"), What::Cement), cement);
    near(sum(&run("abs"), What::Primer), 0.0);
}

/// An elbow and a cap of 3/4 in steel (1.050 in outside): 3 threads, three turns of tape each. PEX: 3 rings.
#[test]
fn tape_and_rings() {
    let run = |material: &str| {
        house(&format!(
            "cold c\nstart 0',0' main floor +4'\nsize 3/4\"\nmaterial {material}\neast 5'\nnorth 5'\ncap\n"
        ))
        .1
    };
    let round = std::f64::consts::PI * 1.050 * INCH;
    near(
        sum(&run("galvanized"), What::ThreadSealant),
        3.0 * 3.0 * round,
    );
    near(sum(&run("pex"), What::Joint), 3.0);
}

/// A plastic branch off cast iron. Couplings: both ends of the wye's run, the adapter in its branch, the cap of the drain:
/// 4. Cemented: the branch's pipe in the adapter, and its cap: 2.
#[test]
fn two_materials() {
    let (_, taken) = take(
        "job J\nunits ft-in\nlevel cellar floor -8'\nlevel main floor 0'\n\
         waste d\nstart 0',0' main floor -3'\nsize 3\"\nmaterial cast-iron\neast 5'\npoint X\neast 5'\ncap\n\
         waste b\nstart X\nsize 3\"\nmaterial pvc\nnortheast 5'\ncap\n",
    );
    near(sum(&taken, What::Joint), 4.0);
    near(sum(&taken, What::Cement), 2.0 / 40.0 * 0.946_352_946);
}
