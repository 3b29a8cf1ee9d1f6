#!/usr/bin/env python3
"""Compares our friction, losses and drain flows with those of the general fluid-mechanics library `fluids`.

1. The committed reference (crates/hydraulics/tests/reference/fluids.json), which the Rust tests compare with, is
   worked out again and has to come out the same.
2. A grid twenty times as dense is worked out by both, ours by `cargo run --example grid`, and compared.
3. The check proves itself: a factor that is 0.01 % off has to be seen.

`--write` writes the reference anew. Needs `pip install fluids`; without it, it says so and ends with 0, or with 1
where CI is set.
"""

import argparse
import itertools
import json
import math
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
REFERENCE = ROOT / "crates/hydraulics/tests/reference/fluids.json"
WITHIN = 1e-9
# The library works with (6.97/Re)^0.9, which is 5.7417/Re^0.9; the paper prints 5.74.
LESS_STRICT = {"swamee_jain": 1e-5}

# Density in kg/m3 and viscosity in Pa s by temperature, as printed in public tables after IAPWS.
WATER = {5: (999.9, 1.518e-3), 10: (999.7, 1.307e-3), 20: (998.2, 1.002e-3), 40: (992.2, 0.653e-3), 60: (983.2, 0.467e-3)}
# Bores in m: 1/2, 3/4, 1, 2 in of type L copper; 1 and 4 in of Schedule 40. Roughness in m: drawn tube, galvanized, cast iron.
BORES = [0.013843, 0.019939, 0.026035, 0.050419, 0.0266446, 0.1022604]
ROUGH = [1.5e-6, 1.5e-4, 2.6e-4]
FLOWS = [2e-6, 1e-5, 5e-5, 2e-4, 5e-4, 1e-3, 3e-3, 1e-2]
DRAINS = list(itertools.product([0.0408, 0.0525, 0.0779, 0.1023, 0.15], [1 / 96, 1 / 48, 0.01, 0.02], [0.009, 0.013]))


def pipes(bores, rough, waters, flows):
    """One point for each combination, with a length of 10 m."""
    for bore, roughness, (density, viscosity), flow in itertools.product(bores, rough, waters, flows):
        yield dict(bore=bore, roughness=roughness, density=density, viscosity=viscosity, flow=flow, length=10.0)


def between(low, high, count):
    """So many values from low to high in equal ratios."""
    return [low * (high / low) ** (n / (count - 1)) for n in range(count)]


def work_out(fluids, points, drains):
    """What the library makes of the points. Between laminar and turbulent nobody is right, and nothing is compared."""
    found = []
    for p in points:
        area = math.pi / 4 * p["bore"] ** 2
        velocity = p["flow"] / area
        reynolds = fluids.Reynolds(V=velocity, D=p["bore"], rho=p["density"], mu=p["viscosity"])
        relative = p["roughness"] / p["bore"]
        if 2000 < reynolds < 2300:
            continue
        laminar = reynolds <= 2000
        factor = (
            fluids.friction.friction_laminar(reynolds)
            if laminar
            else fluids.friction.Colebrook(reynolds, relative)
        )
        # Swamee and Jain's formula is for eddies.
        quick = {} if reynolds < 5000 else {"swamee_jain": fluids.friction.Swamee_Jain_1976(reynolds, relative)}
        dynamic = fluids.core.dP_from_K(1.0, rho=p["density"], V=velocity)
        found.append(
            dict(
                p,
                velocity=velocity,
                reynolds=reynolds,
                factor=factor,
                **quick,
                loss=fluids.core.K_from_f(factor, p["length"], p["bore"]) * dynamic,
            )
        )
    full = [
        dict(bore=bore, slope=slope, n=n, velocity=fluids.open_flow.V_Manning(bore / 4, slope, n))
        for bore, slope, n in drains
    ]
    return dict(pipes=found, drains=full)


def differences(ours, theirs):
    """Values that differ, in words."""
    for kind in ("pipes", "drains"):
        if len(ours[kind]) != len(theirs[kind]):
            yield f"{len(ours[kind])} {kind} where {len(theirs[kind])} were expected"
            continue
        for a, b in zip(ours[kind], theirs[kind]):
            for name, value in b.items():
                if not math.isclose(a[name], value, rel_tol=LESS_STRICT.get(name, WITHIN)):
                    yield f"{kind[:-1]} {b}: {name} is {a[name]!r} where {value!r} was expected"


def ours(points):
    """What our code makes of the points of a reference."""
    with tempfile.NamedTemporaryFile("w", suffix=".json") as file:
        json.dump(points, file)
        file.flush()
        command = ["cargo", "run", "--quiet", "--package", "wyeline-hydraulics", "--example", "grid", "--", file.name]
        return json.loads(subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout)


def fail(what, said):
    said = list(itertools.islice(said, 10))
    if said:
        print(f"{what}:", *said, sep="\n  ")
        sys.exit(1)


def main():
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--write", action="store_true", help="write the reference anew")
    write = options.parse_args().write
    try:
        # This file bears the name of the library.
        sys.path = [place for place in sys.path if Path(place or ".").resolve() != ROOT / "checks"]
        import fluids
        import fluids.friction
        import fluids.open_flow
    except ImportError:
        print("skipped: the Python library `fluids` is not installed (`pip install fluids`)")
        sys.exit(1 if os.environ.get("CI") else 0)

    reference = work_out(fluids, pipes(BORES, ROUGH, WATER.values(), FLOWS), DRAINS)
    reference = {"library": f"fluids {fluids.__version__}", **reference}
    if write:
        rows = {k: ",\n".join("  " + json.dumps(row) for row in reference[k]) for k in ("pipes", "drains")}
        library = json.dumps(reference["library"])
        REFERENCE.write_text(
            f'{{\n"library": {library},\n"pipes": [\n{rows["pipes"]}\n],\n"drains": [\n{rows["drains"]}\n]\n}}\n'
        )
    committed = json.loads(REFERENCE.read_text())
    fail(f"the committed reference is not what {reference['library']} gives", differences(committed, reference))
    print(f"{len(committed['pipes'])} pipes and {len(committed['drains'])} drains of the reference come out the same"
          f" ({committed['library']}, now {reference['library']})")

    dense = pipes(between(0.008, 0.15, 14), between(1e-6, 1e-3, 8), WATER.values(), between(1e-6, 2e-2, 26))
    theirs = work_out(fluids, dense, DRAINS)
    mine = ours(theirs)
    fail("our code differs", differences(mine, theirs))
    print(f"{len(theirs['pipes'])} pipes agree with {reference['library']} within {WITHIN:g}")

    mine["pipes"][len(mine["pipes"]) // 2]["factor"] *= 1.0001
    if len(list(differences(mine, theirs))) != 1:
        print("the check does not see a factor that is 0.01 % off")
        sys.exit(1)


if __name__ == "__main__":
    main()
