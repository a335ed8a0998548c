"""The cut guide read by pdfplumber: every cut of every sheet in order, its fence setting in ruler
fractions, what its parts are; type large enough and black enough for a look from an arm's length (a small
letter of 12.5 pt spans twice the 5 minutes of arc that a sharp eye needs at 28 in)."""

import re
from fractions import Fraction
from pathlib import Path

import pdfplumber
from common import Tally

# Half of the finest mark of a ruler, 1/32 in, and of a millimetre.
HALF_A_MARK = {"in": 1 / 64 + 1e-6, "mm": 0.25 / 25.4 + 1e-6}
SMALLEST = 7.9
TEXT = 12.0
DARKEST_GREY = 0.35


def measure(text):
    """Inches of `4 1/8 in` or `105.5 mm`."""
    number, unit = text.rsplit(" ", 1)
    value = float(sum(Fraction(part) for part in number.split()))
    return value if unit == "in" else value / 25.4


def check(record, folder):
    tally = Tally("guide")
    sheets = {sheet["id"]: sheet for sheet in record["sheets"] + record.get("prints", [])}
    fences = {name: [] for name in sheets}
    words = {name: "" for name in sheets}
    with pdfplumber.open(Path(folder) / "guide.pdf") as pdf:
        for number, page in enumerate(pdf.pages):
            text = page.extract_text().replace("\u00a0", " ")
            title = text.split("\n")[0].split(" ")[0]
            for char in page.chars:
                inside = 0.5 * 72 <= char["x0"] and char["x1"] <= page.width - 0.5 * 72 + 0.1
                inside = inside and char["top"] >= 0.4 * 72 and char["bottom"] <= page.height - 0.4 * 72
                ink = max(char["non_stroking_color"] or (0,))
                if not (inside and char["size"] >= SMALLEST and ink <= DARKEST_GREY):
                    tally.case(False, f"page {number + 1}: {char['text']} of {char['size']} pt, ink {ink}")
            tally.case(True, "")
            if title in sheets:
                fences[title] += re.findall(r"Fence (?:about )?((?:[\d./]+ )+(?:in|mm))", text)
                words[title] += text
    for name, sheet in sheets.items():
        told = [measure(fence) for fence in fences[name]]
        cut = [cut["fence"] for cut in sheet["cuts"]]
        near = HALF_A_MARK[record["shown_in"]]
        same = len(told) == len(cut) and all(abs(a - b) <= near for a, b in zip(told, cut))
        tally.case(same, f"{name}: fences {fences[name]} for {cut}")
        for fall in (fall for cut in sheet["cuts"] for fall in (cut["keeps"], cut["drops"])):
            if fall["id"]:
                tally.case(fall["id"] in words[name].replace("\n", " "), f"{name} does not tell of {fall['id']}")
        for offcut in sheet["offcuts"]:
            tally.case(offcut["id"] in words[name], f"{name} does not say to keep {offcut['id']}")
    return tally
