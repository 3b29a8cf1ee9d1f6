"""Compares two pictures of one sheet by their ink: what one has and the other lacks, and how much there is of it.

Ink is 255 less the brightness, kept apart for red, green and blue, so that a line in a wrong colour counts too.
"""

import numpy
from PIL import Image

# The pictures are our own; a sheet of 36 x 48 in has 39 million dots.
Image.MAX_IMAGE_PIXELS = None

# Dots per inch at which sheets are compared: the thinnest pen, 0.13 mm, is then 3/4 of a dot wide.
DPI = 150
# A dot of one picture may have its like so many dots aside in the other: 1 dot is 0.17 mm, 0.24 mm across corners.
REACH = 1
# A dot is lost where the other picture has less than 1/SHADE of its ink within reach, less FAINT of 255.
# Edges are shaded over a dot, and a line thinner than a dot may fall on one dot or on two, so 2 is the least
# that forgives, 3 leaves room for rounding; the faintest pen, the grid, leaves 19 where two dots share it.
SHADE = 3
FAINT = 16
# Lost dots are counted in windows of this edge, mm: as high as the lettering.
WINDOW = 3.0
# The area of a dot, mm2.
DOT = (25.4 / DPI) ** 2


def dots(mm):
    """Millimetres as whole dots."""
    return round(mm * DPI / 25.4)


def read(path):
    """The ink of a picture file: colours, rows, columns."""
    with Image.open(path) as picture:
        return numpy.stack([255 - numpy.asarray(band) for band in picture.convert("RGB").split()])


def alike(one, other):
    """Both pictures cut to a common size: renderers may round the edge of the paper to different dots."""
    if any(abs(one.shape[axis] - other.shape[axis]) > 2 for axis in (1, 2)):
        raise ValueError(f"{one.shape[:0:-1]} and {other.shape[:0:-1]} dots are not one paper")
    high, wide = (min(one.shape[axis], other.shape[axis]) for axis in (1, 2))
    return one[:, :high, :wide], other[:, :high, :wide]


def spread(ink):
    """Each dot with the most ink within reach."""
    most = ink
    for axis in (1, 2):
        here, most = most, most.copy()
        for step in range(1, REACH + 1):
            ahead, behind = [slice(None)] * 3, [slice(None)] * 3
            ahead[axis], behind[axis] = slice(step, None), slice(None, -step)
            for to, source in ((tuple(ahead), tuple(behind)), (tuple(behind), tuple(ahead))):
                numpy.maximum(most[to], here[source], out=most[to])
    return most


def missing(one, other):
    """Dots of the first picture that have no like in the second."""
    # Kept in bytes: what is beyond 255 after the factor is never less than the other side.
    near = numpy.minimum(spread(other), 255 // SHADE) * SHADE
    return (numpy.maximum(one, FAINT) - FAINT > near).any(axis=0)


def lost(one, other):
    """Dots of either picture that have no like in the other."""
    return missing(one, other) | missing(other, one)


def sums(values, edge):
    """The sums of all square windows with that edge, in dots."""
    edges = [min(edge, size) for size in values.shape]
    total = numpy.zeros([size + 1 for size in values.shape], numpy.int64)
    numpy.cumsum(values, axis=0, out=total[1:, 1:])
    numpy.cumsum(total, axis=1, out=total)
    high, wide = edges
    return total[high:, wide:] - total[:-high, wide:] - total[high:, :-wide] + total[:-high, :-wide]


def spot(lost_dots):
    """The most lost area in any window, mm2, and the middle of that window, mm from the upper left."""
    if not lost_dots.any():
        return 0.0, (0.0, 0.0)
    windows = sums(lost_dots, dots(WINDOW))
    row, column = numpy.unravel_index(windows.argmax(), windows.shape)
    middle = tuple(float((at + dots(WINDOW) / 2) * 25.4 / DPI) for at in (column, row))
    return float(windows[row, column]) * DOT, middle


def share(one, other, lost_dots):
    """Lost dots as a share of all inked ones."""
    inked = sum(numpy.count_nonzero((ink > FAINT).any(axis=0)) for ink in (one, other))
    return numpy.count_nonzero(lost_dots) / max(inked, 1)


def amount(one, other):
    """How much more ink the second picture has, as a share of the first's: the colour that differs most."""
    inks = [picture.sum(axis=(1, 2), dtype=numpy.int64) for picture in (one, other)]
    shares = (inks[1] - inks[0]) / numpy.maximum(inks[0], 1)
    return float(shares[numpy.abs(shares).argmax()])
