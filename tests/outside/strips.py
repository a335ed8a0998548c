"""Printed strips: ISO 32000-1 for boxes (14.11.2), PrintScaling (12.2), page labels (12.4.2), bookmarks
(12.3.3) and embedded fonts (9.9); ISO 19593-1 for the layers' groups and types; OpenType GPOS, GSUB, hmtx
by uharfbuzz for the widths of their text; the pages drawn by pdfium at 600 dots an inch for trims and
padding. What poppler copies from them is what was written, in scripts that join and reorder letters too
(ISO 32000-1, 14.9.4)."""

import hashlib
import shutil
import subprocess
from pathlib import Path

import numpy
import pdfplumber
import pikepdf
import pypdfium2
import uharfbuzz
from common import Tally
from titles import fonts_of

NEAR = 0.001
POINTS = 72.0
DPI = 600
BLEED = 0.125
# Trims are measured where no letter can be: this far inside the strip.
CLEAR = 0.008
PADDING = 0.005
# ISO 19593-1: groups, and types of the structural one, that a layer may have here.
GROUPS = {"/Structural", "/Positions", "/Dimensions", "/Legend"}
STRUCTURAL = {"/Cutting", "/Creasing", "/Perforating", "/Bleed"}


def width_in(font, text):
    """Width of a text in em."""
    face = uharfbuzz.Face(uharfbuzz.Blob.from_file_path(font.reader.file.name))
    shaper = uharfbuzz.Font(face)
    buffer = uharfbuzz.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    uharfbuzz.shape(shaper, buffer)
    return sum(position.x_advance for position in buffer.glyph_positions) / face.upem


def fonts_by_hash(record):
    fonts = {}
    for font in fonts_of(record):
        data = Path(font.reader.file.name).read_bytes()
        fonts[hashlib.sha256(data).hexdigest()] = font
    return fonts


class OnPaper:
    """Where a record's points lie in the file, which is stretched for a printer that shrinks."""

    def __init__(self, record, size):
        scale = record.get("print_scale") or {"across": 1, "down": 1}
        self.stretch = [1 / scale["across"], 1 / scale["down"]]
        self.size = size

    def point(self, at):
        return [
            side / 2 + (one - side / 2) * stretch
            for one, side, stretch in zip(at, self.size, self.stretch)
        ]

    def box(self, at, size):
        end = [one + side for one, side in zip(at, size)]
        return [*self.point(at), *self.point(end)]


def near(one, other, by=NEAR):
    return all(abs(a - b) <= by for a, b in zip(one, other))


def boxes(tally, file, record):
    with pikepdf.open(file) as pdf:
        scaling = pdf.Root.ViewerPreferences.PrintScaling
        tally.case(scaling == pikepdf.Name("/None"), "the viewer is not asked to leave the scale")
        tally.case("/CreationDate" not in (pdf.docinfo or {}), "the file holds a date")
        title = str(pdf.docinfo.get("/Title", ""))
        tally.case(record["name"] in title, f"the document's title is {title!r}")
        tally.case(len(pdf.pages) == len(record["printed"]), f"{len(pdf.pages)} printed pages")
        with pdf.open_outline() as outline:
            names = [item.title for item in outline.root]
        wanted = [f"Page {page['number']}: {page['paper']}" for page in record["printed"]]
        tally.case(names == wanted, f"bookmarks {names}")
        for page, printed in zip(pdf.pages, record["printed"]):
            width, height = printed["size"]
            tally.case(page.label == f"strips {printed['number']}", f"page label {page.label!r}")
            strips = [strip for strip in record["strips"] if strip["page"] == printed["number"]]
            start = [min(strip["at"][axis] for strip in strips) for axis in (0, 1)]
            end = [max(s["at"][axis] + s["size"][axis] for s in strips) for axis in (0, 1)]
            trim = OnPaper(record, printed["size"]).box(start, [b - a for a, b in zip(start, end)])
            bleed = BLEED if any(strip.get("ground") for strip in strips) else 0
            by = {"/MediaBox": None, "/TrimBox": 0, "/BleedBox": bleed}
            for name, grown in by.items():
                box = [float(side) / POINTS for side in page.obj[name]]
                left, top, right, bottom = trim
                right_box = [0, 0, width, height] if grown is None else [
                    left - grown, height - bottom - grown, right + grown, height - top + grown,
                ]
                tally.case(near(right_box, box), f"{name} of page {printed['number']} is {box}")
            for font in page.obj.Resources.Font.values():
                descriptor = font.DescendantFonts[0].FontDescriptor
                embedded = "/FontFile2" in descriptor or "/FontFile3" in descriptor
                tally.case(embedded, f"{font.BaseFont} is not embedded")
        layers(tally, pdf)


def layers(tally, pdf):
    """ISO 19593-1: every layer says its group, and a structural one its type."""
    groups = list(pdf.Root.OCProperties.OCGs)
    tally.case(len(groups) > 0, "the file has no layers")
    names = []
    for group in groups:
        names.append(str(group.Name))
        metadata = group.GTS_Metadata
        kind = metadata.get("/GTS_ProcStepsType")
        known = str(metadata.GTS_ProcStepsGroup) in GROUPS
        typed = str(metadata.GTS_ProcStepsGroup) != "/Structural" or str(kind) in STRUCTURAL
        tally.case(known and typed, f"layer {group.Name}: {metadata.GTS_ProcStepsGroup}, {kind}")
    tally.case("cut" in names and "marks" in names, f"layers {names}")


def tools(tally, folder, record):
    """qpdf for the files' syntax; poppler for embedding and for text as it is copied."""
    for name in ("print/strips.pdf", "guide.pdf"):
        run = subprocess.run(["qpdf", "--check", str(Path(folder) / name)], capture_output=True)
        tally.case(run.returncode == 0, f"qpdf on {name}: {run.stdout.decode()[-200:]}")
    file = str(Path(folder) / "print" / "strips.pdf")
    if not shutil.which("pdffonts"):
        tally.case(False, "pdffonts is missing: install poppler-utils")
        return
    rows = subprocess.run(["pdffonts", file], capture_output=True, text=True).stdout.splitlines()
    for row in rows[2:]:
        # Columns from the right: object and generation, Unicode map, subset, embedded.
        embedded, subset, mapped = row.split()[-5:-2]
        tally.case((embedded, subset, mapped) == ("yes", "yes", "yes"), f"pdffonts: {row}")
    tally.case(len(rows) > 2, "pdffonts found no font")
    text = subprocess.run(["pdftotext", "-raw", file, "-"], capture_output=True, text=True).stdout
    text = " ".join(text.split())
    for strip in record["strips"]:
        tally.case(strip["text"] in text, f"pdftotext has no `{strip['text']}`")


def drawn(pdf, number):
    """A page at 600 dots an inch, light to dark from 0 to 1 for each of red, green, blue."""
    page = pdf[number].render(scale=DPI / POINTS).to_numpy()[:, :, :3]
    return 1 - page.astype(float) / 255


def middle_of_line(profile, start):
    """Where a thin line's middle lies in a stretch of dots, by the weight of its ink, in inches."""
    weight = profile - numpy.median(profile)
    weight = numpy.abs(weight)
    if weight.sum() < 0.1:
        return None
    return (start + (weight * (numpy.arange(len(profile)) + 0.5)).sum() / weight.sum()) / DPI


def trims_and_padding(tally, page, strip, box):
    """The strip's trim lines, and the paper left and right of its ink, in drawn dots."""
    left, top, right, bottom = box
    dots = [round(edge * DPI) for edge in box]
    row = round((top + CLEAR) * DPI)
    column = round((left + CLEAR) * DPI)
    reach = 4
    lines = [
        (left, page[row - 1:row + 1, dots[0] - reach:dots[0] + reach].mean((0, 2)), dots[0]),
        (right, page[row - 1:row + 1, dots[2] - reach:dots[2] + reach].mean((0, 2)), dots[2]),
        (top, page[dots[1] - reach:dots[1] + reach, column - 1:column + 1].mean((1, 2)), dots[1]),
        (bottom, page[dots[3] - reach:dots[3] + reach, column - 1:column + 1].mean((1, 2)), dots[3]),
    ]
    if not strip.get("ground"):
        for edge, profile, dot in lines:
            found = middle_of_line(profile, dot - reach)
            right_place = found is not None and abs(found - edge) <= 1.5 / DPI
            tally.case(right_place, f"{strip['id']}: trim drawn at {found}, not {edge}")
    inset = round(0.012 * DPI)
    inside = page[dots[1] + inset:dots[3] - inset, dots[0] + inset:dots[2] - inset]
    ground = numpy.median(inside.reshape(-1, 3), axis=0)
    ink = numpy.abs(inside - ground).max(axis=2) > 0.1
    found = numpy.flatnonzero(ink.any(axis=0))
    if len(found) == 0:
        tally.case(False, f"{strip['id']}: no ink")
        return
    before = (dots[0] + inset + found[0]) / DPI - left
    after = right - (dots[0] + inset + found[-1] + 1) / DPI
    tally.case(min(before, after) > 0.05, f"{strip['id']}: padding {before}, {after}")
    if len({glyph["y"] for run in strip["runs"] for glyph in run["glyphs"]}) == 1:
        even = abs(before - after) <= PADDING
        tally.case(even, f"{strip['id']}: padding {before:.4f}, {after:.4f}")


def words_in(chars):
    """Text of characters line by line."""
    lines = {}
    for char in chars:
        lines.setdefault(round(char["matrix"][5], 1), []).append(char)
    said = []
    for _, line in sorted(lines.items(), reverse=True):
        said.extend("".join(char["text"] for char in line).split())
    return said


def is_plain(strip):
    """Whether each glyph stands for its letters by itself: pdfplumber knows no replacement text."""
    glyphs = [glyph for run in strip["runs"] for glyph in run["glyphs"]]
    meanings = {}
    for run in strip["runs"]:
        for glyph in run["glyphs"]:
            meanings.setdefault((run["font"], glyph["id"]), set()).add(glyph["text"])
    return all(glyph["text"] for glyph in glyphs) and all(len(texts) == 1 for texts in meanings.values())


def settings(tally, record):
    """How often the fence is set for a printed page: once for each measure. Only that of a rim may come again,
    where it happens to be one of a strip's as well."""
    for printed in record["printed"]:
        sheet = next(sheet for sheet in record["sheets"] if sheet["id"] == printed["sheet"])
        fences = [cut["fence"] for cut in sheet["cuts"]]
        changes = sum(one != other for one, other in zip(fences, fences[1:])) + bool(fences)
        strips = [strip for strip in record["strips"] if strip["page"] == printed["number"]]
        of_strips = {side for strip in strips for side in strip["size"]}
        again = sum(fences.count(fence) > 1 and fence in of_strips for fence in fences[:4])
        most = len(set(fences)) + again
        tally.case(changes <= most, f"{sheet['id']}: {changes} fence settings where {most} do")


def ruler(tally, page, record):
    """The ruler across, 6 in or 150 mm, in the file as the printer is to shrink it."""
    across = 150 / 25.4 if record["shown_in"] == "mm" else 6
    stretch = OnPaper(record, [1, 1]).stretch
    lengths = [(line["x1"] - line["x0"]) / POINTS for line in page.lines]
    found = any(abs(length - across * stretch[0]) <= NEAR for length in lengths)
    tally.case(found, f"no ruler of {across} in among {len(lengths)} lines")
    black = [line["stroking_color"] for line in page.lines]
    full = all(not any(float(part) for part in color) for color in black)
    tally.case(full, "marks are not in full black")


def below_start(tally, page, picture, printed, record):
    """On a sheet that was fed once nothing is printed above where it is free: no object of the file, no ink."""
    start = printed.get("start")
    if start is None:
        return
    name = f"page {printed['number']}"
    for strip in record["strips"]:
        if strip["page"] == printed["number"]:
            tally.case(strip["at"][1] >= start, f"{strip['id']} begins above {start} in")
    top = OnPaper(record, printed["size"]).point([0, start])[1]
    higher = [one for kind in page.objects.values() for one in kind if one["top"] < top * POINTS - 1e-3]
    tally.case(not higher, f"{name}: {len(higher)} objects reach above {start} in")
    # A dot that the border runs through may be half inked.
    rows = int(top * DPI)
    tally.case(picture[:rows].max() < 0.02, f"{name}: ink above {start} in")
    tally.case(picture[rows:].max() > 0.5, f"{name}: no ink below {start} in")
    sheet = next(sheet for sheet in record["sheets"] if sheet["id"] == printed["sheet"])
    first = sheet["cuts"][0]
    across = [first["from"], first["to"]] == [[0, start], [printed["size"][0], start]]
    tally.case(across, f"{name}: the first cut is from {first['from']} to {first['to']}")
    told = [falls for falls in (first["keeps"], first["drops"]) if falls["what"] == "printed before"]
    tally.case(len(told) == 1 and told[0]["area"]["at"] == [0, 0], f"{name}: what was printed before stays on")
    tally.case(not sheet["offcuts"] and sheet["from"] == "new" and not sheet.get("to_buy"), f"{name}: its sheet counts as paper")


def check(record, folder):
    tally = Tally("strips")
    if not record["strips"]:
        return tally
    file = Path(folder) / "print" / "strips.pdf"
    boxes(tally, file, record)
    tools(tally, folder, record)
    settings(tally, record)
    fonts = fonts_by_hash(record)
    pictures = pypdfium2.PdfDocument(str(file))
    said = {}
    with pdfplumber.open(file) as pdf:
        for number, printed in enumerate(record["printed"]):
            page = pdf.pages[number]
            picture = drawn(pictures, number)
            on_paper = OnPaper(record, printed["size"])
            ruler(tally, page, record)
            below_start(tally, page, picture, printed, record)
            for strip in record["strips"]:
                if strip["page"] != printed["number"]:
                    continue
                edges = on_paper.box(strip["at"], strip["size"])
                found = [
                    rect for rect in page.rects
                    if near(edges, [rect[side] / POINTS for side in ("x0", "top", "x1", "bottom")])
                ]
                tally.case(len(found) == 1, f"{strip['id']}: {len(found)} trim rectangles of its size")
                trims_and_padding(tally, picture, strip, edges)
                left, top, right, bottom = (edge * POINTS for edge in edges)
                chars = [
                    char for char in page.chars
                    if top < (char["top"] + char["bottom"]) / 2 < bottom
                    and left <= (char["x0"] + char["x1"]) / 2 <= right
                ]
                if is_plain(strip):
                    said[strip["id"]] = words_in(chars)
                for run in strip["runs"]:
                    text = "".join(glyph["text"] for glyph in run["glyphs"])
                    lines = {glyph["y"] for glyph in run["glyphs"]}
                    font = fonts.get(record["fonts"][run["font"]]["sha256"])
                    if font is None or len(lines) > 1:
                        tally.case(font is not None, f"{strip['id']}: its font was not found")
                        continue
                    width = width_in(font, text) * strip["type_size"] / POINTS
                    recorded = sum(glyph["advance"] for glyph in run["glyphs"])
                    off = abs(width - recorded)
                    tally.case(off <= NEAR, f"{strip['id']}: text width off by {off} in")
    for strip in record["strips"]:
        words = said.get(strip["id"])
        if is_plain(strip):
            tally.case(words == strip["text"].split(), f"{strip['id']} reads: {words}")
    return tally
