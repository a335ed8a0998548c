"""Draws the small fonts beside this file; they are this project's own.

`sample-variable.ttf`: H, I, O, i, x and ä as plain bars, an axis `wght` from 100 to 900 that makes the
bars from 60 to 180 units wide, a feature `ss01` that gives I serifs.
`sample-bitmap.ttf`: the same letters without outlines.
`../slanted/`: the same letters in families whose leaning style is called Oblique, Slanted, or is an axis.

    python make.py      (fontTools, any version since 4.40)
"""

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib.tables.TupleVariation import TupleVariation

LIGHT, HEAVY = 60, 180


def bars(rectangles):
    """A glyph of rectangles; a hole runs the other way round."""
    pen = TTGlyphPen(None)
    for left, low, right, high, hole in rectangles:
        corners = [(left, low), (left, high), (right, high), (right, low)]
        if hole:
            corners.reverse()
        pen.moveTo(corners[0])
        for corner in corners[1:]:
            pen.lineTo(corner)
        pen.closePath()
    return pen.glyph()


def shapes(w):
    return {
        ".notdef": bars([(50, 0, 450, 700, False), (100, 50, 400, 650, True)]),
        "space": bars([]),
        "H": bars([(50, 0, 50 + w, 700, False), (450 - w, 0, 450, 700, False), (50, 320, 450, 380, False)]),
        "I": bars([(250 - w // 2, 0, 250 + w // 2, 700, False)]),
        "I.alt": bars([(250 - w // 2, 0, 250 + w // 2, 700, False), (100, 0, 400, 80, False),
                       (100, 620, 400, 700, False)]),
        "O": bars([(50, 0, 450, 700, False), (50 + w, 100, 450 - w, 600, True)]),
        "i": bars([(250 - w // 2, 0, 250 + w // 2, 500, False), (250 - w // 2, 580, 250 + w // 2, 700, False)]),
        "x": bars([(100, 0, 400, 500, False)]),
        "adieresis": bars([(50, 0, 450, 500, False), (50 + w, 100, 450 - w, 400, True),
                           (120, 580, 200, 680, False), (300, 580, 380, 680, False)]),
    }


def builder(glyphs):
    font = FontBuilder(1000, isTTF=True)
    font.setupGlyphOrder(list(glyphs))
    font.setupCharacterMap({32: "space", 72: "H", 73: "I", 79: "O", 105: "i", 120: "x", 228: "adieresis"})
    font.setupGlyf(glyphs)
    lefts = {name: min((x for x, _ in glyph.coordinates), default=0) if glyph.numberOfContours else 0
             for name, glyph in glyphs.items()}
    font.setupHorizontalMetrics({name: (500, left) for name, left in lefts.items()})
    font.setupHorizontalHeader(ascent=800, descent=-200)
    font.setupOS2(sTypoAscender=800, usWinAscent=800, usWinDescent=200, fsType=0)
    font.setupPost()
    font.setupHead(unitsPerEm=1000, created=3_850_000_000, modified=3_850_000_000)
    font.font.recalcTimestamp = False
    return font


light, heavy = shapes(LIGHT), shapes(HEAVY)
variable = builder(light)
variable.setupNameTable({"familyName": "Sample Variable", "styleName": "Regular"})
variable.setupFvar([("wght", 100, 100, 900, "Weight")], [])
variations = {}
for name, glyph in light.items():
    if not glyph.numberOfContours:
        continue
    apart = [(b[0] - a[0], b[1] - a[1]) for a, b in zip(glyph.coordinates, heavy[name].coordinates)]
    wider = 40  # the advance grows a little, too
    phantom = [(0, 0), (wider, 0), (0, 0), (0, 0)]
    variations[name] = [TupleVariation({"wght": (0, 1, 1)}, apart + phantom)]
variable.setupGvar(variations)
variable.addOpenTypeFeatures("feature ss01 { sub I by I.alt; } ss01;")
variable.save("sample-variable.ttf")

bitmap = builder(light)
bitmap.setupNameTable({"familyName": "Sample Bitmap", "styleName": "Regular"})
for table in ("glyf", "loca"):
    del bitmap.font[table]
bitmap.font["maxp"].tableVersion = 0x00005000
bitmap.save("sample-bitmap.ttf")


def leaning(glyphs, by):
    """The same glyphs, leaning by so many units at the height of a capital."""
    for glyph in glyphs.values():
        if glyph.numberOfContours:
            glyph.coordinates.transform(((1, 0), (by / 700, 1)))
            glyph.coordinates.toInt()
            glyph.recalcBounds(None)
    return glyphs


for file, family, style, by in [
    ("leaning-book", "Sample Leaning", "Book", 0),
    ("leaning-book-oblique", "Sample Leaning", "Book Oblique", 120),
    ("leaning-bold-oblique", "Sample Leaning", "Bold Oblique", 120),
    ("slanted-regular", "Sample Slanted", "Regular", 0),
    ("slanted-slanted", "Sample Slanted", "Slanted", 120),
]:
    one = builder(leaning(shapes(HEAVY if "bold" in file else LIGHT), by))
    one.setupNameTable({"familyName": family, "styleName": style})
    one.save(f"../slanted/{file}.ttf")

upright, lean = shapes(LIGHT), leaning(shapes(LIGHT), 120)
axes = builder(upright)
axes.setupNameTable({"familyName": "Sample Axes", "styleName": "Regular"})
axes.setupFvar([("slnt", -10, 0, 0, "Slant"), ("wght", 100, 100, 900, "Weight")], [])
variations = {}
for name, glyph in upright.items():
    if glyph.numberOfContours:
        apart = [(b[0] - a[0], b[1] - a[1]) for a, b in zip(glyph.coordinates, lean[name].coordinates)]
        wide = [(b[0] - a[0], b[1] - a[1]) for a, b in zip(glyph.coordinates, heavy[name].coordinates)]
        still = [(0, 0)] * 4
        variations[name] = [TupleVariation({"slnt": (-1, -1, 0)}, apart + still),
                            TupleVariation({"wght": (0, 1, 1)}, wide + still)]
axes.setupGvar(variations)
axes.save("../slanted/axes.ttf")
