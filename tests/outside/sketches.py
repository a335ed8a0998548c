"""The quadratic part of sketches and of fits in specs against another solver: `sketches.py EXAMPLE`, the built example
`sketch_problems`.

OSQP, an operator-splitting method with polishing, solves each problem from its relations and wishes; its least cost is
that of the program within 1e-6. On the ruler every relation holds in whole numbers, at no less than that cost."""

import json
import subprocess
import sys

import numpy
import osqp
from common import Tally
from scipy import sparse

# Relative to 1 or to the cost itself, whichever is larger.
NEAR = 1e-6


def least_cost(problem):
    relations = problem["relations"]
    edges = relations["edges"]
    square, linear, constant = numpy.zeros((edges, edges)), numpy.zeros(edges), 0.0
    for wish in relations["wishes"]:
        row = numpy.zeros(edges)
        for edge, factor in wish["terms"]:
            row[edge] += factor
        square += 2 * wish["weight"] * numpy.outer(row, row)
        linear -= 2 * wish["weight"] * wish["target"] * row
        constant += wish["weight"] * wish["target"] ** 2
    rows, lower, upper = [numpy.eye(edges)[0]], [0.0], [0.0]
    for relation in relations["relations"]:
        row = numpy.zeros(edges)
        row[relation["to"]] += 1
        row[relation["from"]] -= 1
        rows.append(row)
        lower.append(relation["marks"])
        upper.append(relation["marks"] if relation["kind"] == "Exactly" else numpy.inf)
    solver = osqp.OSQP()
    solver.setup(
        sparse.csc_matrix(numpy.triu(square)), linear, sparse.csc_matrix(numpy.array(rows)), numpy.array(lower),
        numpy.array(upper), eps_abs=1e-9, eps_rel=1e-9, max_iter=400000, polishing=True, verbose=False,
    )
    found = solver.solve()
    # The cost is worked out anew from where the edges lie.
    cost = 0.0
    for wish in relations["wishes"]:
        total = sum(factor * found.x[edge] for edge, factor in wish["terms"])
        cost += wish["weight"] * (total - wish["target"]) ** 2
    return cost, found.info.status


def holds(relation, at):
    apart = at[relation["to"]] - at[relation["from"]]
    return apart == relation["marks"] if relation["kind"] == "Exactly" else apart >= relation["marks"]


def main(example):
    problems = json.loads(subprocess.run([example], check=True, capture_output=True).stdout)
    tally, farthest = Tally("sketches"), 0.0
    for number, problem in enumerate(problems):
        name = f"{number} ({problem['sketch']})"
        cost, status = least_cost(problem)
        apart = abs(cost - problem["least"]) / max(1.0, cost)
        farthest = max(farthest, apart)
        tally.case(apart <= NEAR, f"{name}: {problem['least']} here, {cost} there ({status})")
        broken = [relation for relation in problem["relations"]["relations"] if not holds(relation, problem["at"])]
        tally.case(not broken, f"{name}: broken on the ruler: {broken[:2]}")
        tally.case(problem["cost"] >= cost - NEAR * max(1.0, cost), f"{name}: cheaper on the ruler than can be")
    tally.need(len(problems), "fit")
    print(f"  {len(problems)} problems, costs at most {farthest:.1e} apart")
    return tally.report()


if __name__ == "__main__":
    sys.exit(0 if main(sys.argv[1]) else 1)
