"""Sheets against shapely: nothing overlaps, nothing leaves its sheet, every piece once, areas equal.

Source of the tolerances: record.json promises outlines flattened within 0.001 in, so two readings of
one outline may differ by that times its length; the machine's spacing may lose it on both sides.
"""

from collections import Counter
from itertools import combinations

from common import Tally, area_of, copies_on, names_of, paper_of
from shapely import affinity
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

FLATTENING = 0.001


def laid_on_page(area, piece):
    """The record's placing rule on a page."""
    turned = affinity.rotate(area, piece["turn"], origin=(0, 0))
    left, top, _, _ = turned.bounds
    return affinity.translate(turned, piece["at"][0] - left, piece["at"][1] - top), (left, top)


def opened(piece, opening):
    """The ring of a piece's outline that is an opening, found by its box."""
    rings = [Polygon(ring) for ring in piece["outline"][1:]]
    (left, top), (width, height) = opening["at"], opening["size"]
    wanted = [left, top, left + width, top + height]
    return min(rings, key=lambda ring: max(abs(a - b) for a, b in zip(ring.bounds, wanted)))


def held(tally, record, piece, opening):
    """What an opening holds lies inside it on the piece's own sheet."""
    tally.case(bool(opening["holds"]), f"the opening of {piece['id']} holds nothing")
    for sheet in record["sheets"]:
        placed = {one["piece"]: one for one in sheet["placed"]}
        if piece["id"] not in placed:
            continue
        holes = [Polygon(ring) for ring in placed[piece["id"]]["rings"][1:]]
        for name in opening["holds"]:
            inside = name in placed and any(
                hole.contains(Polygon(placed[name]["rings"][0])) for hole in holes
            )
            tally.case(inside, f"{name} does not lie in the opening of {piece['id']}")


def gutting(tally, record, areas):
    """Every window is hidden by what lies on top with the glue margin, keeps the rim, is cut out of its
    piece, and is the paper of one sheet at most, which comes after the sheet of its piece."""
    glue, rim = record["rules"]["glue"], record["rules"]["rim"]
    place = {one["piece"]: n for n, sheet in enumerate(record["sheets"]) for one in sheet["placed"]}
    windows = {}
    for piece in record["pieces"]:
        for middle in piece.get("gutted", []):
            tally.case(middle["id"] not in windows, f"{middle['id']} is cut twice")
            (left, top), (width, height) = middle["at"], middle["size"]
            windows[middle["id"]] = (piece, box(left, top, left + width, top + height))
        for number, opening in enumerate(piece.get("opened", [])):
            windows[f"opening {number + 1} of {piece['id']}"] = (piece, opened(piece, opening))
            held(tally, record, piece, opening)
    for name, (piece, window) in windows.items():
        own = areas[piece["id"]]
        outside = Polygon(own.exterior) if own.geom_type == "Polygon" else own.convex_hull
        tally.case(own.intersection(window).area <= 1e-6, f"{name} is not cut out of its piece")
        tally.case(
            outside.buffer(-rim + FLATTENING).contains(window), f"{name} leaves less than the rim"
        )
        _, (x, y) = laid_on_page(outside, piece)
        on_page = affinity.rotate(window, piece["turn"], origin=(0, 0))
        on_page = affinity.translate(on_page, piece["at"][0] - x, piece["at"][1] - y)
        covers = []
        for other in record["pieces"]:
            if other["page"] == piece["page"] and other["order"] > piece["order"]:
                covers.append(laid_on_page(areas[other["id"]], other)[0])
        for photo in record["photos"]:
            if photo["page"] == piece["page"] and photo["order"] > piece["order"]:
                covers.append(laid_on_page(box(0, 0, *photo["size"]), photo)[0])
        hidden = unary_union(covers).buffer(FLATTENING / 4)
        tally.case(hidden.contains(on_page.buffer(glue - FLATTENING)), f"{name} would be seen")
    for number, sheet in enumerate(record["sheets"]):
        if not sheet["from"].startswith("middle"):
            continue
        tally.case(sheet["from"] in windows, f"{sheet['id']} is from nowhere: {sheet['from']}")
        piece, window = windows.pop(sheet["from"], (None, None))
        if piece:
            left, top, right, bottom = window.bounds
            same = abs(right - left - sheet["size"][0]) + abs(bottom - top - sheet["size"][1]) < 1e-9
            tally.case(same, f"{sheet['id']} is not its window's size")
            tally.case(place[piece["id"]] < number, f"{sheet['id']} comes before its piece")
    left = [one["id"] for paper in record["papers"] for one in paper["offcuts_left"]]
    for name in (name for name in windows if name.startswith("middle")):
        tally.case(name in left, f"{name} is cut out and is nowhere")


def parts(tally, record):
    """A sheet that is a part of another has that part's size, as it lies or turned by a quarter, and comes
    after the whole; the printer's sheets are of the printer's size."""
    sheets = {sheet["id"]: (number, sheet) for number, sheet in enumerate(record["sheets"])}
    from_others = [sheet["id"] for sheet in record["sheets"] if sheet["from"] in sheets]
    named = [part["id"] for sheet in record["sheets"] for part in sheet.get("parts", [])]
    tally.case(sorted(named) == sorted(from_others), f"parts {named}, sheets cut from others {from_others}")
    for number, whole in enumerate(record["sheets"]):
        for part in whole.get("parts", []):
            place, sheet = sheets.get(part["id"], (-1, {"size": [], "from": ""}))
            same = sheet["size"] in (part["size"], part["size"][::-1]) and sheet["from"] == whole["id"]
            tally.case(same and place > number, f"{part['id']} is not that part of {whole['id']}")
    for sheet in record["sheets"]:
        if sheet["printed"] or sheet.get("in_register"):
            tally.case(sheet["size"] == record["printer"], f"{sheet['id']} is not the printer's size")


def counts(tally, record):
    """Sheets that are cut alike count as many: names go on after them, what is left of them is counted, and
    their areas come to that of the pieces, of what is kept and of waste."""
    names = [name for sheet in record["sheets"] for name in names_of(sheet)]
    tally.case(len(names) == len(set(names)) == record["totals"]["sheets"], "sheets share a name")
    used = {}
    for sheet in record["sheets"]:
        used[sheet["id"]] = sheet.get("count", 1)
    for sheet in record["sheets"]:
        count = sheet.get("count", 1)
        for part in sheet.get("parts", []):
            tally.case(part.get("count", 1) == used[part["id"]] <= count, f"{part['id']} is not so many parts")
        for offcut in sheet["offcuts"]:
            tally.case(offcut.get("count", 1) <= count, f"more of {offcut['id']} than of {sheet['id']}")
    # Of a sheet that was fed once, what was printed before counted then.
    starts = {page["sheet"]: page.get("start", 0) for page in record["printed"]}
    whole = sum(
        (paper_of(sheet).area - sheet["size"][0] * starts.get(sheet["id"], 0)) * sheet.get("count", 1)
        for sheet in record["sheets"] if not is_part(record, sheet) and not is_middle(record, sheet)
    )
    tally.case(abs(whole - record["totals"]["sheet_area"]) <= 1e-6 * max(1, whole), f"sheets of {whole} square inches")
    pieces = sum(piece["area"] * piece["copies"] for piece in record["pieces"])
    tally.case(abs(pieces - record["totals"]["piece_area"]) <= 2e-3 * pieces, f"pieces of {pieces} square inches")


def is_part(record, sheet):
    return any(part["id"] == sheet["id"] for whole in record["sheets"] for part in whole.get("parts", []))


def is_middle(record, sheet):
    return any(middle["id"] == sheet["from"] for piece in record["pieces"] for middle in piece.get("gutted", []))


def check(record, folder=None):
    tally = Tally("nesting")
    parts(tally, record)
    counts(tally, record)
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
    gutting(tally, record, areas)
    seen = Counter()
    for sheet in record["sheets"]:
        whole = paper_of(sheet)
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
            outside = area.difference(whole.buffer(1e-6)).area
            tally.case(outside == 0, f"{one['piece']} leaves {sheet['id']}")
            expected = areas[one["piece"]]
            tally.case(
                abs(area.area - expected.area) <= FLATTENING * expected.length + 1e-6,
                f"{one['piece']} on {sheet['id']} has another area than the piece",
            )
        seen.update(copies_on(sheet))
        for (one, first), (other, second) in combinations(placed, 2):
            shared = first.intersection(second).area
            names = f"{one['piece']} and {other['piece']} on {sheet['id']}"
            tally.case(shared <= 1e-6, f"{names} share {shared} square inches")
            if one["tool"] == other["tool"] == "machine":
                apart = first.distance(second)
                tally.case(apart >= spacing - 3 * FLATTENING, f"{names} are {apart} in apart")
        for offcut in sheet["offcuts"] + sheet.get("parts", []):
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
        tally.case(line["uses"] <= line["on_hand"] + line["buy"], f"more {line['paper']} is used than there is")
    tally.need(len(record["sheets"]), "sheet")
    return tally
