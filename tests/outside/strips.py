"""Printed strips: ISO 32000-1 for boxes (14.11.2), PrintScaling (12.2) and embedded fonts (9.9);
uharfbuzz for the widths of their text (OpenType GPOS, GSUB, hmtx)."""

import subprocess
from pathlib import Path

import pdfplumber
import pikepdf
import uharfbuzz
from common import Tally
from titles import fonts_of

NEAR = 0.001
POINTS = 72.0


def width_in(font, text):
    """Width of a text in em."""
    face = uharfbuzz.Face(uharfbuzz.Blob.from_file_path(font.reader.file.name))
    shaper = uharfbuzz.Font(face)
    buffer = uharfbuzz.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    uharfbuzz.shape(shaper, buffer)
    return sum(position.x_advance for position in buffer.glyph_positions) / face.upem


def baseline(char, page):
    """Where a character stands, from the page's top, in points."""
    return float(page.height) - char["matrix"][5]


def boxes(tally, file, record):
    with pikepdf.open(file) as pdf:
        scaling = pdf.Root.ViewerPreferences.PrintScaling
        tally.case(scaling == pikepdf.Name("/None"), "the viewer is not asked to leave the scale")
        tally.case("/CreationDate" not in (pdf.docinfo or {}), "the file holds a date")
        tally.case(len(pdf.pages) == len(record["printed"]), f"{len(pdf.pages)} printed pages")
        for page, printed in zip(pdf.pages, record["printed"]):
            for name in ("/MediaBox", "/BleedBox", "/TrimBox"):
                box = [float(side) / POINTS for side in page.obj[name]]
                right = all(abs(a - b) < NEAR for a, b in zip([0, 0, *printed["size"]], box))
                tally.case(right, f"{name} of page {printed['number']} is {box}")
            for font in page.obj.Resources.Font.values():
                descriptor = font.DescendantFonts[0].FontDescriptor
                embedded = "/FontFile2" in descriptor or "/FontFile3" in descriptor
                tally.case(embedded, f"{font.BaseFont} is not embedded")


def check(record, folder):
    tally = Tally("strips")
    if not record["strips"]:
        return tally
    file = Path(folder) / "print" / "strips.pdf"
    boxes(tally, file, record)
    for name in ("print/strips.pdf", "guide.pdf"):
        run = subprocess.run(["qpdf", "--check", str(Path(folder) / name)], capture_output=True)
        tally.case(run.returncode == 0, f"qpdf on {name}: {run.stdout.decode()[-200:]}")
    fonts = list(fonts_of(record))
    said = []
    with pdfplumber.open(file) as pdf:
        for strip in record["strips"]:
            page = pdf.pages[strip["page"] - 1]
            left, top = strip["at"]
            edges = [left, top, left + strip["size"][0], top + strip["size"][1]]
            found = [
                rect for rect in page.rects
                if all(
                    abs(rect[side] / POINTS - edge) <= NEAR
                    for side, edge in zip(("x0", "top", "x1", "bottom"), edges)
                )
            ]
            tally.case(len(found) == 1, f"{strip['id']}: {len(found)} trim rectangles of its size")
            middle = (edges[1] + edges[3]) / 2 * POINTS
            chars = [
                char for char in page.chars
                if char["top"] < middle < char["bottom"]
                and edges[0] * POINTS <= (char["x0"] + char["x1"]) / 2 <= edges[2] * POINTS
            ]
            said.extend("".join(char["text"] for char in chars).split())
            inside = chars and all(
                char["x0"] >= edges[0] * POINTS - 0.01 and char["x1"] <= edges[2] * POINTS + 0.01
                and edges[1] < baseline(char, page) / POINTS < edges[3]
                for char in chars
            )
            tally.case(bool(inside), f"{strip['id']}: text leaves the strip")
            if chars:
                before = min(char["x0"] for char in chars) / POINTS - edges[0]
                after = edges[2] - max(char["x1"] for char in chars) / POINTS
                tally.case(abs(before - after) <= 0.005, f"{strip['id']}: padding {before}, {after}")
            widths = [width_in(font, strip["text"]) * strip["type_size"] / POINTS for font in fonts]
            recorded = sum(glyph["advance"] for run in strip["runs"] for glyph in run["glyphs"])
            near = min((abs(width - recorded) for width in widths), default=1)
            tally.case(near <= NEAR, f"{strip['id']}: text width off by {near} in")
    story = " ".join(strip["text"] for strip in record["strips"]).split()
    tally.case(said == story, f"the story reads: {' '.join(said)}")
    return tally
