"""The trimmer's cuts replayed: every cut runs from edge to edge of a part in hand, and at the end each
piece, each offcut, and each part that is a sheet of its own, is free. Common practice, no source: a trimmer cuts straight
through."""

from common import Tally, bounds_of, paper_of
from shapely.geometry import LineString, box

SAME = 2e-6


def area(part):
    (left, top), (width, height) = part["at"], part["size"]
    return (left, top, left + width, top + height)


def same(one, other):
    return all(abs(a - b) <= SAME for a, b in zip(one, other))


def take(parts, wanted):
    for index, part in enumerate(parts):
        if same(part, wanted):
            return parts.pop(index)
    return None


def replay(tally, sheet, kerf):
    parts = [(0.0, 0.0, *sheet["size"])]
    for cut in sheet["cuts"]:
        name = f"{sheet['id']} cut {cut['number']}"
        hand = area(cut["in_hand"])
        tally.case(take(parts, hand) is not None, f"{name}: what is cut is not in hand")
        (x1, y1), (x2, y2) = cut["from"], cut["to"]
        down = abs(x1 - x2) <= SAME
        tally.case(down or abs(y1 - y2) <= SAME, f"{name} is not straight")
        ends = ((y1, y2), (hand[1], hand[3])) if down else ((x1, x2), (hand[0], hand[2]))
        tally.case(same(sorted(ends[0]), ends[1]), f"{name} does not run from edge to edge")
        at = x1 if down else y1
        halves = [area(cut["keeps"]["area"]), area(cut["drops"]["area"])]
        axis = 0 if down else 1
        for half in halves:
            crosses = half[axis] < at - SAME and half[axis + 2] > at + SAME
            inside = all(half[k] >= hand[k] - SAME and half[k + 2] <= hand[k + 2] + SAME for k in (0, 1))
            whole = same((half[1 - axis], half[3 - axis]), (hand[1 - axis], hand[3 - axis]))
            tally.case(inside and whole and not crosses, f"{name}: a half is not what it cuts")
        total = sum(half[axis + 2] - half[axis] for half in halves)
        tally.case(
            abs(total + kerf - (hand[axis + 2] - hand[axis])) <= 2 * SAME
            or (cut["drops"]["area"]["size"][axis] == 0 and total <= hand[axis + 2] - hand[axis] + SAME),
            f"{name}: the halves do not make up the whole",
        )
        kept = halves[0]
        tally.case(abs(kept[axis + 2] - kept[axis] - cut["fence"]) <= SAME, f"{name}: wrong fence")
        parts.extend(halves)
    return parts


def solid(shape):
    """What has an area: paper that only touches a line leaves nothing there."""
    parts = [one for one in getattr(shape, "geoms", [shape]) if one.area > 1e-9]
    return parts[0] if len(parts) == 1 else shape


def replay_shaped(tally, sheet, kerf):
    """The same where the paper is no rectangle: every cut goes through all of the paper in hand and leaves one
    piece on either side, which lies in the box that is told."""
    hands = [paper_of(sheet)]
    for cut in sheet["cuts"]:
        name = f"{sheet['id']} cut {cut['number']}"
        wanted = area(cut["in_hand"])
        place = next((n for n, hand in enumerate(hands) if same(hand.bounds, wanted)), None)
        if not tally.case(place is not None, f"{name}: what is cut is not in hand"):
            return []
        hand = hands.pop(place)
        (x1, y1), (x2, y2) = cut["from"], cut["to"]
        left, top, right, bottom = hand.bounds
        down = abs(x1 - x2) <= SAME
        tally.case(down or abs(y1 - y2) <= SAME, f"{name} is not straight")
        line = LineString([(x1, top - 1), (x1, bottom + 1)] if down else [(left - 1, y1), (right + 1, y1)])
        met = hand.intersection(line).bounds
        tally.case(same(met, (min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))), f"{name} does not run from edge to edge")
        at = x1 if down else y1
        near = box(left, top, at, bottom) if down else box(left, top, right, at)
        far = box(at + kerf, top, right, bottom) if down else box(left, at + kerf, right, bottom)
        for part, falls in ((near, "keeps"), (far, "drops")):
            half = solid(hand.intersection(part))
            tally.case(half.geom_type == "Polygon", f"{name}: {falls} falls apart")
            tally.case(same(half.bounds, area(cut[falls]["area"])), f"{name}: {falls} is not what it cuts")
            hands.append(half)
        size = cut["keeps"]["area"]["size"]
        tally.case(abs(size[0 if down else 1] - cut["fence"]) <= SAME, f"{name}: wrong fence")
    # What is free is a rectangle.
    return [hand.bounds for hand in hands if abs(hand.area - hand.envelope.area) <= SAME]


def check(record, folder=None):
    tally = Tally("trimmer")
    kerf = record["rules"]["kerf"]
    sizes = {piece["id"]: piece["size"] for piece in record["pieces"] + record["photos"]}
    for sheet in record["sheets"] + record.get("prints", []):
        parts = (replay_shaped if sheet.get("outline") else replay)(tally, sheet, kerf)
        for one in sheet["placed"]:
            if one["tool"] == "machine":
                continue
            left, top = one["at"]
            width, height = sizes[one["piece"]]
            if one["turn"] % 180:
                width, height = height, width
            free = take(parts, (left, top, left + width, top + height))
            tally.case(free is not None, f"{one['piece']} does not come free on {sheet['id']}")
            bounds = bounds_of(one["rings"])
            tally.case(
                bounds[2] - bounds[0] <= width + 1e-3 and bounds[3] - bounds[1] <= height + 1e-3,
                f"{one['piece']} is larger than its rectangle",
            )
        for part in sheet.get("parts", []):
            tally.case(take(parts, area(part)) is not None, f"part {part['id']} does not come free on {sheet['id']}")
        if sheet["cuts"]:
            for offcut in sheet["offcuts"]:
                tally.case(
                    take(parts, area(offcut)) is not None or sheet["machine"] is not None,
                    f"{offcut['id']} does not come free",
                )
    # What comes whole from the machine, as a redo of letters may, asks for no cut.
    sheets = record["sheets"] + record.get("prints", [])
    if any(one["tool"] != "machine" for sheet in sheets for one in sheet["placed"]):
        tally.need(tally.cases, "cut")
    return tally
