"""Small rectangle jobs on two sizes of sheets, built by the program and solved again by two packers that
know nothing of it: `rectangles.py PROGRAM`.

OR-tools' CP-SAT finds the least that any layout costs, cut from edge to edge or not. No plan may cost less;
it may cost more only where the program says that every way of sharing the pieces out was tried.
`rectpack` (guillotine algorithms) may not do better."""

import json
import os
import random
import subprocess
import sys
import tempfile
from pathlib import Path

import rectpack
from ortools.sat.python import cp_model

from common import Tally

JOBS = 25
# Width and height in quarters of an inch, and the price in hundredths of a coin.
SHEETS = [((48, 48), 100), ((34, 44), 62)]
# Seconds of two threads for one job; what isn't solved by then is not counted.
PATIENCE = 2.0
# So many jobs have to be solved and as cheap as CP-SAT's; the rest are those that edge-to-edge cuts forbid.
SOLVED = 18


def jobs():
    chance = random.Random("kites on the dunes")
    return [
        [(chance.randint(6, 34), chance.randint(6, 34)) for _ in range(chance.randint(8, 12))]
        for _ in range(JOBS)
    ]


def spec(pieces_of, more):
    """One spread with a paper for each job; `more` is a line of settings."""
    (large, dear), (small, cheap) = SHEETS
    names = [f"{width / 4:g} x {height / 4:g}" for width, height in (large, small)]
    lines = ["name: rectangles", "page: 12 x 12", "gutting: {when: never}", more, "papers:"]
    for number in range(len(pieces_of)):
        stock = ", ".join(
            f"{name}: {{count: 12, price: {price / 100}}}" for name, price in zip(names, (dear, cheap))
        )
        lines.append(f'  paper{number}: {{color: "#f4efe3", sheets: {{{stock}}}}}')
    lines += ["left:", "  pieces:"]
    for number, pieces in enumerate(pieces_of):
        for place, (width, height) in enumerate(pieces):
            lines.append(
                f"    - panel: {{id: j{number}-{place}, paper: paper{number}, "
                f"size: {width / 4:g} x {height / 4:g}, at: [0, 0]}}"
            )
    return "\n".join(lines) + "\n"


def build(program, pieces_of, more=""):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "rectangles.yaml"
        path.write_text(spec(pieces_of, more))
        out = Path(folder) / "out"
        subprocess.run([program, "build", path, "--out", out], check=True, stdout=subprocess.DEVNULL)
        return json.loads(next(out.glob("*/record.json")).read_text())


def price_of(record, paper):
    prices = {tuple(side / 4 for side in size): price for size, price in SHEETS}
    sizes = [tuple(sheet["size"]) for sheet in record["sheets"] if sheet["paper"] == paper]
    return sum(prices[size] for size in sizes)


def least(pieces, enough):
    """The least price of any layout up to `enough`, or nothing if there was too little time."""
    model = cp_model.CpModel()
    bins = [(size, price) for size, price in SHEETS for _ in range(enough // price)]
    used = [model.new_bool_var("") for _ in bins]
    xs, ys, by_bin = [], [], [([], []) for _ in bins]
    for width, height in pieces:
        turned = model.new_bool_var("")
        across = width + (height - width) * turned
        down = height + (width - height) * turned
        x, y = model.new_int_var(0, 48, ""), model.new_int_var(0, 48, "")
        right, bottom = model.new_int_var(0, 48, ""), model.new_int_var(0, 48, "")
        model.add(right == x + across)
        model.add(bottom == y + down)
        places = [model.new_bool_var("") for _ in bins]
        model.add_exactly_one(places)
        for (size, _), place, open_, (rows, columns) in zip(bins, places, used, by_bin):
            model.add(right <= size[0]).only_enforce_if(place)
            model.add(bottom <= size[1]).only_enforce_if(place)
            model.add_implication(place, open_)
            rows.append((model.new_optional_interval_var(x, across, right, place, ""), place, width * height))
            columns.append(model.new_optional_interval_var(y, down, bottom, place, ""))
        xs.append(x)
        ys.append(y)
    for (size, _), (rows, columns) in zip(bins, by_bin):
        model.add_no_overlap_2d([row for row, _, _ in rows], columns)
        model.add(sum(area * place for _, place, area in rows) <= size[0] * size[1])
    for one, other in zip(range(len(bins)), range(1, len(bins))):
        if bins[one] == bins[other]:
            model.add_implication(used[other], used[one])
    cost = sum(price * open_ for (_, price), open_ in zip(bins, used))
    model.add(cost <= enough)
    model.minimize(cost)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = PATIENCE
    solver.parameters.num_workers = 2
    state = solver.solve(model)
    if state == cp_model.INFEASIBLE:
        return enough + 1
    return round(solver.objective_value) if state == cp_model.OPTIMAL else None


def packed(pieces):
    """The price of rectpack's best answer: either size alone, or large ones before small ones."""
    best = None
    for kinds in ([0], [1], [0, 1], [1, 0]):
        for algorithm in (rectpack.GuillotineBssfSas, rectpack.GuillotineBafLas, rectpack.GuillotineBlsfMaxas):
            for fill in (rectpack.PackingBin.BFF, rectpack.PackingBin.BBF):
                packer = rectpack.newPacker(bin_algo=fill, pack_algo=algorithm, rotation=True)
                for kind in kinds:
                    packer.add_bin(*SHEETS[kind][0], count=12 if kind == kinds[-1] else 1)
                for piece in pieces:
                    packer.add_rect(*piece)
                packer.pack()
                if len(packer.rect_list()) == len(pieces):
                    prices = {size: price for size, price in SHEETS}
                    prices |= {size[::-1]: price for size, price in SHEETS}
                    price = sum(prices[one.width, one.height] for one in packer)
                    best = price if best is None else min(best, price)
    return best


def compare(pieces_of, record, solved):
    tally = Tally("rectangles")
    papers = {paper["name"]: paper for paper in record["papers"]}
    same = tried = 0
    for number, pieces in enumerate(pieces_of):
        paper = papers[f"paper{number}"]
        price = price_of(record, paper["name"])
        proven = any("was tried" in note for note in paper["notes"])
        tally.case(paper["new_sheets"] >= paper["bound"], f"job {number}: fewer sheets than the bound")
        other = packed(pieces)
        tally.case(other is None or price <= other, f"job {number}: {price}, rectpack {other}")
        if solved[number] is None:
            continue
        tally.case(price >= solved[number], f"job {number}: {price} is less than possible, {solved[number]}")
        tally.case(
            price == solved[number] or proven,
            f"job {number}: {price}, CP-SAT {solved[number]}, and no proof",
        )
        same += price == solved[number]
        tried += proven
    tally.told = f"{same} of {len(pieces_of)} as cheap as CP-SAT's, {tried} tried to the end"
    tally.case(same >= SOLVED, f"only {same} jobs are as cheap as CP-SAT's")
    return tally


def check(program):
    """Compares the program's answers, and sees that a dearer or a too cheap one would be noticed."""
    pieces_of = jobs()
    record = build(program, pieces_of)
    prices = [price_of(record, f"paper{number}") for number in range(len(pieces_of))]
    solved = [least(pieces, price) for pieces, price in zip(pieces_of, prices)]
    tally = compare(pieces_of, record, solved)
    print(f"  {tally.told}")
    dearer = json.loads(json.dumps(record))
    extra = dict(dearer["sheets"][0])
    for paper in dearer["papers"]:
        paper["notes"] = []
    dearer["sheets"] += [extra, extra]
    cheaper = json.loads(json.dumps(record))
    cheaper["sheets"] = cheaper["sheets"][1:]
    for name, spoilt in (("dearer", dearer), ("cheaper", cheaper)):
        tally.case(bool(compare(pieces_of, spoilt, solved).faults), f"a {name} answer goes unnoticed")
    return tally


if __name__ == "__main__":
    sys.exit(0 if check(os.path.abspath(sys.argv[1])).report() else 1)
