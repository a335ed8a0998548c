"""The way of the lifted blade against OR-tools' routing search (guided local search) and against the order
of the file, on sheets of 200 contours: `travel.py PROGRAM [CONTOURS ...]`; a row for each number.

The other search gets the points at which our contours begin and ten seconds. Source of the ratio asked
for, 1.05: the project's own goal.
"""

import json
import math
import os
import subprocess
import sys
import tempfile

from common import Tally
from ortools.constraint_solver import pywrapcp, routing_enums_pb2
from svgelements import Path

MOST = 1.05
SECONDS = 10
SHAPES = ["circle: {{paper: coral, diameter: {0}/16", "star: {{paper: coral, diameter: {0}/16",
          "polygon: {{paper: coral, sides: 5, diameter: {0}/16", "heart: {{paper: coral, size: {0}/16 x {0}/16"]


def spec(count):
    lines = ["name: Confetti", "papers: {coral: {color: '#e2725b', sheets: {12 x 12: 2}}}",
             "cutting: {effort: quick}", "single:", "  pieces:"]
    for number in range(count):
        shape = SHAPES[number % 4].format(8 + number * 7 % 9)
        at = f"at: {{left: {number % 14 * 3}/4, top: {number // 14 * 3}/4}}"
        lines.append(f"    - {shape}, id: s{number}, {at}}}")
    return "\n".join(lines) + "\n"


def best_known(points):
    """The length of OR-tools' way from the sheet's top left through all points, ending anywhere."""
    scale = 10_000
    places = [(0.0, 0.0), *points]
    distance = [[round(scale * math.dist(a, b)) if j else 0 for j, b in enumerate(places)] for a in places]
    manager = pywrapcp.RoutingIndexManager(len(places), 1, 0)
    routing = pywrapcp.RoutingModel(manager)
    transit = routing.RegisterTransitMatrix(distance)
    routing.SetArcCostEvaluatorOfAllVehicles(transit)
    search = pywrapcp.DefaultRoutingSearchParameters()
    search.first_solution_strategy = routing_enums_pb2.FirstSolutionStrategy.PATH_CHEAPEST_ARC
    search.local_search_metaheuristic = routing_enums_pb2.LocalSearchMetaheuristic.GUIDED_LOCAL_SEARCH
    search.time_limit.seconds = SECONDS
    return routing.SolveWithParameters(search).ObjectiveValue() / scale


def record_with(program, count):
    with tempfile.TemporaryDirectory() as folder:
        file = os.path.join(folder, "confetti.yaml")
        with open(file, "w") as text:
            text.write(spec(count))
        subprocess.run([program, "build", file, "--out", folder], check=True, stdout=subprocess.DEVNULL,
                       stderr=subprocess.DEVNULL)
        with open(os.path.join(folder, "confetti", "record.json")) as text:
            return json.load(text)


def measure(tally, record):
    """The way in inches as the program cuts, by OR-tools, and in the order in which pieces are listed."""
    ours = theirs = listed = 0.0
    for sheet in record["sheets"]:
        starts = {}
        way, blade = 0.0, (0.0, 0.0)
        for stroke in sheet["strokes"]:
            first = Path(stroke["path"]).first_point
            starts[stroke["piece"]] = (first.x, first.y)
            way += math.dist(blade, (first.x, first.y))
            blade = (first.x, first.y)
        tally.case(abs(way - sheet["work"]["travel"]) < 1e-3, f"{sheet['id']}: {way} is not the way told")
        ours += way
        theirs += best_known(list(starts.values()))
        blade = (0.0, 0.0)
        for placed in sheet["placed"]:
            listed += math.dist(blade, starts[placed["piece"]])
            blade = starts[placed["piece"]]
    return ours, theirs, listed


def check(program, counts=(200,)):
    tally = Tally("travel")
    print(f"  contours   ours  OR-tools, {SECONDS} s a sheet  the file's order  ours / OR-tools  ours / file")
    for count in counts:
        ours, theirs, listed = measure(tally, record_with(program, count))
        tally.case(ours <= MOST * theirs, f"{count}: {ours:.1f} in is over {MOST} of {theirs:.1f} in")
        print(f"  {count:>8} {ours:>6.1f} {theirs:>24.1f} {listed:>17.1f} {ours / theirs:>16.3f} {ours / listed:>12.3f}")
    return tally


if __name__ == "__main__":
    asked = [int(count) for count in sys.argv[2:]] or [200]
    sys.exit(0 if check(os.path.abspath(sys.argv[1]), asked).report() else 1)
