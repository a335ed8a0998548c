"""Words set by the program against independent readers of the same fonts.

Each word goes through `cutleaf check --json`, as a user's would. Its letters are compared with glyphs
and positions by HarfBuzz (uharfbuzz; Arabic, Devanagari, Latin scripts), outlines by fontTools, united
by skia-pathops: every letter's box within 0.0005 in and area within 0.01 %, every word's area within
0.01 % and its contours counted. Variable fonts are compared with fontTools' instancer.
"""

import glob
import io
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pathops
import uharfbuzz
from common import Tally
from fontTools.pens.transformPen import TransformPen
from fontTools.ttLib import TTFont
from fontTools.varLib import instancer

WIDTH = 3.0
"""Every word is made this many inches wide, so that both sides know its scale."""

ROOM = 4
"""Width and height of page for each word, so that none lies on another."""
ROW = 12
"""Words side by side: as many as a page of 48 in has room for."""


def place(number):
    """Where a word lies on the page."""
    return [ROOM * (number % ROW), ROOM * (number // ROW)]


LATIN = [
    "kite", "Kites", "dune", "Dunes", "wind", "gull", "Hold", "tight", "sand", "sock", "AVATAR",
    "office", "waffle", "Tofu", "We", "LTd", "grass", "string", "Tail", "beach", "flying", "Quay",
    "8&B", "R2", "egg", "puddle",
]
WORDS = {
    "lobster.otf": LATIN,
    "DancingScript-Bold.otf": LATIN,
    "KaushanScript-Regular.otf": LATIN,
    "LeagueSpartan-Bold.otf": LATIN,
    "BebasNeue-Regular.otf": LATIN,
    "Comfortaa-Bold.ttf": LATIN,
    "DejaVuSerif-Bold.ttf": LATIN,
    "Amiri-Bold.ttf": ["بحر", "شاطئ", "ريح", "طائرة", "رمل", "السماء", "موجة", "لا", "كتاب", "مُحَمَّد", "الله", "سفينة"],
    "Lohit-Devanagari.ttf": ["पतंग", "समुद्र", "हवा", "रेत", "किनारा", "क्षितिज", "ज्ञान", "श्री", "त्योहार", "प्रेम", "द्वार", "र्क"],
}
VARIABLE = {
    "Inter-roman.var.ttf": [{"wght": 250}, {"wght": 650}, {"wght": 900}],
    "sample-variable.ttf": [{"wght": 300}, {"wght": 650}],
}
VARIABLE_WORDS = {"Inter-roman.var.ttf": ["Hold", "gaze", "Kites"], "sample-variable.ttf": ["HIO", "xäi"]}
PLACES = ["/usr/share/fonts/**/{}", "tests/data/fonts/{}"]


def find(name):
    for place in PLACES:
        for file in sorted(glob.glob(place.format(name), recursive=True)):
            return os.path.abspath(file)
    return None


def shaped(data, word):
    """HarfBuzz's clusters in reading order, each a list of (glyph id, x, y)."""
    font = uharfbuzz.Font(uharfbuzz.Face(data))
    buffer = uharfbuzz.Buffer()
    buffer.add_str(word)
    buffer.guess_segment_properties()
    uharfbuzz.shape(font, buffer)
    pen, clusters = 0, {}
    for info, position in zip(buffer.glyph_infos, buffer.glyph_positions):
        at = (info.codepoint, pen + position.x_offset, position.y_offset)
        clusters.setdefault(info.cluster, []).append(at)
        pen += position.x_advance
    return [clusters[cluster] for cluster in sorted(clusters)]


def united(font, glyphs):
    path = pathops.Path()
    outlines = font.getGlyphSet()
    for glyph, x, y in glyphs:
        pen = TransformPen(path.getPen(glyphSet=outlines), (1, 0, 0, 1, x, y))
        outlines[font.getGlyphName(glyph)].draw(pen)
    path.simplify(fix_winding=True, keep_starting_points=False)
    return path


def inked(path):
    return sum(1 for _ in path.contours) > 0


def groups(file, words, axes=None):
    for number, word in enumerate(words):
        for joined in ["never", "always"]:
            group = {"words": word, "id": f"{joined}{number}", "font": file, "width": WIDTH,
                     "paper": "p", "joined": joined, "at": place(2 * number + (joined == "always"))}
            yield {**group, "axes": axes} if axes else group


def run(program, file, words, axes=None):
    """The pieces of each word, letter by letter and as one, by the program."""
    sheets = {"12 x 12": 400}
    paper = {"color": "#ffffff", "sheets": sheets, "thinnest": "1/100"}
    spec = {"name": "words", "papers": {"p": paper}, "cutting": {"effort": "quick"}, "single": {},
            "page": "48 x 48", "title": list(groups(file, words, axes))}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "spec.yaml"
        path.write_text(json.dumps(spec, ensure_ascii=False))
        done = subprocess.run([program, "check", str(path), "--json"], capture_output=True, text=True)
        if done.returncode:
            raise SystemExit(f"{file}: {done.stderr}")
        record = json.loads(done.stdout)
    pieces = {}
    for piece in record["pieces"]:
        pieces.setdefault(piece["id"].split(".")[1], []).append(piece)
    return pieces


def compare(tally, name, data, words, pieces):
    font = TTFont(io.BytesIO(data))
    for number, word in enumerate(words):
        clusters = shaped(data, word)
        letters = [path for path in (united(font, cluster) for cluster in clusters) if inked(path)]
        whole = united(font, [glyph for cluster in clusters for glyph in cluster])
        left, low, right, high = whole.bounds
        scale = WIDTH / (right - left)
        said = f"{name} `{word}`"

        mine = pieces[f"always{number}"]
        tally.case(len(mine) == 1, f"{said}: {len(mine)} pieces")
        area = abs(whole.area) * scale**2
        off = abs(mine[0]["area"] / area - 1)
        tally.case(off <= 1e-4, f"{said}: area off by {off:.6f}")
        contours = sum(1 for _ in whole.contours)
        tally.case(contours == len(mine[0]["outline"]),
                   f"{said}: {len(mine[0]['outline'])} contours, not {contours}")

        mine = pieces[f"never{number}"]
        tally.case(len(mine) == len(letters), f"{said}: {len(mine)} letters, not {len(letters)}")
        for piece, letter in zip(mine, letters):
            x0, y0, x1, y1 = letter.bounds
            across, down = place(2 * number)
            top = down + (high - y1) * scale
            wanted = [across + (x0 - left) * scale, top, (x1 - x0) * scale, (y1 - y0) * scale]
            got = piece["at"] + piece["size"]
            apart = max(abs(one - other) for one, other in zip(wanted, got))
            tally.case(apart <= 5e-4, f"{piece['id']} of {said}: box off by {apart:.5f} in")
            off = abs(piece["area"] / (abs(letter.area) * scale**2) - 1)
            tally.case(off <= 1e-4, f"{piece['id']} of {said}: area off by {off:.6f}")


def check(program):
    tally = Tally("words")
    words = 0
    for name, list_of in WORDS.items():
        file = find(name)
        tally.case(file is not None, f"the font {name} is not installed")
        if file:
            compare(tally, name, Path(file).read_bytes(), list_of, run(program, file, list_of))
            words += len(list_of)
    tally.case(words >= 200, f"only {words} words were compared")
    for name, instances in VARIABLE.items():
        file = find(name)
        tally.case(file is not None, f"the font {name} is not installed")
        for axes in instances if file else []:
            rest = {axis.axisTag: axis.defaultValue for axis in TTFont(file)["fvar"].axes}
            font = instancer.instantiateVariableFont(TTFont(file), {**rest, **axes})
            with tempfile.NamedTemporaryFile(suffix=".ttf") as still:
                font.save(still.name)
                list_of = VARIABLE_WORDS[name]
                compare(tally, f"{name} {axes}", Path(still.name).read_bytes(), list_of,
                        run(program, file, list_of, axes))
    return tally


if __name__ == "__main__":
    sys.exit(0 if check(os.path.abspath(sys.argv[1])).report() else 1)
