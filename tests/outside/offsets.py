"""Outlines grown and shrunk by the program against shapely's buffer (GEOS) with round joins.

Words in several fonts get backings of several margins and layers, counters filled and kept; letters are
grown and thinned; lines to glue by are drawn inside them; shapes get lines of stitches. Each goes through
`cutleaf check --json`, as a user's would; the outline it is made from is read from the same record, buffered,
and the two edges have to lie within 0.0015 in of each other, either way round (Hausdorff distance).
"""

import json
import math
import os
import subprocess
import sys
import tempfile

import numpy
import shapely
from common import Tally
from shapely.geometry import MultiLineString, Polygon
from shaping import find
from svgelements import Close, CubicBezier, Line, Move, Path

APART = 0.0015
"""The Hausdorff distance allowed, in inches."""
FLAT = 2e-5
"""How far our reading of a curve may stray from it, in inches."""
SPECK = 1e-5
"""Holes and parts of less area, in square inches (0.003 in square), need not be there: no blade cuts them."""
STEP = 0.02
"""Points compared lie no further apart than this, in inches."""
QUARTER = 64
"""Chords of a quarter circle: at 3/8 in they stray 0.00003 in."""
AT = [8, 2]
"""Width and height of page kept for each word."""
ROOM = [12, 4]
"""The same for each shape."""
PAGE = 48
"""Width of the page, and its height; both are divided evenly."""


def place(number, room):
    """Where the top left of a room lies on the page, the rooms side by side from row to row."""
    row = PAGE // room[0]
    return [room[0] * (number % row), room[1] * (number // row)]


WORDS = {
    "lobster.otf": ["Kites"], "DancingScript-Bold.otf": ["gaze"], "KaushanScript-Regular.otf": ["gaze"],
    "LeagueSpartan-Bold.otf": ["g8&B"], "BebasNeue-Regular.otf": ["R2&8"], "Comfortaa-Bold.ttf": ["dunes"],
    "DejaVuSerif-Bold.ttf": ["Kites"], "Amiri-Bold.ttf": ["شاطئ"], "Lohit-Devanagari.ttf": ["समुद्र"],
}
BACKINGS = [("1/32", 1, "kept"), ("1/16", 2, "kept"), ("1/8", 3, "filled"), ("3/8", 1, "kept")]
INSET = 1 / 64
GROWN = ["1/64", "1/32", "-1/128", "-1/64"]
HEIGHT = 0.9
SHAPES = {
    "circle": {"diameter": 2}, "ellipse": {"size": "2 x 1"}, "polygon": {"sides": 6, "diameter": 2},
    "star": {"diameter": 2}, "heart": {"size": "2 x 2"}, "scallop": {"diameter": 2}, "plaque": {"size": "3 x 2"},
    "cloud": {"size": "3 x 2"}, "sunburst": {"diameter": 3}, "leaf": {"size": "1 1/2 x 3"}, "arrow": {"size": "3 x 2"},
    "banner": {"size": "3 x 1"}, "tag": {"size": "1 1/2 x 3"}, "ring": {"diameter": 3, "width": "3/4"},
    "ticket": {"size": "3 x 1 1/2"},
}
STITCHES = ["1/16", "1/8", "3/16"]


def inches(text):
    above, below = text.split("/")
    return int(above) / int(below)


def flat(data):
    """Each subpath of path data as points that stray less than FLAT."""
    rings = []
    for segment in Path(data):
        if isinstance(segment, Move):
            rings.append([complex(segment.end)])
        elif isinstance(segment, (Line, Close)):
            rings[-1].append(complex(segment.end))
        else:
            rings[-1].extend(points_of(segment))
    return [[(point.real, point.imag) for point in ring] for ring in rings]


def points_of(curve):
    """A Bezier curve without its start. A chord strays at most an eighth of the curve's second derivative."""
    cubic = isinstance(curve, CubicBezier)
    handles = [curve.control1, curve.control2] if cubic else [curve.control]
    handles = [complex(point) for point in (curve.start, *handles, curve.end)]
    order = len(handles) - 1
    bend = max(abs(a - 2 * b + c) for a, b, c in zip(handles, handles[1:], handles[2:]))
    steps = max(1, math.ceil(math.sqrt(order * (order - 1) * bend / 8 / FLAT)))
    at = numpy.arange(1, steps + 1) / steps
    weights = [math.comb(order, i) * at**i * (1 - at) ** (order - i) for i in range(order + 1)]
    return sum(weight * handle for weight, handle in zip(weights, handles)).tolist()


def area(data):
    whole = Polygon()
    for ring in flat(data):
        if len(ring) > 3:
            whole = whole.symmetric_difference(Polygon(ring).buffer(0))
    return whole


def placed(piece):
    return shapely.affinity.translate(area(piece["path"]), *piece["at"])


def filled(shape):
    parts = shape.geoms if hasattr(shape, "geoms") else [shape]
    return shapely.union_all([Polygon(part.exterior) for part in parts])


def grown(shape, distance):
    return shape.buffer(distance, quad_segs=QUARTER, join_style="round")


def strays(one, other):
    """How far any point of one edge lies from the other edge."""
    points = shapely.points(shapely.get_coordinates(shapely.segmentize(one, STEP)))
    shapely.prepare(other)
    return float(numpy.max(shapely.distance(other, points), initial=0.0))


def cuttable(shape):
    parts = [part for part in getattr(shape, "geoms", [shape]) if part.area >= SPECK]
    holes = [[hole for hole in part.interiors if Polygon(hole).area >= SPECK] for part in parts]
    return shapely.union_all([Polygon(part.exterior, inner) for part, inner in zip(parts, holes)])


def hausdorff(mine, theirs):
    """How far the edges of two shapes lie apart."""
    needed = cuttable(theirs)
    if mine.is_empty or needed.is_empty:
        return 0.0 if cuttable(mine).is_empty and needed.is_empty else math.inf
    return max(strays(mine.boundary, theirs.boundary), strays(needed.boundary, mine.boundary))


def pieces_of(program, spec):
    with tempfile.TemporaryDirectory() as folder:
        file = os.path.join(folder, "spec.yaml")
        with open(file, "w") as text:
            json.dump(spec, text, ensure_ascii=False)
        done = subprocess.run([program, "check", file, "--json"], capture_output=True, text=True)
        if done.returncode:
            raise SystemExit(done.stderr[:2000])
        return {piece["id"]: piece for piece in json.loads(done.stdout)["pieces"]}


def spec_of(**rest):
    paper = {"color": "#ffffff", "sheets": {"12 x 12": 400}, "thinnest": "1/100"}
    return {"name": "offsets", "page": f"{PAGE + 2} x {PAGE + 2}", "papers": {"p": paper}, "cutting": {"effort": "quick"},
            "single": {}, **rest}


class Offsets:
    def __init__(self, program):
        self.program = program
        self.tally = Tally("offsets")
        self.worst = 0.0

    def case(self, name, mine, theirs):
        apart = hausdorff(mine, theirs)
        self.worst = max(self.worst, apart)
        self.tally.case(apart <= APART, f"{name}: {apart:.5f} in apart")

    def words(self, font, words):
        file = find(font)
        if not self.tally.case(file is not None, f"the font {font} is not installed"):
            return
        groups = []
        for number, word in enumerate(words):
            usual = {"words": word, "font": file, "height": HEIGHT, "paper": "p"}
            for at, (margin, layers, counters) in enumerate(BACKINGS):
                backing = {"paper": "p", "margin": margin, "layers": layers, "counters": counters,
                           "placement": "pen", "inset": "1/64"}
                groups.append({**usual, "id": f"b{number}-{at}", "joined": "never", "backing": backing})
            for at, by in enumerate(["0", *GROWN]):
                groups.append({**usual, "id": f"g{number}-{at}", "joined": "never", "embolden": by})
        for number, group in enumerate(groups):
            group["at"] = [length + 1 for length in place(number, AT)]
        pieces = pieces_of(self.program, spec_of(title=groups))
        for number, word in enumerate(words):
            for at, written in enumerate(BACKINGS):
                self.backing(f"{font} `{word}`", pieces, f"title.b{number}-{at}.", *written)
            for at, by in enumerate(GROWN, 1):
                self.letters(f"{font} `{word}`", pieces, f"title.g{number}-", at, by)

    def backing(self, name, pieces, group, margin, layers, counters):
        letters = [piece for key, piece in pieces.items() if key.startswith(group) and piece["kind"] == "letter"]
        whole = shapely.union_all([placed(letter) for letter in letters])
        if counters == "filled":
            whole = filled(whole)
        for layer in range(1, layers + 1):
            piece = pieces[f"{group}backing" + (f"-{layer}" if layer > 1 else "")]
            theirs = grown(whole, layer * inches(margin))
            theirs = filled(theirs) if counters == "filled" else theirs
            self.case(f"{name}, layer {layer} of {margin} {counters}", placed(piece), theirs)
            if layer == 1:
                lines = [shapely.affinity.translate(area(line["path"]), *piece["at"]) for line in piece["lines"]]
                theirs = [grown(placed(letter), -INSET) for letter in letters]
                self.case(f"{name}, lines inset 1/64", shapely.union_all(lines), shapely.union_all(theirs))

    def letters(self, name, pieces, group, at, by):
        distance = -inches(by[1:]) if by[0] == "-" else inches(by)
        for key, piece in pieces.items():
            if key.startswith(f"{group}0."):
                letter = key.removeprefix(f"{group}0.")
                theirs = grown(area(piece["path"]), distance)
                left, top = theirs.bounds[:2]
                mine = area(pieces[f"{group}{at}.{letter}"]["path"])
                self.case(f"{name} {letter}, grown by {by}", mine, shapely.affinity.translate(theirs, -left, -top))

    def stitches(self):
        shapes, asked = [], {}
        for kind, keys in SHAPES.items():
            for number, inset in enumerate(STITCHES):
                stitch = {"inset": inset, "length": "1/16", "gap": "1/32"}
                at = {"id": f"{kind}-{number}", "at": place(len(shapes), ROOM)}
                shapes.append({kind: {"paper": "p", **at, **keys, "stitch": stitch}})
                asked[f"single.{kind}-{number}"] = inset
        spec = spec_of(single={"pieces": shapes})
        for name, piece in pieces_of(self.program, spec).items():
            lines = [ring for line in piece["lines"] if line["process"] == "pen" for ring in flat(line["path"])]
            if self.tally.case(bool(lines), f"{name}: no stitches"):
                inset = asked[name]
                apart = strays(MultiLineString(lines), grown(area(piece["path"]), -inches(inset)).boundary)
                self.worst = max(self.worst, apart)
                self.tally.case(apart <= APART, f"{name}: stitches {inset} in are {apart:.5f} in off")


def check(program):
    offsets = Offsets(program)
    for font, words in WORDS.items():
        offsets.words(font, words)
    offsets.stitches()
    print(f"  offsets: at most {offsets.worst:.5f} in apart")
    return offsets.tally


if __name__ == "__main__":
    sys.exit(0 if check(os.path.abspath(sys.argv[1])).report() else 1)
