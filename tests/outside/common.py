"""What every outside check shares: the record, rings as shapely areas, a tally of cases."""

import json
from pathlib import Path

from shapely.geometry import Polygon


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
