"""Cutting stock: jobs of many copies, built by the program and solved to the end by a model that knows nothing
of it: `cutting_stock.py PROGRAM`.

Strips as wide as the sheet make a one-dimensional job. They are drawn as CUTGEN1 does (Gau & Wäscher, "CUTGEN1:
a problem generator for the standard one-dimensional cutting stock problem", EJOR 84, 1995, 572-579): `m` lengths,
all alike likely between two shares of the stock's, and demands that are random shares of `m` times the average. All
patterns are listed, and OR-tools' CP-SAT finds the fewest sheets, the optimum.

Rectangles on two sizes of sheets make a two-dimensional one. All sets that straight cuts from edge to edge can
cut from a sheet are found by going through every rectangle of the sheet and every cut of it (the recursion of
Gilmore & Gomory, Operations Research 13, 1965, for sets of pieces in place of values), and CP-SAT finds the least price.

The program may cost neither more nor less."""

import json
import os
import random
import subprocess
import sys
import tempfile
from pathlib import Path

from ortools.sat.python import cp_model

from common import Tally

# Sixteenths of an inch in a 12 in sheet.
LENGTH = 192
# Number of lengths, least and greatest share of the stock's, average demand (the paper's v1, v2 and demand; its
# least of 0.01 is left out, for strips of 1/8 in are no craft).
STRIPS = [(m, low, 0.8, demand) for m in (5, 10) for low in (0.1, 0.2) for demand in (10, 50)] * 2
# Width and height in half inches, and the price in hundredths of a coin.
SHEETS = [((24, 24), 100), ((17, 22), 62)]
RECTANGLES = 12
# Seconds for one model; all are solved in less.
PATIENCE = 60.0


def strips(chance, m, low, high, demand):
    """Lengths and demands by CUTGEN1; equal lengths are one."""
    lengths = [chance.randint(round(low * LENGTH), round(high * LENGTH)) for _ in range(m)]
    shares = [chance.random() for _ in range(m)]
    total = m * demand
    demands = [max(1, int(share / sum(shares) * total + 0.5)) for share in shares[:-1]]
    demands.append(max(1, total - sum(demands)))
    pieces = {}
    for length, wanted in zip(lengths, demands):
        pieces[length] = pieces.get(length, 0) + wanted
    return sorted(pieces.items())


def rectangles(chance):
    """Sizes in half inches, and how many of each."""
    sizes = {(chance.randint(6, 15), chance.randint(6, 15)) for _ in range(chance.randint(3, 4))}
    return sorted((size, chance.randint(20, 60)) for size in sizes)


def jobs():
    chance = random.Random("a class of kites")
    return [strips(chance, *parameters) for parameters in STRIPS], [rectangles(chance) for _ in range(RECTANGLES)]


def maximal(sets):
    """The sets that are in no other."""
    sets = sorted(sets, key=sum, reverse=True)
    kept = []
    for one in sets:
        if not any(all(a <= b for a, b in zip(one, other)) for other in kept):
            kept.append(one)
    return kept


def strip_patterns(pieces):
    """Every way to fill the stock's length to which no strip can be added."""
    found = []

    def fill(place, room, counts):
        if place == len(pieces):
            if all(room < length for length, _ in pieces):
                found.append(tuple(counts))
            return
        for count in range(room // pieces[place][0], -1, -1):
            fill(place + 1, room - count * pieces[place][0], counts + [count])

    fill(0, LENGTH, [])
    return found


def guillotine_patterns(pieces):
    """For each sheet, the largest sets of pieces that straight cuts from edge to edge can cut from it."""
    none = tuple(0 for _ in pieces)
    known = {}

    def sets(width, height):
        if (width, height) in known:
            return known[width, height]
        found = {none}
        for place, (size, _) in enumerate(pieces):
            if (size[0] <= width and size[1] <= height) or (size[1] <= width and size[0] <= height):
                found.add(tuple(int(other == place) for other in range(len(pieces))))
        for cut in range(1, width // 2 + 1):
            for one in sets(cut, height):
                found.update(tuple(map(sum, zip(one, other))) for other in sets(width - cut, height))
        for cut in range(1, height // 2 + 1):
            for one in sets(width, cut):
                found.update(tuple(map(sum, zip(one, other))) for other in sets(width, height - cut))
        known[width, height] = maximal(found)
        return known[width, height]

    return [sets(*size) for size, _ in SHEETS]


def least(demands, patterns):
    """The least cost of patterns, each with its own, that cover the demands; nothing if it isn't proven."""
    model = cp_model.CpModel()
    uses = [model.new_int_var(0, sum(demands), "") for _ in patterns]
    for place, demand in enumerate(demands):
        model.add(sum(counts[place] * use for (counts, _), use in zip(patterns, uses)) >= demand)
    model.minimize(sum(cost * use for (_, cost), use in zip(patterns, uses)))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = PATIENCE
    solver.parameters.num_workers = 2
    return round(solver.objective_value) if solver.solve(model) == cp_model.OPTIMAL else None


def optima(one_dimensional, two_dimensional):
    found = []
    for pieces in one_dimensional:
        patterns = [(counts, 1) for counts in strip_patterns(pieces)]
        found.append(least([demand for _, demand in pieces], patterns))
    for pieces in two_dimensional:
        by_sheet = zip(guillotine_patterns(pieces), SHEETS)
        patterns = [(counts, price) for sets, (_, price) in by_sheet for counts in sets]
        found.append(least([demand for _, demand in pieces], patterns))
    return found


def spec(one_dimensional, two_dimensional):
    """One spread with a paper for each job."""
    papers, pieces = [], []

    def add(sheets, sized):
        number = len(papers)
        papers.append(f'  paper{number}: {{color: "#f4efe3", sheets: {{{sheets}}}}}')
        for place, (size, copies) in enumerate(sized):
            pieces.append(
                f"    - panel: {{id: j{number}-{place}, paper: paper{number}, size: {size}, copies: {copies}, at: [0, 0]}}"
            )

    for job in one_dimensional:
        add("12 x 12: {count: 900, price: 1}", [(f"12 x {length / 16:g}", demand) for length, demand in job])
    for job in two_dimensional:
        sheets = ", ".join(
            f"{width / 2:g} x {height / 2:g}: {{count: 900, price: {price / 100}}}" for (width, height), price in SHEETS
        )
        add(sheets, [(f"{width / 2:g} x {height / 2:g}", demand) for (width, height), demand in job])
    head = ["name: cutting stock", "page: 12 x 12", "gutting: {when: never}", "papers:"]
    return "\n".join(head + papers + ["left:", "  pieces:"] + pieces) + "\n"


def build(program, text):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "cutting-stock.yaml"
        path.write_text(text)
        out = Path(folder) / "out"
        subprocess.run([program, "build", path, "--out", out], check=True, stdout=subprocess.DEVNULL)
        return json.loads(next(out.glob("*/record.json")).read_text())


def costs(record, strip_jobs, all_jobs):
    """What each job came to: sheets, or hundredths of a coin."""
    prices = {tuple(side / 2 for side in size): price for size, price in SHEETS}
    found = [0] * all_jobs
    for sheet in record["sheets"]:
        number = int(sheet["paper"].removeprefix("paper"))
        price = 1 if number < strip_jobs else prices[tuple(sheet["size"])]
        found[number] += price * sheet.get("count", 1)
    return found


def compare(found, known):
    tally = Tally("cutting stock")
    for number, (cost, optimum) in enumerate(zip(found, known)):
        tally.case(optimum is not None, f"job {number}: no optimum in time")
        tally.case(cost == optimum, f"job {number}: {cost}, and the optimum is {optimum}")
    return tally


def check(program):
    """Compares the program's answers, and sees that a dearer one would be noticed."""
    one_dimensional, two_dimensional = jobs()
    record = build(program, spec(one_dimensional, two_dimensional))
    known = optima(one_dimensional, two_dimensional)
    found = costs(record, len(one_dimensional), len(known))
    tally = compare(found, known)
    same = sum(cost == optimum for cost, optimum in zip(found, known))
    print(f"  {same} of {len(known)} jobs at the optimum, {sum(found)} against {sum(filter(None, known))}")
    tally.case(bool(compare([found[0] + 1, *found[1:]], known).faults), "a dearer answer goes unnoticed")
    return tally


if __name__ == "__main__":
    sys.exit(0 if check(os.path.abspath(sys.argv[1])).report() else 1)
