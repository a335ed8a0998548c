"""What every outside check shares: the record, rings as shapely areas, a tally of cases."""

import json
from pathlib import Path

from shapely.geometry import Polygon, box


class Tally:
    """Counts the cases a check reads and keeps what is wrong with them."""

    def __init__(self, name):
        self.name = name
        self.cases = 0
        self.faults = []

    def case(self, is_right, message):
        self.cases += 1
        if not is_right:
            self.faults.append(message)
        return is_right

    def need(self, cases, what):
        """A check that should have had something to read, and had nothing, is a fault."""
        if cases == 0:
            self.faults.append(f"there was no {what} to check")

    def report(self):
        state = "ok" if not self.faults else "FAULT"
        print(f"  {self.name:<12} {self.cases:>5} cases  {state}")
        for fault in self.faults[:20]:
            print(f"    {fault}")
        return not self.faults


def record_of(folder):
    return json.loads((Path(folder) / "record.json").read_text())


def paper_of(sheet):
    """The paper of a sheet: a rectangle, or the outline that it has."""
    if sheet.get("outline"):
        return Polygon(sheet["outline"][0], sheet["outline"][1:])
    return box(0, 0, *sheet["size"])


def names_of(sheet):
    """The names of the sheets that are cut alike: a count of 12 at oat-1 stands for oat-1 to oat-12."""
    stem, number = sheet["id"].rsplit("-", 1)
    return [f"{stem}-{int(number) + further}" for further in range(sheet.get("count", 1))]


def copies_on(sheet):
    """Every copy that lies on a sheet or on one that is cut alike, as pairs of piece and copy: on the k-th
    sheet after the first, k times as many of a piece came before."""
    each = {}
    for one in sheet["placed"]:
        each[one["piece"]] = each.get(one["piece"], 0) + 1
    return [(one["piece"], one["copy"] + further * each[one["piece"]])
            for further in range(sheet.get("count", 1)) for one in sheet["placed"]]


def strips_once(record):
    """The strips, each once however often it is printed."""
    return list({strip["id"]: strip for strip in reversed(record["strips"])}.values())


def area_of(rings):
    """Rings by the even-odd rule: holes and islands alike."""
    whole = Polygon()
    for ring in rings:
        whole = whole.symmetric_difference(Polygon(ring).buffer(0))
    return whole


def bounds_of(rings):
    xs = [x for ring in rings for x, _ in ring]
    ys = [y for ring in rings for _, y in ring]
    return min(xs), min(ys), max(xs), max(ys)
