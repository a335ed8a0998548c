"""The placement guide read with pdfplumber: every piece at full size in its place, tiles that join.

Source of the boxes: ISO 32000-1, 14.11.2. The tolerance, 0.001 in, is the project's own.
"""

import io
from pathlib import Path

import pdfplumber
import pikepdf
import pypdfium2

from common import Tally
from strips import POINTS

TOLERANCE = 0.001
# Contours with more corners are flattened curves.
STRAIGHT = 24
# Dots an inch at which names are looked at, and what is darker than the grey of hidden edges.
DPI = 200
BLACK = 0x40


def rectangles(page):
    """Left, top, right and bottom in inches of every rectangle and four-sided path."""
    found = []
    for one in [*page.rects, *page.curves, *page.lines]:
        found.append([one["x0"] / POINTS, one["top"] / POINTS, one["x1"] / POINTS, one["bottom"] / POINTS])
    return found


def near(one, other):
    return all(abs(a - b) <= TOLERANCE for a, b in zip(one, other))


def without_words(file):
    """The pages of a file without their text, each as an image."""
    bare = io.BytesIO()
    with pikepdf.open(file) as pdf:
        for page in pdf.pages:
            kept, in_text = [], False
            for operands, operator in pikepdf.parse_content_stream(page):
                in_text = (in_text or str(operator) == "BT") and str(operator) != "ET"
                if not in_text and str(operator) != "ET":
                    kept.append((operands, operator))
            page.Contents = pdf.make_stream(pikepdf.unparse_content_stream(kept))
        pdf.save(bare)
    for page in pypdfium2.PdfDocument(bare.getvalue()):
        yield page.render(scale=DPI / POINTS).to_pil().convert("L")


def crossed(page, bare):
    """Letters over which an edge that shows, black, runs; they are as high as capitals, a little less."""
    for char in page.chars:
        a, b, c, d, e, f = char["matrix"]
        corners = [(along, up * char["size"]) for along in (0, char["adv"]) for up in (-0.15, 0.7)]
        xs = [(a * x + c * y + e) / POINTS * DPI for x, y in corners]
        ys = [(float(page.height) - b * x - d * y - f) / POINTS * DPI for x, y in corners]
        box = bare.crop([round(side) for side in (min(xs), min(ys), max(xs), max(ys))])
        if char["text"].strip() and min(box.size) > 0 and box.getextrema()[0] < BLACK:
            yield char["text"], round(min(xs) / DPI, 2), round(min(ys) / DPI, 2)


def check(record, folder):
    tally = Tally("placement")
    file = Path(folder) / "print" / "placement-whole.pdf"
    if not file.exists():
        tally.case(False, f"{file.name} is missing")
        return tally
    bare = without_words(file)
    # A redo shows the pages and tiles alone on which something lies.
    is_redo = "follows" in record
    things = [*record["pieces"], *record["photos"]]
    pages = [name for name in record["pages"] if not is_redo or any(thing["page"] == name for thing in things)]
    with pdfplumber.open(file) as pdf:
        tally.case(len(pdf.pages) == len(pages), f"{len(pdf.pages)} pages")
        for name, page, shown in zip(pages, pdf.pages, bare):
            found = list(crossed(page, shown))
            tally.case(not found, f"edges run over names on the {name} page: {found}")
        for name, page in zip(pages, pdf.pages):
            size = [float(page.width) / POINTS, float(page.height) / POINTS]
            tally.case(near(size, record["page"]), f"the {name} page is {size}")
            found = rectangles(page)
            # Things that are not turned: their box is where the record says.
            for thing in things:
                if thing["page"] != name or thing["turn"]:
                    continue
                # Of kits that differ by a name, the first is drawn.
                if thing.get("kit", (record.get("names") or [None])[0]) != (record.get("names") or [None])[0]:
                    continue
                # What is folded or torn lies there as it is then.
                seen = thing.get("folded", thing.get("torn", thing))
                (left, top), (width, height) = thing["at"], seen["size"]
                # A reader takes each contour by itself and boxes of curves by their ends: the largest
                # contour has to be there, if it is straight.
                ring = seen.get("outline", [[[0, 0], [width, height]]])[0]
                if len(ring) > STRAIGHT:
                    continue
                low = [min(point[axis] for point in ring) for axis in (0, 1)]
                high = [max(point[axis] for point in ring) for axis in (0, 1)]
                wanted = [left + low[0], top + low[1], left + high[0], top + high[1]]
                tally.case(any(near(one, wanted) for one in found), f"{thing['id']} is not at full size")
    with pdfplumber.open(Path(folder) / "print" / "placement.pdf") as pdf:
        tiles = [page for page in pdf.pages if "tile" in (page.extract_text() or "")]
        seams = {}
        for page in tiles:
            # Names may be turned, join marks are not.
            words = page.filter(lambda one: one.get("upright", True)).extract_words()
            texts = " ".join(word["text"] for word in words)
            name = texts.split(" page, tile ")[0].split()[-1]
            tile = texts.split(" page, tile ")[1].split()[0]
            # A base is large enough for its name to keep off the marks, whose arms are 0.15 in long, a little
            # more for a printer that shrinks.
            crosses = {
                ((line["x0"] + line["x1"]) / 2, line["top"]) for line in page.lines
                if line["top"] == line["bottom"] and 0.3 <= (line["x1"] - line["x0"]) / POINTS + TOLERANCE <= 0.31
            }
            for word in words:
                if word["text"].endswith(".base"):
                    off = [
                        x + 0.15 * POINTS <= word["x0"] or word["x1"] <= x - 0.15 * POINTS
                        or y + 0.15 * POINTS <= word["top"] or word["bottom"] <= y - 0.15 * POINTS
                        for x, y in crosses
                    ]
                    tally.case(all(off), f"{word['text']} lies on a join mark of tile {tile}")
                if word["text"].isupper() and word["text"].isalpha() and len(word["text"]) <= 2:
                    seams.setdefault((name, word["text"]), set()).add(tile)
        tally.case(bool(tiles), "there are no tiles")
        tally.case(is_redo or len(tiles) == len(pages) or crosses, "there are no join marks")
        lonely = [mark for mark, where in seams.items() if len(where) != 2]
        tally.case(is_redo or len(tiles) == len(pages) or (seams and not lonely), f"marks on one tile: {lonely}")
    return tally
