"""Cut files read by svgelements (SVG 1.1, 5.1 and 7: real sizes, view box, groups, paths)."""

import math
from pathlib import Path
from xml.etree import ElementTree

from common import Tally, bounds_of
from shapely.geometry import MultiLineString, Polygon
from shapely.ops import unary_union
from svgelements import SVG, Path as SvgPath

ORDER = ["register", "pen", "perforate", "score", "cut"]
SVG_NS = "{http://www.w3.org/2000/svg}"
STEP = 0.004


def flattened(path):
    """Each contour of a path in points less than STEP apart."""
    for contour in path.as_subpaths():
        points = []
        for segment in SvgPath(contour):
            kind = type(segment).__name__
            if kind == "Move":
                continue
            count = 1 if kind in ("Line", "Close") else max(8, int(segment.length(error=1e-3) / STEP))
            for step in range(count):
                point = segment.point(step / count)
                points.append((point.x, point.y))
        if len(points) > 2:
            yield points


def turned(point, degrees):
    """A point turned about the origin, clockwise where y is down."""
    x, y = point
    sine, cosine = math.sin(math.radians(degrees)), math.cos(math.radians(degrees))
    return cosine * x - sine * y, sine * x + cosine * y


def holes(piece, placed):
    """The cut lines of a piece where it lies: holes for pins and thread."""
    outline = [[turned(point, placed["turn"]) for point in ring] for ring in piece["outline"]]
    left, top, _, _ = bounds_of(outline)
    for line in piece["lines"]:
        if line["process"] == "cut":
            for ring in flattened(SvgPath(line["path"])):
                ring = [turned(point, placed["turn"]) for point in ring]
                yield [(x + placed["at"][0] - left, y + placed["at"][1] - top) for x, y in ring]


def on_mat(paper, point):
    """A point of the sheet in the frame of the paper on the mat: moved, then turned by a quarter if that lies so."""
    x, y = point[0] - paper["at"][0], point[1] - paper["at"][1]
    return (paper["size"][1] - y, x) if paper["turn"] else (x, y)


def boundary(rings):
    return MultiLineString([[*ring, ring[0]] for ring in rings])


def check(record, folder):
    tally = Tally("cut files")
    pieces = {piece["id"]: piece for piece in record["pieces"]}
    for sheet in record["sheets"]:
        machine = [one for one in sheet["placed"] if one["tool"] == "machine"]
        wanted = {(one["piece"], str(one["copy"])): one for one in machine}
        file = Path(folder) / "cut" / f"{sheet['id']}.svg"
        if not wanted:
            tally.case(not file.exists(), f"{file.name} is for a sheet without machine pieces")
            continue
        tally.case(file.exists(), f"{file.name} is missing")
        root = ElementTree.parse(file).getroot()
        size = [float(root.get(side).removesuffix("in")) for side in ("width", "height")]
        view = [float(part) for part in root.get("viewBox").split()]
        paper = sheet["on_mat"]
        page = paper["size"][::-1] if paper["turn"] else paper["size"]
        right = all(abs(a - b) < 1e-4 for a, b in zip([0, 0, *page], view))
        tally.case(right and all(abs(a - b) < 1e-4 for a, b in zip(size, page)),
                   f"{file.name} is not the size of the paper on the mat in inches")
        groups = [group.get("id") for group in root.iter(f"{SVG_NS}g") if group.get("id") in ORDER]
        tally.case(groups == sorted(groups, key=ORDER.index), f"{file.name}: groups {groups}")
        register = [g for g in root.iter(f"{SVG_NS}g") if g.get("id") == "register"]
        marks = [path for group in register for path in group.iter(f"{SVG_NS}path")]
        due = sheet.get("in_register") or record.get("mark_style", {}).get("every_sheet")
        tally.case(len(marks) >= 3 if due and record.get("mark_style") else not marks,
                   f"{file.name}: {len(marks)} registration marks")
        # A mark's middle is that of its box, but a corner mark's, which is its corner.
        wanted_marks = sheet.get("marks", [])
        tally.case(len(marks) == len(wanted_marks), f"{file.name}: marks the record does not know")
        for path, mark in zip(marks, wanted_marks):
            left, top, right, bottom = SvgPath(path.get("d")).bbox()
            arm = mark["arm"]
            if mark["kind"] == "corner":
                (x, y), (across, down) = mark["at"], mark["toward"]
                box = [min(x, x + across * arm), min(y, y + down * arm),
                       max(x, x + across * arm), max(y, y + down * arm)]
            else:
                box = [mark["at"][0] - arm, mark["at"][1] - arm, mark["at"][0] + arm, mark["at"][1] + arm]
            off = max(abs(a - b) for a, b in zip(box, (left, top, right, bottom)))
            tally.case(off <= 0.001, f"{file.name}: a mark lies {off} in off")
        cut = [g for g in root.iter(f"{SVG_NS}g") if g.get("id") == "cut"]
        tally.case(len(cut) == 1, f"{file.name}: {len(cut)} cut groups")
        found = {}
        for element in (path for group in cut for path in group.iter(f"{SVG_NS}path")):
            piece = (element.get("data-piece"), element.get("data-copy"))
            found.setdefault(piece, []).extend(flattened(SvgPath(element.get("d"))))
        tally.case(set(found) == set(wanted), f"{file.name}: {set(found) ^ set(wanted)}")
        for piece, contours in found.items():
            if piece not in wanted:
                continue
            rings = [*wanted[piece]["rings"], *holes(pieces[piece[0]], wanted[piece])]
            rings = [[on_mat(paper, point) for point in ring] for ring in rings]
            tally.case(len(contours) == len(rings), f"{piece}: {len(contours)} contours of {len(rings)}")
            apart = boundary(contours).hausdorff_distance(boundary(rings))
            # The record's flattening (0.001 in) and this reading's are both in the distance; vertices of
            # one lie within half a step of the other's chords.
            tally.case(apart <= 0.0021, f"{piece} in {file.name} is {apart} in off")
            # Deepest first: no contour lies inside one that was cut before it.
            areas = [Polygon(contour).buffer(0) for contour in contours]
            late = any(
                areas[i].buffer(1e-6).contains(areas[j])
                for i in range(len(areas)) for j in range(i + 1, len(areas))
            )
            tally.case(not late, f"{piece}: an inner contour comes after its outer one")
        SVG.parse(str(file))
    return tally
