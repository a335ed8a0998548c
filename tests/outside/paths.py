"""Cut files read by svgpathtools, against the record and against what svgelements makes of the same path.

What a cut file's groups hold has to be the record's strokes, process by process and in order: as many
subpaths, closed where contours are (SVG 1.1, 8.3.3), as long within 0.1 %, in the same boxes within
0.001 in. The lengths told for a sheet's work have to be theirs, too.
"""

from pathlib import Path

from common import Tally, bounds_of
from cut_files import on_mat
from svgelements import Close, Path as OtherPath
from svgpathtools import Document

PROCESSES = ["pen", "perforate", "score", "cut"]
LENGTHS = 1e-3
"""By which share lengths may differ."""
BOXES = 0.001
"""By how many inches boxes may differ."""
FLATTENED = 0.001
"""How far the record's rings may stray from their curves."""
DECIMALS = 1e-5
"""What rounding to the file's decimals may move a coordinate, and then some."""


def apart(one, other):
    return max(abs(a - b) for a, b in zip(one, other))


def box(path):
    left, right, top, bottom = path.bbox()
    return left, top, right, bottom


class Other:
    """What svgelements finds in a stroke's path data."""

    def __init__(self, data):
        path = OtherPath(data)
        subpaths = [OtherPath(part) for part in path.as_subpaths()]
        self.closed = [any(isinstance(segment, Close) for segment in part) for part in subpaths]
        self.length = path.length(error=1e-5)
        self.box = path.bbox()


def compare(tally, name, path, stroke):
    """One path of the file and the stroke of the record that it is drawn from."""
    subpaths = path.continuous_subpaths()
    other = Other(stroke["path"])
    tally.case(len(subpaths) == len(other.closed), f"{name}: {len(subpaths)} subpaths, not {len(other.closed)}")
    closed = [part.isclosed() for part in subpaths]
    tally.case(closed == other.closed, f"{name}: closed {closed}, not {other.closed}")
    length = path.length(error=1e-6)
    tally.case(abs(length - other.length) <= LENGTHS * other.length, f"{name}: {length} in long, not {other.length}")
    off = apart(box(path), other.box)
    tally.case(off <= BOXES, f"{name}: its box is {off} in off")
    return length


def check_rings(tally, sheet, cut, overcut):
    """Every ring of a machine piece is a closed path of its own; with an overcut it goes on beyond its start,
    and is open."""
    for placed in sheet["placed"]:
        if placed["tool"] != "machine":
            continue
        paths = cut.get((placed["piece"], str(placed["copy"])), [])
        boxes = [box(path) for path in paths if path.isclosed() or overcut]
        for ring in placed["rings"]:
            wanted = bounds_of([[on_mat(sheet["on_mat"], point) for point in ring]])
            nearest = min((apart(wanted, one) for one in boxes), default=float("inf"))
            tally.case(nearest <= FLATTENED + DECIMALS,
                       f"{sheet['id']}: no closed path is a ring of {placed['piece']} ({nearest} in off)")


def check(record, folder):
    tally = Tally("paths")
    for sheet in record["sheets"]:
        file = Path(folder) / "cut" / f"{sheet['id']}.svg"
        if not sheet.get("strokes"):
            continue
        document = Document(str(file))
        told = {done["process"]: done for done in sheet["work"]["done"]}
        for process in PROCESSES:
            group = document.get_group([process])
            paths = [] if group is None else document.paths_from_group(group)
            strokes = [stroke for stroke in sheet["strokes"] if stroke["process"] == process]
            name = f"{file.name} {process}"
            if not tally.case(len(paths) == len(strokes), f"{name}: {len(paths)} paths for {len(strokes)} strokes"):
                continue
            length, cut = 0.0, {}
            for path, stroke in zip(paths, strokes):
                piece = (path.element.get("data-piece"), path.element.get("data-copy"))
                tally.case(piece == (stroke["piece"], str(stroke["copy"])),
                           f"{name}: {piece} where {stroke['piece']} is due")
                length += compare(tally, f"{name} {stroke['piece']}", path, stroke)
                cut.setdefault(piece, []).append(path)
            done = told.get(process, {"strokes": 0, "length": 0.0})
            tally.case(done["strokes"] == len(paths), f"{name}: {done['strokes']} strokes told of {len(paths)}")
            tally.case(abs(done["length"] - length) <= LENGTHS * length, f"{name}: {done['length']} in told of {length}")
            if process == "cut":
                check_rings(tally, sheet, cut, record["pace"]["overcut"])
    return tally
