"""Kills and faults at every system call that touches a stock: `stock_faults.py PROGRAM [SCENE ...]`.

`strace` ends the program, or has the call fail, at one call after the other while it changes `stock.yaml` and the
ledger, or builds, cuts and redoes a spread that is cut from them. Afterwards `stock.yaml` is whole, as before or as
after; a run stands whole; the same command, or `stock` where it takes back, does its work; the two files agree, and
nothing but them is left. `damage` changes the files by hand and sees that nothing is written.
"""

import json
import os
import shutil
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from common import Tally
from faults import CHANGES, ERRORS, LOOKS, calls, run, tree, whole

STOCK = """# The drawer
papers:
  - {name: oat, sheets: [{size: 12 x 12, count: 3}]}  # best
offcuts:
  - {label: B7, paper: oat, size: 4 x 6}  # by the window
"""
# A spread of one sheet and the offcut.
SPEC = """name: Pond
papers: {oat: {color: '#e9d8a6'}}
cutting: {effort: quick}
single:
  pieces:
    - panel: {id: bank, paper: oat, size: 4 x 5}
    - panel: {id: far, paper: oat, size: 9 x 9, at: {left: 1}}
"""
BUILT, REDONE = ["build", "pond.yaml"], ["redo", "pond.yaml", "--piece", "single.bank"]
# Commands before the one that is tried, and that one.
SCENES = {
    "build": ([], BUILT),
    "cut": ([BUILT], ["cut", "pond.yaml"]),
    "cut of a sheet": ([BUILT], ["cut", "pond.yaml", "--sheet", "oat-1"]),
    "redo": ([BUILT, ["cut", "pond.yaml"]], REDONE),
    "redo taken back": ([BUILT, ["cut", "pond.yaml"], REDONE], ["redo", "pond.yaml", "--undo"]),
    "undo of a cut": ([BUILT, ["cut", "pond.yaml"]], ["undo"]),
    "first entry": ([], ["stock", "add", "oat", "2"]),
    "offcut": ([["stock", "add", "oat", "2"]], ["stock", "spoil", "B7"]),
    "undo": ([["stock", "add", "oat", "2"], ["stock", "take", "B7"]], ["undo"]),
    "undo of the last": ([["stock", "add", "oat", "2"]], ["undo"]),
}
NAMES = ["stock.yaml", "stock-ledger.jsonl"]


def read(folder):
    """The two files; nothing for one that isn't there."""
    texts = [(folder / name).read_text() if (folder / name).exists() else None for name in NAMES]
    # A ledger that holds its opening alone says as much as none.
    return texts[0], texts[1] if texts[1] and texts[1].count("\n") > 1 else None


class Bench:
    def __init__(self, program, scene, work):
        self.program, self.scene, self.work = program, scene, work
        before, self.command = SCENES[scene]
        self.model = work / "model"
        self.model.mkdir()
        (self.model / "stock.yaml").write_text(STOCK)
        (self.model / "pond.yaml").write_text(SPEC)
        for command in before:
            code, error = run(program, self.model, command)
            assert code == 0, error
        self.old = read(self.model)
        done = self.copy("done")
        log = work / "log"
        names = ",".join("?" + name for name in CHANGES + LOOKS)
        code, error = run(program, done, self.command,
                          ["strace", "-y", "-s", "4096", "-o", str(log), "-e", f"trace={names}"])
        assert code == 0, error
        self.new = read(done)
        self.runs = [runs(self.model), runs(done)]
        assert self.old != self.new
        self.calls = calls(log.read_text(errors="replace"), done)

    def copy(self, name):
        folder = self.work / name
        shutil.copytree(self.model, folder)
        return folder

    def faults(self):
        for place, (name, number) in enumerate(self.calls):
            if name in CHANGES:
                yield name, number, "signal=KILL"
            yield name, number, f"error={ERRORS[place % len(ERRORS)]}"

    def tried(self, fault):
        """What is wrong after one fault."""
        name, number, how = fault
        folder = self.copy(f"{name}-{number}-{how}")
        what = f"{self.scene}, {how} at {name} {number}"
        try:
            code, error = run(self.program, folder, self.command,
                              ["strace", "-o", "/dev/null", "-e", "trace=none", "-e", f"inject={name}:{how}:when={number}"])
            if "panicked" in error:
                return f"{what}: {error}"
            texts = [self.old[0], self.new[0]]
            if (folder / "stock.yaml").read_text() not in texts:
                return f"{what}: stock.yaml is neither the old nor the new"
            if code == 0 and how != "signal=KILL" and read(folder) != self.new:
                return f"{what}: it says that it succeeded, and has not: {error}"
            if not self.is_whole(folder):
                return f"{what}: neither the old nor the new run is whole"
            code, error = run(self.program, folder, ["stock"])
            if code != 0:
                return f"{what}: the next command fails: {error}"
            if "by hand" in error:
                return f"{what}: what the program wrote is taken for the user's: {error}"
            if read(folder) not in (self.old, self.new):
                return f"{what}: the two files do not agree: {read(folder)}"
            # What takes back or redoes would do so twice.
            if self.command[0] in ("build", "cut"):
                code, error = run(self.program, folder, self.command)
                if code != 0 or read(folder) != self.new or runs(folder) != self.runs[1]:
                    return f"{what}: done again it left with {code}, and not what it should: {error[-300:]}"
            elif "pond.yaml" in str(self.command):
                code, error = run(self.program, folder, ["redo", "pond.yaml", "--piece", "single.bank", "--try"])
                if code != 0:
                    return f"{what}: the next redo leaves with {code}: {error[-300:]}"
            left = sorted(path.name for path in folder.iterdir() if path.name not in [*NAMES, "pond.yaml", "out"])
            if left:
                return f"{what}: left: {left}"
            return None
        finally:
            shutil.rmtree(folder)


    def is_whole(self, folder):
        """Whether the run that stands is the old or the new one, and every file of it is there."""
        there = runs(folder)
        return there in self.runs


def runs(folder):
    """The files of the run and its redos; hidden ones are no part of it. Each run has all its files."""
    files = {name: data for name, data in tree(folder / "out").items() if not any(part.startswith(".") for part in Path(name).parts)} if (folder / "out").is_dir() else {}
    for name in files:
        if name.endswith("record.json"):
            home = name.removesuffix("record.json")
            own = {other.removeprefix(home): data for other, data in files.items() if other.startswith(home)}
            if not whole(own):
                return None
    return files


# Damage by hand: the file, what is replaced by what, what has to be said, and the commands that must refuse.
FROM_STOCK = [BUILT, ["cut", "pond.yaml"], REDONE, ["undo"]]
DAMAGE = [
    ("stock.yaml", "count: 3", "count: three", "stock.yaml:3", FROM_STOCK),
    ("stock.yaml", "papers:", "papers: [", "stock.yaml:", FROM_STOCK),
    ("stock-ledger.jsonl", '"kind":"reserve"', '"kind":"reserv', "stock-ledger.jsonl:2", FROM_STOCK),
    ("stock-ledger.jsonl", '"entry":1', '"entry":7', "stock-ledger.jsonl:2", FROM_STOCK),
    ("out/pond/record.json", '"sheets":', '"sheet', "record.json", [["cut", "pond.yaml"], ["cut", "out/pond"], REDONE]),
    ("out/pond/record.json", '"count":', '"count":-', "record.json", [["cut", "out/pond"], ["redo", "out/pond", "--piece", "single.bank"]]),
    ("pond.yaml", "size: 4 x 5", "size: 4 by", "pond.yaml:6", [BUILT]),
]


def damage(program, tally):
    """Files that were changed by hand are told by their line, and nothing is written."""
    with tempfile.TemporaryDirectory() as work:
        model = Path(work).resolve() / "model"
        model.mkdir()
        (model / "stock.yaml").write_text(STOCK)
        (model / "pond.yaml").write_text(SPEC)
        assert run(program, model, BUILT)[0] == 0
        for number, (name, old, new, told, commands) in enumerate(DAMAGE):
            folder = Path(work).resolve() / str(number)
            shutil.copytree(model, folder)
            text = (folder / name).read_text()
            text = text if old in text else json.dumps(json.loads(text))
            tally.need(text.count(old), f"{old} in {name}")
            (folder / name).write_text(text.replace(old, new, 1))
            before = tree(folder)
            for command in commands:
                code, error = run(program, folder, command)
                what = f"{name} with {new!r}, {' '.join(command)}"
                tally.case(code == 1 and told in error and "help" in error, f"{what} left with {code}: {error[-300:]}")
                tally.case(tree(folder) == before, f"{what} wrote something")


def check(program, names):
    tally = Tally("stock faults")
    if not names or "damage" in names:
        damage(program, tally)
    for scene in SCENES:
        if names and scene not in names:
            continue
        with tempfile.TemporaryDirectory() as work:
            bench = Bench(program, scene, Path(work).resolve())
            faults = list(bench.faults())
            tally.need(len([name for name, _, _ in faults if name.startswith("rename")]), scene)
            with ThreadPoolExecutor(os.cpu_count()) as pool:
                for wrong in pool.map(bench.tried, faults):
                    tally.case(wrong is None, wrong or "")
            print(f"  {scene}: {len(bench.calls)} calls, {len(faults)} faults", flush=True)
    return tally


if __name__ == "__main__":
    sys.exit(0 if check(os.path.abspath(sys.argv[1]), sys.argv[2:]).report() else 1)
