"""Letters of the title against fontTools' outlines, united by skia-pathops (OpenType: glyf, CFF)."""

import glob
import hashlib
import os
from pathlib import Path

import pathops
from common import Tally, area_of
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont

PLACES = [
    "~/.cargo/registry/src/*/ttf-inter-*/ttf/*.otf",
    "~/.cargo/registry/src/*/notosans-*/fonts/*.ttf",
    "/usr/share/fonts/**/*.ttf",
    "/usr/share/fonts/**/*.otf",
]


def fonts_of(record):
    """The fonts the record names, found by their SHA-256."""
    wanted = {font["sha256"] for font in record["fonts"]}
    home = os.environ.get("CARGO_HOME")
    places = [p.replace("~/.cargo", home) if home else p for p in PLACES]
    for place in places:
        for file in sorted(glob.glob(os.path.expanduser(place), recursive=True)):
            if hashlib.sha256(Path(file).read_bytes()).hexdigest() in wanted:
                yield TTFont(file)


def outline(font, letter):
    """A letter's united outline: height, area and number of contours, in font units."""
    glyphs = font.getGlyphSet()
    name = font.getBestCmap().get(ord(letter))
    if name is None:
        return None
    path = pathops.Path()
    pen = DecomposingRecordingPen(glyphs)
    glyphs[name].draw(pen)
    pen.replay(path.getPen())
    path.simplify()
    _, low, _, high = path.bounds
    return high - low, abs(path.area), sum(1 for _ in path.contours)


PLAIN = {"Titles": "title.steps."}
"""Of a starter that bends, grows and bridges its letters: the group that does none of that. Bent, joined
and varied words are compared in `shaping.py`."""


BRIDGED = {"Kite day": {"title.tight.i"}, "Tide pool": {"title.low.i"}}
"""Letters of starters whose dot a bridge holds: one contour, and a little more paper than the font's two."""
MOST_BRIDGE = 0.06
"""The largest share of a letter's area that such a bridge adds."""


def check(record, folder=None):
    tally = Tally("titles")
    plain = PLAIN.get(record["name"], "")
    letters = [
        piece for piece in record["pieces"]
        if piece["kind"] == "letter" and piece["id"].startswith(plain)
    ]
    fonts = list(fonts_of(record))
    for piece in letters:
        letter = piece["id"].split("@")[0].split(".")[-1].split("-")[0]
        if letter.startswith("u") and len(letter) == 5:
            letter = chr(int(letter[1:], 16))
        fits = []
        for font in fonts:
            found = outline(font, letter)
            if found:
                height, area, contours = found
                scale = piece["size"][1] / height
                fits.append((abs(area * scale**2 / piece["area"] - 1), contours))
        tally.case(bool(fits), f"{piece['id']}: no font of the record was found")
        if fits:
            off, contours = min(fits)
            bridged = piece["id"] in BRIDGED.get(record["name"], ())
            least, most = (1e-3, MOST_BRIDGE) if bridged else (0, 1e-3)
            tally.case(least <= off <= most, f"{piece['id']}: area off by {off:.5f}")
            joined = contours - 1 if bridged else contours
            tally.case(joined == len(piece["outline"]), f"{piece['id']}: contours differ")
            # The record's own polygon stands for the same area.
            flat = area_of(piece["outline"]).area
            tally.case(abs(flat / piece["area"] - 1) <= 5e-3, f"{piece['id']}: polygon area {flat}")
    return tally
