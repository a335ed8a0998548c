"""The cut guide read by pdfplumber: every cut of every sheet in order, its fence setting in ruler
fractions, what its parts are; cut numbers that lie on nothing; every piece by its name and number in
whatever script; type large enough and black enough for a look from an arm's length (a small letter of 12.5 pt
spans twice the 5 minutes of arc that a sharp eye needs at 28 in)."""

import re
import unicodedata
from collections import Counter
from fractions import Fraction
from itertools import combinations
from pathlib import Path

import pdfplumber
from common import Tally

# Half of the finest mark of a ruler, 1/32 in, and of a millimetre.
HALF_A_MARK = {"in": 1 / 64 + 1e-6, "mm": 0.25 / 25.4 + 1e-6}
SMALLEST = 7.9
SETTING = 16.0
DARKEST_GREY = 0.35
# Letters that are read from right to left.
BACKWARDS = "[\u0590-\u08ff]"
# Diameters of the discs round cut numbers in drawings, in points.
DISC = (13.0, 17.5)


def measure(text):
    """Inches of `4 1/8 in` or `105.5 mm`."""
    number, unit = text.rsplit(" ", 1)
    value = float(sum(Fraction(part) for part in number.split()))
    return value if unit == "in" else value / 25.4


def lines_of(page):
    """The page's lines, column by column, each with the size of its largest letter."""
    middle = page.width / 2
    for left, right in ((0, middle), (middle, page.width)):
        column = page.crop((left, 0.75 * 72, right, page.height))
        for line in column.extract_text_lines(return_chars=True):
            yield line["text"].replace("\u00a0", " "), max(char["size"] for char in line["chars"])


def discs_of(page):
    """Middles and radii of the discs round cut numbers."""
    for curve in page.curves:
        width, height = curve["x1"] - curve["x0"], curve["bottom"] - curve["top"]
        if abs(width - height) < 0.5 and DISC[0] <= width <= DISC[1] and is_white(curve):
            yield (curve["x0"] + width / 2, curve["top"] + height / 2, width / 2)


def is_white(curve):
    return curve["fill"] and min(curve["non_stroking_color"] or (0,)) == 1


def size_of(char):
    """Type size in points; a letter that runs up the page is as wide as others are high."""
    runs_up = abs(char["matrix"][1]) > abs(char["matrix"][0])
    return char["x1"] - char["x0"] if runs_up else char["size"]


def check_look(tally, page, number):
    """Everything within the rim, large and black enough."""
    for char in page.chars:
        inside = 0.5 * 72 <= char["x0"] and char["x1"] <= page.width - 0.5 * 72 + 0.1
        inside = inside and char["top"] >= 0.4 * 72 and char["bottom"] <= page.height - 0.4 * 72
        ink = max(char["non_stroking_color"] or (0,))
        if not (inside and size_of(char) >= SMALLEST and ink <= DARKEST_GREY):
            tally.case(False, f"page {number}: {char['text']} of {size_of(char)} pt, ink {ink}")
    tally.case(True, "")


def check_numbers(tally, page, number):
    """Numbers of cuts lie on no other number, and on no name."""
    discs = list(discs_of(page))
    for (x, y, r), (x1, y1, r1) in combinations(discs, 2):
        apart = ((x - x1) ** 2 + (y - y1) ** 2) ** 0.5
        tally.case(apart >= r + r1 - 0.05, f"page {number}: two cut numbers at {x:.0f}, {y:.0f}")
    for x, y, r in discs:
        under = [
            char for char in page.chars
            if abs((char["x0"] + char["x1"]) / 2 - x) < r and abs((char["top"] + char["bottom"]) / 2 - y) < r
        ]
        told = "".join(char["text"] for char in under)
        tally.case(re.fullmatch(r"\d+", told), f"page {number}: {told!r} in a disc at {x:.0f}, {y:.0f}")


def check(record, folder):
    tally = Tally("guide")
    sheets = {sheet["id"]: sheet for sheet in record["sheets"] + record.get("prints", [])}
    fences = {name: [] for name in sheets}
    words = {name: "" for name in sheets}
    everything, sheet = "", None
    with pdfplumber.open(Path(folder) / "guide.pdf") as pdf:
        for number, page in enumerate(pdf.pages, 1):
            check_look(tally, page, number)
            check_numbers(tally, page, number)
            for text, size in lines_of(page):
                everything += text + "\n"
                title = next((name for name in sheets if size < SETTING and starts_with(text, name)), None)
                if title and size > 14.5:
                    sheet = title
                if size > 14.5 and text.startswith("Gut "):
                    sheet = None
                if size >= SETTING and sheet:
                    found = re.search(r"(\d+)(?:\u2013(\d+))? Fence (?:about )?((?:[\d./]+ )+(?:in|mm))", text)
                    if tally.case(found, f"{sheet}: {text}"):
                        first, last, fence = found.groups()
                        fences[sheet] += [measure(fence)] * (int(last or first) - int(first) + 1)
                if sheet:
                    words[sheet] += text + "\n"
    for name, sheet in sheets.items():
        cut = [cut["fence"] for cut in sheet["cuts"]]
        told = fences[name]
        near = HALF_A_MARK[record["shown_in"]]
        same = len(told) == len(cut) and all(abs(a - b) <= near for a, b in zip(told, cut))
        tally.case(same, f"{name}: fences {told} for {cut}")
        if sheet.get("count", 1) > 1:
            told_once = f"Cut {sheet['count']} sheets like this"
            tally.case(told_once in " ".join((words[name] or everything).split()) or not sheet["cuts"] and not sheet.get("work"),
                       f"{name} does not say how many are cut")
        # What falls off is told in the sheet's own part, a whole sheet in a line of a list.
        part = words[name] if sheet["cuts"] else everything
        for fall in (fall for cut in sheet["cuts"] for fall in (cut["keeps"], cut["drops"])):
            if fall["id"]:
                tally.case(holds(part, fall["id"]), f"{name} does not tell of {fall['id']}")
        for offcut in sheet["offcuts"]:
            tally.case(holds(part, offcut["id"]), f"{name} does not say to keep {offcut['id']}")
    placed = {one["piece"] for sheet in record["sheets"] for one in sheet["placed"]}
    for number, piece in enumerate(record["pieces"], 1):
        if piece["id"] in placed:
            tally.case(holds(everything, piece["id"]), f"the guide does not name {piece['id']}")
            tally.case(f"no. {number}" in everything.replace("\n", " "), f"no number {number}")
    if record.get("kits", 1) > 1 and "follows" not in record:
        tally.case("The bags" in everything and f"{record['kits']} kits" in everything, "no bags are packed")
        for kit in record.get("names", []):
            tally.case(holds(everything, kit), f"{kit} has no bag")
    tally.case("???" not in everything, "letters are missing")
    return tally


def is_backwards(name):
    """Whether a name is read from right to left: its letters are found as they lie, not in the name's order."""
    return re.search(BACKWARDS, name)


def base_letters(text):
    """A text without blanks and the signs that letters bear: a reader tells those with their letters or not."""
    text = re.sub(r"\s|\(cid:\d+\)", "", text)
    return "".join(letter for letter in text if unicodedata.category(letter)[0] != "M")


def starts_with(line, name):
    """Whether a line begins with a name."""
    line, flat = line + " ", base_letters(name)
    if is_backwards(name):
        return Counter(base_letters(line)[: len(flat)]) == Counter(flat)
    first = line[: line.find(" ")] if " " not in name else line[: len(name)]
    return base_letters(first) == flat


def holds(text, name):
    """Whether a text holds a name, whole or broken over lines; of one that is read from right to left, its
    letters."""
    flat = base_letters(text)
    if is_backwards(name):
        return not Counter(re.findall(BACKWARDS, name)) - Counter(re.findall(BACKWARDS, flat))
    return base_letters(name) in flat
