"""Small rectangle jobs with a limit on how often the direction of cuts may change, solved again by OR-tools'
CP-SAT as strips, stacks in strips and pieces in stacks: `stages.py PROGRAM`.

With one change a strip holds pieces just as high as itself; with two, stacks of pieces that are equally wide
(the exact three-stage pattern of Puchinger & Raidl, European Journal of Operational Research 183, 2007, with
either size of sheet and either direction of the first cuts). No plan may cost less than the least such
layout, and none may cost more."""

import os
import random
import sys

from ortools.sat.python import cp_model

from common import Tally
from rectangles import PATIENCE, SHEETS, build, price_of

JOBS = 15
# So many of the jobs, of those of both limits together, have to be solved in time, on a slow machine too.
SOLVED = 12


def jobs():
    """Whole inches mostly, so that equal sides come up."""
    chance = random.Random("kites in a row")
    sides = [8, 12, 12, 16, 16, 18, 20, 24, 28, 32]
    return [
        [(chance.choice(sides), chance.choice(sides)) for _ in range(chance.randint(7, 11))]
        for _ in range(JOBS)
    ]


class Patterns:
    """Pieces in stacks, stacks in strips, strips on sheets; a stack, a strip bears its first piece's number."""

    def __init__(self, pieces, stacked, enough):
        self.model = cp_model.CpModel()
        self.pieces, self.stacked = pieces, stacked
        self.longest = max(side for size, _ in SHEETS for side in size)
        self.bins = [
            (way, price)
            for size, price in SHEETS
            for way in sorted({size, size[::-1]})
            for _ in range(enough // price)
        ]
        number = range(len(pieces))
        heights, widths = self.stacks(number)
        strips, strip_heights, in_strip = self.strips(number, heights, widths)
        self.sheets(number, strips, strip_heights, in_strip, enough)

    def held(self, length, holds):
        """The length if it is held, else nothing."""
        part = self.model.new_int_var(0, self.longest, "")
        self.model.add(part == length).only_enforce_if(holds)
        self.model.add(part == 0).only_enforce_if(~holds)
        return part

    def stacks(self, number):
        sums = {stack: [] for stack in number}
        widths = [self.model.new_int_var(0, self.longest, "") for _ in number]
        self.opens = {stack: [] for stack in number}
        for piece in number:
            places = []
            for stack in range(piece + 1) if self.stacked else [piece]:
                for width, height in sorted({self.pieces[piece], self.pieces[piece][::-1]}):
                    here = self.model.new_bool_var("")
                    self.model.add(widths[stack] == width).only_enforce_if(here)
                    sums[stack].append(height * here)
                    places.append(here)
                    if stack == piece:
                        self.opens[stack].append(here)
            self.model.add_exactly_one(places)
        # A stack that its first piece doesn't open holds nothing.
        for stack in number:
            total = self.longest * sum(self.opens[stack])
            self.model.add(sum(sums[stack]) <= total)
        return [sum(sums[stack]) for stack in number], widths

    def strips(self, number, heights, widths):
        strip_heights = [self.model.new_int_var(0, self.longest, "") for _ in number]
        in_strip = {strip: [] for strip in number}
        strips = [self.model.new_bool_var("") for _ in number]
        for stack in number:
            places = []
            for strip in range(stack + 1):
                here = self.model.new_bool_var("")
                places.append(here)
                same = strip_heights[strip] >= heights[stack]
                if not self.stacked:
                    same = strip_heights[strip] == heights[stack]
                self.model.add(same).only_enforce_if(here)
                self.model.add_implication(here, strips[strip])
                in_strip[strip].append(self.held(widths[stack], here))
            self.model.add(sum(places) == sum(self.opens[stack]))
        return strips, strip_heights, in_strip

    def sheets(self, number, strips, strip_heights, in_strip, enough):
        used = [self.model.new_bool_var("") for _ in self.bins]
        lengths = [[] for _ in self.bins]
        for strip in number:
            places = []
            for ((width, _), _), sheet, parts in zip(self.bins, used, lengths):
                here = self.model.new_bool_var("")
                places.append(here)
                self.model.add(sum(in_strip[strip]) <= width).only_enforce_if(here)
                self.model.add_implication(here, sheet)
                parts.append(self.held(strip_heights[strip], here))
            self.model.add(sum(places) == strips[strip])
        for ((_, height), _), parts in zip(self.bins, lengths):
            self.model.add(sum(parts) <= height)
        for one, other in zip(range(len(used)), range(1, len(used))):
            if self.bins[one] == self.bins[other]:
                self.model.add_implication(used[other], used[one])
        paper = sum(size[0] * size[1] * sheet for (size, _), sheet in zip(self.bins, used))
        self.model.add(paper >= sum(width * height for width, height in self.pieces))
        cost = sum(price * sheet for (_, price), sheet in zip(self.bins, used))
        self.model.add(cost <= enough)
        self.model.minimize(cost)


def least(pieces, changes, enough):
    """The least price within the limit up to `enough`, one more if there is none, or nothing if there was too
    little time."""
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = PATIENCE
    solver.parameters.num_workers = 2
    state = solver.solve(Patterns(pieces, changes == 2, enough).model)
    if state == cp_model.INFEASIBLE:
        return enough + 1
    return round(solver.objective_value) if state == cp_model.OPTIMAL else None


def compare(tally, changes, prices, solved):
    for number, (price, best) in enumerate(zip(prices, solved)):
        name = f"job {number}, {changes} changes"
        if best is not None:
            tally.case(price >= best, f"{name}: {price} is less than possible, {best}")
            tally.case(price <= best, f"{name}: {price}, CP-SAT {best}")


def check(program):
    """Compares the program's answers, and sees that a dearer or a too cheap one would be noticed."""
    tally = Tally("stages")
    pieces_of = jobs()
    solved_in_all = proven = 0
    for changes in (1, 2):
        record = build(program, pieces_of, f"cutting: {{stages: {changes}}}")
        papers = [f"paper{number}" for number in range(len(pieces_of))]
        prices = [price_of(record, paper) for paper in papers]
        proven += sum("was tried" in note for paper in record["papers"] for note in paper["notes"])
        solved = [least(pieces, changes, price) for pieces, price in zip(pieces_of, prices)]
        solved_in_all += sum(best is not None for best in solved)
        compare(tally, changes, prices, solved)
        for name, other in (("dearer", 62), ("cheaper", -38)):
            spoilt = Tally("spoilt")
            compare(spoilt, changes, [price + other for price in prices], solved)
            tally.case(bool(spoilt.faults), f"a {name} answer goes unnoticed")
    tally.case(solved_in_all >= SOLVED, f"CP-SAT solved only {solved_in_all} jobs")
    print(f"  {solved_in_all} of {2 * len(pieces_of)} solved by CP-SAT, all as cheap; {proven} tried to the end")
    return tally


if __name__ == "__main__":
    sys.exit(0 if check(os.path.abspath(sys.argv[1])).report() else 1)
