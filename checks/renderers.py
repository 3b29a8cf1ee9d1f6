#!/usr/bin/env python3
"""Compares what three renderers make of the examples: our own of the PNG, poppler of the PDF, Chromium of the SVG.

    checks/renderers.py [--wyeline FILE] [--keep FOLDER]

Every example is drawn by the command: its first sheet, and one of a set split over small paper. Then known faults are
put into some sheets - each label moved by a millimetre, each pipe's line dropped - and have to be found: the limits
below are worth what that shows. Without the tools the check is skipped, but not where CI is set.
"""

import argparse
import concurrent.futures
import math
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as xml

ROOT = pathlib.Path(__file__).resolve().parent.parent

# Two pictures are alike where no 3 mm window has lost more than this area, mm2. Measured without a fault: 0 on
# every sheet compared here. A label of one letter moved by 1 mm loses 1.2 or more, a line of 3 mm dropped about as
# much. Poppler puts thin lines on whole dots, and so may show or hide a faint one that runs along the edge of a label's
# white, one dot wide and as high as the label: 0.5.
SPOT_LIMIT = {"poppler": 0.6, "Chromium": 0.1}
# And not more than this share of all inked dots is lost.
SHARE_LIMIT = 0.001
# And the ink comes to the same sum within this share, in each colour. Measured: Chromium 0.9 %; poppler 1.9 %, and 9 %
# with the isometric grid, since it makes lines thinner than a dot a dot wide. All pens twice as wide: 40 % or more.
AMOUNT_LIMIT = {"poppler": 0.12, "Chromium": 0.02}
# Of the pipes' lines that are dropped so many in a hundred have to be found: some lie almost wholly under another line.
LINES_FOUND = 95

# The example, what is said to the command, the sheet of the set (or the last one).
SPLIT = ("--paper", "letter")
EXAMPLES = sorted(file.stem for file in (ROOT / "examples").glob("*.wye"))
DRAWINGS = [(name, *which) for name in EXAMPLES for which in (((), 1), (SPLIT, 2))]
ALONG = ("bakery-waste", ("--labels", "along", "--true-fall"), 1)
DRAWINGS += [ALONG, ("heron-cottage", ("--view", "both", "--grid"), 1), ("semi-detached", ("--view", "plan"), 2)]
# Where faults are put: labels along pipes, and two sheets of small paper.
SPOILED = [ALONG, ("heron-cottage", SPLIT, 2), ("half-bath", SPLIT, 2)]


def lacking():
    """What is not installed, in words."""
    names = [name for name in ("pdftocairo", "chromium") if not shutil.which(name)]
    for module in ("numpy", "PIL"):
        try:
            __import__(module)
        except ImportError:
            names.append(f"Python's {module}")
    return names


class Desk:
    """A folder to work in, and the programs."""

    def __init__(self, folder, wyeline):
        self.folder = folder
        self.wyeline = wyeline
        # The browser sees the project's fonts alone.
        (folder / "fonts.conf").write_text(
            f"<fontconfig><dir>{ROOT / 'assets/fonts'}</dir><cachedir>{folder}/fonts</cachedir></fontconfig>"
        )

    def draw(self, job, options, file):
        """Draws an example."""
        command = [self.wyeline, "draw", ROOT / "examples" / f"{job}.wye", *options, "--quiet", "-o", file]
        done = subprocess.run(command, capture_output=True, text=True)
        # 1: drawn, with mistakes in the job.
        if done.returncode != (1 if job == "mistakes" else 0):
            raise RuntimeError(f"{job} {' '.join(options)}: exit code {done.returncode}\n{done.stderr}")
        return file

    def poppler(self, pdf, page):
        """A page of a pdf, as a picture file."""
        command = ["pdftocairo", "-tiff", "-singlefile", "-r", str(ink.DPI), "-f", str(page), "-l", str(page)]
        subprocess.run([*command, pdf, pdf.with_name("poppler")], check=True)
        return pdf.with_name("poppler.tif")

    def chromium(self, svg):
        """An svg, as a picture file of its paper."""
        sheet = xml.parse(svg).getroot()
        # CSS has 96 dots in an inch; the window has whole ones.
        size = [math.ceil(float(sheet.get(name)[:-2]) * 96 / 25.4 - 1e-6) for name in ("width", "height")]
        picture = svg.with_suffix(".png")
        profile = tempfile.mkdtemp(dir=self.folder)
        command = ["chromium", "--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"]
        command += ["--font-render-hinting=none", f"--force-device-scale-factor={ink.DPI / 96}"]
        command += [f"--window-size={size[0]},{size[1]}", f"--user-data-dir={profile}", f"--screenshot={picture}"]
        fonts = {**os.environ, "FONTCONFIG_FILE": str(self.folder / "fonts.conf")}
        subprocess.run([*command, svg.as_uri()], env=fonts, check=True, capture_output=True, timeout=120)
        shutil.rmtree(profile, ignore_errors=True)
        return picture

    def sheet(self, drawing):
        """One sheet: our picture of it, poppler's, and the svg file."""
        job, options, number = drawing
        folder = pathlib.Path(tempfile.mkdtemp(dir=self.folder, prefix=f"{job}-"))
        self.draw(job, options, folder / "sheet.svg")
        # Of several sheets the second is sheet-2.svg.
        count = len(list(folder.iterdir()))
        number = min(number, count)
        ours = self.draw(job, (*options, "--sheet", str(number), "--dpi", str(ink.DPI)), folder / "ours.png")
        pdf = self.draw(job, options, folder / "sheet.pdf")
        svg = folder / ("sheet.svg" if number == 1 else f"sheet-{number}.svg")
        return ink.read(ours), ink.read(self.poppler(pdf, number)), svg


def told(drawing):
    """A drawing in words."""
    job, options, sheet = drawing
    return " ".join([job, *options, f"sheet {sheet}"])


def alike(desk, drawing):
    """Compares a sheet; returns what was measured and what is wrong, in words."""
    ours, poppler, svg = desk.sheet(drawing)
    measured, wrong = [], []
    for renderer, other in (("poppler", poppler), ("Chromium", ink.read(desk.chromium(svg)))):
        one, other = ink.alike(ours, other)
        lost = ink.lost(one, other)
        share, (spot, where), amount = ink.share(one, other, lost), ink.spot(lost), ink.amount(one, other)
        words = f"{renderer}: {share:.4%} lost, {spot:.2f} mm2 at most, ink {amount:+.2%}"
        measured.append(words)
        if spot > SPOT_LIMIT[renderer] or share > SHARE_LIMIT or abs(amount) > AMOUNT_LIMIT[renderer]:
            wrong.append(f"{told(drawing)}: {words}; look {where[0]:.0f} mm from the left, {where[1]:.0f} from the top")
    return f"{told(drawing)}: {'; '.join(measured)}", wrong


def spoiled(desk, drawing):
    """Puts faults into a sheet; returns what was found and what is wrong, in words."""
    ours, poppler, svg = desk.sheet(drawing)
    text = svg.read_text()
    wrong, labels, lines = [], [], []
    for at, (copy, known) in enumerate(faults.faulty(text)):
        file = svg.with_name(f"faulty-{at}.svg")
        file.write_text(copy)
        faulty = ink.read(desk.chromium(file))
        for sound, limit in ((ours, SPOT_LIMIT["Chromium"]), (poppler, SPOT_LIMIT["poppler"])):
            lost = ink.lost(*ink.alike(sound, faulty))
            for fault in known:
                left, top, right, bottom = (max(ink.dots(mm), 0) for mm in fault.box)
                spot, _ = ink.spot(lost[top:bottom, left:right])
                (labels if fault.moved else lines).append((spot, spot > limit, fault))
    wrong += [f"{told(drawing)}: not found: {fault.what}, {fault.box}" for _, found, fault in labels if not found]
    found = sum(found for _, found, _ in lines)
    if found * 100 < len(lines) * LINES_FOUND:
        wrong.append(f"{told(drawing)}: only {found} of {len(lines)} dropped lines are found")
    wide = svg.with_name("wide.svg")
    wide.write_text(faults.wide(text))
    amount = ink.amount(*ink.alike(ours, ink.read(desk.chromium(wide))))
    if amount <= max(AMOUNT_LIMIT.values()):
        wrong.append(f"{told(drawing)}: pens twice as wide are not found: {amount:+.2%}")
    least = min(spot for spot, _, _ in labels)
    return (
        f"{told(drawing)}: {len(labels)} times a label moved, {least:.2f} mm2 at least; {found} of {len(lines)} "
        f"dropped lines found; pens twice as wide: ink {amount:+.2%}",
        wrong,
    )


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--wyeline", type=pathlib.Path, default=ROOT / "target/release/wyeline", help="the command")
    parser.add_argument("--keep", type=pathlib.Path, help="a folder in which all pictures are left")
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        desk = Desk(arguments.keep or pathlib.Path(folder), arguments.wyeline.resolve())
        with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
            compared = list(pool.map(lambda drawing: alike(desk, drawing), DRAWINGS))
            proved = list(pool.map(lambda drawing: spoiled(desk, drawing), SPOILED))
    for line, _ in [*compared, *proved]:
        print(line)
    wrong = [words for _, words in [*compared, *proved] for words in words]
    for words in wrong:
        print(f"wrong: {words}")
    return 1 if wrong else 0


if __name__ == "__main__":
    if missing := lacking():
        print(f"skipped: the renderers are not compared, for want of {', '.join(missing)}")
        sys.exit(1 if os.environ.get("CI") else 0)
    sys.dont_write_bytecode = True
    import faults
    import ink

    sys.exit(main())
