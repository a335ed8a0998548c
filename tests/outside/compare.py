"""Compares what two builds of the program write, byte for byte: `compare.py BEFORE AFTER [SPEC...]`.

BEFORE and AFTER are each a program, or a folder that `compare.py --write PROGRAM FOLDER [SPEC...]` wrote.
Without SPECs, every starter and every spec of the outside checks is built. Each spec is built, and where it
has pieces one of them is redone, so that both ways to a record are compared."""

import filecmp
import json
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
DEFAULT = [*sorted((HERE.parent.parent / "templates").glob("*.yaml")), *sorted((HERE / "specs").glob("*.yaml"))]


def write(program, folder, specs):
    """Builds a copy of every spec and redoes the middle piece of each; what the program says is kept as well.

    Copies, since a record names the way from its folder to the spec."""
    for home in {spec.parent for spec in specs}:
        shutil.copytree(home, folder / "specs" / home.name, dirs_exist_ok=True)
    for given in specs:
        spec = folder / "specs" / given.parent.name / given.name
        into = folder / spec.stem
        into.mkdir(parents=True, exist_ok=True)
        said = subprocess.run([program, "build", spec, "--out", into], capture_output=True, text=True, check=False)
        (into / "said.txt").write_text(said.stdout.replace(str(into), "OUT") + f"exit {said.returncode}\n")
        for record in list(into.glob("*/record.json")):
            pieces = json.loads(record.read_text())["pieces"]
            if pieces:
                piece = pieces[len(pieces) // 2]["id"]
                said = subprocess.run([program, "redo", record.parent, "--piece", piece], capture_output=True, text=True, check=False)
                (into / "redo.txt").write_text(said.stdout.replace(str(into), "OUT") + f"exit {said.returncode}\n")


def files(folder):
    return {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}


def compare(before, after):
    """Names each file that only one side has, or that differs; True if there is none."""
    old, new = files(before), files(after)
    for name in sorted(old ^ new):
        print(f"only {'before' if name in old else 'after'}: {name}")
    differing = [name for name in sorted(old & new) if not filecmp.cmp(before / name, after / name, shallow=False)]
    for name in differing:
        print(f"differs: {name}")
    print(f"{len(old & new)} files compared, {len(differing)} differ, {len(old ^ new)} on one side only")
    return not differing and old == new


def main(arguments):
    if arguments[:1] == ["--write"]:
        program, folder, *specs = arguments[1:]
        write(program, Path(folder), [Path(spec) for spec in specs] or DEFAULT)
        return 0
    before, after, *specs = map(Path, arguments)
    specs = specs or DEFAULT
    with tempfile.TemporaryDirectory() as scratch:
        sides = []
        for side in (before, after):
            if side.is_file():
                folder = Path(scratch) / str(len(sides))
                write(side.resolve(), folder, specs)
                side = folder
            sides.append(side)
        return 0 if compare(*sides) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
