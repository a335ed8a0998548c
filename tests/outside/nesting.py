"""Sheets against shapely: nothing overlaps, nothing leaves its sheet, every piece once, areas equal.

Source of the tolerances: record.json promises outlines flattened within 0.001 in, so two readings of
one outline may differ by that times its length; the machine's spacing may lose it on both sides.
"""

from collections import Counter
from itertools import combinations

from common import Tally, area_of
from shapely import affinity
from shapely.geometry import box

FLATTENING = 0.001


def check(record, folder=None):
    tally = Tally("nesting")
    spacing = record["rules"]["spacing"]
    areas = {}
    for piece in record["pieces"]:
        area = area_of(piece["outline"])
        areas[piece["id"]] = area
        slack = FLATTENING * area.length + 1e-6
        tally.case(
            abs(area.area - piece["area"]) <= slack,
            f"{piece['id']}: area {piece['area']} but its outline has {area.area}",
        )
    seen = Counter()
    for sheet in record["sheets"]:
        whole = box(0, 0, *sheet["size"])
        placed = []
        for one in sheet["placed"]:
            area = area_of(one["rings"])
            placed.append((one, area))
            # The record's placing rule: turn about the origin (clockwise with y down, which is
            # counter-clockwise as shapely counts), then the bounding box's top left goes to `at`.
            laid = affinity.rotate(areas[one["piece"]], one["turn"], origin=(0, 0))
            left, top, _, _ = laid.bounds
            laid = affinity.translate(laid, one["at"][0] - left, one["at"][1] - top)
            tally.case(
                laid.symmetric_difference(area).area <= 2 * FLATTENING * laid.length + 1e-6,
                f"{one['piece']} on {sheet['id']} is not its outline, turned and moved",
            )
            seen[(one["piece"], one["copy"])] += 1
            outside = area.difference(whole.buffer(1e-6)).area
            tally.case(outside == 0, f"{one['piece']} leaves {sheet['id']}")
            expected = areas[one["piece"]]
            tally.case(
                abs(area.area - expected.area) <= FLATTENING * expected.length + 1e-6,
                f"{one['piece']} on {sheet['id']} has another area than the piece",
            )
        for (one, first), (other, second) in combinations(placed, 2):
            shared = first.intersection(second).area
            names = f"{one['piece']} and {other['piece']} on {sheet['id']}"
            tally.case(shared <= 1e-6, f"{names} share {shared} square inches")
            if one["tool"] == other["tool"] == "machine":
                apart = first.distance(second)
                tally.case(apart >= spacing - 3 * FLATTENING, f"{names} are {apart} in apart")
        for offcut in sheet["offcuts"]:
            left, top = offcut["at"]
            kept = box(left, top, left + offcut["size"][0], top + offcut["size"][1])
            shared = max((kept.intersection(area).area for _, area in placed), default=0)
            tally.case(shared <= 1e-6, f"{offcut['id']} overlaps a piece")
            tally.case(whole.buffer(1e-6).contains(kept), f"{offcut['id']} leaves its sheet")
    for piece in record["pieces"]:
        for copy in range(1, piece["copies"] + 1):
            count = seen.pop((piece["id"], copy), 0)
            tally.case(count == 1, f"{piece['id']} copy {copy} is cut {count} times")
    tally.case(not seen, f"unknown pieces are cut: {sorted(seen)}")
    for line in record["totals"]["shopping"]:
        tally.case(line["uses"] <= line["on_hand"], f"more {line['paper']} is used than there is")
    tally.need(len(record["sheets"]), "sheet")
    return tally
