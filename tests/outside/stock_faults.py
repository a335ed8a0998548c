"""Kills and faults at every system call that touches a stock: `stock_faults.py PROGRAM [SCENE ...]`.

`strace` ends the program, or has the call fail, at one call after the other while it changes `stock.yaml` and the
ledger. Afterwards `stock.yaml` is whole, as before or as after; the next command does its work, the two files agree,
and nothing but them is left.
"""

import os
import shutil
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from common import Tally
from faults import CHANGES, ERRORS, LOOKS, calls, run

STOCK = """# The drawer
papers:
  - {name: oat, sheets: [{size: 12 x 12, count: 3}]}  # best
offcuts:
  - {label: B7, paper: oat, size: 4 x 6}  # by the window
"""
# Commands before the one that is tried, and that one.
SCENES = {
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
            code, error = run(self.program, folder, ["stock"])
            if code != 0:
                return f"{what}: the next command fails: {error}"
            if "by hand" in error:
                return f"{what}: what the program wrote is taken for the user's: {error}"
            if read(folder) not in (self.old, self.new):
                return f"{what}: the two files do not agree: {read(folder)}"
            left = sorted(path.name for path in folder.iterdir() if path.name not in NAMES)
            if left:
                return f"{what}: left: {left}"
            return None
        finally:
            shutil.rmtree(folder)


def check(program, names):
    tally = Tally("stock faults")
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
