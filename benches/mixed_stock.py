"""What `rectpack` pays for the jobs of `mixed_stock.rs`, which runs this: JSON of sheets and jobs on the
standard input, one price a job on the standard output, a line each, -1 where it found no answer.

It is given every chance: guillotine and free algorithms, several orders of the pieces and ways to choose a
sheet, each with one size of sheet alone and either size after one sheet of the other; then the best of them
with every number of sheets of one size before those of the other."""

import json
import sys

import rectpack
from rectpack import PackingBin

ALGORITHMS = [
    rectpack.GuillotineBssfSas,
    rectpack.GuillotineBssfMaxas,
    rectpack.GuillotineBafLas,
    rectpack.GuillotineBafMinas,
    rectpack.GuillotineBlsfMaxas,
    rectpack.MaxRectsBssf,
    rectpack.MaxRectsBaf,
    rectpack.MaxRectsBl,
    rectpack.SkylineMwfl,
    rectpack.SkylineBlWm,
]
ORDERS = [rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE, rectpack.SORT_PERI]
FILLS = [PackingBin.BFF, PackingBin.BBF]
# Of these ways to pack, so many are tried with every mix of sheets.
BEST = 3


def price(pieces, sheets, first, count, way):
    """With `count` sheets of kind `first`, then as many of the other as it takes."""
    algorithm, order, fill = way
    packer = rectpack.newPacker(bin_algo=fill, pack_algo=algorithm, sort_algo=order, rotation=True)
    for kind, number in ((first, count), (1 - first, float("inf"))):
        if number:
            packer.add_bin(*sheets[kind][0], count=number)
    for piece in pieces:
        packer.add_rect(*piece)
    packer.pack()
    if len(packer.rect_list()) < len(pieces):
        return float("inf")
    prices = {}
    for (width, height), paid in sheets:
        prices[width, height] = prices[height, width] = paid
    return sum(prices[one.width, one.height] for one in packer)


def least(pieces, sheets):
    ways = [(algorithm, order, fill) for algorithm in ALGORITHMS for order in ORDERS for fill in FILLS]
    starts = [(first, count) for first in (0, 1) for count in (0, 1)]
    ranked = sorted(
        (min(price(pieces, sheets, *start, way) for start in starts), number)
        for number, way in enumerate(ways)
    )
    best = ranked[0][0]
    for _, number in ranked[:BEST]:
        for first in (0, 1):
            count = 2
            while count * sheets[first][1] < best:
                best = min(best, price(pieces, sheets, first, count, ways[number]))
                count += 1
    return best


def main():
    work = json.load(sys.stdin)
    for pieces in work["jobs"]:
        paid = least(pieces, work["sheets"])
        print(paid if paid < float("inf") else -1, flush=True)


if __name__ == "__main__":
    main()
