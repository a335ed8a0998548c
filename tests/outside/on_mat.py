"""The trimmer and the machine replayed together, by shapely: the cuts that come before the machine's step leave
the very paper that its cut file is drawn on; what the file cuts, put back on the sheet through the paper's
frame, is the machine's pieces; no cut before or after runs through one of them; and the proof tells the steps
in that order. SVG 1.1, 5.1 and 7 for page and view box; the placing rule of the frame is the record's."""

from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import trimmer
from common import Tally, area_of
from cut_files import SVG_NS, flattened
from shapely.geometry import LineString, box
from svgelements import Path as SvgPath

NEAR = 1e-4
# Both readings of an outline stray from it by the record's flattening, 0.001 in.
FLATTENING = 0.001


def lying(paper):
    """Width and height of the loaded paper as it lies on the mat."""
    width, height = paper["size"]
    return (height, width) if paper["turn"] else (width, height)


def onto_sheet(paper, point):
    """A point of the loaded paper's frame in sheet coordinates: turned back by a quarter, then moved."""
    x, y = point
    if paper["turn"]:
        x, y = y, paper["size"][1] - x
    return x + paper["at"][0], y + paper["at"][1]


class Steps(HTMLParser):
    """The steps of each sheet in the proof: a cut's number, or the machine."""

    def __init__(self):
        super().__init__()
        self.steps, self.sheet, self.named = {}, None, False

    def handle_starttag(self, tag, attributes):
        attributes = dict(attributes)
        if tag == "article":
            self.sheet = attributes.get("id")
            self.steps[self.sheet] = []
        elif tag == "li" and self.sheet:
            if attributes.get("class") == "machine":
                self.steps[self.sheet].append("machine")
            elif "value" in attributes:
                self.steps[self.sheet].append(int(attributes["value"]))


def page_of(root):
    size = [float(root.get(side).removesuffix("in")) for side in ("width", "height")]
    return size, [float(part) for part in root.get("viewBox").split()]


def contours_of(root):
    """The contours of each piece in the cut group, in points of the file."""
    found = {}
    for group in root.iter(f"{SVG_NS}g"):
        if group.get("id") == "cut":
            for path in group.iter(f"{SVG_NS}path"):
                piece = (path.get("data-piece"), path.get("data-copy"))
                found.setdefault(piece, []).extend(flattened(SvgPath(path.get("d"))))
    return found


def check_marks(tally, record, sheet, root):
    """Marks stand only where a print carries them, or where they are asked for; within the page."""
    groups = [group for group in root.iter(f"{SVG_NS}g") if group.get("id") == "register"]
    paths = [path for group in groups for path in group.iter(f"{SVG_NS}path")]
    style = record.get("mark_style") or {}
    due = bool(sheet.get("in_register")) or style.get("every_sheet", False)
    tally.case(due or not paths, f"{sheet['id']}: {len(paths)} marks on a sheet that is not printed")
    tally.case(not groups or paths, f"{sheet['id']}: an empty group of marks")
    width, height = lying(sheet["on_mat"])
    for path in paths:
        left, top, right, bottom = SvgPath(path.get("d")).bbox()
        inside = left >= 0 and top >= 0 and right <= width and bottom <= height
        tally.case(inside, f"{sheet['id']}: a mark leaves the paper")


def check_sheet(tally, record, sheet, root):
    name, paper = sheet["id"], sheet["on_mat"]
    size, view = page_of(root)
    wanted = lying(paper)
    same = all(abs(a - b) <= NEAR for a, b in zip([*size, *view], [*wanted, 0, 0, *wanted]))
    tally.case(same, f"{name}: its page is {size}, view box {view}, and {wanted} lies on the mat")
    mat = record["rules"].get("mat")
    if mat:
        tally.case(all(a <= b + NEAR for a, b in zip(wanted, mat)), f"{name}: {wanted} does not lie on a mat of {mat}")
    before = {**sheet, "cuts": sheet["cuts"][: paper["after"]]}
    parts = trimmer.replay(Tally("before"), before, record["rules"]["kerf"])
    loaded = trimmer.area(paper)
    tally.case(trimmer.take(parts, loaded) is not None, f"{name}: {loaded} is not in hand after {paper['after']} cuts")
    check_marks(tally, record, sheet, root)
    margin = record["rules"]["machine_margin"]
    reach = box(0, 0, *wanted).buffer(-margin, join_style="mitre").buffer(2 * FLATTENING)
    overcut = record["pace"]["overcut"]
    contours = contours_of(root)
    cuts = [(cut["number"], LineString([cut["from"], cut["to"]])) for cut in sheet["cuts"]]
    placed = {(one["piece"], str(one["copy"])): one for one in sheet["placed"] if one["tool"] == "machine"}
    tally.case(set(placed) == set(contours), f"{name}: other pieces are cut than the machine's")
    for key in set(placed) & set(contours):
        area = area_of(placed[key]["rings"])
        drawn = area_of(contours[key])
        tally.case(reach.contains(drawn), f"{name}: {key[0]} leaves the paper on the mat, or its rim")
        there = area_of([[onto_sheet(paper, point) for point in ring] for ring in contours[key]])
        apart = there.boundary.hausdorff_distance(area.boundary)
        # Holes for pins and thread are cut lines of a piece, not its rings: its outside decides.
        if len(contours[key]) == len(placed[key]["rings"]) and not overcut:
            tally.case(apart <= 2.1 * FLATTENING, f"{name}: {key[0]} lies {apart} in beside its place on the sheet")
        outside = there.envelope.symmetric_difference(area.envelope).area
        tally.case(outside <= 0.01 * area.envelope.length, f"{name}: {key[0]} is elsewhere on the sheet")
        for number, line in cuts:
            through = line.intersection(area.buffer(-2 * FLATTENING)).length
            tally.case(through <= NEAR, f"{name}: cut {number} runs {through} in through {key[0]}")


def check(record, folder):
    tally = Tally("on the mat")
    steps = Steps()
    steps.feed((Path(folder) / "proof.html").read_text())
    for number, sheet in enumerate(record["sheets"]):
        file = Path(folder) / "cut" / f"{sheet['id']}.svg"
        if not sheet.get("strokes"):
            tally.case(not file.exists(), f"{file.name} has nothing to cut")
            continue
        if not tally.case(sheet.get("on_mat"), f"{sheet['id']}: the record does not say what lies on the mat"):
            continue
        check_sheet(tally, record, sheet, ElementTree.parse(file).getroot())
        if sheet["cuts"]:
            wanted = [cut["number"] for cut in sheet["cuts"]]
            wanted.insert(sheet["on_mat"]["after"], "machine")
            told = steps.steps.get(f"sheet-{number + 1}")
            tally.case(told == wanted, f"{sheet['id']}: the proof tells {told} for {wanted}")
    return tally
