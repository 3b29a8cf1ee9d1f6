"""Puts known faults into an SVG sheet, so that the limits of the comparison are proved on them."""

import math
import re
from dataclasses import dataclass

# How far a label is moved, mm.
MOVED = 1.0
# Lines shorter than this are left alone, mm: most of a short one may hide under a symbol's edge.
LEAST = 2.0


@dataclass
class Fault:
    """A fault and where it has to be found: left, top, right, bottom, mm."""

    what: str
    box: tuple
    # A label moved, or a line dropped.
    moved: bool


def number(line, name):
    """An attribute that is a number."""
    return float(re.search(rf' {name}="([^"]*)"', line)[1])


def moved(line, at):
    """The label a millimetre aside, in turn to the right and down the page."""
    x, y = number(line, "x"), number(line, "y")
    turn = re.search(r'rotate\((\S+)', line)
    angle = math.radians(float(turn[1])) if turn else 0.0
    along, up = number(line, "textLength"), number(line, "font-size")
    corners = [(u * math.cos(angle) - v * math.sin(angle), u * math.sin(angle) + v * math.cos(angle))
               for u in (0, along) for v in (-up, 0.3 * up)]
    box = (x + min(u for u, _ in corners), y + min(v for _, v in corners),
           x + max(u for u, _ in corners) + MOVED, y + max(v for _, v in corners) + MOVED)
    aside = f"{MOVED} 0" if at % 2 == 0 else f"0 {MOVED}"
    words = re.search(">(.*)</text>", line)[1]
    return f'<g transform="translate({aside})">{line}</g>', Fault(f"label {words} moved", box, True)


def dropped(line, _):
    """Nothing in place of the line."""
    numbers = [float(word) for word in re.findall(r"-?[0-9.]+", re.search(r' d="([^"]*)"', line)[1])]
    xs, ys = numbers[0::2], numbers[1::2]
    if math.hypot(max(xs) - min(xs), max(ys) - min(ys)) < LEAST:
        return None
    return "", Fault("line dropped", (min(xs) - 0.5, min(ys) - 0.5, max(xs) + 0.5, max(ys) + 0.5), False)


KINDS = {
    '<text class="label"': moved,
    '<path class="line"': dropped,
}


def wide(svg):
    """The sheet with every pen twice as wide."""
    return re.sub(r'(stroke-width=")([^"]*)', lambda pen: f"{pen[1]}{2 * float(pen[2])}", svg)


def apart(box, others):
    """Whether a box touches none of the others."""
    return all(box[0] > o[2] or o[0] > box[2] or box[1] > o[3] or o[1] > box[3] for o in others)


def faulty(svg):
    """Copies of a sheet with faults that do not touch each other, until each mark had its own; and the faults of each."""
    lines = svg.split("\n")
    waiting = []
    for at, line in enumerate(lines):
        for start, spoil in KINDS.items():
            if line.startswith(start) and (spoiled := spoil(line, len(waiting))):
                waiting.append((at, *spoiled))
    while waiting:
        copy, faults, later = list(lines), [], []
        for at, line, fault in waiting:
            if apart(fault.box, [other.box for other in faults]):
                copy[at] = line
                faults.append(fault)
            else:
                later.append((at, line, fault))
        yield "\n".join(copy), faults
        waiting = later
