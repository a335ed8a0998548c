"""Printed, then cut: the printed page of a sheet and its cut file, side by side. ISO 32000-1 for boxes
(14.11.2), PrintScaling (12.2) and layers that are not printed (8.11.4.4), read by pdfplumber and pikepdf; ISO
19593-1 for their groups and types; SVG 1.1 by svgelements; the page drawn by pdfium at 300 dots an inch for
ground and bleed."""

import subprocess
from pathlib import Path
from xml.etree import ElementTree

import pdfplumber
import pikepdf
import pypdfium2
from common import Tally, area_of, bounds_of
from on_mat import onto_sheet
from shapely.geometry import LinearRing, Point
from strips import OnPaper
from svgelements import Path as SvgPath

POINTS = 72.0
DPI = 300
NEAR = 0.001
SVG_NS = "{http://www.w3.org/2000/svg}"
# Ground is looked for so far beyond the cut: well within the bleed.
UNDER = 0.04
# What a drawn colour may differ by in a channel: edges are smoothed.
SHADE = 3


def marks_cut(folder, sheet):
    """The box of each registration mark of a cut file, in sheet coordinates."""
    root = ElementTree.parse(Path(folder) / "cut" / f"{sheet['id']}.svg").getroot()
    groups = [group for group in root.iter(f"{SVG_NS}g") if group.get("id") == "register"]
    for path in (path for group in groups for path in group.iter(f"{SVG_NS}path")):
        left, top, right, bottom = SvgPath(path.get("d")).bbox()
        corners = [onto_sheet(sheet["on_mat"], corner) for corner in ((left, top), (right, bottom))]
        yield [*map(min, zip(*corners)), *map(max, zip(*corners))]


def marks_printed(page, on_paper, boxes):
    """The box of what is drawn in the marks' layer near each of these places."""
    height = float(page.height)
    points = [
        (x / POINTS, (height - y) / POINTS)
        for drawn in [*page.lines, *page.curves, *page.rects]
        if drawn.get("tag") == "OC" and drawn.get("stroke") and not drawn.get("fill")
        for x, y in [(px, height - py) for px, py in drawn["pts"]]
    ]
    for left, top, right, bottom in boxes:
        (left, top), (right, bottom) = on_paper.point([left, top]), on_paper.point([right, bottom])
        near = [
            (x, y) for x, y in points if left - 0.05 < x < right + 0.05 and top - 0.05 < y < bottom + 0.05
        ]
        if not near:
            yield None
            continue
        found = (min(x for x, _ in near), min(y for _, y in near), max(x for x, _ in near), max(y for _, y in near))
        yield max(abs(a - b) for a, b in zip(found, (left, top, right, bottom)))


def channels(color):
    return [int(color[at : at + 2], 16) for at in (1, 3, 5)]


def check_ground(tally, record, sheet, drawn, on_paper):
    """Ground shows all round beyond the cut, and nothing shows further out than the bleed."""
    prints = {piece["id"]: piece["print"] for piece in record["pieces"] if piece.get("print")}
    pieces = [(placed["piece"], area_of(placed["rings"])) for placed in sheet["placed"]]
    for piece, area in pieces:
        print_on = prints[piece]
        wanted = print_on.get("ground") and channels(print_on["ground"])
        others = [other.buffer(0.08) for name, other in pieces if name != piece]
        for further, printed in ((UNDER, True), (print_on["bleed"] + UNDER, False)):
            if printed and not wanted:
                continue
            ring = area.buffer(further).exterior
            for step in range(200):
                point = ring.interpolate(step / 200, normalized=True)
                if any(other.contains(Point(point)) for other in others):
                    continue
                x, y = on_paper.point([point.x, point.y])
                shade = drawn.getpixel((round(x * DPI - 0.5), round(y * DPI - 0.5)))[:3]
                near = [255] * 3 if not printed else wanted
                off = max(abs(a - b) for a, b in zip(shade, near))
                what = "no ground" if printed else "print"
                tally.case(off <= SHADE, f"{piece}: {what} {further:.3f} in beyond the cut at {step}")


def check_contour(tally, record, sheet, drawn, on_paper):
    """Along the contour the page shows what it shows well inside it, ground or bare paper: no line."""
    prints = {piece["id"]: piece["print"] for piece in record["pieces"] if piece.get("print")}
    for placed in sheet["placed"]:
        print_on = prints[placed["piece"]]
        if print_on.get("picture"):
            continue
        hatched = any("M" in line["path"][1:] for line in print_on.get("lines", []))
        wanted = channels(print_on["ground"]) if print_on.get("ground") else [255] * 3
        for ring in placed["rings"]:
            contour = LinearRing(ring)
            off = 0
            for step in range(400):
                point = contour.interpolate(step / 400, normalized=True)
                x, y = on_paper.point([point.x, point.y])
                shade = drawn.getpixel((round(x * DPI - 0.5), round(y * DPI - 0.5)))[:3]
                off += max(abs(a - b) for a, b in zip(shade, wanted)) > SHADE
            # A hatching crosses the contour here and there, and may not run along it.
            most = 100 if hatched else 0
            tally.case(off <= most, f"{placed['piece']}: {off} of 400 looks at the contour show a line")


def check(record, folder):
    tally = Tally("printed, then cut")
    sheets = [sheet for sheet in record["sheets"] if sheet.get("in_register")]
    path = Path(folder) / "print" / "in-register.pdf"
    tally.case(path.exists() == bool(sheets), f"{path.name} is there without need, or missing")
    if not sheets:
        return tally
    sound = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True)
    tally.case(sound.returncode == 0, sound.stdout + sound.stderr)
    with pikepdf.open(path) as pdf:
        tally.case(pdf.Root.ViewerPreferences.PrintScaling == "/None", "the page may be scaled")
        tally.case(len(pdf.pages) == len(sheets), f"{len(pdf.pages)} pages for {len(sheets)} sheets")
        for group in pdf.Root.OCProperties.OCGs:
            kind = str(group.GTS_Metadata.GTS_ProcStepsGroup)
            tally.case(kind in ("/Dimensions", "/Legend"), f"layer {group.Name} is for a tool: {kind}")
    document = pypdfium2.PdfDocument(path)
    texts = {piece["id"]: piece["print"].get("text") for piece in record["pieces"] if piece.get("print")}
    with pdfplumber.open(path) as pdf:
        for sheet in sheets:
            number = sheet["in_register"] - 1
            page = pdf.pages[number]
            on_paper = OnPaper(record, sheet["size"])
            size = [float(page.width) / POINTS, float(page.height) / POINTS]
            tally.case(all(abs(a - b) < NEAR for a, b in zip(size, sheet["size"])), f"{sheet['id']}: size {size}")
            boxes = list(marks_cut(folder, sheet))
            tally.case(len(boxes) == 4, f"{sheet['id']}: {len(boxes)} marks in the cut file")
            for off in marks_printed(page, on_paper, boxes):
                tally.case(off is not None and off <= NEAR, f"{sheet['id']}: a printed mark is {off} in off")
            drawn = document[number].render(scale=DPI / POINTS).to_pil().convert("RGB")
            check_ground(tally, record, sheet, drawn, on_paper)
            check_contour(tally, record, sheet, drawn, on_paper)
            words = document[number].get_textpage()
            for placed in sheet["placed"]:
                text = texts.get(placed["piece"])
                # Each piece by itself, and its words in any order: that of turned lines is the reader's own.
                left, top, right, bottom = bounds_of(placed["rings"])
                [left, top], [right, bottom] = on_paper.point([left, top]), on_paper.point([right, bottom])
                height = sheet["size"][1]
                box = [left * POINTS, (height - bottom) * POINTS, right * POINTS, (height - top) * POINTS]
                said = words.get_text_bounded(*box).split()
                tally.case(text is None or sorted(text["text"].split()) == sorted(said),
                           f"{placed['piece']}: its text is not {said}")
    return tally
